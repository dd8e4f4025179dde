"""One day of one room, read in one go: the plan, what has happened, and where each round stands."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Max, Q

from roomops.desk import day_readings, day_troubles, jobs, plans
from roomops.desk.day_types import (
    Animal,
    Change,
    Day,
    LastReading,
    Period,
    Presence,
    RoundView,
    ShortView,
    Status,
    Trouble,
    TroubleKind,
)
from roomops.desk.documents import plan_of
from roomops.desk.heard import state_of
from roomops.desk.round_views import Scene, round_views
from roomops.desk.stale import stale_duties
from roomops.desk.state import State
from roomops.planning.plan import Plan
from roomops.planning.room import DutyKind
from roomops.planning.room import Room as Facts
from roomops.records import snapshot
from roomops.records.models import Clash, Entry, Resident, Room, Tray
from roomops.records.models.animals import KEEPS_ITS_PLACE, Identity
from roomops.records.moments import Span, day_span
from roomops.records.names import called

__all__ = [
    "Animal",
    "Change",
    "Day",
    "LastReading",
    "Period",
    "Presence",
    "RoundView",
    "ShortView",
    "Status",
    "Trouble",
    "TroubleKind",
    "open_day",
]


def open_day(*, room: Room, day: date, now: datetime) -> Day:
    """Read the day; make its plan when it has none. As many queries for a small room as for a large one.

    The first to open a day makes the quick plan and asks for a better one. Raises as ``snapshot.take`` does.
    """
    row = plans.plan_for(room=room, day=day, now=now)
    plan = plan_of(row=row)
    span = day_span(day=day, zone=ZoneInfo(room.timezone))
    facts = snapshot.take(room=room, day=day, now=now)
    state = state_of(room=room, day=day)
    animals = _animals(room=room, since=span.starts - timedelta(days=day_troubles.LOOK_BACK_DAYS))
    labels = _labels(facts=facts, animals=animals)
    stale = stale_duties(plan=plan, row=row, facts=facts, room=room, state=state)
    waiting = jobs.ask_for_plans(room=room, row=row, stale=stale, now=now)
    scene = Scene(plan=plan, state=state, facts=facts, span=span, now=now, labels=labels)
    known = day_troubles.told(
        room=room,
        day=day,
        since=span.starts - timedelta(days=day_troubles.LOOK_BACK_DAYS),
        refused_today=day_troubles.refused_subjects(state=state),
    )
    readings = day_readings.last_readings(facts=facts, span=span, now=now, labels=labels)
    duties = {duty.key: duty for duty in plan.duties}
    return Day(
        room=room,
        day=day,
        now=now,
        zone=span.zone,
        midnight=span.moment(0),
        facts=facts,
        plan=plan,
        plan_id=row.pk,
        version=row.version,
        refusal=row.note,
        state=state,
        rounds=round_views(scene=scene),
        duties=duties,
        labels=labels,
        animals=animals,
        columns=dict(Tray.objects.filter(room=room).values_list("key", "columns")),
        undone=_undone(plan=plan, state=state, facts=facts),
        unplaced=_unplaced(plan=plan, labels=labels),
        wrong=day_troubles.troubles(
            known=known, state=state, facts=facts, readings=readings, animals=animals, now=now
        ),
        changed=day_troubles.changes(known=known, readings=readings, state=state, animals=animals),
        readings=readings,
        periods=day_readings.periods(facts=facts, duties=plan.duties, span=span),
        presences=day_readings.presences(facts=facts, span=span, labels=labels),
        clashes=Clash.objects.filter(room=room, settled_at__isnull=True).count(),
        unmatched=Entry.objects.filter(room=room, matched=False, corrections__isnull=True).count(),
        improving=waiting,
        stale=stale,
        last_here=_last_here(room=room, span=span),
    )


def _animals(*, room: Room, since: datetime) -> Mapping[str, Animal]:
    """Return the room's residents, and those who left in the last days: their names are still on pages."""
    known = Q(status__in=KEEPS_ITS_PLACE) | Q(status_since__gte=since)
    rows = Resident.objects.filter(known, room=room).order_by("key").values_list(
        "key", "name", "mark", "identity", "tank__key", "tank__name", "status", "status_since", "status_note"
    )  # fmt: skip
    return {
        key: Animal(
            key=key,
            label=called(name=name, mark=mark, identity=identity, tank=tank_name or ""),
            mark=mark,
            unmarked=identity == Identity.UNMARKED,
            tank=tank or "",
            status=status,
            since=since,
            note=note,
        )
        for key, name, mark, identity, tank, tank_name, status, since, note in rows
    }


def _labels(*, facts: Facts, animals: Mapping[str, Animal]) -> Mapping[str, str]:
    labels = {f"resident:{key}": animal.label for key, animal in animals.items()}
    labels |= {f"tank:{tank.key}": tank.name for tank in facts.tanks}
    labels |= {f"rack:{rack.key}": rack.name for rack in facts.racks}
    labels |= {f"tray:{tray.key}": tray.name for tray in facts.trays}
    labels |= {f"tub:{tub.key}": str(tub.number) for tub in facts.tubs}
    return labels | {f"person:{person.key}": person.name for person in facts.people}


def _undone(*, plan: Plan, state: State, facts: Facts) -> tuple[str, ...]:
    """Return the duties that nothing settles yet, in the plan's order, without animals that left."""
    here = {resident.key for resident in facts.residents}
    settled = {done.duty for done in facts.done} | set(state.duties)
    return tuple(
        duty.key
        for duty in plan.duties
        if duty.key not in settled and (duty.kind is not DutyKind.FEED or duty.subject in here)
    )


def _unplaced(*, plan: Plan, labels: Mapping[str, str]) -> tuple[ShortView, ...]:
    duties = {duty.key: duty for duty in plan.duties}
    found = []
    for short in plan.unplaced:
        duty = duties[short.duty]
        about = f"resident:{duty.subject}" if duty.kind is DutyKind.FEED else f"tank:{duty.tank}"
        label = labels.get(about, duty.subject)
        found.append(ShortView(duty=duty, label=label, why=short.why, numbers=dict(short.numbers)))
    return tuple(found)


def _last_here(*, room: Room, span: Span) -> Mapping[str, datetime]:
    """Return when each person last said anything before today."""
    rows = Entry.objects.filter(room=room, at__lt=span.starts, written_by__isnull=False)
    return dict(rows.values_list("written_by__key").annotate(Max("at")).order_by())
