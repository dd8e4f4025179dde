"""A round before it has a time: what it holds, how long its steps take, what must go before it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from roomops.husbandry.care import Need
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind, Settings, Tub


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """Tubs of one tray that one person can watch at once: a tray, or a stretch of a long one."""

    index: int
    tray: str
    tubs: tuple[Tub, ...]  # in the order of the tray
    quarantine: bool
    fits: tuple[float, ...]  # longest animal of each tub, largest first

    def seats(self, lengths: tuple[float, ...]) -> bool:
        """Say whether every length (largest first) gets a tub of its own."""
        return len(lengths) <= len(self.fits) and all(
            length <= fit for length, fit in zip(lengths, self.fits, strict=False)
        )


Place = Mapping[str, tuple[int, str, int, str]]
"""Where each tank stands in the walk."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What a feed of one duty asks for."""

    watch: int
    most_out: int
    due: int
    part: str
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Clear:
    """Another round that this one keeps clear of: neither may a part of it with animals overlap, nor may it
    begin within ``after`` minutes of that one's end, nor end within ``before`` minutes of its start.
    """

    job: int
    before: int = 0
    after: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """Another round that goes first: this one starts at least ``lag`` minutes after that one's start."""

    job: int
    lag: int
    required: bool  # without that round this one may not be at all


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A round to be placed. Minutes are whole; a walk has only ``feed`` (its work) and what follows it."""

    index: int
    kind: DutyKind
    slot: int
    part: str  # 'day' or 'night' for feeds: quarantine comes last in each
    need: Need
    duties: tuple[Duty, ...]
    heads: int
    opens: int
    closes: int
    due: int  # ended by then, the later feeds of the day still fit
    quarantine: bool
    prepare: int = 0
    to_tubs: int = 0
    feed: int = 0
    back: int = 0
    after: int = 0  # hands: washing tubs, and changing after quarantine
    held: int = 0  # tubs are taken from the first animal in until they are washed
    benches: tuple[int, ...] = ()  # those that can seat it, least waste first
    earliest: int = 0  # feeds already given today, and the minute that it is
    before: tuple[Before, ...] = ()
    clear: tuple[Clear, ...] = ()
    during: tuple[int, ...] = ()  # rounds that empty its tank: best while their animals eat
    needs: tuple[
        tuple[int, ...], ...
    ] = ()  # by duty: the rounds of its earlier feeds, without which it is not

    out: int = field(init=False)  # from the first animal out to the last one back; a walk's work
    total: int = field(init=False)  # of the person
    bites: int = field(init=False)  # from the round's start to the feed itself: gaps are counted from there
    group: tuple[str, int, str] = field(init=False)  # kind, slot, part: quarantine comes last in it

    def __post_init__(self) -> None:
        # Asked for many thousand times while rounds are placed, so worked out once.
        object.__setattr__(self, "out", self.to_tubs + self.feed + self.back)
        object.__setattr__(self, "total", self.prepare + self.out + self.after)
        object.__setattr__(self, "bites", self.prepare + self.to_tubs)
        object.__setattr__(self, "group", (self.kind.value, self.slot, self.part))

    @property
    def in_tubs(self) -> bool:
        return self.held > 0


def up(minutes: float) -> int:
    """Round minutes up to whole ones, forgiving what binary fractions add."""
    return math.ceil(minutes - 1e-9)


def longest_out(*, settings: Settings, heads: int, watch: int) -> float:
    """Return the most minutes that one of ``heads`` animals is out of heat, first in, first out.

    The first leaves its tank when the round begins and is the first back; the last leaves last and waits for
    all others to be put back.
    """
    carried, put_back = up(heads * settings.to_tub_min), settings.back_min
    first = carried + watch + put_back
    last = carried - (heads - 1) * settings.to_tub_min + watch + heads * put_back
    return max(first, last)


def heads_within(*, settings: Settings, watch: int, most_out: int) -> int:
    """Return how many animals one round may take without one of them being out of heat too long; 0 for
    none.
    """
    heads = 0
    while heads < settings.watch_most:
        if longest_out(settings=settings, heads=heads + 1, watch=watch) > most_out + 1e-9:
            break
        heads += 1
    return heads
