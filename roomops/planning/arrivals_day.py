"""One day planned with a lot in quarantine: what must be done and fits no more, and what hands it takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from roomops.husbandry.care import Need, StageCare
from roomops.planning.first_fit import plan_day
from roomops.planning.plan import Plan, Why
from roomops.planning.room import Food, Resident, Room, Status, Tank

LOT = "lot-asked-about"
BY_TUBS = frozenset({Why.NO_TUBS, Why.NO_TUB_FITS})
NOT_ITS_FAULT = frozenset({Why.NO_FOOD, Why.BASKING_LOW})  # answered by the shelf, and by a thermometer


@dataclass(frozen=True, slots=True, kw_only=True)
class LotDay:
    """What became of the day. ``lost``: duties that must be done and do not fit for the lot's sake."""

    lost: tuple[str, ...]
    by_tubs: bool
    should_lost: int
    added_min: float  # hands that the day takes more: rounds, and what must be done and does not fit
    free_min: float  # planned presence that no round takes without the lot


def lot_day(
    *,
    room: Room,
    without: Plan,
    care: StageCare,
    length_mm: float | None,
    tanks: Sequence[tuple[str, int]],
    supplies: Sequence[Food] = (),
) -> LotDay:
    """Plan the room's day with the lot in these (tank, heads); a tank that is not there is put up for it.

    ``without`` is the same day's plan without the lot.
    """
    plan = plan_day(room=with_lot(room=room, care=care, length_mm=length_mm, tanks=tanks, supplies=supplies))
    before = {short.duty for short in without.unplaced}
    found = [s for s in plan.unplaced if s.duty not in before and s.why not in NOT_ITS_FAULT]
    need = {duty.key: duty.need for duty in plan.duties}
    minutes = {duty.key: duty.minutes for duty in plan.duties}
    lost = [short for short in found if need[short.duty] is Need.MUST]
    return LotDay(
        lost=tuple(short.duty for short in lost),
        by_tubs=bool(lost) and all(short.why in BY_TUBS for short in lost),
        should_lost=sum(1 for short in found if need[short.duty] is Need.SHOULD),
        added_min=max(_busy(plan) - _busy(without) + sum(minutes[s.duty] for s in lost), 0.0),
        free_min=max(_present(room) - _busy(without), 0.0),
    )


def with_lot(
    *,
    room: Room,
    care: StageCare,
    length_mm: float | None,
    tanks: Sequence[tuple[str, int]],
    supplies: Sequence[Food] = (),
) -> Room:
    """Return the room with the lot in its tanks, in quarantine and not told apart."""
    if not tanks:
        return room
    known = {(each.kind, each.stage) for each in room.care}
    there = {tank.key for tank in room.tanks}
    more = tuple(_another(room, key) for key, _ in tanks if key not in there)
    lot = tuple(
        Resident(
            key=f"{LOT}-{tank}", name=LOT, kind=care.kind, stage=care.stage, tank=tank,
            status=Status.QUARANTINE, heads=heads, lot=LOT, length_mm=length_mm, length_on=room.day,
        )
        for tank, heads in tanks
    )  # fmt: skip
    return replace(
        room,
        tanks=(*room.tanks, *more),
        residents=(*room.residents, *lot),
        care=room.care if (care.kind, care.stage) in known else (*room.care, care),
        foods=(*room.foods, *supplies),
    )


def _another(room: Room, key: str) -> Tank:
    """A quarantine tank like the first one that stands there."""
    like = next((t for t in room.tanks if t.quarantine), None) or next(iter(room.tanks), None)
    if like is None:
        return Tank(key=key, name=key, rack="", order=0, timer="", quarantine=True)
    return replace(like, key=key, name=key, quarantine=True)


def _busy(plan: Plan) -> float:
    return float(sum(each.end - each.start for each in plan.rounds))


def _present(room: Room) -> float:
    return sum((shift.end - shift.start) * shift.share for shift in room.shifts)
