"""The plain list of duties: what staff get when there is no plan that may be kept."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from roomops.planning.plain import digest
from roomops.planning.plan import Duty, Plan, Round, Scores, Step, StepKind
from roomops.planning.room import SCHEMA_VERSION, Room

METHOD = "plain"


def plain_list(*, facts: Room, due: Sequence[Duty]) -> Plan:
    """Return the duties by kind and feed, each list from when it may begin to when it must be over.

    No person, no tub and no minute is promised: it is a list and not a plan. Animals that are served last
    come in lists of their own. What is settled already is in no list.
    """
    settled = {done.duty for done in facts.done} | {key for each in facts.begun for key in each.duties}
    left = [duty for duty in due if duty.key not in settled]

    def same(duty: Duty) -> tuple[str, int, bool]:
        return duty.kind.value, duty.slot, duty.quarantine

    lists = [list(group) for _, group in groupby(sorted(left, key=same), key=same)]
    lists.sort(key=lambda found: (min(d.opens for d in found), found[0].quarantine, found[0].key))
    return Plan(
        schema=SCHEMA_VERSION,
        room=facts.room,
        day=facts.day.isoformat(),
        method=METHOD,
        facts=digest(facts),
        duties=tuple(due),
        rounds=tuple(_list(number=number, found=found) for number, found in enumerate(lists, start=1)),
        unplaced=(),
        scores=Scores(must=0, should=0, late_min=0, could=0, unevenness_min=0, imbalance_min=0, moved=0),
    )


def _list(*, number: int, found: list[Duty]) -> Round:
    first = found[0]
    start, end = min(duty.opens for duty in found), max(duty.closes for duty in found)
    last = "-last" if first.quarantine else ""
    return Round(
        key=f"list-{first.kind.value}-{first.slot}{last}",
        number=number,
        person="",
        kind=first.kind,
        slot=first.slot,
        duties=tuple(duty.key for duty in found),
        start=start,
        end=end,
        steps=(Step(kind=StepKind.WORK, start=start, end=end),),
        quarantine=first.quarantine,
    )
