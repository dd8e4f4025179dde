"""What of a plan has begun and so stays as it is, and how the rest of a new plan is put around it. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from math import ceil
from zoneinfo import ZoneInfo

from roomops.desk.state import State, Word
from roomops.planning.plan import Plan, Round, StepKind
from roomops.planning.room import Begun, DutyKind
from roomops.planning.room import Room as Facts
from roomops.records.moments import Span, day_span


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """The rounds that stay, and the facts as a planner of the rest must know them."""

    rounds: tuple[Round, ...]
    facts: Facts


def standing(*, plan: Plan, state: State, facts: Facts, now: datetime) -> Standing:
    """Return what has begun of ``plan``: any round in which somebody has done or said something.

    The rest is planned from ``now`` on; the duties of a round under way are taken, and its person and tubs
    until they are about to be free.
    """
    span = day_span(day=facts.day, zone=ZoneInfo(facts.timezone))
    minute = max(0, min(ceil(span.minute_of(now)), span.minutes))
    rounds = tuple(each for each in plan.rounds if round_begun(round_=each, state=state))
    done = {each.duty for each in facts.done}
    under_way = (
        _begun(round_=each, state=state, span=span, minute=minute, done=done)
        for each in rounds
        if any(duty not in done for duty in each.duties) or _holds_tubs(round_=each, state=state)
    )
    return Standing(rounds=rounds, facts=replace(facts, begun=tuple(under_way), now_min=minute))


def round_begun(*, round_: Round, state: State) -> bool:
    """Say whether anybody has begun a round: a step of its tray, a head of its feed, one of its duties."""
    steps = state.round(round_.key)
    if steps.cups or steps.washed or steps.finished:
        return True
    if round_.kind is DutyKind.FEED:
        heads = [(seat.duty, seat.head) for seat in round_.seats] or [(duty, 0) for duty in round_.duties]
        return any(state.head(duty=duty, head=head).begun for duty, head in heads)
    return any(duty in state.duties for duty in round_.duties)


def _holds_tubs(*, round_: Round, state: State) -> bool:
    return bool(round_.seats) and state.round(round_.key).washed is None


def _begun(*, round_: Round, state: State, span: Span, minute: int, done: set[str]) -> Begun:
    first = min((word.at for word in _words(round_, state)), default=None)
    began = round_.start if first is None else int(span.minute_of(first))
    free = max(minute, began + round_.end - round_.start)
    return Begun(
        person=round_.person,
        duties=tuple(duty for duty in round_.duties if duty not in done),
        start=_ate_at(round_=round_, state=state, span=span, began=began),
        person_free=free,
        tubs=tuple(seat.tub for seat in round_.seats) if _holds_tubs(round_=round_, state=state) else (),
        tubs_free=free if _holds_tubs(round_=round_, state=state) else 0,
    )


def _words(round_: Round, state: State) -> Iterable[Word]:
    """Everything that was said of a round so far."""
    steps = state.round(round_.key)
    yield from (word for word in (steps.cups, steps.washed, steps.finished) if word)
    if round_.kind is not DutyKind.FEED:
        yield from (state.duties[duty].word for duty in round_.duties if duty in state.duties)
    for duty, head in ((seat.duty, seat.head) for seat in round_.seats):
        found = state.head(duty=duty, head=head)
        yield from (word for word in (found.out, found.count, found.not_here, found.back) if word)


def _ate_at(*, round_: Round, state: State, span: Span, began: int) -> int:
    """The minute at which its animals began to eat: the last one into its tub, or as the steps have it."""
    outs = [state.head(duty=seat.duty, head=seat.head).out for seat in round_.seats]
    times = [int(span.minute_of(word.at)) for word in outs if word]
    if times:
        return max(times)
    bites = sum(s.end - s.start for s in round_.steps if s.kind in {StepKind.PREPARE, StepKind.TO_TUBS})
    return began + bites


def merged(*, base: Plan, stood: Standing, fresh: Plan) -> Plan:
    """Return ``fresh`` with the standing rounds kept, numbered through the day.

    A standing round keeps its duties as they were: their portions are in the cups already.
    """
    kept = {key for each in stood.rounds for key in each.duties}
    before = {duty.key: duty for duty in base.duties if duty.key in kept}
    now = {duty.key: duty for duty in fresh.duties}
    taken = {each.key for each in stood.rounds}
    rounds = [*stood.rounds, *(_renamed(round_=each, taken=taken) for each in fresh.rounds)]
    rounds.sort(key=lambda each: (each.start, each.number, each.key))
    return replace(
        fresh,
        duties=tuple((now | before).values()),
        rounds=tuple(replace(each, number=number) for number, each in enumerate(rounds, start=1)),
        unplaced=tuple(each for each in fresh.unplaced if each.duty not in kept),
    )


def _renamed(*, round_: Round, taken: set[str]) -> Round:
    """Two rounds of one day never share a key: what was said of a tray is said of one round."""
    key = round_.key
    while key in taken:
        key += "-again"
    taken.add(key)
    return replace(round_, key=key)
