"""A room with a clean plan, and small hands to plant one breach in either of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

from roomops.planning import first_fit
from roomops.planning.plan import Duty, Plan, Round, Step
from roomops.planning.room import (
    Arriving,
    DutyKind,
    Lamp,
    LastDone,
    Medicine,
    Outdoors,
    Person,
    Reading,
    Room,
    Shift,
    Span,
    Status,
)
from tests.makers_planning import (
    ADULT,
    DAY,
    GECKO,
    GREENS,
    MICE,
    SHEETS,
    SNAKE,
    TORTOISE,
    food,
    hatchling,
    people,
    resident,
    room,
    tank,
    tray,
)
from tests.rooms import MIST, WATER

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


@cache
def busy() -> Pair:
    """Return a day with one of each other duty in it, and its plan: two hatchlings for the scale, a gecko to
    mist, a tortoise in water, a lamp blown, a snake fed tomorrow, an adult on medicine and owed sun.
    """
    (tray_a, tubs_a), week = tray("a", 8), DAY - dt.timedelta(days=7)
    made = room(
        **people(3, start=450, end=1230),
        tanks=tuple(tank(f"t{n}", n) for n in range(1, 8)),
        trays=(tray_a,),
        tubs=tubs_a,
        care=(*SHEETS[:2], replace(GECKO, mist=MIST), SNAKE, replace(TORTOISE, water=WATER)),
        residents=(
            hatchling("h1", "t1", weight_on=week),
            hatchling("h2", "t1", weight_on=week),
            resident(ADULT, "m1", "t2"),
            resident(ADULT, "m2", "t3"),
            resident(GECKO, "g1", "t4"),
            resident(SNAKE, "s1", "t5", girth_mm=24.0, last_fed_on=DAY - dt.timedelta(days=6)),
            resident(TORTOISE, "w1", "t6"),
            resident(ADULT, "lost", "t7", status=Status.MISSING),
        ),
        foods=(food("old"), MICE, GREENS),
        lamps=(Lamp(key="uv-1", tank="t1", kind="uv", name="UV", blown=True),),
        medicines=(Medicine(key="drops", resident="m1", times=2),),
        arriving=(Arriving(key="lot", kind="x", heads=3, on=DAY + dt.timedelta(days=1), tanks=("t7",)),),
        outdoors=Outdoors(
            windows=(Span(start=660, end=720), Span(start=730, end=900)), pens=("north",), owed=("m1", "m2")
        ),
        upkeep=(LastDone(subject="t6", kind=DutyKind.WATER, slot=3, on=DAY),),
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


def without_facts(facts: Room, kind: str) -> Room:
    """Return the busy room without what makes duties of one kind fall due."""
    unlit = tuple(replace(care, mist=None) if kind == "mist" else care for care in facts.care)
    dry = tuple(replace(care, water=None) if kind == "water" else care for care in unlit)
    changes: dict[str, Any] = {
        "weigh": {"residents": tuple(replace(r, weight_on=DAY) for r in facts.residents)},
        "mist": {"care": dry},
        "water": {"care": dry},
        "thaw": {"foods": tuple(replace(f, on_hand=0.0) if f.key == "mice-1" else f for f in facts.foods)},
        "lamp": {"lamps": ()},
        "sun": {"outdoors": Outdoors()},
        "medicine": {"medicines": ()},
        "search": {
            "residents": tuple(
                replace(r, status=Status.AT_VET) if r.key == "lost" else r for r in facts.residents
            )
        },
        "warm": {"arriving": ()},
    }
    return replace(facts, **changes[kind])
