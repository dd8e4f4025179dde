"""Use cases of temperature readings, a rack at a time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from uuid import UUID

from roomops.desk.day_readings import NO_LIMITS, limits_of
from roomops.desk.day_types import Day, LastReading, RoundView
from roomops.desk.doubt import not_doubtful
from roomops.desk.entries import Answer, Said, id_from, say_or_refuse
from roomops.desk.refusals import No, Refused
from roomops.planning.plan import Duty
from roomops.planning.room import FED, DutyKind, Tank
from roomops.records.models import Entry, EntryKind, Person

UNDO = timedelta(minutes=10)  # read again by the same person within it: a slip, and corrected


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    """One tank. ``band`` is (low, high) of those who live there: the narrowest that serves all of them."""

    duty: str  # '' when no reading is due today: one may be said all the same
    tank: str
    tank_name: str
    quarantine: bool
    basking: LastReading | None
    cool: LastReading | None
    night_low: LastReading | None
    basking_band_c: tuple[float, float] | None
    cool_band_c: tuple[float, float] | None
    act_below_c: float | None
    act_above_c: float | None
    due: bool
    too_early: bool  # within an hour of lights-on it always reads low: no verdict
    done_at: datetime | None
    done_by: str
    entry: UUID | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RackReadings:
    """The rack's tanks: low ones first, then in walking order."""

    day: Day
    view: RoundView | None
    rack: str
    rack_name: str
    rows: tuple[ReadingRow, ...]
    low: int
    left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What somebody read at one tank; None: not read."""

    tank: str
    duty: str = ""
    basking_c: float | None = None
    cool_c: float | None = None


def rack_view(*, day: Day, round_key: str = "", rack: str = "") -> RackReadings:
    """Return the readings of a round, or of a rack: low and far too hot ones first, then in walking order.

    Raises Refused(UNKNOWN_ROUND), also for a round that is no reading.
    """
    view = day.view(round_key) if round_key else None
    if view is not None and view.round.kind is not DutyKind.READING:
        raise Refused(No.UNKNOWN_ROUND, value=round_key)
    tanks = _tanks(day=day, view=view, rack=rack)
    due = {day.duties[key].tank: key for key in reversed(view.duties)} if view else {}
    rows = [_row(day=day, tank=tank, duty=due.get(tank.key, "")) for tank in tanks]
    rows = _with_readings(day=day, rows=rows)
    rows.sort(key=lambda row: not (_reads_low(row) or _reads_too_hot(row)))
    here = rack or (tanks[0].rack if tanks else "")
    return RackReadings(
        day=day,
        view=view,
        rack=here,
        rack_name=day.label("rack", here),
        rows=tuple(rows),
        low=sum(1 for row in rows if _reads_low(row)),
        left=sum(1 for row in rows if row.due),
    )


def _tanks(*, day: Day, view: RoundView | None, rack: str) -> list[Tank]:
    if view is not None:
        wanted = {day.duties[key].tank for key in view.duties}
        return [tank for tank in day.facts.tanks if tank.key in wanted]
    lived_in = {each.tank for each in day.facts.residents if each.status in FED}
    return [tank for tank in day.facts.tanks if tank.rack == rack and tank.key in lived_in]


def _reads_low(row: ReadingRow) -> bool:
    return row.basking is not None and row.basking.out == "low"


def _reads_too_hot(row: ReadingRow) -> bool:
    """Beyond the limit to act at today: it stands on top like a low one, at any hour."""
    reading = row.basking
    return reading is not None and reading.at is not None and reading.out == "high" and reading.act


def reading_duties(*, day: Day, tank: str) -> list[Duty]:
    """Return the plan's reading duties of a tank, by slot."""
    found = (d for d in day.duties.values() if d.kind is DutyKind.READING and d.tank == tank)
    return sorted(found, key=lambda d: d.slot)


def _row(*, day: Day, tank: Tank, duty: str) -> ReadingRow:
    """One tank without its readings: the duty that is due, else the last one that was read."""
    mine = reading_duties(day=day, tank=tank.key)
    open_ones = [each.key for each in mine if each.key not in day.state.duties]
    key = duty or next(iter(open_ones), mine[-1].key if mine else "")
    said = day.state.duties.get(key)
    timer = next((each for each in day.facts.timers if each.key == tank.timer), None)
    warm = timer is None or day.now >= day.clock(timer.on + day.facts.settings.reading_after_on_min)
    off = timer is not None and day.now < day.clock(timer.on)
    return ReadingRow(
        duty=key,
        tank=tank.key,
        tank_name=tank.name,
        quarantine=tank.quarantine,
        basking=None,
        cool=None,
        night_low=None,
        basking_band_c=None,
        cool_band_c=None,
        act_below_c=None,
        act_above_c=None,
        due=bool(key) and said is None,
        too_early=off or not warm,
        done_at=said.word.at if said else None,
        done_by=said.word.by_name if said else "",
        entry=said.word.entry if said else None,
    )


def _with_readings(*, day: Day, rows: Iterable[ReadingRow]) -> list[ReadingRow]:
    last = {(each.tank, each.spot): each for each in day.readings}
    limits = limits_of(facts=day.facts)
    found = []
    for row in rows:
        basking = limits.get((row.tank, "basking"), NO_LIMITS)
        found.append(
            replace(
                row,
                basking=last.get((row.tank, "basking")),
                cool=last.get((row.tank, "cool")),
                night_low=last.get((row.tank, "night low")),
                basking_band_c=basking.edges_c,
                cool_band_c=limits.get((row.tank, "cool"), NO_LIMITS).edges_c,
                act_below_c=basking.act_below,
                act_above_c=basking.act_above,
            )
        )
    return found


def read(
    *, day: Day, reads: Sequence[Read], by: Person, form: UUID, keep: bool = False
) -> tuple[Answer, ...]:
    """Keep readings, all or none. Refused: OUT_OF_RANGE, UNKNOWN_TANK; DOUBTFUL unless ``keep``.

    A tank read again is another reading; the same person within ten minutes corrects the one before.
    """
    known = {tank.key for tank in day.facts.tanks}
    for each in reads:
        if each.tank not in known:
            raise Refused(No.UNKNOWN_TANK, value=each.tank)
    ids = {each.tank: id_from(form=form, duty=f"reading {each.tank}") for each in reads}
    before = dict(Entry.objects.filter(room=day.room, id__in=ids.values()).values_list("id", "duty"))
    said = []
    for each in reads:
        entry = ids[each.tank]
        duty, corrects = _which(day=day, each=each, by=by)
        said.append(_said(each=each, entry=entry, duty=before.get(entry, duty), corrects=corrects))

    def guard() -> None:
        for each in reads:
            for spot, value in (("basking", each.basking_c), ("cool", each.cool_c)):
                if value is not None and not keep:
                    not_doubtful(facts=day.facts, tank=each.tank, spot=spot, value_c=value)

    return say_or_refuse(day=day, by=by, said=said, guard=guard)


def _said(*, each: Read, entry: UUID, duty: str, corrects: UUID | None) -> Said:
    values = {"basking_c": each.basking_c, "cool_c": each.cool_c}
    return Said(
        id=entry,
        duty=duty,
        kind=EntryKind.READING,
        data={name: value for name, value in values.items() if value is not None},
        corrects=corrects,
    )


def _which(*, day: Day, each: Read, by: Person) -> tuple[str, UUID | None]:
    """Return the duty that a reading settles, and the reading that it corrects."""
    stem = f"{day.day.isoformat()}/{DutyKind.READING.value}/{each.tank}/"
    duty = each.duty or next(
        (d.key for d in reading_duties(day=day, tank=each.tank) if d.key not in day.state.duties), f"{stem}0"
    )
    before = day.state.duties.get(duty)
    if before is None:
        return duty, None
    if before.word.by == by.key and day.now - before.word.at <= UNDO:
        return duty, before.word.entry
    taken = [key for key in day.state.duties if key.startswith(stem)]
    free = next(n for n in range(len(taken) + 1) if f"{stem}{n}" not in taken)
    return f"{stem}{free}", None
