"""The room: what needs someone, the racks to scale, one rack at full size, and one tank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from roomops.desk import herd, room_view
from roomops.desk.day_types import Day
from roomops.desk.refusals import Refused
from roomops.desk.room_view import RackView, RoomView, TankView
from roomops.husbandry.units import System
from roomops.papers import words
from roomops.planning.room import FED, Status
from roomops.screens import concerns, notices, posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.views.hands import hand_of

MOST = 3  # troubles before 'and 11 more'
INCH = 25.4
MARKS_MOST = 8


@require_GET
def room(request: InRoom, rack_key: str = "") -> HttpResponse:
    """What needs someone beside one rack at full size; the others as silhouettes."""
    day = day_of(request)
    view = room_view.room_view(day=day)
    try:
        chosen = view.rack(rack_key) if rack_key else next(iter(view.racks), None)
    except Refused as no:
        return _gone(request, day=day, no=no)
    every = "all" in request.GET
    needs = [*concerns.shown(day, view.concerns), *_said_wrong(day, view, request)]
    needs.sort(key=lambda each: each.state != "wrong")
    context = {
        "day": day,
        "reach": reach_of(day),
        "racks": [_silhouette(day, rack, chosen) for rack in view.racks],
        "chosen": chosen,
        "shelves": [[tank_shown(day, tank) for tank in shelf] for shelf in chosen.shelves] if chosen else [],
        "needs": needs if every else needs[:MOST],
        "more": 0 if every else max(0, len(needs) - MOST),
        "empty": chosen is None,
    }
    return render(request, "room/room.html", context)


def _said_wrong(day: Day, view: RoomView, request: InRoom) -> list[concerns.WordShown]:
    """The day's troubles that early word does not say, in the same shape."""
    kept = [each for each in day.wrong if each in view.troubles]
    told = notices.notices_of(day, reader=request.reader)
    found = []
    for trouble, notice in zip(day.wrong, told, strict=True):
        if trouble in kept:
            address = notice.address or (reverse("tank", args=[trouble.tank]) if trouble.tank else "")
            found.append(
                concerns.WordShown(
                    about=notice.about, mark="", sign=notice.sign, state="wrong", title="", text=notice.text,
                    age=" ".join(filter(None, (notice.age, notice.by))), basis="",
                    act=notice.act or ("Open the tank" if address else ""), address=address, subject="",
                )
            )  # fmt: skip
    return found


def _gone(request: InRoom, *, day: Day, no: Refused) -> HttpResponse:
    context = {"day": day, "reach": reach_of(day), "said": no_words(request, no)}
    return render(request, "room/gone.html", context, status=404)


# ---------------------------------------------------------------- racks and tanks as drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Silhouette:
    """A rack at true width: tanks as boxes, bad ones filled, unread ones dashed."""

    key: str
    name: str
    here: bool
    quarantine: bool
    shelves: tuple[tuple[tuple[float, float, str], ...], ...]  # width, height in inches, state
    first: str
    second: str


def _silhouette(day: Day, rack: RackView, chosen: RackView | None) -> Silhouette:
    trouble = rack.troubles + rack.words
    oldest = words.time_words(rack.oldest.astimezone(day.zone)) if rack.oldest else ""
    return Silhouette(
        key=rack.key,
        name=rack.name,
        here=rack is chosen,
        quarantine=rack.quarantine,
        shelves=tuple(tuple(_box(tank) for tank in shelf) for shelf in rack.shelves),
        first=words.count_words(trouble, "thing") + " to look at" if trouble else "quiet",
        second=_read_words(rack, oldest),
    )


def _read_words(rack: RackView, oldest: str) -> str:
    if not rack.tanks:
        return "no tanks"
    if not oldest:
        return "not read today"
    unread = f", {words.count_words(rack.unread, 'tank')} not read" if rack.unread else ""
    return f"oldest reading {oldest}{unread}"


def _box(tank: TankView) -> tuple[float, float, str]:
    basking = tank.readings.get("basking")
    unread = basking is None or basking.at is None
    state = "wrong" if tank.bad or tank.concerns else "unread" if unread and tank.heads else ""
    return round(tank.length_mm / INCH, 1), round(tank.height_mm / INCH, 1), state


@dataclass(frozen=True, slots=True, kw_only=True)
class TankShown:
    """A tank to scale with its strip: basking side left, when it was read, cool side right."""

    view: TankView
    wide: float  # inches
    tall: float
    marks: tuple[str, ...]
    more_marks: int
    who: str
    basking: Mapping[str, object]
    cool: Mapping[str, object]
    night: Mapping[str, object]
    when: str
    flag: str
    flag_sign: str
    said: str  # the whole tank in a sentence


def tank_shown(day: Day, tank: TankView) -> TankShown:
    """One tank as a rack draws it."""
    marks = [each.mark for each in tank.animals if each.mark and each.status in FED]
    basking, cool, night = (_reading(day, tank, spot) for spot in ("basking", "cool", "night low"))
    flag, sign = _flag(day, tank)
    when = str(basking["when"] or cool["when"] or "not read")
    who = who_words(tank)
    return TankShown(
        view=tank,
        wide=round(tank.length_mm / INCH, 1),
        tall=round(max(tank.height_mm / INCH, 9), 1),
        marks=tuple(marks[:MARKS_MOST]),
        more_marks=max(0, len(marks) - MARKS_MOST),
        who=who,
        basking=basking,
        cool=cool,
        night=night,
        when=when,
        flag=flag,
        flag_sign=sign,
        said=f"{tank.name}, {who}. {flag}",
    )


def _reading(day: Day, tank: TankView, spot: str) -> Mapping[str, object]:
    """Value in °C, out of band how, read when: today's clock time or a date."""
    last = tank.readings.get(spot)
    if last is None:
        return {"value": None, "out": "", "when": "", "old": True}
    if last.at is None:
        return {"value": last.value_c, "out": "", "when": words.date_words(last.on), "old": True}
    when = words.time_words(last.at.astimezone(day.zone), suffix=False)
    return {"value": last.value_c, "out": last.out, "when": when, "old": False}


def _flag(day: Day, tank: TankView) -> tuple[str, str]:
    if tank.concerns:
        [first, *rest] = concerns.shown(day, tank.concerns)
        more = f" +{len(rest)}" if rest else ""
        return f"{first.title}{more}", first.sign
    notes = [each for each in tank.troubles if each.text]
    return ("wrong", "wrong") if notes else ("", "")


def who_words(tank: TankView) -> str:
    """'4 hatchlings', '3 here, 1 at vet', 'leopard gecko', 'empty'."""
    away = [each for each in tank.residents if each.status not in FED]
    here = [each for each in tank.residents if each.status in FED]
    if not tank.residents:
        return "empty"
    kinds = tuple(dict.fromkeys(each.kind for each in here or away))
    kind = words.list_words([words.plural(each) if tank.heads > 1 else each for each in kinds])
    gone = [f"{sum(e.heads for e in away if e.status is each)} {words.STATUS[each]}"
            for each in Status if any(e.status is each for e in away)]  # fmt: skip
    if gone:
        return ", ".join([f"{tank.heads} here", *gone])
    return kind if tank.heads == 1 else f"{tank.heads} {kind}"


# ---------------------------------------------------------------- one tank


@require_http_methods(["GET", "POST"])
def tank(request: InRoom, key: str) -> HttpResponse:
    """One tank: who is in it, how warm, what is still to do. POST takes it away when it is empty."""
    day = day_of(request)
    if request.method == "POST":
        return _take_away(request, day=day, key=key)
    return _tank_page(request, day=day, key=key)


def _tank_page(request: InRoom, *, day: Day, key: str, said: str = "", status: int = 200) -> HttpResponse:
    try:
        page = room_view.tank_page(day=day, key=key)
    except Refused as no:
        return _gone(request, day=day, no=no)
    tank = page.tank
    context = {
        "day": day,
        "reach": reach_of(day),
        "page": page,
        "tank": tank,
        "shown": tank_shown(day, tank),
        "rows": list(zip(tank.animals, tank.residents, strict=True)),
        "words": concerns.shown(day, tank.concerns),
        "worded": _worded(day, tank),
        "to_do": page.to_do,
        "floor": _floor_words(page, units=request.reader.units),
        "status": words.STATUS,
        "said": said,
        "form": posted.new_form,
    }
    return render(request, "room/tank.html", context, status=status)


def _worded(day: Day, tank: TankView) -> Mapping[str, Sequence[str]]:
    found: dict[str, list[str]] = {}
    for each in concerns.shown(day, tank.concerns):
        found.setdefault(each.subject, []).append(each.title)
    return found


def _floor_words(page: room_view.TankPage, *, units: str) -> str:
    """'The floor is 360 sq in; 4 animals ask for 522.' '' where no sheet says."""
    if page.floor.needed_cm2 is None:
        return ""
    each, unit = (1.0, "cm²") if units == System.METRIC else (INCH * INCH / 100, "sq in")
    has, needed = round(page.floor.has_cm2 / each), round(page.floor.needed_cm2 / each)
    enough = "That is enough." if has >= needed else "That is too little: part them, or a larger tank."
    heads = words.count_words(page.floor.heads, "animal")
    return f"The floor is {has:,} {unit}; {heads} ask for {needed:,} by the care sheet. {enough}"


def _take_away(request: InRoom, *, day: Day, key: str) -> HttpResponse:
    try:
        gone = herd.take_tank_away(hand=hand_of(request), key=key)
    except Refused as no:
        return _tank_page(request, day=day, key=key, said=no_words(request, no), status=409)
    messages.success(request, f"{gone.name} is taken out of the room.")
    return redirect("room")
