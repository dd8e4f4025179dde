"""What a person has to look at: entries that fit no duty, and the same id with other content."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from roomops.desk.entries import Answer
from roomops.records.models import Person, Room


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmatched:
    """A kept entry that fits no duty of its day. ``likely`` are duties of that day that it may have meant."""

    entry: UUID
    day: date
    duty: str
    kind: str
    head: int
    at: datetime
    by: str
    data: Mapping[str, object]
    likely: tuple[tuple[str, str], ...]  # (duty key, label)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClashView:
    """Two contents under one id: the kept one, and the one that came later."""

    clash: int
    entry: UUID
    day: date
    label: str
    kind: str
    kept: Mapping[str, object]
    kept_by: str
    kept_at: datetime
    other: Mapping[str, object]
    other_by: str
    came_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSort:
    unmatched: tuple[Unmatched, ...]
    clashes: tuple[ClashView, ...]


def to_sort(*, room: Room) -> ToSort:
    """Return everything that waits for a person, oldest first, in a fixed number of queries."""
    raise NotImplementedError


def settle_unmatched(
    *, room: Room, entry: UUID, duty: str | None, by: Person, form: UUID, now: datetime
) -> tuple[Answer, ...]:
    """Say which duty was meant (kept as a correction), or with None leave it aside."""
    raise NotImplementedError


def settle_clash(
    *, room: Room, clash: int, keep: str, by: Person, form: UUID, now: datetime
) -> tuple[Answer, ...]:
    """Keep the 'first' or the 'other': the other is written as a correction. Refused: ALREADY_SETTLED."""
    raise NotImplementedError
