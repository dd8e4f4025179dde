"""Water that an animal lives in: what a test says, may it eat in it, and when a part is changed."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import Band, WaterCare

_EDGE = 1e-6


class WaterTest(StrEnum):
    """What is tested: °C, mg/L, pH."""

    TEMPERATURE = "temperature"
    AMMONIA = "ammonia"
    NITRITE = "nitrite"
    NITRATE = "nitrate"
    PH = "pH"
    CHLORINE = "chlorine"


# What a thermometer or a drop test can show at all: our own sanity limits.
_CAN_SHOW = {WaterTest.TEMPERATURE: (0.0, 50.0), WaterTest.PH: (3.0, 12.0)}
_MG_L = (0.0, 500.0)


class WaterVerdict(StrEnum):
    """What a test says."""

    GOOD = "good"
    OFF = "off"  # change a part, and test again
    ACT = "act now"
    NO_LIMIT = "no limit"


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterJudgment:
    """A verdict with the edge that was passed or the limit that was reached, and whether it is too low."""

    test: WaterTest
    verdict: WaterVerdict
    value: float
    edge: float | None = None
    too_low: bool = False


def judge_water(*, test: WaterTest, value: float, water: WaterCare) -> WaterJudgment:
    """Return what a water test says. A limit to act at is reached, not passed: kits show steps.

    Raises ValueError for a value that no test shows.
    """
    low, high = _CAN_SHOW.get(test, _MG_L)
    if not math.isfinite(value) or not low <= value <= high:
        raise ValueError(f"{value:g} is no {test} that a test shows: write {low:g} to {high:g}.")
    band = band_of(test=test, water=water)
    if band is None:
        return WaterJudgment(test=test, verdict=WaterVerdict.NO_LIMIT, value=value)
    checks = (
        (WaterVerdict.ACT, band.act_below, band.act_below is not None and value <= band.act_below + _EDGE),
        (WaterVerdict.ACT, band.act_above, band.act_above is not None and value >= band.act_above - _EDGE),
        (WaterVerdict.OFF, band.low, value < band.low - _EDGE),
        (WaterVerdict.OFF, band.high, value > band.high + _EDGE),
    )
    for verdict, edge, reached in checks:
        if reached:
            low_side = value < band.low
            return WaterJudgment(test=test, verdict=verdict, value=value, edge=edge, too_low=low_side)
    return WaterJudgment(test=test, verdict=WaterVerdict.GOOD, value=value)


def band_of(*, test: WaterTest, water: WaterCare) -> Band | None:
    """Return the band that a test is held against."""
    bands = {
        WaterTest.TEMPERATURE: water.water_c,
        WaterTest.AMMONIA: water.ammonia_mg_l,
        WaterTest.NITRITE: water.nitrite_mg_l,
        WaterTest.NITRATE: water.nitrate_mg_l,
        WaterTest.PH: water.ph,
        WaterTest.CHLORINE: water.chlorine_mg_l,
    }
    return bands[test]


def may_be_fed(*, water_c: float, water: WaterCare) -> bool:
    """Return False in water too cold to digest in; at the limit it may eat."""
    return water.no_feeding_below_c is None or water_c >= water.no_feeding_below_c - _EDGE


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterWork:
    """What falls due on the water of a tank. Liters to change are None where its volume is not known."""

    change_on: dt.date
    filter_on: dt.date
    change_l: float | None = None


def water_work(
    *, changed: dt.date, filter_served: dt.date, water: WaterCare, volume_l: float | None
) -> WaterWork:
    """Return when a part of the water and the filter are due, and how many liters a part is.

    The two never fall on one day: both at once take too many of the germs that clean the water.
    """
    change_on = changed + dt.timedelta(days=water.change_every_days)
    filter_on = filter_served + dt.timedelta(days=water.filter_every_days)
    if filter_on == change_on:
        filter_on += dt.timedelta(days=1)
    change_l = None if volume_l is None else volume_l * water.change_pct / 100
    return WaterWork(change_on=change_on, filter_on=filter_on, change_l=change_l)
