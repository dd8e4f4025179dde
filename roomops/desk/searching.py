"""A missing animal: where to look, who looked where, the tanks beside it counted again, until it is found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from roomops.desk.day_types import Animal, Day
from roomops.desk.entries import Answer, Said, say_or_refuse
from roomops.desk.herd import Hand
from roomops.desk.refusals import No, Refused
from roomops.planning.room import FED, DutyKind, Status
from roomops.records.models import Entry, EntryKind

PLACES = (
    ("tank", "Its own tank: every hide, under the floor, behind the back wall, in the lamp’s hood"),
    ("beside", "The tanks beside it, counted head by head"),
    ("lids", "Lids, cable holes, and gaps as wide as its head"),
    ("warm", "Warm places: behind the rack, timers and transformers, the refrigerator’s back"),
    ("low", "Low and dark: under racks and cabinets, boxes, shoes, folded cloths"),
    ("drains", "Drains, the sink, the bucket, the toilet: cover them now"),
    ("doors", "Doors shut, a towel along the sill; the shop’s people told"),
    ("feet", "The floor before anybody rolls a chair or opens a drawer"),
)
"""Where to look, in order. Common practice, no source."""
NEIGHBORS = 2  # tanks to either side that are counted again


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """A tank near it: who should be there by the book, and what was last counted in this search."""

    tank: str
    name: str
    by_the_book: int
    seen: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """One word of the search."""

    at: datetime
    by: str
    places: tuple[str, ...]
    seen: Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchView:
    animal: Animal
    since: datetime
    tanks: tuple[Counted, ...]
    looked: tuple[Looked, ...]  # newest first
    done: frozenset[str]  # places where somebody has looked since it went missing
    number: int  # of the next word
    over: tuple[Counted, ...]  # tanks with more heads than by the book: it may be there


def search_view(*, day: Day, key: str) -> SearchView:
    """Return where a search stands, one query more than the day. Raises Refused: UNKNOWN_RESIDENT, FOUND."""
    animal = day.animals.get(key)
    if animal is None:
        raise Refused(No.UNKNOWN_RESIDENT, value=key)
    if animal.status != Status.MISSING:
        raise Refused(No.FOUND, value=animal.label)
    words = _words(day, animal)
    looked = tuple(_looked(each) for each in reversed(words))
    seen = {tank: heads for each in reversed(looked) for tank, heads in each.seen.items()}
    tanks = _near(day, animal, seen)
    return SearchView(
        animal=animal,
        since=animal.since,
        tanks=tanks,
        looked=looked,
        done=frozenset(place for each in looked for place in each.places),
        number=_number(day, key, [each.duty for each in words]),
        over=tuple(each for each in tanks if each.seen is not None and each.seen > each.by_the_book),
    )


def _number(day: Day, key: str, said: Sequence[str]) -> int:
    """The search that is due by now; looking once more than that takes none of the later ones away."""
    planned = [duty for duty in day.duties.values() if (duty.kind, duty.subject) == (DutyKind.SEARCH, key)]
    open_now = [each for each in planned if each.key not in said and day.clock(each.opens) <= day.now]
    if open_now:
        return min(each.slot for each in open_now)
    taken = {each.slot for each in planned} | {int(duty.rsplit("/", 1)[1]) for duty in said}
    return max(taken, default=0) + 1


def _words(day: Day, animal: Animal) -> Sequence[Entry]:
    rows = Entry.objects.filter(
        room=day.room, duty__contains=f"/{DutyKind.SEARCH.value}/{animal.key}/", at__gte=animal.since,
        kind=EntryKind.DONE, matched=True, corrections__isnull=True,
    )  # fmt: skip
    return tuple(rows.select_related("written_by").order_by("at", "id"))


def _looked(entry: Entry) -> Looked:
    seen = entry.data.get("seen", {})
    return Looked(
        at=entry.at,
        by=entry.written_by.name if entry.written_by else "",
        places=tuple(entry.data.get("looked", ())),
        seen={str(tank): int(heads) for tank, heads in seen.items()} if isinstance(seen, dict) else {},
    )


def _near(day: Day, animal: Animal, seen: Mapping[str, int]) -> tuple[Counted, ...]:
    """Its own tank and those beside it in the walking order of its rack."""
    own = next((tank for tank in day.facts.tanks if tank.key == animal.tank), None)
    rack = [tank for tank in day.facts.tanks if own is not None and tank.rack == own.rack]
    if own is None:
        return ()
    at = rack.index(own)
    near = rack[max(0, at - NEIGHBORS) : at + NEIGHBORS + 1]
    book: dict[str, int] = {}
    for each in day.facts.residents:
        if each.status in FED:
            book[each.tank] = book.get(each.tank, 0) + each.heads
    return tuple(
        Counted(tank=tank.key, name=tank.name, by_the_book=book.get(tank.key, 0), seen=seen.get(tank.key))
        for tank in near
    )


def looked(
    *, day: Day, hand: Hand, key: str, places: Sequence[str], seen: Mapping[str, int], form: UUID
) -> tuple[Answer, ...]:
    """Somebody looked and did not find it. Refused: MISSING places, FOUND, OUT_OF_RANGE."""
    view = search_view(day=day, key=key)
    known = [place for place, _ in PLACES if place in places]
    if not known and not seen:
        raise Refused(No.MISSING, name="place where you looked")
    data = {"found": False, "looked": known, "seen": dict(seen)}
    said = Said(id=form, duty=_duty(day.day, key, view.number), kind=EntryKind.DONE, data=data)
    return say_or_refuse(day=day, by=hand.by, said=[said])


def found_it(*, day: Day, hand: Hand, key: str, where: str, form: UUID) -> tuple[Answer, ...]:
    """It is found: it stands as before, its feeds come back, the short counts of its tank are settled.

    Refused: MISSING where, UNKNOWN_RESIDENT, FOUND.
    """
    view = search_view(day=day, key=key)
    if not where:
        raise Refused(No.MISSING, name="place where it was")
    said = Said(
        id=form,
        duty=_duty(day.day, key, view.number),
        kind=EntryKind.DONE,
        data={"found": True, "where": where},
    )
    return say_or_refuse(day=day, by=hand.by, said=[said])


def _duty(day: date, key: str, number: int) -> str:
    return f"{day.isoformat()}/{DutyKind.SEARCH.value}/{key}/{number}"


def missing_of(*, day: Day) -> tuple[Animal, ...]:
    """Return the animals that are looked for, the longest missing first."""
    gone = [each for each in day.animals.values() if each.status == Status.MISSING]
    return tuple(sorted(gone, key=lambda each: each.since))


__all__ = ["PLACES", "SearchView", "found_it", "looked", "missing_of", "search_view"]
