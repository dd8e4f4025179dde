"""A lot on the day it comes, and the lot while it is in quarantine: pictures, and out of it together."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from roomops.desk import arrivals as desk
from roomops.desk import lots, receiving
from roomops.desk.arrivals import Expected
from roomops.desk.day_types import Day
from roomops.desk.photos import small_jpeg
from roomops.desk.receiving import PHOTOS_MOST, Came, Group
from roomops.desk.refusals import No, Refused
from roomops.records.models import Lot, Photo
from roomops.screens import arrival_words, posted, stock_posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.views.arrivals import coming_day, kinds
from roomops.screens.views.hands import hand_of

TANKS_MOST = 12  # rows to sort into beyond the promised ones
UNANNOUNCED = "unannounced"


@require_http_methods(["GET", "POST"])
def receive(request: InRoom, key: str) -> HttpResponse:
    """The box is open: alive, dead, breeder, sorted by size into tanks, pictures."""
    day = day_of(request)
    lot = next((each for each in desk.expected(day=day) if each.key == key), None)
    if lot is None and key != UNANNOUNCED:
        return _nothing(request, day, no_words(request, Refused(No.UNKNOWN_LOT, value=key)))
    if request.method == "GET":
        return _receive_page(request, day, lot)
    try:
        came = _came(request, day, lot)
        made = receiving.receive(
            day=day, came=came, by=request.person, form=posted.form_id(request.POST),
            key=lot.key if lot else "",
        )  # fmt: skip
    except posted.Typed as wrong:
        return _receive_page(request, day, lot, said=_with_pictures(request, wrong.sentence), status=422)
    except Refused as no:
        said = _with_pictures(request, no_words(request, no))
        return _receive_page(request, day, lot, said=said, status=409)
    messages.success(request, f"{made.name} is here: {came.alive} alive, {came.dead} dead on arrival.")
    return redirect("lot", key=made.key) if came.alive else redirect("arrivals")


def _with_pictures(request: InRoom, sentence: str) -> str:
    """A browser never gives pictures back: say so, when there were any."""
    return f"{sentence} Choose the pictures again." if request.FILES else sentence


def _came(request: InRoom, day: Day, lot: Expected | None) -> Came:
    """What was written of the box. Raises Typed and Refused (pictures)."""
    post, units = request.POST, request.reader.units
    kind, _, stage = post.get("kind", "").partition("/")
    if lot is None and not kind:
        raise posted.Typed("Say of what kind they are.", field="kind")
    number = {"least": 0, "most": 99_999}  # whether so many can be is the desk's word
    return Came(
        alive=posted.whole(post, "alive", what="number alive", **number),
        dead=posted.whole(post, "dead", what="number dead on arrival", **number) if post.get("dead") else 0,
        groups=_groups(request, day, units),
        breeder=posted.words(post, "breeder", what="breeder", most=120),
        kind=kind if lot is None else lot.kind,
        stage=stage if lot is None else lot.stage,
        hatched_on=stock_posted.maybe_day(post, "hatched", what="hatch day"),
        photos=pictures(request),
    )


def _groups(request: InRoom, day: Day, units: str) -> list[Group]:
    post, found = request.POST, []
    for tank in day.facts.tanks:
        if not post.get(f"heads-{tank.key}", "").strip():
            continue
        heads = posted.whole(post, f"heads-{tank.key}", what=f"number in {tank.name}", least=0, most=99_999)
        if heads:
            length = stock_posted.length(
                post, f"length-{tank.key}", what=f"length in {tank.name}", units=units
            )
            found.append(Group(tank=tank.key, heads=heads, length_mm=length))
    return found


def pictures(request: InRoom) -> list[bytes]:
    """The pictures that were chosen, ready to keep. Refused: TOO_LARGE, NO_PICTURE, OUT_OF_RANGE."""
    chosen = request.FILES.getlist("photos")
    if len(chosen) > PHOTOS_MOST:
        raise Refused(
            No.OUT_OF_RANGE, name="number of pictures", value=len(chosen), least=0, most=PHOTOS_MOST
        )
    return [small_jpeg(data=each.read(), name=each.name or "picture") for each in chosen]


def _receive_page(
    request: InRoom, day: Day, lot: Expected | None, *, said: str = "", status: int = 200
) -> HttpResponse:
    promised = list(lot.tanks) if lot else []
    free = [p.tank for p in desk.places(day=day) if p.free and p.quarantine]
    tanks = [*promised, *(key for key in free if key not in promised)]
    context = {
        "day": day,
        "reach": reach_of(day),
        "lot": lot,
        "heads": arrival_words.heads_words(lot.heads, lot.kind) if lot else "",
        "when": coming_day(lot.on, today=day.day) if lot else "",
        "kinds": kinds(day),
        "typed": request.POST,
        "tanks": [
            {
                "key": key,
                "name": day.label("tank", key),
                "promised": key in promised,
                "heads": request.POST.get(f"heads-{key}", ""),
                "length": request.POST.get(f"length-{key}", ""),
            }
            for key in tanks[: len(promised) + TANKS_MOST]
        ],
        "photos_most": PHOTOS_MOST,
        "said": said,
        "form": posted.new_form,
    }
    return render(request, "arrivals/receive.html", context, status=status)


@require_http_methods(["GET", "POST"])
def lot(request: InRoom, key: str) -> HttpResponse:
    """A lot that is here: its pictures, its days in quarantine, and out of it all together."""
    day = day_of(request)
    try:
        row = receiving.lot_of(day=day, key=key)
    except Refused as no:
        return _nothing(request, day, no_words(request, no))
    if request.method == "GET":
        return _lot_page(request, day, row)
    try:
        told = _lot_said(request, day, row)
    except Refused as no:
        return _lot_page(request, day, row, said=no_words(request, no), status=409)
    messages.success(request, told)
    return redirect("lot", key=key)


def _lot_said(request: InRoom, day: Day, row: Lot) -> str:
    post = request.POST
    if "pictures" in post:
        receiving.more_photos(day=day, lot=row.key, photos=pictures(request), by=request.person)
        return "The pictures are kept."
    tanks = {name.removeprefix("to-"): post[name] for name in post if name.startswith("to-")}
    lots.let_out(hand=hand_of(request), day=day, lot=row.key, tanks=tanks, vet="vet" in post)
    return f"{row.name} is out of quarantine, all of it."


def _lot_page(request: InRoom, day: Day, row: Lot, *, said: str = "", status: int = 200) -> HttpResponse:
    here = next((each for each in lots.apart(day=day) if each.key == row.key), None)
    arrival = getattr(row, "arrival", None)
    context = {
        "day": day,
        "reach": reach_of(day),
        "row": row,
        "dead": arrival.dead_on_arrival if arrival else None,
        "here": here,
        "targets": [(tank.key, tank.name) for tank in day.facts.tanks if not tank.quarantine],
        "groups": [(each, request.POST.get(f"to-{each.key}", "")) for each in (here.groups if here else ())],
        "photos": list(Photo.objects.filter(lot=row).order_by("at", "pk").values_list("pk", "at")),
        "photos_most": PHOTOS_MOST,
        "said": said,
        "vet_said": "vet" in request.POST,
    }
    return render(request, "arrivals/lot.html", context, status=status)


def _nothing(request: InRoom, day: Day, said: str) -> HttpResponse:
    context: dict[str, Any] = {"day": day, "reach": reach_of(day), "said": said}
    return render(request, "arrivals/no_lot.html", context, status=404)
