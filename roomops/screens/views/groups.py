"""Several animals at once: parted from a tank, or brought together in one. All or none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from roomops.desk import animal_view, company, herd
from roomops.desk.day_types import Day
from roomops.desk.editing import label, tank_of, token
from roomops.desk.refusals import No, Refused
from roomops.papers import words
from roomops.planning.room import Status
from roomops.records.models import Resident, Tank
from roomops.screens import posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.views.animals import gone
from roomops.screens.views.hands import hand_of

MOST_FOUND = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """An animal that may be taken along. ``picked`` as it was pressed before."""

    key: str
    label: str
    mark: str
    heads: int
    seen: str
    weight_g: float | None
    status: str
    picked: bool
    taken: str  # heads typed


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """What the page is about: away from this tank, or into it."""

    tank: Tank
    bring: bool
    choices: Sequence[Choice]
    tanks: Sequence[tuple[str, str, int]]
    asked: str = ""
    more: bool = False


@require_http_methods(["GET", "POST"])
def move(request: InRoom, key: str) -> HttpResponse:
    """Move or part the animals of a tank: pick who, pick where to."""
    return _grouped(request, key=key, bring=False)


@require_http_methods(["GET", "POST"])
def bring(request: InRoom, key: str) -> HttpResponse:
    """Bring animals from other tanks together in this one."""
    return _grouped(request, key=key, bring=True)


def _grouped(request: InRoom, *, key: str, bring: bool) -> HttpResponse:
    day = day_of(request)
    try:
        group = _group(request, day=day, tank=tank_of(room=request.room, key=key), bring=bring)
    except Refused as no:
        return gone(request, day=day, no=no)
    if request.method == "GET":
        return _page(request, day=day, group=group)
    try:
        to, moved = _moved(request, group)
    except posted.Typed as wrong:
        return _page(request, day=day, group=group, said=wrong.sentence, status=422)
    except Refused as no:
        looked = no.why is No.SIZES_APART
        return _page(request, day=day, group=group, said=no_words(request, no), looked=looked, status=409)
    messages.success(request, f"Moved: {words.list_words([label(each) for each in moved])}.")
    return redirect("tank", key=to)


def _moved(request: InRoom, group: Group) -> tuple[str, Sequence[Resident]]:
    """Move those who are picked. Raises Typed for nobody, or nowhere, and what the desk refuses."""
    to = group.tank.key if group.bring else request.POST.get("to", "")
    moving = [_moving(request, each) for each in group.choices if each.picked]
    if not moving:
        raise posted.Typed("Pick at least one animal.", field="who")
    if not to:
        raise posted.Typed("Say where to: pick a tank.", field="to")
    hand = hand_of(request, looked="looked" in request.POST)
    status = Status.HERE if "over" in request.POST else None
    return to, herd.move(hand=hand, moving=moving, to=to, status=status)


def _moving(request: InRoom, each: Choice) -> herd.Moving:
    heads = None
    if each.heads > 1 and each.taken:
        heads = posted.whole(
            request.POST, f"heads-{each.key}", what=f"number of {each.label}", least=1, most=each.heads
        )
    return herd.Moving(key=each.key, seen=each.seen, heads=heads)


def _group(request: InRoom, *, day: Day, tank: Tank, bring: bool) -> Group:
    asked = " ".join((request.POST or request.GET).get("q", "").split())[:80]
    rows = animal_view.residents(day=day, asked=asked if bring else "")
    rows = rows.exclude(tank=tank) if bring else rows.filter(tank=tank)
    found = list(rows[: MOST_FOUND + 1]) if asked or not bring else []
    there = company.living(room=day.room, day=day.day)
    known = {each.key: each for those in there.values() for each in those}
    return Group(
        tank=tank,
        bring=bring,
        choices=[_choice(request, row, known) for row in found[:MOST_FOUND]],
        tanks=() if bring else _tanks(day, tank, there),
        asked=asked,
        more=len(found) > MOST_FOUND,
    )


def _choice(request: InRoom, row: Resident, known: Mapping[str, company.Living]) -> Choice:
    living = known.get(row.key)
    return Choice(
        key=row.key,
        label=label(row),
        mark=row.mark,
        heads=row.heads,
        seen=request.POST.get(f"seen-{row.key}", "") or token(row),
        weight_g=living.weight_g if living else None,
        status=row.status,
        picked=row.key in request.POST.getlist("who"),
        taken=request.POST.get(f"heads-{row.key}", "").strip(),
    )


def _tanks(
    day: Day, own: Tank, there: Mapping[str, Sequence[company.Living]]
) -> Sequence[tuple[str, str, int]]:
    return [
        (tank.key, tank.name, sum(each.heads for each in there.get(tank.key, ())))
        for tank in day.facts.tanks
        if tank.key != own.key
    ]


def _page(
    request: InRoom, *, day: Day, group: Group, said: str = "", looked: bool = False, status: int = 200
) -> HttpResponse:
    context = {
        "day": day,
        "reach": reach_of(day),
        "group": group,
        "tank": group.tank,
        "quarantine": any(each.status == Status.QUARANTINE for each in group.choices),
        "typed": request.POST,
        "said": said,
        "looked": looked,
    }
    return render(request, "room/group.html", context, status=status)
