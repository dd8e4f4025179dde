"""The state of a day: a pure fold over what people said. The last word wins, whatever order it arrived in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import StrEnum
from typing import Any
from uuid import UUID

from roomops.planning.room import DutyKind
from roomops.records.models import EntryKind

FEED = f"/{DutyKind.FEED.value}/"
ROUND = "/round/"
NATURAL: Mapping[str, int] = {
    kind: place
    for place, kind in enumerate(
        ("cups", "out", "count", "refused", "not here", "here", "back", "washed", "done")
    )
}
"""Which of two words of the same moment came first: a device may know the minute only."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryFacts:
    """One entry as plain values. ``by`` is a person's key, ``by_name`` what people call them."""

    id: UUID
    duty: str
    kind: str
    head: int
    data: Mapping[str, Any]
    at: datetime
    written_at: datetime
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
    """One head of a feed duty. ``left`` is None until it is counted; ``offered`` is without ``more``."""

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
    others: tuple[int, ...] = ()  # what other counts of the same head say is left, and nobody settled
    standing: tuple[UUID, ...] = ()  # every count that stands: what agreeing or taking back replaces
    back: Word | None = None
    tank: str = ""  # where it was put back
    not_here: Word | None = None
    why: str = ""
    note: str = ""

    @property
    def in_tub(self) -> bool:
        return self.out is not None and self.back is None and self.not_here is None

    @property
    def settled(self) -> bool:
        """Nothing is left to say of this head but 'back'."""
        return self.left is not None or self.not_here is not None

    @property
    def begun(self) -> bool:
        return self.phase is not Phase.PLANNED


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
        """Return one head; what was said of the whole duty (head 0) holds for each without its own word."""
        return self.heads.get((duty, head)) or self.heads.get((duty, 0)) or NOTHING_YET

    def round(self, key: str) -> RoundState:
        return self.rounds.get(key, NO_STEP)


NOTHING_YET = HeadState()
NO_STEP = RoundState()


def fold(*, entries: Iterable[EntryFacts]) -> State:
    """Return the state that ``entries`` amount to, in any order, repeats included."""
    known = {entry.id: entry for entry in entries}
    replaced = {entry.corrects for entry in known.values() if entry.corrects}
    standing = sorted(
        (entry for entry in known.values() if entry.id not in replaced),
        key=lambda e: (e.at, e.written_at, NATURAL.get(e.kind, 0), e.id),
    )
    heads: dict[tuple[str, int], list[EntryFacts]] = defaultdict(list)
    rounds: dict[str, list[EntryFacts]] = defaultdict(list)
    duties: dict[str, DutyState] = {}
    for entry in standing:
        if not entry.matched or entry.kind in {EntryKind.UNDONE, EntryKind.WRONG}:
            continue
        if ROUND in entry.duty:
            rounds[entry.duty.split(ROUND, 1)[1]].append(entry)
        elif FEED in entry.duty:
            heads[entry.duty, entry.head].append(entry)
        else:
            duties[entry.duty] = _duty(entry)
    return State(
        heads={key: _head(said) for key, said in heads.items()},
        rounds={key: _round(said) for key, said in rounds.items()},
        duties=duties,
        unmatched=sum(1 for e in standing if not e.matched and e.kind != EntryKind.UNDONE),
    )


def _word(entry: EntryFacts) -> Word:
    return Word(at=entry.at, by=entry.by, by_name=entry.by_name, entry=entry.id)


def _duty(entry: EntryFacts) -> DutyState:
    return DutyState(
        word=_word(entry), kind=entry.kind, data=entry.data, corrected=entry.corrects is not None
    )


def _round(said: list[EntryFacts]) -> RoundState:
    state = NO_STEP
    for entry in said:
        if entry.kind == EntryKind.CUPS:
            state = replace(state, cups=_word(entry))
        elif entry.kind == EntryKind.WASHED:
            not_clean = tuple(str(tub) for tub in entry.data.get("not_clean", ()))
            state = replace(state, washed=_word(entry), not_clean=not_clean)
        elif entry.kind == EntryKind.DONE:
            state = replace(state, finished=_word(entry))
    return state


def _head(said: list[EntryFacts]) -> HeadState:
    """Fold one head: 'back' after 'out' ends it, and 'here' after 'not here'.

    A count by hand outranks one that came with the whole tray, whichever was first.
    """
    state = _counted(said)
    for entry in said:
        match entry.kind:
            case EntryKind.OUT:
                tub, round_key = str(entry.data.get("tub", "")), str(entry.data.get("round", ""))
                state = replace(state, out=_word(entry), back=None, tub=tub, round=round_key)
            case EntryKind.BACK:
                state = replace(state, back=_word(entry), tank=str(entry.data.get("tank", "")))
            case EntryKind.NOT_HERE:
                why, note = str(entry.data.get("why", "")), str(entry.data.get("note", ""))
                state = replace(state, not_here=_word(entry), why=why, note=note)
            case EntryKind.HERE:
                state = replace(state, not_here=None, why="", note="")
            case _:
                pass
    return replace(state, phase=_phase(state))


def _phase(state: HeadState) -> Phase:
    if state.not_here:
        return Phase.NOT_HERE
    if state.back:
        return Phase.BACK
    if state.left is not None:
        return Phase.COUNTED
    return Phase.OUT if state.out else Phase.PLANNED


def _counted(said: list[EntryFacts]) -> HeadState:
    counts = [entry for entry in said if entry.kind in {EntryKind.COUNT, EntryKind.REFUSED}]
    by_hand = [entry for entry in counts if not entry.data.get("filled")]
    if not counts:
        return NOTHING_YET
    last = (by_hand or counts)[-1]
    data = last.data
    left = int(data.get("left", 0))
    lefts = tuple(int(entry.data.get("left", 0)) for entry in by_hand if entry is not last)
    return HeadState(
        count=_word(last),
        round=str(data.get("round", "")),
        offered=int(data.get("offered", 0)),
        more=int(data.get("more", 0)),
        left=left,
        at_least=bool(data.get("at_least")),
        refused=last.kind == EntryKind.REFUSED,
        filled=bool(data.get("filled")),
        food=str(data.get("food", "")),
        corrected=last.corrects is not None,
        others=tuple(other for other in lefts if other != left),
        standing=tuple(entry.id for entry in counts),
    )
