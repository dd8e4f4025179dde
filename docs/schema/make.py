"""Write the JSON Schemas of room and plan files from the fact types: ``python docs/schema/make.py``.

A test holds the written files against this, so that a new fact cannot be forgotten.
"""

from __future__ import annotations

import datetime as dt
import json
import sys
from collections.abc import Iterator
from dataclasses import MISSING, Field, fields, is_dataclass
from enum import Enum
from pathlib import Path
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parents[1]))

from roomops.planning.plain import plain  # noqa: E402
from roomops.planning.plan import Plan  # noqa: E402
from roomops.planning.room import Room  # noqa: E402
from roomops.planning.shape import LEFT_OUT, NAMED_AFTER  # noqa: E402

ROOM_TEXT = (
    "The facts of one reptile room on one day, from which the day is planned. Times are minutes elapsed "
    "since local midnight; lengths in mm, weights in g, temperatures in degrees Celsius. How to write one by "
    "hand: docs/room-file.md."
)
PLAN_TEXT = (
    "One day's work of a reptile room: its duties, rounds in order, and what did not fit and why. Minutes as "
    "in the room file."
)
TITLES = {
    Room: ("room-1", "Roomops room file, version 1", ROOM_TEXT),
    Plan: ("plan-1", "Roomops plan file, version 1", PLAN_TEXT),
}
SAID = {
    "Arriving.on": "Its tanks run warm the day before.",
    "Arriving.tanks": "Codes of the tanks made ready for it.",
    "Begun.person_free": "Minute of the day.",
    "Begun.start": "When its animals began to eat.",
    "Begun.tubs_free": "When its tubs are washed and dry.",
    "Done.duty": "day/kind/subject/slot, as in a plan.",
    "Done.outcome": "done, ate, left, refused or not here.",
    "Duty.key": "day/kind/subject/slot: survives every re-planning.",
    "Duty.people": "Hands that its animal takes. Only one person is planned; the second is asked for.",
    "Duty.minutes": "Of one person's hands when done alone.",
    "Feeding.gap_min": "Pairs: feeds a day, least minutes from the start of one to the start of the next.",
    "Feeding.most_out_min": "Most minutes of one animal out of its heat.",
    "Feeding.place": "tub: each head alone in a feeding tub; tank: where it lives.",
    "Feeding.prey_basis": "Pairs of food kind and length, width or girth.",
    "Feeding.prey_share": "Largest prey as a share of the gap between the eyes or of the widest part.",
    "Feeding.watch_min": "Minutes of watching a feed in tubs, and live prey in a tank.",
    "Food.category": "insect, greens or rodent.",
    "Food.size_mm": "What the prey rule is held against: length, or width for soft larvae and rodents.",
    "Lamp.blown": "To be replaced today.",
    "Lamp.due": "When its rule ends it; empty where no rule or date is known.",
    "Lamp.kind": "day, uv or night.",
    "LastDone.on": "Before today.",
    "LastDone.slot": "As in its duty: of water 1 is the tests, 2 the part change, 3 the filter.",
    "LastDone.subject": "Code of the tank.",
    "Medicine.resident": "Code of the resident.",
    "Medicine.times": "Doses a day, spread over the hours of its lamps.",
    "Meal.count": "Insects or rodents for one head; 0 for a cup of greens.",
    "Meal.counts": "Pairs of food kind and count, where kinds differ.",
    "Meal.kinds": "Food kinds, best first.",
    "Meal.slot": "Number of the feed in the day, from 1.",
    "Meal.weekdays": "ISO weekdays, Monday is 1; empty: every feeding day.",
    "Outage.began": "Minute of today; 0 when it began before.",
    "Outage.kind": "power, heat or hot.",
    "Outdoors.owed": "Codes of the residents that are owed a session.",
    "Outdoors.pens": "Codes of the pens: so many animals are out at once.",
    "Outdoors.session_min": "Minutes in the sun, beside carrying out and back.",
    "Outdoors.windows": "When the sun is fit.",
    "Person.key": "Code, or pseudonym, of the person.",
    "Person.may_quarantine": "Whether the person serves quarantine.",
    "Plan.facts": "SHA-256 of the room facts that the plan answers.",
    "Plan.method": "quick, improved or plain.",
    "Portion.food": "Code of the batch; empty where no shelf is kept or nothing fits.",
    "Reading.minute": "Minute of the day; empty for an earlier day.",
    "Reading.spot": "basking, cool or night low.",
    "Resident.gap_mm": "Gap between the eyes: holds the size of insects.",
    "Resident.girth_mm": "Widest part, measured across: holds the size of rodents.",
    "Resident.heads": "1, or the count of a lot in this tank.",
    "Resident.key": "Code of the animal, or of the lot's part in this tank.",
    "Resident.last_fed_on": "For kinds that are not fed daily.",
    "Resident.length_mm": "Total length, snout to tail tip.",
    "Resident.weight_on": "Never weighed, or weighed so many days ago as its care says: weighed today.",
    "Room.arriving": "Lots that are expected.",
    "Room.begun": "Rounds under way.",
    "Room.care": "Care in base units, one for each kind and stage that lives here.",
    "Room.day": "The day to plan.",
    "Room.day_length_min": "Minutes of this day: 1440, or 1380 and 1500 where the clock changes.",
    "Room.done": "Duties settled today: not planned again, and later feeds keep their gap from them.",
    "Room.facts_changed": "When a fact last changed, as ISO time.",
    "Room.lamps": "Lamps and heaters, for what is to be replaced.",
    "Room.medicines": "What the vet ordered, as it holds today.",
    "Room.now_min": "Nothing is planned to begin before this minute. 0 plans the whole day.",
    "Room.outage": "Heat or power that failed and is not back: no feeds, checks every half hour.",
    "Room.outdoors": "Today's chance of natural sun.",
    "Room.peaks": "When the shop needs everybody (no person), or somebody is away (with a person).",
    "Room.room": "Code of the room.",
    "Room.timezone": "IANA name. Minutes are elapsed since local midnight, so planning does not need it.",
    "Room.upkeep": "Work that returns by days, when it was last done before today.",
    "Round.number": "Its place in the day, from 1.",
    "Shift.end": "Minute of the day.",
    "Shift.share": "Part of the shift that may be planned; the rest is the shop's.",
    "Shift.start": "Minute of the day.",
    "Shortfall.numbers": "Pairs of a name and a number.",
    "StageCare.basking_c": "Feeds wait while the basking side last read below its low.",
    "StageCare.gap_per_length": "Eye gap as a share of total length, where it was not measured.",
    "Tank.order": "Place in the walk along its rack.",
    "Tank.quarantine": "Served last, with tubs of its own.",
    "Tank.timer": "Code of the lamp timer; empty where there is none.",
    "Timer.off": "Lamps out, minute of the day.",
    "Timer.on": "Lamps on, minute of the day.",
    "Tub.fits_mm": "Longest animal that it serves, total length in mm.",
    "Tub.number": "Place on the tray.",
    "Tub.quarantine": "Serves quarantine alone.",
}
ABOVE_0 = (
    "Food.size_mm",
    "Resident.gap_mm",
    "Resident.girth_mm",
    "Resident.length_mm",
    "Resident.weight_g",
    "Tub.fits_mm",
)
FROM_0 = ("Food.on_hand", "Meal.count", "Outage.began", "Room.now_min", "Shift.start", "Timer.on")
FROM_1 = (
    "Feeding.every_days",
    "Meal.slot",
    "Medicine.times",
    "Outdoors.session_min",
    "Resident.heads",
    "Settings.watch_most",
)
LIMITS: dict[str, dict[str, object]] = {
    **{where: {"exclusiveMinimum": 0} for where in ABOVE_0},
    **{where: {"minimum": 0} for where in FROM_0},
    **{where: {"minimum": 1} for where in FROM_1},
    "Shift.share": {"minimum": 0, "maximum": 1},
}
CODED = {"Arriving", "Food", "Lamp", "Medicine", "Person", "Rack", "Resident", "Tank", "Timer", "Tray", "Tub"}
CODE = {"pattern": r"^[^/\s]([^/]*[^/\s])?$"}
SIMPLE: dict[type, dict[str, Any]] = {
    str: {"type": "string"},
    int: {"type": "integer"},
    float: {"type": "number"},
    bool: {"type": "boolean"},
    dt.date: {"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$"},
}


def schema(kind: type) -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a room or plan file."""
    parts: dict[str, Any] = {}
    top = _object(kind, parts)
    _, title, text = TITLES[kind]
    top["properties"] = {"$schema": {"type": "string"}, **top["properties"]}
    draft = "https://json-schema.org/draft/2020-12/schema"
    return {
        "$schema": draft,
        "title": title,
        "description": text,
        **top,
        "$defs": {k: parts[k] for k in sorted(parts)},
    }


def text(kind: type) -> str:
    return json.dumps(schema(kind), indent=2, ensure_ascii=False) + "\n"


def _object(kind: Any, parts: dict[str, Any]) -> dict[str, Any]:
    hints = get_type_hints(kind)
    named = dict(NAMED_AFTER.get(kind, ()))
    known: dict[str, Any] = {}
    for field in fields(kind):
        known[field.name] = _value(hints[field.name], parts) | dict(_besides(kind, field, named))
    if "schema" in known:
        known["schema"] = {"const": 1, "description": "Version of this format."}
    must = [f.name for f in fields(kind) if not _may_be_left_out(kind, f, hints[f.name], named)]
    needed = {"required": must} if must else {}
    return {"type": "object", "additionalProperties": False, **needed, "properties": known}


def _besides(kind: type, field: Field[Any], named: dict[str, str]) -> Iterator[tuple[str, object]]:
    where = f"{kind.__name__}.{field.name}"
    if kind.__name__ == "Settings":
        yield "minimum", 0
    yield from LIMITS.get(where, {}).items()
    if where == "Room.room" or (field.name == "key" and kind.__name__ in CODED):
        yield from CODE.items()
    default = LEFT_OUT.get(kind, {}).get(field.name, field.default)
    if default is not MISSING and default not in {None, "", ()} and not is_dataclass(default):
        yield "default", plain(default)
    if where in SAID:
        yield "description", SAID[where]
    elif field.name in named:
        yield "description", f"Name for people; where it is left out, the {named[field.name]}."


def _may_be_left_out(kind: type, field: Field[Any], hint: Any, named: dict[str, str]) -> bool:
    if field.default is not MISSING or get_origin(hint) in {tuple, Union, UnionType}:
        return True
    return field.name in LEFT_OUT.get(kind, {}) or field.name in named


def _value(hint: Any, parts: dict[str, Any]) -> dict[str, Any]:
    if get_origin(hint) in {Union, UnionType}:
        inner = _value(next(a for a in get_args(hint) if a is not type(None)), parts)
        return _or_empty(inner)
    if get_origin(hint) is tuple:
        return _list(get_args(hint), parts)
    if is_dataclass(hint):
        name = hint.__name__  # type: ignore[union-attr]
        if name not in parts:
            parts[name] = {}
            parts[name] = _object(hint, parts)
        return {"$ref": f"#/$defs/{name}"}
    if issubclass(hint, Enum):
        return {"type": "string", "enum": [member.value for member in hint]}
    return dict(SIMPLE[hint])


def _or_empty(inner: dict[str, Any]) -> dict[str, Any]:
    if "$ref" in inner:
        return {"anyOf": [inner, {"type": "null"}]}
    words = {"enum": [*inner["enum"], None]} if "enum" in inner else {}
    return inner | {"type": [inner["type"], "null"]} | words


def _list(inner: tuple[Any, ...], parts: dict[str, Any]) -> dict[str, Any]:
    if inner[-1] is Ellipsis:
        return {"type": "array", "items": _value(inner[0], parts)}
    each = [_value(part, parts) for part in inner]
    return {"type": "array", "prefixItems": each, "minItems": len(each), "maxItems": len(each)}


if __name__ == "__main__":
    for kind, (name, _, _) in TITLES.items():
        (HERE / f"{name}.schema.json").write_text(text(kind), encoding="utf-8")
