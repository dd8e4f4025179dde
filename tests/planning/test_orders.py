"""What to order, and why: the least that is kept, days of cover at what the eaters get, dates on jars."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomops.planning.orders import (
    OPEN_DAYS,
    Held,
    Least,
    Thing,
    Use,
    Why,
    cover_days,
    eaten,
    rounded_up,
    thing_of,
    usable,
    wants,
)
from tests import makers_planning as mk

DAY = date(2026, 6, 9)
CRICKET = Thing(kind="cricket", category="insect", size_mm=6.4)
GLOVES = Thing(kind="gloves", category="gloves")
JAR = Thing(kind="vitamins", category="powder")


def held(thing: Thing, on_hand: float, **about: object) -> Held:
    return Held(thing=thing, on_hand=on_hand, unit="each", **about)


def listed(*shelf: Held, least: float = 0, thing: Thing = CRICKET, a_day: float = 0):
    kept = (Least(thing=thing, amount=least),) if least else ()
    uses = {thing: Use(a_day=a_day, eaters=("pilot",))} if a_day else {}
    return wants(held=shelf, least=kept, uses=uses, day=DAY)


@pytest.mark.parametrize(("left", "why"), [(9, Why.UNDER_LEAST), (10, None), (11, None), (0, Why.NONE_LEFT)])
def test_below_its_least_a_thing_stands_on_the_list_and_at_it_it_does_not(left, why):
    found = listed(held(GLOVES, left), least=10, thing=GLOVES)
    assert [want.reasons[0].why for want in found] == ([why] if why else [])


@pytest.mark.parametrize(("left", "listed_"), [(299, True), (300, False), (301, False)])
def test_with_less_than_three_days_of_crickets_they_are_ordered_for_seven(left, listed_):
    assert cover_days(thing=CRICKET) == (3, 7)
    found = listed(held(CRICKET, left), a_day=100)
    assert bool(found) is listed_
    if found:
        (want,) = found
        assert (want.reasons[0].why, want.reasons[0].eaters) == (Why.RUNS_OUT, ("pilot",))
        assert want.amount == rounded_up(700 - left)


def test_what_nobody_eats_and_nobody_wants_kept_is_never_ordered():
    assert listed(held(CRICKET, 0), held(GLOVES, 0)) == ()


def test_two_batches_of_one_thing_count_together_and_one_that_is_owed_counts_for_nothing():
    assert listed(held(CRICKET, 200), held(CRICKET, 100), a_day=100) == ()
    (want,) = listed(held(CRICKET, 200), held(CRICKET, -100), a_day=100)
    assert dict(want.reasons[0].numbers)["on_hand"] == 200


@pytest.mark.parametrize(
    ("about", "good"),
    [
        ({"use_by": DAY}, True),
        ({"use_by": DAY - timedelta(days=1)}, False),
        ({"opened": DAY - timedelta(days=OPEN_DAYS)}, True),
        ({"opened": DAY - timedelta(days=OPEN_DAYS + 1)}, False),
    ],
)
def test_a_jar_past_its_date_or_open_too_long_is_no_stock(about, good):
    jar = held(JAR, 100, **about)
    assert usable(held=jar, day=DAY) is good
    found = listed(jar, least=50, thing=JAR)
    assert [reason.why for want in found for reason in want.reasons] == (
        [] if good else [Why.NONE_LEFT, Why.PAST]
    )


@pytest.mark.parametrize(
    ("mm", "size"), [(3, 3.2), (6, 6.4), (7.9, 6.4), (8.0, 9.5), (10, 9.5), (12.5, 12.7), (40, 25.4)]
)
def test_insects_of_nearly_one_length_are_one_thing_and_mice_are_as_they_were_measured(mm, size):
    assert thing_of(kind="cricket", category="insect", size_mm=mm).size_mm == size
    assert thing_of(kind="mouse", category="rodent", size_mm=mm).size_mm == mm


def test_use_is_heads_times_count_on_the_days_that_carry_it_over_the_days_between_feeds():
    """By hand: four heads, eight crickets, once daily and once on two weekdays: 32 + 64 / 7 a day."""
    sheet = mk.care(
        feeding=mk.feeding(
            meals=(mk.meal(1, kinds=("cricket",)), mk.meal(2, kinds=("cricket",), weekdays=(1, 4)))
        )
    )
    eaters = tuple(mk.hatchling(f"h{n}", gap_mm=9.0) for n in range(1, 5))
    found = eaten(room=mk.room(residents=eaters, care=(sheet,), foods=(mk.food("c-1"),)))
    ((thing, use),) = found.uses.items()
    assert thing == CRICKET
    assert use.a_day == pytest.approx(32 + 64 / 7)
    assert use.eaters == ("h1", "h2", "h3", "h4")
    assert found.without == {}


def test_those_for_whom_nothing_fits_are_named_with_the_largest_prey_of_the_smallest():
    eaters = (mk.hatchling("h1", gap_mm=4.0), mk.hatchling("h2", gap_mm=3.0), mk.hatchling("h3", gap_mm=6.0))
    meals = (mk.meal(1, kinds=("cricket",)),)
    sheet = mk.care(feeding=mk.feeding(meals=meals))
    found = eaten(room=mk.room(residents=eaters, care=(sheet,), foods=(mk.food("c-1", size_mm=6.0),)))
    assert found.without["cricket"].eaters == ("h1", "h2")
    assert dict(found.without["cricket"].numbers) == {"most_mm": 3.0}


@given(st.floats(min_value=0.01, max_value=90_000))
def test_an_amount_is_rounded_up_and_by_less_than_a_tenth_or_one(amount):
    found = rounded_up(amount)
    assert amount <= found * (1 + 1e-9)
    assert found - amount <= max(1, amount / 10) + 1e-6


def test_what_is_gone_comes_first_then_what_is_gone_soonest():
    small, large = (Thing(kind="cricket", category="insect", size_mm=mm) for mm in (3.2, 6.4))
    uses = {small: Use(a_day=100), large: Use(a_day=100), JAR: Use(a_day=1)}
    found = wants(held=[held(small, 250), held(large, 50), held(JAR, 0)], least=(), uses=uses, day=DAY)
    assert [want.thing for want in found] == [JAR, large, small]
