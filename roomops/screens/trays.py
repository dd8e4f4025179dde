"""The feeding page's drawing of a tray: what stands where, what each place may be asked, and in which words.

It adds nothing to the desk's ``TrayView`` but order, words and looks, so that the page, Today and the paper
cannot disagree about a number.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import ceil

from roomops.desk.day_types import Day, LastReading
from roomops.desk.tray import (
    Prey,
    ShelfLine,
    StepState,
    StepView,
    SumView,
    TabView,
    TrayView,
    TubState,
    TubView,
)
from roomops.husbandry.care import StageCare
from roomops.papers.amounts import FOODS, exact_words, food_words, list_words, prey_words, time_words

FOUR_PLUS = 4  # the last choice of a row means 'so many or more'
MOST_DRAWN = 24  # insects drawn in one tub; above it the number alone says it
MOST_MORE = 6  # offered again in the same feed
MOST_CHIPS = 12  # exact numbers offered as buttons; above it a number is typed
STEPS = ("prepare", "to tubs", "feed", "return", "wash")
STEP_WORDS = {
    "prepare": "Prepare cups",
    "to tubs": "To tubs",
    "feed": "Feed",
    "return": "Back to tank",
    "wash": "Wash",
}
STEP_GLYPHS = {
    "prepare": "step-cup",
    "to tubs": "step-tub",
    "feed": "step-feed",
    "return": "step-tank",
    "wash": "step-sink",
}
BUG_GLYPHS = {"cricket": "cricket", "roach": "roach", "mouse": "mouse", "rat": "mouse", "greens": "greens"}
WHY_WORDS = {
    "sold": "Sold",
    "moved": "Moved",
    "isolated": "Isolated",
    "at vet": "At vet",
    "dead": "Dead",
    "can't find": "Can’t find",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One button of 'left' or of 'more': ``word`` on it, ``name`` for who cannot see which tub it is in."""

    value: str
    word: str
    name: str
    pressed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place of the tray: a tub with its head, or the sum of a tank's unmarked animals in a free place."""

    number: int
    row: int  # when the tray is turned a quarter clockwise: counted from the top
    column: int
    tub: TubView | None = None
    sums: tuple[SumView, ...] = ()
    look: str = ""
    prey: str = ""
    prey_count: int = 0
    dust: str = ""
    glyph: str = ""
    kept: Sequence[int] = ()  # insects still there, to be drawn
    gone: Sequence[int] = ()
    choices: tuple[Choice, ...] = ()
    open: str = ""  # what was asked for here: 'exact', 'more', 'change'
    low: LastReading | None = None  # its tank's basking side is low: no feed
    check_first: str = ""
    longest: bool = False  # out longest of all: the dark button

    @property
    def anchor(self) -> str:
        return f"tub-{self.number}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One step of the route along the counter."""

    key: str
    word: str
    glyph: str
    state: str
    here: bool  # the page shows it
    reachable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """What to take from the shelf: '32' '¼ in crickets', dusted with what, and its batch."""

    count: int
    words: str
    dust: str
    powder: str
    batch: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """One tray of the strip, soonest first."""

    key: str
    state: str
    head: str
    small: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayPage:
    """What the template draws."""

    tray: TrayView
    step: str  # the one that the page shows
    places: tuple[Place, ...]
    columns: int
    turned: bool  # one or two rows: the upright page turns the tray as the counter would
    stops: tuple[Stop, ...]
    tabs: tuple[Tab, ...]
    shelf: tuple[Take, ...]
    limit: str  # the smallest limit on this tray
    low: tuple[LastReading, ...]
    fine: tuple[LastReading, ...]
    unread: tuple[str, ...]  # tanks whose basking side was never read
    homes: str  # '1 to 4 live in H3, 5 to 8 in H4'
    not_counted: str
    waiting: int  # animals still to lift
    may_lift: int  # of them, those whose tank is warm enough
    out_numbers: str
    not_clean: str
    minutes_left: int | None
    bars: tuple[bool, ...]  # one a minute of the time to eat: True when it has passed
    first: Tab | None  # another tray that must go first

    @property
    def name(self) -> str:
        return self.tray.tray_name or f"Round {self.tray.view.number}"

    @property
    def late(self) -> bool:
        out = self.tray.minutes_out
        return out is not None and out > self.tray.most_out_min


def tray_page(*, tray: TrayView, step: str = "", opened: str = "") -> TrayPage:
    """Return the page of ``tray`` at ``step`` ('' for the one that is now); ``opened`` is like 'more-4'."""
    step = step if step in STEPS and reachable(tray=tray, step=step) else step_now(tray)
    places = _places(tray=tray, step=step, opened=opened)
    tubs = [place for place in places if place.tub]
    planned = [place for place in tubs if place.tub and place.tub.state is TubState.PLANNED]
    tabs = tuple(_tab(tray=tray, tab=tab) for tab in tray.tabs)
    read = {reading.tank for reading in tray.basking}
    tanks = {tub.tank: tub.tank_name for tub in tray.tubs}
    watched = _watched(tray)
    return TrayPage(
        tray=tray,
        step=step,
        places=places,
        columns=_columns(len(places)),
        turned=len(places) <= 8,
        stops=tuple(_stop(tray=tray, step=each, here=step) for each in tray.steps),
        tabs=tabs,
        shelf=tuple(_take(line=line, day=tray.day) for line in tray.shelf),
        limit=limit_words(tray),
        waiting=len(planned),
        may_lift=_may_lift(tray),
        low=tuple(reading for reading in tray.basking if reading.out == "low"),
        fine=tuple(reading for reading in tray.basking if reading.out != "low"),
        unread=tuple(name for key, name in tanks.items() if key not in read),
        homes=_homes(tubs),
        not_counted=list_words([str(number) for number in tray.not_counted]),
        out_numbers=list_words([str(p.number) for p in tubs if p.tub and p.tub.minutes_out is not None]),
        not_clean=list_words([str(p.number) for p in tubs if p.tub and p.tub.not_clean]),
        minutes_left=_minutes_left(tray),
        bars=watched,
        first=_first(tray=tray, tabs=tabs),
    )


def reachable(*, tray: TrayView, step: str) -> bool:
    """A step may be looked at when it is now, or was; counts and the way back while an animal is out; the sink
    when those who were out are back, even if another waits for its tank to be warm."""
    states = {each.kind: each.state for each in tray.steps}
    if states.get(step, StepState.LATER) is not StepState.LATER:
        return True
    if step == "wash":
        return not tray.out and any(tub.back_at for tub in tray.tubs)
    return step in {"feed", "return"} and tray.out > 0


def step_now(tray: TrayView) -> str:
    """The step that the page opens with: past those that wait for nothing but a warm tank."""
    if tray.step != "to tubs" or _may_lift(tray):
        return tray.step or "wash"
    if tray.out:
        return "feed" if any(tub.state is TubState.OUT for tub in tray.tubs) else "return"
    return "wash" if any(tub.back_at for tub in tray.tubs) else "to tubs"


def _may_lift(tray: TrayView) -> int:
    """Animals still in their tanks whose basking side is not low."""
    low = {reading.tank for reading in tray.basking if reading.out == "low"}
    return sum(1 for tub in tray.tubs if tub.state is TubState.PLANNED and tub.tank not in low)


# ---------------------------------------------------------------- places


def _columns(count: int) -> int:
    """Tubs a row as they stand: two rows up to eight places, else four a row."""
    return max(1, ceil(count / 2)) if count <= 8 else 4


def _places(*, tray: TrayView, step: str, opened: str) -> tuple[Place, ...]:
    """Every tub in its order; the sum of unmarked animals takes a place of its own at the end."""
    what, _, number = opened.partition("-")
    count = len(tray.tubs) + bool(tray.sums and step == "feed")
    columns = _columns(count)
    low = {reading.tank: reading for reading in tray.basking if reading.out == "low"}
    longest = tray.back_order[0] if tray.back_order else None
    made = []
    for index in range(count):
        row, column = _turned(index=index, count=count, columns=columns)
        if index == len(tray.tubs):
            made.append(Place(number=index + 1, row=row, column=column, sums=tray.sums))
            continue
        tub = tray.tubs[index]
        asked = what if number == str(tub.number) else ""
        made.append(
            _place(
                tray=tray, tub=tub, row=row, column=column, opened=asked,
                low=low.get(tub.tank), longest=tub == longest,
            )
        )  # fmt: skip
    return tuple(made)


def _turned(*, index: int, count: int, columns: int) -> tuple[int, int]:
    """Row and column of a place when the tray is turned a quarter clockwise: 1 is at the top right."""
    rows = ceil(count / columns) if columns else 1
    return index % columns + 1, rows - index // columns


def _place(
    *,
    tray: TrayView,
    tub: TubView,
    row: int,
    column: int,
    opened: str,
    low: LastReading | None,
    longest: bool,
) -> Place:
    offered = tub.offered + tub.more
    left = tub.left
    refused = tub.state is TubState.REFUSED
    return Place(
        number=tub.number,
        row=row,
        column=column,
        tub=tub,
        look=_look(tub),
        prey=prey_name(prey=tub.prey, day=tray.day),
        prey_count=tub.prey.count if tub.prey else 0,
        dust=dust_words(tub.prey),
        glyph=BUG_GLYPHS.get(tub.prey.kind, "worm") if tub.prey else "",
        kept=range(min(MOST_DRAWN, offered if left is None else left)),
        gone=range(0 if left is None else max(0, min(MOST_DRAWN, offered) - left)),
        choices=_choices(tub=tub, opened=opened),
        open=opened,
        low=low if tub.state is TubState.PLANNED else None,
        check_first=first_check(care_of(day=tray.day, tub=tub)) if refused else "",
        longest=longest,
    )


LOOKS = {
    TubState.NOT_HERE: "away",
    TubState.EATEN: "ate",
    TubState.LEFT: "left",
    TubState.REFUSED: "refused",
    TubState.OUT: "none",
    TubState.BACK: "back",
}


def _look(tub: TubView) -> str:
    """The tub's look: one signal, one meaning; '' before anything has happened."""
    if tub.state is TubState.EATEN and tub.more:
        return "more"
    return LOOKS.get(tub.state, "")


def _choices(*, tub: TubView, opened: str) -> tuple[Choice, ...]:
    offered = tub.offered + tub.more
    if opened == "more":
        return tuple(
            Choice(value=str(n), word=f"+ {n}", name=f"Tub {tub.number}, {n} more offered")
            for n in range(1, MOST_MORE + 1)
        )
    if opened == "exact":
        if offered - FOUR_PLUS >= MOST_CHIPS:
            return ()
        return tuple(_choice(tub=tub, value=n) for n in range(FOUR_PLUS, offered + 1))
    plus = offered > FOUR_PLUS
    exact = tuple(_choice(tub=tub, value=n) for n in range(min(offered, 3 if plus else FOUR_PLUS) + 1))
    return (*exact, _four_plus(tub)) if plus else exact


def _choice(*, tub: TubView, value: int) -> Choice:
    pressed = tub.left == value and not tub.at_least and tub.state is not TubState.REFUSED
    return Choice(value=str(value), word=str(value), name=f"Tub {tub.number}, {value} left", pressed=pressed)


def _four_plus(tub: TubView) -> Choice:
    pressed = tub.left is not None and tub.left >= FOUR_PLUS and tub.state is not TubState.REFUSED
    return Choice(value="4+", word="4+", name=f"Tub {tub.number}, 4 or more left", pressed=pressed)


def care_of(*, day: Day, tub: TubView) -> StageCare | None:
    """The care sheet of who sits there, at its stage."""
    resident = next((each for each in day.facts.residents if each.key == tub.resident), None)
    if resident is None:
        return None
    wanted = (resident.kind, resident.stage)
    return next((care for care in day.facts.care if (care.kind, care.stage) == wanted), None)


def first_check(care: StageCare | None) -> str:
    """What to look at first when one does not eat: the first line of its care sheet's own list."""
    return next(iter(care.words.first_checks), "") if care else ""


# ---------------------------------------------------------------- words


def prey_name(*, prey: Prey | None, day: Day) -> str:
    """'¼ in crickets', 'mouse': what is offered, without its number."""
    if prey is None:
        return ""
    one, many = FOODS.get(prey.kind, (prey.kind, f"{prey.kind}s"))
    if not prey.count:
        return food_words(kind=prey.kind, count=0)
    size = f"{prey_words(mm=prey.size_mm, units=day.room.units, both=False)} " if prey.size_mm else ""
    return size + (one if prey.count == 1 else many)


def dust_words(prey: Prey | None) -> str:
    """'dusted' with what, or 'plain' for insects without powder."""
    if prey is None or prey.category != "insect":
        return ""
    return "dusted" if prey.dusted else "plain"


def _take(*, line: ShelfLine, day: Day) -> Take:
    one, many = FOODS.get(line.kind, (line.kind, f"{line.kind}s"))
    size = f"{prey_words(mm=line.size_mm, units=day.room.units, both=False)} " if line.size_mm else ""
    words = size + (one if line.count == 1 else many) if line.count else food_words(kind=line.kind, count=0)
    return Take(
        count=line.count,
        words=words,
        dust="dusted" if line.dusted else "plain" if line.size_mm else "",
        powder=line.powder,
        batch=line.name,
    )


def limit_words(tray: TrayView) -> str:
    """'0.28 in (7.1 mm)': the smallest limit on this tray, '' where nothing limits it."""
    if tray.least_most_mm is None:
        return ""
    return exact_words(mm=tray.least_most_mm, units=tray.day.room.units, limit=True)


def _homes(places: Sequence[Place]) -> str:
    """'1 to 4 live in H3, 5 to 8 in H4', by runs of the same tank."""
    runs: list[tuple[str, int, int]] = []
    for place in places:
        assert place.tub is not None  # noqa: S101  # the caller keeps only those
        if runs and runs[-1][0] == place.tub.tank_name:
            runs[-1] = (runs[-1][0], runs[-1][1], place.number)
        else:
            runs.append((place.tub.tank_name, place.number, place.number))
    return ", ".join(
        (f"{first} to {last}" if last > first else str(first))
        + f"{' live' if last > first else ' lives'} in {tank}"
        for tank, first, last in runs
    )


# ---------------------------------------------------------------- route, strip, time


def _stop(*, tray: TrayView, step: StepView, here: str) -> Stop:
    return Stop(
        key=step.kind,
        word=STEP_WORDS[step.kind],
        glyph=STEP_GLYPHS[step.kind],
        state="done" if step.state is StepState.DONE else "",
        here=step.kind == here,
        reachable=step.kind != here and reachable(tray=tray, step=step.kind),
    )


def _tab(*, tray: TrayView, tab: TabView) -> Tab:
    head, small = _tab_words(tray=tray, tab=tab)
    here = tab.round_key == tray.view.key
    over = tab.minutes_out is not None and _over(tray=tray, tab=tab)
    state = "late" if over else "done" if tab.washed_at else "under" if tab.view.begun else ""
    return Tab(
        key=tab.round_key, state=state, head=f"{short(tab.tray_name)} · {head}", small=small, here=here
    )


def short(tray_name: str) -> str:
    """'B' of 'Tray B'."""
    return tray_name.removeprefix("Tray ") or tray_name


def _tab_words(*, tray: TrayView, tab: TabView) -> tuple[str, str]:
    tanks = list_words(list(tab.view.tanks))
    if tab.washed_at:
        return f"washed {time_words(tab.washed_at, suffix=False)}", f"all back in {tanks}"
    if tab.out:
        left = _left(now=tray.day.now, back_from=tab.back_from)
        head = f"{left} min left" if left else f"{tab.out} still out"
        since = f"out {tab.minutes_out} min"
        if tab.back_from:
            word = "back from" if left else "time up since"
            since += f", {word} {time_words(tab.back_from, suffix=False)}"
        return head, since
    words = {
        "prepare": "cups next",
        "to tubs": "cups ready",
        "feed": "feed",
        "return": "back",
        "wash": "wash now",
    }
    return words.get(tab.step, "done"), f"{tab.view.due} places, {tanks}"


def _left(*, now: datetime, back_from: datetime | None) -> int:
    """Whole minutes until they may go back, never less than 0."""
    if back_from is None:
        return 0
    return max(0, ceil((back_from - now).total_seconds() / 60))


def _minutes_left(tray: TrayView) -> int | None:
    return None if tray.back_from is None else _left(now=tray.day.now, back_from=tray.back_from)


def _over(*, tray: TrayView, tab: TabView) -> bool:
    """Their time to eat is over, or they are out longer than the room allows."""
    time_up = tab.back_from is not None and tab.back_from <= tray.day.now
    return time_up or (tab.minutes_out or 0) > tray.most_out_min


def _first(*, tray: TrayView, tabs: Sequence[Tab]) -> Tab | None:
    """Another tray whose animals are out too long goes first, unless this one is no better."""
    mine = tray.minutes_out or -1
    for tab, view in zip(tabs, tray.tabs, strict=True):
        if tab.state == "late" and not tab.here and (view.minutes_out or 0) > mine:
            return tab
    return None


def _watched(tray: TrayView) -> tuple[bool, ...]:
    """One bar a minute of the time to eat."""
    if tray.back_from is None:
        return ()
    began = next((s.at for s in tray.steps if s.kind == "to tubs" and s.at), None)
    if began is None:
        return ()
    total = min(30, round((tray.back_from - began).total_seconds() / 60))
    passed = round((tray.day.now - began).total_seconds() / 60)
    return tuple(minute < passed for minute in range(max(0, total)))
