"""What the room has beside animals and places: lamps, orders of the vet, lots that come, what failed.

Part of ``planning.room``, which gives every name on: import from there. Minutes as there.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A closed-open stretch of minutes: a shop peak, a break, an absence."""

    start: int
    end: int
    person: str = ""  # empty: everybody
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """A lamp or heater in a tank's fixture. ``due``: when its rule says that it ends, or None."""

    key: str
    tank: str
    kind: str  # 'day', 'uv', 'night'
    name: str
    fitted: dt.date | None = None
    due: dt.date | None = None
    blown: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Medicine:
    """What the vet ordered for a resident, valid today."""

    key: str
    resident: str
    times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Arriving:
    """A lot that is expected, and the tanks made ready for it."""

    key: str
    kind: str
    heads: int
    on: dt.date
    tanks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outage:
    """Heat or power that failed and is not back. ``kind``: 'power', 'heat', 'hot'."""

    kind: str
    began: int  # minute of today, 0 when it began before
