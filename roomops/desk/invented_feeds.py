"""The invented room's history of feeds: who was offered what, what was left, who refused."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from random import Random

from roomops.desk.invented_animals import Life
from roomops.desk.invented_days import Diary
from roomops.desk.invented_shelf import Shelf
from roomops.planning.room import DutyKind
from roomops.records import models as m

TRAY = 8  # heads fed side by side, one tray after the other by two people
SLOTS = {1: "08:50", 2: "12:55", 3: "16:00"}
MINUTES_A_TRAY = 22
TUESDAY_FRIDAY = (1, 4)  # insects for grown dragons, by their care sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    life: Life
    number: int  # of a lot's heads, from 1


def add_feeds(*, diary: Diary, shelf: Shelf, lives: Sequence[Life], ago: int) -> None:
    """All feeds of a day: the young in tubs slot by slot, grown animals in their tanks."""
    eaters = diary.world.random(f"appetite {ago}")
    young = [life for life in lives if life.adult is None]
    for slot in SLOTS:
        heads = _heads(young, slot, ago, third=int(diary.world.facts.feeds["third"]), diary=diary)
        for place, head in enumerate(heads):
            _tub(diary, shelf, head, slot, ago, place, eaters)
    for life in lives:
        if life.adult is not None and life.here(ago):
            _tank(diary, shelf, life, ago)


# ---------------------------------------------------------------- in tubs


def _heads(lives: Iterable[Life], slot: int, ago: int, *, third: int, diary: Diary) -> list[Head]:
    """Heads in the order of their turn: quarantine last, third feeds only as far as there was time."""
    fed = [life for life in lives if life.here(ago) and not _left_out(diary, life, slot, ago)]
    turns = sorted(fed, key=lambda life: life.tank.quarantine)
    heads = [Head(life=life, number=n) for life in turns for n in range(1, life.row.heads + 1)]
    if slot < 3:
        return heads
    clean = [head for head in heads if not head.life.tank.quarantine]
    first = (ago * third) % max(len(clean), 1)
    by_turns = (clean + clean)[first : first + min(third, len(clean))]
    return [head for head in by_turns if not _was_refused_twice(diary, head.life, ago)]


def _left_out(diary: Diary, life: Life, slot: int, ago: int) -> bool:
    """Yesterday: no more feeds where the basking side read low, none for the one that went to the vet."""
    too_cold = life.tank.key == diary.world.facts.wrong["basking_low"]
    return ago == 1 and slot > 1 and (too_cold or life.away_since_yesterday)


def _was_refused_twice(diary: Diary, life: Life, ago: int) -> bool:
    return ago == 1 and life.row.key == diary.world.facts.wrong["refused_twice"]


def _tub(diary: Diary, shelf: Shelf, head: Head, slot: int, ago: int, place: int, eaters: Random) -> None:
    world, life = diary.world, head.life
    offered = int(world.facts.feeds["offered"])
    left = _left(world.facts.feeds["left"], eaters)
    refused = left is None or _was_refused_twice(diary, life, ago)
    entry = diary.say(
        ago=ago,
        duty=f"{DutyKind.FEED}/{life.row.key}/{slot}",
        kind=m.EntryKind.REFUSED if refused else m.EntryKind.COUNT,
        tank=life.tank,
        head=head.number,
        moment=world.at(ago, SLOTS[slot])
        + timedelta(minutes=MINUTES_A_TRAY * (place // TRAY) + 15, seconds=20 * (place % TRAY)),
        offered=offered,
        left=offered if refused else left,
    )
    limit = life.length_mm(world, ago) * 0.045
    entry.data["food"] = shelf.feed(kind="cricket", amount=offered, most_mm=limit, entry=entry, ago=ago)
    life.row.last_fed_on = world.day(ago)


def _left(chances: Sequence[int], eaters: Random) -> int | None:
    """How many were left, None for a refusal, by chances of a hundred."""
    drawn = eaters.randrange(100)
    for left, chance in enumerate(chances):
        if drawn < chance:
            return left
        drawn -= chance
    return None


# ---------------------------------------------------------------- in their tanks


def _tank(diary: Diary, shelf: Shelf, life: Life, ago: int) -> None:
    match life.row.kind:
        case "bearded dragon":
            _greens(diary, life, ago)
            if diary.world.day(ago).weekday() in TUESDAY_FRIDAY:
                _prey(diary, shelf, life, ago, slot=2, clock="13:40", food=("roach", 6))
        case "leopard gecko" if ago % 2 == 0:
            _prey(diary, shelf, life, ago, slot=1, clock="19:40", food=("cricket", 5))
        case "corn snake" if ago % 7 == 0:
            _prey(diary, shelf, life, ago, slot=1, clock="19:48", food=("mouse", 1))
        case "Hermann's tortoise":
            _greens(diary, life, ago)


def _greens(diary: Diary, life: Life, ago: int) -> None:
    """A cup in the tank; what left the shelf stands with the chopping."""
    diary.say(
        ago=ago,
        duty=f"{DutyKind.FEED}/{life.row.key}/1",
        kind=m.EntryKind.COUNT,
        tank=life.tank,
        head=1,
        moment=diary.world.at(ago, "09:30") + timedelta(minutes=3 * life.tank.order),
        offered=0,
        left=0,
    )
    life.row.last_fed_on = diary.world.day(ago)


def _prey(
    diary: Diary, shelf: Shelf, life: Life, ago: int, *, slot: int, clock: str, food: tuple[str, int]
) -> None:
    kind, offered = food
    assert life.adult is not None  # noqa: S101  # only they are fed in their tanks
    entry = diary.say(
        ago=ago,
        duty=f"{DutyKind.FEED}/{life.row.key}/{slot}",
        kind=m.EntryKind.COUNT,
        tank=life.tank,
        head=1,
        moment=diary.world.at(ago, clock) + timedelta(minutes=life.tank.order),
        offered=offered,
        left=0,
    )
    most_mm = life.adult.girth_mm or life.adult.gap_mm or 0
    entry.data["food"] = shelf.feed(kind=kind, amount=offered, most_mm=most_mm, entry=entry, ago=ago)
    life.row.last_fed_on = diary.world.day(ago)
