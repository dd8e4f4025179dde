"""Animals come in by hand, move, are grouped and split, get a mark, lose it. All or nothing each time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from roomops.desk import animals, company
from roomops.desk.company import Living
from roomops.desk.editing import editable, label, tank_of
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.planning.room import Status
from roomops.records.models import Measurement, Person, Resident, Room, Spell, Stay, Tank
from roomops.records.models.animals import KEEPS_ITS_PLACE, Identity
from roomops.records.sheets import UnknownKindError, sheet_of

NEW = (Status.HERE, Status.QUARANTINE, Status.STORE)
"""How an animal may stand when it is entered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Newcomer:
    """An animal, or the unmarked ``heads`` of one kind, as somebody enters it. Lengths in mm, weights in g.

    ``name`` for one that has a name, ``mark`` for a hatchling told apart by it; neither for unmarked ones.
    """

    kind: str
    tank: str
    status: Status
    name: str = ""
    mark: str = ""
    heads: int = 1
    sex: str = ""
    hatched_on: date | None = None
    for_adoption: bool = False
    measures: Mapping[str, float] | None = None  # 'weight_g': 16.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Whose hand it is, where and when; ``looked``: sizes apart were looked at and are kept."""

    room: Room
    by: Person | None
    now: datetime
    day: date
    looked: bool = False


# ---------------------------------------------------------------- in


def add(*, hand: Hand, new: Newcomer) -> Resident:
    """Add an animal with its stay and its history. Nothing is kept when anything speaks against it.

    Refused: UNKNOWN_KIND, UNKNOWN_TANK, UNKNOWN_REASON, OUT_OF_RANGE heads or hatch day, NAME_TAKEN,
    MARK_TAKEN, and the reasons of company.
    """
    _possible(new=new, day=hand.day)
    with transaction.atomic():
        hold(room=hand.room)
        tank = tank_of(room=hand.room, key=new.tank)
        _name_is_free(hand=hand, name=new.name)
        row = Resident(
            room=hand.room, key=animals.free_key(room=hand.room, stem=_stem(new, tank)), name=new.name,
            mark=new.mark,
            identity=_identity(new), kind=new.kind, heads=new.heads, sex=new.sex, hatched_on=new.hatched_on,
            tank=tank, status=new.status.value, status_since=hand.now, for_adoption=new.for_adoption,
            written_at=hand.now, written_by=hand.by,
        )  # fmt: skip
        animals.mark_free_in(row=row, status=new.status, tank=tank)
        there = company.living(room=hand.room, day=hand.day)
        coming = company.as_living(row=row, room=hand.room, day=hand.day, weight_g=_weight(new))
        company.must_fit(tank=tank, there=there.get(tank.key, ()), coming=[coming], looked=hand.looked)
        row.save(force_insert=True)
        _came(row=row, tank=tank, hand=hand, measures=new.measures or {})
        facts_changed(room=hand.room, now=hand.now)
    return row


def _possible(*, new: Newcomer, day: date) -> None:
    try:
        sheet_of(new.kind)
    except UnknownKindError:
        raise Refused(No.UNKNOWN_KIND, value=new.kind) from None
    if new.status not in NEW:
        raise Refused(No.UNKNOWN_REASON, value=new.status.value, allowed=[each.value for each in NEW])
    most = 1 if new.name or new.mark else 500
    if not 1 <= new.heads <= most:
        raise Refused(No.OUT_OF_RANGE, name="number of animals", value=new.heads, least=1, most=most)
    if new.hatched_on is not None and new.hatched_on > day:
        raise Refused(No.FUTURE_DATE, name="hatch day", value=new.hatched_on)


def _identity(new: Newcomer) -> Identity:
    return Identity.NAMED if new.name else Identity.MARKED if new.mark else Identity.UNMARKED


def _stem(new: Newcomer, tank: Tank) -> str:
    return new.name or f"{tank.name} {new.mark or 'unmarked'}"


def _weight(new: Newcomer) -> float | None:
    return (new.measures or {}).get("weight_g")


def _came(*, row: Resident, tank: Tank, hand: Hand, measures: Mapping[str, float]) -> None:
    said = {"room": hand.room, "resident": row, "written_at": hand.now, "written_by": hand.by}
    Stay.objects.create(tank=tank, heads=row.heads, since=hand.now, **said)
    Spell.objects.create(status=row.status, heads=row.heads, since=hand.now, note="entered", **said)
    Measurement.objects.bulk_create(
        Measurement(measure=name, value=value, at=hand.now, **said) for name, value in measures.items()
    )


def _name_is_free(*, hand: Hand, name: str, but: int = 0) -> None:
    """The same animal is not entered twice: a name lives in one tank."""
    if not name:
        return
    rows = Resident.objects.filter(room=hand.room, name__iexact=name, status__in=KEEPS_ITS_PLACE)
    other = rows.exclude(pk=but).select_related("tank").first()
    if other is not None:
        raise Refused(No.NAME_TAKEN, value=name, tank=other.tank.name if other.tank else "no tank")


# ---------------------------------------------------------------- from tank to tank


@dataclass(frozen=True, slots=True, kw_only=True)
class Moving:
    """One resident on its way, or so many heads of a lot. ``seen`` is what its page showed."""

    key: str
    seen: str = ""
    heads: int | None = None


def move(*, hand: Hand, moving: Sequence[Moving], to: str, status: Status | None = None) -> list[Resident]:
    """Move animals into one tank, all or none; heads of a lot part from it, and join their lot there.

    ``status`` is how they stand from now on (quarantine over, isolated); None keeps it. Refused: CHANGED,
    SAME_TANK, NO_SUCH_HEADS, MARK_TAKEN, UNKNOWN_TANK, LEFT_ALREADY, and the reasons of company.
    """
    with transaction.atomic():
        hold(room=hand.room)
        tank = tank_of(room=hand.room, key=to)
        rows = [(each, _mover(hand, each, tank)) for each in _once(moving)]
        there = company.living(room=hand.room, day=hand.day)
        coming = [_coming(there, each, row, status) for each, row in rows]
        company.must_fit(tank=tank, there=there.get(tank.key, ()), coming=coming, looked=hand.looked)
        return [_moved(hand, each, row, tank, status) for each, row in rows]


def _once(moving: Iterable[Moving]) -> list[Moving]:
    """An animal that was named twice moves once."""
    return list({each.key: each for each in moving}.values())


def _mover(hand: Hand, each: Moving, tank: Tank) -> Resident:
    row = editable(room=hand.room, key=each.key, seen=each.seen)
    if row.tank_id == tank.pk:
        raise Refused(No.SAME_TANK, value=label(row), tank=tank.name)
    if each.heads is not None and not 1 <= each.heads <= row.heads:
        raise Refused(No.NO_SUCH_HEADS, value=each.heads, most=row.heads)
    return row


def _coming(
    there: Mapping[str, Sequence[Living]], each: Moving, row: Resident, status: Status | None
) -> Living:
    known = next(one for those in there.values() for one in those if one.key == row.key)
    return company.heads_of(known, each.heads or row.heads, status=status.value if status else row.status)


def _moved(hand: Hand, each: Moving, row: Resident, tank: Tank, status: Status | None) -> Resident:
    part = animals.set_status(
        resident=row, status=status or Status(row.status), now=hand.now, by=hand.by, heads=each.heads,
        tank=tank, note="" if status else row.status_note, until=None if status else row.status_until,
    )  # fmt: skip
    if part.identity != Identity.UNMARKED or part.lot_id is None:
        return part
    fellows = Resident.objects.filter(
        room=hand.room, tank=tank, lot=part.lot_id, identity=Identity.UNMARKED, heads__gte=1
    )
    fellow = fellows.filter(status=part.status).exclude(pk=part.pk).select_related("room", "tank").first()
    return animals.rejoin(part=part, lot=fellow, now=hand.now, by=hand.by) if fellow else part


# ---------------------------------------------------------------- told apart


def mark_one(*, hand: Hand, key: str, seen: str, mark: str) -> Resident:
    """Give one of a lot a mark and a row of its own. Refused: NOT_A_LOT, MARK_TAKEN, MISSING, CHANGED."""
    if not mark:
        raise Refused(No.MISSING, name="mark")
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=key, seen=seen)
        if row.identity != Identity.UNMARKED or row.tank is None:
            raise Refused(No.NOT_A_LOT, value=label(row))
        stem = animals.free_key(room=hand.room, stem=f"{row.tank.name} {mark}")
        one = animals.set_status(
            resident=row, status=Status(row.status), now=hand.now, by=hand.by, heads=1,
            key=stem if row.heads > 1 else "", note=row.status_note, until=row.status_until,
        )  # fmt: skip
        one.identity, one.mark = Identity.MARKED, mark
        animals.mark_free_in(row=one, status=Status(one.status), tank=row.tank)
        _keep(one, hand, "identity", "mark")
    return one


def mark_lost(*, hand: Hand, key: str, seen: str) -> Resident:
    """Nobody is sure which one it is: its line of weights and feeds ends here, and is never guessed."""
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=key, seen=seen)
        if row.identity == Identity.UNMARKED:
            raise Refused(No.NOT_A_LOT, value=label(row))
        row.identity, row.unsure_since = Identity.UNSURE, hand.day
        _keep(row, hand, "identity", "unsure_since")
    return row


def mark_known(*, hand: Hand, key: str, seen: str, mark: str = "", name: str = "") -> Resident:
    """Somebody is sure again: a mark, or a name. Refused: MISSING, MARK_TAKEN, NAME_TAKEN, CHANGED."""
    if not mark and not name:
        raise Refused(No.MISSING, name="mark")
    with transaction.atomic():
        hold(room=hand.room)
        row = editable(room=hand.room, key=key, seen=seen)
        if row.identity == Identity.UNMARKED:
            raise Refused(No.NOT_A_LOT, value=label(row))
        _name_is_free(hand=hand, name=name, but=row.pk)
        row.identity = Identity.NAMED if name else Identity.MARKED
        row.name, row.mark, row.unsure_since = name, mark, None
        animals.mark_free_in(row=row, status=Status(row.status), tank=row.tank)
        _keep(row, hand, "identity", "name", "mark", "unsure_since")
    return row


def _keep(row: Resident, hand: Hand, *names: str) -> None:
    row.written_at, row.written_by = hand.now, hand.by
    row.save(update_fields=[*names, "written_at", "written_by"])
    facts_changed(room=hand.room, now=hand.now)


# ---------------------------------------------------------------- a tank goes


def take_tank_away(*, hand: Hand, key: str) -> Tank:
    """Take a tank out of the room. Refused: UNKNOWN_TANK, LIVED_IN while an animal has its place in it."""
    with transaction.atomic():
        hold(room=hand.room)
        tank = tank_of(room=hand.room, key=key)
        rows = Resident.objects.filter(tank=tank, status__in=KEEPS_ITS_PLACE, heads__gte=1)
        names = [label(row) for row in rows.select_related("tank").order_by("key")]
        if names:
            raise Refused(No.LIVED_IN, value=tank.name, animals=names)
        tank.removed_on, tank.written_at, tank.written_by = hand.day, hand.now, hand.by
        tank.save(update_fields=["removed_on", "written_at", "written_by"])
        facts_changed(room=hand.room, now=hand.now)
    return tank
