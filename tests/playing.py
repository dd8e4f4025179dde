"""Play a day: say through the desk what people at Juniper Street would have said until a moment.

For pictures, browser tests and figures. The same day and moment give the same words.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any
from uuid import NAMESPACE_URL, UUID, uuid5

from roomops.desk.day import open_day
from roomops.desk.day_types import Day, RoundView
from roomops.desk.entries import Outcome, Said, say
from roomops.husbandry.care import Band
from roomops.planning.plan import Duty, Seat
from roomops.planning.room import FED, DutyKind
from roomops.records.models import Person, Room

SOME_LEFT = {3: 2, 11: 1, 17: 4}  # every so-manieth head leaves some
REFUSES = 13
LOW_TANK, LOW_C = "h2", 35.6
SPARED = 3  # tanks that the last clean before the moment leaves over


def play(*, room: Room, morning: datetime, until: datetime) -> int:
    """Say everything from ``morning`` to ``until``; what lies across ``until`` is half done."""
    day = open_day(room=room, day=morning.date(), now=morning)
    people = {person.key: person for person in Person.objects.filter(room=room)}
    cleans = [
        v for v in day.rounds if v.round.kind is DutyKind.CLEAN and v.ends <= until and len(v.duties) > SPARED
    ]
    spared = cleans[-1].key if cleans else ""
    told = 0
    for view in sorted(day.rounds, key=lambda v: (v.starts, v.number)):
        if view.starts >= until:
            continue
        said = list(_of_round(day, view, until))
        if view.key == spared:
            said = said[:-SPARED]
        for each in said:
            answers = say(room=room, by=people.get(view.person), said=(each,), now=each.at or until)
            assert answers[0].outcome in {Outcome.STORED, Outcome.ALREADY}, (each, answers)
            told += 1
    return told


def _of_round(day: Day, view: RoundView, until: datetime) -> Iterator[Said]:
    """What is said of a round, one by one between its start and its end; nothing after ``until``."""
    if view.in_tubs:
        words = list(_tray(day, view))
    elif view.round.kind is DutyKind.FEED:
        words = [
            _counted(day, view, Seat(duty=key, head=h, tub=""))
            for key in view.duties
            for h in _heads(day, key)
        ]
    else:
        words = [_plain(day, day.duties[key], view) for key in view.duties]
    length = view.ends - view.starts
    for number, (duty, kind, head, data) in enumerate(words, start=1):
        when = view.starts + length * number / (len(words) + 1)
        if when <= until:
            yield Said(id=_id(duty, kind, head), duty=duty, kind=kind, head=head, data=data, at=when)


def _id(duty: str, kind: str, head: int) -> UUID:
    return uuid5(NAMESPACE_URL, f"played {duty} {kind} {head}")


Word = tuple[str, str, int, dict[str, Any]]


def _heads(day: Day, duty: str) -> range:
    heads = day.duties[duty].heads
    return range(1, heads + 1) if heads > 1 else range(1)


def _tray(day: Day, view: RoundView) -> Iterator[Word]:
    whole = f"{day.day}/round/{view.key}"
    yield whole, "cups", 0, {}
    for seat in view.seats:
        yield seat.duty, "out", seat.head, {"tub": seat.tub, "round": view.key}
    for seat in view.seats:
        yield _counted(day, view, seat)
    for seat in view.seats:
        yield seat.duty, "back", seat.head, {"tank": day.duties[seat.duty].tank, "round": view.key}
    yield whole, "washed", 0, {"not_clean": []}


def _counted(day: Day, view: RoundView, seat: Seat) -> Word:
    portion = day.duties[seat.duty].portion
    offered = portion.count if portion else 0
    place = sum(seat.duty.encode()) + seat.head
    data: dict[str, Any] = {
        "offered": offered,
        "left": 0,
        "food": portion.food if portion else "",
        "round": view.key,
    }
    if place % REFUSES == 0 and offered:
        return seat.duty, "refused", seat.head, data | {"left": offered}
    left = next((left for every, left in SOME_LEFT.items() if place % every == 0), 0)
    return seat.duty, "count", seat.head, data | {"left": min(left, offered)}


def _plain(day: Day, duty: Duty, view: RoundView) -> Word:
    kind = duty.kind
    if kind is DutyKind.READING:
        return duty.key, "reading", 0, _read(day, duty.tank)
    heads = sum(r.heads for r in day.facts.residents if r.tank == duty.tank and r.status in FED)
    seen = {"heads": heads, "water": True, "dead_or_nipped": False}
    if kind is DutyKind.OPENING:
        return (
            duty.key,
            "walk",
            0,
            seen | {"lamps": True, "droppings": "normal", "night_low_c": _night_low(day, duty.tank)},
        )
    if kind is DutyKind.CLOSING:
        closed = {"lids": True, "tubs_empty": True, "lamps_off": True, "night_heat": True}
        return duty.key, "walk", 0, seen | closed
    return duty.key, "done", 0, _done(day, duty)


def _done(day: Day, duty: Duty) -> dict[str, Any]:
    """What 'done' carries: a weight a little up, a medicine given, a search that found nobody yet."""
    if duty.kind is DutyKind.WEIGH:
        weights = {r.key: r.weight_g for r in day.facts.residents}
        return {"weight_g": round((weights.get(duty.subject) or 10.0) * 1.02, 1)}
    if duty.kind is DutyKind.MEDICINE:
        return {"given": True}
    return {"found": False, "looked": ["tank"]} if duty.kind is DutyKind.SEARCH else {}


def _read(day: Day, tank: str) -> dict[str, float]:
    """About the middle of the tank's bands, where its sheet has one; one tank is low on its basking side."""
    cares = [day.facts.care_of(resident) for resident in day.facts.residents if resident.tank == tank]
    found = {}
    for name, bands in (("basking_c", [c.basking_c for c in cares]), ("cool_c", [c.cool_c for c in cares])):
        band = next((b for b in bands if b), None)
        if band:
            found[name] = _about(band, tank)
    return found | ({"basking_c": LOW_C} if tank == LOW_TANK else {})


def _night_low(day: Day, tank: str) -> float:
    bands = [day.facts.care_of(resident).night_c for resident in day.facts.residents if resident.tank == tank]
    return next((_about(band, tank) for band in bands if band), 23.0)


def _about(band: Band, tank: str) -> float:
    middle, spread = (band.low + band.high) / 2, (band.high - band.low) / 5
    return round(middle + spread * (sum(tank.encode()) % 5 - 2) / 2, 1)
