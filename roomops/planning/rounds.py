"""Duties into rounds: tubs filled up first, tank mates together, racks in walking order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from roomops.planning.facts import Facts
from roomops.planning.jobs import Bench, Job, Place, Terms, heads_within, up
from roomops.planning.plain_rounds import tank_feeds, walks
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind, Settings, Tub
from roomops.planning.ties import tied

Benches = tuple[Bench, ...]

LOOK_AHEAD = 8
"""Tanks that are looked at for one that fills a round whole before a tank is parted."""


def benches(*, facts: Facts) -> Benches:
    """Return the trays, long ones in stretches of what one person can watch, large tubs first, in counter
    order.
    """
    most = max(facts.room.settings.watch_most, 1)
    by_tray: dict[str, list[Tub]] = {
        tray.key: [] for tray in sorted(facts.room.trays, key=lambda t: (t.order, t.key))
    }
    for tub in sorted(facts.room.tubs, key=lambda t: (t.number, t.key)):
        by_tray.setdefault(tub.tray, []).append(tub)
    found: list[Bench] = []
    for tray, tubs in by_tray.items():
        for apart in (False, True):
            same = [tub for tub in tubs if tub.quarantine is apart]
            if len(same) > most:
                same.sort(key=lambda t: -t.fits_mm)
            for begin in range(0, len(same), most):
                found.append(
                    _bench(index=len(found), tray=tray, tubs=same[begin : begin + most], apart=apart)
                )
    return tuple(found)


def _bench(*, index: int, tray: str, tubs: Sequence[Tub], apart: bool) -> Bench:
    fits = tuple(sorted((tub.fits_mm for tub in tubs), reverse=True))
    return Bench(index=index, tray=tray, tubs=tuple(tubs), quarantine=apart, fits=fits)


def jobs(*, facts: Facts, duties: Iterable[Duty], counters: Benches) -> tuple[Job, ...]:
    """Return the rounds that serve ``duties``, which are all open ones that nothing forbids."""
    duties = list(duties)
    place = _walking_order(facts=facts)
    feeds = [d for d in duties if d.kind is DutyKind.FEED]
    terms = _terms(facts=facts, feeds=feeds, counters=counters)
    made: list[Job] = []
    made.extend(walks(facts=facts, duties=[d for d in duties if d.kind is not DutyKind.FEED], place=place))
    made.extend(tank_feeds(facts=facts, duties=[d for d in feeds if not d.in_tub], terms=terms, place=place))
    made.extend(
        _tub_feeds(
            facts=facts, duties=[d for d in feeds if d.in_tub], terms=terms, place=place, counters=counters
        )
    )
    return tied(facts=facts, made=[replace(job, index=i) for i, job in enumerate(made)])


def _walking_order(*, facts: Facts) -> Place:
    order = {rack.key: rack.order for rack in facts.room.racks}
    return {t.key: (order.get(t.rack, 0), t.rack, t.order, t.key) for t in facts.room.tanks}


def _terms(*, facts: Facts, feeds: Iterable[Duty], counters: Benches) -> dict[str, Terms]:
    """Look up each feed's terms. An animal of unknown length takes the largest tub there is."""
    largest = {
        apart: max((c.fits[0] for c in counters if c.quarantine is apart), default=0.0)
        for apart in (False, True)
    }
    found: dict[str, Terms] = {}
    for duty in feeds:
        care = facts.care_of(facts.by_key[duty.subject])
        meals = facts.meals[duty.subject]
        watched = duty.in_tub or any(m.watched for m in meals if m.slot == duty.slot)
        later = sum(1 for m in meals if m.slot > duty.slot)
        found[duty.key] = Terms(
            watch=care.feeding.watch_min if watched else 0,
            most_out=min(care.feeding.most_out_min, facts.room.settings.most_out_min),
            due=duty.closes - later * facts.gaps[duty.subject],
            part=care.active.value,
            length=largest[duty.quarantine] if duty.length_mm is None else duty.length_mm,
        )
    return found


# ---------------------------------------------------------------- rounds in tubs


def _tub_feeds(
    *, facts: Facts, duties: list[Duty], terms: dict[str, Terms], place: Place, counters: Benches
) -> Iterator[Job]:
    def same(duty: Duty) -> tuple[object, ...]:
        return duty.slot, duty.quarantine, terms[duty.key].part, duty.need.value

    def line(duty: Duty) -> tuple[object, ...]:
        return (*same(duty), duty.opens, duty.closes, place[duty.tank], duty.key)

    for _, group in groupby(sorted(duties, key=line), key=same):
        members = list(group)
        suited = tuple(c for c in counters if c.quarantine is members[0].quarantine)
        company = Company(settings=facts.room.settings, terms=terms, counters=suited)
        for batch in fill_first(
            duties=members, most=facts.room.settings.watch_most, may_share=company.may_share
        ):
            in_line = sorted(batch, key=lambda d: (place[d.tank], d.key))
            yield _tub_job(settings=facts.room.settings, batch=in_line, terms=terms, company=company)


def fill_first(*, duties: list[Duty], most: int, may_share: Callable[[list[Duty]], bool]) -> list[list[Duty]]:
    """Return rounds that are filled up one after the other: 8 and 4, not 6 and 6.

    Whole tanks fill a round as far as they can; one is parted only when none of the near ones fills it. Lots
    cannot be parted: where it saves a round they go first, and marked animals fill up around them. ``most``
    is what no round may hold more of.
    """
    plain = list(_filled(duties=duties, most=most, may_share=may_share, lots_first=False))
    if all(duty.heads == 1 for duty in duties):
        return plain
    around = list(_filled(duties=duties, most=most, may_share=may_share, lots_first=True))
    return around if len(around) < len(plain) else plain


def _filled(
    *, duties: list[Duty], most: int, may_share: Callable[[list[Duty]], bool], lots_first: bool
) -> Iterator[list[Duty]]:
    tanks = [list(group) for _, group in groupby(duties, key=lambda d: d.tank)]
    while tanks:
        near = _near(tanks=tanks, lots_first=lots_first)
        batch: list[Duty] = []
        for mates in _whole(tanks=near, most=most, may_share=may_share):
            batch.extend(mates)
            mates.clear()
        for mates in near:
            while mates and may_share([*batch, mates[0]]):
                batch.append(mates.pop(0))
        yield batch or [near[0].pop(0)]  # what fits nowhere even alone has been sorted out before
        tanks = [mates for mates in tanks if mates]


def _near(*, tanks: list[list[Duty]], lots_first: bool) -> list[list[Duty]]:
    """Return the next tank, or the next with a lot, and those nearest to it in walking order."""
    lots = (n for n, mates in enumerate(tanks) if lots_first and any(d.heads > 1 for d in mates))
    first = next(lots, 0)
    around = sorted(range(len(tanks)), key=lambda n: (abs(n - first), n))
    return [tanks[n] for n in around[:LOOK_AHEAD]]


def _whole(
    *, tanks: list[list[Duty]], most: int, may_share: Callable[[list[Duty]], bool]
) -> Sequence[list[Duty]]:
    """Return the next tank with those of the ones after it that fill a round best, the nearest of equals."""
    sums: dict[int, tuple[int, ...]] = {}
    for place, mates in enumerate(tanks):
        heads = sum(d.heads for d in mates)
        for so_far, places in [(0, ())] if place == 0 else list(sums.items()):
            if so_far + heads <= most:
                sums.setdefault(so_far + heads, (*places, place))
    for _, places in sorted(sums.items(), reverse=True):
        if may_share([duty for place in places for duty in tanks[place]]):
            return [tanks[place] for place in places]
    return []


class Company:
    """Which feeds may share a round: heads watched at once, minutes out of heat, windows, tubs of one
    tray.
    """

    def __init__(self, *, settings: Settings, terms: dict[str, Terms], counters: Benches) -> None:
        self._settings, self._terms, self._counters = settings, terms, counters
        self._least_waste = sorted(counters, key=lambda c: (len(c.tubs), sum(c.fits), c.index))
        self._most: dict[tuple[int, int], int] = {}

    def may_share(self, batch: list[Duty]) -> bool:
        if sum(d.heads for d in batch) > self._settings.watch_most:
            return False
        found = [self._terms[d.key] for d in batch]
        limits = max(t.watch for t in found), min(t.most_out for t in found)
        if limits not in self._most:
            self._most[limits] = heads_within(settings=self._settings, watch=limits[0], most_out=limits[1])
        if sum(d.heads for d in batch) > self._most[limits]:
            return False
        common = min(d.closes for d in batch) - max(d.opens for d in batch)
        if 2 * common < min(d.closes - d.opens for d in batch):
            return False
        lengths = self._lengths(batch)
        return any(c.seats(lengths) for c in self._counters)

    def seated(self, batch: list[Duty]) -> Benches:
        """Return the benches that give every head a tub of its own, least waste first."""
        lengths = self._lengths(batch)
        return tuple(c for c in self._least_waste if c.seats(lengths))

    def _lengths(self, batch: list[Duty]) -> tuple[float, ...]:
        """Return every head's length, longest first."""
        return tuple(sorted((self._terms[d.key].length for d in batch for _ in range(d.heads)), reverse=True))


def _tub_job(*, settings: Settings, batch: list[Duty], terms: dict[str, Terms], company: Company) -> Job:
    heads = sum(d.heads for d in batch)
    to_tubs, back = up(heads * settings.to_tub_min), up(heads * settings.back_min)
    watch = max(terms[d.key].watch for d in batch)
    first = batch[0]
    return Job(
        index=0,
        kind=first.kind,
        slot=first.slot,
        part=terms[first.key].part,
        need=first.need,
        duties=tuple(batch),
        heads=heads,
        opens=max(d.opens for d in batch),
        closes=min(d.closes for d in batch),
        due=min(terms[d.key].due for d in batch),
        quarantine=first.quarantine,
        prepare=settings.prepare_min,
        to_tubs=to_tubs,
        feed=watch,
        back=back,
        after=settings.hands_wash_min + (settings.change_min if first.quarantine else 0),
        held=to_tubs + watch + back + settings.wash_min,
        benches=tuple(c.index for c in company.seated(batch)),
    )
