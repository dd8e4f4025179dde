"""The opening and closing walks along the rack, tank by tank."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from roomops.desk import walks
from roomops.desk.day_types import Day, RoundView, Status
from roomops.desk.entries import Answer
from roomops.desk.refusals import No, Refused
from roomops.desk.walks import RackView, WalkRow
from roomops.papers.amounts import count_words, temperature_words
from roomops.planning.room import DutyKind
from roomops.screens import floor_work, posted
from roomops.screens.addresses import round_address
from roomops.screens.answers import CONFLICT, conflict, day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of

DROPPING_WORDS = (("normal", "Normal"), ("not", "Odd"), ("none", "None"))
KINDS = {"opening": DutyKind.OPENING, "closing": DutyKind.CLOSING}


@require_GET
def index(request: InRoom) -> HttpResponse:
    """All that is done along the racks and at the bench today, in the order of the day."""
    day = day_of(request)
    views = [view for view in day.rounds if view.round.kind in floor_work.FLOOR]
    rows = [(view, round_address(view)) for view in views]
    context = {
        "day": day,
        "reach": reach_of(day),
        "to_do": [row for row in rows if row[0].left and row[0].status is not Status.LATER],
        "later": [row for row in rows if row[0].left and row[0].status is Status.LATER],
        "done": [row for row in rows if not row[0].left],
    }
    return render(request, "walks/index.html", context)


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Something odd that was said: it is asked again, and kept only as 'seen again'."""

    sentence: str
    keep: str  # the words of the button that keeps it


@require_http_methods(["GET", "POST"])
def walk(request: InRoom, which: str) -> HttpResponse:
    """One walk, one tank in hand; ``which`` is 'opening', 'closing' or the key of a part of either."""
    day = day_of(request)
    walked = [view for view in day.rounds if view.round.kind in KINDS.values()]
    asked = next((view for view in walked if view.key == which), None)
    kind = asked.round.kind if asked else KINDS.get(which)
    if kind is None:
        return _nothing(request, day=day, which="", status=404)
    views = floor_work.rounds_of(day=day, kinds=(kind,))
    view = asked or floor_work.chosen(views=views, person=request.person.key)
    if view is None:
        return _nothing(request, day=day, which=which, status=200)
    which = kind.value
    rack = walks.rack_view(day=day, round_key=view.key)
    if request.method == "POST":
        return _say(request, rack=rack, views=views, which=which)
    return _page(request, rack=rack, views=views, which=which)


def _nothing(request: InRoom, *, day: Day, which: str, status: int) -> HttpResponse:
    context = {"day": day, "reach": reach_of(day), "which": which}
    return render(request, "walks/no_walk.html", context, status=status)


def _row(rack: RackView, tank: str) -> WalkRow | None:
    """The tank in hand: the one asked for, else the first that is not done."""
    return next((row for row in rack.rows if row.tank == tank), None) if tank else rack.current


def _say(request: InRoom, *, rack: RackView, views: tuple[RoundView, ...], which: str) -> HttpResponse:
    row = _row(rack, request.POST.get("tank", ""))
    if row is None:
        return _page(
            request, rack=rack, views=views, which=which, said="Pick a tank of this walk.", status=422
        )
    doubt: Doubt | None = None
    try:
        heads = _heads(request)
        doubt = _too_many(request, row, heads)
        if doubt is None:
            answers = (_closing if rack.closing else _opening)(request, rack=rack, row=row, heads=heads)
    except posted.Typed as wrong:
        return _page(
            request, rack=rack, views=views, which=which, said=wrong.sentence, field=wrong.field, status=422
        )
    except Refused as no:
        sentence = no_words(request, no)
        if no.why is not No.DOUBTFUL:
            return _page(request, rack=rack, views=views, which=which, said=sentence, status=409)
        read = temperature_words(celsius=float(str(no.about.get("value_c", 0))), units=request.reader.units)
        doubt = Doubt(sentence=sentence, keep=f"Keep {read}, read again")
    if doubt:
        return _page(request, rack=rack, views=views, which=which, doubt=doubt, status=409)
    if conflict(answers):
        return _page(request, rack=rack, views=views, which=which, said=CONFLICT, clash=True, status=409)
    tell(request, answers)
    return _on(request, row=row, heads=heads, rack=rack, which=which)


def _heads(request: InRoom) -> int:
    """How many were seen: a button, or another number typed beside it."""
    post = request.POST
    name = "heads_other" if post.get("heads_other", "").strip() else "heads"
    return posted.whole(post, name, what="number of animals seen", least=0, most=500, field="heads_other")


def _too_many(request: InRoom, row: WalkRow, heads: int) -> Doubt | None:
    """More than by the book is odd: count again, or keep it as counted twice."""
    if heads <= row.by_the_book or request.POST.get("keep"):
        return None
    book = count_words(row.by_the_book, "animal")
    return Doubt(
        sentence=f"{row.tank_name} has {book} by the book and you saw {heads}: count again.",
        keep=f"Keep {heads}, counted again",
    )


def _opening(request: InRoom, *, rack: RackView, row: WalkRow, heads: int) -> tuple[Answer, ...]:
    post = request.POST
    low = posted.temperature(post, "night_low", what="night low", units=request.reader.units)
    if post.get("droppings", "") not in walks.DROPPINGS:
        raise posted.Typed(f"Say the droppings of {row.tank_name}: normal, odd, or none.", field="droppings")
    return walks.opening_seen(
        day=rack.day, duty=row.duty, heads=heads, lamps="lamps" in post, water="water" in post,
        droppings=post["droppings"], dead_or_nipped="dead_or_nipped" in post, night_low_c=low,
        by=request.person, form=posted.form_id(post), keep=bool(post.get("keep")),
    )  # fmt: skip


def _closing(request: InRoom, *, rack: RackView, row: WalkRow, heads: int) -> tuple[Answer, ...]:
    post = request.POST
    if rack.out:
        where = [f"{view.tray_name or view.number}, {view.out}" for view in rack.day.rounds if view.out]
        raise Refused(No.ANIMALS_OUT, count=rack.out, tubs=where)
    if post.get("lids", "") not in {"locked", "open"}:
        raise posted.Typed(f"Say the lid of {row.tank_name}: press it when you have tried it.", field="lids")
    return walks.closing_seen(
        day=rack.day, duty=row.duty, heads=heads, lids=post["lids"] == "locked", tubs_empty=rack.out == 0,
        lamps_off="lamps_off" in post, night_heat="night_heat" in post, water="water" in post,
        dead_or_nipped="dead_or_nipped" in post, by=request.person, form=posted.form_id(post),
    )  # fmt: skip


def _on(request: InRoom, *, row: WalkRow, heads: int, rack: RackView, which: str) -> HttpResponse:
    """To the next tank; a dead or nipped one is said at once, a head short is searched at once."""
    if "dead_or_nipped" in request.POST:
        return redirect(reverse("wrong") + "?" + urlencode({"tank": row.tank, "from": which}))
    if heads < row.by_the_book:
        seen = f"{row.tank_name}: {heads} of {row.by_the_book} seen."
        short = f"{seen} Search now: warm, low, dark, drains, behind the rack; count the tanks beside it."
        messages.warning(request, short)
    return redirect(round_address(rack.view) + "#now")


def _page(
    request: InRoom,
    *,
    rack: RackView,
    views: tuple[RoundView, ...],
    which: str,
    said: str = "",
    field: str = "",
    doubt: Doubt | None = None,
    clash: bool = False,
    status: int = 200,
) -> HttpResponse:
    asked = request.POST if request.method == "POST" else request.GET
    current = _row(rack, asked.get("tank", ""))
    rows = list(rack.rows)
    after = rows[rows.index(current) + 1 :] if current in rows else []
    context = {
        "day": rack.day,
        "reach": reach_of(rack.day),
        "rack": rack,
        "which": which,
        "current": current,
        "next": next((row for row in after if not row.done), None),
        "heads": _head_choices(current),
        "dropping_words": DROPPING_WORDS,
        "here": round_address(rack.view),
        "parts": floor_work.parts(day=rack.day, views=views, here=rack.view.key),
        "where": floor_work.where_words(day=rack.day, view=rack.view),
        "out_where": [view for view in rack.day.rounds if view.out],
        "away": [each for row in rack.rows for each in row.away],
        "short": [row for row in rack.rows if row.heads is not None and row.heads < row.by_the_book],
        "said": said,
        "field": field,
        "doubt": doubt,
        "clash": clash,
        "typed": request.POST if status != 200 else None,
        "form": posted.new_form,
    }
    return render(request, "walks/walk.html", context, status=status)


def _head_choices(row: WalkRow | None) -> tuple[int, ...]:
    """By the book, and one less; another number is typed."""
    if row is None:
        return ()
    return tuple(range(max(0, row.by_the_book - 1), row.by_the_book + 1))
