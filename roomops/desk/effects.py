"""What follows from what was said: readings, the shelf, who was fed, where an animal stands, notes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q, Sum

from roomops.desk import found, measured, shelf, whereabouts
from roomops.desk.refusals import Refused
from roomops.desk.rooms import facts_changed
from roomops.planning.room import DutyKind
from roomops.records.models import Entry, EntryKind, Note, Person, Reading, Resident, Room, Spot, Tank
from roomops.records.models.animals import IN_THE_ROOM

SPOTS = {"basking_c": Spot.BASKING, "cool_c": Spot.COOL, "night_low_c": Spot.NIGHT_LOW}
NIPPED = "A dead or nipped animal was seen on the walk."
SHORT = found.SHORT
MOVES = {EntryKind.NOT_HERE, EntryKind.HERE, EntryKind.UNDONE}
FEEDS = {EntryKind.COUNT, EntryKind.REFUSED, EntryKind.UNDONE}
BY_TANK = {DutyKind.OPENING, DutyKind.CLOSING, DutyKind.READING, DutyKind.CLEAN}


def apply(
    *, room: Room, entries: Sequence[Entry], by: Person | None, now: datetime
) -> Mapping[UUID, Refused]:
    """Write what follows from fresh, matched entries. Returns what could not follow, and why, by entry.

    The number of queries depends on the kinds of entries and not on how many there are, but for animals that
    are not here: those are looked at one by one.
    """
    _readings(room=room, entries=entries, by=by, now=now)
    _walks(room=room, entries=entries, by=by, now=now)
    _wrong(room=room, entries=entries, by=by, now=now)
    if measured.follow(room=room, entries=entries, by=by, now=now):
        facts_changed(room=room, now=now)
    found.follow(room=room, entries=entries, by=by, now=now)
    feeds = [entry for entry in entries if entry.kind in FEEDS and part_of(entry) == DutyKind.FEED]
    unlined = shelf.book(room=room, entries=feeds, by=by, now=now) if feeds else {}
    lost = whereabouts.follow(room=room, entries=[e for e in entries if e.kind in MOVES], by=by, now=now)
    return {**unlined, **lost}


def part_of(entry: Entry) -> str:
    return entry.duty.split("/")[1]


def subject_of(entry: Entry) -> str:
    """The tank or resident that an entry is about: the third part of its duty's key."""
    return entry.duty.split("/")[2]


def _tanks(room: Room, keys: Iterable[str]) -> dict[str, Tank]:
    return {tank.key: tank for tank in Tank.objects.filter(room=room, key__in=set(keys))}


# ---------------------------------------------------------------- readings


def _readings(*, room: Room, entries: Sequence[Entry], by: Person | None, now: datetime) -> None:
    """A reading is a row of its own; one that was corrected or taken back is no reading any more."""
    gone = {e.corrects_id for e in entries if e.corrects_id and part_of(e) != DutyKind.FEED}
    if gone:
        Reading.objects.filter(room=room, entry__in=gone).delete()
    read = [e for e in entries if e.kind in {EntryKind.READING, EntryKind.WALK}]
    values = [(e, name, e.data[name]) for e in read for name in SPOTS if e.data.get(name) is not None]
    if values:
        tanks = _tanks(room, (subject_of(e) for e, _, _ in values))
        Reading.objects.bulk_create(
            Reading(room=room, tank=tanks[subject_of(e)], spot=SPOTS[name], value_c=value, at=e.at,
                    entry=e, written_at=now, written_by=by)
            for e, name, value in values if subject_of(e) in tanks
        )  # fmt: skip
    if gone or values:
        facts_changed(room=room, now=now)


# ---------------------------------------------------------------- walks


def _walks(*, room: Room, entries: Sequence[Entry], by: Person | None, now: datetime) -> None:
    """Fewer heads than by the book is no 'not here': it asks for a search, as a note until it is settled.

    A walk that is said again settles the note that the first saying made, and so does a later one in full.
    """
    walks = [entry for entry in entries if entry.kind == EntryKind.WALK]
    if not walks:
        return
    tanks = _tanks(room, (subject_of(entry) for entry in walks))
    book = by_the_book(room=room, tanks=tanks.values())
    told: list[Note] = []
    full: list[int] = []
    for entry in walks:
        tank = tanks.get(subject_of(entry))
        if tank is None:
            continue
        expected, seen = book.get(tank.pk, 0), entry.data["heads"]
        if seen < expected:
            told.append(_note(entry=entry, text=f"{seen} of {expected} seen", by=by, now=now, tank=tank))
        if seen >= expected or entry.corrects_id:
            full.append(tank.pk)
        if entry.data.get("dead_or_nipped"):
            told.append(_note(entry=entry, text=NIPPED, by=by, now=now, tank=tank))
    shorts = Note.objects.filter(room=room, tank__in=full, wrong=True, settled_at__isnull=True)
    shorts.filter(text__regex=SHORT).update(settled_at=now, written_by=by, written_at=now)
    Note.objects.bulk_create(told)


def by_the_book(*, room: Room, tanks: Iterable[Tank]) -> dict[int, int]:
    """Return the heads to be seen in each tank, by its row id: not those at the vet or looked for."""
    rows = Resident.objects.filter(room=room, tank__in=list(tanks), status__in=IN_THE_ROOM)
    return {tank: heads for tank, heads in rows.values_list("tank").annotate(Sum("heads")) if tank}


# ---------------------------------------------------------------- notes


def _wrong(*, room: Room, entries: Sequence[Entry], by: Person | None, now: datetime) -> None:
    """Keep a note about the resident or tank that is named, or that the duty is about."""
    wrongs = [entry for entry in entries if entry.kind == EntryKind.WRONG]
    if not wrongs:
        return
    names = {entry.id: _about(entry) for entry in wrongs}
    wanted = Q(key__in={resident for resident, _ in names.values() if resident})
    residents = {r.key: r for r in Resident.objects.filter(wanted, room=room).select_related("tank")}
    tanks = _tanks(room, (tank for _, tank in names.values() if tank))
    notes = []
    for entry in wrongs:
        resident, tank = residents.get(names[entry.id][0]), tanks.get(names[entry.id][1])
        place = tank or (resident.tank if resident else None)
        text = entry.data["text"].strip()
        notes.append(_note(entry=entry, text=text, by=by, now=now, tank=place, resident=resident))
    Note.objects.bulk_create(notes)


def _about(entry: Entry) -> tuple[str, str]:
    """(resident key, tank key) of a wrong entry; '' where there is none."""
    data: Mapping[str, Any] = entry.data
    resident, tank = str(data.get("resident", "")), str(data.get("tank", ""))
    if not resident and part_of(entry) == DutyKind.FEED:
        resident = subject_of(entry)
    if not tank and part_of(entry) in BY_TANK:
        tank = subject_of(entry)
    return resident, tank


def _note(
    *,
    entry: Entry,
    text: str,
    by: Person | None,
    now: datetime,
    tank: Tank | None = None,
    resident: Resident | None = None,
) -> Note:
    return Note(
        room=entry.room, at=entry.at, text=text, tank=tank, resident=resident, wrong=True,
        written_at=now, written_by=by,
    )  # fmt: skip
