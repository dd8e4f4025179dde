"""The shelf as pages see it: every open batch with its age, what is eaten, what to order and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.db.models import OuterRef, Q, QuerySet, Subquery, Sum

from roomops.desk.day_types import Day
from roomops.desk.refusals import No, Refused
from roomops.planning import orders, thaw
from roomops.planning.orders import Eaten, Held, Least, Thing, Use, Want
from roomops.planning.room import DutyKind
from roomops.records.models import Batch, LedgerLine, Minimum, Room
from roomops.records.models.foods import Reason

WEEK = 7
LINES_MOST = 40
ROWS_MOST = 600  # that are read for them: a bin is fed from many times a day
ORDER = ("insect", "rodent", "greens", "powder")  # categories as people look for them; all others after them
WENT = (
    Reason.FED,
    Reason.USED,
    Reason.COUNTED,
    Reason.CORRECTED,
)  # what left the shelf by being eaten or used


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchView:
    """One batch. ``on_hand`` sums its ledger; ``told_at`` is when it was last counted or received."""

    key: str
    thing: Thing
    name: str
    unit: str
    on_hand: float
    received_on: date
    age_days: int
    size_mm: float | None
    weight_g: float | None
    source: str
    opened_on: date | None
    use_by: date | None
    usable: bool
    closed_on: date | None
    counted: bool  # told_at is a count; else it is the delivery
    told_at: datetime | None
    told_by: str

    @property
    def open_left(self) -> int | None:
        """Days that an opened jar may still be used; None for one that was not opened."""
        if self.opened_on is None:
            return None
        return orders.OPEN_DAYS - (self.received_on - self.opened_on).days - self.age_days


@dataclass(frozen=True, slots=True, kw_only=True)
class ThingView:
    """One thing with its batches. ``cover_days`` is None where nobody is known to eat it."""

    thing: Thing
    name: str
    unit: str
    on_hand: float
    least: float | None
    a_day: float | None
    eaters: tuple[str, ...]
    cover_days: float | None
    full_days: int
    want: Want | None
    batches: tuple[BatchView, ...]
    told_at: datetime | None  # the oldest count or delivery of what is left: a number is as old as that
    from_ledger: bool = False  # ``a_day`` is what left the shelf last week, and not what the eaters get


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyView:
    """A duty of the whole room today; ``key`` is '' where there is none."""

    key: str = ""
    done_at: datetime | None = None
    done_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfView:
    day: Day
    things: tuple[ThingView, ...]
    wants: tuple[tuple[Want, ThingView], ...]
    eaten: Eaten
    thaw: tuple[thaw.Thaw, ...]
    insects: DutyView  # to feed and water them
    thawing: DutyView


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A change of a batch, as its ledger has it."""

    at: datetime
    on: date  # in the room's zone
    change: float
    reason: str
    note: str
    by: str
    left: float  # after it
    times: int = 1  # feeds of one day, one after the other, are one line


def shelf_view(*, day: Day) -> ShelfView:
    """Return the whole shelf: three queries beside the day's own, whatever is on it."""
    batches = _batches(room=day.room, today=day.day)
    least = _least(room=day.room)
    eaten = orders.eaten(room=day.facts)
    went = _went(room=day.room, day=day)
    uses = {**went, **eaten.uses}
    held = [
        Held(thing=b.thing, on_hand=b.on_hand, unit=b.unit, opened=b.opened_on, use_by=b.use_by)
        for b in batches
    ]
    wants = orders.wants(held=held, least=least, uses=uses, day=day.day)
    things = _things(batches=batches, least=least, uses=uses, wants=wants, eaten=eaten)
    by_thing = {view.thing: view for view in things}
    return ShelfView(
        day=day,
        things=things,
        wants=tuple((want, by_thing[want.thing]) for want in wants),
        eaten=eaten,
        thaw=thaw.for_tomorrow(room=day.facts),
        insects=_duty(day=day, kind=DutyKind.INSECTS),
        thawing=_duty(day=day, kind=DutyKind.THAW),
    )


def _duty(*, day: Day, kind: DutyKind) -> DutyView:
    key = next((key for key, each in day.duties.items() if each.kind is kind), "")
    said = day.state.duties.get(key)
    if said is None:
        return DutyView(key=key)
    return DutyView(key=key, done_at=said.word.at, done_by=said.word.by_name)


def batch_view(*, day: Day, key: str) -> tuple[BatchView, tuple[Line, ...]]:
    """Return one batch, open or closed, with its newest lines first. Raises Refused(UNKNOWN_BATCH)."""
    found = _told(Batch.objects.filter(room=day.room, key=key)).first()
    if found is None:
        raise Refused(No.UNKNOWN_BATCH, value=key)
    batch = _view(found, today=day.day)
    rows = LedgerLine.objects.filter(batch=found).order_by("-at", "-pk")[:ROWS_MOST]
    left = batch.on_hand
    lines: list[Line] = []
    for row in rows.select_related("written_by"):
        line = _line(row, left=left, day=day)
        left -= row.change
        if lines and _one_meal(lines[-1], line):
            lines[-1] = replace(
                lines[-1], change=lines[-1].change + line.change, times=lines[-1].times + 1,
                by=_by_both(lines[-1].by, line.by),
            )  # fmt: skip
        else:
            lines.append(line)
    return batch, tuple(lines[:LINES_MOST])


def _line(row: LedgerLine, *, left: float, day: Day) -> Line:
    return Line(
        at=row.at,
        on=row.at.astimezone(day.zone).date(),
        change=row.change,
        reason=row.reason,
        note=row.note,
        by=row.written_by.name if row.written_by else "",
        left=round(left, 3),
    )


def _one_meal(newer: Line, older: Line) -> bool:
    return newer.reason == older.reason == Reason.FED and newer.on == older.on


def _by_both(one: str, other: str) -> str:
    names = one.split(", ") if one else []
    return ", ".join(dict.fromkeys([*names, other] if other else names))


# ---------------------------------------------------------------- rows


def _batches(*, room: Room, today: date) -> tuple[BatchView, ...]:
    open_ones = Batch.objects.filter(Q(closed_on__isnull=True) | Q(closed_on__gt=today), room=room)
    return tuple(_view(row, today=today) for row in _told(open_ones).order_by("received_on", "key"))


def _told(rows: QuerySet[Batch]) -> QuerySet[Batch]:
    """Batches with what is on hand, and who last counted or received them: still one query."""
    last = LedgerLine.objects.filter(batch=OuterRef("pk"), reason__in=(Reason.COUNTED, Reason.RECEIVED))
    last = last.order_by("-at", "-pk")
    return rows.annotate(
        on_hand=Sum("lines__change"),
        told_at=Subquery(last.values("at")[:1]),
        told_why=Subquery(last.values("reason")[:1]),
        told_by=Subquery(last.values("written_by__name")[:1]),
    )


def _view(row: Batch, *, today: date) -> BatchView:
    thing = orders.thing_of(kind=row.kind, category=row.category, size_mm=row.size_mm, watts=row.watts)
    left = round(row.on_hand or 0.0, 3)  # type: ignore[attr-defined]  # annotated above
    held = Held(thing=thing, on_hand=left, unit=row.unit, opened=row.opened_on, use_by=row.use_by)
    return BatchView(
        key=row.key,
        thing=thing,
        name=row.name,
        unit=row.unit,
        on_hand=left,
        received_on=row.received_on,
        age_days=(today - row.received_on).days,
        size_mm=row.size_mm,
        weight_g=row.weight_g,
        source=row.source,
        opened_on=row.opened_on,
        use_by=row.use_by,
        usable=orders.usable(held=held, day=today),
        closed_on=row.closed_on,
        counted=row.told_why == Reason.COUNTED,  # type: ignore[attr-defined]
        told_at=row.told_at,  # type: ignore[attr-defined]
        told_by=row.told_by or "",  # type: ignore[attr-defined]
    )


def _least(*, room: Room) -> tuple[Least, ...]:
    rows = Minimum.objects.filter(room=room).order_by("category", "kind", "size_mm", "watts")
    return tuple(
        Least(
            thing=orders.thing_of(kind=r.kind, category=r.category, size_mm=r.size_mm, watts=r.watts),
            amount=r.amount,
            unit=r.unit,
        )
        for r in rows
    )


def _went(*, room: Room, day: Day) -> Mapping[Thing, Use]:
    """What left the shelf in the last seven days, a day: for what no care sheet counts."""
    since = day.midnight - timedelta(days=WEEK)
    lines = LedgerLine.objects.filter(room=room, at__gte=since, at__lt=day.midnight, reason__in=WENT)
    of = ("batch__kind", "batch__category", "batch__size_mm", "batch__watts")
    rows = lines.values(*of).annotate(went=-Sum("change"))
    found: dict[Thing, float] = {}
    for row in rows.order_by("batch__kind", "batch__size_mm", "batch__watts"):
        thing = orders.thing_of(
            kind=row["batch__kind"], category=row["batch__category"], size_mm=row["batch__size_mm"],
            watts=row["batch__watts"],
        )  # fmt: skip
        found[thing] = found.get(thing, 0.0) + row["went"] / WEEK
    return {thing: Use(a_day=a_day) for thing, a_day in found.items() if a_day > 0 and _by_ledger(thing)}


def _by_ledger(thing: Thing) -> bool:
    """What is chopped or dusted is known by what left the shelf; insects and rodents by their eaters."""
    return thing.category not in {"insect", "rodent", "bulb"}


def _things(
    *,
    batches: Sequence[BatchView],
    least: Sequence[Least],
    uses: Mapping[Thing, Use],
    wants: Sequence[Want],
    eaten: Eaten,
) -> tuple[ThingView, ...]:
    kept = {each.thing: each for each in least}
    wanted = {want.thing: want for want in wants}
    by_thing: dict[Thing, list[BatchView]] = {thing: [] for thing in (*kept, *wanted)}
    for batch in batches:
        if batch.on_hand or batch.thing in by_thing:
            by_thing.setdefault(batch.thing, []).append(batch)
    found = [
        _thing(
            thing=thing, batches=mine, least=kept.get(thing), use=uses.get(thing), want=wanted.get(thing),
            from_ledger=thing not in eaten.uses,
        )
        for thing, mine in by_thing.items()
    ]  # fmt: skip
    return tuple(sorted(found, key=_order))


def _thing(
    *,
    thing: Thing,
    batches: Sequence[BatchView],
    least: Least | None,
    use: Use | None,
    want: Want | None,
    from_ledger: bool,
) -> ThingView:
    good = sum(max(batch.on_hand, 0.0) for batch in batches if batch.usable)
    told = [batch.told_at for batch in batches if batch.told_at is not None and batch.on_hand]
    units = [
        *(batch.unit for batch in batches),
        *([least.unit] if least else []),
        want.unit if want else "each",
    ]
    return ThingView(
        thing=thing,
        name=batches[-1].name if batches else "",
        unit=units[0],
        on_hand=round(good, 3),
        least=least.amount if least and least.amount else None,
        a_day=use.a_day if use else None,
        eaters=use.eaters if use else (),
        cover_days=good / use.a_day if use and use.a_day else None,
        full_days=orders.cover_days(thing=thing)[1],
        want=want,
        batches=tuple(batches),
        told_at=min(told, default=None),
        from_ledger=from_ledger,
    )


def _order(view: ThingView) -> tuple[int, str, str, float, int]:
    thing = view.thing
    place = ORDER.index(thing.category) if thing.category in ORDER else len(ORDER)
    return place, thing.category, thing.kind, thing.size_mm or 0.0, thing.watts or 0
