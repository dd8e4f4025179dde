"""'Not here' and 'it is here' on a feed: the resident's status follows at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction

from roomops.desk import animals
from roomops.desk.refusals import Refused
from roomops.planning.room import Status
from roomops.records.models import Entry, EntryKind, Note, Person, Resident, Room, Spell, Stay, Tank

KEY_MOST = 50


def follow(
    *, room: Room, entries: Sequence[Entry], by: Person | None, now: datetime
) -> Mapping[UUID, Refused]:
    """Change where the residents stand that fresh entries say are not here, or are here after all.

    What cannot be followed (a tank with the same mark in it, by now) changes nothing, and a note for a person
    says so. Returns the reasons by entry.
    """
    reasons: dict[UUID, Refused] = {}
    for entry in entries:
        try:
            with transaction.atomic():
                _one(room=room, entry=entry, by=by, now=now)
        except Refused as no:
            reasons[entry.id] = no
            _tell(room=room, entry=entry, no=no, by=by, now=now)
    return reasons


def _one(*, room: Room, entry: Entry, by: Person | None, now: datetime) -> None:
    if entry.kind == EntryKind.NOT_HERE:
        _gone(room=room, entry=entry, by=by, now=now)
    elif entry.kind == EntryKind.HERE:
        _found(room=room, said=_last_not_here(room, entry), by=by, now=now)
    elif entry.kind == EntryKind.UNDONE and entry.corrects and entry.corrects.kind == EntryKind.NOT_HERE:
        _found(room=room, said=entry.corrects, by=by, now=now)


def _tell(*, room: Room, entry: Entry, no: Refused, by: Person | None, now: datetime) -> None:
    row = _resident(room, entry.duty.split("/")[2])
    said = "here after all" if entry.kind == EntryKind.HERE else f"not here, {entry.data.get('why', '')}"
    about = ", ".join(str(value) for value in no.about.values())
    Note.objects.create(
        room=room, at=entry.at, resident=row, tank=row.tank if row else None, wrong=True,
        text=f"Said to be {said}; that could not be kept: {no.why.value} ({about}).",
        written_at=now, written_by=by,
    )  # fmt: skip


def _resident(room: Room, key: str) -> Resident | None:
    return Resident.objects.filter(room=room, key=key).select_related("room", "tank").first()


def _gone(*, room: Room, entry: Entry, by: Person | None, now: datetime) -> None:
    row = _resident(room, entry.duty.split("/")[2])
    if row is None or row.heads == 0:
        return
    to_tank = Tank.objects.filter(room=room, key=entry.data.get("to_tank") or "").first()
    status = animals.WHY[entry.data["why"]]
    if status is Status.MOVED and to_tank is not None:
        status = Status(row.status)
    animals.set_status(
        resident=row,
        status=status,
        now=now,
        by=by,
        note=entry.data.get("note", ""),
        heads=1 if entry.head and row.heads > 1 else None,
        tank=to_tank,
        key=aside_key(entry),
    )


def aside_key(entry: Entry) -> str:
    """The key of a head that was taken out of its lot by an entry: 'it is here' finds it again by this."""
    return f"{entry.duty.split('/')[2][: KEY_MOST - 9]}-{entry.id.hex[:8]}"


def _last_not_here(room: Room, entry: Entry) -> Entry | None:
    said = Entry.objects.filter(room=room, duty=entry.duty, head=entry.head, kind=EntryKind.NOT_HERE)
    return said.filter(matched=True, at__lte=entry.at).order_by("at", "written_at").last()


def _found(*, room: Room, said: Entry | None, by: Person | None, now: datetime) -> None:
    """Undo what 'not here' did, unless somebody has said something else of the animal since."""
    if said is None:
        return
    row = _resident(room, said.duty.split("/")[2])
    part = _resident(room, aside_key(said))
    if part is not None and row is not None:
        if part.heads:
            animals.rejoin(part=part, lot=row, now=now, by=by)
        return
    if row is None or row.status_since != said.written_at:
        return
    before = Spell.objects.filter(resident=row, since__lt=row.status_since).order_by("since", "pk").last()
    stay = Stay.objects.filter(resident=row, until=row.status_since).order_by("pk").last()
    animals.set_status(
        resident=row,
        status=Status(before.status) if before else Status.HERE,
        now=now,
        by=by,
        note=before.note if before else "",
        tank=Tank.objects.get(pk=stay.tank_id) if stay else None,
    )
