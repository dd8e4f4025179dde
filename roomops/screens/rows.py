"""Rounds as Today shows them: what wants hands now, then, later, done. Counts are the desk's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from roomops.desk.day_types import Day, RoundView, Status
from roomops.papers import words
from roomops.planning.room import DutyKind
from roomops.screens import floor_work
from roomops.screens.addresses import round_address
from roomops.screens.bundles import bundles, numbers_words

MOST_BIG = 4  # rows that are big at once; the rest is one line each
MOST_NAMES = 3
MOST_BOXES = 60
NARROW_BOXES = 24
STATE = {
    Status.LATE: "late",
    Status.UNDER_WAY: "under",
    Status.NEXT: "next",
    Status.LATER: "later",
    Status.DONE: "done",
}
THINGS = {  # what a round counts: one and many
    DutyKind.FEED: ("animal", "animals"),
    DutyKind.CUPS: ("job", "jobs"),
    DutyKind.INSECTS: ("job", "jobs"),
}
OF_TANKS = ("tank", "tanks")
ALONG_RACKS = (
    DutyKind.OPENING, DutyKind.CLOSING, DutyKind.READING, DutyKind.CLEAN, DutyKind.MIST, DutyKind.WATER,
)  # fmt: skip
MOST_LINES = 8  # of Later and of Done at once


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One round, worded. ``view`` keeps the desk's numbers for the template."""

    view: RoundView
    state: str
    word: str  # 'Late 1 h 10 min'
    title: str  # 'Feed 2, tray B'
    tanks: tuple[str, ...]  # named after the title where the title does not say where
    window: str  # '12:15 to 1:30 pm', 'by 12:00 pm'
    who: str
    you: bool
    left: str  # '3 of 10 tanks left'
    names: tuple[str, ...]
    more_names: int
    ends: str  # 'Ends about 2:00 pm'
    past: str  # '30 min past your shift'
    out: str  # '8 in tubs'
    boxes: tuple[bool, ...]  # done or not, one box each
    many: bool
    act: str  # words of the button
    act_name: str  # an animal or tank at the end of them
    address: str
    main: bool
    took: str  # for Done: what was seen, '1 refused'


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of Later: a round, or several of one kind that follow each other."""

    starts: datetime
    numbers: str  # '15', '15–18'
    rounds: tuple[int, ...]
    title: str  # 'Readings: rack A, rack B'
    tanks: tuple[str, ...]
    who: tuple[tuple[str, bool], ...]  # name, whether it is the reader
    address: str  # of the reader's own first, else of the first


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    now: tuple[Row, ...]
    more_now: tuple[Row, ...]
    then: tuple[Row, ...]
    later: tuple[Line, ...]
    more_later: tuple[Line, ...]
    done: tuple[Row, ...]
    more_done: tuple[Row, ...]

    @property
    def later_still(self) -> int:
        """How many rounds stand on the lines that are folded away."""
        return sum(len(line.rounds) for line in self.more_later)


def rows_of(day: Day, *, person: str) -> Rows:
    """All rounds of the day for ``person`` (a key), each in its place, with one dark button among them."""
    by_state: dict[Status, list[RoundView]] = {status: [] for status in Status}
    for view in day.rounds:
        by_state[view.status].append(view)
    wanted = _wanted(by_state, person)
    big = _big(wanted, person)
    then = by_state[Status.NEXT]
    main = _main([*wanted, *then], person)

    def worded(views: Sequence[RoundView]) -> tuple[Row, ...]:
        return tuple(_row(view, day, person=person, main=view is main) for view in views)

    later = tuple(_line(views, day, person=person) for views in bundles(by_state[Status.LATER]))
    done = worded(sorted(by_state[Status.DONE], key=_done_last, reverse=True))
    return Rows(
        now=worded(big),
        more_now=worded([view for view in wanted if view not in big]),
        then=worded(then),
        later=later[:MOST_LINES],
        more_later=later[MOST_LINES:],
        done=done[:MOST_LINES],
        more_done=done[MOST_LINES:],
    )


# ---------------------------------------------------------------- order


def _wanted(by_state: dict[Status, list[RoundView]], person: str) -> list[RoundView]:
    """What wants hands now: late first, the latest on top, own before others' of the same minute."""
    now = [*by_state[Status.LATE], *by_state[Status.UNDER_WAY]]
    return sorted(now, key=lambda v: (-v.minutes_late, v.person != person, v.starts, v.number))


def _big(wanted: Sequence[RoundView], person: str) -> list[RoundView]:
    """At most four big rows; one with animals in tubs is always among them, however many are late."""
    first = sorted(wanted, key=lambda v: (not v.out, v.person != person))[:MOST_BIG]
    return [view for view in wanted if view in first]


def _main(views: Sequence[RoundView], person: str) -> RoundView | None:
    """The one dark button: animals in tubs first, then own before others', begun before not."""
    return min(views, key=lambda v: (not v.out, v.person != person, not v.begun), default=None)


def _done_last(view: RoundView) -> tuple[float, int]:
    return (view.done_at or view.ends).timestamp(), view.number


# ---------------------------------------------------------------- lines


def _line(views: Sequence[RoundView], day: Day, *, person: str) -> Line:
    first = views[0]
    own = next((view for view in views if view.person == person), first)
    alone = len(views) == 1
    few = first.round.kind is DutyKind.FEED or len(first.tanks) <= MOST_NAMES
    tanks = first.tanks if alone and few and not first.in_tubs else ()
    return Line(
        starts=min(view.starts for view in views),
        numbers=numbers_words(views),
        rounds=tuple(view.number for view in views),
        title=title_of(first, day) if alone else _together(views, day),
        tanks=tanks,
        who=tuple(dict.fromkeys((view.person_name, view.person == person) for view in views)),
        address=round_address(own),
    )


def _together(views: Sequence[RoundView], day: Day) -> str:
    """'Readings: rack A, rack B, quarantine': what they are, and where, each place once."""
    text = words.kind_words(kind=views[0].round.kind, slot=views[0].round.slot)
    if views[0].round.quarantine and all(view.round.quarantine for view in views):
        return f"Quarantine {small(text)}"
    places = [p for p in dict.fromkeys(_place(view, day) for view in views) if p]
    return f"{text}: {', '.join(places)}" if places else text


def _place(view: RoundView, day: Day) -> str:
    if view.round.quarantine:
        return "quarantine"
    if view.tray_name:
        return small(view.tray_name.partition(",")[0])
    if view.round.kind is DutyKind.FEED:
        return words.list_words(list(view.tanks))
    where = floor_work.where_words(day=day, view=view)
    return "" if where == day.room.name else small(where)


# ---------------------------------------------------------------- words


def title_of(view: RoundView, day: Day) -> str:
    """'Feed 2, tray B', 'Quarantine feed 1, tray Q', 'Opening walk, rack A'."""
    text = words.kind_words(kind=view.round.kind, slot=view.round.slot)
    if view.round.quarantine:
        text = f"Quarantine {text[:1].lower()}{text[1:]}"
    if view.tray_name:
        return f"{text}, {small(view.tray_name.partition(',')[0])}"
    where = floor_work.where_words(day=day, view=view)
    along = view.round.kind in ALONG_RACKS and not view.round.quarantine and where != day.room.name
    return f"{text}, {small(where)}" if along else text


def small(name: str) -> str:
    """A name of the room's furniture inside a sentence: 'tray B'."""
    return name[:1].lower() + name[1:]


def _row(view: RoundView, day: Day, *, person: str, main: bool) -> Row:
    act, act_name = _act(view, day, person)
    shown = view.left_labels[:MOST_NAMES]
    heads = view.left_heads or (1,) * len(view.left_labels)
    return Row(
        view=view,
        state=STATE[view.status],
        word=_state_words(view),
        title=title_of(view, day),
        tanks=view.tanks if view.round.kind is DutyKind.FEED and not view.in_tubs else (),
        window=_window(view),
        who=view.person_name,
        you=view.person == person,
        left=_left(view),
        names=tuple(map(_of_lot, shown, heads)) if view.left else (),
        more_names=sum(heads[len(shown) :]) if view.left else 0,
        ends=f"Ends about {words.time_words(view.ends_about)}" if view.ends_about and view.left else "",
        past=_past(view, person),
        out=f"{view.out} in tubs" if view.out else "",
        boxes=_boxes(view),
        many=view.due > NARROW_BOXES,
        act=act,
        act_name=act_name,
        address=round_address(view),
        main=main,
        took=_took(view),
    )


def _of_lot(label: str, heads: int) -> str:
    """'H12 · unmarked × 4': as many of a lot as are still to do."""
    return f"{label} × {heads}" if heads > 1 else label  # the sign of multiplication


def _state_words(view: RoundView) -> str:
    word = words.ROUND_STATUS[view.status]
    return f"{word} {words.minutes_words(view.minutes_late)}" if view.minutes_late else word


def _window(view: RoundView) -> str:
    """A late round says by when; all others from when to when."""
    if view.status is Status.LATE:
        return f"by {words.time_words(view.ends)}"
    same_half = (view.starts.hour < 12) == (view.ends.hour < 12)
    return f"{words.time_words(view.starts, suffix=not same_half)} to {words.time_words(view.ends)}"


def _left(view: RoundView) -> str:
    one, many = THINGS.get(view.round.kind, OF_TANKS)
    if not view.left:
        return f"All {words.count_words(view.due, one, many)} done" if view.due > 1 else ""
    if view.due == 1:
        return ""
    return f"{view.due} {many}" if view.left == view.due else f"{view.left} of {view.due} {many} left"


def _past(view: RoundView, person: str) -> str:
    if not view.past_shift_min:
        return ""
    whose = "your" if view.person == person else f"{view.person_name}’s"
    return f"{words.minutes_words(view.past_shift_min)} past {whose} shift"


def _boxes(view: RoundView) -> tuple[bool, ...]:
    if not 1 < view.due <= MOST_BOXES or view.status in {Status.LATER, Status.NEXT}:
        return ()
    done = view.due - view.left
    return (True,) * done + (False,) * view.left


def _took(view: RoundView) -> str:
    parts = [view.done_by]
    if view.round.kind is DutyKind.FEED:
        parts.append(words.count_words(view.due, "animal"))
    if view.refused:
        parts.append(f"{view.refused} refused")
    said_away = max(0, len(view.seats) - view.due) if view.in_tubs else 0  # their places stay on the tray
    if view.dropped or said_away:
        parts.append(f"{len(view.dropped) + said_away} not here")
    return ", ".join(filter(None, parts))


def _act(view: RoundView, day: Day, person: str) -> tuple[str, str]:
    """Words of the button, and the name that ends them."""
    others = bool(view.person) and view.person != person
    if not view.person:
        return "Take it", ""
    if others and view.status in {Status.LATE, Status.UNDER_WAY}:
        gone = all(each.person != view.person or each.ends <= day.now for each in day.presences)
        first = view.person_name.split()[0] if view.person_name else "them"
        return (f"Take over from {first}" if gone else f"Help {first}"), ""
    return _own_act(view)


def _own_act(view: RoundView) -> tuple[str, str]:
    first = view.left_labels[0] if view.left_labels else ""
    if view.round.kind is DutyKind.FEED:
        if view.in_tubs and view.tray_name:
            name = small(view.tray_name.partition(",")[0])
            return (f"Open {name}" if view.begun else f"Prepare {name}"), ""
        return "Feed", first
    verb = {DutyKind.READING: "Read", DutyKind.CLEAN: "Clean"}.get(view.round.kind, "")
    if view.round.kind in {DutyKind.OPENING, DutyKind.CLOSING}:
        verb = "Go to"
    return (verb, first) if verb and first else ("Open it", "")
