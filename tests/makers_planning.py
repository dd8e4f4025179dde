"""Small rooms for planning tests: one care stage of each sort, and a room that a test changes with
``replace``.

The numbers are this file's own, chosen round so that a test can be read; the real care sheets are elsewhere.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

from roomops.husbandry.care import Active, Band, Feeding, Meal, Need, Place, PreyBasis, StageCare, Words
from roomops.planning.room import (
    SCHEMA_VERSION,
    Food,
    Person,
    Rack,
    Resident,
    Room,
    Settings,
    Shift,
    Status,
    Tank,
    Timer,
    Tray,
    Tub,
)

DAY = dt.date(2026, 6, 9)
BASES = (
    ("cricket", PreyBasis.LENGTH),
    ("roach", PreyBasis.LENGTH),
    ("waxworm", PreyBasis.WIDTH),
    ("mouse", PreyBasis.GIRTH),
)


def meal(slot: int, **changes: Any) -> Meal:
    base = Meal(
        slot=slot,
        need=Need.SHOULD if slot > 2 else Need.MUST,
        category="insect",
        kinds=("cricket", "roach"),
        count=8,
        dusted=slot == 1,
        powder="calcium" if slot == 1 else "",
    )
    return replace(base, **changes)


def greens(slot: int, **changes: Any) -> Meal:
    return meal(
        slot, category="greens", kinds=("greens",), count=0, dusted=False, powder="", watched=False, **changes
    )


def feeding(**changes: Any) -> Feeding:
    base = Feeding(
        place=Place.TUB,
        every_days=1,
        meals=(meal(1), meal(2), meal(3)),
        opens_after_on_min=60,
        closes_before_off_min=120,
        opens_after_off_min=None,
        closes_after_off_min=None,
        gap_min=((2, 240), (3, 180)),
        watch_min=15,
        most_out_min=25,
        prey_basis=BASES,
    )
    return replace(base, **changes)


def care(**changes: Any) -> StageCare:
    base = StageCare(
        kind="bearded-dragon",
        stage="hatchling",
        kind_name="Bearded dragon",
        stage_name="hatchling",
        scientific="Pogona vitticeps",
        active=Active.DAY,
        version="00000000",
        basking_c=Band(low=38.0, high=43.0, act_below=35.0, act_above=46.0),
        cool_c=Band(low=27.0, high=32.0),
        night_c=Band(low=21.0, high=26.0),
        humidity_pct=None,
        uvi=None,
        uv_with_day_lamp=True,
        photoperiod_h=None,
        feeding=feeding(),
        group_most=5,
        floor_cm2=2000.0,
        weigh_every_days=7,
        vet_every_days=None,
        clean_every_days=1,
        gap_per_length=0.08,
        quarantine_days=30,
        cited=(),
        words=Words(),
    )
    return replace(base, **changes)


HATCHLING = care()
ADULT = care(
    stage="adult",
    stage_name="adult",
    feeding=feeding(
        place=Place.TANK,
        meals=(greens(1), meal(2, need=Need.SHOULD, count=10)),
        watch_min=0,
    ),
    group_most=1,
)
GECKO = care(
    kind="leopard-gecko",
    kind_name="Leopard gecko",
    scientific="Eublepharis macularius",
    stage="adult",
    stage_name="adult",
    active=Active.NIGHT,
    basking_c=None,
    feeding=feeding(
        place=Place.TANK,
        meals=(meal(1, count=5),),
        every_days=2,
        opens_after_on_min=None,
        closes_before_off_min=None,
        opens_after_off_min=0,
        closes_after_off_min=180,
        watch_min=0,
    ),
)
SNAKE = care(
    kind="corn-snake",
    kind_name="Corn snake",
    scientific="Pantherophis guttatus",
    stage="adult",
    stage_name="adult",
    feeding=feeding(
        place=Place.TANK,
        meals=(meal(1, category="rodent", kinds=("mouse",), count=1, dusted=False, powder=""),),
        every_days=7,
        watch_min=0,
    ),
)
TORTOISE = care(
    kind="hermanns-tortoise",
    kind_name="Hermann's tortoise",
    scientific="Testudo hermanni",
    stage="juvenile",
    stage_name="juvenile",
    feeding=feeding(place=Place.TANK, meals=(greens(1), greens(2, need=Need.SHOULD)), watch_min=0),
)
SHEETS = (HATCHLING, ADULT, GECKO, SNAKE, TORTOISE)


def hatchling(key: str, tank: str = "t1", **changes: Any) -> Resident:
    base = Resident(
        key=key,
        name=key,
        kind="bearded-dragon",
        stage="hatchling",
        tank=tank,
        status=Status.HERE,
        length_mm=120.0,
        weight_on=DAY,
    )
    return replace(base, **changes)


def resident(sheet: StageCare, key: str, tank: str, **changes: Any) -> Resident:
    return hatchling(key, tank, kind=sheet.kind, stage=sheet.stage, **{"length_mm": 400.0, **changes})


def tank(key: str, order: int = 1, **changes: Any) -> Tank:
    return replace(Tank(key=key, name=key.upper(), rack="r1", order=order, timer="day"), **changes)


def tray(
    key: str, tubs: int, *, fits_mm: float = 160.0, quarantine: bool = False
) -> tuple[Tray, tuple[Tub, ...]]:
    made = tuple(
        Tub(key=f"{key}{n}", tray=key, number=n, fits_mm=fits_mm, quarantine=quarantine)
        for n in range(1, tubs + 1)
    )
    return Tray(key=key, name=f"Tray {key}", order=ord(key[0]), quarantine=quarantine), made


def food(key: str, kind: str = "cricket", **changes: Any) -> Food:
    base = Food(
        key=key,
        kind=kind,
        category="insect",
        name=kind,
        size_mm=6.0,
        received=DAY - dt.timedelta(days=3),
        on_hand=5000.0,
    )
    return replace(base, **changes)


GREENS = food("greens-1", "greens", category="greens", size_mm=None, on_hand=40.0, unit="cup")
MICE = food("mice-1", "mouse", category="rodent", size_mm=18.0, on_hand=30.0)


def room(**changes: Any) -> Room:
    """Return four hatchlings in one tank, a tray of eight, one person from 8:00 to 18:00; lamps 7:00 to
    20:00.
    """
    tray_a, tubs_a = tray("a", 8)
    base = Room(
        schema=SCHEMA_VERSION,
        room="juniper-street",
        name="Juniper Street Reptile Room",
        day=DAY,
        timezone="America/Chicago",
        day_length_min=1440,
        settings=Settings(),
        people=(Person(key="p1", name="Oskar"),),
        shifts=(Shift(person="p1", start=480, end=1080, share=0.85),),
        peaks=(),
        timers=(Timer(key="day", on=420, off=1200),),
        racks=(Rack(key="r1", name="Rack A", order=1),),
        tanks=(tank("t1"),),
        trays=(tray_a,),
        tubs=tubs_a,
        residents=tuple(hatchling(f"h{n}") for n in range(1, 5)),
        foods=(food("crickets-1"), GREENS),
        care=SHEETS,
    )
    return replace(base, **changes)


def people(count: int, *, start: int = 480, end: int = 1080, share: float = 0.85) -> dict[str, Any]:
    """Return the people and shifts of a room, to be given to ``room(**people(3))``."""
    keys = [f"p{n}" for n in range(1, count + 1)]
    return {
        "people": tuple(Person(key=k, name=k) for k in keys),
        "shifts": tuple(Shift(person=k, start=start, end=end, share=share) for k in keys),
    }
