"""A room with a clean plan, and small hands to plant one breach in either of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

from roomops.planning import first_fit
from roomops.planning.plan import Duty, Plan, Round, Step
from roomops.planning.room import DutyKind, Person, Reading, Room, Shift, Span, Status
from tests.makers_planning import ADULT, DAY, GREENS, SNAKE, food, hatchling, resident, room, tank, tray

Pair = tuple[Room, Plan]
Plant = Callable[[Room, Plan], Pair]
D = DAY.isoformat()


@cache
def clean() -> Pair:
    """Return ten hatchlings in three tanks, one of them quarantine, an adult, a snake, and their plan."""
    (tray_a, tubs_a), (tray_q, tubs_q) = tray("a", 8), tray("q", 4, quarantine=True)
    made = room(
        people=(Person(key="p1", name="Oskar"), Person(key="p2", name="Lupe", may_quarantine=False)),
        shifts=(
            Shift(person="p1", start=450, end=1080, share=0.85),
            Shift(person="p2", start=540, end=1230, share=0.85),
        ),
        peaks=(Span(start=720, end=750, why="noon"), Span(start=840, end=870, person="p2", why="dentist")),
        tanks=(tank("t1", 1), tank("t2", 2), tank("t3", 3, quarantine=True), tank("t4", 4), tank("t5", 5)),
        trays=(tray_a, tray_q),
        tubs=tubs_a + tubs_q,
        residents=(
            *(hatchling(f"h{n}", "t1") for n in range(1, 5)),
            *(hatchling(f"i{n}", "t2", gap_mm=8.0) for n in range(1, 5)),
            *(hatchling(f"k{n}", "t3", status=Status.QUARANTINE) for n in range(1, 3)),
            resident(ADULT, "m1", "t4"),
            resident(SNAKE, "s1", "t5", girth_mm=24.0),
        ),
        foods=(
            food("old", on_hand=1000.0),
            food("new", received=DAY, on_hand=1000.0),
            food("large", size_mm=9.7, received=DAY - dt.timedelta(days=9)),
            food("mice", "mouse", category="rodent", size_mm=18.0, on_hand=30.0),
            GREENS,
        ),
        readings=(Reading(tank="t1", spot="basking", value_c=40.0, minute=500, on=DAY),),
    )
    return made, first_fit.plan_day(room=made)


def feed(subject: str, slot: int = 1) -> str:
    return f"{D}/feed/{subject}/{slot}"


def round_of(plan: Plan, duty: str) -> Round:
    return next(r for r in plan.rounds if duty in r.duties)


def numbered(plan: Plan, rounds: list[Round]) -> Plan:
    rounds = sorted(rounds, key=lambda r: (r.start, r.number))
    return replace(plan, rounds=tuple(replace(r, number=n) for n, r in enumerate(rounds, start=1)))


def changed(plan: Plan, old: Round, **changes: Any) -> Plan:
    """Return the plan with one round changed, its place in the day kept."""
    return replace(plan, rounds=tuple(replace(r, **changes) if r is old else r for r in plan.rounds))


def moved(plan: Plan, old: Round, to: int, **changes: Any) -> Plan:
    """Return the plan with one round begun at another minute, and numbered anew."""
    by = to - old.start
    steps = tuple(Step(kind=s.kind, start=s.start + by, end=s.end + by) for s in old.steps)
    new = replace(old, start=to, end=old.end + by, steps=steps, **changes)
    return numbered(plan, [new if r is old else r for r in plan.rounds])


def stretched(old: Round, kind: Any, by: int) -> dict[str, Any]:
    """Return the changes that make one step of a round longer or shorter, and shift what follows."""
    steps, shift = [], 0
    for step in old.steps:
        longer = by if step.kind is kind else 0
        steps.append(Step(kind=step.kind, start=step.start + shift, end=step.end + shift + longer))
        shift += longer
    return {"steps": tuple(steps), "end": old.end + by}


def with_duty(plan: Plan, key: str, **changes: Any) -> Plan:
    return replace(plan, duties=tuple(replace(d, **changes) if d.key == key else d for d in plan.duties))


def with_portion(plan: Plan, key: str, **changes: Any) -> Plan:
    def new(duty: Duty) -> Duty:
        assert duty.portion is not None
        return replace(duty, portion=replace(duty.portion, **changes))

    return replace(plan, duties=tuple(new(d) if d.key == key else d for d in plan.duties))


def of_kind(plan: Plan, kind: DutyKind) -> list[Round]:
    return [r for r in plan.rounds if r.kind is kind]
