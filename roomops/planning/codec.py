"""Room and plan files: versioned JSON in UTF-8. Only this module and ``__main__`` touch a file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from roomops.planning.checks import contradictions
from roomops.planning.plain import digest, plain
from roomops.planning.plan import Plan
from roomops.planning.room import SCHEMA_VERSION, Room
from roomops.planning.shape import RoomFileError, shaped

__all__ = [
    "RoomFileError",
    "digest",
    "parse_plan",
    "parse_room",
    "plan_from_document",
    "plan_text",
    "plan_to_document",
    "read_plan",
    "read_room",
    "room_from_document",
    "room_text",
    "room_to_document",
]


def room_to_document(room: Room) -> dict[str, Any]:
    """Return a room as plain values, ready for JSON; every field is there."""
    document: dict[str, Any] = plain(room)
    return document


def plan_to_document(plan: Plan) -> dict[str, Any]:
    """Return a plan as plain values, ready for JSON; every field is there."""
    document: dict[str, Any] = plain(plan)
    return document


def room_text(room: Room) -> str:
    """Return a room file's text. Reading it back gives an equal room."""
    return _text(room_to_document(room))


def plan_text(plan: Plan) -> str:
    """Return a plan file's text. Reading it back gives an equal plan."""
    return _text(plan_to_document(plan))


def room_from_document(document: object) -> Room:
    """Return the room of plain values, checked for contradictions. Raises RoomFileError."""
    _versioned(document, what="room file")
    room = shaped(Room, document, at="")
    wrong = contradictions(room=room)
    if wrong:
        raise RoomFileError(*wrong)
    return room


def plan_from_document(document: object) -> Plan:
    """Return the plan of plain values. Raises RoomFileError; whether the plan is a good one is for
    ``verify``.
    """
    _versioned(document, what="plan file")
    return shaped(Plan, document, at="")


def parse_room(text: str | bytes) -> Room:
    """Return the room of a file's text. Raises RoomFileError with one clear sentence for each thing wrong."""
    document = _document(text)
    if isinstance(document, dict):
        document.pop("$schema", None)
    return room_from_document(document)


def parse_plan(text: str | bytes) -> Plan:
    """Return the plan of a file's text. Raises RoomFileError."""
    document = _document(text)
    if isinstance(document, dict):
        document.pop("$schema", None)
    return plan_from_document(document)


def read_room(path: Path) -> Room:
    """Return the room in a file. Raises RoomFileError, and OSError where the file cannot be opened."""
    return parse_room(path.read_bytes())


def read_plan(path: Path) -> Plan:
    """Return the plan in a file. Raises RoomFileError, and OSError where the file cannot be opened."""
    return parse_plan(path.read_bytes())


def _text(document: dict[str, Any]) -> str:
    return json.dumps(document, ensure_ascii=False, indent=1) + "\n"


def _versioned(document: object, *, what: str) -> None:
    if not isinstance(document, dict):
        raise RoomFileError(f"This {what} is not an object in braces: begin it with {{ and a schema number.")
    schema = document.get("schema")
    if schema != SCHEMA_VERSION or isinstance(schema, bool):
        said = "no schema number" if schema is None else f"schema {json.dumps(schema)}"
        raise RoomFileError(
            f"This {what} has {said}: this release reads schema {SCHEMA_VERSION}, so write it anew."
        )


def _document(text: str | bytes) -> object:
    if isinstance(text, bytes):
        try:
            text = text.decode("utf-8-sig")
        except UnicodeDecodeError as broken:
            byte = f"byte 0x{broken.object[broken.start]:02X} at place {broken.start}"
            raise RoomFileError(
                f"The file is not UTF-8 text, see {byte}: save it again as UTF-8."
            ) from broken
    try:
        document: object = json.loads(text, object_pairs_hook=_once, parse_constant=_no_constant)
    except json.JSONDecodeError as broken:
        where = f"line {broken.lineno}, column {broken.colno}"
        raise RoomFileError(
            f"The file is not JSON at {where} ({broken.msg.lower()}): mend it there."
        ) from broken
    except RecursionError as broken:
        raise RoomFileError("The file is nested too deeply to be a room or a plan: take another.") from broken
    return document


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found: dict[str, object] = {}
    for name, value in pairs:
        if name in found:
            raise RoomFileError(f"“{name}” stands twice in one object: leave the one that holds.")
        found[name] = value
    return found


def _no_constant(name: str) -> object:
    raise RoomFileError(f"{name} is no number that can be planned with: write a number.")
