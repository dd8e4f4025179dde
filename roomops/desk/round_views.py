"""Where each round stands: what is left of it, who is out, whether it is late. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from roomops.desk.day_types import RoundView, Status
from roomops.desk.standing import round_begun
from roomops.desk.state import HeadState, State, Word
from roomops.planning.plan import Duty, Plan, Round, Seat
from roomops.planning.room import FED, DutyKind, Resident
from roomops.planning.room import Room as Facts
from roomops.planning.room import Status as Standing
from roomops.records.moments import Span

GRACE = timedelta(minutes=10)  # a start may pass by this much before the round is late
NEAR = timedelta(hours=1)  # later than this is 'later', though it is somebody's first
APART = frozenset({Standing.QUARANTINE, Standing.ISOLATED})


OF_ANIMALS = frozenset({DutyKind.WEIGH, DutyKind.MEDICINE, DutyKind.SEARCH, DutyKind.SUN})
OF_EMPTY_TANKS = frozenset({DutyKind.WARM, DutyKind.LAMP})  # nobody need live there yet


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """Everything that says where rounds stand."""

    plan: Plan
    state: State
    facts: Facts
    span: Span
    now: datetime
    labels: Mapping[str, str]

    def label(self, kind: str, key: str) -> str:
        return self.labels.get(f"{kind}:{key}", key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One head of a round in tubs, one feed in a tank (head 0, for all its heads), or one other duty."""

    duty: Duty
    head: int
    seat: Seat | None
    heads: int  # how many heads it stands for; 1 for other duties
    done: bool
    state: HeadState | None
    word: Word | None
    away: bool = False  # said not to be here


def round_views(*, scene: Scene) -> tuple[RoundView, ...]:
    """Return every round as it stands, by number. Each person's first is 'next' when its turn is near."""
    crowd = _Crowd(scene)
    views = [_view(scene=scene, round_=each, crowd=crowd) for each in scene.plan.rounds]
    coming = sorted((v for v in views if v.status is Status.LATER), key=lambda v: (v.starts, v.number))
    first = {view.person: view for view in reversed(coming)}
    soon = coming[0].starts + NEAR if coming else None
    near = {view.key for view in first.values() if soon and view.starts <= max(soon, scene.now + NEAR)}
    return tuple(replace(v, status=Status.NEXT) if v.key in near else v for v in views)


# ---------------------------------------------------------------- what still matters


class _Crowd:
    """Who is in the room now: feeds of one that left drop out at once, and an unwell one's of clean trays."""

    def __init__(self, scene: Scene) -> None:
        self._residents = {each.key: each for each in scene.facts.residents}
        self._quarantine = {tank.key for tank in scene.facts.tanks if tank.quarantine}
        lived = (r for r in scene.facts.residents if r.status in FED or r.status is Standing.MISSING)
        self._lived_in = {each.tank for each in lived}
        self._duties = {duty.key: duty for duty in scene.plan.duties}
        self._ordered = {order.key: order.resident for order in scene.facts.medicines}

    def duties(self, round_: Round) -> list[Duty]:
        return [self._duties[key] for key in round_.duties if key in self._duties]

    def heads(self, duty: Duty, round_: Round) -> int:
        """How many heads of a feed are in the room and may be fed in this round."""
        resident = self._residents.get(duty.subject)
        if resident is None or resident.status not in FED:
            return 0
        return 0 if self._apart(resident) and not round_.quarantine else resident.heads

    def _apart(self, resident: Resident) -> bool:
        return resident.status in APART or resident.tank in self._quarantine

    def matters(self, duty: Duty) -> bool:
        """Say whether a duty that is no feed still matters: its animal is here, or its tank is lived in."""
        if duty.kind in OF_ANIMALS:
            resident = self._residents.get(self._ordered.get(duty.subject, duty.subject))
            wanted = FED if duty.kind is not DutyKind.SEARCH else {Standing.MISSING}
            return resident is not None and resident.status in wanted
        return not duty.tank or duty.tank in self._lived_in or duty.kind in OF_EMPTY_TANKS


def _parts(*, scene: Scene, round_: Round, crowd: _Crowd) -> tuple[list[Part], list[Seat]]:
    """Return what still matters of a round, and the seats that dropped out."""
    if round_.seats:
        return _seated(scene=scene, round_=round_, crowd=crowd)
    parts = []
    for duty in crowd.duties(round_):
        if round_.kind is DutyKind.FEED:
            parts.extend(_in_tank(scene=scene, duty=duty, heads=crowd.heads(duty, round_)))
            continue
        said = scene.state.duties.get(duty.key)
        if said or crowd.matters(duty):
            word = said.word if said else None
            parts.append(Part(duty=duty, head=0, seat=None, heads=1, done=bool(said), state=None, word=word))
    return parts, []


def _in_tank(*, scene: Scene, duty: Duty, heads: int) -> list[Part]:
    state = scene.state.head(duty=duty.key, head=0)
    if not heads and not state.begun:
        return []
    done = state.left is not None
    away = state.not_here is not None
    return [
        Part(
            duty=duty,
            head=0,
            seat=None,
            heads=max(heads, 1),
            done=done,
            state=state,
            word=state.count,
            away=away,
        )
    ]


def _seated(*, scene: Scene, round_: Round, crowd: _Crowd) -> tuple[list[Part], list[Seat]]:
    duties = {duty.key: duty for duty in crowd.duties(round_)}
    free = {key: crowd.heads(duty, round_) for key, duty in duties.items()}
    states = {seat: scene.state.head(duty=seat.duty, head=seat.head) for seat in round_.seats}
    for seat, state in states.items():
        if state.begun and not state.not_here and seat.duty in free:
            free[seat.duty] -= 1
    parts: list[Part] = []
    dropped: list[Seat] = []
    for seat, state in states.items():
        if seat.duty not in duties or (not state.begun and free[seat.duty] <= 0):
            dropped.append(seat)
            continue
        if not state.begun:
            free[seat.duty] -= 1
        parts.append(_head(duty=duties[seat.duty], seat=seat, state=state))
    return parts, dropped


def _head(*, duty: Duty, seat: Seat, state: HeadState) -> Part:
    done = state.settled and not state.in_tub
    return Part(
        duty=duty, head=seat.head, seat=seat, heads=1, done=done, state=state, word=state.back or state.count,
        away=state.not_here is not None,
    )  # fmt: skip


# ---------------------------------------------------------------- the view


def _view(*, scene: Scene, round_: Round, crowd: _Crowd) -> RoundView:
    parts, dropped = _parts(scene=scene, round_=round_, crowd=crowd)
    here = [part for part in parts if not part.away]
    left = [part for part in here if not part.done]
    states = [part.state for part in parts if part.state]
    begun = round_begun(round_=round_, state=scene.state)
    words = _words(scene=scene, round_=round_, parts=parts)
    done = _is_done(scene=scene, round_=round_, left=left, states=states)
    starts, ends = scene.span.moment(round_.start), scene.span.moment(round_.end)
    late = timedelta(0) if done else lateness(starts=starts, ends=ends, begun=begun, now=scene.now)
    due, to_do = sum(part.heads for part in here), sum(part.heads for part in left)
    labels = _labels(scene, left)
    about = None if done or not (begun or late) else _ends_about(scene, round_, due, to_do)
    return RoundView(
        round=round_,
        key=round_.key,
        number=round_.number,
        status=_status(done=done, late=bool(late), begun=begun),
        begun=begun,
        person=round_.person,
        person_name=scene.label("person", round_.person),
        starts=starts,
        ends=ends,
        minutes_late=int(late / timedelta(minutes=1)),
        due=due,
        left=to_do,
        out=sum(1 for state in states if state.in_tub),
        not_counted=sum(part.heads for part in here if part.state and part.state.left is None),
        seats=tuple(part.seat for part in parts if part.seat),
        dropped=tuple(dropped),
        duties=tuple(dict.fromkeys(part.duty.key for part in parts)),
        left_labels=tuple(labels),
        left_heads=tuple(labels.values()) if round_.kind is DutyKind.FEED else (),
        tray_name=scene.label("tray", round_.tray) if round_.tray else "",
        tanks=tuple(dict.fromkeys(scene.label("tank", p.duty.tank) for p in parts if p.duty.tank)),
        done_at=max((word.at for word in words), default=None) if done else None,
        done_by=", ".join(dict.fromkeys(word.by_name for word in words if word.by_name)) if done else "",
        refused=sum(1 for state in states if state.refused),
        in_tubs=bool(round_.seats),
        ends_about=about,
        past_shift_min=_past_shift(scene, round_, about),
    )


def lateness(*, starts: datetime, ends: datetime, begun: bool, now: datetime) -> timedelta:
    """Return how late an unfinished round is: after its end, or over 10 minutes after a start nobody made."""
    if begun:
        return max(now - ends, timedelta(0))
    return now - starts if now > min(starts + GRACE, ends) else timedelta(0)


def _status(*, done: bool, late: bool, begun: bool) -> Status:
    if done:
        return Status.DONE
    if late:
        return Status.LATE
    return Status.UNDER_WAY if begun else Status.LATER


def _is_done(*, scene: Scene, round_: Round, left: Sequence[Part], states: Sequence[HeadState]) -> bool:
    """Nothing is left to do, nobody is in a tub, and tubs that were used are washed."""
    if left or any(state.in_tub for state in states):
        return False
    used = any(state.out for state in states) and bool(round_.seats)
    steps = scene.state.round(round_.key)
    return not used or steps.washed is not None or steps.finished is not None


def _words(*, scene: Scene, round_: Round, parts: Sequence[Part]) -> list[Word]:
    steps = scene.state.round(round_.key)
    words = [part.word for part in parts if part.word]
    return [*words, *(word for word in (steps.washed, steps.finished) if word)]


def _labels(scene: Scene, parts: Sequence[Part]) -> dict[str, int]:
    """Return who or what is still to do, in order, with how many heads each stands for."""
    ordered = {order.key: order.resident for order in scene.facts.medicines}
    found: dict[str, int] = {}
    for part in parts:
        if not part.duty.tank:
            continue
        if part.duty.kind is DutyKind.FEED or part.duty.kind in OF_ANIMALS:
            name = scene.label("resident", ordered.get(part.duty.subject, part.duty.subject))
        else:
            name = scene.label("tank", part.duty.tank)
        found[name] = found.get(name, 0) + part.heads
    return found


def _ends_about(scene: Scene, round_: Round, due: int, left: int) -> datetime:
    """Now and what is left, at the pace of the plan. All counted but not back or washed: the last steps."""
    length = timedelta(minutes=round_.end - round_.start)
    share = (
        left / due
        if due and left
        else (round_.steps[-1].end - round_.steps[-1].start) / max(round_.end - round_.start, 1)
    )
    return scene.now + length * share


def _past_shift(scene: Scene, round_: Round, about: datetime | None) -> int:
    ends = [shift.end for shift in scene.facts.shifts if shift.person == round_.person]
    if about is None or not ends:
        return 0
    over = about - scene.span.moment(max(ends))
    return max(0, int(over / timedelta(minutes=1)))
