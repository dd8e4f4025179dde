"""Duties that are done or not: a clean, insects fed and watered, greens chopped. And what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from roomops.desk.day import Day, RoundView
from roomops.desk.entries import Answer
from roomops.records.models import Person


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoreRow:
    duty: str
    label: str  # tank or room name
    done_at: datetime | None
    done_by: str
    entry: UUID | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoresView:
    day: Day
    view: RoundView
    kind: str  # DutyKind value
    rows: tuple[ChoreRow, ...]
    left: int


def chores_view(*, day: Day, round_key: str) -> ChoresView:
    """Return a round of cleans, insects or cups. Raises Refused(UNKNOWN_ROUND)."""
    raise NotImplementedError


def done(*, day: Day, duties: Sequence[str], by: Person, form: UUID) -> tuple[Answer, ...]:
    """These duties are done. What was done before stays as it was said."""
    raise NotImplementedError


def not_done(*, day: Day, duty: str, by: Person, form: UUID) -> tuple[Answer, ...]:
    """Take 'done' back: it was pressed by mistake."""
    raise NotImplementedError


def wrong(
    *, day: Day, text: str, by: Person, form: UUID, duty: str = "", resident: str = "", tank: str = ""
) -> tuple[Answer, ...]:
    """Something is wrong with an animal, a tank or the room: a note that is shown until it is settled."""
    raise NotImplementedError


def settle_wrong(*, day: Day, note: int, by: Person) -> None:
    """The note is settled. Refused: ALREADY_SETTLED, NOT_YOURS."""
    raise NotImplementedError
