"""Use cases of the opening and closing walks along the rack."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from roomops.desk.day import Day, RoundView
from roomops.desk.entries import Answer
from roomops.records.models import Person

DROPPINGS = ("normal", "not", "none")


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkRow:
    """One tank of a walk. None: nobody has said it yet."""

    duty: str
    tank: str
    tank_name: str
    who: tuple[str, ...]  # names or marks of those by the book
    kinds: tuple[str, ...]
    by_the_book: int
    away: tuple[tuple[str, str], ...]  # (label, status) of residents of this tank who are not in the room
    quarantine: bool
    done: bool
    heads: int | None
    lamps: bool | None
    water: bool | None
    droppings: str | None
    dead_or_nipped: bool | None
    night_low_c: float | None
    lids: bool | None
    tubs_empty: bool | None
    lamps_off: bool | None
    night_heat: bool | None
    at: datetime | None
    by: str
    entry: UUID | None
    night_band_c: tuple[float, float] | None
    last_night_low_c: float | None
    last_night_low_on: date | None
    has_lamps: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RackView:
    """One walk round, tank by tank in walking order; ``current`` is the first that is not done."""

    day: Day
    view: RoundView
    closing: bool
    racks: tuple[tuple[str, tuple[WalkRow, ...]], ...]  # (rack name, its tanks)
    rows: tuple[WalkRow, ...]
    current: WalkRow | None
    tanks_done: int
    seen: int
    by_the_book: int
    out: int  # animals in tubs anywhere in the room: no closing while there is one


def rack_view(*, day: Day, round_key: str) -> RackView:
    """Return the walk. Raises Refused(UNKNOWN_ROUND)."""
    raise NotImplementedError


def opening_seen(
    *,
    day: Day,
    duty: str,
    heads: int,
    lamps: bool,
    water: bool,
    droppings: str,
    dead_or_nipped: bool,
    night_low_c: float | None,
    by: Person,
    form: UUID,
    keep: bool = False,
) -> tuple[Answer, ...]:
    """A tank was seen in the morning. A short head is kept and makes a note 'n of m seen': search.

    Refused: DOUBTFUL for a night low that looks like the other unit, unless ``keep``; OUT_OF_RANGE.
    Saying a tank again corrects what was said.
    """
    raise NotImplementedError


def closing_seen(
    *,
    day: Day,
    duty: str,
    heads: int,
    lids: bool,
    tubs_empty: bool,
    lamps_off: bool,
    night_heat: bool,
    water: bool,
    dead_or_nipped: bool,
    by: Person,
    form: UUID,
) -> tuple[Answer, ...]:
    """A tank was seen in the evening. Refused: ANIMALS_OUT while an animal of this tank is in a tub."""
    raise NotImplementedError
