"""Rounds without tubs: walks along racks, work at the bench, feeds in tanks, sessions in the sun."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from roomops.planning.facts import Facts
from roomops.planning.jobs import Job, Place, Terms, up
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind, Span

SHORT_ROUNDS = {DutyKind.WEIGH: 20, DutyKind.MIST: 30, DutyKind.MEDICINE: 20, DutyKind.HEAT_CHECK: 15}
"""Minutes of one round of work whose windows are short, or that feeds wait for; others take the room's."""


def walks(*, facts: Facts, duties: list[Duty], place: Place) -> Iterator[Job]:
    """One walk along a rack, in parts where it would be too long; the kitchen's duties one by one."""
    yield from _sun(facts=facts, duties=[d for d in duties if d.kind is DutyKind.SUN], place=place)
    duties = [d for d in duties if d.kind is not DutyKind.SUN]

    def same(duty: Duty) -> tuple[object, ...]:
        rack = facts.tanks[duty.tank].rack if duty.tank else ""
        tank = duty.tank if duty.kind is DutyKind.LAMP else ""  # emptied one by one
        what = duty.kind.value, duty.slot, duty.quarantine, duty.opens, duty.closes
        return *what, rack, tank, duty.need.value

    def line(duty: Duty) -> tuple[object, ...]:
        return (*same(duty), place.get(duty.tank, ()), duty.key)

    most = facts.room.settings.round_most_min
    for _, group in groupby(sorted(duties, key=line), key=same):
        members = list(group)
        short = min(SHORT_ROUNDS.get(members[0].kind, most), most)
        for part in _parts(duties=members, most=short, heads_most=None):
            yield _plain(facts=facts, duties=part, watch=0, due=part[0].closes, part="")


def tank_feeds(
    *,
    facts: Facts,
    duties: list[Duty],
    terms: dict[str, Terms],
    place: Place,
) -> Iterator[Job]:
    """Feeds in the tank, rack by rack; prey is watched, so no more animals than one person can watch."""

    def same(duty: Duty) -> tuple[object, ...]:
        term = terms[duty.key]
        rack = facts.tanks[duty.tank].rack
        return (
            duty.slot,
            duty.quarantine,
            term.part,
            duty.need.value,
            duty.opens,
            duty.closes,
            term.watch,
            rack,
        )

    def line(duty: Duty) -> tuple[object, ...]:
        return (*same(duty), place[duty.tank], duty.key)

    for _, group in groupby(sorted(duties, key=line), key=same):
        members = list(group)
        term = terms[members[0].key]
        watched = facts.room.settings.watch_most if term.watch else None
        for part in _parts(duties=members, most=facts.room.settings.round_most_min, heads_most=watched):
            due = min(terms[d.key].due for d in part)
            yield _plain(facts=facts, duties=part, watch=term.watch, due=due, part=term.part)


def _sun(*, facts: Facts, duties: list[Duty], place: Place) -> Iterator[Job]:
    """As many animals at once as there are pens, in walking order, from the first fit hour on."""
    out = facts.room.outdoors
    if not out.windows or not out.pens:
        return

    def line(duty: Duty) -> tuple[object, ...]:
        return duty.quarantine, place[duty.tank], duty.key

    parts = (
        part
        for _, group in groupby(sorted(duties, key=line), key=lambda d: d.quarantine)
        for part in _parts(duties=group, most=facts.room.day_length_min, heads_most=len(out.pens))
    )
    made = [_plain(facts=facts, duties=part, watch=out.session_min, due=0, part="") for part in parts]
    for job, window in zip(made, _by_turns(windows=out.windows, jobs=made), strict=True):
        yield replace(job, opens=window.start, closes=window.end, due=window.end)


def _by_turns(*, windows: Sequence[Span], jobs: Sequence[Job]) -> Iterator[Span]:
    """Give each session a window of fit hours: the first that has time left, else the last."""
    left = {place: window.end - window.start for place, window in enumerate(windows)}
    for job in jobs:
        place = next((n for n, minutes in left.items() if minutes >= job.total), len(windows) - 1)
        left[place] -= job.total
        yield windows[place]


def _parts(*, duties: Iterable[Duty], most: int, heads_most: int | None) -> Iterator[list[Duty]]:
    part: list[Duty] = []
    heads, minutes = 0, 0.0
    for duty in duties:
        too_many = heads_most is not None and heads + duty.heads > heads_most
        if part and (too_many or minutes + duty.minutes > most):
            yield part
            part, heads, minutes = [], 0, 0.0
        part.append(duty)
        heads, minutes = heads + duty.heads, minutes + duty.minutes
    if part:
        yield part


def _plain(*, facts: Facts, duties: list[Duty], watch: int, due: int, part: str) -> Job:
    first = duties[0]
    return Job(
        index=0,
        kind=first.kind,
        slot=first.slot,
        part=part,
        need=first.need,
        duties=tuple(duties),
        heads=sum(d.heads for d in duties),
        opens=max(d.opens for d in duties),
        closes=min(d.closes for d in duties),
        due=due,
        quarantine=first.quarantine,
        feed=up(sum(d.minutes for d in duties)) + watch,
        after=facts.room.settings.change_min if first.quarantine else 0,
    )
