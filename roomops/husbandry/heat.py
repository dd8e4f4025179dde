"""Is a reading in its band, beside it, or so far out that somebody acts now; and can it be meant at all."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import Band
from roomops.husbandry.quantity_text import Entered
from roomops.husbandry.units import BY_NAME, Celsius, to_base

SETTLE_MIN = (
    60  # a basking place is read an hour after lights-on at the earliest (common practice, no source)
)
_EDGE_C = 1e-6  # so that 110 °F entered is on the edge of a band that ends at 110 °F
_TANK_C = (-20.0, 80.0)  # what a thermometer in a tank can show at all: our own sanity limit
_FAR_C = 15.0  # this far out of its band a reading is asked about: our own limit
_NEAR_C = 5.0  # and this near to it the same number in the other unit is what was meant: our own limit


class Verdict(StrEnum):
    """What a reading says."""

    IN_BAND = "in band"
    BELOW = "below"
    ABOVE = "above"
    ACT_BELOW = "act now, below"
    ACT_ABOVE = "act now, above"
    TOO_EARLY = "too early"
    NO_BAND = "no band"


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgment:
    """A verdict with the edge that was passed (None in band or without one) and by how much, both in °C."""

    verdict: Verdict
    value_c: float
    edge_c: float | None = None
    off_by_c: float = 0.0


def judge(*, value_c: float, band: Band | None, since_lights_on_min: int | None) -> Judgment:
    """Return what a reading in °C says about its band. Edges are inside; a limit to act at has to be passed.

    ``since_lights_on_min`` is None for a reading that does not hang on the lamps (a night low). Within an
    hour of lights-on there is no verdict, except that too hot to wait for is too hot at any time.
    """
    if band is None:
        return Judgment(verdict=Verdict.NO_BAND, value_c=value_c)
    if band.act_above is not None and value_c > band.act_above + _EDGE_C:
        return _off(verdict=Verdict.ACT_ABOVE, value_c=value_c, edge_c=band.act_above)
    if since_lights_on_min is not None and since_lights_on_min < SETTLE_MIN:
        return Judgment(verdict=Verdict.TOO_EARLY, value_c=value_c)
    return _settled(value_c=value_c, band=band)


def _settled(*, value_c: float, band: Band) -> Judgment:
    if band.act_below is not None and value_c < band.act_below - _EDGE_C:
        return _off(verdict=Verdict.ACT_BELOW, value_c=value_c, edge_c=band.act_below)
    if value_c < band.low - _EDGE_C:
        return _off(verdict=Verdict.BELOW, value_c=value_c, edge_c=band.low)
    if value_c > band.high + _EDGE_C:
        return _off(verdict=Verdict.ABOVE, value_c=value_c, edge_c=band.high)
    return Judgment(verdict=Verdict.IN_BAND, value_c=value_c)


def _off(*, verdict: Verdict, value_c: float, edge_c: float) -> Judgment:
    return Judgment(verdict=verdict, value_c=value_c, edge_c=edge_c, off_by_c=abs(value_c - edge_c))


class Why(StrEnum):
    """Why a temperature is asked about before it is kept."""

    OTHER_UNIT = "other unit"  # the same number in the other unit fits: 104 in a metric room
    FAR_OFF = "far off"
    IMPOSSIBLE = "impossible"


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A temperature to ask about. ``other_c`` is the same number read in the other unit, when that fits."""

    why: Why
    value_c: Celsius
    other_c: Celsius | None
    low_c: float
    high_c: float


def doubtful_temperature(*, entered: Entered, band: Band | None) -> Doubt | None:
    """Return why a temperature is asked about, or None when it can be kept as it is.

    ``band`` is what is wanted at that spot; without one only what no tank can show is asked about.
    """
    value = Celsius(entered.base)
    low, high = (band.low, band.high) if band else _TANK_C
    other = _in_other_unit(entered)
    allowance = _FAR_C if band else 0.0
    impossible = not _TANK_C[0] <= value <= _TANK_C[1]
    if not impossible and low - allowance <= value <= high + allowance:
        return None
    fits = band is not None and low - _NEAR_C <= other <= high + _NEAR_C
    why = Why.OTHER_UNIT if fits else Why.IMPOSSIBLE if impossible else Why.FAR_OFF
    return Doubt(why=why, value_c=value, other_c=other if fits else None, low_c=low, high_c=high)


def _in_other_unit(entered: Entered) -> Celsius:
    other = BY_NAME["°F" if entered.unit.name == "°C" else "°C"]
    return Celsius(to_base(number=entered.number, unit=other))
