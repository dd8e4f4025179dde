"""What a plan cannot serve as things stand now: new animals, moves, tanks that read low or are warm again."""

from __future__ import annotations

from roomops.desk.standing import round_begun
from roomops.desk.state import State
from roomops.planning import duties
from roomops.planning.facts import look, low_tanks
from roomops.planning.plan import Duty, Plan, Why
from roomops.planning.room import Room as Facts
from roomops.records.models import PlanVersion, Room


def stale_duties(*, plan: Plan, row: PlanVersion, facts: Facts, room: Room, state: State) -> tuple[str, ...]:
    """Return keys of duties that the plan lacks, or holds for another tank or without its quarantine.

    Rounds that have begun are let be: a new plan would keep them as they are.

    Asked only when the facts have changed since the plan was made. A sale needs no new plan: its feeds drop
    out.
    """
    if room.facts_changed <= row.written_at:
        return ()
    held = {duty.key: duty for duty in plan.duties}
    let_be = {done.duty for done in facts.done}
    for each in plan.rounds:
        if round_begun(round_=each, state=state):
            let_be.update(each.duties)
    due = [duty for duty in duties.due(room=facts) if duty.key not in let_be]
    wrong = [duty.key for duty in due if _differs(duty, held.get(duty.key))]
    low = low_tanks(facts=look(room=facts))
    cold = {short.duty for short in plan.unplaced if short.why is Why.BASKING_LOW}
    wrong += [duty.key for duty in due if duty.key in cold and duty.tank not in low]
    return tuple(dict.fromkeys(wrong))


def _differs(now: Duty, held: Duty | None) -> bool:
    if held is None:
        return True
    return (now.tank, now.quarantine, now.in_tub) != (held.tank, held.quarantine, held.in_tub)
