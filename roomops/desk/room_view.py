"""The room as it stands in its racks: tanks to scale, who lives there, how warm, what is worth a look."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from roomops.desk import company, early_word
from roomops.desk.day_types import Animal, Day, LastReading, Trouble, TroubleKind
from roomops.desk.refusals import No, Refused
from roomops.planning.plan import Duty
from roomops.planning.room import FED, Rack, Resident
from roomops.planning.room import Tank as TankFacts
from roomops.planning.watch import Concern
from roomops.records.models import Tank

SHELF_MM = 2540.0  # a shelf of a rack is drawn up to so long: tanks stand in walking order
SAID_BY_WORD = {TroubleKind.REFUSED_TWICE, TroubleKind.SHORT_HEAD, TroubleKind.MISSING}


@dataclass(frozen=True, slots=True, kw_only=True)
class TankView:
    """One tank as it stands. Outside measures in mm. ``readings`` by spot."""

    key: str
    name: str
    rack: str
    quarantine: bool
    length_mm: float
    depth_mm: float
    height_mm: float
    animals: tuple[Animal, ...]
    residents: tuple[Resident, ...]  # with their measures, as planning knows them
    heads: int  # in it now
    readings: Mapping[str, LastReading]
    lamps: frozenset[str]  # kinds that hang on it and are not blown
    concerns: tuple[Concern, ...]
    troubles: tuple[Trouble, ...]

    @property
    def bad(self) -> bool:
        """A reading out of its band, or something that somebody said is wrong."""
        return bool(self.troubles)


@dataclass(frozen=True, slots=True, kw_only=True)
class RackView:
    """One rack: its tanks on shelves, top to bottom. ``oldest`` basking reading of today, None for none."""

    key: str
    name: str
    quarantine: bool
    shelves: tuple[tuple[TankView, ...], ...]
    troubles: int
    words: int
    oldest: datetime | None
    unread: int

    @property
    def tanks(self) -> tuple[TankView, ...]:
        return tuple(tank for shelf in self.shelves for tank in shelf)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomView:
    """All racks, quarantine last, and every concern, worst first."""

    racks: tuple[RackView, ...]
    concerns: tuple[Concern, ...]
    troubles: tuple[Trouble, ...]  # of the day, without those that early word says across shifts

    def rack(self, key: str) -> RackView:
        """Return a rack. Raises Refused(UNKNOWN_RACK)."""
        for each in self.racks:
            if each.key == key:
                return each
        raise Refused(No.UNKNOWN_RACK, value=key)

    def tank(self, key: str) -> TankView:
        """Return a tank. Raises Refused(UNKNOWN_TANK)."""
        for each in self.racks:
            for tank in each.tanks:
                if tank.key == key:
                    return tank
        raise Refused(No.UNKNOWN_TANK, value=key)


def room_view(*, day: Day) -> RoomView:
    """Return the room as it stands: five queries more than the day, for a room of any size."""
    words = early_word.early_word(day=day)
    troubles = tuple(each for each in day.wrong if each.kind not in SAID_BY_WORD)
    tanks = _tanks(day, words, troubles)
    racks = [_rack(day, rack, tanks.get(rack.key, ())) for rack in day.facts.racks]
    racks.sort(key=lambda rack: rack.quarantine)
    return RoomView(racks=tuple(racks), concerns=words, troubles=troubles)


def _tanks(
    day: Day, words: Sequence[Concern], troubles: Sequence[Trouble]
) -> Mapping[str, Sequence[TankView]]:
    sizes = {tank.key: tank for tank in Tank.objects.filter(room=day.room)}
    animals = _by_tank(day)
    readings: dict[str, dict[str, LastReading]] = defaultdict(dict)
    for each in day.readings:
        readings[each.tank][each.spot] = each
    lamps: dict[str, set[str]] = defaultdict(set)
    for lamp in day.facts.lamps:
        if not lamp.blown:
            lamps[lamp.tank].add(lamp.kind)
    homes = {each.key: each.tank for each in day.facts.residents}
    worded: dict[str, list[Concern]] = defaultdict(list)
    for word in words:
        worded[word.subject if word.tank else homes.get(word.subject, "")].append(word)
    wrong: dict[str, list[Trouble]] = defaultdict(list)
    for trouble in troubles:
        wrong[trouble.tank].append(trouble)
    found: dict[str, list[TankView]] = defaultdict(list)
    for tank in day.facts.tanks:
        living = animals.get(tank.key, ())
        found[tank.rack].append(
            _tank(
                tank=tank,
                size=sizes[tank.key],
                living=[(each, day.animals[each.key]) for each in living],
                readings=readings[tank.key],
                lamps=lamps[tank.key],
                words=worded[tank.key],
                troubles=wrong[tank.key],
            )
        )
    return found


def _by_tank(day: Day) -> Mapping[str, Sequence[Resident]]:
    found: dict[str, list[Resident]] = defaultdict(list)
    for each in day.facts.residents:
        found[each.tank].append(each)
    return found


def _tank(
    *,
    tank: TankFacts,
    size: Tank,
    living: Sequence[tuple[Resident, Animal]],
    readings: Mapping[str, LastReading],
    lamps: Iterable[str],
    words: Sequence[Concern],
    troubles: Sequence[Trouble],
) -> TankView:
    return TankView(
        key=tank.key,
        name=tank.name,
        rack=tank.rack,
        quarantine=tank.quarantine,
        length_mm=size.length_mm,
        depth_mm=size.depth_mm,
        height_mm=size.height_mm,
        animals=tuple(animal for _, animal in living),
        residents=tuple(resident for resident, _ in living),
        heads=sum(each.heads for each, _ in living if each.status in FED),
        readings=dict(readings),
        lamps=frozenset(lamps),
        concerns=tuple(words),
        troubles=tuple(troubles),
    )


def _rack(day: Day, rack: Rack, tanks: Sequence[TankView]) -> RackView:
    basking = [tank.readings.get("basking") for tank in tanks]
    today = [each.at for each in basking if each is not None and each.at is not None]
    lived_in = [tank for tank in tanks if tank.heads]
    return RackView(
        key=rack.key,
        name=day.label("rack", rack.key),
        quarantine=bool(tanks) and all(tank.quarantine for tank in tanks),
        shelves=tuple(_shelves(tanks)),
        troubles=sum(len(tank.troubles) for tank in tanks),
        words=sum(len(tank.concerns) for tank in tanks),
        oldest=min(today, default=None),
        unread=sum(1 for tank in lived_in if "basking" not in tank.readings
                   or tank.readings["basking"].at is None),
    )  # fmt: skip


def _shelves(tanks: Sequence[TankView]) -> Iterable[tuple[TankView, ...]]:
    """Tanks in walking order on shelves as long as the rack: a longer tank has a shelf of its own."""
    shelf: list[TankView] = []
    for tank in tanks:
        if shelf and sum(each.length_mm for each in shelf) + tank.length_mm > SHELF_MM:
            yield tuple(shelf)
            shelf = []
        shelf.append(tank)
    if shelf:
        yield tuple(shelf)


# ---------------------------------------------------------------- one tank


@dataclass(frozen=True, slots=True, kw_only=True)
class TankPage:
    """One tank with what is still to do there, its floor and how far apart its sizes are."""

    tank: TankView
    rack_name: str
    shelf: int  # from the top, as drawn
    to_do: tuple[tuple[Duty, str, datetime, datetime, bool], ...]  # duty, person, from, to, late
    floor: company.Floor
    ratio: float | None  # heaviest to lightest
    group_most: int | None


def tank_page(*, day: Day, key: str) -> TankPage:
    """Return one tank. Raises Refused(UNKNOWN_TANK). Nine queries more than the day."""
    room = room_view(day=day)
    tank = room.tank(key)
    rack = room.rack(tank.rack)
    there = company.living(room=day.room, day=day.day).get(key, ())
    weights = [each.weight_g for each in there if each.weight_g and each.heads == 1]
    size = Tank.objects.get(room=day.room, key=key)
    return TankPage(
        tank=tank,
        rack_name=rack.name,
        shelf=1 + next(n for n, shelf in enumerate(rack.shelves) if tank in shelf),
        to_do=tuple(_to_do(day, key)),
        floor=company.floor(tank=size, there=there),
        ratio=max(weights) / min(weights) if len(weights) > 1 else None,
        group_most=min((each.care.group_most for each in there), default=None),
    )


def _to_do(day: Day, tank: str) -> Iterable[tuple[Duty, str, datetime, datetime, bool]]:
    undone = set(day.undone)
    for view in day.rounds:
        kinds = set()
        for key in view.duties:
            duty = day.duties.get(key)
            if duty is None or duty.tank != tank or key not in undone or duty.kind in kinds:
                continue
            kinds.add(duty.kind)
            late = view.left > 0 and view.minutes_late > 0
            yield duty, view.person_name, view.starts, view.ends, late
