"""How an animal stands: on hold, isolated, at the vet and back, missing, gone home, died. At any minute."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db import transaction

from roomops.desk import animals, company, found, leaving
from roomops.desk.editing import editable, label, not_so_already, tank_of
from roomops.desk.herd import Hand, Moving, move
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import hold
from roomops.planning.room import FED, Status
from roomops.records.models import Note, Resident

HOLD_MOST_DAYS = 180  # this house's choice: a longer one is a slip of the pen
AWAY = {Status.AT_VET, Status.MISSING}
WATCH_DAYS = 14  # tankmates of one that died: common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Who:
    """Whom a page is about: the animal, what the page showed of it, so many heads of a lot."""

    key: str
    seen: str
    heads: int | None = None


# ---------------------------------------------------------------- in the room


def put_on_hold(*, hand: Hand, who: Who, note: str, until: date) -> Resident:
    """Hold an animal for somebody to a day. Refused: OUT_OF_RANGE for a day that is over or far off,
    ALREADY_SO, MISSING note, CHANGED.
    """
    last = hand.day + timedelta(days=HOLD_MOST_DAYS)
    if not hand.day <= until <= last:
        raise Refused(No.OUT_OF_RANGE, name="last day of the hold", value=until, least=hand.day, most=last)
    if not note:
        raise Refused(No.MISSING, name="line that says for whom")
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=who.key, seen=who.seen)
        _here(row)
        return _set(hand, row, Status.ON_HOLD, note=note, heads=who.heads, until=until)


def end_hold(*, hand: Hand, who: Who) -> Resident:
    """The hold is over: it stands as it stood before. Refused: NOTHING_TO_UNDO, CHANGED."""
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=who.key, seen=who.seen)
        if row.status != Status.ON_HOLD:
            raise Refused(No.NOTHING_TO_UNDO)
        return _set(hand, row, _before_hold(row), note="hold over")


def _before_hold(row: Resident) -> Status:
    spells = row.spells.exclude(status=Status.ON_HOLD.value).order_by("since", "pk")
    last = spells.filter(status__in=[each.value for each in FED]).last()
    return Status(last.status) if last else Status.HERE


def isolate(*, hand: Hand, who: Who, note: str, to: str) -> Resident:
    """Set an unwell animal apart, in a tank of its own: served last, watched. ``to`` may be its own tank.

    Refused: ISOLATED_APART while others live there, and what ``move`` refuses.
    """
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=who.key, seen=who.seen)
        not_so_already(row, Status.ISOLATED)
        if row.tank is None or to != row.tank.key:
            one = Moving(key=who.key, seen=who.seen, heads=who.heads)
            [row] = move(hand=hand, moving=[one], to=to, status=Status.ISOLATED)
            return _set(hand, row, Status.ISOLATED, note=note)
        there = company.living(room=hand.room, day=hand.day)[to]
        own = next(each for each in there if each.key == row.key)
        company.must_fit(
            tank=tank_of(room=hand.room, key=to),
            there=there,
            coming=[company.heads_of(own, who.heads or own.heads, status=Status.ISOLATED.value)],
            looked=True,
        )
        return _set(hand, row, Status.ISOLATED, note=note, heads=who.heads)


def well_again(*, hand: Hand, who: Who) -> Resident:
    """No longer isolated: it stands as it stood before, in the tank where it is. Refused: NOTHING_TO_UNDO."""
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=who.key, seen=who.seen)
        if row.status != Status.ISOLATED:
            raise Refused(No.NOTHING_TO_UNDO)
        spells = row.spells.exclude(status__in=[Status.ISOLATED.value, *(each.value for each in AWAY)])
        last = spells.order_by("since", "pk").last()
        return _set(hand, row, Status(last.status) if last else Status.HERE, note="well again")


# ---------------------------------------------------------------- away and back


def to_vet(*, hand: Hand, who: Who, note: str) -> Resident:
    """It is at the vet: fed by nobody here until it is back. Refused: ALREADY_SO, CHANGED."""
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=who.key, seen=who.seen)
        not_so_already(row, Status.AT_VET)
        return _set(hand, row, Status.AT_VET, note=note, heads=who.heads)


def back_from_vet(*, hand: Hand, who: Who, note: str = "") -> Resident:
    """It is back from the vet and stands as before. Refused: NOTHING_TO_UNDO, CHANGED."""
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=who.key, seen=who.seen)
        if row.status != Status.AT_VET:
            raise Refused(No.NOTHING_TO_UNDO)
        return found.back(row=row, note=note or "back from the vet", by=hand.by, now=hand.now)


def missing(*, hand: Hand, who: Who, note: str = "") -> Resident:
    """Nobody can find it: a search falls due until it is found. Refused: ALREADY_SO, CHANGED."""
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=who.key, seen=who.seen)
        not_so_already(row, Status.MISSING)
        return _set(hand, row, Status.MISSING, note=note, heads=who.heads)


# ---------------------------------------------------------------- the line ends


def gone_home(*, hand: Hand, who: Who, note: str = "") -> Resident:
    """Sold or gone home, at any minute: its feeds drop out at once.

    Refused: TOO_SMALL_TO_LEAVE and NOT_MEASURED_TO_LEAVE for a turtle or tortoise (desk.leaving), CHANGED.
    """
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=who.key, seen=who.seen)
        leaving.may_leave(row=row)
        return _set(hand, row, Status.SOLD, note=note, heads=who.heads)


def died(*, hand: Hand, who: Who, note: str = "") -> Resident:
    """It died: a short list of what to do now stands on everybody's pages until each is settled."""
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=who.key, seen=who.seen)
        name, tank = label(row), row.tank
        part = _set(hand, row, Status.DIED, note=note, heads=who.heads)
        mates = (
            Resident.objects.filter(room=hand.room, tank=tank, status__in=[each.value for each in FED])
            if tank is not None
            else Resident.objects.none()
        )
        alone = not mates.filter(heads__gte=1).exists()
        said = {"room": hand.room, "at": hand.now, "wrong": True, "written_at": hand.now,
                "written_by": hand.by}  # fmt: skip
        Note.objects.bulk_create(
            Note(text=text, resident=part, tank=tank, **said)
            for text in _what_to_do(name=name, alone=alone, row=part)
        )
    return part


def _what_to_do(*, name: str, alone: bool, row: Resident) -> Sequence[str]:
    """Common practice, no source; from memory: a body is cooled and not frozen while it may be examined."""
    body = (
        "gloves, two bags, its name and the hour on it, cooled and not frozen, away from food. Ask the vet "
        "whether it is examined, then follow local rules. Wash hands."
    )
    lines = [f"{name} died. The body: {body}"]
    if alone:
        lines.append(f"{name} died. Its tank: clean and disinfect it before another animal moves in.")
    else:
        watch = "weight, food, droppings"
        lines.append(f"{name} died. Watch those who lived with it for {WATCH_DAYS} days: {watch}.")
    if row.lot is not None and row.lot.breeder:
        lines.append(f"{name} died. Tell the supplier: {row.lot.breeder}, {row.lot.name}.")
    return lines


def note(*, hand: Hand, who: Who, text: str) -> Note:
    """Keep a note on an animal's page: nothing is wrong. Refused: MISSING text, UNKNOWN_RESIDENT."""
    if not text:
        raise Refused(No.MISSING, name="note")
    with transaction.atomic():
        row = editable(room=hand.room, key=who.key, gone=True)
        return Note.objects.create(
            room=hand.room, at=hand.now, text=text, resident=row, tank=row.tank, written_at=hand.now,
            written_by=hand.by,
        )  # fmt: skip


# ---------------------------------------------------------------- one row


def _here(row: Resident) -> None:
    not_so_already(row, Status.ON_HOLD)
    if row.status not in FED:
        raise Refused(No.LEFT_ALREADY, value=label(row), status=row.status)


def _set(
    hand: Hand,
    row: Resident,
    status: Status,
    *,
    note: str = "",
    heads: int | None = None,
    until: date | None = None,
) -> Resident:
    return animals.set_status(
        resident=row, status=status, now=hand.now, by=hand.by, note=note, heads=heads, until=until
    )
