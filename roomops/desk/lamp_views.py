"""The lamps as pages see them: blown, due, not as they must be; spares that fit, timers and seasons."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from django.db.models import Sum

from roomops.desk.day_types import Day
from roomops.desk.lamp_rules import FITS, Fit, Fixture, Missing, fit, missing, together
from roomops.desk.refusals import No, Refused
from roomops.husbandry.lamps import NOTICE_DAYS
from roomops.planning.room import DutyKind
from roomops.records.models import Batch, Lamp, LampKind, Room, Timer, TimerSeason
from roomops.records.seasons import hours_on, season_on
from roomops.records.snapshot_lamps import uv_due

BULB = "bulb"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spare:
    """A batch of bulbs on the shelf, and how it fits a fixture (None where it is held against none)."""

    batch: str
    name: str
    kind: str
    watts: int | None
    on_hand: int
    fit: Fit | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LampView:
    """What burns in one fixture. ``due`` is by its rule and the day it was fitted, None where none holds."""

    id: int
    key: str
    tank: str
    tank_name: str
    rack: str
    kind: str
    type: str
    name: str
    watts: int | None
    rated_watts: int | None
    thermostat: bool
    probe: bool
    fitted_on: date | None
    age_days: int | None
    blown_at: datetime | None
    due: date | None
    days_left: int | None
    missing: tuple[Missing, ...]
    spares: tuple[Spare, ...]  # those that fit, the same watts first, then the next weaker
    timer: str  # its own timer's key, '' where it hangs on the tank's
    duty: str  # today's duty to replace it, '' for none or done
    planned_at: datetime | None  # when today's plan has it replaced
    planned_for: str  # the person's name

    @property
    def state(self) -> str:
        """'wrong' blown, 'late' due, 'next' within two weeks, '' else."""
        if self.blown_at is not None:
            return "wrong"
        if self.days_left is None or self.days_left > NOTICE_DAYS:
            return ""
        return "late" if self.days_left <= 0 else "next"

    @property
    def spare_count(self) -> int:
        return sum(each.on_hand for each in self.spares)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonView:
    month: int
    day: int
    on: time
    off: time
    now: bool  # its hours hold today


@dataclass(frozen=True, slots=True, kw_only=True)
class TimerView:
    key: str
    name: str
    on: time  # today's hours
    off: time
    seasons: tuple[SeasonView, ...]
    tanks: tuple[str, ...]  # names of the tanks that hang on it, in walking order
    uv_only: tuple[str, ...]  # names of tanks whose UV lamp alone hangs on it


@dataclass(frozen=True, slots=True, kw_only=True)
class LampsView:
    day: Day
    lamps: tuple[LampView, ...]  # in walking order
    spares: tuple[Spare, ...]
    timers: tuple[TimerView, ...]
    bare: tuple[str, ...]  # names of lived-in tanks without any lamp

    def of(self, kind: str) -> tuple[LampView, ...]:
        return tuple(lamp for lamp in self.lamps if lamp.kind == kind)


def lamps_view(*, day: Day) -> LampsView:
    """Return all lamps, spares and timers: four queries beside the day's own, whatever hangs there."""
    spares = _spares(room=day.room, today=day.day)
    rows = Lamp.objects.filter(room=day.room, removed_on__isnull=True).select_related("tank__rack", "timer")
    order = {tank.key: place for place, tank in enumerate(day.facts.tanks)}
    hanging = sorted((row for row in rows if row.tank.key in order), key=lambda r: (order[r.tank.key], r.key))
    scene = _Scene(day=day, spares=spares)
    lit = {row.tank.key for row in hanging}
    bare = [t.name for t in day.facts.tanks if t.key not in lit and scene.says.get(t.key)]
    return LampsView(
        day=day,
        lamps=tuple(scene.lamp(row) for row in hanging),
        spares=spares,
        timers=_timers(day=day, rows=hanging),
        bare=tuple(bare),
    )


def lamp_of(*, view: LampsView, key: str) -> LampView:
    """Return one lamp of the view. Raises Refused(UNKNOWN_LAMP)."""
    found = next((lamp for lamp in view.lamps if lamp.key == key), None)
    if found is None:
        raise Refused(No.UNKNOWN_LAMP, value=key)
    return found


# ---------------------------------------------------------------- lamps


class _Scene:
    """What each lamp is held against."""

    def __init__(self, *, day: Day, spares: Sequence[Spare]) -> None:
        self.day, self.spares = day, spares
        care = {(each.kind, each.stage): each for each in day.facts.care}
        self.says: dict[str, list[bool]] = defaultdict(list)
        for resident in day.facts.residents:
            self.says[resident.tank].append(care[resident.kind, resident.stage].uv_with_day_lamp)
        self.timer_of = {tank.key: tank.timer for tank in day.facts.tanks}
        due = {d.subject: key for key, d in day.duties.items() if d.kind is DutyKind.LAMP}
        self.duties = {lamp: key for lamp, key in due.items() if key not in day.state.duties}
        self.rounds = {key: view for view in day.rounds for key in view.duties}

    def lamp(self, row: Lamp) -> LampView:
        today = self.day.day
        due = uv_due(lamp=row)
        duty = self.duties.get(row.key, "")
        plan = self.rounds.get(duty)
        return LampView(
            id=row.pk,
            key=row.key,
            tank=row.tank.key,
            tank_name=row.tank.name,
            rack=row.tank.rack.key,
            kind=row.kind,
            type=row.type,
            name=row.name,
            watts=row.watts,
            rated_watts=row.rated_watts,
            thermostat=row.thermostat,
            probe=row.probe,
            fitted_on=row.fitted_on,
            age_days=(today - row.fitted_on).days if row.fitted_on else None,
            blown_at=row.blown_at,
            due=due,
            days_left=(due - today).days if due else None,
            missing=self._missing(row),
            spares=_fitting(fixture=_fixture(row), spares=self.spares),
            timer=row.timer.key if row.timer else "",
            duty=duty,
            planned_at=plan.starts if plan else None,
            planned_for=plan.person_name if plan else "",
        )

    def _missing(self, row: Lamp) -> tuple[Missing, ...]:
        found = missing(
            kind=row.kind, fixture=_fixture(row), thermostat=row.thermostat, probe=row.probe,
            fitted=row.fitted_on is not None,
        )  # fmt: skip
        if row.kind != LampKind.UV:
            return found
        own = row.timer.key if row.timer else ""
        apart = together(
            says=self.says.get(row.tank.key, ()), own_timer=own, tank_timer=self.timer_of[row.tank.key]
        )
        return (*found, apart) if apart else found


def _fixture(row: Lamp) -> Fixture:
    return Fixture(type=row.type, watts=row.watts, rated_watts=row.rated_watts)


def _fitting(*, fixture: Fixture, spares: Sequence[Spare]) -> tuple[Spare, ...]:
    found = []
    for each in spares:
        how = fit(fixture=fixture, kind=each.kind, watts=each.watts)
        if how in FITS and each.on_hand >= 1:
            found.append(_held(each, how))
    return tuple(sorted(found, key=lambda each: (each.fit is not Fit.SAME, -(each.watts or 0), each.batch)))


def _held(spare: Spare, how: Fit) -> Spare:
    return Spare(
        batch=spare.batch, name=spare.name, kind=spare.kind, watts=spare.watts, on_hand=spare.on_hand, fit=how
    )


def _spares(*, room: Room, today: date) -> tuple[Spare, ...]:
    rows = Batch.objects.filter(room=room, category=BULB, closed_on__isnull=True, received_on__lte=today)
    found = rows.annotate(left=Sum("lines__change")).order_by("kind", "watts", "received_on", "key")
    return tuple(
        Spare(batch=row.key, name=row.name, kind=row.kind, watts=row.watts, on_hand=int(row.left or 0))
        for row in found
    )


# ---------------------------------------------------------------- timers


def _timers(*, day: Day, rows: Sequence[Lamp]) -> tuple[TimerView, ...]:
    alone: Mapping[str, list[str]] = defaultdict(list)
    for row in rows:
        if row.timer is not None and row.timer.key != _timer_key(row):
            alone[row.timer.key].append(row.tank.name)
    tanks: Mapping[str, list[str]] = defaultdict(list)
    for tank in day.facts.tanks:
        tanks[tank.timer].append(tank.name)
    found = Timer.objects.filter(room=day.room).prefetch_related("seasons").order_by("name", "key")
    return tuple(_timer(row, day=day.day, tanks=tanks[row.key], uv_only=alone[row.key]) for row in found)


def _timer_key(row: Lamp) -> str:
    return row.timer.key if row.timer and row.timer_id == row.tank.timer_id else ""


def _timer(row: Timer, *, day: date, tanks: Sequence[str], uv_only: Sequence[str]) -> TimerView:
    seasons: list[TimerSeason] = sorted(row.seasons.all(), key=lambda s: (s.from_month, s.from_day))
    on, off = hours_on(timer=row, seasons=seasons, day=day)
    now = season_on(seasons=seasons, day=day)
    return TimerView(
        key=row.key,
        name=row.name,
        on=on,
        off=off,
        seasons=tuple(
            SeasonView(month=s.from_month, day=s.from_day, on=s.on, off=s.off, now=s is now) for s in seasons
        ),
        tanks=tuple(tanks),
        uv_only=tuple(uv_only),
    )
