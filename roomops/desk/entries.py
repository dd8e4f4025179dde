"""The one door for what people say: every press of every page, every batch of a device.

Read, decide, apply: ids that are known are answered from what is kept; what is new is kept in one go; what
follows from it (readings, the shelf, where an animal stands, notes) is written in the same transaction.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from roomops.desk import books, effects
from roomops.desk.checking import checked
from roomops.desk.day_types import Day
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import hold
from roomops.desk.said import Answer, Outcome, Said, id_from
from roomops.records.models import Clash, Entry, EntryKind, Person, Room

__all__ = ["Answer", "Outcome", "Said", "id_from", "kept", "say", "say_or_refuse"]

KEPT_ALL_THE_SAME = frozenset({No.UNKNOWN_FOOD, No.NOT_ARRIVED})  # the count stands, the shelf does not move


def say(*, room: Room, by: Person | None, said: Sequence[Said], now: datetime) -> tuple[Answer, ...]:
    """Keep what was said, each in its own right: one answer for each, in order, in one transaction.

    Nothing well formed is lost: what fits no duty of its day is kept unmatched, and other content under a
    known id is kept as a clash. Nothing that is said raises; if the database fails, nothing is kept.
    """
    with transaction.atomic():
        hold(room=room)
        desk = _Desk(room=room, by=by, now=now, said=said)
        answers = [desk.answer(each) for each in said]
        desk.keep()
    return tuple(desk.final(answer) for answer in answers)


def say_or_refuse(
    *, day: Day, by: Person | None, said: Sequence[Said], guard: Callable[[], None] | None = None
) -> tuple[Answer, ...]:
    """Keep all of what one press of a page said, or nothing of it. Raises Refused with the first reason.

    ``guard`` refuses what the page must not allow; a form that was kept before passes it: it changes nothing.
    """
    if guard is not None and not kept(room=day.room, ids=[each.id for each in said]):
        guard()
    with transaction.atomic():
        answers = say(room=day.room, by=by, said=said, now=day.now)
        for answer in answers:
            if answer.why is not None and answer.why not in KEPT_ALL_THE_SAME:
                raise Refused(answer.why, **answer.about)
    return answers


def kept(*, room: Room, ids: Sequence[UUID]) -> bool:
    """Say whether all of these are kept already."""
    return bool(ids) and Entry.objects.filter(room=room, id__in=ids).count() == len(ids)


@dataclass(kw_only=True)
class _Desk:
    """One batch on its way in."""

    room: Room
    by: Person | None
    now: datetime
    said: Sequence[Said]
    known: dict[UUID, Entry] = field(default_factory=dict)
    replaced: set[UUID | None] = field(default_factory=set)
    days: dict[date, books.Book] = field(default_factory=dict)
    fresh: list[Entry] = field(default_factory=list)
    clashes: list[Clash] = field(default_factory=list)
    remarks: Mapping[UUID, Refused] = field(default_factory=dict)

    def __post_init__(self) -> None:
        ids = {each.id for each in self.said} | {each.corrects for each in self.said if each.corrects}
        for entry in Entry.objects.filter(id__in=ids).select_related("written_by"):
            self.known[entry.id] = entry
        self.replaced = set(Entry.objects.filter(corrects__in=ids).values_list("corrects", flat=True))

    @property
    def today(self) -> date:
        return self.now.astimezone(ZoneInfo(self.room.timezone)).date()

    def answer(self, said: Said) -> Answer:
        try:
            return self._answer(said)
        except Refused as no:
            return Answer(id=said.id, outcome=Outcome.REFUSED, why=no.why, about=no.about)

    def _answer(self, said: Said) -> Answer:
        before = self.known.get(said.id)
        if before is not None and before.room_id != self.room.pk:
            raise Refused(No.NOT_YOURS, value=str(said.id))
        if before is not None and _content(before) == _content(said):
            return Answer(id=said.id, outcome=Outcome.ALREADY)
        ready, day = checked(said=said, now=self.now, today=self.today)
        if before is not None:
            self._clash(before, said)
            return Answer(id=said.id, outcome=Outcome.CLASH)
        entry = self._entry(ready, day)
        self.known[entry.id] = entry
        self.fresh.append(entry)
        return Answer(id=said.id, outcome=Outcome.STORED if entry.matched else Outcome.UNMATCHED)

    def _entry(self, said: Said, day: date) -> Entry:
        corrects = self._corrects(said)
        if day not in self.days:
            self.days[day] = books.book(room=self.room, day=day, now=self.now)
        taken_back = said.kind == EntryKind.UNDONE
        return Entry(
            id=said.id, room=self.room, day=day, duty=said.duty, head=said.head, kind=said.kind,
            at=said.at or self.now, data=dict(said.data), corrects=corrects,
            matched=taken_back or self.days[day].fits(said=said),
            written_at=self.now, written_by=self.by,
        )  # fmt: skip

    def _corrects(self, said: Said) -> Entry | None:
        """Return the entry that is replaced.

        Of two people who correct the same thing without knowing of each other, the second stands beside the
        first, so that nothing is lost; only taking back twice makes no sense.
        """
        if said.corrects is None:
            return None
        base = self.known.get(said.corrects)
        if base is not None and base.room_id != self.room.pk:
            raise Refused(No.NOT_YOURS, value=str(said.corrects))
        if base is not None and base.matched and (base.duty, base.head) != (said.duty, said.head):
            raise Refused(No.OTHER_DUTY, value=said.duty, duty=base.duty)
        free = base is not None and base.id not in self.replaced
        if said.kind == EntryKind.UNDONE and not free:
            raise Refused(No.ALREADY_CORRECTED, value=str(said.corrects))
        if not free or base is None:
            return None
        self.replaced.add(base.id)
        return base

    def _clash(self, before: Entry, said: Said) -> None:
        content = _content(said) | {"by": self.by.key if self.by else ""}
        if said.at is not None:
            content["at"] = said.at.isoformat()
        self.clashes.append(
            Clash(room=self.room, entry=before, content=content, written_at=self.now, written_by=self.by)
        )

    def keep(self) -> None:
        Entry.objects.bulk_create(self.fresh)
        known = [(clash.entry_id, clash.content) for clash in _clashes_of(self.clashes)]
        Clash.objects.bulk_create(c for c in self.clashes if (c.entry_id, c.content) not in known)
        matched = [entry for entry in self.fresh if entry.matched]
        if matched:
            self.remarks = effects.apply(room=self.room, entries=matched, by=self.by, now=self.now)

    def final(self, answer: Answer) -> Answer:
        """Say beside what was kept what could not follow from it."""
        no = self.remarks.get(answer.id)
        if no is None or answer.outcome is not Outcome.STORED:
            return answer
        return replace(answer, why=no.why, about=no.about)


def _clashes_of(clashes: Sequence[Clash]) -> Sequence[Clash]:
    """Those kept before: a device that sends the same clash again makes no second one."""
    if not clashes:
        return ()
    return tuple(Clash.objects.filter(entry__in={clash.entry_id for clash in clashes}))


def _content(said: Said | Entry) -> dict[str, Any]:
    """What makes two of the same id the same: not when, and not what it replaces, but what was seen."""
    return {"duty": said.duty, "head": said.head, "kind": str(said.kind), "data": _plain(said.data)}


def _plain(data: Mapping[str, Any]) -> dict[str, Any]:
    return {key: list(value) if isinstance(value, tuple) else value for key, value in data.items()}
