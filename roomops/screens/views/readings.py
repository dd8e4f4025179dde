"""Temperatures along a rack: the tank in hand is open, low ones come first."""

from __future__ import annotations

from collections import Counter
from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from roomops.desk import readings
from roomops.desk.day_types import Day
from roomops.desk.entries import Answer
from roomops.desk.readings import RackReadings, Read, ReadingRow
from roomops.desk.refusals import No, Refused
from roomops.papers.amounts import temperature_words
from roomops.planning.room import DutyKind
from roomops.screens import floor_work, posted
from roomops.screens.addresses import round_address
from roomops.screens.answers import CONFLICT, conflict, day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.views.walks import Doubt


@require_http_methods(["GET", "POST"])
def rack(request: InRoom, round_key: str = "") -> HttpResponse:
    """The readings of a round or of a rack."""
    day = day_of(request)
    asked = request.POST if request.method == "POST" else request.GET
    if not day.facts.tanks:
        return render(request, "walks/no_tanks.html", {"day": day, "reach": reach_of(day)})
    try:
        view = _shown(request, day=day, round_key=round_key, tank=asked.get("tank", ""))
    except Refused as no:
        said = no_words(request, no)
        context = {"day": day, "reach": reach_of(day), "said": said}
        return render(request, "walks/no_tanks.html", context, status=404)
    if request.method == "POST":
        return _say(request, view=view)
    return _page(request, view=view)


def _shown(request: InRoom, *, day: Day, round_key: str, tank: str) -> RackReadings:
    """The round asked for; else the rack of a tank; else the next round of readings; else the first rack."""
    if round_key:
        return readings.rack_view(day=day, round_key=round_key)
    rack_of = {each.key: each.rack for each in day.facts.tanks}
    asked = request.GET.get("rack", "")
    if tank in rack_of or asked:
        return readings.rack_view(day=day, rack=asked or rack_of[tank])
    views = floor_work.rounds_of(day=day, kinds=(DutyKind.READING,))
    due = floor_work.chosen(views=views, person=request.person.key)
    if due is not None:
        return readings.rack_view(day=day, round_key=due.key)
    return readings.rack_view(day=day, rack=day.facts.tanks[0].rack)


def _row(view: RackReadings, tank: str) -> ReadingRow | None:
    """The tank in hand: the one asked for, else a low one, else the first that is due."""
    if tank:
        return next((row for row in view.rows if row.tank == tank), None)
    low = (row for row in view.rows if _low(row))
    due = (row for row in view.rows if row.due and row.done_at is None)
    return next(low, None) or next(due, None)


def _low(row: ReadingRow) -> bool:
    return bool(row.basking and row.basking.out == "low" and not row.too_early)


def _say(request: InRoom, *, view: RackReadings) -> HttpResponse:
    row = _row(view, request.POST.get("tank", ""))
    if row is None:
        return _page(request, view=view, said="Pick a tank of this rack.", status=422)
    try:
        answers = _read(request, view=view, row=row)
    except posted.Typed as wrong:
        return _page(request, view=view, said=wrong.sentence, field=wrong.field, status=422)
    except Refused as no:
        sentence = no_words(request, no)
        if no.why is not No.DOUBTFUL:
            return _page(request, view=view, said=sentence, status=409)
        read = temperature_words(celsius=float(str(no.about.get("value_c", 0))), units=request.reader.units)
        return _page(
            request, view=view, doubt=Doubt(sentence=sentence, keep=f"Keep {read}, read again"), status=409
        )
    if conflict(answers):
        return _page(request, view=view, said=CONFLICT, clash=True, status=409)
    tell(request, answers)
    return redirect(_address(view) + "#now")


def _address(view: RackReadings) -> str:
    """The page of this round, or of this rack."""
    if view.view:
        return round_address(view.view)
    return reverse("readings") + "?" + urlencode({"rack": view.rack})


def _read(request: InRoom, *, view: RackReadings, row: ReadingRow) -> tuple[Answer, ...]:
    post, units = request.POST, request.reader.units
    basking = posted.temperature(post, "basking", what="basking side", units=units)
    cool = posted.temperature(post, "cool", what="cool side", units=units)
    if basking is None and cool is None:
        raise posted.Typed(
            f"Nothing was typed for {row.tank_name}: write the basking side, the cool side, or both.",
            field="basking",
        )
    read = Read(tank=row.tank, duty=row.duty, basking_c=basking, cool_c=cool)
    return readings.read(
        day=view.day, reads=(read,), by=request.person, form=posted.form_id(post), keep=bool(post.get("keep"))
    )


def _page(
    request: InRoom,
    *,
    view: RackReadings,
    said: str = "",
    field: str = "",
    doubt: Doubt | None = None,
    clash: bool = False,
    status: int = 200,
) -> HttpResponse:
    asked = request.POST if request.method == "POST" else request.GET
    current = _row(view, asked.get("tank", ""))
    low = [row for row in view.rows if _low(row)]
    context = {
        "day": view.day,
        "reach": reach_of(view.day),
        "rack": view,
        "current": current,
        "here": _address(view),
        "and": "?" if view.view else "&",
        "low": low,
        "first_low": current if current in low else next(iter(low), None),
        "hot": [row for row in view.rows if row.basking and row.basking.out == "high" and row.basking.at],
        "racks": _racks(view.day),
        "early": [row.tank_name for row in view.rows if row.too_early],
        "said": said,
        "field": field,
        "doubt": doubt,
        "clash": clash,
        "typed": request.POST if status != 200 else None,
        "form": posted.new_form,
    }
    return render(request, "walks/readings.html", context, status=status)


def _racks(day: Day) -> list[tuple[str, str, int]]:
    """Every rack by key and name, with how many of its tanks are still to be read."""
    rack_of = {tank.key: tank.rack for tank in day.facts.tanks}
    waiting = {day.duties[key].tank for key in day.undone if day.duties[key].kind is DutyKind.READING}
    due = Counter(rack_of[tank] for tank in waiting if tank in rack_of)
    return [(rack.key, rack.name, due[rack.key]) for rack in day.facts.racks]
