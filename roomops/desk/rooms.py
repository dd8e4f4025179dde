"""Holding a room while something is written, and saying that what planning reads has changed."""

from __future__ import annotations

from datetime import datetime

from roomops.records.models import Room


def hold(*, room: Room) -> None:
    """Make writers of one room wait for each other, inside a transaction.

    SQLite's transactions begin as writers (see settings) and wait by themselves; PostgreSQL locks the row.
    """
    Room.objects.select_for_update().only("pk").get(pk=room.pk)


def facts_changed(*, room: Room, now: datetime) -> None:
    """Something that planning reads has changed: paper says 'as of' this moment. It never goes back."""
    Room.objects.filter(pk=room.pk, facts_changed__lt=now).update(facts_changed=now)
    room.facts_changed = max(room.facts_changed, now)
