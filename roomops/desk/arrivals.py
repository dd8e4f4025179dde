"""Lots that are asked about, expected, cancelled: the answer with its numbers, and the tanks promised."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db import transaction

from roomops.desk.day_types import Day
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.husbandry.care import StageCare
from roomops.planning import arrivals as planning
from roomops.planning.arrivals import Answer, Asked, Place
from roomops.planning.room import DutyKind, Status
from roomops.records import snapshot
from roomops.records.models import Arrival, Person, Resident, Room, Stay, Tank
from roomops.records.models.animals import KEEPS_ITS_PLACE
from roomops.records.models.care_work import ArrivalState
from roomops.records.sheets import UnknownKindError, care_for, sheet_of

HEADS_MOST = 500
AHEAD_DAYS = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """'Can we take 30 on Tuesday?' ``stage`` empty: the youngest. ``length_mm`` is of one."""

    kind: str
    heads: int
    on: date
    stage: str = ""
    length_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """A lot that somebody said yes to. ``warm``: its duty of today, '' for none; ``warmed``: done already."""

    key: str
    kind: str
    stage: str
    heads: int
    on: date
    days: int  # until it comes; negative: it is overdue
    breeder: str
    length_mm: float | None
    tanks: tuple[str, ...]  # keys
    tank_names: tuple[str, ...]
    note: str
    warm: tuple[str, ...] = ()
    warmed: bool = False


# ---------------------------------------------------------------- the question


def ask(*, day: Day, question: Question) -> Answer:
    """Return how many could come, and what is scarcest. Two queries beside that day's facts.

    Refused: OUT_OF_RANGE heads, UNKNOWN_KIND, TOO_EARLY, TOO_FAR_AHEAD.
    """
    care = possible(day=day, question=question)
    facts = day.facts
    if question.on != day.day:
        facts = snapshot.take(room=day.room, day=question.on, now=day.now)
    asked = Asked(care=care, heads=question.heads, on=question.on, length_mm=question.length_mm)
    return planning.answer(room=facts, asked=asked, places=places(day=day), today=day.day)


def possible(*, day: Day, question: Question) -> StageCare:
    """Return the care of a lot that could be asked about. Refused as ``ask``."""
    if not 1 <= question.heads <= HEADS_MOST:
        raise Refused(
            No.OUT_OF_RANGE, name="number of animals", value=question.heads, least=1, most=HEADS_MOST
        )
    if question.on < day.day:
        raise Refused(No.TOO_EARLY, name="day", value=question.on, first=day.day)
    last = day.day + timedelta(days=AHEAD_DAYS)
    if question.on > last:
        raise Refused(No.TOO_FAR_AHEAD, value=question.on, last=last)
    return care_of(room=day.room, kind=question.kind, stage=question.stage)


def care_of(*, room: Room, kind: str, stage: str) -> StageCare:
    """Return a stage's care by the room's choices; the youngest stage for ''. Refused: UNKNOWN_KIND."""
    try:
        stages = [each.key for each in sheet_of(kind).stages]
    except UnknownKindError:
        raise Refused(No.UNKNOWN_KIND, value=kind) from None
    if stage and stage not in stages:
        raise Refused(No.UNKNOWN_KIND, value=stage)
    [care] = care_for(room=room, kinds_stages=[(kind, stage or stages[0])])
    return care


def places(*, day: Day) -> tuple[Place, ...]:
    """Return the tanks that stand, free or not, in walking order: two queries.

    A tank that a lot is promised is not free, whenever that lot comes. One in which a lot is quarantined may
    be free when the lot's days are over.
    """
    lived_in = {each.tank for each in day.facts.residents}
    promised = {tank for lot in day.facts.arriving for tank in lot.tanks}
    ends: dict[str, list[date]] = defaultdict(list)
    stages = {each.key: (each.kind, each.stage) for each in day.facts.residents}
    care = {(each.kind, each.stage): each.quarantine_days for each in day.facts.care}
    for key, tank, since in _quarantined(day.room):
        if key in stages:
            ends[tank].append(since.astimezone(day.zone).date() + timedelta(days=care[stages[key]]))
    standing = Tank.objects.filter(room=day.room, removed_on__isnull=True).select_related("rack")
    return tuple(
        Place(
            tank=tank.key,
            floor_cm2=tank.length_mm * tank.depth_mm / 100,
            quarantine=tank.quarantine,
            free=tank.key not in lived_in and tank.key not in promised,
            free_on=max(ends[tank.key], default=None),
        )
        for tank in standing.order_by("rack__order", "rack__key", "order", "key")
    )


def _quarantined(room: Room) -> Sequence[tuple[str, str, datetime]]:
    open_stays = Stay.objects.filter(
        room=room, until__isnull=True, resident__status=Status.QUARANTINE.value, tank__quarantine=True
    )
    return list(open_stays.values_list("resident__key", "tank__key", "since"))


# ---------------------------------------------------------------- yes, no


def expect(
    *, day: Day, question: Question, tanks: Sequence[str], by: Person, form: UUID, breeder: str = ""
) -> Arrival:
    """Say yes to a lot: it is expected, and these tanks are promised to it and run warm the day before.

    Pressed twice it is one lot. Refused: as ``ask``; MISSING without a tank; UNKNOWN_TANK; NOT_FREE.
    """
    care = possible(day=day, question=question)
    key = f"lot-{question.on.isoformat()}-{form.hex[:8]}"
    with transaction.atomic():
        hold(room=day.room)
        before = Arrival.objects.filter(room=day.room, key=key).first()
        if before is not None:
            return before
        rows = free_tanks(room=day.room, keys=tanks)
        row = Arrival.objects.create(
            room=day.room, key=key, kind=care.kind, stage=care.stage, length_mm=question.length_mm,
            heads=question.heads, expected_on=question.on, breeder=breeder,
            written_at=day.now, written_by=by,
        )  # fmt: skip
        row.tanks.set(rows)
        facts_changed(room=day.room, now=day.now)
    return row


def free_tanks(*, room: Room, keys: Sequence[str], but: str = "") -> list[Tank]:
    """Return these tanks, each once. ``but``: the lot that they may be promised.

    Refused: MISSING for none, UNKNOWN_TANK, NOT_FREE.
    """
    wanted = list(dict.fromkeys(keys))
    if not wanted:
        raise Refused(No.MISSING, name="tank")
    rows = {tank.key: tank for tank in Tank.objects.filter(room=room, key__in=wanted, removed_on=None)}
    for key in wanted:
        if key not in rows:
            raise Refused(No.UNKNOWN_TANK, value=key)
    taken = Resident.objects.filter(tank__in=rows.values(), status__in=KEEPS_ITS_PLACE, heads__gte=1)
    promised = Arrival.objects.filter(room=room, state=ArrivalState.EXPECTED, tanks__in=rows.values())
    lived_in = set(taken.values_list("tank__key", flat=True))
    lived_in |= set(promised.exclude(key=but).values_list("tanks__key", flat=True))
    for key in wanted:
        if key in lived_in:
            raise Refused(No.NOT_FREE, value=rows[key].name)
    return [rows[key] for key in wanted]


def expected_row(*, room: Room, key: str) -> Arrival:
    """Return a lot that is expected. Refused: UNKNOWN_LOT."""
    row = Arrival.objects.filter(room=room, key=key, state=ArrivalState.EXPECTED).first()
    if row is None:
        raise Refused(No.UNKNOWN_LOT, value=key)
    return row


def cancel(*, day: Day, key: str, by: Person) -> None:
    """The lot does not come: its tanks are free again. Refused: UNKNOWN_LOT."""
    with transaction.atomic():
        hold(room=day.room)
        row = expected_row(room=day.room, key=key)
        row.state, row.written_at, row.written_by = ArrivalState.CANCELLED, day.now, by
        row.save(update_fields=["state", "written_at", "written_by"])
        facts_changed(room=day.room, now=day.now)


# ---------------------------------------------------------------- who is expected


def expected(*, day: Day) -> tuple[Expected, ...]:
    """Return the lots that are expected, overdue ones first: two queries, whatever the room's size."""
    rows = Arrival.objects.filter(room=day.room, state=ArrivalState.EXPECTED).prefetch_related("tanks__rack")
    warm = _warm(day)
    return tuple(_expected(day, row, warm) for row in rows.order_by("expected_on", "key"))


def _expected(day: Day, row: Arrival, warm: Mapping[str, tuple[str, ...]]) -> Expected:
    standing = [tank for tank in row.tanks.all() if tank.removed_on is None]
    tanks = sorted(standing, key=lambda tank: (tank.rack.order, tank.order, tank.key))
    duties = tuple(
        dict.fromkeys(key for name in (row.key, *(t.key for t in tanks)) for key in warm.get(name, ()))
    )
    return Expected(
        key=row.key,
        kind=row.kind,
        stage=row.stage,
        heads=row.heads,
        on=row.expected_on,
        days=(row.expected_on - day.day).days,
        breeder=row.breeder,
        length_mm=row.length_mm,
        tanks=tuple(tank.key for tank in tanks),
        tank_names=tuple(tank.name for tank in tanks),
        note=row.note,
        warm=duties,
        warmed=bool(duties) and all(key in day.state.duties for key in duties),
    )


def _warm(day: Day) -> Mapping[str, tuple[str, ...]]:
    """Today's duties to run tanks warm, by what they are about: a lot, or a tank."""
    found: dict[str, tuple[str, ...]] = {}
    for duty in day.duties.values():
        if duty.kind is DutyKind.WARM:
            for name in dict.fromkeys((duty.subject, duty.tank)):
                found[name] = (*found.get(name, ()), duty.key)
    return found
