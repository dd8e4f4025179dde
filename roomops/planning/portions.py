"""What each head is offered: feeding rules held against the shelf, and what one feed takes is gone for the
next.
"""

from __future__ import annotations

import datetime as dt

from roomops.husbandry.care import Meal, StageCare
from roomops.husbandry.feeding import Offer, choose
from roomops.planning.plan import Portion
from roomops.planning.room import Food, Resident, Room


class _Left:
    """A batch as it stands after the feeds portioned so far."""

    def __init__(self, food: Food) -> None:
        self.key: str = food.key
        self.kind: str = food.kind
        self.size_mm: float | None = food.size_mm
        self.received: dt.date = food.received
        self.on_hand: float = food.on_hand


class Shelf:
    """The foods on hand while a day is portioned."""

    def __init__(self, *, room: Room) -> None:
        self._by_kind: dict[str, list[_Left]] = {}
        for food in room.foods:
            self._by_kind.setdefault(food.kind, []).append(_Left(food))

    def take(self, *, resident: Resident, care: StageCare, meal: Meal, settled: bool) -> Portion:
        """Return what one head gets; all heads of a lot are fed from one batch. ``food`` is '' when nothing
        fits.

        A ``settled`` feed has left the shelf already and takes nothing more.
        """
        batches = [batch for kind in meal.kinds for batch in self._by_kind.get(kind, ())]
        heads = 0 if settled else resident.heads
        offer = choose(meal=meal, care=care, animal=resident, batches=batches, heads=heads)
        for batch in batches:
            if batch.key == offer.batch:
                batch.on_hand -= offer.count * heads
        return _portion(offer=offer, meal=meal)


def _portion(*, offer: Offer, meal: Meal) -> Portion:
    return Portion(
        food=offer.batch,
        kind=offer.kind,
        count=offer.count,
        size_mm=offer.size_mm,
        most_mm=offer.limit.mm if offer.limit else None,
        estimated=offer.limit.estimated if offer.limit else False,
        dusted=offer.dusted,
        powder=offer.powder,
        grams=dict(meal.grams).get(offer.kind, 0.0),
    )
