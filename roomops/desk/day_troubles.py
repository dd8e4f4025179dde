"""What is wrong now, and what has changed in the last days."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roomops.desk.day_types import Animal, Change, LastReading, Trouble, TroubleKind
from roomops.desk.effects import SHORT
from roomops.desk.state import EntryFacts, State
from roomops.planning.room import Room as Facts
from roomops.planning.room import Status as Standing
from roomops.records.models import Entry, EntryKind, Note, Room, Spell

LOOK_BACK_DAYS = 3  # what changed before that is on the animal's own page
OFF = {"cool": TroubleKind.COOL_SIDE, "night low": TroubleKind.NIGHT}


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the tables say beside the day's entries: unsettled notes, the last days' statuses and refusals."""

    notes: tuple[Note, ...]
    spells: tuple[Spell, ...]
    refusals: tuple[Entry, ...]
    before: Mapping[
        str, bool
    ]  # resident refused today: whether its last feed of the day before was refused too


def told(*, room: Room, day: date, since: datetime, refused_today: Iterable[str]) -> Told:
    """Read notes, statuses, refusals: four queries, whatever the room's size."""
    notes = Note.objects.filter(room=room, wrong=True, settled_at__isnull=True)
    spells = Spell.objects.filter(room=room, since__gte=since).select_related("resident", "written_by")
    refusals = Entry.objects.filter(
        room=room, day__gte=since.date(), day__lte=day, kind=EntryKind.REFUSED, matched=True,
        corrections__isnull=True,
    ).select_related("written_by")  # fmt: skip
    return Told(
        notes=tuple(notes.select_related("resident", "tank", "written_by").order_by("-at", "-pk")),
        spells=tuple(spells.order_by("-since", "-pk")),
        refusals=tuple(refusals.order_by("-at", "id")),
        before=_refused_before(room=room, day=day, subjects=set(refused_today)),
    )


def _refused_before(*, room: Room, day: date, subjects: set[str]) -> dict[str, bool]:
    yesterday = day - timedelta(days=1)
    duties = {
        f"{yesterday.isoformat()}/feed/{subject}/{slot}": subject
        for subject in subjects
        for slot in range(1, 10)
    }
    rows = Entry.objects.filter(
        room=room, day=yesterday, duty__in=duties, kind__in=(EntryKind.COUNT, EntryKind.REFUSED),
        matched=True, corrections__isnull=True,
    )  # fmt: skip
    last: dict[str, bool] = {}
    for row in rows.order_by("at", "written_at", "id"):
        last[duties[row.duty]] = row.kind == EntryKind.REFUSED
    return last


# ---------------------------------------------------------------- wrong now


def troubles(
    *,
    known: Told,
    state: State,
    facts: Facts,
    readings: Sequence[LastReading],
    animals: Mapping[str, Animal],
    now: datetime,
) -> tuple[Trouble, ...]:
    """Return what is wrong now: limits to act at first, then what people said, then the rest."""
    found = [
        *_off_readings(readings),
        *_out_too_long(state=state, facts=facts, animals=animals, now=now),
        *_missing(animals),
        *(_note(note, animals) for note in known.notes),
        *_refused_twice(known=known, state=state, animals=animals),
    ]
    return tuple(sorted(found, key=lambda each: not each.numbers.get("act")))


def _off_readings(readings: Iterable[LastReading]) -> Iterable[Trouble]:
    for reading in readings:
        if reading.at is None or not (reading.out or reading.act):
            continue
        kind = OFF.get(reading.spot)
        if kind is None:
            kind = TroubleKind.BASKING_LOW if reading.out == "low" else TroubleKind.BASKING_HIGH
        numbers = {"value_c": reading.value_c, "act": float(reading.act)}
        numbers |= {"low_c": reading.low_c} if reading.low_c is not None else {}
        numbers |= {"high_c": reading.high_c} if reading.high_c is not None else {}
        yield Trouble(
            kind=kind,
            about=reading.tank_name,
            tank=reading.tank,
            at=reading.at,
            by="",
            text="",
            numbers=numbers,
        )


def _out_too_long(
    *, state: State, facts: Facts, animals: Mapping[str, Animal], now: datetime
) -> Iterable[Trouble]:
    most = facts.settings.most_out_min
    for (duty, _), head in sorted(state.heads.items()):
        if not head.in_tub or head.out is None:
            continue
        minutes = int((now - head.out.at) / timedelta(minutes=1))
        if minutes > most:
            animal = animals.get(duty.split("/")[2])
            yield Trouble(
                kind=TroubleKind.NOT_BACK,
                about=animal.label if animal else duty.split("/")[2],
                tank=animal.tank if animal else "",
                at=head.out.at,
                by=head.out.by_name,
                text="",
                numbers={"out_min": minutes, "most_min": most, "act": 1.0},
            )


def _missing(animals: Mapping[str, Animal]) -> Iterable[Trouble]:
    """Those that nobody can find, the last one first: a search is work, not a line in a history."""
    lost = [animal for animal in animals.values() if animal.status == Standing.MISSING]
    for animal in sorted(lost, key=lambda each: (each.since, each.key), reverse=True):
        yield Trouble(
            kind=TroubleKind.MISSING,
            about=animal.label,
            tank=animal.tank,
            at=animal.since,
            by="",
            text="",
            numbers={},
            resident=animal.key,
        )


def _note(note: Note, animals: Mapping[str, Animal]) -> Trouble:
    seen = [float(n) for n in re.findall(r"\d+", note.text)] if re.match(SHORT, note.text) else []
    animal = animals.get(note.resident.key) if note.resident else None
    about = animal.label if animal else note.tank.name if note.tank else ""
    return Trouble(
        kind=TroubleKind.SHORT_HEAD if seen else TroubleKind.NOTE,
        about=about,
        tank=note.tank.key if note.tank else animal.tank if animal else "",
        at=note.at,
        by=note.written_by.name if note.written_by else "",
        text="" if seen else note.text,
        numbers={"seen": seen[0], "of": seen[1]} if seen else {},
        note=note.pk,
    )


def refused_last_today(*, state: State) -> Mapping[tuple[str, int], tuple[bool, bool, datetime, str]]:
    """Return heads whose last feed today was refused.

    By (subject, head): was the feed before refused too, was there none before, when was it, who said so.
    """
    by_head: dict[tuple[str, int], list[tuple[int, bool, datetime, str]]] = defaultdict(list)
    for (duty, head), each in state.heads.items():
        if each.count is not None:
            _, _, subject, slot = duty.split("/")
            by_head[subject, head].append((int(slot), each.refused, each.count.at, each.count.by_name))
    found = {}
    for key, feeds in by_head.items():
        feeds.sort()
        if feeds[-1][1]:
            before = len(feeds) > 1 and feeds[-2][1]
            found[key] = (before, len(feeds) == 1, feeds[-1][2], feeds[-1][3])
    return found


def _refused_twice(*, known: Told, state: State, animals: Mapping[str, Animal]) -> Iterable[Trouble]:
    for (subject, _), (before, only, at, by) in sorted(refused_last_today(state=state).items()):
        animal = animals.get(subject)
        if animal is None or animal.unmarked:
            continue  # one of a lot is not known again at the next feed
        if before or (only and known.before.get(subject)):
            yield Trouble(
                kind=TroubleKind.REFUSED_TWICE,
                about=animal.label,
                tank=animal.tank,
                at=at,
                by=by,
                text="",
                numbers={},
                resident=subject,
            )


# ---------------------------------------------------------------- changed


def changes(
    *, known: Told, readings: Iterable[LastReading], state: State, animals: Mapping[str, Animal]
) -> tuple[Change, ...]:
    """Return what changed in the last days, newest first."""
    found = [
        *(_status(spell, animals) for spell in known.spells),
        *(_refusal(entry, animals) for entry in known.refusals),
        *(_wrong(note, animals) for note in known.notes),
        *_out_of_band(readings, state),
    ]
    return tuple(sorted(found, key=lambda each: (each.at, each.kind, each.about), reverse=True))


def _status(spell: Spell, animals: Mapping[str, Animal]) -> Change:
    animal = animals.get(spell.resident.key)
    return Change(
        kind="status",
        about=animal.label if animal else spell.resident.key,
        at=spell.since,
        by=spell.written_by.name if spell.written_by else "",
        data={"status": spell.status, "note": spell.note, "heads": spell.heads},
        entry=None,
    )


def _refusal(entry: Entry, animals: Mapping[str, Animal]) -> Change:
    parts = entry.duty.split("/")
    animal = animals.get(parts[2])
    return Change(
        kind=EntryKind.REFUSED.value,
        about=animal.label if animal else parts[2],
        at=entry.at,
        by=entry.written_by.name if entry.written_by else "",
        data={"slot": int(parts[3]) if parts[3].isdecimal() else 0, "day": entry.day},
        entry=entry.id,
    )


def _wrong(note: Note, animals: Mapping[str, Animal]) -> Change:
    trouble = _note(note, animals)
    return Change(
        kind=EntryKind.WRONG.value,
        about=trouble.about,
        at=note.at,
        by=trouble.by,
        data={"text": note.text},
        entry=None,
    )


def _out_of_band(readings: Iterable[LastReading], state: State) -> Iterable[Change]:
    said = {word.word.at: word.word.by_name for word in state.duties.values()}
    for reading in readings:
        if reading.at is not None and reading.out:
            by = next((name for at, name in said.items() if abs(at - reading.at) < timedelta(minutes=1)), "")
            data = {"spot": reading.spot, "value_c": reading.value_c, "out": reading.out}
            yield Change(kind="reading", about=reading.tank_name, at=reading.at, by=by, data=data, entry=None)


def refused_subjects(*, state: State) -> set[str]:
    """Return the residents whose last feed today was refused."""
    return {subject for subject, _ in refused_last_today(state=state)}


__all__ = ["EntryFacts", "Told", "changes", "refused_subjects", "told", "troubles"]
