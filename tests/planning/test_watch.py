"""Early word: each rule at its limit and to either side, across shifts, worst first.

The limits of loss, 10 % rapid and 20 % slow, are https://www.anapsid.org/bmr.html; the rest is common
practice.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomops.planning.watch import Basis, Concern, ConcernKind, HeadCount, Watched, Weighed, concerns

DAY = date(2026, 6, 9)


def weights(*pairs: tuple[int, float]) -> tuple[Weighed, ...]:
    """(days ago, grams), oldest first."""
    return tuple(Weighed(on=DAY - timedelta(days=ago), weight_g=grams) for ago, grams in pairs)


def words(*watched: Watched, counts: tuple[HeadCount, ...] = ()) -> tuple[Concern, ...]:
    return concerns(day=DAY, watched=watched, counts=counts)


def kinds(animal: Watched) -> list[str]:
    return [each.kind.value for each in words(animal)]


@pytest.mark.parametrize(("times", "told"), [(1, []), (2, ["refused"]), (3, ["refused"])])
def test_refused_twice_in_a_row_is_a_word_whoever_was_on_shift(times: int, told: list[str]) -> None:
    assert kinds(Watched(key="a", refused_in_a_row=times, refused_on=DAY)) == told


def test_an_animal_that_rests_by_its_sheet_refuses_without_a_word() -> None:
    assert kinds(Watched(key="a", refused_in_a_row=4, refused_on=DAY, resting=True)) == []


@pytest.mark.parametrize(("now", "told"), [(90.1, []), (90.0, []), (89.9, ["rapid loss"])])
def test_more_than_ten_percent_within_a_month_is_a_rapid_loss(now: float, told: list[str]) -> None:
    found = kinds(Watched(key="a", weights=weights((28, 100.0), (14, now + 1), (0, now))))
    assert [kind for kind in found if kind != "weight down"] == told


@pytest.mark.parametrize(("days", "told"), [(29, "rapid loss"), (30, "rapid loss"), (31, "weight down")])
def test_rapid_means_within_thirty_days(days: int, told: str) -> None:
    assert kinds(Watched(key="a", weights=weights((days, 100.0), (0, 88.0)))) == [told]


@pytest.mark.parametrize(("now", "told"), [(80.1, []), (80.0, []), (79.9, ["slow loss"])])
def test_more_than_twenty_percent_within_a_year_is_a_slow_loss(now: float, told: list[str]) -> None:
    slow = weights((200, 100.0), (150, 95.0), (100, 90.0), (40, now + 1), (0, now))
    assert kinds(Watched(key="a", weights=slow)) == told


@pytest.mark.parametrize(("days", "told"), [(364, ["slow loss"]), (365, ["slow loss"]), (366, [])])
def test_a_weight_of_more_than_a_year_ago_is_not_held_against_it(days: int, told: list[str]) -> None:
    assert kinds(Watched(key="a", weights=weights((days, 100.0), (1, 78.0), (0, 78.0)))) == told


@pytest.mark.parametrize(("now", "told"), [(95.1, []), (95.0, []), (94.9, ["weight down"])])
def test_a_grown_animal_may_lose_a_twentieth_without_a_word(now: float, told: list[str]) -> None:
    assert kinds(Watched(key="a", weights=weights((30, 100.0), (0, now)))) == told


@pytest.mark.parametrize(("now", "told"), [(15.1, []), (15.0, []), (14.9, ["weight down"])])
def test_any_loss_of_a_young_animal_is_a_word(now: float, told: list[str]) -> None:
    assert kinds(Watched(key="a", young=True, weights=weights((5, 15.0), (0, now)))) == told


@pytest.mark.parametrize(("days", "told"), [(6, []), (7, ["no gain"]), (8, ["no gain"])])
def test_a_hatchling_without_gain_in_seven_days_is_a_word(days: int, told: list[str]) -> None:
    assert (
        kinds(Watched(key="a", young=True, hatchling=True, weights=weights((days, 15.0), (0, 15.0)))) == told
    )


@pytest.mark.parametrize(("now", "told"), [(15.1, []), (15.0, ["no gain"])])
def test_gain_is_measured_against_the_weight_of_seven_days_before(now: float, told: list[str]) -> None:
    grew = weights((8, 15.0), (3, 14.9), (0, now))
    assert kinds(Watched(key="a", young=True, hatchling=True, weights=grew)) == told


def test_one_weight_or_none_is_no_word() -> None:
    assert kinds(Watched(key="a", young=True, hatchling=True)) == []
    assert kinds(Watched(key="a", young=True, hatchling=True, weights=weights((0, 15.0)))) == []


@pytest.mark.parametrize(("ago", "told"), [(-1, []), (0, []), (1, ["hold over"])])
def test_a_hold_is_over_the_day_after_its_last(ago: int, told: list[str]) -> None:
    assert kinds(Watched(key="a", hold_until=DAY - timedelta(days=ago))) == told


def test_a_missing_animal_has_one_word_and_its_days() -> None:
    lost = Watched(
        key="a", missing_since=DAY - timedelta(days=2), refused_in_a_row=3, refused_on=DAY,
        weights=weights((7, 20.0), (0, 10.0)),
    )  # fmt: skip
    [word] = words(lost)
    assert (word.kind, word.numbers) == (ConcernKind.MISSING, {"days": 2})


def test_worst_first_with_numbers() -> None:
    found = words(
        Watched(key="hold", hold_until=DAY - timedelta(days=3)),
        Watched(key="twice", refused_in_a_row=2, refused_on=DAY),
        Watched(key="slow", weights=weights((90, 100.0), (0, 75.0))),
        Watched(key="rapid", weights=weights((14, 100.0), (0, 70.0))),
        Watched(key="thrice", refused_in_a_row=3, refused_on=DAY),
        counts=(HeadCount(tank="h4", seen=3, of=4, on=DAY),),
    )
    assert [each.subject for each in found] == ["h4", "rapid", "slow", "thrice", "twice", "hold"]
    assert found[1].numbers == {"now_g": 70.0, "before_g": 100.0, "loss_pct": 30.0, "days": 14.0}
    assert (found[0].tank, found[0].numbers) == (True, {"seen": 3.0, "of": 4.0})
    assert [each.basis for each in found[:3]] == [Basis.COMMON_PRACTICE, Basis.PUBLISHED, Basis.PUBLISHED]


@given(st.lists(st.floats(min_value=1, max_value=900), min_size=1, max_size=12))
def test_of_the_weights_of_one_animal_there_is_at_most_one_word(grams: list[float]) -> None:
    days = weights(*((len(grams) - place, each) for place, each in enumerate(grams)))
    assert len(words(Watched(key="a", young=True, hatchling=True, weights=days))) <= 1


@given(st.lists(st.floats(min_value=1, max_value=900), min_size=2, max_size=12).map(sorted))
def test_an_animal_that_never_lost_anything_never_lost_weight(grams: list[float]) -> None:
    days = weights(*((len(grams) - place, each) for place, each in enumerate(grams)))
    assert kinds(Watched(key="a", young=True, weights=days)) == []
