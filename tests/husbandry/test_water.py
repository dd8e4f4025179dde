"""Water that turtles live in: tests in threes at each edge, feeding, part changes and the filter."""

import datetime as dt
import math

import pytest

from roomops.husbandry.care import Band, Standing, WaterCare
from roomops.husbandry.water import (
    WaterTest,
    WaterVerdict,
    judge_water,
    may_be_fed,
    water_work,
)
from tests.husbandry.sheets import care_of, every_stage

ADULT = care_of("slider-turtle.toml", "adult")
WATER = ADULT.water
assert WATER is not None
JUNE = dt.date(2026, 6, 1)
T = WaterTest


@pytest.mark.parametrize(
    ("test", "value", "verdict", "too_low"),
    [
        (T.TEMPERATURE, 17.0, WaterVerdict.ACT, True),
        (T.TEMPERATURE, 17.1, WaterVerdict.OFF, True),
        (T.TEMPERATURE, 21.9, WaterVerdict.OFF, True),
        (T.TEMPERATURE, 22.0, WaterVerdict.GOOD, False),
        (T.TEMPERATURE, 26.0, WaterVerdict.GOOD, False),
        (T.TEMPERATURE, 26.1, WaterVerdict.OFF, False),
        (T.TEMPERATURE, 30.9, WaterVerdict.OFF, False),
        (T.TEMPERATURE, 31.0, WaterVerdict.ACT, False),
        (T.AMMONIA, 0.0, WaterVerdict.GOOD, False),
        (T.AMMONIA, 0.1, WaterVerdict.OFF, False),
        (T.AMMONIA, 0.25, WaterVerdict.ACT, False),  # a kit's first step: at it somebody acts
        (T.NITRITE, 0.4, WaterVerdict.OFF, False),
        (T.NITRITE, 0.5, WaterVerdict.ACT, False),
        (T.NITRATE, 40.0, WaterVerdict.GOOD, False),
        (T.NITRATE, 40.1, WaterVerdict.OFF, False),
        (T.NITRATE, 400.0, WaterVerdict.OFF, False),
        (T.PH, 6.0, WaterVerdict.ACT, True),
        (T.PH, 6.4, WaterVerdict.OFF, True),
        (T.PH, 6.5, WaterVerdict.GOOD, False),
        (T.PH, 8.0, WaterVerdict.GOOD, False),
        (T.PH, 8.1, WaterVerdict.OFF, False),
        (T.PH, 9.0, WaterVerdict.ACT, False),
        (T.CHLORINE, 0.0, WaterVerdict.GOOD, False),
        (T.CHLORINE, 0.1, WaterVerdict.OFF, False),
    ],
)
def test_a_water_test_is_judged_by_the_edge_that_it_reached(
    test: WaterTest, value: float, verdict: WaterVerdict, too_low: bool
):
    found = judge_water(test=test, value=value, water=WATER)
    assert (found.verdict, found.too_low) == (verdict, too_low)
    assert (found.edge is None) is (verdict is WaterVerdict.GOOD)


def test_nitrate_alone_never_calls_for_action_since_no_authority_names_a_limit():
    assert WATER.nitrate_mg_l is not None
    assert (WATER.nitrate_mg_l.act_below, WATER.nitrate_mg_l.act_above) == (None, None)
    cited = ADULT.cite("nitrate")
    assert cited is not None
    assert "no authority's limit was found" in cited.claim.source


@pytest.mark.parametrize("topic", ["ammonia", "nitrite", "ph", "water"])
def test_limits_of_water_to_act_at_are_a_house_choice(topic: str):
    for side in (" act below", " act above"):
        cited = ADULT.cite(topic + side)
        assert cited is None or cited.claim.standing is Standing.HOUSE_CHOICE


def test_what_is_not_asked_for_has_no_limit():
    bare = WaterCare(water_c=Band(low=22, high=26), change_pct=25, change_every_days=7, filter_every_days=14)
    assert judge_water(test=T.AMMONIA, value=4, water=bare).verdict is WaterVerdict.NO_LIMIT
    assert judge_water(test=T.TEMPERATURE, value=2, water=bare).verdict is WaterVerdict.OFF
    assert may_be_fed(water_c=2, water=bare)


@pytest.mark.parametrize(
    ("test", "value"),
    [(T.PH, 14), (T.PH, 2.9), (T.AMMONIA, -0.1), (T.NITRATE, 501), (T.TEMPERATURE, 77), (T.PH, math.nan)],
)
def test_a_value_that_no_test_shows_is_asked_for_again(test: WaterTest, value: float):
    with pytest.raises(ValueError, match="a test shows: write"):
        judge_water(test=test, value=value, water=WATER)


@pytest.mark.parametrize(("water", "fed"), [(17.9, False), (18.0, True), (18.1, True)])
def test_nobody_is_fed_in_water_too_cold_to_digest_in(water: float, fed: bool):
    assert may_be_fed(water_c=water, water=WATER) is fed


def test_hatchlings_live_in_warmer_water_than_adults():
    young = care_of("slider-turtle.toml", "hatchling").water
    assert young is not None
    assert (young.water_c.low, young.water_c.high) == (26, 28)
    assert (WATER.water_c.low, WATER.water_c.high) == (22, 26)


def test_a_part_is_changed_weekly_and_the_filter_served_every_two_weeks():
    work = water_work(changed=JUNE, filter_served=JUNE, water=WATER, volume_l=400)
    assert (work.change_on, work.filter_on) == (dt.date(2026, 6, 8), dt.date(2026, 6, 15))
    assert work.change_l == 100  # 25 % of 400 L
    assert water_work(changed=JUNE, filter_served=JUNE, water=WATER, volume_l=None).change_l is None


def test_filter_and_part_change_never_fall_on_one_day():
    served = JUNE - dt.timedelta(days=7)
    work = water_work(changed=JUNE, filter_served=served, water=WATER, volume_l=None)
    assert (work.change_on, work.filter_on) == (dt.date(2026, 6, 8), dt.date(2026, 6, 9))


def test_a_room_may_choose_the_laboratorys_two_changes_a_week():
    chosen = care_of("slider-turtle.toml", "adult", **{"part change every": "laboratory"}).water
    assert chosen is not None
    assert chosen.change_every_days == 3


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_only_what_lives_in_water_has_water_and_only_that_goes_without_humidity(file: str, stage: str):
    care = care_of(file, stage)
    lives_in_it = file == "slider-turtle.toml"
    assert (care.water is not None) is lives_in_it
    assert (care.humidity_pct is None) is lives_in_it
