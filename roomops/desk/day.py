"""One day of one room, read in one go: the plan, what has happened, and where each round stands."""

from __future__ import annotations

from datetime import date, datetime

from roomops.desk.day_types import (
    Change,
    Day,
    LastReading,
    Period,
    Presence,
    RoundView,
    ShortView,
    Status,
    Trouble,
    TroubleKind,
)
from roomops.records.models import Room

__all__ = [
    "Change",
    "Day",
    "LastReading",
    "Period",
    "Presence",
    "RoundView",
    "ShortView",
    "Status",
    "Trouble",
    "TroubleKind",
    "open_day",
]


def open_day(*, room: Room, day: date, now: datetime) -> Day:
    """Read the day; make its plan when it has none. As many queries for a small room as for a large one."""
    raise NotImplementedError
