"""The feeding page's drawing of a tray: what stands where, and what each place may be asked.

It adds nothing to the desk's ``TrayView`` but order, words and looks, so that the page, Today and the paper
cannot disagree about a number.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil

from roomops.desk.day_types import LastReading
from roomops.desk.tray_types import SumView, TrayView, TubState, TubView
from roomops.papers.amounts import list_words
from roomops.screens import tray_strip, tray_words
from roomops.screens.tray_strip import STEPS, Stop, Tab
from roomops.screens.tray_words import Take

FOUR_PLUS = 4  # the last choice of a row means 'so many or more'
MOST_DRAWN = 12  # insects drawn in one tub; above it the number alone says it
MOST_MORE = 6  # offered again in the same feed
MOST_CHIPS = 12  # exact numbers offered as buttons; above it a number is typed
TWO_ROWS = 8  # places that stand in two rows; more stand four in a row
BEFORE_FOOD = ("prepare", "to tubs")
LOOKS = {
    TubState.NOT_HERE: "away",
    TubState.EATEN: "ate",
    TubState.LEFT: "left",
    TubState.REFUSED: "refused",
    TubState.OUT: "none",
    TubState.BACK: "back",
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
    """One place of the tray: a tub with its head, the sum of unmarked animals in a free place, or nothing."""

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
    counts: tuple[int, ...] = ()  # several counts of the same head: somebody agrees on one
    open: str = ""  # what was asked for here: 'exact', 'more', 'change'
    low: LastReading | None = None  # its tank's basking side is low: no feed
    check_first: str = ""
    longest: bool = False  # out longest of all: the dark button

    @property
    def anchor(self) -> str:
        return f"tub-{self.number}"


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
    more_tabs: int
    shelf: tuple[Take, ...]
    limit: str  # the smallest limit on this tray
    low: tuple[LastReading, ...]
    fine: tuple[LastReading, ...]
    unread: tuple[str, ...]  # tanks whose basking side was never read
    homes: str  # '1 to 4 live in H3, 5 to 8 live in H4'
    not_counted: str
    waiting: int  # animals still to lift
    may_lift: int  # of them, those whose tank is warm enough
    out_numbers: str
    not_clean: str
    minutes_left: int
    bars: tuple[bool, ...]  # one a minute of the time to eat: True when it has passed
    first: Tab | None  # another tray that must go first
    food_time: str  # one sentence outside their feeding time, while nobody is lifted
    sums_below: tuple[SumView, ...]  # unmarked animals that no free place holds

    @property
    def name(self) -> str:
        return self.tray.tray_name or f"Round {self.tray.view.number}"

    @property
    def late(self) -> bool:
        out = self.tray.minutes_out
        return out is not None and out > self.tray.most_out_min


def tray_page(*, tray: TrayView, step: str = "", opened: str = "") -> TrayPage:
    """Return the page of ``tray`` at ``step`` ('' for the one that is now); ``opened`` is like 'more-4'."""
    shown = step in STEPS and tray_strip.reachable(tray=tray, step=step)
    step = step if shown else tray_strip.step_now(tray)
    places, columns = _places(tray=tray, step=step, opened=opened)
    present = [tub for tub in tray.tubs if tub.state is not TubState.NOT_HERE]
    read = {reading.tank for reading in tray.basking}
    tanks = {tub.tank: tub.tank_name for tub in present}
    tabs = tray_strip.tabs(tray)
    return TrayPage(
        tray=tray,
        step=step,
        places=places,
        columns=columns,
        turned=len(places) <= TWO_ROWS,
        stops=tray_strip.stops(tray=tray, here=step),
        tabs=tabs,
        more_tabs=len(tray.tabs) - len(tabs),
        shelf=tuple(tray_words.take(line=line, day=tray.day) for line in tray.shelf),
        limit=tray_words.limit_words(tray),
        low=tuple(reading for reading in tray.basking if reading.out == "low"),
        fine=tuple(reading for reading in tray.basking if reading.out != "low"),
        unread=tuple(name for key, name in tanks.items() if key not in read),
        homes=tray_words.homes(present),
        not_counted=list_words([str(number) for number in tray.not_counted]),
        waiting=sum(1 for tub in present if tub.state is TubState.PLANNED),
        may_lift=tray_strip.may_lift(tray),
        out_numbers=_numbers(tub for tub in tray.tubs if tub.minutes_out is not None),
        not_clean=_numbers(tub for tub in tray.tubs if tub.not_clean),
        minutes_left=tray_strip.minutes_left(now=tray.day.now, back_from=tray.back_from),
        bars=tray_strip.bars(tray),
        first=tray_strip.first(tray=tray),
        food_time=tray_words.food_time_words(tray) if step in BEFORE_FOOD else "",
        sums_below=() if any(place.sums for place in places) or step != "feed" else tray.sums,
    )


def _numbers(tubs: Iterable[TubView]) -> str:
    return list_words([str(tub.number) for tub in tubs])


# ---------------------------------------------------------------- places


def _columns(count: int) -> int:
    """Tubs a row as they stand: two rows up to eight places, else four a row."""
    return max(1, ceil(count / 2)) if count <= TWO_ROWS else 4


def _places(*, tray: TrayView, step: str, opened: str) -> tuple[tuple[Place, ...], int]:
    """Every tub in its order, as they stand at every step; and the tubs a row.

    The sum of unmarked animals takes the first free place; where there is none it stands below the tray.
    """
    what, _, number = opened.partition("-")
    sums = tray.sums if step == "feed" else ()
    columns = _columns(len(tray.tubs))
    count = columns * ceil(len(tray.tubs) / columns)
    low = {reading.tank: reading for reading in tray.basking if reading.out == "low"}
    longest = tray.back_order[0] if tray.back_order else None
    made = []
    for index in range(count):
        row, column = _turned(index=index, count=count, columns=columns)
        if index >= len(tray.tubs):
            held = sums if index == len(tray.tubs) else ()
            made.append(Place(number=0, row=row, column=column, sums=held))
            continue
        tub = tray.tubs[index]
        asked = what if number == str(tub.number) else ""
        made.append(_place(tray=tray, tub=tub, spot=(row, column), opened=asked, low=low.get(tub.tank)))
        if tub == longest:
            made[-1] = replace(made[-1], longest=True)
    return tuple(made), columns


def _turned(*, index: int, count: int, columns: int) -> tuple[int, int]:
    """Row and column of a place when the tray is turned a quarter clockwise: 1 is at the top right."""
    return index % columns + 1, ceil(count / columns) - index // columns


def _place(
    *, tray: TrayView, tub: TubView, spot: tuple[int, int], opened: str, low: LastReading | None
) -> Place:
    offered = tub.offered + tub.more
    refused = tub.state is TubState.REFUSED
    care = tray_words.care_of(day=tray.day, tub=tub) if refused else None
    drawn = offered if offered <= MOST_DRAWN else 0
    return Place(
        number=tub.number,
        row=spot[0],
        column=spot[1],
        tub=tub,
        look="more" if tub.state is TubState.EATEN and tub.more else LOOKS.get(tub.state, ""),
        prey=tray_words.prey_name(prey=tub.prey, day=tray.day),
        prey_count=tub.prey.count if tub.prey else 0,
        dust=tray_words.dust_words(tub.prey),
        glyph=tray_words.BUG_GLYPHS.get(tub.prey.kind, "worm") if tub.prey else "",
        kept=range(drawn if tub.left is None else min(drawn, tub.left)),
        gone=range(0 if tub.left is None else max(0, drawn - tub.left)),
        choices=_choices(tub=tub, opened=opened),
        counts=tuple(dict.fromkeys((tub.left, *tub.others))) if tub.others and tub.left is not None else (),
        open=opened,
        low=low if tub.state is TubState.PLANNED else None,
        check_first=tray_words.first_check(care),
    )


# ---------------------------------------------------------------- what may be pressed


def _choices(*, tub: TubView, opened: str) -> tuple[Choice, ...]:
    offered = tub.offered + tub.more
    if opened == "more":
        return tuple(_more(tub=tub, value=n) for n in range(1, MOST_MORE + 1))
    if opened == "exact":
        too_many = offered - FOUR_PLUS >= MOST_CHIPS
        return () if too_many else tuple(_choice(tub=tub, value=n) for n in range(FOUR_PLUS, offered + 1))
    plus = offered > FOUR_PLUS
    exact = tuple(_choice(tub=tub, value=n) for n in range(min(offered, 3 if plus else FOUR_PLUS) + 1))
    return (*exact, _four_plus(tub)) if plus else exact


def _more(*, tub: TubView, value: int) -> Choice:
    return Choice(value=str(value), word=f"+ {value}", name=f"Tub {tub.number}, {value} more offered")


def _choice(*, tub: TubView, value: int) -> Choice:
    pressed = tub.left == value and not tub.at_least and tub.state is not TubState.REFUSED
    return Choice(value=str(value), word=str(value), name=f"Tub {tub.number}, {value} left", pressed=pressed)


def _four_plus(tub: TubView) -> Choice:
    counted = tub.left is not None and tub.state is not TubState.REFUSED
    pressed = counted and (tub.left or 0) >= FOUR_PLUS
    return Choice(value="4+", word="4+", name=f"Tub {tub.number}, 4 or more left", pressed=pressed)
