"""A good plan at once, no solver: rounds filled first, placed by several priority rules, and the best is
kept.
"""

from __future__ import annotations

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
    best = _best_of(task=task, states=[*starts, *(build(task=task, rule=rule) for rule in RULES)])
    rescue(task=task, state=best)
    return task.plan(state=best, method="quick")


def _best_of(*, task: Task, states: list[State]) -> State:
    """Return the state that the aims put first; of equal ones the earlier."""
    orders = [compared(task.judge.order(state), replanned=task.judge.replans) for state in states]
    return states[min(range(len(states)), key=lambda n: (orders[n], n))]


def plan_by(*, room: Room, rule: Rule) -> Plan:
    """Return the plan of one rule alone, to look at it or to hold it against a bound."""
    task = prepare(room=room)
    return task.plan(state=build(task=task, rule=rule), method="quick")


def build(*, task: Task, rule: Rule) -> State:
    state = task.state()
    queue = queued(jobs=task.jobs, rule=rule)
    close_late(state=state, jobs=queue)
    if rule.apart_late:
        reserve(state=state, jobs=[j for j in queue if j.quarantine and j.kind is DutyKind.FEED])
    insert(state=state, jobs=[j for j in queue if state.spots[j.index] is None], rank=rule.rank)
    return state
