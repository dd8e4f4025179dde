"""Room and plan files: what is wrong is said in one sentence, the schema holds, a stranger's file is
planned.
"""

from __future__ import annotations

import json
import runpy
import subprocess
import sys
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass, replace
from pathlib import Path
from typing import Any, get_args, get_type_hints

import jsonschema
import pytest

from roomops.planning import codec, first_fit, verify
from roomops.planning.__main__ import main
from roomops.planning.plan import Plan
from roomops.planning.room import Room, Settings
from roomops.planning.shape import LEFT_OUT, NAMED_AFTER
from tests.makers_planning import room
from tests.planning.planted import clean
from tests.rooms import generated

TOP = Path(__file__).parents[2]
EXAMPLE = TOP / "docs/examples/room.json"
SCHEMAS = {
    kind: json.loads((TOP / f"docs/schema/{name}.schema.json").read_text(encoding="utf-8"))
    for kind, name in ((Room, "room-1"), (Plan, "plan-1"))
}


def valid(kind: type, document: object) -> None:
    jsonschema.Draft202012Validator(SCHEMAS[kind]).validate(document)


def example() -> dict[str, Any]:
    document: dict[str, Any] = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    return document


def told(document: object) -> str:
    with pytest.raises(codec.RoomFileError) as wrong:
        codec.parse_room(json.dumps(document))
    return wrong.value.sentences[0]


# ---------------------------------------------------------------- schema


def test_the_schemas_are_schemas() -> None:
    for schema in SCHEMAS.values():
        jsonschema.Draft202012Validator.check_schema(schema)


def test_the_hand_written_example_keeps_to_the_schema_and_is_planned_without_a_breach() -> None:
    valid(Room, example())
    facts = codec.read_room(EXAMPLE)
    plan = first_fit.plan_day(room=facts)
    assert verify.breaches(room=facts, plan=plan) == ()
    assert plan.rounds


def test_the_written_schemas_are_those_of_the_fact_types() -> None:
    """``python docs/schema/make.py`` writes them anew."""
    made = runpy.run_path(str(TOP / "docs/schema/make.py"))
    for kind, schema in SCHEMAS.items():
        assert made["schema"](kind) == schema


@pytest.mark.parametrize("residents", [1, 30, 150])
def test_written_files_keep_to_the_schema(residents: int) -> None:
    facts = generated(residents=residents, people=2, tubs=10, seed=7)
    valid(Room, json.loads(codec.room_text(facts)))
    valid(Plan, json.loads(codec.plan_text(first_fit.plan_day(room=facts))))


def types_in(kind: type, found: dict[str, type]) -> dict[str, type]:
    """Return every fact type that a file of ``kind`` can hold, by name."""
    found[kind.__name__] = kind
    for hint in get_type_hints(kind).values():
        for part in (hint, *get_args(hint)):
            if is_dataclass(part) and part.__name__ not in found:  # type: ignore[union-attr]
                types_in(part, found)  # type: ignore[arg-type]
    return found


@pytest.mark.parametrize("kind", [Room, Plan])
def test_the_schema_knows_every_fact_and_what_may_be_left_out(kind: type) -> None:
    schema = SCHEMAS[kind]
    known = types_in(kind, {})
    assert set(schema["$defs"]) == set(known) - {kind.__name__}
    for name, cls in known.items():
        part = schema if cls is kind else schema["$defs"][name]
        assert set(part["properties"]) - {"$schema"} == {f.name for f in fields(cls)}
        spare = set(LEFT_OUT.get(cls, {})) | {name for name, _ in NAMED_AFTER.get(cls, ())}
        for field in fields(cls):
            if field.default is not MISSING or (field.name in spare and kind is Room):
                assert field.name not in part.get("required", ())


def test_what_the_schema_lets_out_the_reader_lets_out_too() -> None:
    document = example()
    del document["peaks"], document["readings"], document["timezone"]
    for resident in document["residents"]:
        resident.pop("name", None)
    valid(Room, document)
    facts = codec.parse_room(json.dumps(document))
    assert facts.residents[0].name == "h1-1"
    assert (facts.timezone, facts.settings, facts.shifts[0].share) == ("UTC", Settings(), 0.85)


# ---------------------------------------------------------------- what is wrong, in one sentence

Change = Callable[[dict[str, Any]], object]


def put(path: str, value: object) -> Change:
    """Return a change that sets 'residents.0.tank' and the like."""

    def change(document: dict[str, Any]) -> None:
        *way, last = path.split(".")
        at: Any = document
        for part in way:
            at = at[int(part)] if part.isdigit() else at[part]
        at[last] = value

    return change


def twice(path: str, **changes: object) -> Change:
    """Return a change that lists the first row of a list again, with changes."""
    return lambda document: document[path].append(document[path][0] | changes)


SENTENCES: list[tuple[Change, str]] = [
    (put("schema", 2), "This room file has schema 2: this release reads schema 1, so write it anew."),
    (
        lambda d: d.pop("schema"),
        "This room file has no schema number: this release reads schema 1, so write it anew.",
    ),
    (put("day", "June 9"), "day is “June 9”: write a date as in 2026-06-09."),
    (put("colour", "green"), "The file has “colour”, which nothing reads: take it out or mend its name."),
    (
        put("people.0.ky", "o"),
        "people[0] (“oskar”) has “ky”, which nothing reads: take it out or mend its name.",
    ),
    (lambda d: d["tubs"][0].pop("fits_mm"), "tubs[0] (“a1”).fits_mm is missing: write it."),
    (put("tubs.0.fits_mm", "large"), "tubs[0] (“a1”).fits_mm is “large”: write a number."),
    (put("tubs.0.number", 1.5), "tubs[0] (“a1”).number is 1.5: write a whole number."),
    (put("tubs.0.quarantine", "no"), "tubs[0] (“a1”).quarantine is “no”: write true or false."),
    (put("tubs", "none"), "tubs is “none”: write a list in brackets."),
    (put("settings", 3), "settings is 3: write an object in braces."),
    (
        put("residents.0.status", "asleep"),
        (
            "residents[0] (“h1-1”).status is “asleep”: write one of “here”, “quarantine”, “isolated”, "
            "“on hold”, “store animal”, “at vet”, “missing”, “gone home”, “died”, “moved out”."
        ),
    ),
    (put("care.0.feeding.gap_min", [[2]]), "care[0].feeding.gap_min[0] has 1 values: write 2."),
    (
        put("residents.0.tank", "h9"),
        "resident “h1-1” in tank “h9”, which the file does not have: add the tank or mend the code.",
    ),
    (
        twice("residents", tank="h2"),
        "resident “h1-1” is in “h1” and “h2” at once: leave it in the tank where it is.",
    ),
    (twice("residents"), "resident “h1-1” stands 2 times: give each resident a code of its own."),
    (twice("tubs"), "tub “a1” stands 2 times: give each tub a code of its own."),
    (
        put("people.0.key", "os/kar"),
        "person code “os/kar” cannot be used: write it without a slash or outer blanks.",
    ),
    (
        put("tanks.0.rack", "z"),
        "tank “h1” in rack “z”, which the file does not have: add the rack or mend the code.",
    ),
    (
        put("tanks.0.timer", "z"),
        "tank “h1” on timer “z”, which the file does not have: add the timer or mend the code.",
    ),
    (
        put("tubs.0.tray", "z"),
        "tub “a1” on tray “z”, which the file does not have: add the tray or mend the code.",
    ),
    (
        put("shifts.0.person", "bea"),
        "shift of person “bea”, which the file does not have: add the person or mend the code.",
    ),
    (
        put("residents.0.stage", "egg"),
        (
            "resident “h1-1” is “bearded dragon” at stage “egg”, and the file has no care for it: add "
            "or mend it."
        ),
    ),
    (
        put("shifts.0.end", 450),
        "shift of “oskar” ends at minute 450, not after its start at 450: mend one of them.",
    ),
    (
        put("shifts.0.share", 1.2),
        "shift of “oskar” has share 1.2: write a part of the shift between 0 and 1.",
    ),
    (twice("shifts", start=900), "shifts of “oskar” overlap: write them as one, or mend a time."),
    (
        put("timers.0.off", 400),
        "timer “day” is on from 420 to 400: write minutes of the day, on before off.",
    ),
    (
        put("peaks.0.end", 700),
        (
            "peak or absence “noon in the shop” ends at minute 700, not after its start at 720: mend one of "
            "them."
        ),
    ),
    (put("tubs.0.fits_mm", -3), "tub “a1” fits -3 mm: write the longest animal that it serves."),
    (
        put("residents.0.length_mm", -118),
        "resident “h1-1” has length_mm -118: write a measure above 0 or leave it out.",
    ),
    (
        put("residents.0.length_on", "2026-06-10"),
        "resident “h1-1” has length_on 2026-06-10, after the day 2026-06-09: mend the date.",
    ),
    (
        put("residents.0.gap_mm", 30),
        (
            "resident “h1-1” has an eye gap of 30 mm at a length of 118 mm, more than the 14.8 mm that can "
            "be: measure again or mend the unit."
        ),
    ),
    (put("residents.0.heads", 0), "resident “h1-1” has 0 heads: write 1, or the lot's count in this tank."),
    (put("foods.0.on_hand", -1), "food “crickets-june-2” has -1 on hand: write 0 or more."),
    (put("foods.0.size_mm", 0), "food “crickets-june-2” is 0 mm: write a size above 0 or leave it out."),
    (
        put("readings.0.value_c", 110),
        "the basking reading of tank “h1” is 110 °C: write degrees Celsius, or read again.",
    ),
    (put("readings.0.on", "2026-06-10"), "the basking reading of tank “h1” is of 2026-06-10: mend the date."),
    (put("settings", {"wash_min": -1}), "setting wash_min is -1: write 0 or more."),
    (put("settings", {"watch_most": 0}), "setting watch_most is 0: write 1 or more animals."),
    (put("day_length_min", 60), "day_length_min is 60: write 1440, or what a clock change makes of it."),
    (put("now_min", -5), "now_min is -5: write a minute of the day."),
    (twice("care"), "care of “bearded dragon hatchling” stands 2 times: leave the one that holds."),
    (
        put("care.0.feeding.every_days", 0),
        "care of “bearded dragon hatchling” feeds every 0 days: write 1 or more.",
    ),
    (
        put("care.0.feeding.meals.0.slot", 0),
        "care of “bearded dragon hatchling” has a meal in slot 0: number feeds from 1.",
    ),
    (
        put("care.0.feeding.meals.0.kinds", []),
        "care of “bearded dragon hatchling” names no food for feed 1: write the kinds that may be given.",
    ),
    (
        put("care.0.feeding.meals.0.count", -1),
        "care of “bearded dragon hatchling” gives -1 in feed 1: write 0 or more.",
    ),
]


@pytest.mark.parametrize(("change", "sentence"), SENTENCES, ids=[sentence[:50] for _, sentence in SENTENCES])
def test_a_contradiction_is_one_sentence_with_what_which_value_and_what_to_do(
    change: Change, sentence: str
) -> None:
    document = example()
    change(document)
    assert told(document) == sentence


def test_every_contradiction_is_told_at_once() -> None:
    document = example()
    put("shifts.0.end", 450)(document)
    put("tubs.0.fits_mm", -3)(document)
    with pytest.raises(codec.RoomFileError) as wrong:
        codec.parse_room(json.dumps(document))
    assert len(wrong.value.sentences) == 2


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (b"\xff\xfe{", "The file is not UTF-8 text, see byte 0xFF at place 0: save it again as UTF-8."),
        (
            b'{"name": "caf\xe9"}',
            "The file is not UTF-8 text, see byte 0xE9 at place 13: save it again as UTF-8.",
        ),
        (b"", "The file is not JSON at line 1, column 1 (expecting value): mend it there."),
        (
            b'{"schema": 1,}',
            "The file is not JSON at line 1, column 1",
        ),  # releases of Python word it differently
        (b"[1]", "This room file is not an object in braces: begin it with { and a schema number."),
        (b'{"schema": 1, "schema": 1}', "“schema” stands twice in one object: leave the one that holds."),
        (b'{"schema": NaN}', "NaN is no number that can be planned with: write a number."),
        (
            b'{"schema": true}',
            "This room file has schema true: this release reads schema 1, so write it anew.",
        ),
        (b"[" * 100_000, "The file is nested too deeply to be a room or a plan: take another."),
    ],
)
def test_a_broken_file_is_one_sentence(text: bytes, sentence: str) -> None:
    with pytest.raises(codec.RoomFileError) as wrong:
        codec.parse_room(text)
    assert len(wrong.value.sentences) == 1
    assert str(wrong.value).startswith(sentence)


def test_a_file_that_begins_with_a_byte_order_mark_is_read() -> None:
    text = codec.room_text(room())
    assert codec.parse_room(b"\xef\xbb\xbf" + text.encode()) == room()


def test_the_digest_is_of_the_facts_and_not_of_when_they_were_written() -> None:
    facts = room()
    assert codec.digest(replace(facts, facts_changed="2026-06-09T08:00:00-05:00")) == codec.digest(facts)
    assert codec.digest(replace(facts, now_min=1)) != codec.digest(facts)
    assert len(codec.digest(facts)) == 64


# ---------------------------------------------------------------- the two commands


def test_a_day_is_planned_from_a_file_and_verified_against_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["day", str(EXAMPLE)]) == 0
    out, told_people = capsys.readouterr()
    assert codec.parse_plan(out).method == "quick"
    assert told_people.startswith("Juniper Street Reptile Room, 2026-06-09: ")
    plan = tmp_path / "plan.json"
    plan.write_text(out, encoding="utf-8")
    assert main(["verify", str(EXAMPLE), str(plan)]) == 0
    assert capsys.readouterr().out == ""
    assert main(["day", str(EXAMPLE), "--previous", str(plan), "--iterations", "5", "--seed", "2"]) == 0
    assert codec.parse_plan(capsys.readouterr().out).method == "improved"


def test_a_breach_is_listed_and_ends_in_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    facts, plan = clean()
    room_file, plan_file = tmp_path / "room.json", tmp_path / "plan.json"
    room_file.write_text(codec.room_text(replace(facts, now_min=451)), encoding="utf-8")
    plan_file.write_text(codec.plan_text(plan), encoding="utf-8")
    assert main(["verify", str(room_file), str(plan_file)]) == 1
    out, told_people = capsys.readouterr()
    assert out == "breach: in the past: opening-0-t1 (start 450, now 451)\n"
    assert "other facts" in told_people


@pytest.mark.parametrize("command", [["day", "nowhere.json"], ["verify", "nowhere.json", "nowhere.json"]])
def test_a_file_that_cannot_be_read_ends_in_two(
    command: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(command) == 2
    assert (
        "nowhere.json cannot be read (No such file or directory): name another file."
        in capsys.readouterr().err
    )


def test_a_plan_file_that_is_none_ends_in_two(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(EXAMPLE), str(EXAMPLE)]) == 2
    assert (
        capsys.readouterr().err == "The file has “name”, which nothing reads: take it out or mend its name.\n"
    )


def test_planning_runs_without_any_framework() -> None:
    """Neither Django nor a solver is loaded, and nothing that opens a socket or reads a clock of ours."""
    code = (
        "import sys; from roomops.planning.__main__ import main; main(['day', sys.argv[1]]);"
        "bad = {'django', 'celery', 'weasyprint', 'ortools', 'numpy', 'socket'} & set(sys.modules);"
        "sys.exit(f'{sorted(bad)}' if bad else 0)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(EXAMPLE)], capture_output=True, text=True, check=False, cwd=TOP
    )
    assert run.returncode == 0, run.stderr


def test_the_page_on_room_files_names_every_setting_with_its_default() -> None:
    page = (TOP / "docs/room-file.md").read_text(encoding="utf-8")
    rows = [line.split("|")[1:3] for line in page.splitlines() if line.startswith("| `")]
    said = {
        name.strip().strip("`"): float(value)
        for names, values in rows
        for name, value in zip(names.split(","), values.split(","), strict=True)
    }
    assert said == {field.name: getattr(Settings(), field.name) for field in fields(Settings)}


def test_the_page_on_room_files_names_every_fact_of_a_room() -> None:
    page = (TOP / "docs/room-file.md").read_text(encoding="utf-8")
    assert [f.name for f in fields(Room) if f"`{f.name}`" not in page] == []
