"""What falls due on a day: from care sheets, the room's facts and what was really done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from roomops.husbandry.care import Meal, Need, Place
from roomops.husbandry.care_topics import STAYS
from roomops.planning.errands import of_animals, searches
from roomops.planning.facts import GREENS, Facts, feed_window, look, low_tanks
from roomops.planning.plan import Duty
from roomops.planning.portions import Shelf
from roomops.planning.room import FED, DutyKind, Resident, Room, Status, Tank
from roomops.planning.upkeep import of_room, of_tanks, people_for


def due(*, room: Room) -> tuple[Duty, ...]:
    """Return the day's duties, done ones among them, in a fixed order: walks, kitchen, feeds, readings,
    cleans, work on single animals, on tanks and for the room, and the closing walk.

    A duty's key is day/kind/subject/slot: it names the work and not the plan, so that what was written about
    it holds after any re-planning. Raises KeyError for a resident whose care or tank the room lacks.
    """
    return due_of(facts=look(room=room))


def due_of(*, facts: Facts) -> tuple[Duty, ...]:
    """Return the day's duties of looked-up facts, as ``due`` does."""
    feeds = tuple(_feeds(facts=facts))
    return (
        *_walks(facts=facts, kind=DutyKind.OPENING),
        *_kitchen(facts=facts, feeds=feeds),
        *feeds,
        *_readings(facts=facts),
        *_cleans(facts=facts),
        *of_animals(facts=facts, feeds=feeds),
        *_searches(facts=facts),
        *of_tanks(facts=facts),
        *of_room(facts=facts),
        *_walks(facts=facts, kind=DutyKind.CLOSING),
    )


def key(*, facts: Facts, kind: DutyKind, subject: str, slot: int) -> str:
    return facts.key(kind, subject, slot)


# ---------------------------------------------------------------- walks, readings, cleans


def _tanks(*, facts: Facts) -> Iterator[Tank]:
    """Give the tanks that somebody lives in or is looked for in, in walking order."""
    order = {rack.key: rack.order for rack in facts.room.racks}
    lived_in = (tank for tank in facts.room.tanks if tank.key in facts.living)
    yield from sorted(lived_in, key=lambda t: (order.get(t.rack, 0), t.rack, t.order, t.key))


def _tank_duty(
    *,
    facts: Facts,
    tank: Tank,
    kind: DutyKind,
    window: tuple[int, int],
    minutes: float,
    need: Need,
    slot: int = 0,
) -> Duty:
    return Duty(
        key=key(facts=facts, kind=kind, subject=tank.key, slot=slot),
        kind=kind,
        subject=tank.key,
        slot=slot,
        need=need,
        opens=window[0],
        closes=window[1],
        minutes=minutes,
        tank=tank.key,
        quarantine=tank.key in facts.apart,
    )


def _walks(*, facts: Facts, kind: DutyKind) -> Iterator[Duty]:
    settings = facts.room.settings
    for tank in _tanks(facts=facts):
        if kind is DutyKind.OPENING:
            window, minutes = _opening_window(facts=facts, tank=tank), settings.open_walk_min
        else:
            window, minutes = _closing_window(facts=facts, tank=tank), settings.close_walk_min
        yield _tank_duty(facts=facts, tank=tank, kind=kind, window=window, minutes=minutes, need=Need.MUST)


def _opening_window(*, facts: Facts, tank: Tank) -> tuple[int, int]:
    """After the first shift begins, and after lights-on where that is soon: lamps are seen to burn."""
    within = facts.room.settings.open_within_min
    timer = facts.timer_of(tank.key)
    opens = facts.first
    if timer is not None and facts.first < timer.on <= facts.first + within // 2:
        opens = timer.on
    return opens, opens + within


def _closing_window(*, facts: Facts, tank: Tank) -> tuple[int, int]:
    """Before the last shift ends, and after lights-out where half of the time is left for it."""
    within = facts.room.settings.close_within_min
    timer = facts.timer_of(tank.key)
    opens = facts.last - within
    if timer is not None and opens < timer.off <= facts.last - within // 2:
        opens = timer.off
    return max(opens, 0), facts.last


def _searches(*, facts: Facts) -> Iterator[Duty]:
    """Whoever is missing is looked for when the walks are, and at midday."""
    homes = {r.tank for r in facts.room.residents if r.status is Status.MISSING}
    tanks = [tank for tank in facts.room.tanks if tank.key in homes]
    return searches(
        facts=facts,
        opening={tank.key: _opening_window(facts=facts, tank=tank) for tank in tanks},
        closing={tank.key: _closing_window(facts=facts, tank=tank) for tank in tanks},
    )


def _readings(*, facts: Facts) -> Iterator[Duty]:
    """One in the morning for each tank with animals in it, and one more for each that last read too low."""
    settings = facts.room.settings
    low = low_tanks(facts=facts)
    for tank in _tanks(facts=facts):
        if not any(r.status in FED for r in facts.living[tank.key]):
            continue
        timer = facts.timer_of(tank.key)
        opens = timer.on + settings.reading_after_on_min if timer else facts.first
        window = (opens, opens + settings.reading_within_min)
        yield _reading(facts=facts, tank=tank, window=window, slot=0)
        if tank.key in low:
            again = (low[tank.key].reading.minute or 0) + settings.reread_after_min
            slot = 1 + _read_again(facts=facts, tank=tank)
            yield _reading(facts=facts, tank=tank, window=(again, facts.room.day_length_min), slot=slot)


def _reading(*, facts: Facts, tank: Tank, window: tuple[int, int], slot: int) -> Duty:
    minutes = facts.room.settings.reading_min
    return _tank_duty(
        facts=facts,
        tank=tank,
        kind=DutyKind.READING,
        window=window,
        minutes=minutes,
        need=Need.MUST,
        slot=slot,
    )


def _read_again(*, facts: Facts, tank: Tank) -> int:
    """Count the second readings that were already taken: the next one is a duty of its own."""
    stem = key(facts=facts, kind=DutyKind.READING, subject=tank.key, slot=0)[:-1]
    return sum(1 for k in facts.done if k.startswith(stem) and k != stem + "0")


def _cleans(*, facts: Facts) -> Iterator[Duty]:
    window = (facts.first, facts.last)
    minutes = facts.room.settings.clean_min
    for tank in _tanks(facts=facts):
        if any(r.status in FED for r in facts.living[tank.key]):
            yield _tank_duty(
                facts=facts, tank=tank, kind=DutyKind.CLEAN, window=window, minutes=minutes, need=Need.SHOULD
            )


# ---------------------------------------------------------------- kitchen


def _kitchen(*, facts: Facts, feeds: Iterable[Duty]) -> Iterator[Duty]:
    """Greens are chopped for the room, for feeds and for dishes beside them; insects are fed and watered."""
    room = facts.room
    closes = [d.closes for d in feeds if _with_greens(facts=facts, duty=d)]
    if closes:
        yield _room_duty(facts=facts, kind=DutyKind.CUPS, closes=max(closes), minutes=room.settings.cups_min)
    if any(food.category == "insect" for food in room.foods):
        yield _room_duty(
            facts=facts, kind=DutyKind.INSECTS, closes=facts.last, minutes=room.settings.insects_min
        )


def _with_greens(*, facts: Facts, duty: Duty) -> bool:
    """Say whether greens are the feed, or stand beside it today."""
    today = facts.room.day.isoweekday()
    feeding = facts.care_of(facts.by_key[duty.subject]).feeding
    served = [(meal.slot, meal.weekdays) for meal in feeding.meals if meal.category == GREENS]
    served += [(dish.slot, dish.weekdays) for dish in feeding.dishes]
    return any(slot == duty.slot and (not weekdays or today in weekdays) for slot, weekdays in served)


def _room_duty(*, facts: Facts, kind: DutyKind, closes: int, minutes: float) -> Duty:
    return Duty(
        key=key(facts=facts, kind=kind, subject=facts.room.room, slot=0),
        kind=kind,
        subject=facts.room.room,
        slot=0,
        need=Need.MUST if kind is DutyKind.CUPS else Need.SHOULD,
        opens=facts.first,
        closes=closes,
        minutes=minutes,
    )


# ---------------------------------------------------------------- feeds


def _feeds(*, facts: Facts) -> Iterator[Duty]:
    """Slot by slot, so that the first feeds have first call on the shelf; settled ones take nothing from
    it.
    """
    shelf = Shelf(room=facts.room)
    slots = sorted({meal.slot for meals in facts.meals.values() for meal in meals})
    for slot in slots:
        for resident in facts.fed:
            for place, meal in enumerate(facts.meals[resident.key]):
                if meal.slot == slot:
                    yield _feed(facts=facts, shelf=shelf, resident=resident, meal=meal, place=place)


def _feed(*, facts: Facts, shelf: Shelf, resident: Resident, meal: Meal, place: int) -> Duty:
    """One feed; ``place`` is how many of the day's feeds come before it."""
    care = facts.care_of(resident)
    opens, closes = feed_window(
        feeding=care.feeding,
        active=care.active,
        timer=facts.timer_of(resident.tank),
        day_length=facts.room.day_length_min,
    )
    name = key(facts=facts, kind=DutyKind.FEED, subject=resident.key, slot=meal.slot)
    in_tub = care.feeding.place is Place.TUB and meal.category not in STAYS
    return Duty(
        key=name,
        kind=DutyKind.FEED,
        subject=resident.key,
        slot=meal.slot,
        need=meal.need,
        opens=opens + place * facts.gaps[resident.key],
        closes=closes,
        minutes=_feed_minutes(facts=facts, resident=resident, in_tub=in_tub),
        tank=resident.tank,
        heads=resident.heads,
        length_mm=resident.length_mm,
        quarantine=resident.tank in facts.apart,
        in_tub=in_tub,
        people=people_for(facts=facts, resident=resident) if in_tub else 1,
        portion=shelf.take(resident=resident, care=care, meal=meal, settled=facts.settled(name)),
    )


def _feed_minutes(*, facts: Facts, resident: Resident, in_tub: bool) -> float:
    settings = facts.room.settings
    if not in_tub:
        return settings.tank_feed_min * resident.heads
    carried = resident.heads * (settings.to_tub_min + settings.back_min)
    return settings.prepare_min + carried + settings.hands_wash_min
