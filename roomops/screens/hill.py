"""The hill of the ribbon: the basking side through the day. Expected is dashed, measured is solid.

What is expected is the middle of the care sheet's bands for the kind with the most heads, with a soft warm-up
after lights-on: a drawing aid, no forecast (from memory: a lit basking place warms in well under an hour).
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from statistics import median
from typing import Protocol

from roomops.desk.day_types import Day, LastReading, Period
from roomops.husbandry.care import StageCare
from roomops.papers import words
from roomops.planning.room import FED

NIGHT_Y, DAY_Y, GROUND = 90.0, 24.0, 100.0  # of a drawing 1000 wide and 102 tall
WARM_UP_MIN = 25.0
STEP = 10  # of 1000
TOP_REM, TALL_REM = 1.5, 4.4
BIN_MIN = 30


class Line(Protocol):
    """The ribbon's axis."""

    start: datetime
    end: datetime

    def x(self, at: datetime) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """One reading: percent, rem."""

    x: float
    y: float
    off: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Hill:
    area: str  # SVG paths
    expected: str
    measured: str  # '' where fewer than two half-hours were read
    dots: tuple[Dot, ...]
    band: str  # '100–110 °F expected on the basking side'
    left: float | None  # of the words, percent; None: they stand on the right
    right: float
    night: str  # '74 °F', 'not read'
    short: str  # '9 tanks read: 96 to 107 °F'
    said: str  # the same with its time: '9 tanks read 12:40 to 12:56 pm: 96 to 107 °F'


def hill_of(day: Day, *, axis: Line, reader: words.Reader, words_left: bool) -> Hill | None:
    """The hill of the kind with the most heads; None where no care sheet gives a basking band."""
    care = _leading(day)
    if care is None or care.basking_c is None:
        return None
    period = _period_of(day, care)
    low = _night_c(care)
    high = (care.basking_c.low + care.basking_c.high) / 2
    if period is None or high <= low:
        return None
    curve = [(x, _y(_expected(axis, period, x, low, high), low, high)) for x in range(0, 1001, STEP)]
    path = "M" + " L".join(f"{x} {y:.1f}" for x, y in curve)
    read = _read_today(day, care)
    return Hill(
        area=f"{path} L1000 {GROUND:g} L0 {GROUND:g}Z",
        expected=path,
        measured=_measured(axis, read, low, high),
        dots=tuple(_dot(axis, each, low, high) for each in read),
        band=f"{_band(care, reader)} expected",
        left=round(axis.x(period.on) + 9, 2) if words_left else None,
        right=round(100 - min(axis.x(period.off) - 2, 98), 2),
        night=_night_words(day, care, reader),
        short=_read_words(day, care, read, "", reader),
        said=_read_words(day, care, read, _when(read), reader),
    )


# ---------------------------------------------------------------- which animals


def _leading(day: Day) -> StageCare | None:
    heads: Counter[tuple[str, str]] = Counter()
    for resident in day.facts.residents:
        if resident.status in FED:
            heads[resident.kind, resident.stage] += resident.heads
    with_band = [care for care in day.facts.care if care.basking_c is not None]
    return max(with_band, key=lambda care: heads[care.kind, care.stage], default=None)


def _tanks_of(day: Day, care: StageCare) -> frozenset[str]:
    mine = (r for r in day.facts.residents if (r.kind, r.stage) == (care.kind, care.stage))
    return frozenset(resident.tank for resident in mine)


def _period_of(day: Day, care: StageCare) -> Period | None:
    tanks = _tanks_of(day, care)
    timers = Counter(tank.timer for tank in day.facts.tanks if tank.key in tanks)
    found = [period for period in day.periods if timers[period.timer]]
    return max(found, key=lambda period: timers[period.timer], default=None)


# ---------------------------------------------------------------- expected


def _night_c(care: StageCare) -> float:
    band = care.night_c or care.cool_c
    return (band.low + band.high) / 2 if band else 24.0


def _expected(axis: Line, period: Period, x: int, low: float, high: float) -> float:
    start, end = axis.start.timestamp(), axis.end.timestamp()
    at = start + (end - start) * x / 1000
    on, off = period.on.timestamp(), period.off.timestamp()
    if at < on:
        return low
    if at <= off:
        return low + (high - low) * (1 - math.exp(-(at - on) / 60 / WARM_UP_MIN))
    return low + (high - low) * math.exp(-(at - off) / 60 / (2 * WARM_UP_MIN))


def _y(celsius: float, low: float, high: float) -> float:
    share = (celsius - low) / (high - low)
    return min(98.0, max(4.0, NIGHT_Y - share * (NIGHT_Y - DAY_Y)))


def _band(care: StageCare, reader: words.Reader) -> str:
    return f"{words.band_words(band=care.basking_c, units=reader.units)} {words.degree_unit(reader.units)}"


# ---------------------------------------------------------------- measured


def _read_today(day: Day, care: StageCare) -> tuple[LastReading, ...]:
    tanks = _tanks_of(day, care)
    mine = [r for r in day.readings if r.tank in tanks and r.spot == "basking" and r.at is not None]
    return tuple(sorted(mine, key=lambda r: (r.at.timestamp() if r.at else 0.0, r.tank)))


def _dot(axis: Line, reading: LastReading, low: float, high: float) -> Dot:
    y = _y(reading.value_c, low, high)
    return Dot(
        x=axis.x(reading.at or axis.start), y=round(TOP_REM + TALL_REM * y / 102, 2), off=bool(reading.out)
    )


def _measured(axis: Line, read: tuple[LastReading, ...], low: float, high: float) -> str:
    """A solid line through the middle of each half-hour that was read; no line out of one of them alone."""
    bins: dict[int, list[LastReading]] = {}
    for each in read:
        if each.at:
            bins.setdefault(int(each.at.timestamp() // (60 * BIN_MIN)), []).append(each)
    if len(bins) < 2:
        return ""
    points = [
        (median(axis.x(r.at) * 10 for r in rows if r.at), _y(median(r.value_c for r in rows), low, high))
        for _, rows in sorted(bins.items())
    ]
    return "M" + " L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _night_words(day: Day, care: StageCare, reader: words.Reader) -> str:
    tanks = _tanks_of(day, care)
    lows = [r.value_c for r in day.readings if r.tank in tanks and r.spot == "night low" and r.at is not None]
    return words.temperature_words(celsius=median(lows), units=reader.units) if lows else "not read"


def _read_words(
    day: Day, care: StageCare, read: tuple[LastReading, ...], when: str, reader: words.Reader
) -> str:
    if read:
        values = [r.value_c for r in read]
        span = _degrees_span(min(values), max(values), reader)
        return f"{words.count_words(len(read), 'tank')} read{when}: {span}."
    tanks = _tanks_of(day, care)
    before = [r.on for r in day.readings if r.tank in tanks and r.spot == "basking"]
    return f"Not measured since {words.date_words(max(before))}." if before else "Not measured yet."


def _when(read: tuple[LastReading, ...]) -> str:
    """' 12:40 to 12:56 pm'"""
    times = [words.time_words(r.at) for r in read if r.at]
    if not times:
        return ""
    return f" {times[0]}" if times[0] == times[-1] else f" {times[0]} to {times[-1]}"


def _degrees_span(low: float, high: float, reader: words.Reader) -> str:
    first = words.degrees(celsius=low, units=reader.units)
    second = words.temperature_words(celsius=high, units=reader.units)
    return second if second.startswith(f"{first} ") else f"{first} to {second}"
