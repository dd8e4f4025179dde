"""Stops of the ribbon in at most three lanes: none overlaps, and what finds no lane is counted in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

MOST_LANES = 3
LEAST = 3.7  # percent: a two-figure number on the narrowest glass that shows a ribbon (752 px)
NUDGE = 2.5  # percent that a stop may stand right of its time rather than be left out
LETTER = 1.25  # percent more for each letter above two
SIGNED = 4.2  # percent from which a sign fits beside the number
WIDE = 7.0  # percent from which a word fits
ORDER = {
    "rest": 0,
    "late": 1,
    "under": 2,
    "next": 3,
    "later": 4,
    "done": 5,
}  # who keeps its place when it is tight


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A round on the ribbon, or several in a row. ``left`` and ``width`` in percent, ``top`` in rem."""

    number: int
    state: str
    sign: str
    word: str
    spoken: str
    left: float
    width: float
    rest: bool = False
    cross: bool = False
    top: float = 0.0
    last: int = 0  # number of the last one; 0: there is one

    @property
    def many(self) -> int:
        """How many rounds it stands for."""
        return max(self.last - self.number, 0) + 1

    @property
    def label(self) -> str:
        return f"{self.number}–{self.last}" if self.many > 1 else str(self.number)

    @property
    def least(self) -> float:
        """The width that its label needs."""
        return round(LEAST + LETTER * max(0, len(self.label) - 2), 2)

    @property
    def wide(self) -> bool:
        return self.width >= WIDE + self.least - LEAST

    @property
    def signed(self) -> bool:
        return bool(self.sign) and self.width >= SIGNED + self.least - LEAST

    @property
    def right(self) -> float:
        """Where the next one may begin."""
        return self.left + max(self.width, self.least)


def pack(
    stops: Sequence[Stop], *, first_top: float, lane_tall: float
) -> tuple[tuple[Stop, ...], tuple[tuple[float, str], ...], int]:
    """Return the stops with their tops, (left, 'and 4 more') where some found no lane, and how many lanes."""
    lanes, hidden = _placed(sorted(stops, key=lambda s: (s.left, s.number)))
    if hidden:
        lanes, hidden = _placed(sorted(stops, key=lambda s: (ORDER.get(s.state, 9), s.left, s.number)))
    shown = [
        replace(stop, top=round(first_top + lane_tall * row, 2))
        for row, lane in enumerate(lanes)
        for stop in lane
    ]
    shown.sort(key=lambda s: (s.left, s.number))
    return tuple(shown), _more(hidden), len(lanes)


def _placed(stops: Sequence[Stop]) -> tuple[list[list[Stop]], list[Stop]]:
    lanes: list[list[Stop]] = []
    hidden: list[Stop] = []
    for stop in map(_within, stops):
        free = next((lane for lane in lanes if not any(_meet(stop, other) for other in lane)), None)
        if free is not None:
            free.append(stop)
        elif len(lanes) < MOST_LANES:
            lanes.append([stop])
        elif not _nudged(stop, lanes):
            hidden.append(stop)
    return lanes, hidden


def _within(stop: Stop) -> Stop:
    """The last stops of a day end where the ribbon ends."""
    return replace(stop, left=round(min(stop.left, max(0.0, 100 - stop.least)), 2))


def _nudged(stop: Stop, lanes: Sequence[list[Stop]]) -> bool:
    """Put it a little right of its time, where that is enough."""
    for lane in lanes:
        ends = [other.right for other in lane if stop.left < other.right <= stop.left + NUDGE]
        for left in sorted(ends):
            moved = replace(stop, left=left)
            if moved.right <= 100 and not any(_meet(moved, other) for other in lane):
                lane.append(moved)
                return True
    return False


def _meet(one: Stop, other: Stop) -> bool:
    return one.left < other.right and other.left < one.right


def _more(hidden: Sequence[Stop]) -> tuple[tuple[float, str], ...]:
    """How many found no lane, where they would stand; those closer than the words are counted together."""
    found: list[tuple[float, int]] = []
    for stop in sorted(hidden, key=lambda s: s.left):
        if found and stop.left - found[-1][0] < 2 * WIDE:
            found[-1] = (found[-1][0], found[-1][1] + stop.many)
        else:
            found.append((stop.left, stop.many))
    return tuple((left, f"and {many} more") for left, many in found)
