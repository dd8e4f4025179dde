"""A day that changed: what stood and still fits stays, the rest is put in around it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from roomops.husbandry.care import Need
from roomops.planning.jobs import Job
from roomops.planning.lanes import State
from roomops.planning.plan import Plan
from roomops.planning.queues import NEED_RANK, by_window, insert, soonest
from roomops.planning.scores import Order, compared
from roomops.planning.task import Task

MOST_TRIES = 60
"""Rounds that are taken out in turn to make room for one that must be served: enough for a day, and quick."""


def stay(*, task: Task, previous: Plan) -> State:
    """Put every round back where its duties stood, as far as that still fits, then the rest by window."""
    state = task.state()
    stood = {key: r for r in previous.rounds for key in r.duties}
    names = {lane.person: i for i, lane in enumerate(state.lanes)}
    benches_of = {tub.key: bench.index for bench in task.counters for tub in bench.tubs}
    queue = sorted(task.jobs, key=by_window)
    for job in queue:
        was = next((stood[d.key] for d in job.duties if d.key in stood), None)
        if was is not None and was.person in names:
            bench = benches_of.get(was.seats[0].tub, -1) if was.seats else -1
            _put_back(state=state, job=job, lane=names[was.person], start=was.start, bench=bench)
    insert(state=state, jobs=[j for j in queue if state.spots[j.index] is None], rank=soonest)
    return state


def _put_back(*, state: State, job: Job, lane: int, start: int, bench: int) -> None:
    limits = state.bounds(job)
    if limits is None or not limits[0] <= start <= limits[1]:
        return
    spot = state.earliest(job, lane, start, start, keep_peaks=job.need is not Need.MUST)
    if spot is None:
        return
    if state.washed(job=job, start=start, bench=bench):
        spot = replace(spot, bench=bench)
    state.put(job, spot)


def rescue(*, task: Task, state: State) -> None:
    """Make room for what must be served: take one round out of the way, put both in, keep that if it is
    better.
    """
    replanned = task.judge.replans
    order = compared(task.judge.order(state), replanned=replanned)
    tries = 0
    for job in sorted(task.jobs, key=by_window):
        if job.need is not Need.MUST or state.spots[job.index] is not None:
            continue
        for other in _in_the_way(state=state, job=job):
            if tries == MOST_TRIES:
                return
            tries += 1
            better = _swap(task=task, state=state, job=job, other=other, order=order)
            if better is not None:
                order = better
                break


def _in_the_way(*, state: State, job: Job) -> Sequence[Job]:
    """Return the rounds that stand within the window of one that is missing, the least needed first."""
    first, last = max(job.opens, job.earliest) - job.prepare, job.closes
    near = []
    for other in state.jobs:
        spot = state.spots[other.index]
        if spot is not None and spot.start < last and first < spot.start + other.total:
            near.append((-NEED_RANK[other.need], spot.start, other.index, other))
    return [other for *_, other in sorted(near, key=lambda each: each[:3])]


def _swap(*, task: Task, state: State, job: Job, other: Job, order: Order) -> Order | None:
    """Try the missing round first and the other after it; return the new order, or None with all as
    before.
    """
    before = list(state.spots)
    out = state.pull_chain(other)
    insert(state=state, jobs=[job, *sorted(out, key=by_window)], rank=soonest)
    tried = compared(task.judge.order(state), replanned=task.judge.replans)
    if tried < order:
        return tried
    state.reset(before)
    return None
