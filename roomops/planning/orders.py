"""What to order, and why: what is on the shelf, held against the least that is kept and what the eaters eat.

Plain on purpose: no packs, no van, nothing that grows or dies while it waits. Reasons are typed and carry
their numbers; the words are made on the top floor.
"""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from roomops.husbandry.care import Meal, StageCare
from roomops.husbandry.feeding import Offer, choose
from roomops.planning.room import FED, Food, Resident, Room

INSECT = "insect"
# Nominal lengths of the trade's size classes, an eighth of an inch apart: arithmetic, no source needed.
CLASSES_MM = (1.6, 3.2, 6.4, 9.5, 12.7, 15.9, 19.1, 25.4)
# Days that a full shelf lasts, and at how few it is time to order: this house's choice, no source.
COVER_DAYS: Mapping[str, tuple[int, int]] = {
    "cricket": (3, 7),
    "roach": (5, 21),
    "silkworm": (3, 7),
    "mealworm": (5, 30),
    "waxworm": (4, 14),
    "rodent": (14, 56),
    "greens": (1, 4),
    INSECT: (3, 7),
}
OTHER_DAYS = (7, 28)
OPEN_DAYS = 180
"""A powder is used up or thrown out half a year after it was opened, or at the date on it: common practice,
no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """One thing on the shelf, whichever batches it comes from: a kind, in its size or strength."""

    kind: str
    category: str
    size_mm: float | None = None
    watts: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What is left of one batch, and until when it may be used."""

    thing: Thing
    on_hand: float
    unit: str
    opened: dt.date | None = None
    use_by: dt.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Least:
    """The least that is kept of a thing."""

    thing: Thing
    amount: float
    unit: str = "each"


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """How much of a thing the eaters get on an average day, and who they are (resident keys)."""

    a_day: float
    eaters: tuple[str, ...] = ()


class Why(StrEnum):
    """Why a thing stands on the list."""

    NONE_LEFT = "none left"
    UNDER_LEAST = "under least"  # on_hand, least
    RUNS_OUT = "runs out"  # on_hand, a_day, cover_days
    PAST = "past"  # past: so much of it is past its date, or was opened too long ago
    NOTHING_FITS = "nothing fits"  # most_mm: the largest prey that these eaters may get


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    why: Why
    numbers: tuple[tuple[str, float], ...] = ()
    eaters: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """One line of the list. ``amount`` fills the shelf again; 0 where nothing says how much."""

    thing: Thing
    amount: float
    unit: str
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Eaten:
    """What the residents eat: by thing, and those for whom nothing on the shelf fits, by kind of food."""

    uses: Mapping[Thing, Use]
    without: Mapping[str, Reason]


def thing_of(*, kind: str, category: str, size_mm: float | None = None, watts: int | None = None) -> Thing:
    """Return what a batch or a least amount is of; insects of nearly one length are one size class."""
    size = size_mm
    if category == INSECT and size_mm is not None:
        size = min(CLASSES_MM, key=lambda each: abs(each - size_mm))
    return Thing(kind=kind, category=category, size_mm=size, watts=watts)


def usable(*, held: Held, day: dt.date) -> bool:
    """Say whether it may still be used: up to the date on it, and a powder for half a year once opened."""
    if held.use_by is not None and held.use_by < day:
        return False
    powder = held.thing.category in {"powder", "powder meal"}
    return not (powder and held.opened is not None and (day - held.opened).days > OPEN_DAYS)


def cover_days(*, thing: Thing) -> tuple[int, int]:
    """Return (order at this many days of cover, a full shelf lasts this many)."""
    return COVER_DAYS.get(thing.kind) or COVER_DAYS.get(thing.category) or OTHER_DAYS


# ---------------------------------------------------------------- what is eaten


def eaten(*, room: Room) -> Eaten:
    """Return the average day's use of counted and weighed food, by care sheets and the prey that fits now.

    Greens are chopped by the cup and count for nothing here. Raises LookupError for a resident whose care the
    room lacks.
    """
    care = {(each.kind, each.stage): each for each in room.care}
    by_kind: dict[str, list[Food]] = defaultdict(list)
    for food in room.foods:
        by_kind[food.kind].append(food)
    table = _Table()
    for resident in room.residents:
        if resident.status not in FED:
            continue
        sheet = care[resident.kind, resident.stage]
        for meal in sheet.feeding.meals:
            batches = [food for kind in meal.kinds for food in by_kind.get(kind, ())]
            offer = choose(meal=meal, care=sheet, animal=resident, batches=batches, heads=resident.heads)
            table.add(resident=resident, care=sheet, meal=meal, offer=offer, batches=batches)
    return table.eaten()


@dataclass(slots=True)
class _Table:
    """Uses and wants while residents are gone through."""

    a_day: dict[Thing, float] = field(default_factory=lambda: defaultdict(float))
    eaters: dict[Thing, dict[str, None]] = field(default_factory=lambda: defaultdict(dict))
    most: dict[str, float] = field(default_factory=dict)
    hungry: dict[str, dict[str, None]] = field(default_factory=lambda: defaultdict(dict))

    def add(
        self, *, resident: Resident, care: StageCare, meal: Meal, offer: Offer, batches: list[Food]
    ) -> None:
        if not offer.batch:
            if offer.count and offer.limit is not None and offer.limit.mm is not None:
                self.hungry[offer.kind][resident.key] = None
                self.most[offer.kind] = min(self.most.get(offer.kind, math.inf), offer.limit.mm)
            return
        one = offer.count or dict(meal.grams).get(offer.kind, 0.0)
        if not one:
            return
        food = next(each for each in batches if each.key == offer.batch)
        thing = thing_of(kind=food.kind, category=food.category, size_mm=food.size_mm)
        share = len(meal.weekdays) / 7 if meal.weekdays else 1.0
        self.a_day[thing] += one * resident.heads * share / care.feeding.every_days
        self.eaters[thing][resident.key] = None

    def eaten(self) -> Eaten:
        uses = {
            thing: Use(a_day=a_day, eaters=tuple(self.eaters[thing])) for thing, a_day in self.a_day.items()
        }
        without = {
            kind: Reason(why=Why.NOTHING_FITS, numbers=(("most_mm", self.most[kind]),), eaters=tuple(hungry))
            for kind, hungry in self.hungry.items()
        }
        return Eaten(uses=uses, without=without)


# ---------------------------------------------------------------- the list


def wants(
    *, held: Iterable[Held], least: Iterable[Least], uses: Mapping[Thing, Use], day: dt.date
) -> tuple[Want, ...]:
    """Return what to order, most pressing first: none left, fewest days of cover, under its least."""
    good: dict[Thing, float] = defaultdict(float)
    past: dict[Thing, float] = defaultdict(float)
    units: dict[Thing, str] = {}
    for each in held:
        (good if usable(held=each, day=day) else past)[each.thing] += max(each.on_hand, 0.0)
        units.setdefault(each.thing, each.unit)
    kept = {each.thing: each for each in least if each.amount > 0}
    things = dict.fromkeys((*good, *past, *kept, *uses))
    found = []
    for thing in things:
        want = _want(
            thing=thing, on_hand=good.get(thing, 0.0), past=past.get(thing, 0.0), least=kept.get(thing),
            use=uses.get(thing), unit=units.get(thing, ""),
        )  # fmt: skip
        if want is not None:
            found.append(want)
    return tuple(sorted(found, key=_press))


def _want(
    *, thing: Thing, on_hand: float, past: float, least: Least | None, use: Use | None, unit: str
) -> Want | None:
    a_day = use.a_day if use else 0.0
    soon, full = cover_days(thing=thing)
    reasons: list[Reason] = []
    if not on_hand and (least or a_day):
        reasons.append(Reason(why=Why.NONE_LEFT))
    if least and 0 < on_hand < least.amount:
        reasons.append(Reason(why=Why.UNDER_LEAST, numbers=(("on_hand", on_hand), ("least", least.amount))))
    if use and a_day and on_hand / a_day < soon:
        numbers = (("on_hand", on_hand), ("a_day", a_day), ("cover_days", on_hand / a_day))
        reasons.append(Reason(why=Why.RUNS_OUT, numbers=numbers, eaters=use.eaters))
    if past and (reasons or (not on_hand and not least)):
        reasons.append(Reason(why=Why.PAST, numbers=(("past", past),)))
    if not reasons:
        return None
    target = max(least.amount if least else 0.0, a_day * full)
    amount = rounded_up(max(target - on_hand, 0.0))
    return Want(
        thing=thing, amount=amount, unit=unit or (least.unit if least else "each"), reasons=tuple(reasons)
    )


def rounded_up(amount: float) -> float:
    """Return an amount as people order it: two digits that count, never less than asked. 1,234 is 1,300."""
    if amount <= 0:
        return 0.0
    step = 10.0 ** max(math.floor(math.log10(amount)) - 1, 0)
    return math.ceil(amount / step - 1e-9) * step


def _press(want: Want) -> tuple[int, float, str, str, float]:
    whys = [reason.why for reason in want.reasons]
    numbers = {name: value for reason in want.reasons for name, value in reason.numbers}
    size = want.thing.size_mm or float(want.thing.watts or 0)
    cover = numbers.get("cover_days", math.inf)
    return (0 if Why.NONE_LEFT in whys else 1, cover, want.thing.category, want.thing.kind, size)
