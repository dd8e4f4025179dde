"""What in a room's facts contradicts itself: one sentence each, with what, which value and what to do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields
from itertools import pairwise

from roomops.husbandry.feeding import MeasureError, check_gap
from roomops.planning.room import SCHEMA_VERSION, Resident, Room, Shift, StageCare

COLDEST_C, HOTTEST_C = -20.0, 80.0
"""Outside these a reading is a slip of the pen or another unit. Our own limit: no animal is kept near
either.
"""


def contradictions(*, room: Room) -> tuple[str, ...]:
    """Return every contradiction in a room's facts as one sentence each; nothing when it can be planned."""
    return (
        *_version(room),
        *_codes(room),
        *_references(room),
        *_times(room),
        *_shifts(room),
        *_numbers(room),
        *(line for care in room.care for line in _care(care)),
        *(line for resident in room.residents for line in _resident(room, resident)),
        *_readings(room),
        *_further(room),
        *_outdoors(room),
    )


def _version(room: Room) -> Iterator[str]:
    if room.schema != SCHEMA_VERSION:
        yield f"schema is {room.schema}: this release reads {SCHEMA_VERSION}, so write the file anew."


# ---------------------------------------------------------------- codes


def _codes(room: Room) -> Iterator[str]:
    tanks_of: dict[str, set[str]] = {}
    for resident in room.residents:
        tanks_of.setdefault(resident.key, set()).add(resident.tank)
    for key, tanks in tanks_of.items():
        if len(tanks) > 1:
            where = " and ".join(f"“{tank}”" for tank in sorted(tanks))
            yield f"resident “{key}” is in {where} at once: leave it in the tank where it is."
    split = {key for key, tanks in tanks_of.items() if len(tanks) > 1}
    for kind, keys in _keyed(room):
        for key in sorted({k for k in keys if keys.count(k) > 1} - (split if kind == "resident" else set())):
            yield f"{kind} “{key}” stands {keys.count(key)} times: give each {kind} a code of its own."
        for key in sorted({k for k in keys if not k or "/" in k or k != k.strip()}):
            yield f"{kind} code “{key}” cannot be used: write it without a slash or outer blanks."
    stages = [f"{c.kind} {c.stage}" for c in room.care]
    for stage in sorted({s for s in stages if stages.count(s) > 1}):
        yield f"care of “{stage}” stands {stages.count(stage)} times: leave the one that holds."


def _keyed(room: Room) -> tuple[tuple[str, list[str]], ...]:
    return (
        ("room", [room.room]),
        ("person", [p.key for p in room.people]),
        ("timer", [t.key for t in room.timers]),
        ("rack", [r.key for r in room.racks]),
        ("tank", [t.key for t in room.tanks]),
        ("tray", [t.key for t in room.trays]),
        ("tub", [t.key for t in room.tubs]),
        ("resident", [r.key for r in room.residents]),
        ("food", [f.key for f in room.foods]),
        ("lamp", [lamp.key for lamp in room.lamps]),
        ("medicine", [order.key for order in room.medicines]),
        ("arrival", [lot.key for lot in room.arriving]),
    )


def _references(room: Room) -> Iterator[str]:
    known = {kind: set(keys) for kind, keys in _keyed(room)}
    wanted: Iterable[tuple[str, str, str, str]] = (
        *(("shift of", s.person, "person", s.person) for s in room.shifts),
        *(("absence of", s.person, "person", s.person) for s in room.peaks if s.person),
        *((f"tank “{t.key}” in", t.rack, "rack", t.key) for t in room.tanks),
        *((f"tank “{t.key}” on", t.timer, "timer", t.key) for t in room.tanks if t.timer),
        *((f"tub “{t.key}” on", t.tray, "tray", t.key) for t in room.tubs),
        *((f"resident “{r.key}” in", r.tank, "tank", r.key) for r in room.residents),
        *(("a reading of", r.tank, "tank", r.tank) for r in room.readings),
        *((f"lamp “{lamp.key}” of", lamp.tank, "tank", lamp.key) for lamp in room.lamps),
        *((f"medicine “{o.key}” of", o.resident, "resident", o.key) for o in room.medicines),
        *((f"arrival “{lot.key}” into", key, "tank", lot.key) for lot in room.arriving for key in lot.tanks),
        *(("sun owed to", key, "resident", key) for key in room.outdoors.owed),
        *(("a round under way by", b.person, "person", b.person) for b in room.begun),
    )
    for what, key, kind, _ in wanted:
        if key not in known[kind]:
            yield f"{what} {kind} “{key}”, which the file does not have: add the {kind} or mend the code."
    care = {(c.kind, c.stage) for c in room.care}
    for resident in room.residents:
        if (resident.kind, resident.stage) not in care:
            stage = f"“{resident.kind}” at stage “{resident.stage}”"
            yield f"resident “{resident.key}” is {stage}, and the file has no care for it: add or mend it."


# ---------------------------------------------------------------- times and numbers


def _times(room: Room) -> Iterator[str]:
    if not 1320 <= room.day_length_min <= 1560:
        yield f"day_length_min is {room.day_length_min}: write 1440, or what a clock change makes of it."
    if room.now_min < 0:
        yield f"now_min is {room.now_min}: write a minute of the day."
    for span in room.peaks:
        if span.end <= span.start:
            what = f"peak or absence “{span.why}”"
            yield f"{what} ends at minute {span.end}, not after its start at {span.start}: mend one of them."
    for timer in room.timers:
        if not 0 <= timer.on < timer.off <= room.day_length_min:
            lit = f"timer “{timer.key}” is on from {timer.on} to {timer.off}"
            yield f"{lit}: write minutes of the day, on before off."


def _shifts(room: Room) -> Iterator[str]:
    for shift in room.shifts:
        yield from _shift(shift)
    for person in sorted({s.person for s in room.shifts}):
        own = sorted((s.start, s.end) for s in room.shifts if s.person == person)
        if any(after[0] < before[1] for before, after in pairwise(own)):
            yield f"shifts of “{person}” overlap: write them as one, or mend a time."


def _shift(shift: Shift) -> Iterator[str]:
    who = f"shift of “{shift.person}”"
    if shift.end <= shift.start:
        yield f"{who} ends at minute {shift.end}, not after its start at {shift.start}: mend one of them."
    if shift.start < 0:
        yield f"{who} starts at minute {shift.start}: begin it on this day, at 0 or later."
    if not 0 <= shift.share <= 1:
        yield f"{who} has share {shift.share:g}: write a part of the shift between 0 and 1."


def _numbers(room: Room) -> Iterator[str]:
    for field in fields(room.settings):
        value = getattr(room.settings, field.name)
        if value < 0:
            yield f"setting {field.name} is {value:g}: write 0 or more."
    if room.settings.watch_most < 1:
        yield f"setting watch_most is {room.settings.watch_most}: write 1 or more animals."
    for tub in (t for t in room.tubs if t.fits_mm <= 0):
        yield f"tub “{tub.key}” fits {tub.fits_mm:g} mm: write the longest animal that it serves."
    for food in room.foods:
        if food.on_hand < 0:
            yield f"food “{food.key}” has {food.on_hand:g} on hand: write 0 or more."
        if food.size_mm is not None and food.size_mm <= 0:
            yield f"food “{food.key}” is {food.size_mm:g} mm: write a size above 0 or leave it out."


def _care(care: StageCare) -> Iterator[str]:
    what, feeding = f"care of “{care.kind} {care.stage}”", care.feeding
    if feeding.every_days < 1:
        yield f"{what} feeds every {feeding.every_days} days: write 1 or more."
    if any(meal.slot < 1 for meal in feeding.meals):
        yield f"{what} has a meal in slot {min(m.slot for m in feeding.meals)}: number feeds from 1."
    for meal in feeding.meals:
        if meal.category != "greens" and not meal.kinds:
            yield f"{what} names no food for feed {meal.slot}: write the kinds that may be given."
        if meal.count < 0:
            yield f"{what} gives {meal.count} in feed {meal.slot}: write 0 or more."


def _resident(room: Room, resident: Resident) -> Iterator[str]:
    who = f"resident “{resident.key}”"
    if resident.heads < 1:
        yield f"{who} has {resident.heads} heads: write 1, or the lot's count in this tank."
    for name in ("length_mm", "gap_mm", "girth_mm", "weight_g"):
        value = getattr(resident, name)
        if value is not None and value <= 0:
            yield f"{who} has {name} {value:g}: write a measure above 0 or leave it out."
    for name in ("length_on", "gap_on", "weight_on", "last_fed_on"):
        value = getattr(resident, name)
        if value is not None and value > room.day:
            yield f"{who} has {name} {value.isoformat()}, after the day {room.day}: mend the date."
    yield from _gap(resident, who)


def _gap(resident: Resident, who: str) -> Iterator[str]:
    if resident.gap_mm is None or resident.length_mm is None or resident.length_mm <= 0:
        return
    try:
        check_gap(gap_mm=resident.gap_mm, length_mm=resident.length_mm, head_mm=None)
    except MeasureError as slip:
        yield (
            f"{who} has an eye gap of {resident.gap_mm:g} mm at a length of {resident.length_mm:g} mm, "
            f"more than the {slip.most_mm:.1f} mm that can be: measure again or mend the unit."
        )


def _readings(room: Room) -> Iterator[str]:
    for reading in room.readings:
        if not COLDEST_C <= reading.value_c <= HOTTEST_C:
            yield (
                f"the {reading.spot} reading of tank “{reading.tank}” is {reading.value_c:g} °C: "
                "write degrees Celsius, or read again."
            )
        if reading.on > room.day:
            yield f"the {reading.spot} reading of tank “{reading.tank}” is of {reading.on}: mend the date."


def _further(room: Room) -> Iterator[str]:
    for order in room.medicines:
        if order.times < 1:
            yield f"medicine “{order.key}” is given {order.times} times a day: write 1 or more."
    for last in room.upkeep:
        if last.on > room.day:
            yield f"{last.kind.value} of “{last.subject}” was last done {last.on}, after the day: mend it."
    if room.outage is not None and room.outage.began < 0:
        yield f"the outage began at minute {room.outage.began}: write 0 where it began before today."


def _outdoors(room: Room) -> Iterator[str]:
    for span in room.outdoors.windows:
        if span.end <= span.start:
            yield f"a window of sun ends at minute {span.end}, not after its start at {span.start}: mend it."
    if room.outdoors.session_min < 1:
        yield f"a session in the sun lasts {room.outdoors.session_min} minutes: write 1 or more."
