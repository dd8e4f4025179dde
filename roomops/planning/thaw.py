"""Rodents for tomorrow: who is due then, and what goes from the freezer into the refrigerator tonight."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from roomops.husbandry.care import Meal
from roomops.planning.facts import Facts, look
from roomops.planning.plan import Portion
from roomops.planning.portions import Shelf
from roomops.planning.room import Resident, Room

RODENT = "rodent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Thaw:
    """What one resident gets tomorrow. ``portion.food`` is '' where nothing on the shelf fits it."""

    resident: Resident
    portion: Portion

    @property
    def count(self) -> int:
        """How many to thaw, for all heads of a lot."""
        return self.portion.count * self.resident.heads


def for_tomorrow(*, room: Room) -> tuple[Thaw, ...]:
    """Return what is thawed on the room's day, in the order of its residents.

    Who is due today is fed today and not thawed for again. Raises KeyError for a resident whose care or tank
    the room lacks.
    """
    today = look(room=room)
    tomorrow = look(room=replace(room, day=room.day + dt.timedelta(days=1), done=(), begun=()))
    shelf = Shelf(room=room)
    found = []
    for resident in tomorrow.fed:
        if _rodents(facts=today, resident=resident):
            continue
        for meal in _rodents(facts=tomorrow, resident=resident):
            care = tomorrow.care_of(resident)
            portion = shelf.take(resident=resident, care=care, meal=meal, settled=False)
            found.append(Thaw(resident=resident, portion=portion))
    return tuple(found)


def _rodents(*, facts: Facts, resident: Resident) -> list[Meal]:
    return [meal for meal in facts.meals[resident.key] if meal.category == RODENT]
