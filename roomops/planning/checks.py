"""What in a room's facts contradicts itself: one sentence each, with what, which value and what to do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields

from roomops.planning.room import SCHEMA_VERSION, Resident, Room

COLDEST_C, HOTTEST_C = -20.0, 80.0
"""Outside these a reading is a slip of the pen or another unit: a house choice, no animal is kept near either."""

GAP_MOST_OF_LENGTH = 0.2
GAP_MOST_OF_ESTIMATE = 2.0
"""An eye gap above a fifth of the length, or twice what the length lets expect, is a slip: a house choice."""


def contradictions(*, room: Room) -> tuple[str, ...]:
    """Return every contradiction in a room's facts as one sentence each; nothing for a room that can be planned."""
    return (
        *_version(room),
        *_codes(room),
        *_references(room),
        *_times(room),
        *_numbers(room),
        *(line for resident in room.residents for line in _resident(room, resident)),
        *_readings(room),
    )


def _version(room: Room) -> Iterator[str]:
    if room.schema != SCHEMA_VERSION:
        yield f"schema is {room.schema}: this release reads {SCHEMA_VERSION}, so write the file anew or take the release that wrote it."


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
            yield f"{kind} code “{key}” cannot be used: write letters and digits without a slash or outer blanks."
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
        *(("a round under way by", b.person, "person", b.person) for b in room.begun),
    )
    for what, key, kind, _ in wanted:
        if key not in known[kind]:
            yield f"{what} {kind} “{key}”, which the file does not have: add the {kind} or mend the code."
    care = {(c.kind, c.stage) for c in room.care}
    for resident in room.residents:
        if (resident.kind, resident.stage) not in care:
            stage = f"“{resident.kind}” at stage “{resident.stage}”"
            yield f"resident “{resident.key}” is {stage}, for which the file has no care: add it or mend the words."


# ---------------------------------------------------------------- times and numbers


def _times(room: Room) -> Iterator[str]:
    if not 1320 <= room.day_length_min <= 1560:
        yield f"day_length_min is {room.day_length_min}: write 1440, or what a clock change makes of it."
    for shift in room.shifts:
        who = f"shift of “{shift.person}”"
        if shift.end <= shift.start:
            yield f"{who} ends at minute {shift.end}, not after its start at {shift.start}: mend one of them."
        if shift.start < 0:
            yield f"{who} starts at minute {shift.start}: begin it on this day, at 0 or later."
        if not 0 <= shift.share <= 1:
            yield f"{who} has share {shift.share:g}: write a part of the shift between 0 and 1."
    for person in sorted({s.person for s in room.shifts}):
        own = sorted((s.start, s.end) for s in room.shifts if s.person == person)
        if any(b[0] < a[1] for a, b in zip(own, own[1:], strict=False)):
            yield f"shifts of “{person}” overlap: write them as one, or mend a time."
    for span in room.peaks:
        if span.end <= span.start:
            yield f"peak or absence “{span.why}” ends at minute {span.end}, not after {span.start}: mend one of them."
    for timer in room.timers:
        if not 0 <= timer.on < timer.off <= room.day_length_min:
            yield f"timer “{timer.key}” is on from {timer.on} to {timer.off}: write minutes of the day, on before off."


def _numbers(room: Room) -> Iterator[str]:
    for field in fields(room.settings):
        value = getattr(room.settings, field.name)
        if value < 0:
            yield f"setting {field.name} is {value:g}: write 0 or more."
    if room.settings.watch_most < 1:
        yield f"setting watch_most is {room.settings.watch_most}: write 1 or more animals."
    for tub in room.tubs:
        if tub.fits_mm <= 0:
            yield f"tub “{tub.key}” fits {tub.fits_mm:g} mm: write the longest animal that it serves."
    for food in room.foods:
        if food.on_hand < 0:
            yield f"food “{food.key}” has {food.on_hand:g} on hand: write 0 or more."
        if food.size_mm is not None and food.size_mm <= 0:
            yield f"food “{food.key}” is {food.size_mm:g} mm: write a size above 0 or leave it out."
    if room.now_min < 0:
        yield f"now_min is {room.now_min}: write a minute of the day."


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
            yield f"{who} has {name} {value.isoformat()}, after the day {room.day.isoformat()}: mend the date."
    yield from _gap(room, resident, who)


def _gap(room: Room, resident: Resident, who: str) -> Iterator[str]:
    if resident.gap_mm is None or resident.length_mm is None or resident.length_mm <= 0:
        return
    shares = [c.gap_per_length for c in room.care if (c.kind, c.stage) == (resident.kind, resident.stage)]
    share = shares[0] if shares else None
    most = GAP_MOST_OF_LENGTH if share is None else min(GAP_MOST_OF_LENGTH, GAP_MOST_OF_ESTIMATE * share)
    if resident.gap_mm > most * resident.length_mm:
        yield (
            f"{who} has an eye gap of {resident.gap_mm:g} mm at a length of {resident.length_mm:g} mm, "
            f"more than the {most * resident.length_mm:.1f} mm that can be: measure again or mend the unit."
        )


def _readings(room: Room) -> Iterator[str]:
    for reading in room.readings:
        if not COLDEST_C <= reading.value_c <= HOTTEST_C:
            yield (
                f"the {reading.spot} reading of tank “{reading.tank}” is {reading.value_c:g} °C: "
                "write degrees Celsius, or read again."
            )
        if reading.on > room.day:
            yield f"the {reading.spot} reading of tank “{reading.tank}” is of {reading.on.isoformat()}: mend the date."
