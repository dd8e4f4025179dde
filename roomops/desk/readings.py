"""Use cases of temperature readings, a rack at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from roomops.desk.day import Day, LastReading, RoundView
from roomops.desk.entries import Answer
from roomops.records.models import Person


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    """One tank. ``band`` is (low, high) of those who live there: the narrowest that serves all of them."""

    duty: str  # '' when no reading is due today: one may be said all the same
    tank: str
    tank_name: str
    quarantine: bool
    basking: LastReading | None
    cool: LastReading | None
    night_low: LastReading | None
    basking_band_c: tuple[float, float] | None
    cool_band_c: tuple[float, float] | None
    act_below_c: float | None
    act_above_c: float | None
    due: bool
    too_early: bool  # within an hour of lights-on it always reads low: no verdict
    done_at: datetime | None
    done_by: str
    entry: UUID | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RackReadings:
    """The rack's tanks: low ones first, then in walking order."""

    day: Day
    view: RoundView | None
    rack: str
    rack_name: str
    rows: tuple[ReadingRow, ...]
    low: int
    left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What somebody read at one tank; None: not read."""

    tank: str
    duty: str = ""
    basking_c: float | None = None
    cool_c: float | None = None


def rack_view(*, day: Day, round_key: str = "", rack: str = "") -> RackReadings:
    """Return the readings of a round, or of a rack. Raises Refused(UNKNOWN_ROUND)."""
    raise NotImplementedError


def read(
    *, day: Day, reads: Sequence[Read], by: Person, form: UUID, keep: bool = False
) -> tuple[Answer, ...]:
    """Keep readings, all or none. Refused: OUT_OF_RANGE; DOUBTFUL unless ``keep`` (as read, measured again)."""
    raise NotImplementedError
