"""Geometry of the drawings on an animal's page: places of rings, heights of fillings, one sentence each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from roomops.desk.animal_view import EatenDay, Point
from roomops.papers import words

WIDE, TALL = 640.0, 230.0
LEFT, RIGHT, TOP, FOOT = 56.0, 24.0, 22.0, 190.0
TUB_WIDE, TUB_TALL = 36.0, 78.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    x: float
    y: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A line of the scale or a day of the foot: its place and its word."""

    at: float
    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightChart:
    """Measured weights: rings, the line through them, the scale. ``sentence`` says the same."""

    rings: tuple[Ring, ...]
    path: str
    lines: tuple[Mark, ...]
    days: tuple[Mark, ...]
    sentence: str


def weight_chart(*, points: Sequence[Point], zone: ZoneInfo) -> WeightChart | None:
    """Return the drawing of weights in grams, None for fewer than two."""
    if len(points) < 2:
        return None
    days = [point.at.astimezone(zone).date() for point in points]
    low, high, step = _scale([point.value for point in points])
    span = max((days[-1] - days[0]).days, 1)
    rings = tuple(
        Ring(
            x=round(LEFT + (WIDE - LEFT - RIGHT) * (day - days[0]).days / span, 1),
            y=_y(point.value, low, high),
            words=f"{words.weight_words(point.value)}, {words.date_words(day)}",
        )
        for day, point in zip(days, points, strict=True)
    )
    lines = tuple(
        Mark(at=_y(low + n * step, low, high), word=words.plain(low + n * step, 2))
        for n in range(round((high - low) / step) + 1)
    )
    first, last = words.weight_words(points[0].value), words.weight_words(points[-1].value)
    return WeightChart(
        rings=rings,
        path="M" + " L".join(f"{ring.x} {ring.y}" for ring in rings),
        lines=lines,
        days=_days(days, span),
        sentence=(
            f"Weight in grams, {len(points)} times: {first} on {words.date_words(days[0])}, "
            f"{last} on {words.date_words(days[-1])}."
        ),
    )


def _scale(values: Sequence[float]) -> tuple[float, float, float]:
    """Low end, high end and step of a scale in round numbers, about four lines."""
    low, high = min(values), max(values)
    rough = max(high - low, high * 0.05) / 3
    power = 10.0 ** (len(str(int(1 / rough))) * -1 if rough < 1 else len(str(int(rough))) - 1)
    step = next(power * each for each in (1, 2, 5, 10) if power * each >= rough)
    bottom = step * (low // step)
    top = bottom
    while top < high:
        top += step
    return bottom, max(top, bottom + step), step


def _y(value: float, low: float, high: float) -> float:
    return round(FOOT - (FOOT - TOP) * (value - low) / (high - low), 1)


def _days(days: Sequence[date], span: int) -> tuple[Mark, ...]:
    """The first and the last day, and the middle one where there is room."""
    chosen = dict.fromkeys([days[0], days[len(days) // 2], days[-1]])
    found: list[Mark] = []
    for day in chosen:
        at = round(LEFT + (WIDE - LEFT - RIGHT) * (day - days[0]).days / span, 1)
        if not found or at - found[-1].at > 90:
            found.append(Mark(at=at, word=words.date_words(day)))
    return tuple(found)


# ---------------------------------------------------------------- eaten a day


@dataclass(frozen=True, slots=True, kw_only=True)
class TubShown:
    """A day's tub: its rim's height by what was offered, its filling by what was eaten."""

    x: float
    rim: float  # y of its rim
    fill: float  # height of its filling
    fill_y: float
    word: str
    day: str
    refused: bool
    empty: bool  # nobody wrote anything down


@dataclass(frozen=True, slots=True, kw_only=True)
class EatenChart:
    tubs: tuple[TubShown, ...]
    most: int
    sentence: str


def eaten_chart(days: Sequence[EatenDay]) -> EatenChart | None:
    """Return the drawing of what was eaten a day, None where nothing was written down at all."""
    known = [day for day in days if day.offered]
    if not known:
        return None
    most = max(day.offered or 0 for day in known)
    tubs = tuple(_tub(place, day, most) for place, day in enumerate(days))
    told = ", ".join(f"{tub.word} on {tub.day}" for tub in tubs if not tub.empty)
    return EatenChart(
        tubs=tubs, most=most, sentence=f"Eaten a day, of at most {most} offered: {told}. ≥: all was eaten."
    )


def _tub(place: int, day: EatenDay, most: int) -> TubShown:
    share = (day.offered or most) / most
    height = TUB_TALL * share
    filled = round((height - 6) * (day.eaten or 0) / (day.offered or 1), 1)
    cup = day.offered == 0  # greens are served and not counted
    word = "–" if day.eaten is None else "cup" if cup else f"{'≥' if day.at_least else ''}{day.eaten}"
    return TubShown(
        x=4.0 + place * 45.0,
        rim=round(94.0 - height, 1),
        fill=filled,
        fill_y=round(92.5 - filled, 1),
        word=word,
        day=str(day.day.day) if place and day.day.day != 1 else words.date_words(day.day),
        refused=day.refused,
        empty=day.eaten is None,
    )
