"""The day's problem: duties, the rounds that would serve them, and what judges a plan. Built once for every
method.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from roomops.husbandry.care import Need
from roomops.planning.assemble import assemble
from roomops.planning.duties import due_of
from roomops.planning.facts import Facts, look
from roomops.planning.jobs import Bench, Job
from roomops.planning.lanes import State
from roomops.planning.plan import Duty, Plan, Shortfall
from roomops.planning.room import Room
from roomops.planning.rounds import benches, jobs
from roomops.planning.scores import Judge
from roomops.planning.shortfall import forbidden


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
