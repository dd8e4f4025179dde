"""The room's facts, looked up. Built once for a plan; the verifier has its own eyes and does not use it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from roomops.husbandry.care import Active, Feeding, Meal, StageCare
from roomops.planning.room import FED, Done, DutyKind, Reading, Resident, Room, Status, Tank, Timer

GREENS = "greens"  # chopped for the room before they are served
APART = frozenset({Status.QUARANTINE, Status.ISOLATED})
"""Residents that are served last, with tubs and tools of their own: new ones and unwell ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Everything in a room by its key, and what follows from it at a glance."""

    room: Room
    day: str  # as it stands in a duty's key
    tanks: Mapping[str, Tank]
    timers: Mapping[str, Timer]
    care: Mapping[tuple[str, str], StageCare]
    fed: tuple[Resident, ...]
    by_key: Mapping[str, Resident]  # of the fed ones
    meals: Mapping[str, tuple[Meal, ...]]  # by resident: today's, in slot order
    gaps: Mapping[str, int]  # by resident: least minutes between today's feeds, start to start
    living: Mapping[str, tuple[Resident, ...]]  # by tank: those in the room and those looked for
    apart: frozenset[str]  # tanks that are served last
    done: Mapping[str, Done]
    begun: Mapping[str, int]  # duty: when its animals began to eat
    last_done: Mapping[tuple[DutyKind, str, int], dt.date]  # by kind, subject, slot
    first: int  # the first shift begins
    last: int  # the last shift ends

    def care_of(self, resident: Resident) -> StageCare:
        return self.care[resident.kind, resident.stage]

    def key(self, kind: DutyKind, subject: str, slot: int) -> str:
        """Return a duty's key: day/kind/subject/slot."""
        return f"{self.day}/{kind.value}/{subject}/{slot}"

    def timer_of(self, tank: str) -> Timer | None:
        return self.timers.get(self.tanks[tank].timer)

    def settled(self, duty: str) -> bool:
        """Say whether a duty is done or under way, and so is not planned again."""
        return duty in self.done or duty in self.begun


def look(*, room: Room) -> Facts:
    """Return the room's facts by key. Raises KeyError for a resident whose care or tank the room lacks."""
    care = {(each.kind, each.stage): each for each in room.care}
    living: dict[str, list[Resident]] = {}
    for resident in room.residents:
        if resident.status in FED or resident.status is Status.MISSING:
            living.setdefault(resident.tank, []).append(resident)
    fed = tuple(r for r in room.residents if r.status in FED)
    touched = _touched(room)
    meals = {r.key: meals_of(room=room, resident=r, care=care[r.kind, r.stage], touched=touched) for r in fed}
    return Facts(
        room=room,
        day=room.day.isoformat(),
        tanks={tank.key: tank for tank in room.tanks},
        timers={timer.key: timer for timer in room.timers},
        care=care,
        fed=fed,
        by_key={r.key: r for r in fed},
        meals=meals,
        gaps={r.key: least_gap(feeding=care[r.kind, r.stage].feeding, feeds=len(meals[r.key])) for r in fed},
        living={tank: tuple(found) for tank, found in living.items()},
        apart=frozenset(
            [t.key for t in room.tanks if t.quarantine]
            + [r.tank for r in room.residents if r.status in APART]
        ),
        done={done.duty: done for done in room.done},
        begun={key: begun.start for begun in room.begun for key in begun.duties},
        last_done=_last_done(room),
        first=min((shift.start for shift in room.shifts), default=0),
        last=max((shift.end for shift in room.shifts), default=room.day_length_min),
    )


def _touched(room: Room) -> frozenset[str]:
    """Return 'day/kind/subject' of everything done or under way: a feed that began today is due today."""
    begun = [key for each in room.begun for key in each.duties]
    return frozenset(key.rsplit("/", 1)[0] for key in [*begun, *(done.duty for done in room.done)])


def _last_done(room: Room) -> dict[tuple[DutyKind, str, int], dt.date]:
    found: dict[tuple[DutyKind, str, int], dt.date] = {}
    for each in room.upkeep:
        what = each.kind, each.subject, each.slot
        found[what] = max(each.on, found.get(what, each.on))
    return found


def meals_of(*, room: Room, resident: Resident, care: StageCare, touched: frozenset[str]) -> tuple[Meal, ...]:
    """Return today's meals in slot order, one a slot: where two would share one, the prey leads."""
    feeding, last = care.feeding, resident.last_fed_on
    stem = f"{room.day.isoformat()}/{DutyKind.FEED.value}/{resident.key}"
    waits = feeding.every_days > 1 and last is not None and (room.day - last).days < feeding.every_days
    if waits and stem not in touched:
        return ()
    by_slot: dict[int, Meal] = {}
    for meal in sorted(feeding.meals, key=lambda m: (m.slot, m.category == GREENS)):
        if not meal.weekdays or room.day.isoweekday() in meal.weekdays:
            by_slot.setdefault(meal.slot, meal)
    return tuple(by_slot.values())


def feed_window(*, feeding: Feeding, active: Active, timer: Timer | None, day_length: int) -> tuple[int, int]:
    """Return (opens, closes) in minutes of the day for a stage's feeds.

    Day-active kinds hang on lights-on and lights-out, night-active ones on lights-out alone. Without a timer
    nothing is known of the light, and the whole day is open.
    """
    if timer is None:
        return 0, day_length
    if active is Active.NIGHT:
        opens = timer.off + (feeding.opens_after_off_min or 0)
        after = feeding.closes_after_off_min
        return min(opens, day_length), day_length if after is None else min(timer.off + after, day_length)
    return timer.on + (feeding.opens_after_on_min or 0), timer.off - (feeding.closes_before_off_min or 0)


def least_gap(*, feeding: Feeding, feeds: int) -> int:
    """Return the least minutes from the start of one feed to the start of the next, for ``feeds`` a day.

    A number of feeds that the sheet does not name takes the gap of the next smaller number that it does.
    """
    if feeds < 2:
        return 0
    known = sorted(feeding.gap_min)
    smaller = [gap for number, gap in known if number <= feeds]
    if smaller:
        return smaller[-1]
    return known[0][1] if known else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Low:
    """A tank whose basking side last read below its band today."""

    reading: Reading
    band_low: float


def low_tanks(*, facts: Facts) -> dict[str, Low]:
    """Return the tanks whose last basking reading of today is below the band of somebody who lives there."""
    last: dict[str, Reading] = {}
    for reading in facts.room.readings:
        if reading.spot != "basking" or reading.minute is None or reading.on != facts.room.day:
            continue
        before = last.get(reading.tank)
        if before is None or (before.minute or 0) <= reading.minute:
            last[reading.tank] = reading
    low: dict[str, Low] = {}
    for tank, reading in last.items():
        bands = [facts.care_of(r).basking_c for r in facts.living.get(tank, ())]
        lows = [band.low for band in bands if band is not None]
        if lows and reading.value_c < max(lows):
            low[tank] = Low(reading=reading, band_low=max(lows))
    return low
