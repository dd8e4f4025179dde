"""Plain values into frozen facts, strictly: each wrong value is named with where it stands and what to
write.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from enum import Enum
from functools import cache
from types import UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from roomops.husbandry.care import Feeding, Meal, StageCare, Words
from roomops.planning.room import Food, Person, Rack, Resident, Room, Settings, Shift, Tank, Tray

T = TypeVar("T")
WHOLE = "The file"


class RoomFileError(ValueError):
    """A file that cannot be read or contradicts itself. ``sentences`` says each thing once, plainly."""

    def __init__(self, *sentences: str) -> None:
        super().__init__("\n".join(sentences))
        self.sentences = sentences


LEFT_OUT: Mapping[type, Mapping[str, object]] = {
    Room: {"settings": Settings(), "day_length_min": 1440, "timezone": "UTC"},
    Shift: {"share": 0.85},
    Tank: {"timer": "", "order": 0},
    Rack: {"order": 0},
    Tray: {"order": 0},
    Resident: {"status": "here"},
    Food: {"unit": "each"},
    Meal: {"need": "must", "count": 0},
    Feeding: {"every_days": 1, "watch_min": 15, "most_out_min": 25},
    StageCare: {
        "scientific": "",
        "active": "day",
        "version": "",
        "uv_with_day_lamp": False,
        "group_most": 1,
        "clean_every_days": 1,
        "quarantine_days": 0,
        "words": Words(),
    },
}
"""What a file may leave out beyond what the facts leave open, and what then holds."""

NAMED_AFTER: Mapping[type, tuple[tuple[str, str], ...]] = {
    Room: (("name", "room"),),
    Person: (("name", "key"),),
    Rack: (("name", "key"),),
    Tank: (("name", "key"),),
    Tray: (("name", "key"),),
    Resident: (("name", "key"),),
    Food: (("name", "kind"),),
    StageCare: (("kind_name", "kind"), ("stage_name", "stage")),
}
"""Names that may be left out: the code then stands for the name."""


def shaped(cls: type[T], value: object, *, at: str) -> T:
    """Return plain values as a frozen fact of type ``cls``. Raises RoomFileError with one sentence."""
    made: T = _read(cls, value, at)
    return made


@cache
def _plan_of(cls: type) -> tuple[tuple[Field[Any], Any], ...]:
    hints = get_type_hints(cls)
    return tuple((field, hints[field.name]) for field in fields(cls))


def _read(kind: Any, value: object, at: str) -> Any:
    if get_origin(kind) in (Union, UnionType):
        inner = next(part for part in get_args(kind) if part is not type(None))
        return None if value is None else _read(inner, value, at)
    if get_origin(kind) is tuple:
        return _list(get_args(kind), value, at)
    if is_dataclass(kind):
        return _fact(kind, value, at)
    if issubclass(kind, Enum):
        return _word(kind, value, at)
    return _SIMPLE[kind](value, at)


def _fact(cls: Any, value: object, at: str) -> Any:
    if isinstance(value, cls):
        return value
    if not isinstance(value, dict):
        raise RoomFileError(f"{at or WHOLE} is {_shown(value)}: write an object in braces.")
    names = {field.name for field, _ in _plan_of(cls)}
    for name in value:
        if name not in names:
            raise RoomFileError(
                f"{at or WHOLE} has “{name}”, which nothing reads: take it out or mend its name."
            )
    found = {name: value[source] for name, source in NAMED_AFTER.get(cls, ()) if source in value} | value
    known: dict[str, Any] = {}
    for field, hint in _plan_of(cls):
        where = f"{at}.{field.name}" if at else field.name
        if field.name in found:
            known[field.name] = _read(hint, found[field.name], where)
        else:
            known[field.name] = _left_out(cls, field, hint, where)
    return cls(**known)


def _left_out(cls: type, field: Field[Any], hint: Any, where: str) -> Any:
    if field.default is not MISSING:
        return field.default
    spare = LEFT_OUT.get(cls, {})
    if field.name in spare:
        return _read(hint, spare[field.name], where)
    if get_origin(hint) is tuple:
        return ()
    if get_origin(hint) in (Union, UnionType):
        return None
    raise RoomFileError(f"{where} is missing: write it.")


def _list(parts: tuple[Any, ...], value: object, at: str) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise RoomFileError(f"{at} is {_shown(value)}: write a list in brackets.")
    if parts[-1] is Ellipsis:
        return tuple(_read(parts[0], each, f"{at}[{n}]{_code(each)}") for n, each in enumerate(value))
    if len(value) != len(parts):
        raise RoomFileError(f"{at} has {len(value)} values: write {len(parts)}.")
    return tuple(
        _read(part, each, f"{at}[{n}]") for n, (part, each) in enumerate(zip(parts, value, strict=True))
    )


def _code(value: object) -> str:
    """Name a row by its code, so that a person finds it without counting."""
    key = value.get("key") if isinstance(value, dict) else None
    return f" (“{key}”)" if isinstance(key, str) else ""


def _word(kind: type[Enum], value: object, at: str) -> Enum:
    for member in kind:
        if member.value == value:
            return member
    words = ", ".join(f"“{member.value}”" for member in kind)
    raise RoomFileError(f"{at} is {_shown(value)}: write one of {words}.")


def _text(value: object, at: str) -> str:
    if not isinstance(value, str):
        raise RoomFileError(f"{at} is {_shown(value)}: write text in quotes.")
    return value


def _whole(value: object, at: str) -> int:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value // 1:
        raise RoomFileError(f"{at} is {_shown(value)}: write a whole number.")
    return int(value)


def _number(value: object, at: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise RoomFileError(f"{at} is {_shown(value)}: write a number.")
    return float(value)


def _yes_no(value: object, at: str) -> bool:
    if not isinstance(value, bool):
        raise RoomFileError(f"{at} is {_shown(value)}: write true or false.")
    return value


def _date(value: object, at: str) -> dt.date:
    try:
        return dt.date.fromisoformat(_text(value, at))
    except ValueError as broken:
        raise RoomFileError(f"{at} is {_shown(value)}: write a date as in 2026-06-09.") from broken


_SIMPLE: Mapping[type, Callable[[object, str], Any]] = {
    str: _text,
    int: _whole,
    float: _number,
    bool: _yes_no,
    dt.date: _date,
}


def _shown(value: object) -> str:
    if value is None:
        return "empty"
    if isinstance(value, str):
        return f"“{value}”"
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return "a list"
    return str(value).lower() if isinstance(value, bool) else str(value)
