"""The state of a day: a pure fold over what people said. The last word wins, whatever order it arrived in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Any
from uuid import UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryFacts:
    """One entry as plain values. ``by`` is a person's key, ``by_name`` what people call them."""

    id: UUID
    duty: str
    kind: str
    head: int
    data: Mapping[str, Any]
    at: datetime
    by: str = ""
    by_name: str = ""
    corrects: UUID | None = None
    matched: bool = True


class Phase(StrEnum):
    """Where one head of a feed stands."""

    PLANNED = "planned"
    OUT = "out"  # in its tub, not counted
    COUNTED = "counted"  # in its tub (or fed in its tank), counted
    BACK = "back"
    NOT_HERE = "not here"


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """Who said something, when, and under which entry (the one that a correction names)."""

    at: datetime
    by: str
    by_name: str
    entry: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadState:
    """One head of a feed duty. ``left`` is None until it is counted; ``offered`` and ``more`` as counted."""

    phase: Phase = Phase.PLANNED
    tub: str = ""
    round: str = ""
    out: Word | None = None
    count: Word | None = None
    offered: int | None = None
    more: int = 0
    left: int | None = None
    at_least: bool = False  # '4+': at least so many are left
    refused: bool = False
    filled: bool = False  # by 'all eaten, whole tray', not one by one
    food: str = ""
    corrected: bool = False  # an earlier count was replaced
    others: tuple[int, ...] = ()  # what other counts of the same head said was left, uncorrected
    back: Word | None = None
    tank: str = ""  # where it was put back
    not_here: Word | None = None
    why: str = ""
    note: str = ""

    @property
    def in_tub(self) -> bool:
        return self.out is not None and self.back is None and self.phase is not Phase.NOT_HERE

    @property
    def settled(self) -> bool:
        """Nothing is left to say of this head but 'back'."""
        return self.left is not None or self.phase is Phase.NOT_HERE


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundState:
    """The steps of a whole tray."""

    cups: Word | None = None
    washed: Word | None = None
    not_clean: tuple[str, ...] = ()
    finished: Word | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyState:
    """A walk, a reading, a clean, insects, greens: who, when, and what was seen."""

    word: Word
    kind: str
    data: Mapping[str, Any]
    corrected: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """What has happened on a day. Keys of ``heads`` are (duty, head), of ``rounds`` round keys."""

    heads: Mapping[tuple[str, int], HeadState] = field(default_factory=dict)
    rounds: Mapping[str, RoundState] = field(default_factory=dict)
    duties: Mapping[str, DutyState] = field(default_factory=dict)
    unmatched: int = 0

    def head(self, *, duty: str, head: int) -> HeadState:
        return self.heads.get((duty, head), NOTHING_YET)

    def round(self, key: str) -> RoundState:
        return self.rounds.get(key, RoundState())


NOTHING_YET = HeadState()


def fold(*, entries: Iterable[EntryFacts]) -> State:
    """Return the state that ``entries`` amount to, in any order, repeats included."""
    raise NotImplementedError
