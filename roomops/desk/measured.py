"""What follows from a weighing: rows of what was measured, in the transaction that keeps what was said."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from roomops.desk.checking import MEASURES
from roomops.planning.room import DutyKind
from roomops.records.models import Entry, EntryKind, Measurement, Person, Resident, Room

PART = f"/{DutyKind.WEIGH.value}/"


def follow(*, room: Room, entries: Sequence[Entry], by: Person | None, now: datetime) -> bool:
    """Write the numbers of fresh weighings; those that were corrected or taken back are no numbers any more.

    Returns whether anything that planning reads has changed. Two queries, however many were weighed.
    """
    weighed = [entry for entry in entries if PART in entry.duty]
    gone = [entry.corrects for entry in weighed if entry.corrects]
    subjects = {entry.duty.split("/")[2] for entry in weighed}
    if not subjects:
        return False
    residents = {each.key: each for each in Resident.objects.filter(room=room, key__in=subjects)}
    for entry in gone:
        names = [name for name in MEASURES if entry.data.get(name) is not None]
        Measurement.objects.filter(
            room=room, resident__key=entry.duty.split("/")[2], at=entry.at, measure__in=names
        ).delete()
    Measurement.objects.bulk_create(
        Measurement(room=room, resident=residents[entry.duty.split("/")[2]], measure=name,
                    value=entry.data[name], at=entry.at, written_at=now, written_by=by)
        for entry in weighed
        if entry.kind == EntryKind.DONE and entry.duty.split("/")[2] in residents
        for name in MEASURES
        if entry.data.get(name) is not None
    )  # fmt: skip
    return True
