"""Early word from the tables: weights, feeds refused in a row, short head counts, holds that are over."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import F, Window
from django.db.models.functions import RowNumber

from roomops.desk.day_types import Day, TroubleKind
from roomops.husbandry.care import StageCare
from roomops.husbandry.seasons import in_season
from roomops.planning.room import DutyKind, Resident, Status
from roomops.planning.watch import (
    SLOW_DAYS,
    Concern,
    ConcernKind,
    HeadCount,
    Watched,
    Weighed,
    concerns,
)
from roomops.records import models as m
from roomops.records.models.animals import KEEPS_ITS_PLACE
from roomops.records.said import subject_slot
from roomops.records.sheets import sheet_of
from roomops.records.snapshot import YOUNG_DAYS

WEIGHTS = 12  # weighings of an animal that are looked at: a quarter of weekly ones, a year of monthly ones
REFUSED_DAYS = 60  # a snake that eats every two weeks refused twice within these
SLOTS = range(1, 7)


def early_word(*, day: Day) -> tuple[Concern, ...]:
    """Return what is worth a look today, worst first: four queries more than the day, for a room of any size.

    Animals that are not told apart are known by their tank alone: of them only head counts are a word.
    """
    known = _known(day)
    sources = _Sources(known=known, weights=_weights(day), refused=_refused_in_a_row(day, known))
    care = {(each.kind, each.stage): each for each in day.facts.care}
    watched = [
        _watched(day, each, care[each.kind, each.stage], sources)
        for each in day.facts.residents
        if each.heads == 1
    ]
    return concerns(day=day.day, watched=watched, counts=_head_counts(day))


SAID_TOO = {
    TroubleKind.REFUSED_TWICE: ConcernKind.REFUSED,
    TroubleKind.MISSING: ConcernKind.MISSING,
    TroubleKind.SHORT_HEAD: ConcernKind.NOT_SEEN,
}


def beside_troubles(*, day: Day, words: Sequence[Concern]) -> tuple[Concern, ...]:
    """Return the words that what is wrong now does not say of the same animal or tank, in their order."""
    said = {(SAID_TOO[each.kind], each.resident or each.tank) for each in day.wrong if each.kind in SAID_TOO}
    return tuple(each for each in words if (each.kind, each.subject) not in said)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sources:
    known: Mapping[str, _Known]
    weights: Mapping[str, Sequence[Weighed]]
    refused: Mapping[str, tuple[int, date]]


def _watched(day: Day, each: Resident, care: StageCare, sources: _Sources) -> Watched:
    times, last = sources.refused.get(each.key, (0, None))
    known = sources.known[each.key]
    gone = each.status is Status.MISSING
    return Watched(
        key=each.key,
        young=known.age_days is not None and known.age_days < YOUNG_DAYS,
        hatchling=known.age_days is not None and each.stage == sheet_of(each.kind).stages[0].key,
        resting=_resting(day, care),
        weights=tuple(sources.weights.get(each.key, ())),
        refused_in_a_row=times,
        refused_on=last,
        missing_since=day.animals[each.key].since.astimezone(day.zone).date() if gone else None,
        hold_until=known.hold_until,
    )


def _resting(day: Day, care: StageCare) -> bool:
    """Its sheet's season of little food."""
    winding = care.winding_down
    return winding is not None and in_season(winding=winding, on=day.day, south=day.room.latitude < 0)


def _weights(day: Day) -> Mapping[str, list[Weighed]]:
    """The last weights of each animal, oldest first: numbered in the database."""
    newest = Window(RowNumber(), partition_by=[F("resident_id")], order_by=[F("at").desc(), F("pk").desc()])
    rows = m.Measurement.objects.filter(
        room=day.room, measure=m.Measure.WEIGHT, at__lte=day.now, at__gte=day.now - timedelta(days=SLOW_DAYS),
        resident__status__in=KEEPS_ITS_PLACE,
    )  # fmt: skip
    found: dict[str, list[Weighed]] = defaultdict(list)
    last = rows.annotate(rank=newest).filter(rank__lte=WEIGHTS).order_by("at", "pk")
    for key, value, at in last.values_list("resident__key", "value", "at"):
        found[key].append(Weighed(on=at.astimezone(day.zone).date(), weight_g=value))
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What planning's facts do not carry of a resident."""

    age_days: int | None
    last_fed_on: date | None
    hold_until: date | None


def _known(day: Day) -> Mapping[str, _Known]:
    rows = m.Resident.objects.filter(room=day.room, status__in=KEEPS_ITS_PLACE)
    values = rows.values_list("key", "hatched_on", "last_fed_on", "status", "status_until")
    return {
        key: _Known(
            age_days=(day.day - hatched).days if hatched else None,
            last_fed_on=fed,
            hold_until=until if status == Status.ON_HOLD else None,
        )
        for key, hatched, fed, status, until in values
    }


def _head_counts(day: Day) -> list[HeadCount]:
    """Short counts that no later one made good: they stand as notes."""
    return [
        HeadCount(
            tank=each.tank,
            seen=int(each.numbers.get("seen", 0)),
            of=int(each.numbers.get("of", 0)),
            on=(each.at or day.now).astimezone(day.zone).date(),
        )
        for each in day.wrong
        if each.kind is TroubleKind.SHORT_HEAD
    ]


# ---------------------------------------------------------------- refused in a row


@dataclass(frozen=True, slots=True, kw_only=True)
class _Feed:
    day: date
    slot: int
    at: datetime
    refused: bool


def _refused_in_a_row(day: Day, known: Mapping[str, _Known]) -> Mapping[str, tuple[int, date]]:
    """Return how often each animal refused from its last feed back, and when it last did.

    What it refused before the day on which it last ate is over; of that day itself the order of feeds says.
    """
    rows = m.Entry.objects.filter(
        room=day.room, kind=m.EntryKind.REFUSED, day__gte=day.day - timedelta(days=REFUSED_DAYS),
        day__lte=day.day, matched=True, corrections__isnull=True,
    )  # fmt: skip
    feeds: dict[str, list[_Feed]] = defaultdict(list)
    for duty, on, at in rows.values_list("duty", "day", "at"):
        subject, slot = subject_slot(duty)
        ate = known[subject].last_fed_on if subject in known else None
        if subject in known and (ate is None or on >= ate):
            feeds[subject].append(_Feed(day=on, slot=slot, at=at, refused=True))
    for subject, feed in _eaten(day, {key: known[key].last_fed_on for key in feeds}):
        feeds[subject].append(feed)
    found = {key: _streak(each) for key, each in feeds.items()}
    return {key: each for key, each in found.items() if each[0]}


def _eaten(day: Day, last_fed: Mapping[str, date | None]) -> Iterable[tuple[str, _Feed]]:
    """The counts of the day on which each of them last ate anything."""
    duties = [
        f"{on.isoformat()}/{DutyKind.FEED.value}/{key}/{slot}"
        for key, on in last_fed.items()
        if on is not None
        for slot in SLOTS
    ]
    rows = m.Entry.objects.filter(
        room=day.room, duty__in=duties, kind=m.EntryKind.COUNT, matched=True, corrections__isnull=True
    )
    for duty, on, at, data in rows.values_list("duty", "day", "at", "data"):
        subject, slot = subject_slot(duty)
        nothing = data.get("left", 0) >= data.get("offered", 0) + data.get("more", 0) > 0
        yield subject, _Feed(day=on, slot=slot, at=at, refused=nothing)


def _streak(feeds: Iterable[_Feed]) -> tuple[int, date]:
    ordered = sorted(feeds, key=lambda each: (each.day, each.slot, each.at), reverse=True)
    times = 0
    for each in ordered:
        if not each.refused:
            break
        times += 1
    return times, ordered[0].day
