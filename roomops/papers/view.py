"""What a printed set says, as plain values: the templates only lay it out, and tests read it.

A set is sheets, a sheet is one page of blocks, a block has rows. A row that stands for a duty carries the
duty's key, so that a test can say that each is on paper once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedShift:
    """A person's shift as the rota calls it. ``start`` is a minute of the day."""

    person: str
    start: int
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone:
    """An animal that the plan still names and the room's facts do not: its name, and what became of it."""

    key: str
    name: str
    status: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LastWord:
    """Something from the shift before: about whom, and what, in a sentence."""

    about: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """What paper says and planning does not know."""

    units: str = "us"
    paper: str = "letter"
    vet: str = ""
    vet_phone: str = ""
    shifts: tuple[NamedShift, ...] = ()
    tray_columns: tuple[tuple[str, int], ...] = ()
    gone: tuple[Gone, ...] = ()
    last_words: tuple[LastWord, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """A living name, with its mark to be drawn ('dot', 'dot') and whether it needs smaller letters."""

    text: str
    marks: tuple[str, ...] = ()
    long: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box to write in. ``state``: 'open', 'done' (nothing is left to write) or 'off' (not in this set)."""

    duty: str = ""
    head: int = 0
    label: str = ""
    below: str = ""
    state: str = "open"
    lead: bool = True  # the first box of its duty: a duty with five boxes is still one duty
    rule: bool = False  # a heavier line before it, as its column has


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundLine:
    number: int
    what: str
    about: str
    need: str
    when: str
    person: str
    done: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FillLine:
    """When one feed fills the tray, by whom, step by step."""

    slot: int
    round: int
    person: str
    need: str
    cups: str
    to_tubs: str
    back: str
    ends: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One tub as it stands on the counter. ``name`` is None for a tub that stays empty."""

    tub: int
    name: Name | None = None
    who: str = ""
    portions: tuple[tuple[str, str], ...] = ()  # (feeds, what is offered)
    limit: str = ""
    boxes: tuple[Box, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayFill:
    title: str
    columns: int
    offers: tuple[str, ...]  # what every tub gets alike, by feed; and the smallest limit
    cells: tuple[Cell, ...]
    lines: tuple[FillLine, ...]

    @property
    def grid(self) -> tuple[tuple[Cell | None, ...], ...]:
        """Rows of cells as they stand; None where the last row has no tub."""
        rows = [self.cells[i : i + self.columns] for i in range(0, len(self.cells), self.columns)]
        return tuple((*row, *(None,) * (self.columns - len(row))) for row in rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    title: str
    aside: str = ""
    rule: bool = False  # a heavier line before it: another job begins


@dataclass(frozen=True, slots=True, kw_only=True)
class TankRow:
    name: Name
    who: str
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRow:
    name: Name
    where: str
    when: str
    food: str
    limit: str
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class CupLine:
    """What is counted into cups before a round, or a job of the kitchen with its own box."""

    what: str
    where: str
    when: str
    amounts: tuple[str, ...]
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyLine:
    """Duties in a list that are told alike: they did not fit, or they are settled."""

    names: tuple[Name, ...]
    what: str
    need: str
    why: str
    duties: tuple[str, ...]

    @property
    def letters(self) -> int:
        """How long the line is."""
        return sum(len(name.text) + 2 for name in self.names) + len(self.what) + len(self.why)


@dataclass(frozen=True, slots=True, kw_only=True)
class Saying:
    """A line of words: a bold lead, and the sentence."""

    lead: str = ""
    text: str = ""
    alive: bool = False  # the lead is a living name


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A part of a page. ``kind`` names its template; ``head_in`` and ``row_in`` are its height in inches."""

    kind: str
    title: str = ""
    aside: str = ""
    rows: tuple[Any, ...] = ()
    columns: tuple[Column, ...] = ()
    head_in: float = 0.38
    row_in: tuple[float, ...] = ()  # one height for each row
    whole: bool = False  # rows stay together on a page

    @property
    def template(self) -> str:
        return f"papers/blocks/{self.kind}.html"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One page, or before it is broken into pages, all that belongs together."""

    kind: str
    title: str
    when: str = ""
    lead: str = ""
    blocks: tuple[Block, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SetView:
    """A shift's set. ``code`` is the set's; each page adds its number."""

    room: str
    day: str
    shift: str
    code: str
    version: int
    as_of: str
    care: str
    vet: str
    paper: str
    sheets: tuple[Sheet, ...] = field(default=())

    def coded(self, code: str) -> SetView:
        """The same set under another code."""
        return replace(self, code=code)


def boxes(sheet: Sheet) -> Iterator[Box]:
    """Every box of a sheet, in order of the page."""
    for block in sheet.blocks:
        for row in block.rows:
            yield from _boxes_of(row)


def _boxes_of(row: object) -> Iterator[Box]:
    if isinstance(row, TrayFill):
        for cell in row.cells:
            yield from cell.boxes
    elif isinstance(row, TankRow):
        yield from row.boxes
    elif isinstance(row, FeedRow | CupLine):
        yield row.box


def printed(view: SetView) -> tuple[tuple[str, int], ...]:
    """(duty, head) of everything on paper, once for each time that it is there. Head 0 is the whole duty."""
    found: list[tuple[str, int]] = []
    for sheet in view.sheets:
        found.extend(
            (box.duty, box.head) for box in boxes(sheet) if box.duty and box.lead and box.state == "open"
        )
        lines = (row for block in sheet.blocks for row in block.rows if isinstance(row, DutyLine))
        found.extend((duty, 0) for line in lines for duty in line.duties)
    return tuple(found)
