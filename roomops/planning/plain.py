"""Facts as plain values: dictionaries, lists, numbers and words, in a fixed order. Knows no file."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from typing import Any

from roomops.planning.room import Room


@cache
def _names(cls: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(cls))


def plain(value: Any) -> Any:
    """Return a frozen fact as plain values: field names as keys, dates as ISO, tuples as lists."""
    if isinstance(value, Enum):
        return value.value
    if value is None or isinstance(value, (str, int, float)):
        return value
    if isinstance(value, tuple):
        return [plain(part) for part in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {name: plain(getattr(value, name)) for name in _names(type(value))}
    if isinstance(value, dt.date):
        return value.isoformat()
    msg = f"{type(value).__name__} has no plain form"
    raise TypeError(msg)


def digest(room: Room) -> str:
    """Return the SHA-256 of the room's facts in hex: the same facts give the same, whenever they were
    written down.

    ``facts_changed`` is when and not what, so it is left out.
    """
    facts = plain(room)
    del facts["facts_changed"]
    text = json.dumps(facts, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()
