"""How many of a kind the free tanks hold: floor by the care sheet, group size, tubs for a tank's feed."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

from roomops.husbandry.care import StageCare
from roomops.husbandry.housing import floor_needed_cm2

_EDGE_CM2 = 1.0  # an outside inch rounds


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A tank that stands. ``free``: nobody lives in it and no lot is promised it on that day.

    ``free_on``: when the lot that is in it may come out, where that is known.
    """

    tank: str
    floor_cm2: float
    quarantine: bool
    free: bool
    free_on: dt.date | None = None


def capacity(*, place: Place, care: StageCare, tubs: int | None) -> int:
    """Return the most heads of a stage in one tank. ``tubs``: a tank's animals are fed at once, each in one.

    A sheet that names no floor is held by its group size alone.
    """
    most = care.group_most if tubs is None else min(care.group_most, tubs)
    if care.floor_cm2 is None:
        return most
    floor = place.floor_cm2 + _EDGE_CM2
    fitting = (
        n for n in range(most, 0, -1) if floor_needed_cm2(floor_for_one_cm2=care.floor_cm2, heads=n) <= floor
    )
    return next(fitting, 0)


def most_heads(*, places: Sequence[Place], care: StageCare, tubs: int | None) -> int:
    """Return the heads that all these tanks hold together."""
    return sum(capacity(place=place, care=care, tubs=tubs) for place in places)


def fill(
    *, heads: int, places: Sequence[Place], care: StageCare, tubs: int | None
) -> tuple[tuple[str, int], ...]:
    """Return (tank, heads) in the order of ``places``: as few tanks as can be, as evenly as they allow.

    Fewer than ``heads`` come back when the tanks hold no more.
    """
    room_in = {place.tank: capacity(place=place, care=care, tubs=tubs) for place in places}
    used: list[str] = []
    for tank in sorted(room_in, key=lambda key: -room_in[key]):
        if room_in[tank] and sum(room_in[key] for key in used) < heads:
            used.append(tank)
    given = dict.fromkeys(used, 0)
    for _ in range(min(heads, sum(room_in[key] for key in used))):
        emptiest = min((key for key in used if given[key] < room_in[key]), key=lambda key: given[key])
        given[emptiest] += 1
    return tuple((place.tank, given[place.tank]) for place in places if given.get(place.tank))


def tanks_for(*, heads: int, places: Sequence[Place], care: StageCare, tubs: int | None) -> int:
    """Return how many tanks that many heads need: the free ones, then more like the best that stands."""
    free = [place for place in places if place.free]
    used = fill(heads=heads, places=free, care=care, tubs=tubs)
    rest = heads - sum(number for _, number in used)
    best = max((capacity(place=place, care=care, tubs=tubs) for place in places), default=0)
    return len(used) + math.ceil(rest / (best or max(care.group_most, 1)))
