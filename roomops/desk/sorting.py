"""What a person has to look at: entries that fit no duty, and the same id with other content."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from roomops.desk.checking import FITS
from roomops.desk.documents import plan_of
from roomops.desk.entries import Answer, Outcome, Said, id_from, say
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import hold
from roomops.planning.plan import Duty
from roomops.records.models import Clash, Entry, EntryKind, Person, PlanVersion, Room, Tank
from roomops.records.names import names

LIKELY_MOST = 40  # duties offered for one entry
FIRST, OTHER = "first", "other"


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
    lost = Entry.objects.filter(room=room, matched=False, corrections__isnull=True)
    rows = list(lost.select_related("written_by").order_by("at", "id"))
    clashes = Clash.objects.filter(room=room, settled_at__isnull=True)
    pairs = clashes.select_related("entry__written_by", "written_by").order_by("written_at", "pk")
    labels = {f"resident:{key}": name for key, name in names(room=room).items()}
    labels |= {f"tank:{key}": name for key, name in Tank.objects.filter(room=room).values_list("key", "name")}
    days = _duties_by_day(room=room, days={row.day for row in rows})
    return ToSort(
        unmatched=tuple(_unmatched(row, days.get(row.day, ()), labels) for row in rows),
        clashes=tuple(_clash(pair, labels) for pair in pairs),
    )


def _duties_by_day(*, room: Room, days: set[date]) -> dict[date, tuple[Duty, ...]]:
    found: dict[date, dict[str, Duty]] = {}
    for row in PlanVersion.objects.filter(room=room, day__in=days).order_by("day", "version"):
        found.setdefault(row.day, {}).update({duty.key: duty for duty in plan_of(row=row).duties})
    return {day: tuple(duties.values()) for day, duties in found.items()}


def _label(duty: str, labels: Mapping[str, str]) -> str:
    subject = duty.split("/")[2]
    return labels.get(f"resident:{subject}") or labels.get(f"tank:{subject}") or subject


def _unmatched(row: Entry, duties: tuple[Duty, ...], labels: Mapping[str, str]) -> Unmatched:
    """The duties that it may have meant: of its kind, those of the same slot first."""
    parts = FITS.get(row.kind, frozenset())
    slot = row.duty.rsplit("/", 1)[-1]
    fitting = [d for d in duties if d.kind.value in parts and row.head <= d.heads]
    fitting.sort(key=lambda d: (str(d.slot) != slot, d.slot, _label(d.key, labels)))
    return Unmatched(
        entry=row.id,
        day=row.day,
        duty=row.duty,
        kind=row.kind,
        head=row.head,
        at=row.at,
        by=row.written_by.name if row.written_by else "",
        data=row.data,
        likely=tuple((d.key, _label(d.key, labels)) for d in fitting[:LIKELY_MOST]),
    )


def _clash(pair: Clash, labels: Mapping[str, str]) -> ClashView:
    entry = pair.entry
    return ClashView(
        clash=pair.pk,
        entry=entry.id,
        day=entry.day,
        label=_label(entry.duty, labels),
        kind=entry.kind,
        kept=entry.data,
        kept_by=entry.written_by.name if entry.written_by else "",
        kept_at=entry.at,
        other=pair.content.get("data", {}),
        other_by=pair.written_by.name if pair.written_by else "",
        came_at=pair.written_at,
    )


def settle_unmatched(
    *, room: Room, entry: UUID, duty: str | None, by: Person, form: UUID, now: datetime
) -> tuple[Answer, ...]:
    """Say which duty was meant (kept as a correction), or with None leave it aside.

    Refused: NOT_YOURS, ALREADY_SETTLED, and what ``say`` refuses: UNKNOWN_DUTY when it fits nothing either.
    """
    with transaction.atomic():
        hold(room=room)
        row = Entry.objects.filter(room=room, id=entry, matched=False).first()
        if row is None:
            raise Refused(No.NOT_YOURS, value=str(entry))
        if row.corrections.exclude(id=form).exists():
            raise Refused(No.ALREADY_SETTLED)
        if duty is None:
            said = Said(id=form, duty=row.duty, head=row.head, kind=EntryKind.UNDONE, corrects=row.id)
        else:
            said = Said(
                id=form, duty=duty, head=row.head, kind=row.kind, data=row.data, corrects=row.id, at=row.at
            )
        answers = say(room=room, by=by, said=[said], now=now)
        _or_refuse(answers)
        if answers[0].outcome is Outcome.UNMATCHED:
            raise Refused(No.UNKNOWN_DUTY, value=duty)
    return answers


def settle_clash(
    *, room: Room, clash: int, keep: str, by: Person, form: UUID, now: datetime
) -> tuple[Answer, ...]:
    """Keep the 'first', or the 'other', which is then written as a correction. Refused: ALREADY_SETTLED."""
    with transaction.atomic():
        hold(room=room)
        pair = Clash.objects.select_related("entry").filter(room=room, pk=clash).first()
        if pair is None:
            raise Refused(No.NOT_YOURS, value=clash)
        if pair.settled_at is not None:
            raise Refused(No.ALREADY_SETTLED)
        if keep not in {FIRST, OTHER}:
            raise Refused(No.UNKNOWN_REASON, value=keep, allowed=(FIRST, OTHER))
        Clash.objects.filter(pk=pair.pk).update(settled_at=now)
        if keep == FIRST:
            return ()
        answers = say(room=room, by=by, said=_instead(pair=pair, form=form), now=now)
        _or_refuse(answers)
    return answers


def _instead(*, pair: Clash, form: UUID) -> list[Said]:
    """Say the other content in place of the first; the first is taken back when it is of another duty."""
    content, last = pair.content, _last(pair.entry)
    same = (content["duty"], content["head"]) == (last.duty, last.head)
    other = Said(
        id=form,
        duty=content["duty"],
        head=content["head"],
        kind=content["kind"],
        data=content["data"],
        corrects=last.id if same else None,
        at=pair.entry.at,
    )
    if same or last.kind == EntryKind.UNDONE:
        return [other]
    gone = id_from(form=form, duty=last.duty, head=last.head)
    return [Said(id=gone, duty=last.duty, head=last.head, kind=EntryKind.UNDONE, corrects=last.id), other]


def _last(entry: Entry) -> Entry:
    """The last word in a chain of corrections."""
    later = entry.corrections.first()
    return entry if later is None else _last(later)


def _or_refuse(answers: tuple[Answer, ...]) -> None:
    for answer in answers:
        if answer.outcome is Outcome.REFUSED and answer.why is not None:
            raise Refused(answer.why, **answer.about)
