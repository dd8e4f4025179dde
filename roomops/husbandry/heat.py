"""Is a reading in its band, beside it, or so far out that somebody acts now; and can it be meant at all."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import Band

_EDGE_C = 1e-6  # so that 110 °F entered is on the edge of a band that ends at 110 °F
FAR_C = 15.0
"""A reading this far outside its band is asked about. House choice: 40 read as °F is 4 °C, and any kind's
basking band is further from that. A lamp that failed may read as low: then it is kept as read."""
USUAL_C = {"basking": (15.0, 60.0), "cool": (10.0, 45.0), "night low": (5.0, 40.0)}
"""Where no band is known. House choice, no source."""


class Verdict(StrEnum):
    """What a reading says."""

    IN_BAND = "in band"
    BELOW = "below"
    ABOVE = "above"
    ACT_BELOW = "act now, below"
    ACT_ABOVE = "act now, above"
    TOO_EARLY = "too early"
    NO_BAND = "no band"


def judge(*, value_c: float, band: Band | None, warming: bool = False) -> Verdict:
    """Return what a reading in °C says about its band. Edges are inside; a limit to act at has to be passed.

    ``warming``: the lamps have not been on for long. That excuses what is low, never what is high.
    """
    if band is None:
        return Verdict.NO_BAND
    if band.act_above is not None and value_c > band.act_above + _EDGE_C:
        return Verdict.ACT_ABOVE
    if value_c > band.high + _EDGE_C:
        return Verdict.ABOVE
    if value_c >= band.low - _EDGE_C:
        return Verdict.IN_BAND
    if warming:
        return Verdict.TOO_EARLY
    act = band.act_below is not None and value_c < band.act_below - _EDGE_C
    return Verdict.ACT_BELOW if act else Verdict.BELOW


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A temperature to ask about, and what is usual at that spot. All in °C."""

    value_c: float
    low_c: float
    high_c: float


def doubt(*, value_c: float, band: Band | None, spot: str) -> Doubt | None:
    """Return why a temperature is asked about, or None when it can be kept as it is.

    ``band`` is what is wanted at the spot ('basking', 'cool', 'night low'). Raises KeyError for another spot
    without a band.
    """
    usual = (band.low, band.high) if band else USUAL_C[spot]
    allowance = FAR_C if band else 0.0
    if usual[0] - allowance <= value_c <= usual[1] + allowance:
        return None
    return Doubt(value_c=value_c, low_c=usual[0], high_c=usual[1])
