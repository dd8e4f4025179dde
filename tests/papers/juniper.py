"""Juniper Street as room facts by hand, on the real care sheets: what papers are made from in these tests."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from roomops.husbandry.care import CareSheet, StageCare
from roomops.husbandry.care_resolve import resolve
from roomops.husbandry.care_text import parse
from roomops.papers.view import CupLine, LastWord, Saying, SetView, Store
from roomops.planning.first_fit import plan_day
from roomops.planning.plan import Plan
from roomops.planning.room import (
    SCHEMA_VERSION,
    Food,
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
)  # fmt: skip

DAY = dt.date(2026, 6, 9)
CARE = Path(__file__).resolve().parents[2] / "fixtures" / "care"
MARKS = ("one dot", "two dots", "three dots", "bar")
DRAGON, GECKO, CORN, TORTOISE = "bearded dragon", "leopard gecko", "corn snake", "Hermann's tortoise"
STORE = Store(
    vet="Dr. Ana Whitcomb, Marsh Road Animal Clinic",
    vet_phone="(608) 555-0177",
    last_words=(
        LastWord(about="H4 · bar", text="refused feed 3 on June 8: read its basking side before feed 1."),
    ),
)


@cache
def sheets() -> dict[str, CareSheet]:
    found = (parse(text=p.read_text(encoding="utf-8"), file=p.name) for p in sorted(CARE.glob("*.toml")))
    return {sheet.kind: sheet for sheet in found}


@cache
def care(kind: str, stage: str) -> StageCare:
    return resolve(sheet=sheets()[kind], stage=stage, choices={})


def tank(key: str, rack: str, order: int, timer: str = "day", **changes: Any) -> Tank:
    return Tank(**({"key": key.lower(), "name": key, "rack": rack, "order": order, "timer": timer} | changes))


def hatchling(where: str, mark: str, **changes: Any) -> Resident:
    facts = {"key": f"{where} {mark}".lower().replace(" ", "-"), "name": f"{where} · {mark}", "kind": DRAGON,
             "stage": "hatchling", "tank": where.lower(), "status": Status.HERE, "length_mm": 150.0,
             "length_on": DAY, "gap_mm": 7.2}  # fmt: skip
    return Resident(**(facts | changes))


def adult(name: str, kind: str, **changes: Any) -> Resident:
    facts = {"key": name.lower(), "name": name, "kind": kind, "stage": "adult", "tank": name.lower(),
             "status": Status.STORE, "length_mm": 420.0, "gap_mm": 14.0}  # fmt: skip
    return Resident(**(facts | changes))


def food(
    key: str, kind: str, category: str, name: str, size_mm: float | None, on_hand: float, **more: Any
) -> Food:
    return Food(
        key=key, kind=kind, category=category, name=name, size_mm=size_mm, on_hand=on_hand,
        received=DAY - dt.timedelta(days=2), **more,
    )  # fmt: skip


def residents() -> tuple[Resident, ...]:
    marked = tuple(hatchling(f"H{n}", mark) for n in range(1, 11) for mark in MARKS)
    lots = tuple(
        hatchling(f"H{n}", "unmarked", heads=5, lot="may", length_mm=110.0, gap_mm=None)
        for n in range(11, 15)
    )
    grown = (
        adult("Marlow", DRAGON),
        adult("Fennel", DRAGON, gap_mm=None),
        adult("Sorrel", GECKO, length_mm=210.0, gap_mm=12.0),
        adult("Pilot", CORN, girth_mm=28.0, last_fed_on=DAY - dt.timedelta(days=14)),
        adult("Clover", TORTOISE, gap_mm=None),
    )
    apart = (
        hatchling("Q1", "one dot", status=Status.QUARANTINE),
        adult("Nim", GECKO, tank="q2", status=Status.QUARANTINE, gap_mm=11.0),
    )
    return (*marked, *lots, *grown, *apart)


def room(**changes: Any) -> Room:
    living = changes.get("residents", residents())
    facts: dict[str, Any] = {
        "schema": SCHEMA_VERSION,
        "room": "juniper-street",
        "name": "Juniper Street Reptile Room",
        "day": DAY,
        "timezone": "America/Chicago",
        "day_length_min": 1440,
        "settings": Settings(),
        "people": tuple(Person(key=k, name=k.title()) for k in ("tamsin", "oskar", "lupe", "bea")),
        "shifts": (
            Shift(person="tamsin", start=450, end=810, share=0.85),
            Shift(person="oskar", start=450, end=810, share=0.85),
            Shift(person="lupe", start=810, end=1230, share=0.85),
            Shift(person="bea", start=810, end=1230, share=0.85),
        ),
        "peaks": (Span(start=590, end=610, why="doors open"),),
        "timers": (Timer(key="day", on=450, off=1200), Timer(key="late", on=510, off=1170)),
        "racks": (
            Rack(key="a", name="Rack A", order=1),
            Rack(key="b", name="Rack B", order=2),
            Rack(key="c", name="Rack C", order=3),
            Rack(key="q", name="Rack Q", order=4),
        ),
        "tanks": (
            *(tank(f"H{n}", "a" if n <= 7 else "b", n) for n in range(1, 15)),
            tank("Marlow", "c", 1),
            tank("Fennel", "c", 2),
            tank("Sorrel", "c", 3, "late"),
            tank("Pilot", "c", 4, "late"),
            tank("Clover", "c", 5),
            tank("Q1", "q", 1, quarantine=True),
            tank("Q2", "q", 2, "late", quarantine=True),
        ),
        "trays": (
            Tray(key="a", name="Tray A", order=1),
            Tray(key="b", name="Tray B", order=2),
            Tray(key="q", name="Tray Q", order=3, quarantine=True),
        ),
        "tubs": (
            *(Tub(key=f"{t}-{n}", tray=t, number=n, fits_mm=260.0) for t in "ab" for n in range(1, 9)),
            *(Tub(key=f"q-{n}", tray="q", number=n, fits_mm=260.0, quarantine=True) for n in (1, 2)),
        ),
        "residents": living,
        "foods": (
            food("c-1", "cricket", "insect", "Crickets ¼ in", 6.35, 4000),
            food("c-2", "cricket", "insect", "Crickets ⅛ in", 3.2, 3000),
            food("r-1", "roach", "insect", "Roaches ⅜ in", 9.5, 900),
            food("g-1", "collard greens", "greens", "Collard greens", None, 1400, unit="g"),
            food("g-2", "dandelion greens", "greens", "Dandelion greens", None, 700, unit="g"),
            food("m-1", "mouse", "rodent", "Mice, adult", 24.0, 12),
        ),
        "care": tuple(care(*both) for both in sorted({(r.kind, r.stage) for r in living})),
        "readings": (
            Reading(tank="h3", spot="basking", value_c=35.6, minute=440, on=DAY),
            Reading(tank="h1", spot="basking", value_c=40.0, minute=None, on=DAY - dt.timedelta(days=1)),
        ),
        "facts_changed": "2026-06-09T07:05:00-05:00",
    }
    return Room(**(facts | changes))


@cache
def day() -> tuple[Room, Plan]:
    """The ordinary day and its quick plan."""
    facts = room()
    return facts, plan_day(room=facts)


def with_names(facts: Room, name: str) -> Room:
    """The room with every animal and tank called by a long name, ended by its own number."""
    return replace(
        facts,
        residents=tuple(replace(r, name=f"{name} {n}") for n, r in enumerate(facts.residents, start=1)),
        tanks=tuple(replace(t, name=f"{name} {n}") for n, t in enumerate(facts.tanks, start=1)),
    )


def cups_of(view: SetView) -> dict[int, list[str]]:
    """By round number what goes into its cups: the kitchen's table, and the lines of the quarantine sheet."""
    found: dict[int, list[str]] = {}
    for row in (row for sheet in view.sheets for block in sheet.blocks for row in block.rows):
        if isinstance(row, CupLine) and row.what.startswith("Round "):
            found[int(row.what.split()[1].rstrip(":"))] = list(row.amounts)
        if isinstance(row, Saying) and row.lead.startswith("Cups counted, round "):
            found[int(row.lead.split()[3].rstrip(","))] = row.text.split("; ")[:-1]
    return found


def counted(amounts: list[str]) -> int:
    """'64 crickets …' and '2 × collard greens' as a number."""
    return sum(int(amount.split()[0].replace(",", "")) for amount in amounts)
