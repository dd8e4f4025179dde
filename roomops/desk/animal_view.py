"""One animal: what is known of it, with its ages; and all of the room's, a page at a time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TypeVar

from django.db.models import Q, QuerySet

from roomops.desk import early_word, medicine
from roomops.desk.day_types import Day
from roomops.desk.editing import token
from roomops.desk.refusals import No, Refused
from roomops.husbandry.care import StageCare
from roomops.husbandry.feeding import Gap, eye_gap
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind
from roomops.planning.room import Resident as Facts
from roomops.planning.watch import Concern
from roomops.records.models import Entry, EntryKind, Measurement, MedicineOrder, Note, Resident, Spell, Stay
from roomops.records.models.animals import KEEPS_ITS_PLACE
from roomops.records.names import display_name

Row = TypeVar("Row", Note, Stay, Spell, MedicineOrder)
EATEN_DAYS = 14
MOST_NUMBERS = 60  # of each measure that the chart shows
MOST_NOTES = 8
MOST_HISTORY = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class EatenDay:
    """One day of one animal. ``offered`` None: nobody wrote anything down. ``at_least``: all was eaten."""

    day: date
    eaten: int | None
    offered: int | None
    refused: bool
    at_least: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    at: datetime
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalView:
    """Everything that the page of one animal shows. ``facts`` and ``care`` None once it has left."""

    row: Resident
    label: str
    token: str
    here: bool
    facts: Facts | None
    care: StageCare | None
    age_days: int | None
    fellows: tuple[str, ...]  # who lives with it, by name
    fellow_heads: int
    concerns: tuple[Concern, ...]
    numbers: Mapping[str, tuple[Point, ...]]  # by measure, oldest first
    gap: Gap | None
    feeds: tuple[Duty, ...]  # today's, with their portions
    eaten: tuple[EatenDay, ...]  # oldest first
    notes: tuple[Note, ...]  # newest first
    stays: tuple[Stay, ...]  # newest first
    spells: tuple[Spell, ...]  # newest first
    orders: tuple[MedicineOrder, ...]  # newest first
    doses: tuple[medicine.OrderView, ...]  # today's

    def last(self, measure: str) -> Point | None:
        return self.numbers[measure][-1] if self.numbers.get(measure) else None

    def change(self, measure: str) -> tuple[float, int] | None:
        """Difference to the number before, and the days between them."""
        numbers = self.numbers.get(measure, ())
        if len(numbers) < 2:
            return None
        return numbers[-1].value - numbers[-2].value, (numbers[-1].at - numbers[-2].at).days


def animal_view(*, day: Day, key: str) -> AnimalView:
    """Return one animal, also one that has left. Raises Refused(UNKNOWN_RESIDENT).

    Twelve queries more than the day, whatever its history.
    """
    rows = Resident.objects.select_related("tank", "lot", "room", "written_by")
    row = rows.filter(room=day.room, key=key).first()
    if row is None:
        raise Refused(No.UNKNOWN_RESIDENT, value=key)
    facts = next((each for each in day.facts.residents if each.key == key), None)
    care = day.facts.care_of(facts) if facts else None
    fellows = [each for each in day.facts.residents if facts and each.tank == facts.tank and each.key != key]
    words = early_word.early_word(day=day)
    return AnimalView(
        row=row,
        label=display_name(resident=row, tank=row.tank.name if row.tank else ""),
        token=token(row),
        here=row.status in KEEPS_ITS_PLACE and row.heads > 0,
        facts=facts,
        care=care,
        age_days=(day.day - row.hatched_on).days if row.hatched_on else None,
        fellows=tuple(day.label("resident", each.key) for each in fellows),
        fellow_heads=sum(each.heads for each in fellows),
        concerns=tuple(each for each in words if each.subject == key and not each.tank),
        numbers=_numbers(row),
        gap=eye_gap(animal=facts, care=care) if facts and care else None,
        feeds=tuple(d for d in day.plan.duties if d.kind is DutyKind.FEED and d.subject == key),
        eaten=_eaten(day, row),
        notes=tuple(_last(Note.objects.filter(resident=row).select_related("written_by"), "-at", MOST_NOTES)),
        stays=tuple(_last(Stay.objects.filter(resident=row).select_related("tank"), "-since", MOST_HISTORY)),
        spells=tuple(
            _last(Spell.objects.filter(resident=row).select_related("written_by"), "-since", MOST_HISTORY)
        ),
        orders=tuple(_last(MedicineOrder.objects.filter(resident=row), "-from_on", MOST_HISTORY)),
        doses=tuple(each for each in medicine.today(day=day) if each.resident == key),
    )


def _last(rows: QuerySet[Row], by: str, most: int) -> list[Row]:
    return list(rows.order_by(by, "-pk")[:most])


def _numbers(row: Resident) -> Mapping[str, tuple[Point, ...]]:
    found: dict[str, list[Point]] = defaultdict(list)
    rows = Measurement.objects.filter(resident=row).order_by("-at", "-pk")[: 4 * MOST_NUMBERS]
    for each in rows:
        found[each.measure].append(Point(at=each.at, value=each.value))
    return {measure: tuple(reversed(points[:MOST_NUMBERS])) for measure, points in found.items()}


def _eaten(day: Day, row: Resident) -> tuple[EatenDay, ...]:
    """What it ate on each of the last days; of a lot's heads the sums."""
    days = [day.day - timedelta(days=ago) for ago in range(EATEN_DAYS - 1, -1, -1)]
    duties = {
        f"{on.isoformat()}/{DutyKind.FEED.value}/{row.key}/{slot}": on
        for on in days
        for slot in early_word.SLOTS
    }
    rows = Entry.objects.filter(
        room=day.room, duty__in=duties, kind__in=(EntryKind.COUNT, EntryKind.REFUSED), matched=True,
        corrections__isnull=True,
    )  # fmt: skip
    said: dict[date, dict[tuple[str, int], Entry]] = defaultdict(dict)
    for each in rows.order_by("at", "written_at", "id"):
        said[duties[each.duty]][each.duty, each.head] = each  # the last word of a feed stands
    return tuple(_eaten_day(on, list(said[on].values())) for on in days)


def _eaten_day(on: date, said: Sequence[Entry]) -> EatenDay:
    offered = sum(each.data.get("offered", 0) + each.data.get("more", 0) for each in said)
    left = sum(each.data.get("left", 0) for each in said)
    refused = any(each.kind == EntryKind.REFUSED for each in said)
    if not said:
        return EatenDay(day=on, eaten=None, offered=None, refused=False, at_least=False)
    return EatenDay(
        day=on,
        eaten=max(0, offered - left),
        offered=offered,
        refused=refused,
        at_least=offered > 0 and left == 0,
    )


# ---------------------------------------------------------------- all of them


def residents(*, day: Day, asked: str = "", gone: bool = False) -> QuerySet[Resident]:
    """Return the room's animals by name, mark, tank or kind; ``gone`` takes those that left as well.

    A query that has not run yet: the page takes as many rows as it shows.
    """
    rows = Resident.objects.filter(room=day.room, heads__gte=1).select_related("tank", "tank__rack", "lot")
    if not gone:
        rows = rows.filter(status__in=KEEPS_ITS_PLACE)
    for word in asked.split()[:6]:
        rows = rows.filter(
            Q(name__icontains=word) | Q(mark__icontains=word) | Q(tank__name__iexact=word)
            | Q(kind__icontains=word) | Q(status_note__icontains=word)
        )  # fmt: skip
    return rows.order_by("tank__rack__order", "tank__order", "tank__key", "key")
