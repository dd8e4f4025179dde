"""Entries out of their table as plain values, for the fold."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from roomops.desk.state import EntryFacts, State, fold
from roomops.records.models import Entry, Room


def entry_facts(*, rows: Iterable[Entry]) -> tuple[EntryFacts, ...]:
    """Return rows as plain values; ``written_by`` must come with them (select_related)."""
    return tuple(
        EntryFacts(
            id=row.id,
            duty=row.duty,
            kind=row.kind,
            head=row.head,
            data=row.data,
            at=row.at,
            written_at=row.written_at,
            by=row.written_by.key if row.written_by else "",
            by_name=row.written_by.name if row.written_by else "",
            corrects=row.corrects_id,
            matched=row.matched,
        )
        for row in rows
    )


def entries_of(*, room: Room, day: date) -> tuple[EntryFacts, ...]:
    """Return all entries of a day in one query."""
    rows = Entry.objects.filter(room=room, day=day).values_list(
        "id", "duty", "kind", "head", "data", "at", "written_at", "written_by__key", "written_by__name",
        "corrects_id", "matched",
    )  # fmt: skip
    return tuple(
        EntryFacts(
            id=key, duty=duty, kind=kind, head=head, data=data, at=at, written_at=written_at, by=by or "",
            by_name=by_name or "", corrects=corrects, matched=matched,
        )
        for key, duty, kind, head, data, at, written_at, by, by_name, corrects, matched in rows
    )  # fmt: skip


def state_of(*, room: Room, day: date) -> State:
    """Return what has happened on a day, in one query."""
    return fold(entries=entries_of(room=room, day=day))
