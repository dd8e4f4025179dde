"""Rooms of any size from a seed, for tests and for the bench: the same arguments give the same room."""

from __future__ import annotations

import datetime as dt
import random
from dataclasses import replace
from typing import Any

from roomops.husbandry.needs import Band, Mist, MistEdge, MistWindow, WaterCare
from roomops.planning.room import (
    FED,
    Arriving,
    DutyKind,
    Lamp,
    LastDone,
    Medicine,
    Outdoors,
    Person,
    Rack,
    Reading,
    Resident,
    Room,
    Settings,
    Shift,
    Span,
    Status,
    Tank,
    Timer,
    Tray,
    Tub,
)
from tests.makers_planning import ADULT, DAY, GECKO, GREENS, HATCHLING, MICE, SNAKE, TORTOISE, food, room

SIZES = {
    "small": {"residents": 30, "people": 2, "tubs": 10, "seed": 1},
    "store": {"residents": 150, "people": 8, "tubs": 40, "seed": 1},
    "big": {"residents": 500, "people": 24, "tubs": 120, "seed": 1},
    "overloaded store": {"residents": 150, "people": 4, "tubs": 24, "seed": 1},
    "overloaded big": {"residents": 500, "people": 8, "tubs": 60, "seed": 1},
}


def generated(*, residents: int, people: int, tubs: int, seed: int, **changes: Any) -> Room:
    """Return a room: three in five are hatchlings in groups, a lot among ten; the rest live alone, all
    kinds.
    """
    dice = random.Random(seed)
    tanks, living = _residents(dice=dice, residents=residents)
    trays, made = _tubs(dice=dice, tubs=tubs)
    racks = sorted({t.rack for t in tanks})
    base = room(
        settings=Settings(iterations=60),
        timers=(Timer(key="day", on=420, off=1200), Timer(key="late", on=450, off=1230)),
        racks=tuple(Rack(key=key, name=f"Rack {key}", order=n) for n, key in enumerate(racks, start=1)),
        tanks=tanks,
        residents=living,
        trays=trays,
        tubs=made,
        foods=(
            food("crickets-1", size_mm=4.0, on_hand=9000.0),
            food("crickets-2", size_mm=6.0, on_hand=20000.0, received=DAY - dt.timedelta(days=1)),
            food("roaches-1", "roach", size_mm=8.0, on_hand=4000.0),
            GREENS,
            replace(MICE, on_hand=200.0),
        ),
        readings=_readings(dice=dice, tanks=tanks),
        peaks=(Span(start=720, end=750, why="lunch in the shop"),),
        **_people(people=people),
    )
    return replace(base, **changes)


def everything(*, residents: int, people: int, tubs: int, seed: int, **changes: Any) -> Room:
    """Return the same room on a day with every duty in it: the scale, mist, water, thawing, lamps, sun,
    medicine, somebody missing, a lot that comes tomorrow.
    """
    base = generated(residents=residents, people=people, tubs=tubs, seed=seed)
    dice = random.Random(seed + 1)
    water, misted = (replace(sheet, stage=name) for sheet, name in ((TORTOISE, "wet"), (GECKO, "misted")))
    sheets = (replace(water, water=WATER), replace(misted, mist=MIST))
    living = tuple(_busy(dice, resident) for resident in base.residents)
    snakes = tuple(r for r in living if r.kind == SNAKE.kind)
    tomorrow = replace(snakes[0], last_fed_on=DAY - dt.timedelta(days=6)) if snakes else None
    living = tuple(tomorrow if tomorrow and r.key == tomorrow.key else r for r in living)
    here = [r for r in living if r.status in FED]
    busy = replace(
        base,
        care=(*base.care, *sheets),
        residents=living,
        lamps=_lamps(dice=dice, tanks=base.tanks),
        medicines=tuple(
            Medicine(key=f"m{n}", resident=r.key, times=n % 3 + 1)
            for n, r in enumerate(here[:: max(len(here) // 10, 8)])
        ),
        arriving=(
            Arriving(
                key="lot-2", kind=HATCHLING.kind, heads=9, on=DAY + dt.timedelta(days=1),
                tanks=tuple(t.key for t in base.tanks[-3:]),
            ),
        ),
        outdoors=Outdoors(
            windows=(Span(start=660, end=780), Span(start=840, end=960)), pens=("north", "south"),
            owed=tuple(r.key for r in here[:: max(len(here) // 6, 9)]), session_min=20,
        ),
        upkeep=tuple(
            LastDone(subject=r.tank, kind=DutyKind.WATER, slot=slot, on=DAY - dt.timedelta(days=7 * slot - 7))
            for r in here if r.stage == "wet" for slot in (1, 2, 3)
        ),
    )  # fmt: skip
    return replace(busy, **changes)


WATER = WaterCare(
    water_c=Band(low=25.0, high=27.0), change_pct=25.0, change_every_days=7, filter_every_days=14
)
MIST = Mist(
    times_must=1, times_most=2, minutes=2,
    windows=(
        MistWindow(edge=MistEdge.AFTER_ON, from_min=0, to_min=60),
        MistWindow(edge=MistEdge.BEFORE_OFF, from_min=0, to_min=60, must=False),
    ),
)  # fmt: skip


def _busy(dice: random.Random, resident: Resident) -> Resident:
    """One in seven is due for the scale, some live in water or are misted, one in a hundred is missing."""
    other = {TORTOISE.kind: "wet", GECKO.kind: "misted"}.get(resident.kind)
    lost = dice.random() < 0.01
    return replace(
        resident,
        stage=other if other and dice.random() < 0.5 else resident.stage,
        weight_on=DAY - dt.timedelta(days=dice.randint(1, 7)),
        status=Status.MISSING if lost else resident.status,
    )


def _lamps(*, dice: random.Random, tanks: tuple[Tank, ...]) -> tuple[Lamp, ...]:
    return tuple(
        Lamp(
            key=f"{t.key}-uv",
            tank=t.key,
            kind="uv",
            name="UV",
            due=DAY + dt.timedelta(days=dice.randint(-3, 360)),
            blown=dice.random() < 0.01,
        )
        for t in tanks
    )


def _residents(*, dice: random.Random, residents: int) -> tuple[tuple[Tank, ...], tuple[Resident, ...]]:
    tanks: list[Tank] = []
    living: list[Resident] = []

    def new_tank(quarantine: bool = False) -> Tank:
        number = len(tanks) + 1
        rack = f"q{number // 12:02d}" if quarantine else f"r{number // 12:02d}"
        timer = "late" if number // 12 % 3 == 2 else "day"
        made = Tank(
            key=f"t{number}", name=f"T{number}", rack=rack, order=number, timer=timer, quarantine=quarantine
        )
        tanks.append(made)
        return made

    while len(living) < residents * 3 // 5:
        tank = new_tank(quarantine=dice.random() < 0.06)
        status = Status.QUARANTINE if tank.quarantine else Status.HERE
        length = dice.uniform(90.0, 150.0)
        if dice.random() < 0.1:
            living.append(
                _one(HATCHLING, len(living), tank, status, length, heads=dice.randint(2, 5), lot="lot-1")
            )
            continue
        for _ in range(min(dice.randint(2, 5), residents * 3 // 5 - len(living))):
            living.append(_one(HATCHLING, len(living), tank, status, length + dice.uniform(-8.0, 8.0)))
    while len(living) < residents:
        sheet = dice.choice((ADULT, GECKO, SNAKE, TORTOISE))
        last = DAY - dt.timedelta(days=dice.randint(1, 8))
        living.append(
            _one(sheet, len(living), new_tank(), Status.HERE, 420.0, girth_mm=24.0, last_fed_on=last)
        )
    return tuple(tanks), tuple(living)


def _one(sheet: Any, number: int, tank: Tank, status: Status, length: float, **more: Any) -> Resident:
    return Resident(
        key=f"a{number + 1}",
        name=f"A{number + 1}",
        kind=sheet.kind,
        stage=sheet.stage,
        tank=tank.key,
        status=status,
        length_mm=round(length, 1),
        weight_on=DAY,
        **more,
    )


def _tubs(*, dice: random.Random, tubs: int) -> tuple[tuple[Tray, ...], tuple[Tub, ...]]:
    """Return trays of eight, some tubs too small for the longest; one tub in five is quarantine's own."""
    apart = max(tubs // 5, 1)
    trays: list[Tray] = []
    made: list[Tub] = []
    for quarantine, count in ((False, tubs - apart), (True, apart)):
        for begin in range(0, count, 8):
            key = f"{'q' if quarantine else 'c'}{len(trays) + 1}"
            trays.append(Tray(key=key, name=f"Tray {key}", order=len(trays) + 1, quarantine=quarantine))
            for number in range(1, min(8, count - begin) + 1):
                fits = dice.choice((130.0, 180.0, 180.0, 180.0))
                made.append(
                    Tub(key=f"{key}-{number}", tray=key, number=number, fits_mm=fits, quarantine=quarantine)
                )
    return tuple(trays), tuple(made)


def _people(*, people: int) -> dict[str, Any]:
    """Return an early and a late half, the last one until after lights-out."""
    keys = [f"p{n}" for n in range(1, people + 1)]
    spans = [(450, 990) if n % 2 == 0 else (780, 1320) for n in range(people)]
    return {
        "people": tuple(Person(key=k, name=k, may_quarantine=n % 4 != 3) for n, k in enumerate(keys)),
        "shifts": tuple(
            Shift(person=k, start=a, end=b, share=0.85) for k, (a, b) in zip(keys, spans, strict=True)
        ),
    }


def _readings(*, dice: random.Random, tanks: tuple[Tank, ...]) -> tuple[Reading, ...]:
    """Return yesterday's readings, and today's of a few tanks, some of them too low."""
    found = [
        Reading(tank=t.key, spot="basking", value_c=40.0, minute=None, on=DAY - dt.timedelta(days=1))
        for t in tanks
    ]
    found += [
        Reading(tank=t.key, spot="basking", value_c=36.0 if dice.random() < 0.3 else 40.0, minute=490, on=DAY)
        for t in tanks
        if dice.random() < 0.05
    ]
    return tuple(found)
