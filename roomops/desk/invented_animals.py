"""The invented room's animals: where they have lived, how they stand, and how they grew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from roomops.desk.invented_facts import Adult, Clutch, UnmarkedLot
from roomops.desk.invented_world import World
from roomops.planning.room import Status
from roomops.records import models as m

WEIGHED_EVERY = 7  # days, the young
LENGTH_EVERY = 16
ADULT_WEIGHED_EVERY = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Life:
    """One resident row through the history: here from ``arrived`` until ``left`` days ago (-1: still)."""

    row: m.Resident
    tank: m.Tank
    hatched: int
    arrived: int
    left: int = -1
    factor: float = 1.0  # of the growth line
    adult: Adult | None = None

    def here(self, ago: int) -> bool:
        """Return True on the days that it was seen in its tank from morning to evening."""
        return self.left < ago < self.arrived

    @property
    def away_since_yesterday(self) -> bool:
        return self.row.status == Status.AT_VET

    def length_mm(self, world: World, ago: int) -> float:
        growth = world.facts.growth
        grown = growth.hatch_length_mm + growth.mm_a_day * (self.hatched - ago)
        return self.adult.length_mm if self.adult else grown * self.factor

    def weight_g(self, world: World, ago: int) -> float:
        growth = world.facts.growth
        if self.adult:
            return self.adult.weight_g * (1 - 0.0004 * ago)
        return growth.hatch_weight_g * (self.length_mm(world, ago) / growth.hatch_length_mm) ** 3

    def gap_mm(self, world: World, ago: int) -> float:
        if self.adult:
            return self.adult.gap_mm or 0
        return self.length_mm(world, ago) * world.facts.growth.gap_share


def add_animals(*, world: World) -> tuple[Life, ...]:
    """Add every resident with its stays, spells and measurements, and return their lives in walking order."""
    lives = [
        *(life for clutch in world.facts.clutches for life in _clutch(world, clutch)),
        *(life for lot in world.facts.lots for life in _lot(world, lot)),
        *(_adult(world, adult) for adult in world.facts.adults),
        *_gone(world),
    ]
    ordered = tuple(sorted(lives, key=lambda life: (life.tank.rack.order, life.tank.order)))
    for life in ordered:
        _history(world, life)
    for place, life in enumerate(ordered):
        _measure(world, life, place)
    return ordered


def _key(tank: str, mark: str) -> str:
    return f"{tank} {mark}".lower().replace(" ", "-")


def _resident(world: World, *, arrived: int, hatched: int, status: Status, **values: object) -> m.Resident:
    since = world.at(arrived, "15:00")
    return world.add(
        m.Resident,
        written_at=since,
        by=world.people["tamsin"],
        hatched_on=world.day(hatched),
        status=status.value,
        status_since=since,
        **values,
    )


def _clutch(world: World, clutch: Clutch) -> Iterator[Life]:
    for name in clutch.tanks:
        for mark in clutch.marks:
            yield _marked(world, clutch, name, mark)


def _marked(world: World, clutch: Clutch, tank_name: str, mark: str, left: int = -1) -> Life:
    tank = world.tanks[tank_name.lower()]
    row = _resident(
        world,
        arrived=clutch.arrived,
        hatched=clutch.hatched,
        status=Status.QUARANTINE if clutch.quarantine else Status.HERE,
        key=_key(tank_name, mark),
        mark=mark,
        identity="marked",
        kind=clutch.kind,
        tank=tank,
        for_adoption=not clutch.quarantine,
    )
    spread = world.facts.growth.spread
    factor = 1 + world.random(f"growth {row.key}").uniform(-spread, spread)
    return Life(row=row, tank=tank, hatched=clutch.hatched, arrived=clutch.arrived, left=left, factor=factor)


def _gone(world: World) -> Iterator[Life]:
    clutches = {clutch.key: clutch for clutch in world.facts.clutches}
    for gone in world.facts.gone:
        yield _marked(world, clutches[gone.clutch], gone.tank, gone.mark, left=gone.left)


def _lot(world: World, lot: UnmarkedLot) -> Iterator[Life]:
    made = world.add(
        m.Lot,
        written_at=world.at(lot.arrived, "15:00"),
        by=world.people["tamsin"],
        key=lot.key,
        name=lot.name,
        kind=lot.kind,
        arrived_on=world.day(lot.arrived),
        breeder=lot.breeder,
        heads_arrived=lot.heads * len(lot.tanks),
    )
    for name in lot.tanks:
        tank = world.tanks[name.lower()]
        row = _resident(
            world,
            arrived=lot.arrived,
            hatched=lot.hatched,
            status=Status.HERE,
            key=_key(name, "unmarked"),
            identity="unmarked",
            kind=lot.kind,
            lot=made,
            heads=lot.heads,
            tank=tank,
        )
        yield Life(row=row, tank=tank, hatched=lot.hatched, arrived=lot.arrived)


def _adult(world: World, adult: Adult) -> Life:
    tank = world.tanks[(adult.tank or adult.name).lower()]
    row = _resident(
        world,
        arrived=adult.arrived,
        hatched=adult.hatched,
        status=Status.QUARANTINE if adult.quarantine else Status.STORE,
        key=adult.name.lower(),
        name=adult.name,
        identity="named",
        kind=adult.kind,
        sex=adult.sex,
        tank=tank,
    )
    return Life(row=row, tank=tank, hatched=adult.hatched, arrived=adult.arrived, adult=adult)


# ---------------------------------------------------------------- where they lived, how they stand


def _history(world: World, life: Life) -> None:
    row, since = life.row, life.row.status_since
    stay = world.add(
        m.Stay,
        written_at=since,
        by=row.written_by,
        resident=row,
        tank=life.tank,
        heads=row.heads,
        since=since,
    )
    _spell(world, life)
    if life.left >= 0:
        row.status, row.status_since = Status.SOLD.value, world.at(life.left, "16:10")
        row.for_adoption = False
        stay.until = row.status_since
        _spell(world, life)
    _wrong(world, life)


def _wrong(world: World, life: Life) -> None:
    wrong, row = world.facts.wrong, life.row
    if row.key == wrong["at_vet"]:
        row.status, row.status_note = Status.AT_VET.value, wrong["at_vet_note"]
        row.status_since = world.at(1, "11:20")
        _spell(world, life)
    if row.key == wrong["on_hold"]:
        row.status, row.status_note = Status.ON_HOLD.value, wrong["on_hold_note"]
        row.name = wrong["on_hold_name"]
        row.status_since, row.status_until = world.at(2, "17:05"), world.day(-wrong["on_hold_days"])
        _spell(world, life)


def _spell(world: World, life: Life) -> None:
    row = life.row
    world.add(
        m.Spell,
        written_at=row.status_since,
        by=world.people["bea"],
        resident=row,
        status=row.status,
        since=row.status_since,
        heads=row.heads,
        note=row.status_note,
    )


# ---------------------------------------------------------------- how they grew


def _measure(world: World, life: Life, place: int) -> None:
    """Weights and lengths before the first feed of the day, a few animals a day so that no morning drowns."""
    first = 1 + place % 6
    every = ADULT_WEIGHED_EVERY if life.adult else WEIGHED_EVERY
    if life.row.heads == 1:
        for ago in range(first, min(life.arrived, 40), every):
            _measurement(
                world, life, ago, "weight_g", life.weight_g(world, ago) - _lost(world, life, ago, first)
            )
    if life.tank.key == world.facts.wrong["not_measured"]:
        _measurement(world, life, life.arrived, "length_mm", life.length_mm(world, life.arrived))
        return
    for ago in range(first, min(life.arrived, 40), LENGTH_EVERY):
        _measurement(world, life, ago, "length_mm", life.length_mm(world, ago))
        if place % 3 or life.adult or life.row.heads > 1:
            _measurement(world, life, ago, "gap_mm", life.gap_mm(world, ago))
        if life.adult and life.adult.girth_mm:
            _measurement(world, life, ago, "girth_mm", life.adult.girth_mm)


def _lost(world: World, life: Life, ago: int, last: int) -> float:
    """What the animal that loses weight has lost at its last weighing, against the line of its growth."""
    if life.row.key != world.facts.wrong["losing"] or ago != last:
        return 0.0
    before = life.weight_g(world, ago + WEIGHED_EVERY)
    return life.weight_g(world, ago) - before + float(world.facts.wrong["losing_g"])


def _measurement(world: World, life: Life, ago: int, measure: str, value: float) -> None:
    if ago < life.left or value <= 0:
        return
    moment = world.at(ago, "16:30" if ago == life.arrived else "07:55")
    there = world.on_shift(moment) or [world.people["tamsin"]]
    world.add(
        m.Measurement,
        written_at=moment,
        by=there[0],
        resident=life.row,
        measure=measure,
        value=round(value, 0 if measure == "length_mm" else 1),
        at=moment,
    )
