"""In which order rounds are placed, and who takes each: the priority rules of list scheduling."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from roomops.husbandry.care import Need
from roomops.planning.jobs import Job
from roomops.planning.lanes import Spot, State
from roomops.planning.room import DutyKind

PHASE = {
    DutyKind.HEAT_CHECK: -2, DutyKind.OPENING: -1, DutyKind.CUPS: 0, DutyKind.MIST: 0, DutyKind.SEARCH: 0,
    DutyKind.WEIGH: 1, DutyKind.WATER: 9, DutyKind.THAW: 9, DutyKind.LAMP: 9, DutyKind.SUN: 9,
}  # fmt: skip
NEED_RANK = {Need.MUST: 0, Need.SHOULD: 1, Need.COULD: 2}

Line = Callable[[Job], tuple[int, ...]]
"""Where a round stands in the queue."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rank:
    """Which of several people's earliest spots is taken: the least. In one lane an earlier spot never ranks
    worse; with ``sooner_wins`` that holds across lanes, and no later spot than the best so far is looked at.
    """

    of: Callable[[State, Job, Spot], tuple[float, ...]]
    sooner_wins: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A way to queue rounds and to choose among people."""

    name: str
    line: Line
    rank: Rank
    apart_late: bool = False  # quarantine rounds are put in first, as late as the day's later feeds allow
    scale_first: bool = False  # weighing stands before the feeds that wait for it, though it is less needed


def _soonest(state: State, job: Job, spot: Spot) -> tuple[float, ...]:  # noqa: ARG001
    return spot.start, state.lanes[spot.lane].load, spot.lane


def _least_used(state: State, job: Job, spot: Spot) -> tuple[float, ...]:
    late = max(spot.start + job.prepare + job.out - job.due, 0)
    return late, state.lanes[spot.lane].load, spot.start, spot.lane


def _with_the_same(state: State, job: Job, spot: Spot) -> tuple[float, ...]:
    return not state.lanes[spot.lane].serves_apart(job), spot.start, spot.lane


soonest = Rank(of=_soonest, sooner_wins=True)
least_used = Rank(of=_least_used, sooner_wins=False)
with_the_same = Rank(of=_with_the_same, sooner_wins=False)


def head(job: Job) -> tuple[int, int]:
    """What every queue begins with: need, then the opening walk, the chopping, then feed by feed."""
    if job.kind is DutyKind.READING and job.slot > 0:  # a cold tank is read again: its feeds wait for it
        return NEED_RANK[job.need], 0
    return NEED_RANK[job.need], PHASE.get(job.kind, max(job.slot, 1))


def by_window(job: Job) -> tuple[int, ...]:
    return (*head(job), job.quarantine, job.closes, job.opens, job.index)


def by_slack(job: Job) -> tuple[int, ...]:
    return (*head(job), job.quarantine, job.closes - job.opens - job.total, job.closes, job.index)


def longest_first(job: Job) -> tuple[int, ...]:
    return (*head(job), job.quarantine, -job.total, job.index)


def as_listed(job: Job) -> tuple[int, ...]:
    return (*head(job), job.index)


RULES = (
    Rule(name="window, soonest", line=by_window, rank=soonest),
    Rule(name="window, least used", line=by_window, rank=least_used, scale_first=True),
    Rule(name="slack, soonest", line=by_slack, rank=soonest, scale_first=True),
    Rule(name="slack, least used", line=by_slack, rank=least_used),
    Rule(name="longest, soonest", line=longest_first, rank=soonest),
    Rule(name="longest, least used", line=longest_first, rank=least_used, scale_first=True),
    Rule(name="quarantine kept late, soonest", line=by_window, rank=soonest, apart_late=True),
    Rule(
        name="quarantine kept late, least used",
        line=by_slack,
        rank=least_used,
        apart_late=True,
        scale_first=True,
    ),
)
AS_LISTED = Rule(name="as listed", line=as_listed, rank=soonest)
LONGEST = RULES[4]


def queued(*, jobs: Iterable[Job], rule: Rule) -> list[Job]:
    """Return rounds in a rule's order."""
    queue = sorted(jobs, key=rule.line)
    if rule.scale_first:
        queue.sort(key=lambda job: 1 if job.kind is DutyKind.WEIGH else 2 * (PHASE.get(job.kind, 1) > 0))
    return queue


def insert(*, state: State, jobs: Iterable[Job], rank: Rank) -> None:
    """Place rounds in the given order, each at its best earliest spot; must may go into a shop peak, last."""
    left = [job for job in jobs if not place(state=state, job=job, rank=rank, keep_peaks=True)]
    for job in left:
        if job.need is Need.MUST or job.before:  # what hangs on nothing finds no more room than before
            place(state=state, job=job, rank=rank, keep_peaks=job.need is not Need.MUST)


def place(*, state: State, job: Job, rank: Rank, keep_peaks: bool) -> bool:
    """Put a round where its rank is least among everybody's earliest spots; say whether there was one."""
    limits = state.bounds(job)
    if limits is None:
        return False
    for index in job.during:
        other, spot = state.jobs[index], state.spots[index]
        if spot is not None and other.feed >= job.total:
            low = max(limits[0], spot.start + other.bites)
            high = min(limits[1], spot.start + other.bites + other.feed - job.total)
            if _put_best(state=state, job=job, rank=rank, low=low, high=high, keep_peaks=keep_peaks):
                return True
    return _put_best(state=state, job=job, rank=rank, low=limits[0], high=limits[1], keep_peaks=keep_peaks)


def _put_best(*, state: State, job: Job, rank: Rank, low: int, high: int, keep_peaks: bool = True) -> bool:
    best, best_rank = None, None
    for lane in range(len(state.lanes)):
        if best_rank is not None and rank.of(state, job, Spot(lane, low, -1, 0)) >= best_rank:
            continue  # not even a spot at once would be better
        spot = state.earliest(job, lane, low, high, keep_peaks)
        if spot is not None:
            ranked = rank.of(state, job, spot)
            if best_rank is None or ranked < best_rank:
                best, best_rank = spot, ranked
                high = spot.start if rank.sooner_wins else high
    if best is not None:
        state.put(job, best)
    return best is not None


def close_late(*, state: State, jobs: Iterable[Job]) -> None:
    """Put closing walks, quarantine's last, at the end of the day, so that all animals can be back before
    them.
    """
    walks = [j for j in jobs if j.kind is DutyKind.CLOSING and state.spots[j.index] is None]
    for job in sorted(walks, key=lambda j: not j.quarantine):
        limits = state.bounds(job)
        if limits is None:
            continue
        spots = [state.latest(job, lane, *limits) for lane in range(len(state.lanes))]
        best = max((s for s in spots if s is not None), key=lambda s: (s.start, -s.lane), default=None)
        if best is not None:
            state.put(job, best)


def reserve(*, state: State, jobs: Iterable[Job]) -> None:
    """Keep late spots for quarantine's feeds, with as few people as will do, so that clean ones still go
    first.
    """
    for job in jobs:
        limits = state.bounds(job)
        if limits is not None:
            late = max(limits[0], min(limits[1], job.due - job.out - job.prepare))
            _put_best(state=state, job=job, rank=with_the_same, low=late, high=limits[1])
