"""The aims in strict order, counted from a plan in the making."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from roomops.husbandry.care import Need
from roomops.planning.jobs import Job
from roomops.planning.lanes import State
from roomops.planning.plan import Plan, Scores
from roomops.planning.room import DutyKind

Order = tuple[int, int, int, int, int, int, int]
"""Must, should, late, could, uneven, imbalance, moved: compared from the left, less is better."""


def in_order(scores: Scores) -> Order:
    return (
        scores.must,
        scores.should,
        scores.late_min,
        scores.could,
        scores.unevenness_min,
        scores.imbalance_min,
        scores.moved,
    )


def compared(order: Order, *, replanned: bool) -> Order:
    """In a day under way people keep what they were told: moves count before evenness and balance."""
    return (*order[:4], order[6], *order[4:6]) if replanned else order


class Judge:
    """Counts the aims. ``blocked`` heads by need were never placeable; ``previous`` is what should stay
    put.
    """

    def __init__(self, *, jobs: tuple[Job, ...], blocked: Mapping[Need, int], previous: Plan | None) -> None:
        self._jobs = jobs
        self._blocked = blocked
        self._chains = _chains(jobs)
        self._stood = _stood(previous)

    @property
    def replans(self) -> bool:
        """Whether there is a plan that people were told of already."""
        return bool(self._stood)

    def scores(self, state: State) -> Scores:
        missed = dict.fromkeys(Need, 0)
        late = 0
        for job in self._jobs:
            spot = state.spots[job.index]
            if spot is None:
                missed[job.need] += job.heads
            else:
                missed[job.need] += _waiting(state, job)
                late += max(spot.start + job.prepare + job.out - job.due, 0)
        return Scores(
            must=missed[Need.MUST] + self._blocked.get(Need.MUST, 0),
            should=missed[Need.SHOULD] + self._blocked.get(Need.SHOULD, 0),
            late_min=late,
            could=missed[Need.COULD] + self._blocked.get(Need.COULD, 0),
            unevenness_min=self._unevenness(state),
            imbalance_min=_imbalance(state),
            moved=self._moved(state),
        )

    def order(self, state: State) -> Order:
        return in_order(self.scores(state))

    def _unevenness(self, state: State) -> int:
        """Sum over animals how far each pair of neighbouring gaps between feeds is apart."""
        total = 0
        for heads, chain in self._chains:
            bites = []
            for index in chain:
                spot = state.spots[index]
                if spot is None:
                    break
                bites.append(spot.start + self._jobs[index].bites)
            gaps = [b - a for a, b in pairwise(bites)]
            total += heads * sum(abs(b - a) for a, b in pairwise(gaps))
        return total

    def _moved(self, state: State) -> int:
        """Count the duties that stand in the previous plan with another person or at another time."""
        if not self._stood:
            return 0
        moved = 0
        for job in self._jobs:
            spot = state.spots[job.index]
            if spot is None:
                continue
            now = state.lanes[spot.lane].person, spot.start
            moved += sum(1 for d in state.served(job) if self._stood.get(d.key, now) != now)
        return moved


def _waiting(state: State, job: Job) -> int:
    """Count the heads of a placed round whose earlier feeds have no place."""
    for before in job.before:
        if before.required and state.spots[before.job] is None:
            return job.heads - sum(d.heads for d in state.served(job))
    return 0


def _chains(jobs: tuple[Job, ...]) -> list[tuple[int, tuple[int, ...]]]:
    """Return (heads, rounds in slot order) of all animals with three feeds or more, alike ones counted
    together.
    """
    feeds: dict[str, list[tuple[int, int, int]]] = {}
    for job in jobs:
        for duty in job.duties if job.kind is DutyKind.FEED else ():
            feeds.setdefault(duty.subject, []).append((duty.slot, job.index, duty.heads))
    alike: dict[tuple[int, ...], int] = {}
    for found in feeds.values():
        if len(found) > 2:
            chain = tuple(index for _, index, _ in sorted(found))
            alike[chain] = alike.get(chain, 0) + found[0][2]
    return [(heads, chain) for chain, heads in alike.items()]


def _imbalance(state: State) -> int:
    """Minutes that would have to change hands for everybody to carry the same part of what they may."""
    capacity = sum(lane.capacity for lane in state.lanes)
    if capacity == 0:
        return 0
    share = sum(lane.used for lane in state.lanes) / capacity
    return round(sum(abs(lane.used - share * lane.capacity) for lane in state.lanes) / 2)


def _stood(previous: Plan | None) -> dict[str, tuple[str, int]]:
    if previous is None:
        return {}
    return {key: (r.person, r.start) for r in previous.rounds for key in r.duties}
