"""Who may leave: the 4-inch rule of husbandry held against an animal of a room."""

from __future__ import annotations

from roomops.desk.editing import label
from roomops.desk.refusals import No, Refused
from roomops.husbandry.leaving import MayLeave
from roomops.husbandry.leaving import may_leave as by_the_rule
from roomops.records.models import Measure, Measurement, Resident
from roomops.records.sheets import sheet_of

# Zones of the tz database's zone.tab whose country is US: a room says its zone and not its country.
US_ZONES = frozenset({
    "America/New_York", "America/Detroit", "America/Kentucky/Louisville", "America/Kentucky/Monticello",
    "America/Indiana/Indianapolis", "America/Indiana/Vincennes", "America/Indiana/Winamac",
    "America/Indiana/Marengo", "America/Indiana/Petersburg", "America/Indiana/Vevay", "America/Chicago",
    "America/Indiana/Tell_City", "America/Indiana/Knox", "America/Menominee",
    "America/North_Dakota/Center", "America/North_Dakota/New_Salem", "America/North_Dakota/Beulah",
    "America/Denver", "America/Boise", "America/Phoenix", "America/Los_Angeles", "America/Anchorage",
    "America/Juneau", "America/Sitka", "America/Metlakatla", "America/Yakutat", "America/Nome",
    "America/Adak", "Pacific/Honolulu",
})  # fmt: skip
ELSEWHERE = "ZZ"  # ISO 3166 keeps it for 'unknown'


def region_of(timezone: str) -> str:
    """Return 'US' for a zone of the United States, else 'ZZ': then only local rules are asked."""
    return "US" if timezone in US_ZONES else ELSEWHERE


def may_leave(*, row: Resident) -> None:
    """Raise Refused for a turtle or tortoise that may not leave, or whose shell nobody has measured."""
    lengths = Measurement.objects.filter(resident=row, measure=Measure.LENGTH).order_by("at", "pk")
    last = lengths.last()
    found = by_the_rule(
        kind=row.kind,
        carapace_mm=last.value if last else None,
        region=region_of(row.room.timezone),
        group=sheet_of(row.kind).group,
    )
    if found.verdict is MayLeave.MEASURE:
        raise Refused(No.NOT_MEASURED_TO_LEAVE, value=label(row))
    if found.verdict is MayLeave.NO:
        raise Refused(
            No.TOO_SMALL_TO_LEAVE, value=label(row), value_mm=found.carapace_mm, most_mm=found.least_mm
        )
