"""One tray of one feed as it stands on the counter: the read model of the feeding page. Pure."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from roomops.desk.day_types import Day, LastReading, RoundView
from roomops.desk.refusals import No, Refused
from roomops.desk.state import HeadState, Phase, Word
from roomops.desk.tray_steps import back_from, food_time, most_out, steps_of, washed_or_unused
from roomops.desk.tray_types import (
    Prey,
    ShelfLine,
    StepState,
    SumView,
    TabView,
    TrayView,
    TubState,
    TubView,
)
from roomops.planning.plan import Duty, Portion, Seat
from roomops.planning.room import DutyKind


def tray_view(*, day: Day, round_key: str, strip: bool = True) -> TrayView:
    """Return the tray as it stands. Raises Refused(UNKNOWN_ROUND), also for a round that is no feed.

    Without ``strip`` the other trays of the feed are left out: a press asks nothing of them.
    """
    view = day.view(round_key)
    if view.round.kind is not DutyKind.FEED:
        raise Refused(No.UNKNOWN_ROUND, value=round_key)
    tubs = tubs_of(day=day, view=view)
    present = [tub for tub in tubs if tub.state is not TubState.NOT_HERE]
    out = sorted((tub for tub in tubs if tub.minutes_out is not None), key=_first_out)
    least = min((tub for tub in present if tub.prey and tub.prey.most_mm), key=_most_mm, default=None)
    steps = steps_of(day=day, view=view, tubs=tubs)
    may_go_back = back_from(view=view, tubs=present)
    not_counted = tuple(tub.number for tub in present if tub.left is None)
    food_from, food_to = food_time(day=day, view=view)
    return TrayView(
        day=day,
        view=view,
        slot=view.round.slot,
        tray_name=view.tray_name,
        columns=day.columns.get(view.round.tray, 4),
        quarantine=view.round.quarantine,
        in_tubs=view.in_tubs,
        steps=steps,
        step=next((step.kind for step in steps if step.state is StepState.NOW), ""),
        tubs=tubs,
        back_order=tuple(out),
        tabs=_tabs(day=day, view=view) if strip else (),
        sums=_sums(tubs=present),
        shelf=_shelf(present),
        basking=_basking(day=day, tubs=tubs),
        least_most_mm=least.prey.most_mm if least and least.prey else None,
        least_most_label=least.label if least else "",
        least_most_estimated=bool(least and least.prey and least.prey.estimated),
        out=len(out),
        not_counted=not_counted,
        minutes_out=out[0].minutes_out if out else None,
        most_out_min=most_out(day=day, view=view),
        back_from=may_go_back,
        time_up=may_go_back is not None and day.now >= may_go_back,
        food_from=food_from,
        food_to=food_to,
        ready=not out
        and not not_counted
        and (not view.in_tubs or washed_or_unused(day=day, view=view, tubs=tubs)),
    )


# ---------------------------------------------------------------- tubs


def tubs_of(*, day: Day, view: RoundView) -> tuple[TubView, ...]:
    """Return the places of the tray in their order; for feeds in tanks one place for each feed."""
    seats: Sequence[Seat] = view.seats
    if not view.in_tubs:
        seats = [Seat(duty=key, head=0, tub="") for key in view.duties]
    order = {tub.key: (tub.tray, tub.number) for tub in day.facts.tubs}
    placed = sorted(enumerate(seats, start=1), key=lambda s: (order.get(s[1].tub, ("", 0)), s[0]))
    return tuple(_tub(day=day, view=view, seat=seat, place=place) for place, seat in placed)


def _tub(*, day: Day, view: RoundView, seat: Seat, place: int) -> TubView:
    duty = day.duties[seat.duty]
    head = day.state.head(duty=seat.duty, head=seat.head)
    animal = day.animals.get(duty.subject)
    tank = animal.tank if animal and animal.tank else duty.tank
    number = day.label("tub", seat.tub)
    return TubView(
        key=seat.tub,
        number=int(number) if number.isdecimal() else place,
        duty=seat.duty,
        head=seat.head,
        resident=duty.subject,
        label=day.label("resident", duty.subject),
        mark=animal.mark if animal else "",
        tank=tank,
        tank_name=day.label("tank", tank),
        unmarked=animal.unmarked if animal else False,
        heads=1 if seat.head else duty.heads,
        prey=_prey(day=day, portion=duty.portion),
        state=_state(head),
        offered=offered_to(duty=duty, head=seat.head) if head.offered is None else head.offered,
        more=head.more,
        left=head.left,
        at_least=head.at_least,
        filled=head.filled,
        others=head.others,
        counted_at=_at(head.count),
        counted_by=_by(head.count),
        out_at=_at(head.out),
        minutes_out=minutes_out(head=head, now=day.now),
        back_at=_at(head.back),
        back_by=_by(head.back),
        why=head.why,
        why_at=_at(head.not_here),
        why_by=_by(head.not_here),
        not_clean=seat.tub in day.state.round(view.key).not_clean,
        entry=head.count.entry if head.count else None,
    )


def offered_to(*, duty: Duty, head: int) -> int:
    """Return how many are offered to one head, or to all heads of a feed in a tank; of greens a dish each."""
    each = max(duty.portion.count, 1) if duty.portion else 0
    return each * (1 if head else duty.heads)


def minutes_out(*, head: HeadState, now: datetime) -> int | None:
    """Return the whole minutes that a head has been out of heat; None when it is not out."""
    if not head.in_tub or head.out is None:
        return None
    return max(0, int((now - head.out.at) / timedelta(minutes=1)))


def _at(word: Word | None) -> datetime | None:
    return word.at if word else None


def _by(word: Word | None) -> str:
    return word.by_name if word else ""


def _state(head: HeadState) -> TubState:
    if head.phase in {Phase.NOT_HERE, Phase.BACK, Phase.PLANNED, Phase.OUT}:
        return TubState(_BY_PHASE[head.phase])
    if head.refused:
        return TubState.REFUSED
    return TubState.LEFT if head.left else TubState.EATEN


_BY_PHASE = {
    Phase.NOT_HERE: TubState.NOT_HERE,
    Phase.BACK: TubState.BACK,
    Phase.PLANNED: TubState.PLANNED,
    Phase.OUT: TubState.OUT,
}


def _prey(*, day: Day, portion: Portion | None) -> Prey | None:
    if portion is None:
        return None
    food = next((food for food in day.facts.foods if food.key == portion.food), None)
    return Prey(
        food=portion.food,
        kind=portion.kind,
        category=food.category if food else "",
        name=food.name if food else portion.kind,
        count=portion.count,
        size_mm=portion.size_mm,
        dusted=portion.dusted,
        powder=portion.powder,
        most_mm=portion.most_mm,
        estimated=portion.estimated,
    )


def _first_out(tub: TubView) -> tuple[datetime, int]:
    assert tub.out_at is not None  # noqa: S101  # only those that are out are put in order
    return tub.out_at, tub.number


def _most_mm(tub: TubView) -> float:
    return (tub.prey.most_mm if tub.prey else None) or 0.0


# ---------------------------------------------------------------- beside the tray


def _of_this_feed(*, day: Day, view: RoundView) -> list[RoundView]:
    """The trays of this feed slot, those with animals out first, the longest out leading; then by number."""
    feeds = [v for v in day.rounds if v.round.kind is DutyKind.FEED and v.in_tubs and v.due]
    same = [v for v in feeds if v.round.slot == view.round.slot or v.out]
    return sorted(same, key=lambda v: (_first_of(day, v) is None, _first_of(day, v) or day.now, v.number))


def _first_of(day: Day, view: RoundView) -> datetime | None:
    heads = (day.state.head(duty=seat.duty, head=seat.head) for seat in view.seats)
    return min((head.out.at for head in heads if head.in_tub and head.out), default=None)


def _tabs(*, day: Day, view: RoundView) -> tuple[TabView, ...]:
    return tuple(_tab(day=day, view=other) for other in _of_this_feed(day=day, view=view))


def _tab(*, day: Day, view: RoundView) -> TabView:
    tubs = tubs_of(day=day, view=view)
    steps = steps_of(day=day, view=view, tubs=tubs)
    washed = day.state.round(view.key).washed
    return TabView(
        round_key=view.key,
        number=view.number,
        tray_name=view.tray_name,
        view=view,
        step=next((step.kind for step in steps if step.state is StepState.NOW), ""),
        out=view.out,
        minutes_out=max((tub.minutes_out for tub in tubs if tub.minutes_out is not None), default=None),
        back_from=back_from(view=view, tubs=tubs),
        washed_at=washed.at if washed else None,
    )


def _sums(*, tubs: Iterable[TubView]) -> tuple[SumView, ...]:
    by_lot: dict[str, list[TubView]] = defaultdict(list)
    for tub in tubs:
        if tub.unmarked:
            by_lot[tub.resident].append(tub)
    return tuple(
        SumView(
            tank=found[0].tank,
            tank_name=found[0].tank_name,
            label=found[0].label,
            heads=sum(tub.heads for tub in found),
            offered=sum(tub.offered + tub.more for tub in found),
            left=sum(tub.left or 0 for tub in found),
            not_counted=sum(1 for tub in found if tub.left is None),
        )
        for found in by_lot.values()
    )


def _shelf(tubs: Iterable[TubView]) -> tuple[ShelfLine, ...]:
    totals: dict[tuple[str, str, bool, str], int] = defaultdict(int)
    preys: dict[tuple[str, str, bool, str], Prey] = {}
    for tub in tubs:
        if tub.prey is not None:
            key = (tub.prey.food, tub.prey.kind, tub.prey.dusted, tub.prey.powder)
            totals[key] += tub.offered
            preys[key] = tub.prey
    return tuple(
        ShelfLine(
            food=prey.food,
            kind=prey.kind,
            name=prey.name,
            count=totals[key],
            size_mm=prey.size_mm,
            dusted=prey.dusted,
            powder=prey.powder,
        )
        for key, prey in preys.items()
    )


def _basking(*, day: Day, tubs: Iterable[TubView]) -> tuple[LastReading, ...]:
    tanks = {tub.tank for tub in tubs}
    return tuple(r for r in day.readings if r.spot == "basking" and r.tank in tanks)
