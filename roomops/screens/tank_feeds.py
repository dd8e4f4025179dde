"""The page of a feed that is given in the tanks: who is offered what, and what is said of each."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from roomops.desk.day_types import Day, LastReading
from roomops.desk.tray_types import TrayView, TubState, TubView
from roomops.husbandry.care import StageCare
from roomops.papers.amounts import list_words
from roomops.screens.tray_words import (
    BUG_GLYPHS,
    care_of,
    dust_words,
    first_check,
    food_time_words,
    prey_name,
)
from roomops.screens.trays import FOUR_PLUS, LOOKS, Choice


@dataclass(frozen=True, slots=True, kw_only=True)
class TankRow:
    """One animal and its feed. ``choices`` are of 'left'; a dish of greens is seen again at the next walk."""

    tub: TubView
    kind_name: str
    look: str
    prey: str
    prey_count: int
    dust: str
    glyph: str
    choices: tuple[Choice, ...]
    open: str
    low: LastReading | None
    check_first: str
    last_fed_on: date | None
    no_handling_h: int
    done_word: str

    @property
    def anchor(self) -> str:
        return f"tub-{self.tub.number}"

    @property
    def settled(self) -> bool:
        return self.tub.left is not None or self.tub.state is TubState.NOT_HERE


@dataclass(frozen=True, slots=True, kw_only=True)
class TankPage:
    tray: TrayView
    rows: tuple[TankRow, ...]
    rodents: bool
    insects: bool
    greens: bool
    no_handling: str  # '48 h'
    to_do: str  # names not settled
    left: int
    food_time: str  # one sentence outside their feeding time, while somebody is to be fed


def tank_page(*, tray: TrayView, opened: str = "") -> TankPage:
    """Return the rows in the order of the round; ``opened`` is 'change-2'."""
    what, _, number = opened.partition("-")
    low = {reading.tank: reading for reading in tray.basking if reading.out == "low"}
    rows = tuple(
        _row(tub=tub, day=tray.day, opened=what if number == str(tub.number) else "", low=low.get(tub.tank))
        for tub in tray.tubs
    )
    waiting = [row.tub.label for row in rows if not row.settled]
    kinds = {row.tub.prey.category for row in rows if row.tub.prey}
    hours = max((row.no_handling_h for row in rows), default=0)
    return TankPage(
        tray=tray,
        rows=rows,
        rodents="rodent" in kinds,
        insects="insect" in kinds,
        greens="greens" in kinds,
        no_handling=f"{hours} h" if hours else "",
        to_do=list_words(waiting),
        left=len(waiting),
        food_time=food_time_words(tray) if waiting else "",
    )


def _row(*, tub: TubView, day: Day, opened: str, low: LastReading | None) -> TankRow:
    resident = next((each for each in day.facts.residents if each.key == tub.resident), None)
    care = care_of(day=day, tub=tub)
    first = first_check(care) if tub.state is TubState.REFUSED else ""
    return TankRow(
        tub=tub,
        kind_name=care.kind_name if care else "",
        look=LOOKS.get(tub.state, ""),
        prey=prey_name(prey=tub.prey, day=day),
        prey_count=tub.prey.count if tub.prey else 0,
        dust=dust_words(tub.prey),
        glyph=BUG_GLYPHS.get(tub.prey.kind, "worm") if tub.prey else "",
        choices=choices_of(tub=tub),
        open=opened,
        low=low if tub.left is None else None,
        check_first=first,
        last_fed_on=resident.last_fed_on if resident else None,
        no_handling_h=_no_handling(care, tub),
        done_word=done_words(tub),
    )


def _no_handling(care: StageCare | None, tub: TubView) -> int:
    """Hours without handling after the feed: a rule of rodents, not of a dish of greens."""
    if care is None or tub.prey is None or tub.prey.category == "greens":
        return 0
    return care.feeding.no_handling_after_h


def choices_of(*, tub: TubView) -> tuple[Choice, ...]:
    """What may be left. A dish of greens is given and eaten later; all else is counted while one looks."""
    offered = tub.offered + tub.more
    if is_dish(tub):
        return (_left(tub=tub, value=offered, words="Dish is in"), _left(tub=tub, value=0, words="Eaten up"))
    last = min(offered, FOUR_PLUS)
    exact = [_left(tub=tub, value=n, words=f"{n} left" if n else "All eaten") for n in range(last + 1)]
    if offered > FOUR_PLUS:
        exact[-1] = _left(tub=tub, value=FOUR_PLUS, words="4+ left", plus=True)
    return tuple(exact)


def is_dish(tub: TubView) -> bool:
    return tub.prey is not None and tub.prey.count == 0


def done_words(tub: TubView) -> str:
    """What was said of it: 'All eaten', '2 left', 'Dish is in'."""
    if tub.left is None:
        return ""
    if is_dish(tub):
        return "Dish is in" if tub.left else "Eaten up"
    return f"{tub.left}{'+' if tub.at_least else ''} left" if tub.left else "All eaten"


def _left(*, tub: TubView, value: int, words: str, plus: bool = False) -> Choice:
    counted = tub.left is not None and tub.state is not TubState.REFUSED
    pressed = counted and (tub.left == value or (plus and (tub.left or 0) > value))
    name = f"{tub.label}, {words[:1].lower()}{words[1:]}"
    return Choice(value=f"{value}+" if plus else str(value), word=words, name=name, pressed=pressed)
