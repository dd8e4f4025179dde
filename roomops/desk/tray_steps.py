"""The steps of a feed round, and its times: when they may go back, how long they are out of heat. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from roomops.desk.day_types import Day, RoundView
from roomops.desk.state import RoundState
from roomops.desk.tray_types import StepState, StepView, TubState, TubView
from roomops.planning.plan import StepKind
from roomops.planning.room import DutyKind

TUB_STEPS = (StepKind.PREPARE, StepKind.TO_TUBS, StepKind.FEED, StepKind.RETURN, StepKind.WASH)


def steps_of(*, day: Day, view: RoundView, tubs: Sequence[TubView]) -> tuple[StepView, ...]:
    """Return the route. The first step that is not done is the one to do now."""
    present = [tub for tub in tubs if tub.state is not TubState.NOT_HERE]
    steps = day.state.round(view.key)
    if view.in_tubs:
        ends = _tub_steps(steps=steps, present=present, tubs=tubs)
    else:
        ends = [(StepKind.FEED, _last(tub.counted_at for tub in present))]
    found: list[StepView] = []
    for kind, at in ends:
        before = all(step.state is StepState.DONE for step in found)
        state = StepState.DONE if at and before else StepState.NOW if before else StepState.LATER
        found.append(StepView(kind=kind.value, state=state, at=at))
    return tuple(found)


def _tub_steps(
    *, steps: RoundState, present: Sequence[TubView], tubs: Sequence[TubView]
) -> list[tuple[StepKind, datetime | None]]:
    """When each step ended, None while it has not. A wash ends all of them."""
    moved = _last(tub.out_at or tub.counted_at for tub in present)
    fed = _last(tub.counted_at or tub.back_at for tub in present)
    back = None if any(tub.minutes_out is not None for tub in tubs) else _last(tub.back_at for tub in present)
    cups = steps.cups.at if steps.cups else min((t.out_at for t in tubs if t.out_at), default=None)
    washed = steps.washed.at if steps.washed else None
    away = _last(tub.why_at for tub in tubs) if not present else None
    ends = (cups, moved, fed, back, washed)
    return list(zip(TUB_STEPS, (each or washed or away for each in ends), strict=True))


def _last(times: Iterable[datetime | None]) -> datetime | None:
    """The last of the times if all are there, else None."""
    found = list(times)
    known = [at for at in found if at is not None]
    return max(known) if known and len(known) == len(found) else None


def back_from(*, view: RoundView, tubs: Iterable[TubView]) -> datetime | None:
    """When those in tubs have had their time to eat: after the last one went in."""
    outs = [tub.out_at for tub in tubs if tub.out_at and tub.minutes_out is not None]
    watch = sum(s.end - s.start for s in view.round.steps if s.kind is StepKind.FEED)
    return max(outs) + timedelta(minutes=watch) if outs else None


def most_out(*, day: Day, view: RoundView) -> int:
    """Return the most minutes out of heat for this tray: the room's choice, or less by a care sheet."""
    care = {(each.kind, each.stage): each.feeding.most_out_min for each in day.facts.care}
    kinds = {resident.key: (resident.kind, resident.stage) for resident in day.facts.residents}
    subjects = (day.duties[key].subject for key in view.duties)
    return min([day.facts.settings.most_out_min, *(care[kinds[s]] for s in subjects if s in kinds)])


def washed_or_unused(*, day: Day, view: RoundView, tubs: Iterable[TubView]) -> bool:
    """Say whether the tray may be left: its tubs are washed, or nobody was in them."""
    return day.state.round(view.key).washed is not None or not any(tub.out_at for tub in tubs)


def food_time(*, day: Day, view: RoundView) -> tuple[datetime | None, datetime | None]:
    """Return from when all of a round may be fed, and by when the first of them has to have eaten.

    The window is the care sheet's, relative to the lamps: an animal's first feed of the day opens it.
    """
    duties = [day.duties[key] for key in view.duties if key in day.duties]
    if not duties:
        return None, None
    first: dict[str, int] = {}
    for duty in day.duties.values():
        if duty.kind is DutyKind.FEED:
            first[duty.subject] = min(duty.opens, first.get(duty.subject, duty.opens))
    opens = max(first.get(duty.subject, duty.opens) for duty in duties)
    return day.clock(opens), day.clock(min(duty.closes for duty in duties))
