"""From tables to the room facts that planning reads, in a fixed number of queries for a room of any size.

Columns are read, no whole rows: every page opens a day, and in a large room whole rows cost the most.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Exists, F, OuterRef, Q, QuerySet, Sum, Window
from django.db.models.functions import RowNumber

from roomops.planning import room as facts
from roomops.records import models as m
from roomops.records import snapshot_lamps, snapshot_medicines, snapshot_outside, snapshot_upkeep
from roomops.records.models.animals import KEEPS_ITS_PLACE
from roomops.records.models.foods import SUPPLIES
from roomops.records.moments import Span, day_span
from roomops.records.names import called
from roomops.records.said import Word, refused_last, settled
from roomops.records.sheets import care_for, stage_at

YOUNG_DAYS = 365
ADULT_LOSS = 0.05
"""A young animal that weighs less than last time is a first word, a grown one from 5 % less: common practice,
no source."""

NOT_MEASURED: tuple[float | None, date | None] = (None, None)
Latest = Mapping[str, Mapping[str, Sequence[tuple[float, datetime]]]]


class RoomSettingError(ValueError):
    """A setting of a room that planning cannot read. ``str`` is one sentence."""


def take(*, room: m.Room, day: date, now: datetime) -> facts.Room:
    """Return the room's facts for a day as they are known at ``now``.

    Times are minutes passed since the day's local midnight. What was measured or read after ``now`` does not
    count, nor does what the day's own feeds changed about who is due. ``begun`` and ``now_min`` stay empty:
    only the desk knows the plan that they speak of. Raises RoomSettingError, UnknownKindError and
    ChoiceError, each one sentence.
    """
    span = day_span(day=day, zone=ZoneInfo(room.timezone))
    words = _words(room, day)
    refused = refused_last(words=words, day=day - timedelta(days=1))
    residents = _residents(room, span, now, refused)
    care = care_for(room=room, kinds_stages=((each.kind, each.stage) for each in residents))
    tanks = _tanks(room, day)
    return facts.Room(
        schema=facts.SCHEMA_VERSION,
        room=room.key,
        name=room.name,
        day=day,
        timezone=room.timezone,
        day_length_min=span.minutes,
        settings=_settings(room),
        people=_people(room, day),
        shifts=_shifts(room, span),
        peaks=_peaks(room, span),
        timers=snapshot_lamps.timers(room=room, span=span),
        racks=_racks(room),
        tanks=tanks,
        trays=_trays(room),
        tubs=_tubs(room),
        residents=residents,
        foods=_foods(room, day),
        care=care,
        readings=_readings(room, span, now),
        medicines=snapshot_medicines.medicines(room=room, day=day),
        lamps=snapshot_lamps.lamps(room=room, day=day, tanks=tanks),
        arriving=snapshot_outside.arriving(room=room, day=day),
        outage=snapshot_outside.outage(room=room, span=span, now=now),
        outdoors=snapshot_outside.outdoors(room=room, span=span, now=now, residents=residents, care=care),
        upkeep=snapshot_upkeep.upkeep(room=room, day=day),
        done=settled(words=words, heads={each.key: each.heads for each in residents}, span=span),
        facts_changed=room.facts_changed.astimezone(span.zone).isoformat(timespec="seconds"),
    )


def _settings(room: m.Room) -> facts.Settings:
    known = {field.name: type(getattr(facts.Settings(), field.name)) for field in fields(facts.Settings)}
    for name, value in room.settings.items():
        if name not in known:
            raise RoomSettingError(
                f"{room.name} sets “{name}”, which nothing reads: take it out or mend its name."
            )
        whole = known[name] is int
        if isinstance(value, bool) or not isinstance(value, int if whole else int | float) or value < 0:
            kind = "a whole number" if whole else "a number"
            raise RoomSettingError(f"{room.name} sets “{name}” to “{value}”: write {kind} of zero or more.")
    return facts.Settings(**room.settings)


# ---------------------------------------------------------------- people and hours


def _people(room: m.Room, day: date) -> tuple[facts.Person, ...]:
    here = m.Person.objects.filter(Q(left_on__isnull=True) | Q(left_on__gt=day), room=room).order_by("key")
    return tuple(facts.Person(key=p.key, name=p.name, may_quarantine=p.may_quarantine) for p in here)


def _shifts(room: m.Room, span: Span) -> tuple[facts.Shift, ...]:
    rows = m.Shift.objects.filter(
        Q(person__left_on__isnull=True) | Q(person__left_on__gt=span.day),
        room=room, starts__lt=span.ends, ends__gt=span.starts,
    ).values_list("person__key", "starts", "ends").order_by("starts", "person__key")  # fmt: skip
    clipped = ((person, span.clipped(starts=starts, ends=ends)) for person, starts, ends in rows)
    share = round(1 - room.shop_share, 6)
    return tuple(facts.Shift(person=p, start=c[0], end=c[1], share=share) for p, c in clipped if c)


def _peaks(room: m.Room, span: Span) -> tuple[facts.Span, ...]:
    rows = m.Peak.objects.filter(room=room, weekday=span.day.weekday()).order_by("start", "end", "why")
    made = (facts.Span(start=span.minute_at(p.start), end=span.minute_at(p.end), why=p.why) for p in rows)
    return tuple(peak for peak in made if peak.start < peak.end)


# ---------------------------------------------------------------- places


def _racks(room: m.Room) -> tuple[facts.Rack, ...]:
    rows = m.Rack.objects.filter(room=room).order_by("order", "key")
    return tuple(facts.Rack(key=r.key, name=r.name, order=r.order) for r in rows)


def _tanks(room: m.Room, day: date) -> tuple[facts.Tank, ...]:
    # One that somebody lives in stands, whatever is written of it: a plan without it would forget an animal.
    lived_in = m.Resident.objects.filter(tank=OuterRef("pk"), status__in=KEEPS_ITS_PLACE, heads__gte=1)
    standing = Q(removed_on__isnull=True) | Q(removed_on__gt=day) | Q(Exists(lived_in))
    rows = m.Tank.objects.filter(standing, room=room).values_list(
        "key", "name", "rack__key", "order", "timer__key", "quarantine"
    )
    return tuple(
        facts.Tank(key=key, name=name, rack=rack, order=order, timer=timer or "", quarantine=quarantine)
        for key, name, rack, order, timer, quarantine in rows.order_by(
            "rack__order", "rack__key", "order", "key"
        )
    )


def _trays(room: m.Room) -> tuple[facts.Tray, ...]:
    rows = m.Tray.objects.filter(room=room).order_by("order", "key")
    return tuple(facts.Tray(key=t.key, name=t.name, order=t.order, quarantine=t.quarantine) for t in rows)


def _tubs(room: m.Room) -> tuple[facts.Tub, ...]:
    rows = m.Tub.objects.filter(room=room, out_of_use=False).values_list(
        "key", "tray__key", "number", "fits_mm", "tray__quarantine"
    )
    return tuple(
        facts.Tub(key=key, tray=tray, number=number, fits_mm=fits_mm, quarantine=quarantine)
        for key, tray, number, fits_mm, quarantine in rows.order_by("tray__order", "tray__key", "number")
    )


def _readings(room: m.Room, span: Span, now: datetime) -> tuple[facts.Reading, ...]:
    """The last reading of each spot of each tank: one query, numbered in the database."""
    known = m.Reading.objects.filter(room=room, at__lt=span.ends, at__lte=now)
    rows = known.annotate(rank=_rank("tank_id", "spot")).filter(rank=1)
    return tuple(
        facts.Reading(
            tank=tank,
            spot=spot,
            value_c=value_c,
            minute=int(span.minute_of(at)) if span.holds(at) else None,
            on=at.astimezone(span.zone).date(),
        )
        for tank, spot, value_c, at in sorted(rows.values_list("tank__key", "spot", "value_c", "at"))
    )


# ---------------------------------------------------------------- animals and foods


@dataclass(frozen=True, slots=True)
class _Row:
    """The columns of a resident that planning reads, in the order in which they are asked for."""

    key: str
    name: str
    mark: str
    identity: str
    kind: str
    stage: str
    status: str
    heads: int
    hatched_on: date | None
    last_fed_on: date | None
    tank: str
    tank_name: str
    lot: str | None


COLUMNS = (
    "key", "name", "mark", "identity", "kind", "stage", "status", "heads", "hatched_on", "last_fed_on",
    "tank__key", "tank__name", "lot__key",
)  # fmt: skip


def _residents(
    room: m.Room, span: Span, now: datetime, refused: frozenset[str]
) -> tuple[facts.Resident, ...]:
    rows = m.Resident.objects.filter(room=room, status__in=KEEPS_ITS_PLACE, heads__gte=1, tank__isnull=False)
    ordered = rows.order_by("tank__rack__order", "tank__order", "tank__key", "key")
    latest = _latest(room, span, now)
    found = (_Row(*row) for row in ordered.values_list(*COLUMNS))
    return tuple(_resident(row, latest.get(row.key, {}), span, refused) for row in found)


def _resident(
    row: _Row, latest: Mapping[str, Sequence[tuple[float, datetime]]], span: Span, refused: frozenset[str]
) -> facts.Resident:
    age = (span.day - row.hatched_on).days if row.hatched_on else None
    last = {measure: (values[0][0], _date(values[0][1], span)) for measure, values in latest.items()}
    length_mm, length_on = last.get("length_mm", NOT_MEASURED)
    gap_mm, gap_on = last.get("gap_mm", NOT_MEASURED)
    weight_g, weight_on = last.get("weight_g", NOT_MEASURED)
    fed = row.last_fed_on
    return facts.Resident(
        key=row.key,
        name=called(name=row.name, mark=row.mark, identity=row.identity, tank=row.tank_name),
        kind=row.kind,
        stage=row.stage or stage_at(kind=row.kind, age_days=age),
        tank=row.tank,
        status=facts.Status(row.status),
        heads=row.heads,
        lot=row.lot or "",
        length_mm=length_mm,
        length_on=length_on,
        gap_mm=gap_mm,
        gap_on=gap_on,
        girth_mm=last.get("girth_mm", NOT_MEASURED)[0],
        weight_g=weight_g,
        weight_on=weight_on,
        # Fed today does not mean that it was not due today: its duty stays as it was this morning.
        last_fed_on=fed if fed and fed < span.day else None,
        first_word=row.key in refused or _losing(latest.get("weight_g", ()), age),
    )


def _latest(room: m.Room, span: Span, now: datetime) -> Latest:
    """The last two (value, when) of each measure of each resident, newest first: one query."""
    known = m.Measurement.objects.filter(room=room, at__lt=span.ends, at__lte=now)
    known = known.filter(resident__status__in=KEEPS_ITS_PLACE)
    rows = known.annotate(rank=_rank("resident_id", "measure")).filter(rank__lte=2).order_by("rank")
    latest: dict[str, dict[str, list[tuple[float, datetime]]]] = defaultdict(lambda: defaultdict(list))
    for key, measure, value, at in rows.values_list("resident__key", "measure", "value", "at"):
        latest[key][measure].append((value, at))
    return latest


def _losing(weights: Sequence[tuple[float, datetime]], age_days: int | None) -> bool:
    if len(weights) < 2:
        return False
    share = 0.0 if age_days is not None and age_days < YOUNG_DAYS else ADULT_LOSS
    return weights[0][0] < weights[1][0] * (1 - share)


def _foods(room: m.Room, day: date) -> tuple[facts.Food, ...]:
    open_then = Q(closed_on__isnull=True) | Q(closed_on__gt=day)
    rows = m.Batch.objects.filter(open_then, room=room, received_on__lte=day).exclude(category__in=SUPPLIES)
    on_hand = rows.annotate(on_hand=Sum("lines__change")).filter(on_hand__gt=0).order_by("received_on", "key")
    return tuple(
        facts.Food(
            key=batch.key,
            kind=batch.kind,
            category=batch.category,
            name=batch.name,
            size_mm=batch.size_mm,
            received=batch.received_on,
            on_hand=batch.on_hand,
            unit=batch.unit,
        )
        for batch in on_hand
    )


# ---------------------------------------------------------------- what was said


def _words(room: m.Room, day: date) -> tuple[Word, ...]:
    """Today's and yesterday's entries that fit a duty and were not corrected, in the order they were said."""
    rows: QuerySet[m.Entry] = m.Entry.objects.filter(room=room, day__in=(day - timedelta(days=1), day))
    standing = rows.filter(matched=True, corrections__isnull=True).order_by("at", "written_at", "id")
    return tuple(
        Word(day=on, duty=duty, kind=kind, head=head, at=at, person=person or "", data=data)
        for on, duty, kind, head, at, person, data in standing.values_list(
            "day", "duty", "kind", "head", "at", "written_by__key", "data"
        )
    )


def _rank(*by: str) -> Window:
    return Window(
        RowNumber(), partition_by=[F(name) for name in by], order_by=[F("at").desc(), F("pk").desc()]
    )


def _date(at: datetime, span: Span) -> date:
    return at.astimezone(span.zone).date()
