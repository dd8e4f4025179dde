"""The invented room's history: three weeks of walks, readings, cleans and kitchen work."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from random import Random
from typing import Any

from roomops.desk.invented_animals import Life
from roomops.desk.invented_shelf import Shelf
from roomops.desk.invented_world import World, entry_id
from roomops.planning.room import DutyKind
from roomops.records import models as m

SPOTS = {"basking_c": m.Spot.BASKING, "cool_c": m.Spot.COOL, "night_low_c": m.Spot.NIGHT_LOW}


class Diary:
    """Keeps what people said: entries with the readings that came with them."""

    def __init__(self, *, world: World) -> None:
        self.world = world
        self._ids = world.random("entries")

    def say(
        self,
        *,
        ago: int,
        duty: str,
        kind: m.EntryKind,
        moment: datetime,
        tank: m.Tank | None = None,
        head: int = 0,
        **data: Any,
    ) -> m.Entry:
        """Keep an entry about 'feed/h3-bar/1' of that day, by somebody who was there and may go there."""
        apart = tank is not None and tank.quarantine
        there = [person for person in self.world.on_shift(moment) if person.may_quarantine or not apart]
        return self.world.add(
            m.Entry,
            written_at=moment,
            by=there[moment.minute // 7 % len(there)],
            id=entry_id(random=self._ids),
            day=self.world.day(ago),
            duty=f"{self.world.day(ago).isoformat()}/{duty}",
            head=head,
            kind=kind.value,
            at=moment,
            data=data,
        )

    def read(self, *, entry: m.Entry, tank: m.Tank) -> None:
        """Keep a row for each temperature that the entry carries."""
        for name, spot in SPOTS.items():
            if name in entry.data:
                self.world.add(
                    m.Reading,
                    written_at=entry.at,
                    by=entry.written_by,
                    tank=tank,
                    spot=spot.value,
                    value_c=entry.data[name],
                    at=entry.at,
                    entry=entry,
                )


def add_chores(*, diary: Diary, shelf: Shelf, lives: Iterable[Life], ago: int) -> None:
    """Everything of a day but the feeds."""
    heads = _heads(lives, ago)
    warmth = diary.world.random(f"warmth {ago}")
    for place, (tank, (seen, kind)) in enumerate(heads.items()):
        _opening(diary, diary.world.tanks[tank], ago, place, seen, _warmth(diary.world, kind, warmth))
        _reading(diary, diary.world.tanks[tank], ago, place, _warmth(diary.world, kind, warmth))
        _cleaning(diary, diary.world.tanks[tank], ago, place)
        _closing(diary, diary.world.tanks[tank], ago, place, heads=_left_tonight(lives, tank, ago))
    _kitchen(diary, shelf, ago)


def _heads(lives: Iterable[Life], ago: int) -> Mapping[str, tuple[int, str]]:
    """Heads and kind by tank in the morning, in walking order."""
    found: dict[str, tuple[int, str]] = {}
    for life in lives:
        if life.here(ago) or life.left == ago:
            seen, _ = found.get(life.tank.key, (0, ""))
            found[life.tank.key] = (seen + life.row.heads, life.row.kind)
    return found


def _left_tonight(lives: Iterable[Life], tank: str, ago: int) -> int:
    there = (life for life in lives if life.tank.key == tank and life.here(ago))
    return sum(life.row.heads for life in there if not (life.away_since_yesterday and ago == 1))


def _warmth(world: World, kind: str, random: Random) -> tuple[float, float, float]:
    basking, cool, night = (round(each + random.gauss(0, 0.4), 1) for each in world.facts.warmth[kind])
    return basking, cool, night


def _opening(
    diary: Diary, tank: m.Tank, ago: int, place: int, heads: int, warmth: tuple[float, float, float]
) -> None:
    entry = diary.say(
        ago=ago,
        duty=f"{DutyKind.OPENING}/{tank.key}/0",
        kind=m.EntryKind.WALK,
        moment=diary.world.at(ago, "07:33") + timedelta(minutes=2 * place),
        tank=tank,
        heads=heads,
        lamps=True,
        water=True,
        droppings="normal",
        dead_or_nipped=False,
        night_low_c=warmth[2],
    )
    diary.read(entry=entry, tank=tank)


def _reading(diary: Diary, tank: m.Tank, ago: int, place: int, warmth: tuple[float, float, float]) -> None:
    low = diary.world.facts.wrong["basking_low_c"] if _is_low(diary.world, tank, ago) else (warmth[0],)
    for slot, (clock, basking_c) in enumerate(zip(("11:40", "15:20"), low, strict=False)):
        entry = diary.say(
            ago=ago,
            duty=f"{DutyKind.READING}/{tank.key}/{slot}",
            kind=m.EntryKind.READING,
            moment=diary.world.at(ago, clock) + timedelta(minutes=place),
            tank=tank,
            basking_c=basking_c,
            cool_c=warmth[1],
        )
        diary.read(entry=entry, tank=tank)


def _is_low(world: World, tank: m.Tank, ago: int) -> bool:
    return ago == 1 and tank.key == world.facts.wrong["basking_low"]


def _cleaning(diary: Diary, tank: m.Tank, ago: int, place: int) -> None:
    diary.say(
        ago=ago,
        duty=f"{DutyKind.CLEAN}/{tank.key}/0",
        kind=m.EntryKind.DONE,
        moment=diary.world.at(ago, "18:10") + timedelta(minutes=3 * place),
        tank=tank,
    )


def _closing(diary: Diary, tank: m.Tank, ago: int, place: int, heads: int) -> None:
    diary.say(
        ago=ago,
        duty=f"{DutyKind.CLOSING}/{tank.key}/0",
        kind=m.EntryKind.WALK,
        moment=diary.world.at(ago, "20:01") + timedelta(minutes=place),
        tank=tank,
        heads=heads,
        lids=True,
        tubs_empty=True,
        lamps_off=True,
        night_heat=True,
    )


def _kitchen(diary: Diary, shelf: Shelf, ago: int) -> None:
    world = diary.world
    cups = diary.say(
        ago=ago,
        duty=f"{DutyKind.CUPS}/{world.room.key}/0",
        kind=m.EntryKind.DONE,
        moment=world.at(ago, "08:35"),
    )
    for kind, grams in world.facts.feeds["greens_g"].items():
        shelf.feed(kind=kind, amount=grams, most_mm=0, entry=cups, ago=ago)
    shelf.feed(kind="calcium, no D3", amount=world.facts.feeds["powder_g"], most_mm=0, entry=cups, ago=ago)
    diary.say(
        ago=ago,
        duty=f"{DutyKind.INSECTS}/{world.room.key}/0",
        kind=m.EntryKind.DONE,
        moment=world.at(ago, "09:15"),
    )
