"""A good plan at once, no solver: rounds filled first, then placed by several priority rules; the best is
kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from roomops.husbandry.care import Need
from roomops.planning.assemble import assemble
from roomops.planning.duties import due_of
from roomops.planning.facts import Facts, look
from roomops.planning.jobs import Bench, Job
from roomops.planning.lanes import Spot, State
from roomops.planning.plan import Duty, Plan, Shortfall
from roomops.planning.room import DutyKind, Room
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
    apart_late: bool = False  # quarantine rounds are put in first, as late as the day's later feeds allow


def soonest(state: State, job: Job, spot: Spot) -> tuple[float, ...]:  # noqa: ARG001
    lane = state.lanes[spot.lane]
    return spot.start, lane.used / max(lane.capacity, 1), spot.lane


def least_used(state: State, job: Job, spot: Spot) -> tuple[float, ...]:
    lane = state.lanes[spot.lane]
    late = max(spot.start + job.prepare + job.out - job.due, 0)
    return late, lane.used / max(lane.capacity, 1), spot.start, spot.lane


def head(job: Job) -> tuple[int, int]:
    """What every queue begins with: need, then the opening walk, then the other walks, then feed by feed."""
    return NEED_RANK[job.need], -1 if job.kind is DutyKind.OPENING else job.slot


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
    Rule(name="window, least used", line=by_window, rank=least_used),
    Rule(name="slack, soonest", line=by_slack, rank=soonest),
    Rule(name="slack, least used", line=by_slack, rank=least_used),
    Rule(name="longest, soonest", line=longest_first, rank=soonest),
    Rule(name="longest, least used", line=longest_first, rank=least_used),
    Rule(name="quarantine kept late, soonest", line=by_window, rank=soonest, apart_late=True),
    Rule(name="quarantine kept late, least used", line=by_slack, rank=least_used, apart_late=True),
)
AS_LISTED = Rule(name="as listed", line=as_listed, rank=soonest)
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

    Every priority rule is tried and the best by the aims in strict order is kept. With a ``previous`` plan
    the day is also repaired: what stood and still fits stays, the rest is put in; that wins wherever it
    serves as much, no later. A day that cannot be served comes back as a plan that says so. Raises KeyError
    for a resident whose tank or care stage the room lacks (a room file is checked before).
    """
    task = prepare(room=room, previous=previous)
    best: State | None = None
    best_order: Order | None = None
    starts = [] if previous is None else [stay(task=task, previous=previous)]
    for state in (*starts, *(build(task=task, rule=rule) for rule in RULES)):
        order = compared(task.judge.order(state), replanned=previous is not None)
        if best is None or best_order is None or order < best_order:
            best, best_order = state, order
    assert best is not None  # noqa: S101
    return task.plan(state=best, method="quick")


def compared(order: Order, *, replanned: bool) -> Order:
    """In a day under way people keep what they were told: moves count before evenness and balance."""
    return (*order[:4], order[6], *order[4:6]) if replanned else order


def plan_by(*, room: Room, rule: Rule) -> Plan:
    """Return the plan of one rule alone, to look at it or to hold it against a bound."""
    task = prepare(room=room)
    return task.plan(state=build(task=task, rule=rule), method="quick")


def build(*, task: Task, rule: Rule) -> State:
    state = task.state()
    queue = sorted(task.jobs, key=rule.line)
    if rule.apart_late:
        _reserve(state=state, jobs=[j for j in queue if j.quarantine and j.kind is DutyKind.FEED])
    insert(state=state, jobs=[j for j in queue if state.spots[j.index] is None], rank=rule.rank)
    return state


def _reserve(*, state: State, jobs: Iterable[Job]) -> None:
    """Keep late spots for quarantine's feeds, with as few people as will do, so that clean ones still go
    first.
    """
    for job in jobs:
        limits = state.bounds(job)
        if limits is not None:
            late = max(limits[0], min(limits[1], job.due - job.out - job.prepare))
            _put_best(state=state, job=job, rank=_with_the_same, low=late, high=limits[1])


def _with_the_same(state: State, job: Job, spot: Spot) -> tuple[float, ...]:
    return not state.lanes[spot.lane].serves_apart(job), spot.start, spot.lane


def stay(*, task: Task, previous: Plan) -> State:
    """Put every round back where its duties stood, as far as that still fits, then the rest by window."""
    state = task.state()
    stood = {key: r for r in previous.rounds for key in r.duties}
    names = {lane.person: i for i, lane in enumerate(state.lanes)}
    benches_of = {tub.key: bench.index for bench in task.counters for tub in bench.tubs}
    queue = sorted(task.jobs, key=by_window)
    for job in queue:
        was = stood.get(job.duties[0].key)
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


def insert(*, state: State, jobs: Iterable[Job], rank: Rank) -> None:
    """Place rounds in the given order, each at its best earliest spot; must may go into a shop peak, last."""
    left = [job for job in jobs if not place(state=state, job=job, rank=rank, keep_peaks=True)]
    for job in left:
        place(state=state, job=job, rank=rank, keep_peaks=job.need is not Need.MUST)


def place(*, state: State, job: Job, rank: Rank, keep_peaks: bool) -> bool:
    """Put a round where its rank is least among everybody's earliest spots; say whether there was one."""
    limits = state.bounds(job)
    if limits is None:
        return False
    return _put_best(state=state, job=job, rank=rank, low=limits[0], high=limits[1], keep_peaks=keep_peaks)


def _put_best(*, state: State, job: Job, rank: Rank, low: int, high: int, keep_peaks: bool = True) -> bool:
    best, best_rank = None, None
    for lane in range(len(state.lanes)):
        spot = state.earliest(job, lane, low, high, keep_peaks)
        if spot is not None:
            ranked = rank(state, job, spot)
            if best_rank is None or ranked < best_rank:
                best, best_rank = spot, ranked
    if best is not None:
        state.put(job, best)
    return best is not None
