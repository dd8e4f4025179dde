"""Can a temperature be what the thermometer showed? A slip of the unit or of a digit is asked about."""

from __future__ import annotations

from roomops.desk.checking import temperature
from roomops.desk.day_readings import NO_LIMITS, limits_of
from roomops.desk.refusals import No, Refused
from roomops.planning.room import Room as Facts

FAR_C = 15.0
"""A reading this far outside its band is asked about. House choice: 40 read as °F is 4 °C, and any kind's
basking band is further from that. A lamp that failed may read as low: then it is kept as read."""
USUAL_C = {"basking": (15.0, 60.0), "cool": (10.0, 45.0), "night low": (5.0, 40.0)}
"""Where no band is known. House choice, no source."""


def not_doubtful(*, facts: Facts, tank: str, spot: str, value_c: float) -> None:
    """Refuse a value that cannot be (OUT_OF_RANGE) or hardly can be (DOUBTFUL, with what is usual there)."""
    temperature(name=spot, value=value_c)
    limits = limits_of(facts=facts).get((tank, spot), NO_LIMITS)
    if limits.low is None or limits.high is None:
        low, high = USUAL_C[spot]
    else:
        low, high = limits.low - FAR_C, limits.high + FAR_C
    if low <= value_c <= high:
        return
    usual_low, usual_high = limits.low or low, limits.high or high
    raise Refused(No.DOUBTFUL, name=spot, value_c=value_c, low_c=usual_low, high_c=usual_high, tank=tank)
