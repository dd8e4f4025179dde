"""A plan: the only output of planning. Minutes as in ``room``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import Need
from roomops.planning.room import DutyKind


class StepKind(StrEnum):
    """What is done within a round, in this order."""

    PREPARE = "prepare"
    TO_TUBS = "to tubs"
    FEED = "feed"
    RETURN = "return"
    WASH = "wash"
    WORK = "work"  # rounds without tubs have one step


class Why(StrEnum):
    """Why a duty did not fit. The numbers beside it are worded on the top floor."""

    NOBODY_ON_SHIFT = "nobody on shift"
    NO_TUB_FITS = "no tub fits"
    NO_TUBS = "no tubs"
    NO_TIME = "no time left"
    WINDOW_CLOSED = "window closed"
    GAP_TOO_SHORT = "gap too short"
    BASKING_LOW = "basking low"
    FIRST_NOT_SERVED = "first feed not served"
    NO_FOOD = "no fitting food"
    NOT_ALLOWED = "nobody may"
    HEAT_OR_POWER = "heat or power failed"  # no feed until it is back
    OUT_TOO_LONG = "too long out of heat"  # even one animal alone would be out longer than it may


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """What one head is offered in one feed. ``count`` 0: a cup, or what is weighed (``grams``)."""

    food: str  # batch key, '' when nothing fits on the shelf
    kind: str
    count: int
    size_mm: float | None
    most_mm: float | None  # the largest allowed for this animal
    estimated: bool  # the limit rests on an estimated gap
    dusted: bool
    powder: str = ""
    grams: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """A thing that falls due. ``key`` is day/kind/subject/slot and survives every re-planning."""

    key: str
    kind: DutyKind
    subject: str  # key of a resident, tank, rack, lamp, medicine or the room
    slot: int  # feed number, 0 where there is one a day
    need: Need
    opens: int  # may not begin before
    closes: int  # must have ended by (for a feed in tubs: the return)
    minutes: float  # of one person's hands when done alone
    tank: str = ""
    heads: int = 1
    length_mm: float | None = None
    quarantine: bool = False
    in_tub: bool = False
    portion: Portion | None = None
    people: int = 1  # hands that its animal takes. Only one person is planned: the second is asked for


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    kind: StepKind
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """One head of a duty in one tub. A lot of five has five seats."""

    duty: str
    head: int
    tub: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A batch of work by one person, without a break. Its number is its place in the day."""

    key: str
    number: int
    person: str
    kind: DutyKind
    slot: int
    duties: tuple[str, ...]
    start: int
    end: int
    steps: tuple[Step, ...]
    seats: tuple[Seat, ...] = ()
    tray: str = ""
    quarantine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """A duty that did not fit, and the numbers that say so."""

    duty: str
    why: Why
    numbers: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Scores:
    """The aims, in strict order; less is better everywhere."""

    must: int
    should: int
    late_min: int
    could: int
    unevenness_min: int
    imbalance_min: int
    moved: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """An answer for one room and day."""

    schema: int
    room: str
    day: str
    method: str  # 'quick' or 'improved'
    facts: str  # digest of the room facts that it answers
    duties: tuple[Duty, ...]
    rounds: tuple[Round, ...]
    unplaced: tuple[Shortfall, ...]
    scores: Scores


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """A rule that a plan breaks, found by ``verify``."""

    rule: str
    round: str
    duty: str
    numbers: tuple[tuple[str, float], ...] = ()
