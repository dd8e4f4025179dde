"""From a plan in the making to the plan: rounds numbered through the day, each head in its tub."""

from __future__ import annotations

from collections.abc import Mapping

from roomops.planning.facts import Facts
from roomops.planning.jobs import Bench, Job
from roomops.planning.lanes import Spot, State
from roomops.planning.plain import digest
from roomops.planning.plan import Duty, Plan, Round, Scores, Seat, Shortfall, Step, StepKind
from roomops.planning.room import SCHEMA_VERSION
from roomops.planning.shortfall import unplaced


def assemble(
    *,
    facts: Facts,
    duties: tuple[Duty, ...],
    counters: tuple[Bench, ...],
    state: State,
    blocked: Mapping[str, Shortfall],
    scores: Scores,
    method: str,
) -> Plan:
    """Return the finished plan. Every open duty is in a round or has a reason, in the order of ``duties``."""
    placed = [(spot, state.jobs[i]) for i, spot in enumerate(state.spots) if spot is not None]
    placed.sort(key=lambda found: (found[0].start, found[0].lane, found[1].index))
    left = dict(blocked)
    for job in state.jobs:
        left |= {s.duty: s for s in unplaced(facts=facts, state=state, job=job)}
    return Plan(
        schema=SCHEMA_VERSION,
        room=facts.room.room,
        day=facts.room.day.isoformat(),
        method=method,
        facts=digest(facts.room),
        duties=duties,
        rounds=tuple(
            _round(
                number=number, job=job, spot=spot, duties=state.served(job), state=state, counters=counters
            )
            for number, (spot, job) in enumerate(placed, start=1)
        ),
        unplaced=tuple(left[d.key] for d in duties if d.key in left),
        scores=scores,
    )


def _round(
    *,
    number: int,
    job: Job,
    spot: Spot,
    duties: tuple[Duty, ...],
    state: State,
    counters: tuple[Bench, ...],
) -> Round:
    bench = counters[spot.bench] if job.in_tubs else None
    return Round(
        key=f"{job.kind.value.replace(' ', '-')}-{job.slot}-{duties[0].subject}",
        number=number,
        person=state.lanes[spot.lane].person,
        kind=job.kind,
        slot=job.slot,
        duties=tuple(d.key for d in duties),
        start=spot.start,
        end=spot.start + job.total,
        steps=_steps(job=job, start=spot.start),
        seats=_seats(duties=duties, bench=bench) if bench else (),
        tray=bench.tray if bench else "",
        quarantine=job.quarantine,
    )


def _steps(*, job: Job, start: int) -> tuple[Step, ...]:
    if job.in_tubs:
        lengths = (
            (StepKind.PREPARE, job.prepare),
            (StepKind.TO_TUBS, job.to_tubs),
            (StepKind.FEED, job.feed),
            (StepKind.RETURN, job.back),
            (StepKind.WASH, job.after),
        )
    else:
        lengths = ((StepKind.WORK, job.feed), *(((StepKind.WASH, job.after),) if job.after else ()))
    steps: list[Step] = []
    for kind, minutes in lengths:
        steps.append(Step(kind=kind, start=start, end=start + minutes))
        start += minutes
    return tuple(steps)


def _seats(*, duties: tuple[Duty, ...], bench: Bench) -> tuple[Seat, ...]:
    """Give each head a tub in the order of the tray; where sizes forbid it, the longest get the largest."""
    heads = [(duty, head) for duty in duties for head in range(1, duty.heads + 1)]
    largest = max(bench.fits)
    lengths = [largest if duty.length_mm is None else duty.length_mm for duty, _ in heads]
    tubs = list(bench.tubs)
    if any(length > tub.fits_mm for length, tub in zip(lengths, tubs, strict=False)):
        by_length = sorted(range(len(heads)), key=lambda i: (-lengths[i], i))
        by_size = sorted(bench.tubs, key=lambda t: (-t.fits_mm, t.number))
        given = dict(zip(by_length, by_size, strict=False))
        tubs = [given[i] for i in range(len(heads))]
    return tuple(
        Seat(duty=duty.key, head=head, tub=tub.key) for (duty, head), tub in zip(heads, tubs, strict=False)
    )
