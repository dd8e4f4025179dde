"""Medicine exactly as the vet ordered it: the order, each time it is due, given or not and why, by whom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db import transaction

from roomops.desk.day_types import Day
from roomops.desk.editing import editable
from roomops.desk.entries import Answer, Said, say_or_refuse
from roomops.desk.herd import Hand
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.planning.room import DutyKind
from roomops.records.models import EntryKind, MedicineOrder, Room

LONGEST_DAYS = 120  # an order for longer is a slip of the pen: this house's choice
KEY_MOST = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """One time of today. ``given`` None: nobody has said anything yet."""

    duty: str
    number: int
    given: bool | None
    why: str
    at: datetime | None
    by: str
    entry: UUID | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderView:
    """An order with today's times. ``here`` is False while the animal is away: then nobody gives it."""

    key: str
    resident: str
    label: str
    as_ordered: str
    ordered_by: str
    from_on: date
    until_on: date
    here: bool
    doses: tuple[Dose, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """What the vet said. ``as_ordered`` is kept in the vet's own words and never worked with."""

    as_ordered: str
    ordered_by: str
    times_a_day: int
    from_on: date
    until_on: date


def order(*, hand: Hand, key: str, seen: str, ordered: Ordered) -> MedicineOrder:
    """Write down what the vet ordered. Refused: MISSING words or vet, OUT_OF_RANGE times or days, CHANGED."""
    for name, text in (("vet's order", ordered.as_ordered), ("vet's name", ordered.ordered_by)):
        if not text:
            raise Refused(No.MISSING, name=name)
    if not 1 <= ordered.times_a_day <= 4:
        raise Refused(No.OUT_OF_RANGE, name="times a day", value=ordered.times_a_day, least=1, most=4)
    last = ordered.from_on + timedelta(days=LONGEST_DAYS)
    if not max(ordered.from_on, hand.day) <= ordered.until_on <= last:
        first = max(ordered.from_on, hand.day)
        raise Refused(No.OUT_OF_RANGE, name="last day", value=ordered.until_on, least=first, most=last)
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=key, seen=seen)
        known = MedicineOrder.objects.filter(room=hand.room, resident=row).count()
        made = MedicineOrder.objects.create(
            room=hand.room, key=f"{row.key[:KEY_MOST]}-{known + 1}", resident=row,
            as_ordered=ordered.as_ordered, ordered_by=ordered.ordered_by, times_a_day=ordered.times_a_day,
            from_on=ordered.from_on, until_on=ordered.until_on, written_at=hand.now, written_by=hand.by,
        )  # fmt: skip
        facts_changed(room=hand.room, now=hand.now)
    return made


def stop(*, hand: Hand, order_key: str) -> None:
    """The vet stopped it: nothing of it is due from today on. Refused: NO_MEDICINE."""
    with transaction.atomic():
        hold(room=hand.room)
        stopped = MedicineOrder.objects.filter(room=hand.room, key=order_key, stopped_on__isnull=True)
        if not stopped.update(stopped_on=hand.day, written_at=hand.now, written_by=hand.by):
            raise Refused(No.NO_MEDICINE, value=order_key)
        facts_changed(room=hand.room, now=hand.now)


# ---------------------------------------------------------------- today


def orders_of(*, room: Room, day: date) -> tuple[MedicineOrder, ...]:
    """Return the orders that hold on a day, also of animals that are away, in one query."""
    rows = MedicineOrder.objects.filter(room=room, from_on__lte=day, until_on__gte=day)
    going = rows.filter(stopped_on__isnull=True).select_related("resident", "resident__tank", "written_by")
    return tuple(going.order_by("resident__key", "key"))


def today(*, day: Day) -> tuple[OrderView, ...]:
    """Return what is ordered today with each of its times, one query more than the day."""
    here = {each.key for each in day.facts.medicines}
    return tuple(
        OrderView(
            key=row.key,
            resident=row.resident.key,
            label=day.label("resident", row.resident.key),
            as_ordered=row.as_ordered,
            ordered_by=row.ordered_by,
            from_on=row.from_on,
            until_on=row.until_on,
            here=row.key in here,
            doses=tuple(_dose(day, row, number) for number in range(1, row.times_a_day + 1)),
        )
        for row in orders_of(room=day.room, day=day.day)
    )


def duty_of(*, day: date, order_key: str, number: int) -> str:
    """'2026-06-09/medicine/h7-three-dots-1/2': the second time of the day."""
    return f"{day.isoformat()}/{DutyKind.MEDICINE.value}/{order_key}/{number}"


def _dose(day: Day, row: MedicineOrder, number: int) -> Dose:
    duty = duty_of(day=day.day, order_key=row.key, number=number)
    said = day.state.duties.get(duty)
    data: Mapping[str, object] = said.data if said else {}
    given = data.get("given")
    return Dose(
        duty=duty,
        number=number,
        given=given if isinstance(given, bool) else None,
        why=str(data.get("why", "")),
        at=said.word.at if said else None,
        by=said.word.by_name if said else "",
        entry=said.word.entry if said else None,
    )


def say_dose(
    *, day: Day, hand: Hand, order_key: str, number: int, given: bool, why: str, form: UUID
) -> tuple[Answer, ...]:
    """It was given, or it was not and why. Saying it again corrects it.

    Refused: NO_MEDICINE, NOT_HERE while the animal is away, MISSING reason.
    """
    view = next((each for each in today(day=day) if each.key == order_key), None)
    dose = next((each for each in view.doses if each.number == number), None) if view else None
    if view is None or dose is None:
        raise Refused(No.NO_MEDICINE, value=order_key)
    data = {"given": given} if given else {"given": given, "why": why}
    said = Said(id=form, duty=dose.duty, kind=EntryKind.DONE, data=data, corrects=dose.entry)

    def guard() -> None:
        if not view.here:
            raise Refused(No.AWAY, value=view.label)

    return say_or_refuse(day=day, by=hand.by, said=[said], guard=guard)
