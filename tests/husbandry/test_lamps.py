"""UV lamps by date and by hours, two weeks' notice, and no lamp above a fixture's rating."""

import datetime as dt
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomops.husbandry.care import Standing
from roomops.husbandry.lamps import (
    RULES,
    LampKind,
    LampRule,
    LampState,
    WattsVerdict,
    due_by_hours,
    due_date,
    hours_burned,
    lamp_due,
    most_watts,
    rule_for,
    watts_check,
)

FITTED = dt.date(2026, 1, 15)


@pytest.mark.parametrize(
    ("kind", "months"),
    [(LampKind.T8, 6), (LampKind.COMPACT, 6), (LampKind.T5_HO, 12), (LampKind.METAL_HALIDE, 12)],
)
def test_each_uv_lamp_has_its_months_and_says_that_they_are_from_memory(kind: LampKind, months: int):
    rule = rule_for(kind=kind)
    assert rule is not None
    assert (rule.months, rule.standing) == (months, Standing.FROM_MEMORY)
    assert "no published curve" in rule.source


@pytest.mark.parametrize("kind", [LampKind.DAY, LampKind.NIGHT_HEAT])
def test_lamps_without_uv_are_not_due_by_date(kind: LampKind):
    assert rule_for(kind=kind) is None
    found = lamp_due(kind=kind, fitted=FITTED, today=FITTED + dt.timedelta(days=900))
    assert (found.state, found.due) == (LampState.NOT_BY_DATE, None)


def test_a_year_at_twelve_hours_a_day_is_4380_hours_and_half_a_year_at_fourteen_2562():
    # 12 × 365 and 14 × 183: arithmetic.
    rule = rule_for(kind=LampKind.T5_HO)
    assert rule is not None
    assert rule.hours == 4380
    half = hours_burned(spans=[(FITTED, FITTED + dt.timedelta(days=183), 14.0)])
    assert half == 2562


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.kind.value)
@given(fitted=st.dates(dt.date(2020, 1, 1), dt.date(2035, 12, 31)))
def test_dates_and_hours_agree_within_two_days_whenever_a_lamp_is_fitted(rule: LampRule, fitted: dt.date):
    # Half a calendar year has 181 to 184 days and 2190 hours are 182.5: they cannot agree better than that.
    by_date = due_date(fitted=fitted, months=rule.months)
    by_hours = due_by_hours(fitted=fitted, hours=rule.hours, hours_a_day=rule.hours_a_day)
    assert abs((by_date - by_hours).days) <= (1 if rule.months == 12 else 2)


def test_a_lamp_that_burns_longer_is_due_earlier_by_hours():
    rule = rule_for(kind=LampKind.T5_HO)
    assert rule is not None
    assert due_by_hours(fitted=FITTED, hours=rule.hours, hours_a_day=14) == FITTED + dt.timedelta(days=313)
    assert due_by_hours(fitted=FITTED, hours=rule.hours, hours_a_day=12) == FITTED + dt.timedelta(days=365)


def test_a_year_of_seasons_adds_up():
    # 10 h from November to February (120 days), 14 h in the other 245: 1200 + 3430 by hand.
    spans = [
        (dt.date(2025, 3, 1), dt.date(2025, 11, 1), 14.0),
        (dt.date(2025, 11, 1), dt.date(2026, 3, 1), 10.0),
    ]
    assert hours_burned(spans=spans) == 245 * 14 + 120 * 10 == 4630


@pytest.mark.parametrize(
    ("fitted", "months", "due"),
    [
        ("2026-01-15", 6, "2026-07-15"),
        ("2026-08-31", 6, "2027-02-28"),
        ("2027-08-31", 6, "2028-02-29"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2026-12-01", 12, "2027-12-01"),
        ("2026-12-31", 6, "2027-06-30"),
    ],
)
def test_months_are_counted_on_the_calendar_also_at_its_ends(fitted: str, months: int, due: str):
    assert due_date(fitted=dt.date.fromisoformat(fitted), months=months) == dt.date.fromisoformat(due)


@pytest.mark.parametrize(
    ("today", "state", "left"),
    [
        ("2026-06-30", LampState.GOOD, 15),
        ("2026-07-01", LampState.SOON, 14),
        ("2026-07-02", LampState.SOON, 13),
        ("2026-07-14", LampState.SOON, 1),
        ("2026-07-15", LampState.DUE, 0),
        ("2026-07-16", LampState.DUE, -1),
    ],
)
def test_notice_is_given_two_weeks_before_the_day(today: str, state: LampState, left: int):
    found = lamp_due(kind=LampKind.COMPACT, fitted=FITTED, today=dt.date.fromisoformat(today))
    assert (found.state, found.days_left) == (state, left)
    assert (found.due, found.notice) == (dt.date(2026, 7, 15), dt.date(2026, 7, 1))


def test_a_rooms_own_rule_stands_before_the_usual_one():
    own = LampRule(kind=LampKind.T8, months=4, standing=Standing.HOUSE_CHOICE, source="our meter")
    found = lamp_due(kind=LampKind.T8, fitted=FITTED, today=FITTED, own=[own])
    assert found.due == dt.date(2026, 5, 15)
    assert found.rule == own
    other = lamp_due(kind=LampKind.COMPACT, fitted=FITTED, today=FITTED, own=[own])
    assert other.due == dt.date(2026, 7, 15)


def test_a_lamp_of_tomorrow_and_hours_that_cannot_be_are_refused():
    with pytest.raises(ValueError, match="mend the date"):
        lamp_due(kind=LampKind.T8, fitted=FITTED, today=FITTED - dt.timedelta(days=1))
    for hours_a_day in (0.0, -3.0, 24.1):
        with pytest.raises(ValueError, match="are no burning time"):
            due_by_hours(fitted=FITTED, hours=100, hours_a_day=hours_a_day)
    with pytest.raises(ValueError, match="write the earlier day first"):
        hours_burned(spans=[(FITTED, FITTED - dt.timedelta(days=1), 12.0)])


# ---------------------------------------------------------------- watts


@pytest.mark.parametrize(
    ("watts", "verdict"),
    [(99.9, WattsVerdict.FITS), (100, WattsVerdict.FITS), (100.1, WattsVerdict.OVER)],
)
def test_a_lamp_at_the_rating_fits_and_one_above_it_never(watts: float, verdict: WattsVerdict):
    assert watts_check(watts=watts, rated_w=100).verdict is verdict


def test_where_the_rating_is_not_known_nothing_is_advised():
    assert watts_check(watts=25, rated_w=None).verdict is WattsVerdict.RATING_UNKNOWN
    assert most_watts(rated_w=None, stocked=[25, 50]) is None


@given(rated=st.floats(1, 500), stocked=st.lists(st.floats(1, 1000), max_size=8))
def test_no_lamp_above_a_fixtures_rating_is_ever_advised(rated: float, stocked: list[float]):
    advised = most_watts(rated_w=rated, stocked=stocked)
    if advised is None:
        assert all(watts > rated for watts in stocked)
    else:
        assert advised <= rated
        assert advised == max(watts for watts in stocked if watts <= rated)


@pytest.mark.parametrize("watts", [0.0, -60.0, math.nan, math.inf])
def test_watts_that_no_lamp_has_are_read_again(watts: float):
    with pytest.raises(ValueError, match="read the label again"):
        watts_check(watts=watts, rated_w=100)
    with pytest.raises(ValueError, match="read the label again"):
        watts_check(watts=60, rated_w=watts)
