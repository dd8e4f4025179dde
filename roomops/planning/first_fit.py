"""A good plan at once, no solver: rounds filled first, then placed by several priority rules; the best is kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from roomops.husbandry.care import Need
from roomops.planning.assemble import assemble
from roomops.planning.duties import due_of
from roomops.planning.facts import Facts, look
from roomops.planning.jobs import Bench, Job
from roomops.planning.lanes import Spot, State
from roomops.planning.plan import Duty, Plan, Shortfall
from roomops.planning.room import Room
from roomops.planning.rounds import benches, jobs
from roomops.planning.scores import Judge, Order
from roomops.planning.shortfall import forbidden

NEED_RANK = {Need.MUST: 0, Need.SHOULD: 1, Need.COULD: 2}

Line = Callable[[Job], tuple[int, ...]]
"""Where a round stands in the queue."""

Rank = Callable[[State, Job, Spot], tuple[float, ...]]
"""Which of several people's earliest spots is taken: the least."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A way to queue rounds and to choose among people."""

    name: str
    line: Line
    rank: Rank


def _soonest(state: State, job: Job, spot: Spot) -> tuple[float, ...]:  # noqa: ARG001
    lane = state.lanes[spot.lane]
    return spot.start, lane.used / max(lane.capacity, 1), spot.lane


def _least_used(state: State, job: Job, spot: Spot) -> tuple[float, ...]:
    lane = state.lanes[spot.lane]
    late = max(spot.start + job.prepare + job.out - job.due, 0)
    return late, lane.used / max(lane.capacity, 1), spot.start, spot.lane


def _head(job: Job) -> tuple[int, int]:
    return NEED_RANK[job.need], job.slot


def _by_window(job: Job) -> tuple[int, ...]:
    return (*_head(job), job.quarantine, job.closes, job.opens, job.index)


def _by_slack(job: Job) -> tuple[int, ...]:
    return (*_head(job), job.quarantine, job.closes - job.opens - job.total, job.closes, job.index)


def _longest(job: Job) -> tuple[int, ...]:
    return (*_head(job), job.quarantine, -job.total, job.index)


def _quarantine_first(job: Job) -> tuple[int, ...]:
    return (*_head(job), not job.quarantine, job.closes, job.opens, job.index)


def _as_listed(job: Job) -> tuple[int, ...]:
    return (*_head(job), job.index)


RULES = (
    Rule(name="window, soonest", line=_by_window, rank=_soonest),
    Rule(name="window, least used", line=_by_window, rank=_least_used),
    Rule(name="slack, soonest", line=_by_slack, rank=_soonest),
    Rule(name="slack, least used", line=_by_slack, rank=_least_used),
    Rule(name="longest, soonest", line=_longest, rank=_soonest),
    Rule(name="longest, least used", line=_longest, rank=_least_used),
    Rule(name="quarantine, soonest", line=_quarantine_first, rank=_soonest),
    Rule(name="quarantine, least used", line=_quarantine_first, rank=_least_used),
)
AS_LISTED = Rule(name="as listed", line=_as_listed, rank=_soonest)
LONGEST = RULES[4]


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """The day's problem, built once and tried by every rule."""

    facts: Facts
    duties: tuple[Duty, ...]
    counters: tuple[Bench, ...]
    blocked: Mapping[str, Shortfall]
    jobs: tuple[Job, ...]
    judge: Judge

    def state(self) -> State:
        return State(facts=self.facts, jobs=self.jobs, counters=self.counters)

    def plan(self, *, state: State, method: str) -> Plan:
        return assemble(
            facts=self.facts,
            duties=self.duties,
            counters=self.counters,
            state=state,
            blocked=self.blocked,
            scores=self.judge.scores(state),
            method=method,
        )


def prepare(*, room: Room, previous: Plan | None = None) -> Task:
    """Return the day's duties as rounds to be placed. Raises KeyError for an unknown tank or care stage."""
    facts = look(room=room)
    duties = due_of(facts=facts)
    counters = benches(facts=facts)
    blocked = forbidden(facts=facts, duties=duties, counters=counters)
    open_ones = [d for d in duties if d.key not in blocked and not facts.settled(d.key)]
    made = jobs(facts=facts, duties=open_ones, counters=counters)
    heads = dict.fromkeys(Need, 0)
    for duty in duties:
        if duty.key in blocked:
            heads[duty.need] += duty.heads
    judge = Judge(jobs=made, blocked=heads, previous=previous)
    return Task(facts=facts, duties=duties, counters=counters, blocked=blocked, jobs=made, judge=judge)


def plan_day(*, room: Room, previous: Plan | None = None) -> Plan:
    """Return a good plan of the room's day at once, method 'quick'.

    Every priority rule is tried and the best by the aims in strict order is kept. With a ``previous`` plan the day
    is also repaired: what stood and still fits stays, the rest is put in; that wins wherever it serves as much, no
    later. A day that cannot be served comes back as a plan that says so. Raises KeyError for a resident whose tank
    or care stage the room lacks (a room file is checked before).
    """
    task = prepare(room=room, previous=previous)
    best: State | None = None
    best_order: Order | None = None
    starts = [] if previous is None else [stay(task=task, previous=previous)]
    for state in (*starts, *(build(task=task, rule=rule) for rule in RULES)):
        order = _compared(task.judge.order(state), replanned=previous is not None)
        if best is None or best_order is None or order < best_order:
            best, best_order = state, order
    assert best is not None  # noqa: S101
    return task.plan(state=best, method="quick")


def _compared(order: Order, *, replanned: bool) -> Order:
    """In a day under way people keep what they were told: moves count before evenness and balance."""
    return (*order[:4], order[6], *order[4:6]) if replanned else order


def plan_by(*, room: Room, rule: Rule) -> Plan:
    """Return the plan of one rule alone, to look at it or to hold it against a bound."""
    task = prepare(room=room)
    return task.plan(state=build(task=task, rule=rule), method="quick")


def build(*, task: Task, rule: Rule) -> State:
    state = task.state()
    insert(state=state, jobs=sorted(task.jobs, key=rule.line), rank=rule.rank)
    return state


def stay(*, task: Task, previous: Plan) -> State:
    """Put every round back where its duties stood, as far as that still fits, then the rest by window."""
    state = task.state()
    stood = {key: (r.person, r.start) for r in previous.rounds for key in r.duties}
    names = {lane.person: i for i, lane in enumerate(state.lanes)}
    queue = sorted(task.jobs, key=_by_window)
    for job in queue:
        person, start = stood.get(job.duties[0].key, ("", 0))
        limits = state.bounds(job)
        if person in names and limits is not None and limits[0] <= start <= limits[1]:
            spot = state.earliest(job, names[person], start, start, keep_peaks=False)
            if spot is not None:
                state.put(job, spot)
    insert(state=state, jobs=[j for j in queue if state.spots[j.index] is None], rank=_soonest)
    return state


def insert(*, state: State, jobs: Iterable[Job], rank: Rank) -> None:
    """Place rounds in the given order, each at its best earliest spot; must may go into a shop peak, last."""
    left = []
    for job in jobs:
        spot = best_spot(state=state, job=job, rank=rank, keep_peaks=True)
        if spot is None:
            left.append(job)
        else:
            state.put(job, spot)
    for job in left:
        spot = best_spot(state=state, job=job, rank=rank, keep_peaks=job.need is not Need.MUST)
        if spot is not None:
            state.put(job, spot)


def best_spot(*, state: State, job: Job, rank: Rank, keep_peaks: bool) -> Spot | None:
    limits = state.bounds(job)
    if limits is None:
        return None
    best, best_rank = None, None
    for lane in range(len(state.lanes)):
        spot = state.earliest(job, lane, limits[0], limits[1], keep_peaks)
        if spot is not None:
            ranked = rank(state, job, spot)
            if best_rank is None or ranked < best_rank:
                best, best_rank = spot, ranked
    return best
