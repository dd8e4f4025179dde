"""Use cases of the opening and closing walks along the rack."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from typing import Any
from uuid import UUID

from roomops.desk.checking import DROPPINGS
from roomops.desk.day_readings import NO_LIMITS, Limits, limits_of
from roomops.desk.day_types import Day, LastReading, RoundView
from roomops.desk.doubt import not_doubtful
from roomops.desk.entries import Answer, Said, say_or_refuse
from roomops.desk.refusals import No, Refused
from roomops.desk.state import DutyState
from roomops.planning.plan import Duty
from roomops.planning.room import FED, DutyKind, Resident
from roomops.records.models import EntryKind, Person

__all__ = ["DROPPINGS", "RackView", "WalkRow", "closing_seen", "opening_seen", "rack_view"]

WALKS = {DutyKind.OPENING, DutyKind.CLOSING}


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkRow:
    """One tank of a walk. None: nobody has said it yet."""

    duty: str
    tank: str
    tank_name: str
    who: tuple[str, ...]  # names or marks of those by the book
    kinds: tuple[str, ...]
    by_the_book: int
    away: tuple[tuple[str, str], ...]  # (label, status) of residents of this tank who are not in the room
    quarantine: bool
    done: bool
    heads: int | None
    lamps: bool | None
    water: bool | None
    droppings: str | None
    dead_or_nipped: bool | None
    night_low_c: float | None
    lids: bool | None
    tubs_empty: bool | None
    lamps_off: bool | None
    night_heat: bool | None
    at: datetime | None
    by: str
    entry: UUID | None
    night_band_c: tuple[float, float] | None
    last_night_low_c: float | None
    last_night_low_on: date | None
    has_lamps: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RackView:
    """One walk round, tank by tank in walking order; ``current`` is the first that is not done."""

    day: Day
    view: RoundView
    closing: bool
    racks: tuple[tuple[str, tuple[WalkRow, ...]], ...]  # (rack name, its tanks)
    rows: tuple[WalkRow, ...]
    current: WalkRow | None
    tanks_done: int
    seen: int
    by_the_book: int
    out: int  # animals in tubs anywhere in the room: no closing while there is one


def rack_view(*, day: Day, round_key: str) -> RackView:
    """Return the walk. Raises Refused(UNKNOWN_ROUND), also for a round that is no walk."""
    view = day.view(round_key)
    if view.round.kind not in WALKS:
        raise Refused(No.UNKNOWN_ROUND, value=round_key)
    rows = _rows(day=day, duties=[day.duties[key] for key in view.duties])
    rack_of = {tank.key: tank.rack for tank in day.facts.tanks}
    racks = groupby(rows, key=lambda row: rack_of.get(row.tank, ""))
    return RackView(
        day=day,
        view=view,
        closing=view.round.kind is DutyKind.CLOSING,
        racks=tuple((day.label("rack", rack), tuple(tanks)) for rack, tanks in racks),
        rows=rows,
        current=next((row for row in rows if not row.done), None),
        tanks_done=sum(1 for row in rows if row.done),
        seen=sum(row.heads or 0 for row in rows),
        by_the_book=sum(row.by_the_book for row in rows),
        out=sum(each.out for each in day.rounds),
    )


def _rows(*, day: Day, duties: list[Duty]) -> tuple[WalkRow, ...]:
    order = {tank.key: place for place, tank in enumerate(day.facts.tanks)}
    lows = {each.tank: each for each in day.readings if each.spot == "night low"}
    limits = limits_of(facts=day.facts)
    living: dict[str, list[Resident]] = {}
    for resident in day.facts.residents:
        living.setdefault(resident.tank, []).append(resident)
    return tuple(
        _row(
            day=day,
            duty=duty,
            residents=living.get(duty.tank, []),
            low=lows.get(duty.tank),
            limits=limits.get((duty.tank, "night low"), NO_LIMITS),
        )
        for duty in sorted(duties, key=lambda d: order.get(d.tank, len(order)))
    )


def _row(
    *, day: Day, duty: Duty, residents: list[Resident], low: LastReading | None, limits: Limits
) -> WalkRow:
    said = day.state.duties.get(duty.key)
    data: Mapping[str, Any] = said.data if said else {}
    here = [each for each in residents if each.status in FED]
    names = {(care.kind, care.stage): care.kind_name for care in day.facts.care}
    timers = {tank.key: tank.timer for tank in day.facts.tanks}
    return WalkRow(
        duty=duty.key,
        tank=duty.tank,
        tank_name=day.label("tank", duty.tank),
        who=tuple(day.label("resident", each.key) for each in here),
        kinds=tuple(dict.fromkeys(names.get((each.kind, each.stage), each.kind) for each in here)),
        by_the_book=sum(each.heads for each in here),
        away=tuple((each.name, each.status.value) for each in residents if each.status not in FED),
        quarantine=duty.quarantine,
        done=said is not None,
        heads=data.get("heads"),
        lamps=data.get("lamps"),
        water=data.get("water"),
        droppings=data.get("droppings"),
        dead_or_nipped=data.get("dead_or_nipped"),
        night_low_c=data.get("night_low_c"),
        lids=data.get("lids"),
        tubs_empty=data.get("tubs_empty"),
        lamps_off=data.get("lamps_off"),
        night_heat=data.get("night_heat"),
        at=said.word.at if said else None,
        by=said.word.by_name if said else "",
        entry=said.word.entry if said else None,
        night_band_c=limits.edges_c,
        last_night_low_c=low.value_c if low else None,
        last_night_low_on=low.on if low else None,
        has_lamps=bool(timers.get(duty.tank)),
    )


def opening_seen(
    *,
    day: Day,
    duty: str,
    heads: int,
    lamps: bool,
    water: bool,
    droppings: str,
    dead_or_nipped: bool,
    night_low_c: float | None,
    by: Person,
    form: UUID,
    keep: bool = False,
) -> tuple[Answer, ...]:
    """A tank was seen in the morning. A short head is kept and makes a note 'n of m seen': search.

    Refused: DOUBTFUL for a night low far from its band, unless ``keep``; OUT_OF_RANGE; UNKNOWN_DUTY. Saying a
    tank again corrects what was said.
    """
    tank = _tank_of(day=day, duty=duty, kind=DutyKind.OPENING)
    data = {
        "heads": heads,
        "lamps": lamps,
        "water": water,
        "droppings": droppings,
        "dead_or_nipped": dead_or_nipped,
    }
    if night_low_c is not None:
        data["night_low_c"] = night_low_c

    def guard() -> None:
        if night_low_c is not None and not keep:
            not_doubtful(facts=day.facts, tank=tank, spot="night low", value_c=night_low_c)

    return say_or_refuse(day=day, by=by, said=[_walked(day, duty, form, data)], guard=guard)


def closing_seen(
    *,
    day: Day,
    duty: str,
    heads: int,
    lids: bool,
    tubs_empty: bool,
    lamps_off: bool,
    night_heat: bool,
    water: bool,
    dead_or_nipped: bool,
    by: Person,
    form: UUID,
) -> tuple[Answer, ...]:
    """A tank was seen in the evening. Refused: ANIMALS_OUT while an animal of this tank is in a tub."""
    tank = _tank_of(day=day, duty=duty, kind=DutyKind.CLOSING)
    data = {
        "heads": heads,
        "lids": lids,
        "tubs_empty": tubs_empty,
        "lamps_off": lamps_off,
        "night_heat": night_heat,
        "water": water,
        "dead_or_nipped": dead_or_nipped,
    }

    def guard() -> None:
        out = [key for (key, _), head in day.state.heads.items() if head.in_tub]
        tubs = [key for key in out if (a := day.animals.get(key.split("/")[2])) and a.tank == tank]
        if tubs:
            names = tuple(dict.fromkeys(day.label("resident", key.split("/")[2]) for key in tubs))
            raise Refused(No.ANIMALS_OUT, count=len(tubs), tubs=names)

    return say_or_refuse(day=day, by=by, said=[_walked(day, duty, form, data)], guard=guard)


def _tank_of(*, day: Day, duty: str, kind: DutyKind) -> str:
    found = day.duties.get(duty)
    if found is None or found.kind is not kind:
        raise Refused(No.UNKNOWN_DUTY, value=duty)
    return found.tank


def _walked(day: Day, duty: str, form: UUID, data: Mapping[str, Any]) -> Said:
    before: DutyState | None = day.state.duties.get(duty)
    corrects = before.word.entry if before else None
    return Said(id=form, duty=duty, kind=EntryKind.WALK, data=data, corrects=corrects)
