"""List scheduling against Graham's published bounds, and the day against bounds that share no code with it.

Tight instances: Graham 1966 (BSTJ 45: 1563) and 1969 (SIAM J. Appl. Math. 17: 416). Each rack is one round
of the opening walk, its tanks its minutes; everything else of the day is done.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from roomops.planning import bounds, duties, first_fit, verify
from roomops.planning.plan import Plan
from roomops.planning.room import Done, DutyKind, Rack, Room, Settings
from tests.makers_planning import hatchling, people, room, tank
from tests.rooms import SIZES, generated


def racks_of(minutes: list[int], *, persons: int) -> Room:
    """Return a room whose opening walk is one round a rack, as long as ``minutes`` says, in that order."""
    tanks = [
        tank(f"t{rack}-{n}", n, rack=f"r{rack:02}", timer="")
        for rack, length in enumerate(minutes)
        for n in range(length)
    ]
    base = room(
        settings=Settings(open_walk_min=1.0, open_within_min=400),
        racks=tuple(Rack(key=f"r{rack:02}", name=f"Rack {rack}", order=rack) for rack in range(len(minutes))),
        tanks=tuple(tanks),
        residents=tuple(hatchling(f"h-{t.key}", t.key) for t in tanks),
        foods=(),
        **people(persons, share=1.0),
    )
    rest = [d.key for d in duties.due(room=base) if d.kind is not DutyKind.OPENING]
    return replace(base, done=tuple(Done(duty=key, person="p1", minute=0, outcome="done") for key in rest))


def length(plan: Plan) -> int:
    return max(r.end for r in plan.rounds) - min(r.start for r in plan.rounds)


def graham(m: int) -> list[int]:
    return [1] * (m * (m - 1)) + [m]


def longest_first(m: int) -> list[int]:
    return [n for n in range(2 * m - 1, m, -1) for _ in range(2)] + [m] * 3


@pytest.mark.parametrize(("m", "listed", "best"), [(2, 3, 2), (3, 5, 3), (4, 7, 4)])
def test_a_list_in_the_worst_order_ends_at_grahams_tight_bound(m: int, listed: int, best: int) -> None:
    facts = racks_of(graham(m), persons=m)
    plan = first_fit.plan_by(room=facts, rule=first_fit.AS_LISTED)
    assert length(plan) == listed
    assert bounds.load_bound(minutes=graham(m), people=m) == best
    assert Fraction(listed, best) == bounds.listed_guarantee(people=m)
    assert length(first_fit.plan_by(room=facts, rule=first_fit.LONGEST)) == best


@pytest.mark.parametrize(("m", "longest", "best"), [(2, 7, 6), (3, 11, 9), (4, 15, 12)])
def test_longest_first_ends_at_its_tight_bound(m: int, longest: int, best: int) -> None:
    facts = racks_of(longest_first(m), persons=m)
    plan = first_fit.plan_by(room=facts, rule=first_fit.LONGEST)
    assert verify.breaches(room=facts, plan=plan) == ()
    assert length(plan) == longest
    assert bounds.load_bound(minutes=longest_first(m), people=m) == best
    assert Fraction(longest, best) == bounds.longest_first_guarantee(people=m)


@pytest.mark.parametrize(
    ("minutes", "people", "bound"), [([4, 4, 4], 2, 6), ([9, 1, 1], 2, 9), ([], 3, 0), ([1, 1, 1], 2, 2)]
)
def test_the_load_bound_is_the_mean_load_or_the_longest_round(
    minutes: list[int], people: int, bound: int
) -> None:
    assert bounds.load_bound(minutes=minutes, people=people) == bound


def test_nobody_ends_nothing() -> None:
    with pytest.raises(ValueError, match="give at least one"):
        bounds.load_bound(minutes=[1], people=0)


@pytest.mark.parametrize("size", SIZES)
def test_no_plan_leaves_less_than_the_bound(size: str) -> None:
    facts = generated(**SIZES[size])
    task = first_fit.prepare(room=facts)
    servable = [d for job in task.jobs for d in job.duties]
    blocked = sum(d.heads for d in task.duties if d.key in task.blocked and d.need.value == "must")
    bound = bounds.unserved_must(room=facts, duties=servable) + blocked
    assert first_fit.plan_day(room=facts).scores.must >= bound
    if size == "small":
        assert bound == 0


def test_the_bound_of_a_day_without_people_is_everything() -> None:
    facts = replace(room(), shifts=())
    task = first_fit.prepare(room=facts)
    servable = [d for job in task.jobs for d in job.duties]
    must = sum(d.heads for d in servable if d.need.value == "must")
    assert bounds.unserved_must(room=facts, duties=servable) == must
    assert first_fit.plan_day(room=facts).scores.must == must


def test_the_bound_counts_tubs_where_people_are_plenty() -> None:
    """Four heads, one tub held 27 minutes a head, a window of an hour: two are served, two are not."""
    facts = room(**people(6), tubs=room().tubs[:1], timers=(replace(room().timers[0], off=600),))
    task = first_fit.prepare(room=facts)
    firsts = [d for job in task.jobs for d in job.duties if d.kind is DutyKind.FEED and d.slot == 1]
    assert {(d.opens, d.closes) for d in firsts} == {(480, 480)}
    wider = [replace(d, closes=540) for d in firsts]
    assert bounds.unserved_must(room=facts, duties=wider) == 2
