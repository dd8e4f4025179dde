"""Can we take so many? By the scarcest thing, with a smaller yes that was planned."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from roomops.husbandry.housing import floor_needed_cm2
from roomops.planning.arrivals import Answer, Asked, Place, Standing, Thing, answer
from roomops.planning.arrivals_day import with_lot
from roomops.planning.arrivals_space import capacity, fill
from roomops.planning.first_fit import plan_day
from roomops.planning.room import Need, Room, Shift
from roomops.planning.verify import breaches
from tests.makers_planning import ADULT, DAY, HATCHLING, food, hatchling, room, tank, tray

FLOOR = 2324.0  # a 30 × 12 in tank
TODAY = DAY - dt.timedelta(days=7)


def place(key: str, **changes) -> Place:
    return replace(Place(tank=key, floor_cm2=FLOOR, quarantine=True, free=True), **changes)


def a_room(tubs: int = 8, minutes: int = 780, **changes) -> Room:
    tray_q, made = tray("q", tubs, quarantine=True)
    own, own_tubs = tray("a", 8)
    base = room(
        tanks=(tank("t1"), *(tank(f"q{n}", order=n + 1, rack="r1", quarantine=True) for n in range(1, 5))),
        residents=(hatchling("h1"),),
        trays=(own, tray_q),
        tubs=(*own_tubs, *made),
        shifts=(Shift(person="p1", start=450, end=450 + minutes, share=0.85),),
        foods=(food("c-1", on_hand=20_000.0),),
    )
    return replace(base, **changes)


def asked(heads: int, **changes) -> Asked:
    return replace(Asked(care=HATCHLING, heads=heads, on=DAY, length_mm=120.0), **changes)


FOUR = tuple(place(f"q{n}") for n in range(1, 5))


def ask(heads: int, *, facts: Room | None = None, places=FOUR, today: dt.date = TODAY, **changes) -> Answer:
    return answer(room=facts or a_room(), asked=asked(heads, **changes), places=places, today=today)


def row(found: Answer, thing: Thing):
    return next(each for each in found.rows if each.thing is thing)


# ---------------------------------------------------------------- tanks


def test_a_tank_holds_what_floor_group_and_tubs_allow_whichever_is_least():
    roomy = place("q", floor_cm2=100_000.0)
    assert capacity(place=roomy, care=HATCHLING, tubs=8) == HATCHLING.group_most == 5
    assert capacity(place=roomy, care=HATCHLING, tubs=3) == 3
    for heads in (1, 2, 3):  # 15 % more floor for each further one: German expert report of 1997
        needed = floor_needed_cm2(floor_for_one_cm2=2000.0, heads=heads)
        assert needed == pytest.approx(2000.0 * (1 + 0.15 * (heads - 1)))
        exact = place("q", floor_cm2=needed)
        assert capacity(place=exact, care=HATCHLING, tubs=8) == heads
        assert capacity(place=replace(exact, floor_cm2=needed - 2), care=HATCHLING, tubs=8) == heads - 1


def test_heads_are_spread_evenly_over_as_few_tanks_as_can_be():
    wide = tuple(place(f"q{n}", floor_cm2=10_000.0) for n in range(1, 5))
    assert fill(heads=7, places=wide, care=HATCHLING, tubs=8) == (("q1", 4), ("q2", 3))
    assert fill(heads=99, places=wide, care=HATCHLING, tubs=8) == tuple((p.tank, 5) for p in wide)


def test_enough_of_everything_is_a_yes_with_its_tanks():
    found = ask(8)
    assert (found.most, found.scarcest, found.all_of_them, found.later) == (8, None, True, None)
    assert sum(heads for _, heads in found.tanks) == 8


@pytest.mark.parametrize(("heads", "most", "scarcest"), [(7, 7, None), (8, 8, None), (9, 8, Thing.TANKS)])
def test_the_last_head_that_four_tanks_of_two_hold(heads: int, most: int, scarcest):
    assert (ask(heads).most, ask(heads).scarcest) == (most, scarcest)


def test_quarantine_is_the_scarcest_where_other_tanks_stand_empty():
    others = tuple(place(f"h{n}", quarantine=False) for n in range(1, 9))
    found = ask(12, places=(*FOUR, *others))
    assert (found.most, found.scarcest) == (8, Thing.QUARANTINE)
    assert row(found, Thing.TANKS).standing is Standing.ENOUGH
    assert (row(found, Thing.QUARANTINE).needs, row(found, Thing.QUARANTINE).has) == (6, 4)


def test_all_could_come_on_the_day_when_quarantine_has_room_for_them():
    end = DAY + dt.timedelta(days=11)
    busy = place("q4", free=False, free_on=end)
    found = ask(8, places=(*FOUR[:3], busy))
    assert (found.most, found.later) == (6, end)
    assert ask(8, places=(*FOUR[:3], place("q4", free=False))).later is None


# ---------------------------------------------------------------- tubs, hands


def test_without_a_tub_that_fits_there_is_no_yes():
    found = ask(4, facts=a_room(tubs=0))
    assert (found.most, row(found, Thing.TUBS).standing) == (0, Standing.SHORT)
    long = ask(4, length_mm=500.0)
    assert (long.most, row(long, Thing.TUBS).has) == (0, 0)


def test_a_kind_that_is_fed_in_its_tank_needs_no_tub():
    found = ask(1, facts=a_room(tubs=0), care=ADULT, places=(place("q1", floor_cm2=9999.0),))
    assert row(found, Thing.TUBS).standing is Standing.NOT_USED
    assert found.most == 1


def test_too_few_minutes_are_a_smaller_yes_and_that_one_fits_with_nothing_lost():
    facts = a_room(minutes=285)  # four hours between two feeds that must be, and little more
    found = ask(8, facts=facts)
    assert 0 < found.most < 8
    assert found.scarcest is Thing.MINUTES
    lot = {"room": facts, "care": HATCHLING, "length_mm": 120.0}
    yes = with_lot(tanks=found.tanks, **lot)
    plan = plan_day(room=yes)
    assert breaches(room=yes, plan=plan) == ()
    before = {short.duty for short in plan_day(room=facts).unplaced}
    need = {duty.key: duty.need for duty in plan.duties}
    assert not [s for s in plan.unplaced if s.duty not in before and need[s.duty] is Need.MUST]


def test_with_nobody_on_the_rota_nobody_can_come():
    found = ask(2, facts=a_room(shifts=()))
    assert (found.most, found.scarcest) == (0, Thing.MINUTES)
    assert row(found, Thing.MINUTES).numbers["people"] == 0


def test_more_heads_take_more_minutes():
    assert row(ask(4), Thing.MINUTES).needs > row(ask(2), Thing.MINUTES).needs > 0


# ---------------------------------------------------------------- food


def test_a_week_of_prey_is_counted_and_what_is_short_can_be_ordered_in_three_days():
    shelf = a_room(foods=(food("c-1", on_hand=30.0),))
    week = 8 * 3 * 7 * 4  # eight crickets in three feeds
    for days, standing in ((2, Standing.SHORT), (3, Standing.ORDER), (4, Standing.ORDER)):
        found = ask(4, facts=shelf, today=DAY - dt.timedelta(days=days))
        assert row(found, Thing.FOODS).needs == week
        assert row(found, Thing.FOODS).standing is standing, days
    assert row(found, Thing.FOODS).numbers["order"] == week  # the room's own animals eat the thirty


def test_on_the_day_itself_the_shelf_must_hold_what_they_eat_until_an_order_comes():
    mine = 8 * 3 * 7  # what the room's hatchling eats in a week
    three_days = 8 * 3 * 3
    for spare, most in ((three_days - 1, 0), (three_days, 1), (three_days + 1, 1)):
        found = ask(2, facts=a_room(foods=(food("c-1", on_hand=mine + spare),)), today=DAY)
        assert found.most == most, spare
        assert found.scarcest is Thing.FOODS


def test_prey_that_is_too_large_is_no_food_for_them():
    found = ask(2, facts=a_room(foods=(food("c-1", size_mm=15.0, on_hand=9999.0),)), today=DAY)
    assert (found.most, row(found, Thing.FOODS).has) == (0, 0)


def test_without_a_length_food_and_tubs_are_not_known_and_never_fine():
    found = ask(2, length_mm=None)
    assert row(found, Thing.FOODS).standing is Standing.NOT_KNOWN
    assert row(found, Thing.TUBS).standing is Standing.NOT_KNOWN


@pytest.mark.parametrize("heads", [0, -1])
def test_a_lot_of_none_is_no_question(heads: int):
    with pytest.raises(ValueError, match="ask about one or more"):
        ask(heads)
