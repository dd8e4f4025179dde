"""Lots in quarantine: until when, and out of it all together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db import transaction
from django.db.models import Count

from roomops.desk import herd
from roomops.desk.day_types import Day
from roomops.desk.editing import label
from roomops.desk.herd import Hand, Moving
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import hold
from roomops.planning.room import Status
from roomops.records.models import Photo, Resident, Stay


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """A lot in quarantine. ``until`` counts from the last animal of another lot that joined it."""

    key: str
    name: str
    kind: str
    heads: int
    breeder: str
    joined: date
    until: date
    day: int  # of its quarantine, from 1
    days: int  # in all
    groups: tuple[Group, ...]
    photos: int = 0

    @property
    def over(self) -> bool:
        return self.day > self.days


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Those of a lot that share a row: unmarked ones of a tank, or one with a mark."""

    key: str
    label: str
    heads: int
    tank: str  # its name


def apart(*, day: Day) -> tuple[Apart, ...]:
    """Return the lots in quarantine, those that are over first: three queries, whatever the room's size."""
    rows = Resident.objects.filter(
        room=day.room, status=Status.QUARANTINE.value, heads__gte=1, lot__isnull=False, tank__isnull=False
    )
    lots: dict[str, list[Resident]] = {}
    for row in rows.select_related("lot", "tank").order_by("tank__order", "tank__key", "key"):
        lots.setdefault(row.lot.key if row.lot else "", []).append(row)
    strangers = _strangers(day)
    kept = Photo.objects.filter(room=day.room, lot__isnull=False).order_by()
    photos = dict(kept.values_list("lot__key").annotate(Count("pk")))
    found = [_apart(day, those, strangers, photos.get(key, 0)) for key, those in lots.items()]
    return tuple(sorted(found, key=lambda each: (each.until, each.key)))


def _strangers(day: Day) -> Sequence[tuple[int, str, date]]:
    """(tank row, lot, since when) of all in quarantine tanks: who joins a lot starts its days again."""
    stays = Stay.objects.filter(
        room=day.room, until__isnull=True, tank__quarantine=True, resident__heads__gte=1
    )
    return [
        (tank, lot or "", since.astimezone(day.zone).date())
        for tank, lot, since in stays.values_list("tank", "resident__lot__key", "since")
    ]


def _apart(
    day: Day, those: Sequence[Resident], strangers: Sequence[tuple[int, str, date]], photos: int
) -> Apart:
    lot = those[0].lot
    assert lot is not None  # noqa: S101  # the query asked for that
    tanks = {row.tank_id for row in those}
    since = [on for tank, other, on in strangers if tank in tanks and other != lot.key]
    joined = max([lot.arrived_on, *since])
    stages = {each.key: (each.kind, each.stage) for each in day.facts.residents}
    care = {(each.kind, each.stage): each.quarantine_days for each in day.facts.care}
    days = max(care[stages[row.key]] for row in those)
    return Apart(
        key=lot.key,
        name=lot.name,
        kind=lot.kind,
        heads=sum(row.heads for row in those),
        breeder=lot.breeder,
        joined=joined,
        until=joined + timedelta(days=days),
        day=(day.day - joined).days + 1,
        days=days,
        groups=tuple(
            Group(key=row.key, label=label(row), heads=row.heads, tank=row.tank.name if row.tank else "")
            for row in those
        ),
        photos=photos,
    )


def lot_apart(*, day: Day, key: str) -> Apart:
    """Return one lot in quarantine. Refused: UNKNOWN_LOT."""
    found = next((each for each in apart(day=day) if each.key == key), None)
    if found is None:
        raise Refused(No.UNKNOWN_LOT, value=key)
    return found


def let_out(*, hand: Hand, day: Day, lot: str, tanks: Mapping[str, str], vet: bool = False) -> list[Resident]:
    """The lot's quarantine is over: all of it moves at once, each group (by resident key) into its tank.

    ``vet``: a vet cleared it before its days were over. Refused: UNKNOWN_LOT, QUARANTINE_RUNS, LOT_TOGETHER,
    and what ``herd.move`` refuses.
    """
    known = lot_apart(day=day, key=lot)
    if not known.over and not vet:
        raise Refused(No.QUARANTINE_RUNS, value=known.name, until=known.until)
    behind = [group.label for group in known.groups if not tanks.get(group.key)]
    if behind:
        raise Refused(No.LOT_TOGETHER, value=behind)
    mine = {group.key: tanks[group.key] for group in known.groups}
    with transaction.atomic():
        hold(room=day.room)
        moved: list[Resident] = []
        for to in dict.fromkeys(mine.values()):
            moving = [Moving(key=key) for key, tank in mine.items() if tank == to]
            moved += herd.move(hand=hand, moving=moving, to=to, status=Status.HERE)
    return moved
