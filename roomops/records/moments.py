"""Between the wall clock of a room and the minutes that planning counts.

Minutes are those that really pass after local midnight: a day on which clocks change has 1380 or 1500
of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from math import ceil, floor
from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A room's calendar day as two moments in UTC: its midnight and the next one."""

    day: date
    zone: ZoneInfo
    starts: datetime
    ends: datetime

    @property
    def minutes(self) -> int:
        """The length of the day: 1440, or 1380 and 1500 when clocks change."""
        return round((self.ends - self.starts) / timedelta(minutes=1))

    def minute_of(self, moment: datetime) -> float:
        """Minutes from this day's midnight to a moment; negative before, over ``minutes`` after."""
        return (moment.astimezone(UTC) - self.starts) / timedelta(minutes=1)

    def minute_at(self, clock: time) -> int:
        """Minutes passed when the wall clock shows ``clock``; of an hour shown twice, the first time.

        A time that the clock leaps over is read by the clock as it was before the leap (2:30 is 150 minutes).
        """
        return floor(self.minute_of(datetime.combine(self.day, clock, self.zone)))

    def clipped(self, *, starts: datetime, ends: datetime) -> tuple[int, int] | None:
        """The whole minutes of a stretch within this day, or None when none is."""
        first, last = max(0, ceil(self.minute_of(starts))), min(self.minutes, floor(self.minute_of(ends)))
        return (first, last) if first < last else None

    def moment(self, minute: float) -> datetime:
        """The moment, on the room's wall clock, of a minute of this day."""
        return (self.starts + timedelta(minutes=minute)).astimezone(self.zone)

    def holds(self, moment: datetime) -> bool:
        """Return True for a moment of this day."""
        return self.starts <= moment.astimezone(UTC) < self.ends


def day_span(*, day: date, zone: ZoneInfo) -> Span:
    """Return the day's two midnights. Zones are IANA's, as Python's zoneinfo reads them."""
    starts, ends = (
        datetime.combine(each, time(), zone).astimezone(UTC) for each in (day, day + timedelta(days=1))
    )
    return Span(day=day, zone=zone, starts=starts, ends=ends)
