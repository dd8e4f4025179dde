"""The verifier sees every breach: one planted for each of its rules, and nothing in a clean plan."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from roomops.planning import first_fit, verify
from roomops.planning.plan import Plan, Seat, Shortfall, StepKind, Why
from roomops.planning.room import Begun, Done, DutyKind, Outage, Reading, Room, Span
from tests.makers_planning import DAY, food
from tests.planning.planted import (
    D,
    Pair,
    Plant,
    busy,
    changed,
    clean,
    feed,
    moved,
    numbered,
    of_kind,
    round_of,
    stretched,
    with_duty,
    with_portion,
)

PLANNING = Path(verify.__file__).parent
PLANTED: dict[str, list[Plant]] = {}


def plants(rule: str) -> Callable[[Plant], Plant]:
    """Name the rule that a planted breach breaks."""

    def keep(plant: Plant) -> Plant:
        PLANTED.setdefault(rule, []).append(plant)
        return plant

    return keep


def rules_broken(pair: Pair) -> set[str]:
    return {each.rule for each in verify.breaches(room=pair[0], plan=pair[1])}


def without(plan: Plan, duty: str) -> Plan:
    """Return the plan without one duty in its round, its seats gone with it."""
    old = round_of(plan, duty)
    return changed(
        plan,
        old,
        duties=tuple(d for d in old.duties if d != duty),
        seats=tuple(s for s in old.seats if s.duty != duty),
    )


def long_days(room: Room) -> Room:
    """Return the room with both people there from the first shift's start to the last one's end."""
    return replace(room, shifts=tuple(replace(s, start=450, end=1230) for s in room.shifts))


def left(plan: Plan, duty: str, why: Why) -> Plan:
    """Return the plan with one duty taken out and explained, its score counted."""
    found = next(d for d in plan.duties if d.key == duty)
    said = {found.need.value: getattr(plan.scores, found.need.value) + found.heads}
    scores = replace(plan.scores, **said)
    return replace(
        without(plan, duty), unplaced=(*plan.unplaced, Shortfall(duty=duty, why=why)), scores=scores
    )


# ---------------------------------------------------------------- duties and answers


@plants("another room or day")
def _(room: Room, plan: Plan) -> Pair:
    return room, replace(plan, day="2026-06-10")


@plants("another room or day")
def _(room: Room, plan: Plan) -> Pair:
    return room, replace(plan, room="elsewhere")


@plants("missing duty")
def _(room: Room, plan: Plan) -> Pair:
    return room, replace(plan, duties=tuple(d for d in plan.duties if d.key != f"{D}/clean/t1/0"))


@plants("duty changed")
def _(room: Room, plan: Plan) -> Pair:
    return room, with_duty(plan, feed("h1", 3), closes=1200)


@plants("duty listed twice")
def _(room: Room, plan: Plan) -> Pair:
    return room, replace(plan, duties=(*plan.duties, plan.duties[0]))


@plants("unknown duty")
def _(room: Room, plan: Plan) -> Pair:
    walk = of_kind(plan, DutyKind.OPENING)[0]
    return room, changed(plan, walk, duties=(*walk.duties, f"{D}/opening/t9/0"))


@plants("unknown duty")
def _(room: Room, plan: Plan) -> Pair:
    return room, replace(plan, duties=(*plan.duties, replace(plan.duties[0], key=f"{D}/opening/t9/0")))


@plants("unknown duty")
def _(room: Room, plan: Plan) -> Pair:
    nobody = Shortfall(duty=feed("nobody"), why=Why.NO_TIME)
    return room, replace(plan, unplaced=(*plan.unplaced, nobody))


@plants("not planned")
def _(room: Room, plan: Plan) -> Pair:
    return room, without(plan, feed("h1", 3))


@plants("planned twice")
def _(room: Room, plan: Plan) -> Pair:
    walk = of_kind(plan, DutyKind.CLEAN)[0]
    plan = moved(plan, walk, 1000)
    walk = of_kind(plan, DutyKind.CLEAN)[-1]
    twice = (*walk.duties, walk.duties[0])
    return room, changed(plan, walk, duties=twice, **stretched(walk, StepKind.WORK, 3))


@plants("planned twice")
def _(room: Room, plan: Plan) -> Pair:
    both = Shortfall(duty=f"{D}/clean/t1/0", why=Why.NO_TIME)
    scores = replace(plan.scores, should=plan.scores.should + 1)
    return room, replace(plan, unplaced=(*plan.unplaced, both), scores=scores)


@plants("settled planned again")
def _(room: Room, plan: Plan) -> Pair:
    return replace(room, done=(Done(duty=f"{D}/clean/t1/0", person="p1", minute=500, outcome="done"),)), plan


@plants("settled planned again")
def _(room: Room, plan: Plan) -> Pair:
    begun = Begun(person="p2", duties=(f"{D}/clean/t1/0",), start=500, person_free=500)
    return replace(room, begun=(begun,)), plan


@plants("numbered through the day")
def _(room: Room, plan: Plan) -> Pair:
    return room, changed(plan, plan.rounds[3], number=40)


@plants("numbered through the day")
def _(room: Room, plan: Plan) -> Pair:
    first, second, *rest = plan.rounds
    return room, replace(plan, rounds=(replace(second, number=1), replace(first, number=2), *rest))


@plants("round named twice")
def _(room: Room, plan: Plan) -> Pair:
    return room, changed(plan, plan.rounds[1], key=plan.rounds[0].key)


@plants("reason without grounds")
def _(room: Room, plan: Plan) -> Pair:
    return room, left(plan, feed("h1", 3), Why.BASKING_LOW)


@plants("reason without grounds")
def _(room: Room, plan: Plan) -> Pair:
    return room, left(plan, feed("h1", 3), Why.NO_TUB_FITS)


@plants("reason without grounds")
def _(room: Room, plan: Plan) -> Pair:
    return room, left(plan, feed("h1", 3), Why.NO_TUBS)


@plants("reason without grounds")
def _(room: Room, plan: Plan) -> Pair:
    return room, left(plan, feed("h1", 3), Why.FIRST_NOT_SERVED)


@plants("reason without grounds")
def _(room: Room, plan: Plan) -> Pair:
    return room, left(plan, feed("h1", 3), Why.NOT_ALLOWED)


@plants("scores")
def _(room: Room, plan: Plan) -> Pair:
    return room, replace(plan, scores=replace(plan.scores, must=plan.scores.must + 1))


@plants("scores")
def _(room: Room, plan: Plan) -> Pair:
    return room, replace(plan, scores=replace(plan.scores, should=plan.scores.should + 1))


# ---------------------------------------------------------------- rounds and steps


@plants("empty round")
def _(room: Room, plan: Plan) -> Pair:
    free = replace(of_kind(plan, DutyKind.CLEAN)[0], key="nothing", duties=(), start=1200, end=1200, steps=())
    return room, numbered(plan, [*plan.rounds, free])


@plants("one sort of work")
def _(room: Room, plan: Plan) -> Pair:
    return room, changed(plan, of_kind(plan, DutyKind.CLEAN)[0], slot=1)


@plants("steps in order")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, feed("h1", 3))
    return room, changed(plan, old, steps=old.steps[1:])


@plants("steps in order")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, f"{D}/opening/t3/0")
    return room, changed(plan, old, steps=old.steps[:1], end=old.steps[0].end)


@plants("steps add up")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, feed("h1", 3))
    return room, changed(plan, old, end=old.end + 5)


@plants("steps add up")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, feed("h1", 3))
    wash = replace(old.steps[-1], start=old.steps[-1].start + 2, end=old.steps[-1].end + 2)
    return room, changed(plan, old, steps=(*old.steps[:-1], wash), end=wash.end)


@pytest.mark.parametrize("kind", [k for k in StepKind if k is not StepKind.WORK])
def test_every_step_of_a_round_in_tubs_takes_its_time(kind: StepKind) -> None:
    room, plan = clean()
    old = round_of(plan, feed("h1", 3))
    longer = changed(plan, old, **stretched(old, kind, 1 if kind is not StepKind.FEED else 0))
    assert rules_broken((room, longer)) == set()
    shorter = changed(plan, old, **stretched(old, kind, -1))
    assert "step takes time" in rules_broken((room, shorter))


@plants("step takes time")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, f"{D}/closing/t1/0")
    return room, changed(plan, old, **stretched(old, StepKind.WORK, -1))


@plants("step takes time")
def _(room: Room, plan: Plan) -> Pair:
    """Nobody leaves quarantine without washing and changing."""
    old = round_of(plan, f"{D}/clean/t3/0")
    return room, changed(plan, old, **stretched(old, StepKind.WASH, -1))


@plants("before its window")
def _(room: Room, plan: Plan) -> Pair:
    return room, moved(plan, round_of(plan, f"{D}/closing/t1/0"), 1109)


@plants("after its window")
def _(room: Room, plan: Plan) -> Pair:
    return room, moved(plan, round_of(plan, f"{D}/reading/t3/0"), 720)


# ---------------------------------------------------------------- people


@plants("unknown person")
def _(room: Room, plan: Plan) -> Pair:
    return replace(room, people=(room.people[0], replace(room.people[1], key="p3"))), plan


@plants("may not do quarantine")
def _(room: Room, plan: Plan) -> Pair:
    return room, moved(plan, round_of(plan, f"{D}/clean/t3/0"), 1000, person="p2")


@plants("in the past")
def _(room: Room, plan: Plan) -> Pair:
    return replace(room, now_min=451), plan


@plants("one round at a time")
def _(room: Room, plan: Plan) -> Pair:
    first = round_of(plan, feed("h1", 3))
    return room, moved(plan, of_kind(plan, DutyKind.INSECTS)[0], first.end - 1, person=first.person)


@plants("one round at a time")
def _(room: Room, plan: Plan) -> Pair:
    early = min(r.start for r in plan.rounds if r.person == "p2")
    busy = Begun(person="p2", duties=(), start=0, person_free=early + 1)
    return replace(room, begun=(busy,)), plan


@plants("within the shift")
def _(room: Room, plan: Plan) -> Pair:
    return room, moved(plan, round_of(plan, f"{D}/clean/t3/0"), 1076)


@plants("while away")
def _(room: Room, plan: Plan) -> Pair:
    mine = round_of(plan, f"{D}/clean/t1/0")
    away = Span(start=mine.end - 1, end=mine.end + 9, person=mine.person, why="a call")
    return replace(room, peaks=(*room.peaks, away)), plan


@plants("share of the shift")
def _(room: Room, plan: Plan) -> Pair:
    work = sum(r.end - r.start for r in plan.rounds if r.person == "p1")
    shift = room.shifts[0]
    return replace(
        room, shifts=(replace(shift, share=(work - 1) / (shift.end - shift.start)), room.shifts[1])
    ), plan


@plants("in a shop peak")
def _(room: Room, plan: Plan) -> Pair:
    clean_up = round_of(plan, f"{D}/clean/t1/0")
    return replace(room, peaks=(*room.peaks, Span(start=clean_up.end - 1, end=clean_up.end + 5))), plan


@plants("quarantine last")
def _(room: Room, plan: Plan) -> Pair:
    apart = round_of(plan, f"{D}/clean/t3/0")
    return room, moved(plan, round_of(plan, f"{D}/clean/t1/0"), apart.end, person=apart.person)


@plants("counted before feeding")
def _(room: Room, plan: Plan) -> Pair:
    out_at = round_of(plan, feed("h1", 1)).steps[1].start
    return long_days(room), moved(plan, round_of(plan, f"{D}/opening/t1/0"), out_at - 7, person="p2")


@plants("counted after feeding")
def _(room: Room, plan: Plan) -> Pair:
    late = replace(long_days(room), timers=(replace(room.timers[0], off=1300),))
    for key in [d.key for d in plan.duties if d.kind is DutyKind.FEED]:
        plan = with_duty(plan, key, closes=1180)
    plan = with_duty(plan, f"{D}/cups/juniper-street/0", closes=1180)
    plan = moved(plan, round_of(plan, f"{D}/closing/t1/0"), 1110, person="p1")
    return late, moved(plan, round_of(plan, feed("h1", 3)), 1100, person="p2")


# ---------------------------------------------------------------- tubs


@plants("seat without a feed")
def _(room: Room, plan: Plan) -> Pair:
    seat = Seat(duty=f"{D}/clean/t1/0", head=1, tub="a1")
    return room, changed(plan, round_of(plan, f"{D}/clean/t1/0"), seats=(seat,))


@plants("each head one seat")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, feed("h1", 1))
    return room, changed(plan, old, seats=old.seats[1:])


@plants("first in first out")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, feed("h1", 1))
    return room, changed(plan, old, seats=old.seats[::-1])


@plants("watched at once")
def _(room: Room, plan: Plan) -> Pair:
    return replace(room, settings=replace(room.settings, watch_most=7)), plan


@plants("alone in its tub")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, feed("h1", 1))
    twice = replace(old.seats[1], tub=old.seats[0].tub)
    return room, changed(plan, old, seats=(old.seats[0], twice, *old.seats[2:]))


@plants("unknown tub")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, feed("h1", 1))
    return room, changed(plan, old, seats=(replace(old.seats[0], tub="b9"), *old.seats[1:]))


@plants("tub too small")
def _(room: Room, plan: Plan) -> Pair:
    return replace(room, tubs=(replace(room.tubs[0], fits_mm=119.0), *room.tubs[1:])), plan


@plants("quarantine has its own tubs")
def _(room: Room, plan: Plan) -> Pair:
    return replace(room, tubs=(replace(room.tubs[0], quarantine=True), *room.tubs[1:])), plan


@plants("one tray")
def _(room: Room, plan: Plan) -> Pair:
    return replace(room, tubs=(replace(room.tubs[0], tray="q"), *room.tubs[1:])), plan


@plants("out of heat")
def _(room: Room, plan: Plan) -> Pair:
    old = round_of(plan, feed("h1", 3))
    return room, changed(plan, old, **stretched(old, StepKind.FEED, 2))


@plants("tub washed first")
def _(room: Room, plan: Plan) -> Pair:
    begun = Begun(person="p2", duties=(), start=0, person_free=0, tubs=("a1",), tubs_free=529)
    return replace(room, begun=(begun,)), plan


# ---------------------------------------------------------------- feeds


@plants("gap")
def _(room: Room, plan: Plan) -> Pair:
    before = round_of(plan, feed("k1", 1)).steps[2].start
    old = round_of(plan, feed("k1", 2))
    return room, moved(plan, old, before + 179 - (old.steps[2].start - old.start))


@plants("second only with a first")
def _(room: Room, plan: Plan) -> Pair:
    return room, left(plan, feed("h1", 2), Why.NO_TIME)


@plants("basking low")
def _(room: Room, plan: Plan) -> Pair:
    again = f"{D}/reading/t1/1"
    read = Reading(tank="t1", spot="basking", value_c=37.9, minute=501, on=DAY)
    low = replace(room, readings=(*room.readings, read))
    known = first_fit.plan_day(room=low)
    more = tuple(d for d in known.duties if d.key == again)
    scores = replace(plan.scores, must=plan.scores.must + 1)
    short = Shortfall(duty=again, why=Why.NO_TIME)
    return low, replace(plan, duties=(*plan.duties, *more), unplaced=(*plan.unplaced, short), scores=scores)


@plants("greens chopped first")
def _(room: Room, plan: Plan) -> Pair:
    dish = round_of(plan, feed("m1", 1)).start
    return long_days(room), moved(plan, of_kind(plan, DutyKind.CUPS)[0], dish - 24, person="p2")


@plants("portion named")
def _(room: Room, plan: Plan) -> Pair:
    return room, with_duty(plan, feed("h1", 1), portion=None)


@plants("portion named")
def _(room: Room, plan: Plan) -> Pair:
    return room, with_portion(plan, feed("h1", 1), food="")


@plants("food of the sheet")
def _(room: Room, plan: Plan) -> Pair:
    worms = replace(room, foods=(*room.foods, food("worms", "mealworm")))
    return worms, with_portion(plan, feed("h1", 1), food="worms", kind="mealworm")


@plants("prey too large")
def _(room: Room, plan: Plan) -> Pair:
    return room, with_portion(plan, feed("i1", 1), food="large", size_mm=9.7)


@plants("portion as it is")
def _(room: Room, plan: Plan) -> Pair:
    """An estimated limit is said to be one."""
    return room, with_portion(plan, feed("h1", 1), estimated=False)


@plants("portion as it is")
def _(room: Room, plan: Plan) -> Pair:
    return room, with_portion(plan, feed("h1", 2), dusted=True)


@plants("count of the sheet")
def _(room: Room, plan: Plan) -> Pair:
    return room, with_portion(plan, feed("h1", 1), count=7)


@plants("shelf empty")
def _(room: Room, plan: Plan) -> Pair:
    wanted = 8 * 3 * 10
    return replace(
        room, foods=tuple(replace(f, on_hand=wanted - 1.0) if f.key == "old" else f for f in room.foods)
    ), plan


@plants("oldest first")
def _(room: Room, plan: Plan) -> Pair:
    return room, with_portion(plan, feed("h1", 1), food="new")


@plants("food was there")
def _(room: Room, plan: Plan) -> Pair:
    return room, left(plan, feed("h1", 3), Why.NO_FOOD)


# ---------------------------------------------------------------- scale, sun, an outage


@plants("weighed before feeding")
def _(room: Room, plan: Plan) -> Pair:
    room, plan = busy()
    return room, moved(plan, of_kind(plan, DutyKind.WEIGH)[0], 560, person="p3")


@plants("out of the fit hours")
def _(room: Room, plan: Plan) -> Pair:
    """It stands over the ten minutes between two fit stretches."""
    room, plan = busy()
    return room, moved(plan, of_kind(plan, DutyKind.SUN)[1], 709)


@plants("one session at a time")
def _(room: Room, plan: Plan) -> Pair:
    room, plan = busy()
    first, second = of_kind(plan, DutyKind.SUN)
    return room, moved(plan, second, first.end - 1)


@plants("a pen for each")
def _(room: Room, plan: Plan) -> Pair:
    room, plan = busy()
    first, second = of_kind(plan, DutyKind.SUN)
    both = {"duties": (*first.duties, *second.duties), **stretched(first, StepKind.WORK, 2)}
    left_out = replace(plan, rounds=tuple(r for r in plan.rounds if r is not second))
    return room, numbered(plan, list(changed(left_out, first, **both).rounds))


@plants("sun after a feed")
def _(room: Room, plan: Plan) -> Pair:
    room, plan = busy()
    fed = round_of(plan, feed("m2", 2))
    return room, moved(plan, of_kind(plan, DutyKind.SUN)[1], fed.end + 59)


@plants("no feed while heat or power is out")
def _(room: Room, plan: Plan) -> Pair:
    room, plan = busy()
    room = replace(room, outage=Outage(kind="heat", began=1200))
    held = first_fit.plan_day(room=room)
    fed = replace(round_of(plan, feed("g1")), person="p3")
    scores = replace(held.scores, must=held.scores.must - 1)
    why = tuple(s for s in held.unplaced if s.duty != feed("g1"))
    return room, numbered(replace(held, unplaced=why, scores=scores), [*held.rounds, fed])


@plants("reason without grounds")
def _(room: Room, plan: Plan) -> Pair:
    return room, left(plan, feed("h1", 3), Why.HEAT_OR_POWER)


# ---------------------------------------------------------------- the tests

BESIDES = {
    "another room or day": set(),
    "empty round": {"within the shift"},
}
"""Rules that a planted breach cannot help but break besides."""


def test_a_clean_plan_has_no_breach() -> None:
    assert rules_broken(clean()) == set()


def cases() -> list[tuple[str, Plant]]:
    return [(rule, plant) for rule, found in PLANTED.items() for plant in found]


@pytest.mark.parametrize(
    ("rule", "plant"), cases(), ids=[f"{rule}, {n}" for n, (rule, _) in enumerate(cases())]
)
def test_a_planted_breach_is_seen_by_its_rule_and_by_no_other(rule: str, plant: Plant) -> None:
    """Without this rule the breach would pass unseen: no other rule notices it."""
    found = rules_broken(plant(*clean()))
    assert rule in found
    assert found - {rule} <= BESIDES.get(rule, set())


def test_every_rule_of_the_verifier_has_a_planted_breach() -> None:
    texts = [path.read_text(encoding="utf-8") for path in sorted(PLANNING.glob("verify*.py"))]
    rules = {rule for text in texts for rule in re.findall(r'breach\(\s*"([^"]+)"', text)}
    assert rules == set(PLANTED)
