"""What the page of a failed heating or power shows: who comes first, what each tank does, what is next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from roomops.desk import outage as desk
from roomops.desk.day_types import Day
from roomops.desk.state import Phase
from roomops.husbandry.care import StageCare
from roomops.husbandry.outage import Course, Failed, First, Risk, course, risk
from roomops.planning.room import FED, Resident
from roomops.records.models import Outage, Reading, Spot

LOOK_BACK = timedelta(hours=24)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    value_c: float
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class TankRisk:
    """One tank in the order of who suffers first. ``before`` and ``last``: what it read before and since.

    ``limit_c`` is what the last reading is held against, None where no sheet sets one.
    """

    tank: str
    name: str
    rack: str
    quarantine: bool
    heads: int
    kinds: tuple[tuple[str, str], ...]  # (kind, stage name)
    why: First
    limit_c: float | None
    before: Seen | None
    last: Seen | None
    coolest: float | None  # of what was read since, both sides; for a hot room the hottest of the cool side
    course: Course
    due: bool  # not read in this half hour


@dataclass(frozen=True, slots=True, kw_only=True)
class OutageView:
    """``kind`` and ``began`` of what is failed, None when nothing is. ``returned``: when it was over today.

    ``out`` are animals in tubs now: they go back first. ``cold``: names not in band since it was over.
    """

    day: Day
    kind: str
    began: datetime | None
    minutes: int
    tanks: tuple[TankRisk, ...]
    next_check: datetime | None
    due: int  # tanks not read in this half hour
    out: tuple[str, ...]
    returned: datetime | None
    cold: tuple[str, ...]

    @property
    def open(self) -> bool:
        return self.began is not None


def outage_view(*, day: Day, failed: str = "") -> OutageView:
    """Return the page's facts: three queries beside the day's, whatever the room's size.

    ``failed`` asks for an order while nothing has failed: what would come first.
    """
    row = Outage.objects.filter(room=day.room, ended=None, began__lte=day.now).first()
    kind = row.kind if row else (failed or Failed.POWER.value)
    began = row.began.astimezone(day.zone) if row else None
    tanks = _tanks(day=day, failed=Failed(kind), began=began)
    returned = None if row else desk.returned_at(day=day)
    cold = desk.cold_since(day=day, ended=returned) if returned else []
    every = timedelta(minutes=day.facts.settings.heat_check_every_min)
    return OutageView(
        day=day,
        kind=kind,
        began=began,
        minutes=int((day.now - began) / timedelta(minutes=1)) if began else 0,
        tanks=tanks,
        next_check=desk.slot_began(day=day) + every if began else None,
        due=sum(1 for each in tanks if each.due) if began else 0,
        out=_out(day),
        returned=returned,
        cold=tuple(day.label("tank", tank) for tank in cold),
    )


def _out(day: Day) -> tuple[str, ...]:
    phases = {Phase.OUT, Phase.COUNTED}
    return tuple(
        day.label("resident", duty.split("/")[2])
        for (duty, _), head in day.state.heads.items()
        if head.out is not None and head.phase in phases
    )


def by_risk(
    *, facts: Sequence[Resident], care: Mapping[tuple[str, str], StageCare], failed: Failed
) -> list[tuple[str, Risk]]:
    """Return (tank, its worst risk) of all who are here, worst first."""
    worst: dict[str, Risk] = {}
    for each in facts:
        if each.status in FED:
            found = risk(care=care[each.kind, each.stage], failed=failed, weight_g=each.weight_g)
            if each.tank not in worst or found.rank < worst[each.tank].rank:
                worst[each.tank] = found
    return sorted(worst.items(), key=lambda pair: (pair[1].rank, pair[0]))


def _tanks(*, day: Day, failed: Failed, began: datetime | None) -> tuple[TankRisk, ...]:
    care = {(each.kind, each.stage): each for each in day.facts.care}
    before, since = _readings(day=day, began=began)
    slot = desk.slot_began(day=day) if began else day.now
    living: dict[str, list[Resident]] = {}
    for each in day.facts.residents:
        if each.status in FED:
            living.setdefault(each.tank, []).append(each)
    tanks = {tank.key: tank for tank in day.facts.tanks}
    found = []
    for key, worst in by_risk(facts=day.facts.residents, care=care, failed=failed):
        spots = since.get(key, {})
        value = _worst(spots, failed)
        last = spots.get(Spot.BASKING) or spots.get(Spot.COOL)
        found.append(
            TankRisk(
                tank=key,
                name=tanks[key].name,
                rack=tanks[key].rack,
                quarantine=tanks[key].quarantine,
                heads=sum(each.heads for each in living[key]),
                kinds=tuple(dict.fromkeys((r.kind, care[r.kind, r.stage].stage_name) for r in living[key])),
                why=worst.why,
                limit_c=worst.limit_c,
                before=before.get(key),
                last=last,
                coolest=value,
                course=course(value_c=value, limit_c=worst.limit_c, failed=failed),
                due=last is None or max(seen.at for seen in spots.values()) < slot,
            )
        )
    return tuple(found)


def _worst(spots: Mapping[str, Seen], failed: Failed) -> float | None:
    """The coldest that was read; of a hot room what its cool side read, where animals can go."""
    if not spots:
        return None
    if failed is Failed.HOT and Spot.COOL in spots:
        return spots[Spot.COOL].value_c
    return min(seen.value_c for seen in spots.values())


def _readings(
    *, day: Day, began: datetime | None
) -> tuple[Mapping[str, Seen], Mapping[str, Mapping[str, Seen]]]:
    """The last basking reading of each tank before, and the last of each spot since: one query."""
    start = (began or day.now) - LOOK_BACK
    rows = Reading.objects.filter(room=day.room, at__gte=start, at__lte=day.now).exclude(spot=Spot.NIGHT_LOW)
    before: dict[str, Seen] = {}
    since: dict[str, dict[str, Seen]] = {}
    for tank, spot, value, at in rows.order_by("at", "pk").values_list("tank__key", "spot", "value_c", "at"):
        seen = Seen(value_c=value, at=at.astimezone(day.zone))
        if began is not None and at >= began:
            since.setdefault(tank, {})[spot] = seen
        elif spot == Spot.BASKING:
            before[tank] = seen
    return before, since
