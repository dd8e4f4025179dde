"""Every stage of every care sheet is planned for a week: what the sheets say is what planning can read."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import jsonschema
import pytest

from roomops.husbandry.care import CareSheet, StageCare
from roomops.husbandry.care_resolve import resolve
from roomops.husbandry.care_text import parse
from roomops.husbandry.care_topics import FOODS
from roomops.planning import codec, first_fit, verify
from roomops.planning.plan import Why
from roomops.planning.room import DutyKind, Resident, Room, Shift, Tank, Timer
from tests.makers_planning import DAY, food, people, resident, room, tank, tray

TOP = Path(__file__).parents[2]
FILES = sorted((TOP / "fixtures/care").glob("*.toml"))


def sheet(file: Path) -> CareSheet:
    return parse(text=file.read_text(encoding="utf-8"), file=file.name)


def shelf() -> tuple:
    """Return a batch of every food that a sheet may name, small enough for the smallest of these animals."""
    return tuple(
        food(
            f"{category}-{n}",
            kind,
            category=category,
            size_mm=None if category == "greens" else 3.0,
            on_hand=9000.0,
        )
        for category, kinds in FOODS.items()
        for n, kind in enumerate(kinds)
    )


def housed(file: Path, **changes: object) -> Room:
    """Return a room with two animals of each stage of a sheet, a tank a stage, people from dawn to night."""
    stages: list[StageCare] = [
        resolve(sheet=sheet(file), stage=s.key, choices={}) for s in sheet(file).stages
    ]
    tanks: list[Tank] = []
    living: list[Resident] = []
    for n, care in enumerate(stages, start=1):
        tanks.append(tank(f"t{n}", n))
        living += [
            resident(care, f"a{n}-{m}", f"t{n}", length_mm=140.0, gap_mm=8.0, girth_mm=20.0) for m in (1, 2)
        ]
    tray_a, tubs = tray("a", 8, fits_mm=200.0)
    staff = people(2)
    staff["shifts"] = (
        Shift(person="p1", start=420, end=960, share=0.85),
        Shift(person="p2", start=840, end=1380, share=0.85),
    )
    base = room(
        tanks=tuple(tanks),
        residents=tuple(living),
        care=tuple(stages),
        foods=shelf(),
        trays=(tray_a,),
        tubs=tubs,
        timers=(Timer(key="day", on=420, off=1200),),
        **staff,
    )
    return replace(base, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize("file", FILES, ids=[f.stem for f in FILES])
def test_every_stage_of_a_sheet_is_fed_on_each_day_of_a_week(file: Path) -> None:
    fed: set[str] = set()
    for ahead in range(7):
        facts = housed(file, day=DAY + timedelta(days=ahead))
        plan = first_fit.plan_day(room=facts)
        assert verify.breaches(room=facts, plan=plan) == ()
        assert [s for s in plan.unplaced if s.why not in {Why.NO_TIME, Why.GAP_TOO_SHORT}] == []
        assert plan.scores.must == 0
        planned = {key for r in plan.rounds for key in r.duties}
        fed |= {d.tank for d in plan.duties if d.kind is DutyKind.FEED and d.key in planned}
    assert fed == {t.key for t in facts.tanks}


@pytest.mark.parametrize("file", FILES, ids=[f.stem for f in FILES])
def test_a_sheet_travels_whole_in_a_room_file(file: Path) -> None:
    facts = housed(file)
    text = codec.room_text(facts)
    assert codec.parse_room(text) == facts
    schema = json.loads((TOP / "docs/schema/room-1.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(json.loads(text))
