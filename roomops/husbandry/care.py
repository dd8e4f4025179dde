"""Care sheets: what a kind of animal needs, each number with its unit, standing and source.

A sheet is read from text (``care_text.parse``) into a ``CareSheet`` that keeps every claim as written.
``resolve`` picks one claim per figure (the room's choice, else the sheet's first) and turns it into a
``StageCare`` in base units: degrees Celsius, millimeters, grams, minutes, days. Planning and paper read only
``StageCare``.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.needs import (
    Alone,
    Band,
    Company,
    Group,
    Hands,
    Mist,
    Standing,
    SunCare,
    WaterCare,
    WindingDown,
)

__all__ = [
    "Active", "Alone", "Band", "CareSheet", "Cited", "Claim", "Company", "Dish", "Feeding", "Figure",
    "FoodRule", "Group", "Hands", "Meal", "Mist", "Need", "Place", "PreyBasis", "Stage", "StageCare",
    "Standing", "SunCare", "WaterCare", "WindingDown", "Words",
]  # fmt: skip


class Active(StrEnum):
    """When the kind is awake: its feeding windows hang on it."""

    DAY = "day"
    NIGHT = "night"


class Need(StrEnum):
    """What happens first when the day is too short. Welfare is must."""

    MUST = "must"
    SHOULD = "should"
    COULD = "could"


class Place(StrEnum):
    """Where a meal is given."""

    TUB = "tub"
    TANK = "tank"


class PreyBasis(StrEnum):
    """Which measure of the prey is held against which measure of the eater."""

    LENGTH = "length"  # crickets, roaches: body length against the gap between the eyes
    WIDTH = "width"  # soft larvae: body width against the gap between the eyes
    GIRTH = "girth"  # rodents: width against the widest part of the snake, measured across


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """One source's word on one number, in the unit it was written in. ``low == high`` for a single value."""

    key: str  # 'practice', 'print', ... : what a room's choice names
    low: float
    high: float
    unit: str
    standing: Standing
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One thing to know (``topic``) for some stages, as all its claims; the first is the sheet's default."""

    topic: str
    stages: tuple[str, ...]
    claims: tuple[Claim, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """A life stage. ``from_days`` is inclusive, the next stage's ``from_days`` ends it."""

    key: str
    name: str
    from_days: int
    place: Place = Place.TANK  # where its feeds are given
    from_claim: Claim | None = None  # where ``from_days`` comes from


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodRule:
    """What is offered in which feeds: a category with the kinds that may serve, best first."""

    stages: tuple[str, ...]
    slots: tuple[int, ...]  # feed numbers that carry it, counted from 1
    category: str  # 'insect', 'greens', 'rodent', 'powder meal', 'pellets', ...: care_topics.FOODS
    kinds: tuple[str, ...]  # 'cricket', 'roach', 'mouse', ...
    dusted_slots: tuple[int, ...] = ()
    powder: str = ""
    weekdays: tuple[int, ...] = ()  # ISO weekdays (Monday is 1) that carry it; empty: every feeding day
    beside: bool = False  # stands in the tank beside the feed of its slots and is no feed of its own


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What is said and not counted. Each line is one sentence of our own."""

    water: tuple[str, ...] = ()
    housing: tuple[str, ...] = ()
    company: tuple[str, ...] = ()
    hides: tuple[str, ...] = ()
    substrate: tuple[str, ...] = ()
    sun: tuple[str, ...] = ()
    never_feed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    first_checks: tuple[str, ...] = ()
    handling: tuple[str, ...] = ()
    laying: tuple[str, ...] = ()  # females before eggs: box, signs, when the vet is called
    resting: tuple[str, ...] = ()  # winding down by season


@dataclass(frozen=True, slots=True, kw_only=True)
class CareSheet:
    """A kind's sheet as written: every claim kept, nothing converted."""

    kind: str
    name: str
    scientific: str
    active: Active
    version: str  # first 8 hex digits of the text's SHA-256: printed on paper
    stages: tuple[Stage, ...]
    figures: tuple[Figure, ...]
    foods: tuple[FoodRule, ...]
    words: Words  # for every stage
    stage_words: tuple[tuple[str, Words], ...] = ()  # (stage, what is said of that stage besides)
    prey: tuple[tuple[str, PreyBasis], ...] = ()  # by food kind
    uv_with_day_lamp: bool = True
    group: Group | None = None
    egg_layers: tuple[str, ...] = ()  # stages whose females lay eggs, mated or not
    companies: tuple[tuple[tuple[str, ...], Company], ...] = ()  # by stages
    windings: tuple[tuple[tuple[str, ...], WindingDown], ...] = ()  # by stages


@dataclass(frozen=True, slots=True, kw_only=True)
class Cited:
    """A resolved figure as people see it: the chosen claim, and whether others disagree."""

    topic: str
    claim: Claim
    others: tuple[Claim, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Meal:
    """One feed slot of a day."""

    slot: int
    need: Need
    category: str
    kinds: tuple[str, ...]
    count: int  # insects or rodents of the first kind; 0 for what is weighed or served in a cup
    dusted: bool = False
    powder: str = ""
    counts: tuple[tuple[str, int], ...] = ()  # by food kind, where kinds differ
    weekdays: tuple[int, ...] = ()  # ISO weekdays (Monday is 1); empty: every feeding day
    watched: bool = True  # ``watch_min`` holds: live prey is taken out again; greens stay
    grams: tuple[tuple[str, float], ...] = ()  # by food kind, of what is weighed
    sized: bool = True  # held against the animal's prey limit; False for greens, powder, pellets and the like


@dataclass(frozen=True, slots=True, kw_only=True)
class Dish:
    """Food that stands in the tank beside a feed: greens for young that get their insects in a tub."""

    slot: int  # put in with this feed
    category: str
    kinds: tuple[str, ...]
    weekdays: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeding:
    """How a stage is fed. Minutes are relative to the tank's lamp timer; gaps are start to start."""

    place: Place
    every_days: int
    meals: tuple[Meal, ...]
    opens_after_on_min: int | None  # day-active: first feed not before lights-on + this
    closes_before_off_min: int | None  # day-active: last feed ended this long before lights-out
    opens_after_off_min: int | None  # night-active: not before lights-out + this
    closes_after_off_min: int | None
    gap_min: tuple[tuple[int, int], ...]  # (feeds a day, least minutes start to start)
    watch_min: int
    most_out_min: int  # minutes out of heat
    prey_basis: tuple[tuple[str, PreyBasis], ...]  # by food kind
    no_handling_after_h: int = 0
    dishes: tuple[Dish, ...] = ()
    prey_share: float = 1.0  # largest prey measure as a share of the eater's (the gap, or the widest part)


@dataclass(frozen=True, slots=True, kw_only=True)
class StageCare:
    """One kind at one stage, in base units, one claim chosen per figure. Bands in °C, humidity in % RH."""

    kind: str
    stage: str
    kind_name: str
    stage_name: str
    scientific: str
    active: Active
    version: str
    basking_c: Band | None
    cool_c: Band | None
    night_c: Band | None
    humidity_pct: Band | None
    uvi: Band | None
    uv_with_day_lamp: bool
    photoperiod_h: Band | None  # low: shortest winter day, high: longest summer day
    feeding: Feeding
    group_most: int  # animals that may share a tank at this stage; 1: alone
    floor_cm2: float | None  # floor area of the smallest tank for one
    weigh_every_days: int | None
    vet_every_days: int | None
    clean_every_days: int
    gap_per_length: float | None  # eye gap estimated as this share of total length when not measured
    quarantine_days: int
    cited: tuple[Cited, ...]
    words: Words
    group: Group | None = None
    company: Company | None = None
    mist: Mist | None = None
    water: WaterCare | None = None  # for animals that live in it
    winding_down: WindingDown | None = None
    egg_layer: bool = False  # its females lay, mated or not
    sun: SunCare | None = None
    handlers: int = 1  # people, at any length; ``hands`` says what length asks for
    hands: Hands | None = None
    height_mm: float | None = None  # of the smallest home: for those that climb
    humidity_night_pct: Band | None = None

    @property
    def alone_reasons(self) -> tuple[Alone, ...]:
        """Why it lives alone; none for kinds that may live in groups, or whose sheet gives no reason."""
        return self.company.alone if self.company else ()

    def cite(self, topic: str) -> Cited | None:
        """Return the chosen claim of ``topic`` with those that disagree, or None when the sheet has none."""
        return next((c for c in self.cited if c.topic == topic), None)
