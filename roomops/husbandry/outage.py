"""Heat or power failed: which animals suffer first, and why. A typed rule that orders, and no limit of life.

How fast an animal cools and how long it bears it was found for none of the kinds kept here. That small bodies
lose heat first is physics (surface to volume); all else is common practice and says so. A vet comes first.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import StageCare
from roomops.husbandry.needs import Standing

SMALL_G = 50.0  # lighter than this counts as small whatever its age: a house choice
YOUNG = frozenset({"hatchling"})


class Failed(StrEnum):
    """What happened to the room. The strings are those of a room's facts."""

    POWER = "power"
    HEAT = "heat"
    HOT = "hot"


class First(StrEnum):
    """Why an animal is looked at before others."""

    YOUNG = "young"  # smallest bodies: they cool, and heat up, first
    SMALL = "small"
    NEEDS_HEAT = "needs heat"  # its basking place is among the hottest: it falls furthest
    WATER_HOLDS = "water holds"  # it lives in water, which cools slowly: later
    HEAT_HURTS = "heat hurts"  # its cool side has the lowest limit to act at
    ORDINARY = "ordinary"


STANDING: Standing = Standing.COMMON_PRACTICE
SOURCE = "common practice, no source: no cooling or heating rates of these kinds were found"
NEEDS_HEAT_C = 37.0  # a basking band that begins here or above: dragons, tegus
HEAT_HURTS_C = 29.0  # a cool side that is acted on at this or below: crested geckos, chameleons


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """Sort by ``rank``, smallest first. ``limit_c`` is the care sheet's limit to act at, None where none is.

    For cold it is that of the night (``act_below``), for a hot room that of the cool side (``act_above``).
    """

    rank: tuple[float, ...]
    why: First
    limit_c: float | None


def risk(*, care: StageCare, failed: Failed, weight_g: float | None = None) -> Risk:
    """Return where an animal stands in the order of who suffers first."""
    return _hot(care=care, weight_g=weight_g) if failed is Failed.HOT else _cold(care=care, weight_g=weight_g)


def _size(*, care: StageCare, weight_g: float | None) -> tuple[int, float]:
    """0 for the young, 1 for the small, 2 for the rest; then the lighter one first, the unweighed last."""
    grams = weight_g if weight_g is not None else float("inf")
    if care.stage in YOUNG:
        return 0, grams
    return (1, grams) if grams < SMALL_G else (2, grams)


def _cold(*, care: StageCare, weight_g: float | None) -> Risk:
    size, grams = _size(care=care, weight_g=weight_g)
    limit = care.night_c.act_below if care.night_c else None
    basking = care.basking_c.low if care.basking_c else 0.0
    in_water = care.water is not None
    why = (First.YOUNG, First.SMALL, First.ORDINARY)[size]
    if in_water:
        why = First.WATER_HOLDS
    elif size == 2 and basking >= NEEDS_HEAT_C:
        why = First.NEEDS_HEAT
    return Risk(rank=(float(in_water), float(size), -basking, grams), why=why, limit_c=limit)


def _hot(*, care: StageCare, weight_g: float | None) -> Risk:
    size, grams = _size(care=care, weight_g=weight_g)
    limit = care.cool_c.act_above if care.cool_c else None
    borne = limit if limit is not None else 99.0
    why = First.HEAT_HURTS if borne <= HEAT_HURTS_C else (First.YOUNG, First.SMALL, First.ORDINARY)[size]
    return Risk(rank=(borne, float(size), grams), why=why, limit_c=limit)


# ---------------------------------------------------------------- readings on the way


class Course(StrEnum):
    """What a tank does while heat is off, by its last reading."""

    NOT_READ = "not read"
    HOLDS = "holds"
    ACT = "act now"


def course(*, value_c: float | None, limit_c: float | None, failed: Failed) -> Course:
    """Return whether a tank's last reading of the outage has reached the limit to act at; an edge counts."""
    if value_c is None:
        return Course.NOT_READ
    if limit_c is None:
        return Course.HOLDS
    reached = value_c >= limit_c if failed is Failed.HOT else value_c <= limit_c
    return Course.ACT if reached else Course.HOLDS
