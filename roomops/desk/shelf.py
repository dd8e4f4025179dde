"""What leaves the shelf with a feed, and who was fed by it.

The ledger of a head always sums to what the fold says was offered to it: each new word writes the
difference, so that corrections, second counts and repeats keep the shelf right. What is left in a tub is
thrown out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from uuid import UUID

from django.db.models import Sum

from roomops.desk.heard import entry_facts
from roomops.desk.refusals import No, Refused
from roomops.desk.state import EntryFacts, HeadState, State, fold
from roomops.records.models import Batch, Entry, EntryKind, LedgerLine, Person, Resident, Room
from roomops.records.models.foods import Reason

SLOTS = range(1, 10)  # feeds a day: more than any care sheet asks for
LOOK_BACK = 60  # entries of one resident that are read to find when it last ate

Head = tuple[str, int]


def book(*, room: Room, entries: Sequence[Entry], by: Person | None, now: datetime) -> Mapping[UUID, Refused]:
    """Take what was offered off the shelf and keep when each resident last ate.

    Returns, by entry, what could not leave the shelf: a food that no batch is called by, or one that came
    only after the feed. Six queries, and one more for each resident whose meal was taken back.
    """
    state = fold(entries=_feeds_of_the_day(room=room, entries=entries))
    unlined = _book(room=room, entries=entries, state=state, by=by, now=now)
    _fed(room=room, entries=entries, state=state, by=by, now=now)
    return unlined


def _feeds_of_the_day(*, room: Room, entries: Sequence[Entry]) -> tuple[EntryFacts, ...]:
    stems = {entry.duty.rsplit("/", 1)[0] for entry in entries}
    duties = {f"{stem}/{slot}" for stem in stems for slot in SLOTS} | {entry.duty for entry in entries}
    rows = Entry.objects.filter(room=room, day__in={e.day for e in entries}, duty__in=duties)
    return entry_facts(rows=rows.select_related("written_by"))


# ---------------------------------------------------------------- the ledger


def _book(
    *, room: Room, entries: Sequence[Entry], state: State, by: Person | None, now: datetime
) -> dict[UUID, Refused]:
    last = {(entry.duty, entry.head): entry for entry in entries}
    booked = _booked(room=room, heads=last)
    wanted = {head: _offered(state.heads.get(head)) for head in last}
    foods = {food for each in (*wanted.values(), *booked.values()) for food in each}
    batches = {batch.key: batch for batch in Batch.objects.filter(room=room, key__in=foods)}
    lines: list[LedgerLine] = []
    unlined: dict[UUID, Refused] = {}
    for head, entry in last.items():
        for food in sorted({*wanted[head], *booked[head]}):
            change = booked[head].get(food, 0.0) - wanted[head].get(food, 0.0)
            no = _not_here(food=food, batch=batches.get(food), day=entry.day)
            if no is not None and change < 0:
                unlined[entry.id] = no
            elif change:
                reason = Reason.CORRECTED if booked[head] else Reason.FED
                lines.append(
                    LedgerLine(room=room, batch=batches[food], change=change, reason=reason, at=entry.at,
                               entry=entry, written_at=now, written_by=by)
                )  # fmt: skip
    LedgerLine.objects.bulk_create(lines)
    return unlined


def _not_here(*, food: str, batch: Batch | None, day: date) -> Refused | None:
    """Why a food cannot leave the shelf on a day; what left it before may always come back."""
    if batch is None:
        return Refused(No.UNKNOWN_FOOD, value=food)
    if batch.received_on > day:
        return Refused(No.NOT_ARRIVED, value=batch.name, day=batch.received_on)
    return None


def _booked(*, room: Room, heads: Mapping[Head, Entry]) -> dict[Head, dict[str, float]]:
    """Return what has left the shelf so far for each head, by batch key, as positive numbers."""
    rows = LedgerLine.objects.filter(room=room, entry__duty__in={duty for duty, _ in heads})
    sums = rows.values_list("entry__duty", "entry__head", "batch__key").annotate(Sum("change"))
    booked: dict[Head, dict[str, float]] = defaultdict(dict)
    for duty, head, food, change in sums.order_by():
        if change:
            booked[duty, head][food] = -change
    return defaultdict(dict, booked)


def _offered(head: HeadState | None) -> dict[str, float]:
    """Return what a head was offered, by batch key; nothing for a cup of greens or an animal not counted."""
    if head is None or head.offered is None or not head.food:
        return {}
    amount = float(head.offered + head.more)
    return {head.food: amount} if amount else {}


# ---------------------------------------------------------------- who was fed


def _fed(*, room: Room, entries: Sequence[Entry], state: State, by: Person | None, now: datetime) -> None:
    """Keep the day on which each resident last ate anything; a refusal is no meal."""
    for day, subjects in _subjects(entries).items():
        ate = {subject for subject in subjects if _ate(state, day, subject)}
        rows = Resident.objects.filter(room=room, key__in=ate)
        rows.exclude(last_fed_on__gte=day).update(last_fed_on=day, written_at=now, written_by=by)
        hungry = Resident.objects.filter(room=room, key__in=subjects - ate, last_fed_on=day)
        for resident in hungry:
            resident.last_fed_on = _ate_before(room=room, resident=resident, day=day)
            resident.written_at, resident.written_by = now, by
            resident.save(update_fields=["last_fed_on", "written_at", "written_by"])


def _subjects(entries: Sequence[Entry]) -> dict[date, set[str]]:
    found: dict[date, set[str]] = defaultdict(set)
    for entry in entries:
        found[entry.day].add(entry.duty.split("/")[2])
    return found


def _ate(state: State, day: date, subject: str) -> bool:
    stem = f"{day.isoformat()}/feed/{subject}/"
    return any(eaten(head) for (duty, _), head in state.heads.items() if duty.startswith(stem))


def eaten(head: HeadState) -> bool:
    """Say whether a head ate anything of what it was offered."""
    return head.left is not None and not head.refused and head.left < (head.offered or 0) + head.more


def _ate_before(*, room: Room, resident: Resident, day: date) -> date | None:
    """Return the last day before ``day`` on which it ate; None is 'not known', and makes it due."""
    rows = Entry.objects.filter(
        room=room, day__lt=day, duty__contains=f"/feed/{resident.key}/", kind=EntryKind.COUNT,
        matched=True, corrections__isnull=True,
    )  # fmt: skip
    for row in rows.order_by("-day", "-at")[:LOOK_BACK]:
        if row.data.get("left", 0) < row.data.get("offered", 0) + row.data.get("more", 0):
            return row.day
    return None
