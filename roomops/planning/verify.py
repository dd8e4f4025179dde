"""Every breach of a plan, found by code that shares nothing with the planner.

This file and its parts (``verify_due``, ``verify_upkeep``, ``verify_feeds``, ``verify_work``) read the
room's facts and the plan and import no method that they judge. A plan is kept only when this returns nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from roomops.planning.plan import Breach, Duty, Plan, Round, StepKind, Why
from roomops.planning.room import DutyKind, Need, Room, Span
from roomops.planning.verify_due import Eyes, breach, duty_breaches
from roomops.planning.verify_feeds import SMALL, ate_at, feed_breaches, missed_heads, step
from roomops.planning.verify_work import work_breaches

TUB_STEPS = (StepKind.PREPARE, StepKind.TO_TUBS, StepKind.FEED, StepKind.RETURN, StepKind.WASH)


def breaches(*, room: Room, plan: Plan) -> tuple[Breach, ...]:
    """Return every rule that ``plan`` breaks for ``room``, in a fixed order; nothing for a plan that may be
    kept.

    Numbers are minutes of the day, minutes, mm or °C as their names say. Raises nothing for a plan that
    makes no sense: that is a breach. Raises LookupError or KeyError for a room that names a tank or care
    stage it lacks.
    """
    eyes = Eyes(room, plan)
    if (plan.room, plan.day, plan.schema) != (room.room, room.day.isoformat(), room.schema):
        return (breach("another room or day"),)
    return (
        *duty_breaches(eyes),
        *_numbering(plan),
        *_rounds(eyes),
        *_people(eyes),
        *_quarantine_last(eyes),
        *_walks(eyes),
        *feed_breaches(eyes),
        *work_breaches(eyes),
        *_reasons(eyes),
        *_scores(eyes),
    )


def _numbering(plan: Plan) -> Iterator[Breach]:
    for place, round_ in enumerate(plan.rounds, start=1):
        if round_.number != place:
            yield breach("numbered through the day", round=round_.key, number=round_.number, place=place)
    for before, after in pairwise(plan.rounds):
        if after.start < before.start:
            yield breach("numbered through the day", round=after.key, start=after.start, before=before.start)
    keys = [r.key for r in plan.rounds]
    for key in sorted({k for k in keys if keys.count(k) > 1}):
        yield breach("round named twice", round=key)


# ---------------------------------------------------------------- each round by itself


def _rounds(eyes: Eyes) -> Iterator[Breach]:
    for round_ in eyes.plan.rounds:
        duties = [eyes.expected[k] for k in round_.duties if k in eyes.expected]
        if not duties:
            yield breach("empty round", round=round_.key)
            continue
        yield from _of_a_kind(round_, duties)
        yield from _steps(eyes, round_, duties)
        yield from _in_window(eyes, round_, duties)


def _of_a_kind(round_: Round, duties: list[Duty]) -> Iterator[Breach]:
    said = (round_.kind, round_.slot, round_.quarantine, duties[0].in_tub)
    for duty in duties:
        if (duty.kind, duty.slot, duty.quarantine, duty.in_tub) != said:
            yield breach("one sort of work", round=round_.key, duty=duty.key)


def _steps(eyes: Eyes, round_: Round, duties: list[Duty]) -> Iterator[Breach]:
    """The steps follow one another without a hole, in their order, and each takes the time it needs."""
    kinds = tuple(s.kind for s in round_.steps)
    change = eyes.room.settings.change_min if duties[0].quarantine else 0
    wanted = TUB_STEPS if duties[0].in_tub else (StepKind.WORK, *((StepKind.WASH,) if change else ()))
    if kinds != wanted:
        yield breach("steps in order", round=round_.key, steps=len(kinds), wanted=len(wanted))
        return
    edges = [round_.start, *(s.end for s in round_.steps)]
    starts = [*(s.start for s in round_.steps), round_.end]
    if edges != starts or any(s.end < s.start for s in round_.steps):
        yield breach("steps add up", round=round_.key, start=round_.start, end=round_.end)
    for kind, least in _least_minutes(eyes, duties, change).items():
        found = step(round_, kind)
        if found is not None and found.end - found.start < least - SMALL:
            took = found.end - found.start
            yield breach(
                "step takes time", round=round_.key, step=wanted.index(kind), minutes=took, least=least
            )


def _least_minutes(eyes: Eyes, duties: list[Duty], change: int) -> dict[StepKind, float]:
    s = eyes.room.settings
    heads = sum(d.heads for d in duties)
    watch = max((eyes.watch(d) for d in duties if d.kind is DutyKind.FEED), default=0)
    if duties[0].kind is DutyKind.SUN:
        watch = eyes.room.outdoors.session_min
    if not duties[0].in_tub:
        return {StepKind.WORK: sum(d.minutes for d in duties) + watch, StepKind.WASH: change}
    return {
        StepKind.PREPARE: s.prepare_min,
        StepKind.TO_TUBS: heads * s.to_tub_min,
        StepKind.FEED: watch,
        StepKind.RETURN: heads * s.back_min,
        StepKind.WASH: s.hands_wash_min + change,
    }


def _in_window(eyes: Eyes, round_: Round, duties: list[Duty]) -> Iterator[Breach]:
    """Cups may be prepared before the window; animals are moved and fed, and are home, within it."""
    begin = step(round_, StepKind.TO_TUBS) or step(round_, StepKind.WORK)
    finish = step(round_, StepKind.RETURN) or step(round_, StepKind.WORK)
    if begin is None or finish is None:
        return
    for duty in duties:
        if begin.start < duty.opens:
            yield breach(
                "before its window", round=round_.key, duty=duty.key, start=begin.start, opens=duty.opens
            )
        if finish.end > duty.closes:
            yield breach(
                "after its window", round=round_.key, duty=duty.key, end=finish.end, closes=duty.closes
            )
    watched = any(eyes.watch(d) for d in duties if d.kind is DutyKind.FEED)
    heads = sum(d.heads for d in duties)
    if watched and not duties[0].in_tub and len(duties) > 1 and heads > eyes.room.settings.watch_most:
        yield breach("watched at once", round=round_.key, heads=heads, most=eyes.room.settings.watch_most)


# ---------------------------------------------------------------- people


def _people(eyes: Eyes) -> Iterator[Breach]:
    people = {p.key: p for p in eyes.room.people}
    by_person: dict[str, list[Round]] = {}
    for round_ in eyes.plan.rounds:
        by_person.setdefault(round_.person, []).append(round_)
        if round_.person not in people:
            yield breach("unknown person", round=round_.key)
        elif round_.quarantine and not people[round_.person].may_quarantine:
            yield breach("may not do quarantine", round=round_.key)
        if round_.start < eyes.room.now_min:
            yield breach("in the past", round=round_.key, start=round_.start, now=eyes.room.now_min)
    for person, rounds in by_person.items():
        yield from _one_at_a_time(eyes, person, rounds)
        yield from _on_shift(eyes, person, rounds)
    yield from _peaks(eyes)


def _one_at_a_time(eyes: Eyes, person: str, rounds: list[Round]) -> Iterator[Breach]:
    line = sorted(rounds, key=lambda r: (r.start, r.end))
    for before, after in pairwise(line):
        if after.start < before.end:
            yield breach("one round at a time", round=after.key, start=after.start, free=before.end)
    for begun in eyes.room.begun:
        for round_ in line:
            if begun.person == person and round_.start < begun.person_free:
                yield breach(
                    "one round at a time", round=round_.key, start=round_.start, free=begun.person_free
                )


def _on_shift(eyes: Eyes, person: str, rounds: list[Round]) -> Iterator[Breach]:
    """Within one shift and outside absences; of each shift no more than its share is planned."""
    shifts = [s for s in eyes.room.shifts if s.person == person]
    away = [p for p in eyes.room.peaks if p.person == person]
    for round_ in rounds:
        if not any(s.start <= round_.start and round_.end <= s.end for s in shifts):
            yield breach("within the shift", round=round_.key, start=round_.start, end=round_.end)
        for span in (p for p in away if _overlap(round_, p)):
            yield breach("while away", round=round_.key, start=span.start, end=span.end)
    for shift in shifts:
        own = [r for r in rounds if shift.start <= r.start and r.end <= shift.end]
        work = sum(r.end - r.start for r in own)
        ahead = shift.end - max(shift.start, eyes.room.now_min)
        if work > shift.share * ahead + SMALL:
            yield breach("share of the shift", round=own[-1].key, minutes=work, most=shift.share * ahead)


def _peaks(eyes: Eyes) -> Iterator[Breach]:
    """The shop's peaks are kept free of everything but what the animals must have."""
    for round_ in eyes.plan.rounds:
        needs = [eyes.expected[k].need for k in round_.duties if k in eyes.expected]
        for peak in (p for p in eyes.room.peaks if not p.person and _overlap(round_, p)):
            if Need.MUST not in needs:
                yield breach("in a shop peak", round=round_.key, start=peak.start, end=peak.end)


def _overlap(round_: Round, span: Span) -> bool:
    return round_.start < span.end and span.start < round_.end


def _quarantine_last(eyes: Eyes) -> Iterator[Breach]:
    """For each person, kind and slot (feeds of day and of night apart) clean animals come before
    quarantine.
    """
    last: dict[tuple[str, str, int, str], int] = {}
    clean = [r for r in eyes.plan.rounds if not r.quarantine]
    for round_ in clean:
        group = _group(eyes, round_)
        last[group] = max(last.get(group, 0), round_.end)
    for round_ in eyes.plan.rounds:
        if round_.quarantine and round_.start < last.get(_group(eyes, round_), 0):
            yield breach(
                "quarantine last", round=round_.key, start=round_.start, clean=last[_group(eyes, round_)]
            )


def _group(eyes: Eyes, round_: Round) -> tuple[str, str, int, str]:
    feeds = [eyes.expected[k] for k in round_.duties if k in eyes.expected and round_.kind is DutyKind.FEED]
    part = eyes.care(eyes.residents[feeds[0].subject]).active.value if feeds else ""
    return round_.person, round_.kind.value, round_.slot, part


def _walks(eyes: Eyes) -> Iterator[Breach]:
    """Heads are counted at home: before the tank's animals go to tubs, and after they are back."""
    trips: dict[str, list[tuple[int, int, str]]] = {}
    for round_ in eyes.plan.rounds:
        out, back = step(round_, StepKind.TO_TUBS), step(round_, StepKind.RETURN)
        for key in round_.duties if out and back else ():
            if key in eyes.expected and out and back:
                trips.setdefault(eyes.expected[key].tank, []).append((out.start, back.end, round_.key))
    for key, walk in eyes.in_round.items():
        duty = eyes.expected.get(key)
        for out_at, back_at, round_key in trips.get(duty.tank, ()) if duty else ():
            if walk.kind is DutyKind.OPENING and out_at < walk.end:
                yield breach("counted before feeding", round=round_key, duty=key, out=out_at, walked=walk.end)
            if walk.kind is DutyKind.CLOSING and walk.start < back_at:
                yield breach("counted after feeding", round=walk.key, duty=key, walk=walk.start, back=back_at)


# ---------------------------------------------------------------- reasons and scores


def _reasons(eyes: Eyes) -> Iterator[Breach]:
    """A reason that facts speak against is no reason."""
    for short in eyes.plan.unplaced:
        duty = eyes.expected.get(short.duty)
        if duty is not None and _baseless(eyes, duty, short.why):
            yield breach("reason without grounds", duty=short.duty)


def _baseless(eyes: Eyes, duty: Duty, why: Why) -> bool:
    if why in (Why.BASKING_LOW, Why.HEAT_OR_POWER):
        cold = eyes.low_basking(duty.tank) if why is Why.BASKING_LOW else eyes.room.outage
        return duty.kind is not DutyKind.FEED or cold is None
    if why is Why.NO_TUB_FITS:
        own = [t.fits_mm for t in eyes.room.tubs if t.quarantine is duty.quarantine]
        return not duty.in_tub or max(own, default=0.0) >= (duty.length_mm or 0.0)
    if why is Why.NO_TUBS:
        return not duty.in_tub or _a_tray_holds(eyes, duty)
    if why is Why.FIRST_NOT_SERVED:
        return not _earlier_left(eyes, duty)
    if why is Why.NOT_ALLOWED:
        return not duty.quarantine or all(p.may_quarantine for p in eyes.room.people)
    return False


def _a_tray_holds(eyes: Eyes, duty: Duty) -> bool:
    trays: dict[str, int] = {}
    for tub in eyes.room.tubs:
        if tub.quarantine is duty.quarantine and tub.fits_mm >= (duty.length_mm or 0.0):
            trays[tub.tray] = trays.get(tub.tray, 0) + 1
    return eyes.room.settings.watch_most >= duty.heads and max(trays.values(), default=0) >= duty.heads


def _earlier_left(eyes: Eyes, duty: Duty) -> bool:
    stem = duty.key.rsplit("/", 1)[0]
    return any(f"{stem}/{slot}" in eyes.left for slot in range(1, duty.slot))


def _scores(eyes: Eyes) -> Iterator[Breach]:
    said = eyes.plan.scores
    for need, value in ((Need.MUST, said.must), (Need.SHOULD, said.should), (Need.COULD, said.could)):
        counted = missed_heads(eyes, need)
        if counted != value:
            yield breach("scores", said=value, counted=counted, need=list(Need).index(need))


__all__ = ["ate_at", "breaches"]
