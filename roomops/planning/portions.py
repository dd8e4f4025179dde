"""What each head is offered: the oldest fitting batch on the shelf that still holds enough."""

from __future__ import annotations

from roomops.husbandry.care import Meal, PreyBasis, StageCare
from roomops.planning.plan import Portion
from roomops.planning.room import Food, Resident, Room

GREENS = "greens"


def prey_limit(*, resident: Resident, care: StageCare, basis: PreyBasis) -> tuple[float | None, bool]:
    """Return (largest prey in mm, whether it rests on an estimate). None: nothing is known to hold it against.

    Insects are held against the gap between the eyes, estimated from total length where it was not measured;
    rodents against the widest part of the snake.
    """
    if basis is PreyBasis.GIRTH:
        return resident.girth_mm, False
    if resident.gap_mm is not None:
        return resident.gap_mm, False
    if resident.length_mm is not None and care.gap_per_length is not None:
        return round(resident.length_mm * care.gap_per_length, 1), True
    return None, True


class Shelf:
    """The foods on hand while a day is portioned: what one feed takes is no longer there for the next."""

    def __init__(self, *, room: Room) -> None:
        self._left = {food.key: food.on_hand for food in room.foods}
        self._by_kind: dict[str, list[Food]] = {}
        for food in sorted(room.foods, key=lambda f: (f.received, f.key)):
            self._by_kind.setdefault(food.kind, []).append(food)

    def take(self, *, resident: Resident, care: StageCare, meal: Meal, settled: bool) -> Portion:
        """Return what one head gets. ``food`` is '' when nothing fits or enough is not there.

        The kinds are tried in the sheet's order, each from its oldest batch. A ``settled`` feed has left the shelf
        already and takes nothing more.
        """
        needed = 0 if settled else meal.count * resident.heads
        bases = dict(care.feeding.prey_basis)
        first: tuple[float | None, bool] = (None, False)
        for place, kind in enumerate(meal.kinds):
            limit = self._limit(resident=resident, care=care, meal=meal, basis=bases.get(kind))
            first = limit if place == 0 else first
            food = self._oldest(kind=kind, limit=limit, needed=needed, meal=meal)
            if food is not None:
                self._left[food.key] -= needed
                return _portion(meal=meal, food=food, kind=kind, limit=limit)
        return _portion(meal=meal, food=None, kind=meal.kinds[0] if meal.kinds else "", limit=first)

    @staticmethod
    def _limit(
        *, resident: Resident, care: StageCare, meal: Meal, basis: PreyBasis | None
    ) -> tuple[float | None, bool]:
        if meal.category == GREENS:
            return None, False
        return prey_limit(resident=resident, care=care, basis=basis or PreyBasis.LENGTH)

    def _oldest(self, *, kind: str, limit: tuple[float | None, bool], needed: int, meal: Meal) -> Food | None:
        for food in self._by_kind.get(kind, ()):
            left = self._left[food.key]
            if left <= 0 or left < needed:
                continue
            if meal.category == GREENS or _fits(food=food, most_mm=limit[0]):
                return food
        return None


def _fits(*, food: Food, most_mm: float | None) -> bool:
    return most_mm is not None and food.size_mm is not None and food.size_mm <= most_mm


def _portion(*, meal: Meal, food: Food | None, kind: str, limit: tuple[float | None, bool]) -> Portion:
    return Portion(
        food=food.key if food else "",
        kind=kind,
        count=meal.count,
        size_mm=food.size_mm if food else None,
        most_mm=limit[0],
        estimated=limit[1],
        dusted=meal.dusted,
        powder=meal.powder if meal.dusted else "",
    )
