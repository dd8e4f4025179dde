"""A lot comes: counted, the dead taken off, sorted by size into its tanks, with pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from django.db import transaction

from roomops.desk.animals import free_key
from roomops.desk.arrivals import HEADS_MOST, care_of, expected_row, free_tanks
from roomops.desk.company import against, as_living
from roomops.desk.day_types import Day
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.husbandry.care import StageCare
from roomops.husbandry.feeding import MeasureError, check_length
from roomops.planning.room import Status
from roomops.records.models import (
    Arrival,
    Lot,
    Measure,
    Measurement,
    Person,
    Photo,
    Resident,
    Spell,
    Stay,
    Tank,
)
from roomops.records.models.animals import Identity
from roomops.records.models.care_work import ArrivalState

PHOTOS_MOST = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """So many of one size in one tank. ``length_mm`` and ``weight_g`` are of one, None: not measured."""

    tank: str
    heads: int
    length_mm: float | None = None
    weight_g: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """What stood in the box. ``kind`` and ``stage`` are the expected lot's unless it came unannounced.

    ``photos`` are ready to keep (``photos.small_jpeg``). ``hatched_on`` where the breeder says it.
    """

    alive: int
    dead: int
    groups: Sequence[Group]
    breeder: str = ""
    kind: str = ""
    stage: str = ""
    hatched_on: date | None = None
    photos: Sequence[bytes] = ()


def receive(*, day: Day, came: Came, by: Person, form: UUID, key: str = "") -> Lot:
    """Write down a lot with its animals in quarantine, all or nothing. ``key``: of an expected lot.

    The animals are not told apart: one row a tank. Pressed twice it is one lot. Refused: UNKNOWN_LOT,
    UNKNOWN_KIND, OUT_OF_RANGE, TOO_MANY_DEAD, NOT_ALL_SORTED, UNKNOWN_TANK, NOT_FREE, FUTURE_DATE,
    MEASURE_AGAIN, and the reasons of company (group size, quarantine apart).
    """
    with transaction.atomic():
        hold(room=day.room)
        before = Lot.objects.filter(room=day.room, key=_key(day, form)).first()
        if before is not None:
            return before
        arrival = expected_row(room=day.room, key=key) if key else None
        if arrival is not None:
            came = replace(came, kind=arrival.kind, stage=came.stage or arrival.stage)
        _possible(day=day, came=came)
        lot = Lot.objects.create(
            room=day.room, key=_key(day, form), name=_name(day), kind=came.kind, arrived_on=day.day,
            breeder=came.breeder or (arrival.breeder if arrival else ""),
            heads_arrived=came.alive + came.dead,
            written_at=day.now, written_by=by,
        )  # fmt: skip
        _sort(day=day, came=came, lot=lot, by=by, promised=key)
        keep_photos(day=day, lot=lot, photos=came.photos, by=by)
        _here(day=day, lot=lot, came=came, by=by, arrival=arrival)
        facts_changed(room=day.room, now=day.now)
    return lot


def _key(day: Day, form: UUID) -> str:
    return f"lot-{day.day.isoformat()}-{form.hex[:8]}"


def _name(day: Day) -> str:
    return f"Lot {Lot.objects.filter(room=day.room).count() + 1}"


def _possible(*, day: Day, came: Came) -> None:
    care = care_of(room=day.room, kind=came.kind, stage=came.stage)
    if not 1 <= came.alive + came.dead <= HEADS_MOST:
        raise Refused(
            No.OUT_OF_RANGE, name="number of animals", value=came.alive + came.dead, least=1, most=HEADS_MOST
        )
    if not 0 <= came.dead <= came.alive + came.dead:
        raise Refused(No.TOO_MANY_DEAD, value=came.dead, most=came.alive + came.dead)
    sorted_heads = sum(group.heads for group in came.groups)
    if sorted_heads != came.alive or any(group.heads < 1 for group in came.groups):
        raise Refused(No.NOT_ALL_SORTED, value=sorted_heads, alive=came.alive)
    if came.hatched_on is not None and came.hatched_on > day.day:
        raise Refused(No.FUTURE_DATE, name="hatch day", value=came.hatched_on)
    for group in came.groups:
        _measures(group, care)


def _measures(group: Group, care: StageCare) -> None:
    try:
        if group.length_mm is not None:
            check_length(length_mm=group.length_mm, care=care)
    except MeasureError as wrong:
        raise Refused(
            No.MEASURE_AGAIN, name=wrong.what, value_mm=wrong.value_mm, most_mm=wrong.most_mm, than=wrong.than
        ) from None


def _sort(*, day: Day, came: Came, lot: Lot, by: Person, promised: str) -> None:
    """Each group is one unmarked row in an empty quarantine tank, where its company is looked at."""
    if not came.groups:
        return
    tanks = {t.key: t for t in free_tanks(room=day.room, keys=[g.tank for g in came.groups], but=promised)}
    if len(tanks) != len(came.groups):
        raise Refused(No.NOT_FREE, value=next(iter(tanks.values())).name)
    for group in came.groups:
        tank = tanks[group.tank]
        row = _row(day=day, came=came, lot=lot, tank=tank, heads=group.heads, by=by)
        coming = as_living(row=row, room=day.room, day=day.day, weight_g=None)
        reasons = against(tank=tank, there=(), coming=[coming])
        if reasons:
            raise reasons[0]
        row.save(force_insert=True)
        _moved_in(day=day, row=row, tank=tank, group=group, by=by)


def _row(*, day: Day, came: Came, lot: Lot, tank: Tank, heads: int, by: Person) -> Resident:
    stage = came.stage if came.hatched_on is None else ""  # a hatch day says its own stage as it grows
    return Resident(
        room=day.room, key=free_key(room=day.room, stem=f"{tank.name} unmarked"), kind=came.kind,
        identity=Identity.UNMARKED, stage=stage, lot=lot, heads=heads, hatched_on=came.hatched_on, tank=tank,
        status=Status.QUARANTINE.value, status_since=day.now, written_at=day.now, written_by=by,
    )  # fmt: skip


def _moved_in(*, day: Day, row: Resident, tank: Tank, group: Group, by: Person) -> None:
    said = {"room": day.room, "resident": row, "written_at": day.now, "written_by": by}
    Stay.objects.create(tank=tank, heads=row.heads, since=day.now, **said)
    Spell.objects.create(status=row.status, heads=row.heads, since=day.now, note="came with its lot", **said)
    measured = ((Measure.LENGTH, group.length_mm), (Measure.WEIGHT, group.weight_g))
    Measurement.objects.bulk_create(
        Measurement(measure=measure, value=value, at=day.now, **said)
        for measure, value in measured
        if value is not None
    )


def _here(*, day: Day, lot: Lot, came: Came, by: Person, arrival: Arrival | None) -> None:
    row = arrival or Arrival(
        room=day.room, key=lot.key, kind=came.kind, stage=came.stage, heads=came.alive + came.dead,
        expected_on=day.day,
    )  # fmt: skip
    row.heads = max(came.alive + came.dead, 1)
    row.state, row.lot, row.dead_on_arrival = ArrivalState.HERE, lot, came.dead
    row.breeder = lot.breeder
    row.written_at, row.written_by = day.now, by
    row.save()


# ---------------------------------------------------------------- pictures


def keep_photos(*, day: Day, lot: Lot, photos: Sequence[bytes], by: Person) -> None:
    """Keep pictures of a lot, ready as they are; no more than a few of each lot. Refused: OUT_OF_RANGE."""
    there = Photo.objects.filter(lot=lot).count()
    if there + len(photos) > PHOTOS_MOST:
        raise Refused(
            No.OUT_OF_RANGE, name="number of pictures", value=there + len(photos), least=0, most=PHOTOS_MOST
        )
    Photo.objects.bulk_create(
        Photo(room=day.room, lot=lot, at=day.now, jpeg=photo, written_at=day.now, written_by=by)
        for photo in photos
    )


def more_photos(*, day: Day, lot: str, photos: Sequence[bytes], by: Person) -> None:
    """Add pictures to a lot that is here. Refused: UNKNOWN_LOT, OUT_OF_RANGE."""
    with transaction.atomic():
        hold(room=day.room)
        keep_photos(day=day, lot=lot_of(day=day, key=lot), photos=photos, by=by)


def lot_of(*, day: Day, key: str) -> Lot:
    """Return a lot of this room. Refused: UNKNOWN_LOT."""
    row = Lot.objects.filter(room=day.room, key=key).first()
    if row is None:
        raise Refused(No.UNKNOWN_LOT, value=key)
    return row
