"""Can we take so many of a kind on a day? Answered against tanks, quarantine, tubs, hands and food.

The day is planned with the lot in it and without: what must be done and then does not fit any more is what
the lot costs. The yes that comes back was planned, not guessed. Only numbers: words are made further up.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from roomops.husbandry.care import StageCare
from roomops.planning.arrivals_day import LotDay, lot_day
from roomops.planning.arrivals_food import FoodNeed, food_need
from roomops.planning.arrivals_space import Place, capacity, fill, most_heads, tanks_for
from roomops.planning.first_fit import plan_day
from roomops.planning.room import Room

__all__ = ["Answer", "Asked", "Place", "Row", "Standing", "Thing", "answer"]


class Thing(StrEnum):
    """What a lot needs. In this order of two that are as scarce the first is named."""

    TANKS = "tanks"
    QUARANTINE = "quarantine"
    TUBS = "tubs"
    MINUTES = "minutes"
    FOODS = "foods"


class Standing(StrEnum):
    ENOUGH = "enough"
    ORDER = "order"  # it can be here by then
    SHORT = "short"
    NOT_KNOWN = "not known"  # a length is missing, so nothing can be held against it
    NOT_USED = "not used"  # its kind is fed in its tank


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The question. ``length_mm`` is the total length of one, None where nobody knows it yet."""

    care: StageCare
    heads: int
    on: dt.date
    length_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One thing: needed for all that were asked about, there, and for how many it is enough.

    ``numbers``: tubs have 'times' (a feed takes so many trays), foods 'order', 'most_mm' and 'days', minutes
    'should' (feeds that should be and would not fit).
    """

    thing: Thing
    standing: Standing
    needs: float
    has: float
    heads: int
    kind: str = ""
    numbers: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """How many can be taken. ``tanks`` are for that many, by tank key; ``later``: when all could be."""

    asked: Asked
    most: int
    scarcest: Thing | None
    rows: tuple[Row, ...]
    tanks: tuple[tuple[str, int], ...]
    later: dt.date | None

    @property
    def all_of_them(self) -> bool:
        return self.most >= self.asked.heads


def answer(*, room: Room, asked: Asked, places: Sequence[Place], today: dt.date) -> Answer:
    """Return how many of ``asked`` can come, and what each thing says.

    ``room`` are the facts of the day that they would come on, ``places`` the tanks that stand. Raises
    ValueError for less than one head, and KeyError as planning does.
    """
    if asked.heads < 1:
        raise ValueError(f"A lot of {asked.heads} is none: ask about one or more.")
    apart = [place for place in places if place.quarantine]
    tubs = _tubs(room=room, asked=asked)
    space = {
        Thing.TANKS: most_heads(places=_free(places), care=asked.care, tubs=None),
        Thing.QUARANTINE: most_heads(places=_free(apart), care=asked.care, tubs=tubs),
    }
    food = food_need(room=room, care=asked.care, heads=asked.heads, length_mm=asked.length_mm, today=today)
    days = _Days(room=room, asked=asked, places=_free(apart), tubs=tubs, food=food)
    planned = days.most(asked.heads)
    most = days.most(min(planned, food.heads, asked.heads, *space.values()))
    rows = _rows(asked=asked, places=places, tubs=tubs, space=space, food=food, days=days, planned=planned)
    return Answer(
        asked=asked,
        most=most,
        scarcest=_scarcest(rows=rows, asked=asked),
        rows=rows,
        tanks=fill(heads=most, places=_free(apart), care=asked.care, tubs=tubs),
        later=None if space[Thing.QUARANTINE] >= asked.heads else _later(asked, apart, tubs),
    )


def _free(places: Sequence[Place]) -> list[Place]:
    return [place for place in places if place.free]


def _tubs(*, room: Room, asked: Asked) -> int | None:
    """Return quarantine's tubs that serve one of this length; None where the kind is fed in its tank."""
    if asked.care.feeding.place.value != "tub":
        return None
    length = asked.length_mm or 0.0
    return sum(1 for tub in room.tubs if tub.quarantine and tub.fits_mm >= length)


def _later(asked: Asked, apart: Sequence[Place], tubs: int | None) -> dt.date | None:
    """Return the first day on which quarantine has room for all, as lots come out; None: none is known."""
    ends = sorted({place.free_on for place in apart if place.free_on is not None and not place.free})
    for end in ends:
        open_then = [p for p in apart if p.free or (p.free_on is not None and p.free_on <= end)]
        if most_heads(places=open_then, care=asked.care, tubs=tubs) >= asked.heads:
            return max(end, asked.on)
    return None


# ---------------------------------------------------------------- planned with the lot in it


class _Days:
    """The day planned with so many of the lot in it; each number is planned once."""

    def __init__(
        self, *, room: Room, asked: Asked, places: Sequence[Place], tubs: int | None, food: FoodNeed
    ) -> None:
        self.room, self.asked, self.places, self.tubs, self.food = room, asked, places, tubs, food
        self.known: dict[int, LotDay] = {}
        self.without = plan_day(room=room)

    def day(self, heads: int) -> LotDay:
        if heads not in self.known:
            self.known[heads] = lot_day(
                without=self.without,
                room=self.room, care=self.asked.care, length_mm=self.asked.length_mm,
                tanks=self._tanks(heads), supplies=self.food.supplies,
            )  # fmt: skip
        return self.known[heads]

    def _tanks(self, heads: int) -> tuple[tuple[str, int], ...]:
        """Free quarantine tanks first; beyond them as if there were more, so that hands answer for all."""
        placed = fill(heads=heads, places=self.places, care=self.asked.care, tubs=self.tubs)
        rest = heads - sum(number for _, number in placed)
        each = max(min(self.asked.care.group_most, self.tubs or self.asked.care.group_most), 1)
        more = [min(each, rest - start) for start in range(0, rest, each)]
        return (*placed, *((f"more-{n}", number) for n, number in enumerate(more, start=1)))

    def most(self, heads: int) -> int:
        """Return the largest number up to ``heads`` whose day was planned with nothing lost that must be."""
        if heads < 1 or not self.day(heads).lost:
            return max(heads, 0)
        good, bad = 0, heads
        while bad - good > 1:
            middle = (good + bad) // 2
            good, bad = (middle, bad) if not self.day(middle).lost else (good, middle)
        return good


# ---------------------------------------------------------------- rows


def _rows(
    *,
    asked: Asked,
    places: Sequence[Place],
    tubs: int | None,
    space: Mapping[Thing, int],
    food: FoodNeed,
    days: _Days,
    planned: int,
) -> tuple[Row, ...]:
    apart = [place for place in places if place.quarantine]
    first_bad = days.day(planned + 1) if planned < asked.heads else None
    by_tubs = first_bad is not None and first_bad.by_tubs
    return (
        _space(Thing.TANKS, asked, places, None, space[Thing.TANKS]),
        _space(Thing.QUARANTINE, asked, apart, tubs, space[Thing.QUARANTINE]),
        _tub_row(asked=asked, tubs=tubs, heads=planned if by_tubs else asked.heads),
        _minutes(asked=asked, days=days, heads=asked.heads if by_tubs else planned),
        _food_row(asked=asked, food=food),
    )


def _space(thing: Thing, asked: Asked, places: Sequence[Place], tubs: int | None, heads: int) -> Row:
    free = [place for place in _free(places) if capacity(place=place, care=asked.care, tubs=tubs)]
    return Row(
        thing=thing,
        standing=Standing.ENOUGH if heads >= asked.heads else Standing.SHORT,
        needs=tanks_for(heads=asked.heads, places=places, care=asked.care, tubs=tubs),
        has=len(free),
        heads=min(heads, asked.heads),
        numbers={"floor_cm2": asked.care.floor_cm2 or 0.0, "group": asked.care.group_most},
    )


def _tub_row(*, asked: Asked, tubs: int | None, heads: int) -> Row:
    if tubs is None:
        return Row(thing=Thing.TUBS, standing=Standing.NOT_USED, needs=0, has=0, heads=asked.heads)
    if asked.length_mm is None and tubs:
        standing = Standing.NOT_KNOWN
    else:
        standing = Standing.ENOUGH if tubs and heads >= asked.heads else Standing.SHORT
    return Row(
        thing=Thing.TUBS,
        standing=standing,
        needs=asked.heads,
        has=tubs,
        heads=heads if tubs else 0,
        numbers={"times": math.ceil(asked.heads / tubs) if tubs else 0},
    )


def _minutes(*, asked: Asked, days: _Days, heads: int) -> Row:
    whole = days.day(asked.heads)
    return Row(
        thing=Thing.MINUTES,
        standing=Standing.ENOUGH if heads >= asked.heads else Standing.SHORT,
        needs=whole.added_min,
        has=whole.free_min,
        heads=heads,
        numbers={"should": whole.should_lost, "people": len(days.room.shifts)},
    )


def _food_row(*, asked: Asked, food: FoodNeed) -> Row:
    standing = Standing.ENOUGH
    if food.not_known:
        standing = Standing.NOT_KNOWN
    elif food.heads < asked.heads:
        standing = Standing.SHORT
    elif food.order:
        standing = Standing.ORDER
    return Row(
        thing=Thing.FOODS,
        standing=standing,
        needs=food.week,
        has=food.has,
        heads=min(food.heads, asked.heads),
        kind=food.kind,
        numbers={"order": food.order, "most_mm": food.most_mm or 0.0},
    )


def _scarcest(*, rows: Sequence[Row], asked: Asked) -> Thing | None:
    short = [row for row in rows if row.heads < asked.heads]
    return min(short, key=lambda row: row.heads).thing if short else None
