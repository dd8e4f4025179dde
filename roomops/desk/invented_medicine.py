"""The invented room's medicine: what the vet ordered, and what was said of each time."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product

from roomops.desk.invented_animals import Life
from roomops.desk.invented_days import Diary
from roomops.desk.invented_facts import VetOrder
from roomops.planning.room import DutyKind
from roomops.records import models as m

CLOCKS = ("11:50", "18:10")


def add_medicines(*, diary: Diary, lives: Iterable[Life]) -> None:
    """Add each order with its past days; the last time of a day may have a reason why it was not given."""
    world = diary.world
    rows = {life.row.key: life.row for life in lives}
    for ordered in world.facts.medicines:
        row = rows[ordered.resident]
        made = world.add(
            m.MedicineOrder,
            written_at=world.at(ordered.first, "11:40"),
            by=world.people["tamsin"],
            key=f"{row.key}-1",
            resident=row,
            as_ordered=ordered.as_ordered,
            ordered_by=str(world.facts.room["vet"]).partition(",")[0],
            times_a_day=ordered.times,
            from_on=world.day(ordered.first),
            until_on=world.day(ordered.last),
        )
        _past(diary, made, row, ordered)


def _past(diary: Diary, made: m.MedicineOrder, row: m.Resident, ordered: VetOrder) -> None:
    days = list(zip(range(ordered.first, 0, -1), ordered.said, strict=False))
    for (ago, said), number in product(days, range(1, ordered.times + 1)):
        given = said == "given" or number < ordered.times
        diary.say(
            ago=ago,
            duty=f"{DutyKind.MEDICINE.value}/{made.key}/{number}",
            kind=m.EntryKind.DONE,
            moment=diary.world.at(ago, CLOCKS[number - 1]),
            tank=row.tank,
            **({"given": True} if given else {"given": False, "why": said}),
        )
