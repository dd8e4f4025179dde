"""What is done or not: tanks cleaned, insects fed and watered, greens chopped."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from roomops.desk import chores
from roomops.desk.chores import ChoreRow, ChoresView
from roomops.desk.day_types import Day
from roomops.desk.refusals import Refused
from roomops.papers.words import kind_words
from roomops.planning.room import DutyKind
from roomops.screens import floor_work, posted
from roomops.screens.answers import CONFLICT, conflict, day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of

BENCH = (
    DutyKind.CUPS, DutyKind.INSECTS, DutyKind.MIST, DutyKind.WATER, DutyKind.THAW, DutyKind.WARM,
)  # fmt: skip
HOW = {
    DutyKind.CUPS: ("Washed, chopped fine, in separate piles; no more than is eaten before it wilts.",),
    DutyKind.INSECTS: ("Food, water that nothing drowns in, dead ones out. Look at every kind.",),
    DutyKind.MIST: (
        "Warm water on leaves and glass until drops hang; not on lamps, plugs or a hot bulb.",
        "Many drink only these drops. Look whether it drinks.",
    ),
    DutyKind.WATER: (
        "Heater, filter and pump are unplugged before a hand goes in. No water on plugs: drip loop.",
        "New water free of chlorine and as warm as the old. Gloves, and hands after: Salmonella.",
        "Filter media are rinsed in water from this tank, not under the tap.",
    ),
    DutyKind.THAW: (
        "From the freezer into the refrigerator overnight, sealed and apart from people’s food.",
        "Never in a microwave, and never frozen again. Hands and bench are washed after.",
    ),
    DutyKind.WARM: (
        "Lamps, heat and thermostat on with the probe in place; hides, water and floor as the sheet says.",
        "Let it run a day, then read both ends: nobody moves in before they are in band.",
    ),
}
"""What to do and what can hurt, line by line: common practice. The care sheet and a vet come first."""


@require_http_methods(["GET", "POST"])
def clean(request: InRoom, round_key: str = "") -> HttpResponse:
    """Clean and water, tank by tank."""
    return _chores(request, kinds=(DutyKind.CLEAN,), key=round_key, template="walks/clean.html")


@require_http_methods(["GET", "POST"])
def bench(request: InRoom, round_key: str = "") -> HttpResponse:
    """Greens chopped, insects fed and watered, and other work with a box each: mist, water, thaw, warm."""
    kinds = BENCH
    return _chores(request, kinds=kinds, key=round_key, template="walks/bench.html")


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One of the two pages, with the round that it was opened for ('' for all)."""

    request: InRoom
    day: Day
    kinds: Sequence[DutyKind]
    key: str
    template: str


def _chores(request: InRoom, *, kinds: Sequence[DutyKind], key: str, template: str) -> HttpResponse:
    page = Page(request=request, day=day_of(request), kinds=kinds, key=key, template=template)
    if request.method == "POST":
        return _say(page)
    return _show(page)


def _say(page: Page) -> HttpResponse:
    request, post = page.request, page.request.POST
    try:
        form = posted.form_id(post)
        if "undo" in post:
            answers = chores.not_done(day=page.day, duty=post["undo"], by=request.person, form=form)
        else:
            answers = chores.done(day=page.day, duties=post.getlist("done"), by=request.person, form=form)
    except posted.Typed as wrong:
        return _show(page, said=wrong.sentence, status=422)
    except Refused as no:
        return _show(page, said=no_words(request, no), status=409)
    if conflict(answers):
        return _show(page, said=CONFLICT, clash=True, status=409)
    tell(request, answers)
    return redirect(request.path)


def _show(page: Page, *, said: str = "", clash: bool = False, status: int = 200) -> HttpResponse:
    day = page.day
    views = floor_work.rounds_of(day=day, kinds=page.kinds)
    shown = [view for view in views if view.key == page.key] or list(views)
    parts = [chores.chores_view(day=day, round_key=view.key) for view in shown]
    rows = [(part, row) for part in parts for row in part.rows]
    done = [each for each in rows if each[1].done_at]
    context = {
        "day": day,
        "reach": reach_of(day),
        "strip": floor_work.parts(day=day, views=views, here=page.key),
        "parts": [_part(part, day) for part in parts],
        "left": len(rows) - len(done),
        "all": len(rows),
        "done": sorted(done, key=lambda each: each[1].done_at, reverse=True),
        "first": next((row.duty for _, row in rows if not row.done_at), ""),
        "insects": [food for food in day.facts.foods if food.category == "insect"],
        "greens": [food for food in day.facts.foods if food.category == "greens"],
        "said": said,
        "clash": clash,
        "form": posted.new_form,
    }
    return render(page.request, page.template, context, status=status)


def _part(part: ChoresView, day: Day) -> Mapping[str, object]:
    """One round with its rows, each beside the key of its tank."""
    return {
        "view": part.view,
        "kind": part.kind,
        "left": part.left,
        "title": kind_words(kind=DutyKind(part.kind), slot=part.view.round.slot),
        "how": HOW.get(DutyKind(part.kind), ()),
        "where": floor_work.where_words(day=day, view=part.view),
        "rows": [(row, _tank(row, day)) for row in part.rows],
    }


def _tank(row: ChoreRow, day: Day) -> str:
    """The key of its tank; '' for work of the room."""
    return day.duties[row.duty].tank if row.duty in day.duties else ""
