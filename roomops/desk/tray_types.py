"""One tray of one feed as the feeding page shows it, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from roomops.desk.day_types import Day, LastReading, RoundView


class TubState(StrEnum):
    """What a tub shows. 'eaten' and 'left' are counts; 'back' keeps its count beside it."""

    PLANNED = "planned"
    OUT = "not counted"
    LEFT = "left"
    EATEN = "eaten"
    REFUSED = "refused"
    NOT_HERE = "not here"
    BACK = "back"


@dataclass(frozen=True, slots=True, kw_only=True)
class Prey:
    """What one head is offered, as parts of a sentence. ``food`` is '' when nothing on the shelf fits."""

    food: str
    kind: str
    category: str
    name: str
    count: int  # 0: a cup of greens
    size_mm: float | None
    dusted: bool
    powder: str
    most_mm: float | None  # the largest allowed for this animal
    estimated: bool  # the limit rests on a gap worked out from the length


@dataclass(frozen=True, slots=True, kw_only=True)
class TubView:
    """One place of the tray as it stands on the counter. ``key`` is '' for a feed in a tank."""

    key: str
    number: int
    duty: str
    head: int
    resident: str
    label: str  # 'H3 · two dots'
    mark: str
    tank: str
    tank_name: str
    unmarked: bool
    heads: int  # 1, or all heads of a feed in a tank
    prey: Prey | None
    state: TubState
    offered: int
    more: int
    left: int | None
    at_least: bool
    filled: bool
    others: tuple[int, ...]  # other counts of the same head: somebody has to agree on one
    counted_at: datetime | None
    counted_by: str
    out_at: datetime | None
    minutes_out: int | None  # while it is out
    back_at: datetime | None  # when it was put back
    back_by: str
    why: str  # of not here
    why_at: datetime | None
    why_by: str
    not_clean: bool
    entry: UUID | None  # the count that a correction replaces


class StepState(StrEnum):
    DONE = "done"
    NOW = "now"
    LATER = "later"


@dataclass(frozen=True, slots=True, kw_only=True)
class StepView:
    """One step of the route: 'prepare', 'to tubs', 'feed', 'return', 'wash'."""

    kind: str
    state: StepState
    at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TabView:
    """Another tray of this feed, for the strip above the tray."""

    round_key: str
    number: int
    tray_name: str
    view: RoundView
    step: str
    out: int
    minutes_out: int | None
    back_from: datetime | None
    washed_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SumView:
    """The unmarked animals of one tank, counted for the tank and not for one animal."""

    tank: str
    tank_name: str
    label: str
    heads: int
    offered: int
    left: int
    not_counted: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLine:
    """How much to take from the shelf for this tray."""

    food: str
    kind: str
    name: str
    count: int
    size_mm: float | None
    dusted: bool
    powder: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayView:
    """One tray of one feed. Tubs are in the order of the tubs; ``back_order`` is first out, first back."""

    day: Day
    view: RoundView
    slot: int
    tray_name: str
    columns: int
    quarantine: bool
    in_tubs: bool
    steps: tuple[StepView, ...]
    step: str  # the one that is now; '' when all are done
    tubs: tuple[TubView, ...]
    back_order: tuple[TubView, ...]
    tabs: tuple[TabView, ...]
    sums: tuple[SumView, ...]
    shelf: tuple[ShelfLine, ...]
    basking: tuple[LastReading, ...]  # of the tanks of this tray
    least_most_mm: float | None  # the smallest limit on this tray, and whose
    least_most_label: str
    least_most_estimated: bool
    out: int
    not_counted: tuple[int, ...]  # tub numbers
    minutes_out: int | None  # of the first animal out
    most_out_min: int
    back_from: datetime | None  # when they have had their time to eat
    time_up: bool
    ready: bool  # the round may be finished
    food_from: datetime | None = None  # all of them may be fed from then on, whatever feed it is
    food_to: datetime | None = None  # the first of them has to have eaten by then
