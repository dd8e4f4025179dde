"""A good plan at once, no solver: rounds filled first, placed by several priority rules, and the best is
kept.
"""

from __future__ import annotations

from roomops.husbandry.care import Need
from roomops.planning.lanes import State
from roomops.planning.plan import Plan
from roomops.planning.queues import AS_LISTED, LONGEST, RULES, Rule, close_late, insert, queued, reserve
from roomops.planning.repair import rescue, stay
from roomops.planning.room import DutyKind, Room
from roomops.planning.scores import compared
from roomops.planning.task import Task, prepare

__all__ = ["AS_LISTED", "LONGEST", "RULES", "Rule", "build", "plan_by", "plan_day", "prepare"]


def plan_day(*, room: Room, previous: Plan | None = None) -> Plan:
    """Return a good plan of the room's day at once, method 'quick'.

    Every priority rule is tried and the best by the aims in strict order is kept. With a ``previous`` plan
    the day is also repaired: what stood and still fits stays, the rest is put in; that wins wherever it
    serves as much, no later. A day that cannot be served comes back as a plan that says so. Raises KeyError
    for a resident whose tank or care stage the room lacks (a room file is checked before).
    """
    task = prepare(room=room, previous=previous)
    starts = [stay(task=task, previous=previous)] if previous is not None else []
    for state in starts:
        rescue(task=task, state=state)
    best = _best_of(task=task, states=[*starts, *_tried(task=task)])
    rescue(task=task, state=best)
    return task.plan(state=best, method="quick")


def _tried(*, task: Task) -> list[State]:
    """Return a state for each rule in the order of the rules, but none for one that serves less of what must
    be than one tried before it. Those by slack are tried first: on crowded days they leave least, and others
    are broken off.
    """
    states: dict[int, State] = {}
    least: int | None = None
    for place in sorted(range(len(RULES)), key=lambda n: not RULES[n].name.startswith("slack, least")):
        state = build(task=task, rule=RULES[place], most_missed=least)
        missed = task.judge.scores(state).must
        if least is None or missed <= least:
            least = missed
            states[place] = state
    return [states[place] for place in sorted(states)]


def _best_of(*, task: Task, states: list[State]) -> State:
    """Return the state that the aims put first; of equal ones the earlier."""
    orders = [compared(task.judge.order(state), replanned=task.judge.replans) for state in states]
    return states[min(range(len(states)), key=lambda n: (orders[n], n))]


def plan_by(*, room: Room, rule: Rule) -> Plan:
    """Return the plan of one rule alone, to look at it or to hold it against a bound."""
    task = prepare(room=room)
    return task.plan(state=build(task=task, rule=rule), method="quick")


def build(*, task: Task, rule: Rule, most_missed: int | None = None) -> State:
    """Return a rule's plan in the making, broken off where more than ``most_missed`` musts have no place."""
    state = task.state()
    queue = queued(jobs=task.jobs, rule=rule)
    close_late(state=state, jobs=queue)
    if rule.apart_late:
        reserve(state=state, jobs=[j for j in queue if j.quarantine and j.kind is DutyKind.FEED])
    musts = max((n for n, job in enumerate(queue, start=1) if job.need is Need.MUST), default=0)
    for part in (queue[:musts], queue[musts:]):
        insert(state=state, jobs=[j for j in part if state.spots[j.index] is None], rank=rule.rank)
        if most_missed is not None and task.judge.scores(state).must > most_missed:
            break
    return state
