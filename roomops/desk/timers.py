"""Timers: which hours lamps burn, by season, and which tanks hang on which."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time

from django.db import transaction
from django.utils.text import slugify

from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.records.models import Person, Rack, Room, Tank, Timer, TimerSeason
from roomops.records.seasons import season_on

NAME_MOST = 80
KEY_MOST = 40
LEAP_YEAR = 2028  # any leap year: February 29 is a day to begin on


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Lamps on and off by wall clock."""

    on: time
    off: time


def new_timer(*, room: Room, name: str, hours: Hours, now: datetime, by: Person | None) -> Timer:
    """A timer is there. Refused: MISSING or TOO_LONG name, TIMER_TAKEN, BAD_HOURS."""
    _hours(hours)
    if not name.strip():
        raise Refused(No.MISSING, name="name")
    if len(name) > NAME_MOST:
        raise Refused(No.TOO_LONG, name="name", most=NAME_MOST)
    with transaction.atomic():
        hold(room=room)
        key = slugify(name)[:KEY_MOST] or "timer"
        taken = set(Timer.objects.filter(room=room).values_list("key", flat=True))
        if key in taken:
            raise Refused(No.TIMER_TAKEN, value=name)
        made = Timer.objects.create(
            room=room, key=key, name=name, on=hours.on, off=hours.off, written_at=now, written_by=by
        )
        facts_changed(room=room, now=now)
    return made


def set_hours(*, room: Room, timer: str, hours: Hours, now: datetime, by: Person | None) -> None:
    """Set a timer's hours; where it has seasons, those of the season that today lies in.

    Refused: UNKNOWN_TIMER, BAD_HOURS.
    """
    _hours(hours)
    with transaction.atomic():
        hold(room=room)
        row = _timer(room=room, key=timer)
        held = season_on(seasons=list(row.seasons.all()), day=now.date()) or row
        held.on, held.off = hours.on, hours.off
        held.written_at, held.written_by = now, by
        held.save()
        facts_changed(room=room, now=now)


def add_season(
    *, room: Room, timer: str, begins: tuple[int, int], hours: Hours, now: datetime, by: Person | None
) -> None:
    """Other hours from (month, day) on, every year, until the next season begins.

    With the first one, the hours of today become a season that begins today: nothing changes before its day.
    Refused: UNKNOWN_TIMER, BAD_HOURS, NO_SUCH_DAY, SEASON_TAKEN.
    """
    _hours(hours)
    month, day = begins
    if not _is_a_day(month, day):
        raise Refused(No.NO_SUCH_DAY, value=f"{month}/{day}")
    with transaction.atomic():
        hold(room=room)
        row = _timer(room=room, key=timer)
        today = now.date()
        seasons = {(each.from_month, each.from_day) for each in TimerSeason.objects.filter(timer=row)}
        if begins in seasons:
            raise Refused(No.SEASON_TAKEN, value=date(LEAP_YEAR, month, day))
        if not seasons and begins != (today.month, today.day):
            _season(row, begins=(today.month, today.day), hours=Hours(on=row.on, off=row.off), now=now, by=by)
        _season(row, begins=begins, hours=hours, now=now, by=by)
        facts_changed(room=room, now=now)


def drop_season(*, room: Room, timer: str, begins: tuple[int, int], now: datetime, by: Person | None) -> None:
    """A season is no more; with the last one, its hours become the timer's own.

    Refused: UNKNOWN_TIMER, NO_SUCH_DAY.
    """
    with transaction.atomic():
        hold(room=room)
        row = _timer(room=room, key=timer)
        seasons = {(each.from_month, each.from_day): each for each in TimerSeason.objects.filter(timer=row)}
        gone = seasons.get(begins)
        if gone is None:
            raise Refused(No.NO_SUCH_DAY, value=f"{begins[0]}/{begins[1]}")
        if len(seasons) == 1:
            row.on, row.off = gone.on, gone.off
            row.written_at, row.written_by = now, by
            row.save()
        gone.delete()
        facts_changed(room=room, now=now)


def give(*, room: Room, timer: str, place: str, now: datetime, by: Person | None) -> int:
    """Hang a tank ('tank:h1') or all tanks of a rack ('rack:a') on a timer. Returns how many tanks.

    Refused: UNKNOWN_TIMER, UNKNOWN_TANK.
    """
    with transaction.atomic():
        hold(room=room)
        row = _timer(room=room, key=timer)
        what, _, key = place.partition(":")
        tanks = Tank.objects.filter(room=room, removed_on__isnull=True)
        if what == "rack" and Rack.objects.filter(room=room, key=key).exists():
            tanks = tanks.filter(rack__key=key)
        elif what == "tank" and tanks.filter(key=key).exists():
            tanks = tanks.filter(key=key)
        else:
            raise Refused(No.UNKNOWN_TANK, value=key)
        many = tanks.update(timer=row, written_at=now, written_by=by)
        facts_changed(room=room, now=now)
    return many


def _hours(hours: Hours) -> None:
    if hours.off <= hours.on:
        raise Refused(No.BAD_HOURS, value=f"{hours.on:%H:%M}", off=f"{hours.off:%H:%M}")


def _is_a_day(month: int, day: int) -> bool:
    try:
        date(LEAP_YEAR, month, day)
    except ValueError:
        return False
    return True


def _timer(*, room: Room, key: str) -> Timer:
    row = Timer.objects.filter(room=room, key=key).first()
    if row is None:
        raise Refused(No.UNKNOWN_TIMER, value=key)
    return row


def _season(row: Timer, *, begins: tuple[int, int], hours: Hours, now: datetime, by: Person | None) -> None:
    TimerSeason.objects.create(
        room=row.room, timer=row, from_month=begins[0], from_day=begins[1], on=hours.on, off=hours.off,
        written_at=now, written_by=by,
    )  # fmt: skip
