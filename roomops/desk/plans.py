"""Plans by version: made once, kept once, read by everybody.

Read, decide, apply: the facts are read and the plan is made outside of any transaction; keeping it is one
insert under the unique (room, day, version). Whoever comes second reads what the first one kept.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime

from django.db import IntegrityError, transaction

from roomops.desk.documents import document_of, plan_of
from roomops.desk.heard import state_of
from roomops.desk.plain_list import plain_list
from roomops.desk.rooms import hold
from roomops.desk.standing import Standing, merged, standing
from roomops.planning import duties, first_fit, verify
from roomops.planning import improve as better
from roomops.planning.plan import Plan
from roomops.planning.room import Room as Facts
from roomops.records import snapshot
from roomops.records.models import Entry, EntryKind, PlanVersion, Room

log = logging.getLogger(__name__)
NOTE_MOST = 200
TRIES = 3
Report = Callable[[int, int], None]
SAYS_NOTHING_OF_WORK = (EntryKind.WRONG, EntryKind.UNDONE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A plan that may be kept. ``note`` says why it is the plain list of duties, '' when it is a plan."""

    plan: Plan
    note: str = ""


def plan_for(*, room: Room, day: date, now: datetime) -> PlanVersion:
    """Return the newest plan of the day. Without one, version 1 is made: of the whole day, at any hour."""
    found = newest(room=room, day=day)
    if found is not None:
        return found
    facts = snapshot.take(room=room, day=day, now=now)
    made = made_from(facts=facts, planner=lambda: first_fit.plan_day(room=facts))
    return _keep(room=room, day=day, version=1, made=made, now=now)


def improve(*, room: Room, day: date, now: datetime, report: Report | None = None) -> PlanVersion | None:
    """Work out the better plan; keep it as the next version if nothing has begun and the verifier passes it.

    Returns None when the day stays as it is: something has begun, the plan was improved before, or no better
    one was found.
    """
    base = plan_for(room=room, day=day, now=now)
    if base.method != "quick" or has_begun(room=room, day=day):
        return None
    facts = snapshot.take(room=room, day=day, now=now)
    made = made_from(facts=facts, planner=lambda: better.plan_day(room=facts, report=report))
    if made.note or made.plan.rounds == plan_of(row=base).rounds:
        return None
    with transaction.atomic():
        hold(room=room)
        if has_begun(room=room, day=day):
            return None
        kept = _keep(room=room, day=day, version=base.version + 1, made=made, now=now)
    return kept if kept.method == made.plan.method else None


def replan(*, room: Room, day: date, now: datetime) -> PlanVersion:
    """Make the next version from the facts as they are now; what has begun or is done stays as it is.

    The verifier looks at what is new, with what has begun as given. When somebody begins a round meanwhile it
    is tried again; after a few tries the day stays as it is.
    """
    for _ in range(TRIES):
        base = plan_for(room=room, day=day, now=now)
        facts = snapshot.take(room=room, day=day, now=now)
        stood = standing(plan=plan_of(row=base), state=state_of(room=room, day=day), facts=facts, now=now)
        made = _replanned(base=plan_of(row=base), stood=stood)
        with transaction.atomic():
            hold(room=room)
            again = state_of(room=room, day=day)
            if standing(plan=plan_of(row=base), state=again, facts=facts, now=now).rounds == stood.rounds:
                return _keep(room=room, day=day, version=base.version + 1, made=made, now=now)
    log.warning("%s %s: not planned again, rounds kept beginning", room.key, day)
    return plan_for(room=room, day=day, now=now)


def newest(*, room: Room, day: date) -> PlanVersion | None:
    """Return the newest version, its document unread until it is needed."""
    return PlanVersion.objects.filter(room=room, day=day).defer("document").order_by("-version").first()


def has_begun(*, room: Room, day: date) -> bool:
    """Say whether anybody has said anything of the day's work yet."""
    said = Entry.objects.filter(room=room, day=day, matched=True)
    return said.exclude(kind__in=SAYS_NOTHING_OF_WORK).exists()


def made_from(*, facts: Facts, planner: Callable[[], Plan]) -> Made:
    """Return the planner's plan if the verifier passes it, else the plain list of duties and why.

    A planner that breaks down must not leave people without their list: that is the one fault that is caught
    whole, and it is logged with its trace.
    """
    try:
        plan = planner()
        found = verify.breaches(room=facts, plan=plan)
    except Exception as fault:
        log.exception("%s %s: no plan", facts.room, facts.day)
        return _plain(facts=facts, note=f"no plan: {type(fault).__name__}: {fault}")
    if not found:
        return Made(plan=plan)
    for each in found:
        log.error("%s %s: verifier refused: %s", facts.room, facts.day, each)
    first = found[0]
    about = ", ".join(part for part in (first.round, first.duty) if part)
    return _plain(facts=facts, note=f"verifier refused: {first.rule}, {about} ({len(found)} in all)")


def _plain(*, facts: Facts, note: str) -> Made:
    return Made(plan=plain_list(facts=facts, due=duties.due(room=facts)), note=note[:NOTE_MOST])


def _replanned(*, base: Plan, stood: Standing) -> Made:
    facts = stood.facts
    made = made_from(facts=facts, planner=lambda: first_fit.plan_day(room=facts, previous=base))
    return Made(plan=merged(base=base, stood=stood, fresh=made.plan), note=made.note)


def _keep(*, room: Room, day: date, version: int, made: Made, now: datetime) -> PlanVersion:
    """Insert the version, or read the one that was kept first."""
    try:
        with transaction.atomic():
            return PlanVersion.objects.create(
                room=room, day=day, version=version, method=made.plan.method, facts=made.plan.facts,
                document=document_of(plan=made.plan), note=made.note, written_at=now,
            )  # fmt: skip
    except IntegrityError:
        return PlanVersion.objects.defer("document").get(room=room, day=day, version=version)
