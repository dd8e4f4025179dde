"""For whom a sentence is worded, and any number of a typed reason by its name."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from roomops.husbandry.units import System
from roomops.papers.amounts import (
    clock_words,
    count_words,
    exact_words,
    minutes_words,
    plain,
    temperature_words,
    weight_words,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """Units, and the day and zone that clock times belong to."""

    units: str = System.US
    day: dt.date
    timezone: str

    def clock(self, minute: float) -> str:
        """'8:45 am'."""
        return clock_words(minute=minute, day=self.day, timezone=self.timezone)


_BY_SUFFIX: tuple[tuple[str, Callable[[float, Reader], str]], ...] = (
    ("_at", lambda n, who: who.clock(n)),
    ("_min", lambda n, _: minutes_words(n)),
    ("_mm", lambda n, who: exact_words(mm=n, units=who.units)),
    ("_c", lambda n, who: temperature_words(celsius=n, units=who.units)),
    ("_g", lambda n, _: weight_words(n)),
    ("_h", lambda n, _: f"{plain(n)} h"),
    ("_days", lambda n, _: count_words(n, "day")),
    ("_pct", lambda n, _: f"{plain(n)} %"),
)
_CLOCKS = frozenset({"opens", "closes", "start", "end"})


def number_words(*, name: str, number: float, reader: Reader) -> str:
    """'free 25 min' of ('free_min', 25): the name's last part is its unit."""
    if name in _CLOCKS:
        return f"{name} {reader.clock(number)}"
    for suffix, word in _BY_SUFFIX:
        if name.endswith(suffix):
            return f"{name.removesuffix(suffix).replace('_', ' ')} {word(number, reader)}".strip()
    return f"{name.replace('_', ' ')} {plain(number)}"


def numbers_words(*, numbers: tuple[tuple[str, float], ...], reader: Reader) -> str:
    """All numbers of a reason in a row; '' without any."""
    return ", ".join(number_words(name=n, number=v, reader=reader) for n, v in numbers)
