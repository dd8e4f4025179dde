"""Heat or power failed: one press holds feeds, all is read every half hour, looks end it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction

from roomops.desk import readings
from roomops.desk.day_types import Day
from roomops.desk.entries import Said, id_from, say
from roomops.desk.readings import Read
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.planning.room import FED, DutyKind
from roomops.records.models import EntryKind, Outage, OutageKind, Person, Reading, Room, Spot

LOOKS = ("timers", "thermostats", "lamps")
"""What is looked at before it is over: the right hour, the right number, lamps one strip at a time."""


def begin(*, room: Room, kind: str, now: datetime, by: Person) -> Outage:
    """It has failed: feeds are held from now on. A second press changes nothing. Refused: MISSING."""
    if kind not in OutageKind.values:
        raise Refused(No.MISSING, name="what has failed")
    with transaction.atomic():
        hold(room=room)
        there = Outage.objects.filter(room=room, ended=None).first()
        if there is not None:
            return there
        row = Outage.objects.create(room=room, kind=kind, began=now, written_at=now, written_by=by)
        facts_changed(room=room, now=now)
    return row


def check(*, day: Day, reads: Sequence[Read], by: Person, form: UUID) -> int:
    """Keep what was read, however far from its band: it is meant. Returns how many racks are checked by it.

    A rack whose every lived-in tank was read since its half hour began is checked. Refused: NO_OUTAGE,
    MISSING when nothing was read, OUT_OF_RANGE, UNKNOWN_TANK.
    """
    if day.facts.outage is None:
        raise Refused(No.NO_OUTAGE)
    if not reads:
        raise Refused(No.MISSING, name="reading")
    with transaction.atomic():
        hold(room=day.room)
        readings.read(day=day, reads=reads, by=by, form=form, keep=True)
        racks = _read_through(day)
        said = [
            Said(id=id_from(form=form, duty=key), duty=key, kind=EntryKind.DONE)
            for key in (check_key(day=day, rack=rack) for rack in racks)
            if key not in day.state.duties
        ]
        say(room=day.room, by=by, said=said, now=day.now)
    return len(racks)


def slot_now(*, day: Day) -> int:
    """Return the number of the half hour that it is, from 1, as the plan counts them."""
    outage = day.facts.outage
    if outage is None:
        return 0
    every = max(day.facts.settings.heat_check_every_min, 1)
    return 1 + max(int((day.now - day.midnight).total_seconds() // 60) - outage.began, 0) // every


def check_key(*, day: Day, rack: str) -> str:
    """Return the duty of a rack's check in the half hour that it is."""
    return f"{day.day.isoformat()}/{DutyKind.HEAT_CHECK.value}/{rack}/{slot_now(day=day)}"


def slot_began(*, day: Day) -> datetime:
    """Return when the half hour that it is began."""
    outage = day.facts.outage
    every = max(day.facts.settings.heat_check_every_min, 1)
    return day.clock((outage.began if outage else 0) + (slot_now(day=day) - 1) * every)


def lived_in(*, day: Day) -> dict[str, list[str]]:
    """Return the tanks with animals in them by rack, in walking order."""
    living = {each.tank for each in day.facts.residents if each.status in FED}
    racks: dict[str, list[str]] = {}
    for tank in day.facts.tanks:
        if tank.key in living:
            racks.setdefault(tank.rack, []).append(tank.key)
    return racks


def _read_through(day: Day) -> list[str]:
    since = slot_began(day=day)
    rows = Reading.objects.filter(room=day.room, at__gte=since, at__lte=day.now)
    read = set(rows.values_list("tank__key", flat=True))
    return [rack for rack, tanks in lived_in(day=day).items() if read.issuperset(tanks)]


def over(*, room: Room, looked: Sequence[str], now: datetime, by: Person) -> Outage:
    """It is back and looked at. Refused: NO_OUTAGE, NOT_LOOKED with what is missing."""
    missing = [each for each in LOOKS if each not in looked]
    with transaction.atomic():
        hold(room=room)
        row = Outage.objects.filter(room=room, ended=None).first()
        if row is None:
            raise Refused(No.NO_OUTAGE)
        if missing:
            raise Refused(No.NOT_LOOKED, value=missing)
        row.ended, row.ended_by = now, by
        row.written_at, row.written_by = now, by
        row.save(update_fields=["ended", "ended_by", "written_at", "written_by"])
        facts_changed(room=room, now=now)
    return row


def may_feed(*, day: Day, tanks: Iterable[str]) -> None:
    """Refuse feeds while heat is off (FEEDS_HELD), then until a tank reads in its band (READ_AFTER)."""
    if day.facts.outage is not None:
        raise Refused(No.FEEDS_HELD)
    cold = [day.label("tank", tank) for tank in not_warm_again(day=day, tanks=tanks)]
    if cold:
        raise Refused(No.READ_AFTER, value=cold)


def not_warm_again(*, day: Day, tanks: Iterable[str]) -> list[str]:
    """Return those tanks that heat went from today and whose basking side was not read in band since.

    A tank without a basking band has nothing to wait for. One query; two where something failed today.
    """
    wanted = list(dict.fromkeys(tanks))
    ended = returned_at(day=day)
    if ended is None or not wanted:
        return []
    cold = set(cold_since(day=day, ended=ended))
    return [tank for tank in wanted if tank in cold]


def returned_at(*, day: Day) -> datetime | None:
    """Return when what failed today was over, the last time; None where nothing did."""
    rows = Outage.objects.filter(room=day.room, ended__gte=day.midnight, ended__lte=day.now)
    return rows.order_by("-ended").values_list("ended", flat=True).first()


def cold_since(*, day: Day, ended: datetime) -> list[str]:
    """Return lived-in tanks with a basking band whose last basking reading since then is not in it."""
    care = {(each.kind, each.stage): each.basking_c for each in day.facts.care}
    bands: dict[str, float] = {}
    for each in day.facts.residents:
        band = care[each.kind, each.stage]
        if each.status in FED and band is not None:
            bands[each.tank] = max(bands.get(each.tank, band.low), band.low)
    rows = Reading.objects.filter(room=day.room, spot=Spot.BASKING, at__gte=ended, at__lte=day.now)
    last = dict(rows.order_by("at", "pk").values_list("tank__key", "value_c"))
    return [tank for tank, low in bands.items() if last.get(tank, -99.0) < low]
