"""The shelf's hand: a batch comes, is counted, opened, thrown out; the least that is kept of a thing.

The ledger is append-only: what is on hand is its sum, and a mistake is another line. Each press of a page
carries its form's id; pressed twice, it is one line.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Sum

from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.desk.stock_kinds import KINDS, Kind
from roomops.records.models import Batch, LedgerLine, Minimum, Person, Room
from roomops.records.models.foods import Reason

AMOUNT_MOST = 100_000
WORDS_MOST = 120
SIZE_MM = (0.5, 150.0)  # wide limits of our own against slips of the pen
WEIGHT_G = (0.5, 2000.0)
WATTS = (1, 1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """A delivery as somebody says it. Millimeters, grams, watts; ``amount`` in the unit of its kind."""

    kind: str
    name: str
    amount: float
    received_on: date
    size_mm: float | None = None
    weight_g: float | None = None
    watts: int | None = None
    source: str = ""
    farm_raised: bool = False
    use_by: date | None = None
    opened_on: date | None = None


def receive(*, room: Room, coming: Coming, form: UUID, now: datetime, by: Person | None) -> Batch:
    """Put a delivery on the shelf. Today is the day of ``now``.

    Refused: UNKNOWN_KIND, OUT_OF_RANGE, MISSING (name, size, weight, watts), NOT_FARM_RAISED, FUTURE_DATE,
    TOO_EARLY, TOO_LONG.
    """
    kind = KINDS.get(coming.kind)
    if kind is None:
        raise Refused(No.UNKNOWN_KIND, value=coming.kind)
    _checked(coming=coming, kind=kind, today=now.date())
    with transaction.atomic():
        hold(room=room)
        before = LedgerLine.objects.filter(room=room, form=form).select_related("batch").first()
        if before is not None:
            return before.batch
        batch = Batch.objects.create(
            room=room, key=_free_key(room=room, kind=kind), kind=kind.kind, category=kind.category,
            name=coming.name, size_mm=coming.size_mm if kind.sized else None,
            weight_g=coming.weight_g if kind.weighed else None, source=coming.source, unit=kind.unit,
            watts=coming.watts if kind.category == "bulb" else None, use_by=coming.use_by,
            received_on=coming.received_on, opened_on=coming.opened_on if kind.opened else None,
            written_at=now, written_by=by,
        )  # fmt: skip
        _line(batch=batch, change=coming.amount, reason=Reason.RECEIVED, form=form, now=now, by=by)
        facts_changed(room=room, now=now)
    return batch


def count(*, room: Room, batch: str, amount: float, form: UUID, now: datetime, by: Person | None) -> float:
    """So much of a batch is there: the difference to what is written becomes a line. Returns the difference.

    Refused: UNKNOWN_BATCH, OUT_OF_RANGE.
    """
    _in_range(name="count", value=amount, least=0, most=AMOUNT_MOST)
    with transaction.atomic():
        hold(room=room)
        row = _batch(room=room, key=batch)
        if _said_before(room=room, form=form):
            return 0.0
        change = round(amount - on_hand(batch=row), 3)
        _line(batch=row, change=change, reason=Reason.COUNTED, form=form, now=now, by=by)
        facts_changed(room=room, now=now)
    return change


def throw_out(
    *, room: Room, batch: str, amount: float, form: UUID, now: datetime, by: Person | None, why: str = ""
) -> None:
    """So much of a batch was thrown out; a batch of which nothing is left is closed.

    Refused: UNKNOWN_BATCH, OUT_OF_RANGE, MORE_THAN_THERE, TOO_LONG.
    """
    _words(name="reason", text=why)
    with transaction.atomic():
        hold(room=room)
        row = _batch(room=room, key=batch)
        if _said_before(room=room, form=form):
            return
        there = on_hand(batch=row)
        _in_range(name="amount", value=amount, least=0.1, most=AMOUNT_MOST)
        if amount > there:
            raise Refused(No.MORE_THAN_THERE, value=_plain(amount), most=_plain(there), name=row.name)
        _line(batch=row, change=-amount, reason=Reason.THROWN, form=form, now=now, by=by, note=why)
        if amount == there:
            _close(batch=row, now=now, by=by)
        facts_changed(room=room, now=now)


def close(*, room: Room, batch: str, form: UUID, now: datetime, by: Person | None) -> None:
    """The bin is empty and gone: what is written as left becomes nothing. Refused: UNKNOWN_BATCH."""
    with transaction.atomic():
        hold(room=room)
        row = _batch(room=room, key=batch)
        if not _said_before(room=room, form=form):
            there = on_hand(batch=row)
            _line(batch=row, change=-there, reason=Reason.COUNTED, form=form, now=now, by=by)
            _close(batch=row, now=now, by=by)
            facts_changed(room=room, now=now)


def open_it(*, room: Room, batch: str, on: date, now: datetime, by: Person | None) -> None:
    """A jar was opened that day; the first day stands.

    Refused: UNKNOWN_BATCH, UNKNOWN_KIND (nothing to open), FUTURE_DATE, TOO_EARLY.
    """
    with transaction.atomic():
        hold(room=room)
        row = _batch(room=room, key=batch)
        kind = KINDS.get(row.kind)
        if (kind is not None and not kind.opened) or (kind is None and row.category != "powder"):
            raise Refused(No.UNKNOWN_KIND, value=row.name)
        if on > now.date():
            raise Refused(No.FUTURE_DATE, name="day it was opened", value=on)
        if on < row.received_on:
            raise Refused(No.TOO_EARLY, name="day it was opened", value=on, first=row.received_on)
        row.opened_on = row.opened_on or on
        row.written_at, row.written_by = now, by
        row.save(update_fields=["opened_on", "written_at", "written_by"])


def use_one(*, batch: Batch, form: UUID, now: datetime, by: Person | None, note: str) -> None:
    """Take one off the shelf for use, inside the caller's transaction. Refused: MORE_THAN_THERE."""
    there = on_hand(batch=batch)
    if there < 1:
        raise Refused(No.MORE_THAN_THERE, value=1, most=_plain(there), name=batch.name)
    _line(batch=batch, change=-1, reason=Reason.USED, form=form, now=now, by=by, note=note[:WORDS_MOST])


@dataclass(frozen=True, slots=True, kw_only=True)
class Keep:
    """The least that is to be kept of a thing; an amount of 0 keeps none."""

    kind: str
    amount: float
    size_mm: float | None = None
    watts: int | None = None


def keep_least(*, room: Room, keep: Keep, now: datetime, by: Person | None) -> None:
    """Set the least that is kept of a thing. Refused: UNKNOWN_KIND, OUT_OF_RANGE."""
    kind = KINDS.get(keep.kind)
    if kind is None:
        raise Refused(No.UNKNOWN_KIND, value=keep.kind)
    _in_range(name="least", value=keep.amount, least=0, most=AMOUNT_MOST)
    with transaction.atomic():
        hold(room=room)
        size = keep.size_mm if kind.sized else None
        watts = keep.watts if kind.category == "bulb" else None
        row = Minimum.objects.filter(room=room, kind=kind.kind, size_mm=size, watts=watts).first()
        row = row or Minimum(room=room, kind=kind.kind, size_mm=size, watts=watts)
        row.category, row.unit, row.amount = kind.category, kind.unit, keep.amount
        row.written_at, row.written_by = now, by
        row.save()


def on_hand(*, batch: Batch) -> float:
    """Return what the ledger of a batch sums to."""
    return float(LedgerLine.objects.filter(batch=batch).aggregate(left=Sum("change"))["left"] or 0.0)


# ---------------------------------------------------------------- what cannot be


def _checked(*, coming: Coming, kind: Kind, today: date) -> None:
    _in_range(name="amount", value=coming.amount, least=1, most=AMOUNT_MOST)
    if kind.sized:
        _in_range(name="size in mm", value=_given("size", coming.size_mm), least=SIZE_MM[0], most=SIZE_MM[1])
    if kind.weighed:
        weight = _given("weight of one", coming.weight_g)
        _in_range(name="weight in g", value=weight, least=WEIGHT_G[0], most=WEIGHT_G[1])
    if kind.category == "bulb":
        _in_range(name="watts", value=_given("watts", coming.watts), least=WATTS[0], most=WATTS[1])
    if not coming.name.strip():
        raise Refused(No.MISSING, name="name")
    _words(name="source", text=coming.source)
    if kind.raised and not (coming.farm_raised and coming.source.strip()):
        raise Refused(No.NOT_FARM_RAISED, value=kind.kind)
    _dates(coming=coming, today=today)


def _dates(*, coming: Coming, today: date) -> None:
    if coming.received_on > today:
        raise Refused(No.FUTURE_DATE, name="day it came", value=coming.received_on)
    if coming.use_by is not None and coming.use_by < coming.received_on:
        raise Refused(No.TOO_EARLY, name="date on it", value=coming.use_by, first=coming.received_on)
    if coming.opened_on is not None and coming.opened_on > today:
        raise Refused(No.FUTURE_DATE, name="day it was opened", value=coming.opened_on)


def _given(name: str, value: float | None) -> float:
    if value is None:
        raise Refused(No.MISSING, name=name)
    return value


def _in_range(*, name: str, value: float, least: float, most: float) -> None:
    if not least <= value <= most:
        raise Refused(No.OUT_OF_RANGE, name=name, value=_plain(value), least=_plain(least), most=_plain(most))


def _words(*, name: str, text: str) -> None:
    if len(text) > WORDS_MOST:
        raise Refused(No.TOO_LONG, name=name, most=WORDS_MOST)


def _plain(number: float) -> str:
    return f"{number:g}" if abs(number) < AMOUNT_MOST else f"{number:.0f}"


# ---------------------------------------------------------------- rows


def _batch(*, room: Room, key: str) -> Batch:
    row = Batch.objects.filter(room=room, key=key).first()
    if row is None:
        raise Refused(No.UNKNOWN_BATCH, value=key)
    return row


def _said_before(*, room: Room, form: UUID) -> bool:
    return LedgerLine.objects.filter(room=room, form=form).exists()


def _line(
    *,
    batch: Batch,
    change: float,
    reason: Reason,
    form: UUID,
    now: datetime,
    by: Person | None,
    note: str = "",
) -> None:
    LedgerLine.objects.create(
        room=batch.room, batch=batch, change=change, reason=reason, at=now, form=form, note=note,
        written_at=now, written_by=by,
    )  # fmt: skip


def _close(*, batch: Batch, now: datetime, by: Person | None) -> None:
    batch.closed_on = now.date()
    batch.written_at, batch.written_by = now, by
    batch.save(update_fields=["closed_on", "written_at", "written_by"])


def _free_key(*, room: Room, kind: Kind) -> str:
    """'c-115': the kind's first letter and the next number on the shelf; batches are called by it."""
    tails = (key.rpartition("-")[2] for key in Batch.objects.filter(room=room).values_list("key", flat=True))
    numbers = [int(tail) for tail in tails if tail.isascii() and tail.isdecimal()]
    return f"{kind.kind[0].lower()}-{max(numbers, default=0) + 1}"
