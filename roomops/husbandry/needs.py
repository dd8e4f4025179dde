"""What a kind needs beside heat, light and food: mist, water, company, rest, sun, hands."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Standing(StrEnum):
    """How far a number can be trusted, in the words that people see."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    HOUSE_CHOICE = "house choice"
    FROM_MEMORY = "from memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A wanted band and, outside it, the limits at which somebody acts now. None: no such limit is set."""

    low: float
    high: float
    act_below: float | None = None
    act_above: float | None = None


# ---------------------------------------------------------------- mist


class MistEdge(StrEnum):
    """Which moment of the lamp timer a time of misting hangs on."""

    AFTER_ON = "after lights on"
    BEFORE_OFF = "before lights out"
    AFTER_OFF = "after lights out"


@dataclass(frozen=True, slots=True, kw_only=True)
class MistWindow:
    """When one misting may begin, in minutes from ``edge``; ``must`` is False for one that is only good."""

    edge: MistEdge
    from_min: int
    to_min: int
    must: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Mist:
    """Misting a day: ``times_must`` at the least, one window each, ``minutes`` of it each time."""

    times_must: int
    times_most: int
    minutes: int
    windows: tuple[MistWindow, ...]


# ---------------------------------------------------------------- water to live in


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterCare:
    """Water that an animal lives in: °C, mg/L, pH. None: nothing is asked for.

    A limit to act at is meant to be reached, not passed: test kits show steps.
    """

    water_c: Band
    change_pct: float  # of the water, at the least
    change_every_days: int
    filter_every_days: int
    ammonia_mg_l: Band | None = None
    nitrite_mg_l: Band | None = None
    nitrate_mg_l: Band | None = None
    ph: Band | None = None
    chlorine_mg_l: Band | None = None
    no_feeding_below_c: float | None = None
    stands_h: float | None = None  # how long tap water stands before use
    volume_l: float | None = None


# ---------------------------------------------------------------- rest by season


@dataclass(frozen=True, slots=True, kw_only=True)
class WindingDown:
    """A season in which an animal eats little or nothing and that is no alarm.

    ``months`` are those of the northern half, in their order. ``cooled``: heat is let down too, which is only
    ever for grown, sound and heavy animals with a vet's word; otherwise it only fasts.
    """

    months: tuple[int, ...]
    cooled: bool
    standing: Standing
    source: str
    note: str = ""
    sleep_c: Band | None = None
    weeks_most: int | None = None
    weigh_every_days: int | None = None
    loss_most_pct: float | None = None  # of the weight at its beginning; from there on it is an alarm


# ---------------------------------------------------------------- company


class Group(StrEnum):
    """The broad kinds that rules of company and of law know."""

    LIZARD = "lizard"
    SNAKE = "snake"
    CHELONIAN = "chelonian"


class Alone(StrEnum):
    """Why an animal lives alone."""

    FIGHTS = "fights"
    EATS_ITS_OWN = "eats its own kind"
    LIVES_ALONE = "lives alone in the wild"
    KEPT_FROM_HEAT = "one keeps the other from heat and food"


@dataclass(frozen=True, slots=True, kw_only=True)
class Company:
    """What never works: why it lives alone, whom it eats, whether it may see its like in another tank."""

    standing: Standing
    source: str
    note: str = ""
    alone: tuple[Alone, ...] = ()
    eats: tuple[Group, ...] = ()
    sight_apart: bool = False


# ---------------------------------------------------------------- sun and hands


@dataclass(frozen=True, slots=True, kw_only=True)
class SunCare:
    """Between which limits a store animal of this stage may be in natural sun, watched, in a pen."""

    air_c: Band
    uvi: Band
    wind_most_m_s: float
    height_least_deg: float  # of the sun above the horizon
    floor_most_c: float  # of the pen, felt or measured first
    session_most_min: int
    days_a_week: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """What an animal's length asks for: one person for each ``mm_each``, two from ``never_alone_mm`` on."""

    mm_each: float | None = None
    never_alone_mm: float | None = None
