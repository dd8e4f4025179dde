"""Where a resident stands: sold, moved, isolated, at vet, dead, can't be found; and back again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction
from django.utils.text import slugify

from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.planning.room import FED, Status
from roomops.records.models import Measurement, Person, Resident, Room, Spell, Stay, Tank
from roomops.records.models.animals import KEEPS_ITS_PLACE, Identity

WHY = {
    "sold": Status.SOLD,
    "moved": Status.MOVED,
    "isolated": Status.ISOLATED,
    "at vet": Status.AT_VET,
    "dead": Status.DIED,
    "can't find": Status.MISSING,
}
"""What 'not here' says of a resident. 'moved' with a tank of this room keeps its status."""

LEFT = frozenset(Status) - {Status(value) for value in KEEPS_ITS_PLACE}
KEY_MOST = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hand:
    """Who writes, and when."""

    now: datetime
    by: Person | None


def set_status(
    *,
    resident: Resident,
    status: Status,
    now: datetime,
    by: Person | None,
    note: str = "",
    heads: int | None = None,
    tank: Tank | None = None,
    until: date | None = None,
    key: str = "",
) -> Resident:
    """Set where a resident stands; take ``heads`` of a lot aside as a row of their own, under ``key``.

    Returns the row that now has the status. ``tank`` is where it lives from now on, when that changes. Its
    feeds drop out of today's rounds at once. Refused: NO_SUCH_HEADS, MISSING (a tank), MARK_TAKEN there.
    """
    with transaction.atomic():
        hold(room=resident.room)
        row = Resident.objects.select_related("tank", "lot", "room").get(pk=resident.pk)
        many = row.heads if heads is None else heads
        if not 1 <= many <= row.heads:
            raise Refused(No.NO_SUCH_HEADS, value=many, most=row.heads)
        hand = _Hand(now=now, by=by)
        part = row if many == row.heads else _take_aside(row=row, heads=many, hand=hand, key=key)
        _stand(row=part, status=status, tank=tank, note=note, until=until, hand=hand)
        facts_changed(room=row.room, now=now)
    return part


def rejoin(*, part: Resident, lot: Resident, now: datetime, by: Person | None) -> Resident:
    """Put heads that were taken aside back among the unmarked ones they came from."""
    with transaction.atomic():
        hold(room=lot.room)
        lot = Resident.objects.select_related("tank").get(pk=lot.pk)
        hand = _Hand(now=now, by=by)
        heads = lot.heads + part.heads
        _close_stay(row=part, hand=hand)
        part.heads = 0
        _keep(part, hand, "heads")
        _recount(row=lot, heads=heads, hand=hand)
        facts_changed(room=lot.room, now=now)
    return lot


# ---------------------------------------------------------------- one row


def _stand(
    *, row: Resident, status: Status, tank: Tank | None, note: str, until: date | None, hand: _Hand
) -> None:
    home = tank or row.tank
    if home is None and status in FED:
        raise Refused(No.MISSING, name="tank")
    mark_free_in(row=row, status=status, tank=home)
    stays = status not in LEFT
    if not stays or (tank is not None and tank.pk != row.tank_id):
        _close_stay(row=row, hand=hand)
    row.status, row.status_since = status.value, hand.now
    row.status_note, row.status_until = note, until
    row.tank = home  # of one that left, the last tank: its name and its mark are read from it
    _keep(row, hand, "status", "status_since", "status_note", "status_until", "tank")
    if stays and home is not None and not _open_stay(row):
        _begin_stay(row=row, tank=home, hand=hand)
    _tell(row=row, note=note, hand=hand)


def mark_is_free(*, room: Room, resident: str, tank: str) -> None:
    """Refuse a move into a tank where another animal has the same mark: MARK_TAKEN."""
    row = Resident.objects.filter(room=room, key=resident).first()
    home = Tank.objects.filter(room=room, key=tank).first()
    if row is not None:
        mark_free_in(row=row, status=Status(row.status), tank=home)


def mark_free_in(*, row: Resident, status: Status, tank: Tank | None) -> None:
    """Refuse a place in a tank where another animal has the row's mark: MARK_TAKEN."""
    if row.identity != Identity.MARKED or tank is None or status in LEFT:
        return
    others = Resident.objects.filter(
        tank=tank, mark=row.mark, identity=Identity.MARKED, status__in=KEEPS_ITS_PLACE
    )
    if others.exclude(pk=row.pk).exists():
        raise Refused(No.MARK_TAKEN, value=row.mark, tank=tank.name)


def _keep(row: Resident, hand: _Hand, *names: str) -> None:
    row.written_at, row.written_by = hand.now, hand.by
    row.save(update_fields=[*names, "written_at", "written_by"])


def _tell(*, row: Resident, note: str, hand: _Hand) -> None:
    Spell.objects.create(
        room=row.room, resident=row, status=row.status, since=hand.now, heads=row.heads, note=note,
        written_at=hand.now, written_by=hand.by,
    )  # fmt: skip


# ---------------------------------------------------------------- stays


def _open_stay(row: Resident) -> Stay | None:
    return Stay.objects.filter(resident=row, until__isnull=True).first()


def _close_stay(*, row: Resident, hand: _Hand) -> None:
    Stay.objects.filter(resident=row, until__isnull=True).update(
        until=hand.now, written_at=hand.now, written_by=hand.by
    )


def _begin_stay(*, row: Resident, tank: Tank, hand: _Hand) -> None:
    Stay.objects.create(
        room=row.room, resident=row, tank=tank, heads=row.heads, since=hand.now,
        written_at=hand.now, written_by=hand.by,
    )  # fmt: skip


# ---------------------------------------------------------------- lots


def _recount(*, row: Resident, heads: int, hand: _Hand) -> None:
    """Give an unmarked row another number of heads; its stay and its history say so."""
    _close_stay(row=row, hand=hand)
    row.heads = heads
    _keep(row, hand, "heads")
    if heads and row.tank is not None:
        _begin_stay(row=row, tank=row.tank, hand=hand)
    _tell(row=row, note="", hand=hand)


def _take_aside(*, row: Resident, heads: int, hand: _Hand, key: str) -> Resident:
    """Give some heads of a lot a row of their own, in the same tank, with the lot's last measures."""
    part = Resident.objects.create(
        room=row.room, key=key or free_key(room=row.room, stem=row.key), identity=Identity.UNMARKED,
        kind=row.kind, stage=row.stage,
        lot=row.lot, heads=heads, hatched_on=row.hatched_on, sex=row.sex, tank=row.tank, status=row.status,
        status_since=row.status_since, for_adoption=row.for_adoption, last_fed_on=row.last_fed_on,
        written_at=hand.now, written_by=hand.by,
    )  # fmt: skip
    _recount(row=row, heads=row.heads - heads, hand=hand)
    Measurement.objects.bulk_create(
        Measurement(room=row.room, resident=part, measure=last.measure, value=last.value, at=last.at,
                    written_at=hand.now, written_by=hand.by)
        for last in _last_measured(row)
    )  # fmt: skip
    return part


def _last_measured(row: Resident) -> list[Measurement]:
    last: dict[str, Measurement] = {}
    for each in Measurement.objects.filter(resident=row).order_by("at", "pk"):
        last[each.measure] = each
    return list(last.values())


def free_key(*, room: Room, stem: str) -> str:
    """Return a key that no resident of the room has had: 'h3-two-dots', then 'h3-two-dots-2'."""
    wanted = slugify(stem)[: KEY_MOST - 4] or "animal"
    taken = set(Resident.objects.filter(room=room, key__startswith=wanted).values_list("key", flat=True))
    keys = (wanted, *(f"{wanted}-{n}" for n in range(2, len(taken) + 3)))
    return next(key for key in keys if key not in taken)
