"""Work on tanks and for the room that does not fall due every day: mist, water, lamps, thawing, warming up,
checks while heat or power is out.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

from roomops.husbandry.care import Need
from roomops.husbandry.feeding import choose
from roomops.husbandry.handling import handlers_needed
from roomops.husbandry.needs import MistEdge, MistWindow
from roomops.planning.facts import Facts, meals_of
from roomops.planning.plan import Duty
from roomops.planning.room import FED, DutyKind, Lamp, Resident, Tank

RODENT = "rodent"
TESTS, CHANGE, FILTER = 1, 2, 3
"""Slots of a tank's water: its tests and its part change go together, its filter never on the same day."""

LAMP_NOTICE_DAYS = 14  # a lamp that its rule ends is replaced within the two weeks before


def of_tanks(*, facts: Facts) -> Iterator[Duty]:
    """Give the day's mistings, water work, lamps to replace and tanks to warm, in walking order.

    Needs: what an animal drinks, a blown lamp and one past its date must be done; the rest should.
    """
    order = {rack.key: rack.order for rack in facts.room.racks}
    tanks = sorted(facts.room.tanks, key=lambda t: (order.get(t.rack, 0), t.rack, t.order, t.key))
    lived_in = [tank for tank in tanks if any(r.status in FED for r in facts.living.get(tank.key, ()))]
    for tank in lived_in:
        yield from _mists(facts=facts, tank=tank)
    for tank in lived_in:
        yield from _water(facts=facts, tank=tank)
    yield from _lamps(facts=facts)
    yield from _warm(facts=facts)


def of_room(*, facts: Facts) -> Iterator[Duty]:
    """Give the checks while heat or power is out, and tomorrow's rodents to thaw this evening."""
    yield from _heat_checks(facts=facts)
    if _rodents_tomorrow(facts=facts) or facts.settled(facts.key(DutyKind.THAW, facts.room.room, 0)):
        within = facts.room.settings.thaw_within_min
        yield _duty(
            facts=facts, kind=DutyKind.THAW, subject=facts.room.room, need=Need.MUST,
            window=(max(facts.first, facts.last - within), facts.last), minutes=facts.room.settings.thaw_min,
        )  # fmt: skip


def _duty(
    *,
    facts: Facts,
    kind: DutyKind,
    subject: str,
    need: Need,
    window: tuple[int, int],
    minutes: float,
    slot: int = 0,
    tank: str = "",
) -> Duty:
    return Duty(
        key=facts.key(kind, subject, slot), kind=kind, subject=subject, slot=slot, need=need,
        opens=window[0], closes=window[1], minutes=minutes, tank=tank, quarantine=tank in facts.apart,
    )  # fmt: skip


# ---------------------------------------------------------------- mist


def _mists(*, facts: Facts, tank: Tank) -> Iterator[Duty]:
    """One duty for each window of the first kind in the tank that is misted."""
    sheets = (facts.care_of(r).mist for r in facts.living[tank.key] if r.status in FED)
    mist = next((found for found in sheets if found is not None), None)
    for slot, window in enumerate(mist.windows if mist else (), start=1):
        minutes = mist.minutes if mist else 0
        yield _duty(
            facts=facts, kind=DutyKind.MIST, subject=tank.key, slot=slot, tank=tank.key, minutes=minutes,
            need=Need.MUST if window.must else Need.SHOULD,
            window=_mist_window(facts=facts, tank=tank, window=window, minutes=minutes),
        )  # fmt: skip


def _mist_window(*, facts: Facts, tank: Tank, window: MistWindow, minutes: int) -> tuple[int, int]:
    """Return when it may begin and must have ended; moved, as long as it is, to when somebody is here."""
    timer = facts.timer_of(tank.key)
    if timer is None:
        return facts.first, facts.last
    if window.edge is MistEdge.AFTER_ON:
        opens, closes = timer.on + window.from_min, timer.on + window.to_min + minutes
    elif window.edge is MistEdge.BEFORE_OFF:
        opens, closes = timer.off - window.to_min, timer.off - window.from_min
    else:
        opens, closes = timer.off + window.from_min, timer.off + window.to_min + minutes
    length = closes - opens
    if opens < facts.first:
        opens, closes = facts.first, facts.first + length
    if closes > facts.last:
        opens, closes = max(facts.last - length, 0), facts.last
    return opens, closes


# ---------------------------------------------------------------- water


def _water(*, facts: Facts, tank: Tank) -> Iterator[Duty]:
    sheets = (facts.care_of(r).water for r in facts.living[tank.key] if r.status in FED)
    water = next((found for found in sheets if found is not None), None)
    if water is None:
        return
    s = facts.room.settings
    changes = _by_days(facts=facts, tank=tank, slot=CHANGE, every=water.change_every_days)
    tests = _by_days(facts=facts, tank=tank, slot=TESTS, every=water.change_every_days)
    filters = _by_days(facts=facts, tank=tank, slot=FILTER, every=water.filter_every_days) and not changes
    rows = ((TESTS, tests, s.water_test_min), (CHANGE, changes, s.water_change_min))
    for slot, falls_due, minutes in (*rows, (FILTER, filters, s.filter_min)):
        if falls_due or facts.settled(facts.key(DutyKind.WATER, tank.key, slot)):
            yield _duty(
                facts=facts, kind=DutyKind.WATER, subject=tank.key, slot=slot, tank=tank.key,
                need=Need.SHOULD, window=(facts.first, facts.last), minutes=minutes,
            )  # fmt: skip


def _by_days(*, facts: Facts, tank: Tank, slot: int, every: int) -> bool:
    """Say whether work of so many days falls due: what was never done, or is not known, does."""
    last = facts.last_done.get((DutyKind.WATER, tank.key, slot))
    return last is None or (facts.room.day - last).days >= every


# ---------------------------------------------------------------- lamps, warming up


def _lamps(*, facts: Facts) -> Iterator[Duty]:
    """Blown ones at once; others within two weeks of their date. The minutes are those of an empty tank: its
    animals are carried out and back.
    """
    s = facts.room.settings
    for lamp in facts.room.lamps:
        need = _lamp_need(facts=facts, lamp=lamp)
        if lamp.tank not in facts.tanks or need is None:
            continue
        living = [r for r in facts.living.get(lamp.tank, ()) if r.status in FED]
        made = _duty(
            facts=facts, kind=DutyKind.LAMP, subject=lamp.key, tank=lamp.tank, need=need,
            window=(facts.first, facts.last),
            minutes=s.lamp_min + sum(r.heads for r in living) * (s.to_tub_min + s.back_min),
        )  # fmt: skip
        yield replace(made, people=max((people_for(facts=facts, resident=r) for r in living), default=1))


def _lamp_need(*, facts: Facts, lamp: Lamp) -> Need | None:
    day = facts.room.day
    if lamp.blown or (lamp.due is not None and day > lamp.due):
        return Need.MUST
    soon = lamp.due is not None and (lamp.due - day).days <= LAMP_NOTICE_DAYS
    return Need.SHOULD if soon or facts.settled(facts.key(DutyKind.LAMP, lamp.key, 0)) else None


def people_for(*, facts: Facts, resident: Resident) -> int:
    """Return how many people it takes to hold an animal."""
    return handlers_needed(care=facts.care_of(resident), length_mm=resident.length_mm)


def _warm(*, facts: Facts) -> Iterator[Duty]:
    """The tanks of a lot that comes tomorrow are set up and run warm for a day."""
    tomorrow = facts.room.day + dt.timedelta(days=1)
    tanks = [tank for lot in facts.room.arriving if lot.on == tomorrow for tank in lot.tanks]
    for tank in dict.fromkeys(tanks):
        if tank in facts.tanks:
            yield _duty(
                facts=facts, kind=DutyKind.WARM, subject=tank, tank=tank, need=Need.SHOULD,
                window=(facts.first, facts.last), minutes=facts.room.settings.warm_min,
            )  # fmt: skip


# ---------------------------------------------------------------- heat or power out, thawing


def _heat_checks(*, facts: Facts) -> Iterator[Duty]:
    """Rack by rack every half hour, from when it began until the last shift ends. Quarantine's racks last."""
    outage, s = facts.room.outage, facts.room.settings
    if outage is None:
        return
    racks: dict[str, list[str]] = {}
    for tank in facts.room.tanks:
        if any(r.status in FED for r in facts.living.get(tank.key, ())):
            racks.setdefault(tank.rack, []).append(tank.key)
    every = max(s.heat_check_every_min, 1)
    for slot, opens in enumerate(range(outage.began, facts.last, every), start=1):
        if opens + every <= facts.first:  # nobody was here yet
            continue
        for rack, tanks in racks.items():
            made = _duty(
                facts=facts, kind=DutyKind.HEAT_CHECK, subject=rack, slot=slot, need=Need.MUST,
                window=(opens, opens + every), minutes=len(tanks) * s.heat_check_min,
            )  # fmt: skip
            yield replace(made, quarantine=facts.apart.issuperset(tanks))


def _rodents_tomorrow(*, facts: Facts) -> bool:
    """Say whether somebody who gets no rodent today gets one tomorrow that is on the shelf and fits."""
    room = replace(facts.room, day=facts.room.day + dt.timedelta(days=1))
    for resident in facts.fed:
        care = facts.care_of(resident)
        if all(meal.category != RODENT for meal in care.feeding.meals):
            continue
        if any(meal.category == RODENT for meal in facts.meals[resident.key]):
            continue
        for meal in meals_of(room=room, resident=resident, care=care, touched=frozenset()):
            batches = [food for food in room.foods if food.kind in meal.kinds]
            if meal.category != RODENT:
                continue
            if (
                not room.foods
                or choose(meal=meal, care=care, animal=resident, batches=batches, heads=resident.heads).batch
            ):
                return True
    return False
