"""When a missing animal is found: it stands where it stood before, and its short head counts settle."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from roomops.desk import animals
from roomops.planning.room import FED, DutyKind, Status
from roomops.records.models import Entry, EntryKind, Note, Person, Resident, Room, Spell

PART = f"/{DutyKind.SEARCH.value}/"
SHORT = r"^\d+ of \d+ seen$"


def follow(*, room: Room, entries: Sequence[Entry], by: Person | None, now: datetime) -> None:
    """Bring back each animal that a fresh word of its search says is found; taken back: missing again."""
    for entry in entries:
        if PART not in entry.duty:
            continue
        row = _resident(room, entry)
        taken_back = entry.kind == EntryKind.UNDONE and entry.corrects and entry.corrects.data.get("found")
        if row is None:
            continue
        if taken_back and row.status in FED:
            animals.set_status(
                resident=row, status=Status.MISSING, now=now, by=by, note="not found after all"
            )
        elif entry.kind == EntryKind.DONE and entry.data.get("found") and row.status == Status.MISSING:
            back(row=row, note=f"found: {entry.data.get('where', '')}", by=by, now=now)


def back(*, row: Resident, note: str, by: Person | None, now: datetime) -> Resident:
    """Put a resident back to how it stood before it was away, and settle the short counts of its tank."""
    before = stood_before(row)
    if row.tank is not None:
        Note.objects.filter(
            room=row.room, tank=row.tank, wrong=True, settled_at__isnull=True, text__regex=SHORT
        ).update(settled_at=now, written_at=now, written_by=by)
    until = row.status_until if before is Status.ON_HOLD else None
    return animals.set_status(resident=row, status=before, now=now, by=by, note=note[:200], until=until)


def stood_before(row: Resident) -> Status:
    """Return the last standing in which it was in the room; 'here' where nobody wrote one down."""
    spells = Spell.objects.filter(resident=row, status__in=[each.value for each in FED])
    last = spells.order_by("since", "pk").last()
    return Status(last.status) if last else Status.HERE


def _resident(room: Room, entry: Entry) -> Resident | None:
    key = entry.duty.split("/")[2]
    return Resident.objects.filter(room=room, key=key, heads__gte=1).select_related("room", "tank").first()
