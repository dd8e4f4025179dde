"""Can a temperature be what the thermometer showed? A slip of the unit or of a digit is asked about."""

from __future__ import annotations

from roomops.desk.checking import temperature
from roomops.desk.day_readings import NO_LIMITS, limits_of
from roomops.desk.refusals import No, Refused
from roomops.husbandry import heat
from roomops.planning.room import Room as Facts


def not_doubtful(*, facts: Facts, tank: str, spot: str, value_c: float) -> None:
    """Refuse a value that cannot be (OUT_OF_RANGE) or hardly can be (DOUBTFUL, with what is usual there)."""
    temperature(name=spot, value=value_c)
    band = limits_of(facts=facts).get((tank, spot), NO_LIMITS).band
    found = heat.doubt(value_c=value_c, band=band, spot=spot)
    if found is not None:
        raise Refused(
            No.DOUBTFUL, name=spot, value_c=value_c, low_c=found.low_c, high_c=found.high_c, tank=tank
        )
