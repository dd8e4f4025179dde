"""What a lot eats in a week, against what is left on the shelf when everybody else has eaten."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from roomops.husbandry.care import Meal, StageCare
from roomops.husbandry.feeding import count_of, largest_prey
from roomops.planning.duties import due
from roomops.planning.room import Food, Resident, Room, Status

WEEK = 7
ORDER_DAYS = 3  # what is ordered today is here by then: this house's choice


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodNeed:
    """Prey for a lot. ``heads``: for how many it is enough until an order comes.

    ``supplies`` are what an order would put on the shelf, so that the day can be planned as it would be.
    ``not_known``: its limit hangs on a measure that nobody has.
    """

    kind: str = ""
    week: float = 0.0
    has: float = 0.0
    order: float = 0.0
    heads: int
    most_mm: float | None = None
    not_known: bool = False
    supplies: tuple[Food, ...] = ()


def food_need(
    *, room: Room, care: StageCare, heads: int, length_mm: float | None, today: dt.date
) -> FoodNeed:
    """Return what ``heads`` need in a week of their sheet's first prey. Greens and powder are no limit."""
    meals = [meal for meal in care.feeding.meals if meal.sized and meal.count]
    if not meals:
        return FoodNeed(heads=heads)
    kind, limit = _kind(room=room, care=care, meals=meals, length_mm=length_mm)
    a_day = sum(count_of(meal=meal, kind=kind) * _share(meal) for meal in meals) / max(
        care.feeding.every_days, 1
    )
    if limit is None:
        return FoodNeed(kind=kind, week=math.ceil(a_day * WEEK * heads), heads=heads, not_known=True)
    shelf = [food for food in room.foods if food.kind == kind and _fits(food, limit)]
    others = _others(room=room, foods={food.key for food in shelf}) * WEEK
    has = max(sum(food.on_hand for food in shelf) - others, 0.0)
    week = math.ceil(a_day * WEEK * heads)
    waits = 0 if (room.day - today).days >= ORDER_DAYS else ORDER_DAYS
    enough = heads if not waits or not a_day else min(heads, int(has // (a_day * waits)))
    supply = Food(
        key="to-order", kind=kind, category=meals[0].category, name=kind, size_mm=math.floor(limit * 10) / 10,
        received=room.day, on_hand=float(week + others),
    )  # fmt: skip
    return FoodNeed(
        kind=kind, week=week, has=has, order=max(week - has, 0.0), heads=enough, most_mm=limit,
        supplies=(supply,) if week > has else (),
    )  # fmt: skip


def _kind(
    *, room: Room, care: StageCare, meals: list[Meal], length_mm: float | None
) -> tuple[str, float | None]:
    """Return the prey they would get (the sheet's first kind that is kept here) and its largest size."""
    one = Resident(
        key="one", name="", kind=care.kind, stage=care.stage, tank="", status=Status.QUARANTINE,
        length_mm=length_mm,
    )  # fmt: skip
    kept = {food.kind for food in room.foods}
    kind = next((kind for kind in meals[0].kinds if kind in kept), meals[0].kinds[0])
    return kind, largest_prey(animal=one, care=care, kind=kind).mm


def _fits(food: Food, limit_mm: float) -> bool:
    return food.size_mm is not None and food.size_mm <= limit_mm


def _share(meal: Meal) -> float:
    return len(meal.weekdays) / WEEK if meal.weekdays else 1.0


def _others(*, room: Room, foods: Iterable[str]) -> float:
    """What the room's own animals take of these batches on that day."""
    keys = set(foods)
    portions = ((duty.portion, duty.heads) for duty in due(room=replace(room, done=(), begun=())))
    return float(sum(p.count * heads for p, heads in portions if p is not None and p.food in keys))
