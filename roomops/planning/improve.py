"""A better plan by ruin and recreate: take some rounds out, put them back in another order, keep what is no
worse.

A fixed number of steps and a seeded generator: the same facts, steps and seed give the same plan on any
machine.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import replace

from roomops.planning import first_fit
from roomops.planning.jobs import Job
from roomops.planning.lanes import Spot, State
from roomops.planning.plan import Plan
from roomops.planning.queues import (
    by_slack,
    by_window,
    close_late,
    head,
    insert,
    least_used,
    longest_first,
    soonest,
)
from roomops.planning.repair import stay
from roomops.planning.room import Room
from roomops.planning.scores import Order, compared, in_order
from roomops.planning.task import Task, prepare

Report = Callable[[int, int], None]
"""Told after each step how many of how many are done."""

RANKS = (soonest, least_used)
LINES = (by_window, by_slack, longest_first)
WEIGHTS = (1000.0, 100.0, 0.3, 30.0, 0.02, 0.05, 0.1)
WEIGHTS_MOVED = (*WEIGHTS[:4], 2.0, *WEIGHTS[4:6])
"""Of must, should, late, could, uneven, imbalance, moved; in a day under way moved comes before uneven."""
WORSE_MOST = 500.0
"""How much worse a plan may at first be that is passed through: tried on rooms of all sizes."""
ALL_TRIED = 40
"""Steps in which every missing round is tried again at least once."""


def plan_day(
    *,
    room: Room,
    start: Plan | None = None,
    iterations: int | None = None,
    seed: int | None = None,
    report: Report | None = None,
    previous: Plan | None = None,
) -> Plan:
    """Return a plan no worse than ``start`` in the strict order of the aims, method 'improved'.

    ``start`` is a plan of the same facts (else the quick one is made), ``iterations`` and ``seed`` are the
    room's settings unless given. With ``previous`` a day under way is bettered without moving more than the
    start does. Raises KeyError as the quick plan does.
    """
    settings = room.settings
    steps = settings.iterations if iterations is None else iterations
    task = prepare(room=room, previous=previous)
    begun = start if start is not None else first_fit.plan_day(room=room, previous=previous)
    search = _Search(task=task, start=begun, seed=settings.seed if seed is None else seed)
    for step in range(steps):
        search.step(step / steps)
        if report is not None:
            report(step + 1, steps)
    better = task.plan(state=search.best_state(), method="improved")
    worse = compared(in_order(better.scores), replanned=task.judge.replans) > compared(
        in_order(begun.scores), replanned=task.judge.replans
    )
    return replace(begun, method="improved") if worse else better


def _weight(order: Order, *, replanned: bool) -> float:
    """Return one number for the aims. It leads the way only: what is kept is compared in strict order."""
    weights = WEIGHTS_MOVED if replanned else WEIGHTS
    return sum(each * weight for each, weight in zip(order, weights, strict=True))


class _Search:
    def __init__(self, *, task: Task, start: Plan, seed: int) -> None:
        self._task = task
        self._replanned = task.judge.replans
        self._dice = random.Random(seed)  # noqa: S311
        self._state = stay(task=task, previous=start)
        self._best: list[Spot | None] = list(self._state.spots)
        self._best_order = self._judged()
        self._weight = _weight(self._best_order, replanned=self._replanned)

    def _judged(self) -> Order:
        return compared(self._task.judge.order(self._state), replanned=self._replanned)

    def step(self, done: float) -> None:
        """Ruin and recreate once. ``done`` is the part of all steps taken: worse plans are passed through
        early and ever less, since many good days lie behind a worse one.
        """
        before = list(self._state.spots)
        self._recreate(self._ruin())
        order = self._judged()
        weight = _weight(order, replanned=self._replanned)
        if weight > self._weight + WORSE_MOST * (1 - done) * (1 - done) * self._dice.random():
            self._state.reset(before)
            return
        self._weight = weight
        if order < self._best_order:
            self._best, self._best_order = list(self._state.spots), order

    def best_state(self) -> State:
        self._state.reset(self._best)
        return self._state

    # ------------------------------------------------------------ out and in again

    def _ruin(self) -> list[Job]:
        """Take out some rounds, and with each feed the later feeds that may not be without it."""
        placed = [job for job in self._task.jobs if self._state.spots[job.index] is not None]
        if not placed:
            return []
        want = min(len(placed), 2 + self._dice.randrange(max(2, min(12, len(placed) // 3 + 1))))
        chosen = self._dice.choice((self._anywhere, self._around, self._of_a_person))(placed, want)
        return [out for job in chosen for out in self._state.pull_chain(job)]

    def _anywhere(self, placed: Sequence[Job], want: int) -> Sequence[Job]:
        return self._dice.sample(placed, want)

    def _around(self, placed: Sequence[Job], want: int) -> Sequence[Job]:
        """Rounds that stand near one minute of the day, or near where a missing round would have to be."""
        missing = [job for job in self._task.jobs if self._state.spots[job.index] is None]
        if missing and self._dice.random() < 0.7:
            lost = self._dice.choice(missing)
            centre = self._dice.randrange(lost.opens, max(lost.closes, lost.opens + 1))
        else:
            centre = self._start(self._dice.choice(placed))
        return sorted(placed, key=lambda job: (abs(self._start(job) - centre), job.index))[:want]

    def _of_a_person(self, placed: Sequence[Job], want: int) -> Sequence[Job]:
        lane = self._lane(self._dice.choice(placed))
        own = [job for job in placed if self._lane(job) == lane]
        return self._dice.sample(own, min(len(own), want))

    def _start(self, job: Job) -> int:
        spot = self._state.spots[job.index]
        return spot.start if spot else 0

    def _lane(self, job: Job) -> int:
        spot = self._state.spots[job.index]
        return spot.lane if spot else -1

    def _recreate(self, taken: list[Job]) -> None:
        missing = [job for job in self._task.jobs if self._state.spots[job.index] is None]
        if len(missing) > ALL_TRIED:  # an overloaded day: its lost rounds are tried some at a time
            own = {job.index for job in taken}
            lost = [job for job in missing if job.index not in own]
            missing = taken + self._dice.sample(lost, min(ALL_TRIED, len(lost)))
        line = self._dice.choice(LINES)
        queue = sorted(missing, key=line)
        if self._dice.random() < 0.5:
            queue = self._shuffled(queue)
        if self._dice.random() < 0.5:
            close_late(state=self._state, jobs=queue)
            queue = [job for job in queue if self._state.spots[job.index] is None]
        insert(state=self._state, jobs=queue, rank=self._dice.choice(RANKS))

    def _shuffled(self, queue: list[Job]) -> list[Job]:
        """Another order within the same need and slot: first feeds stay before second ones."""
        mixed = [(head(job), self._dice.random(), job.index, job) for job in queue]
        return [job for *_, job in sorted(mixed, key=lambda each: each[:3])]
