"""What a page of today may know: one day of one room as frozen values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from uuid import UUID
from zoneinfo import ZoneInfo

from roomops.desk.refusals import No, Refused
from roomops.desk.state import State
from roomops.planning.plan import Duty, Plan, Round, Seat, Why
from roomops.planning.room import Room as Facts
from roomops.records.models import Room


class Status(StrEnum):
    """Where a round stands. Later has no sign on a page; late is late even when it is under way."""

    LATE = "late"
    UNDER_WAY = "under way"
    NEXT = "next"
    LATER = "later"
    DONE = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundView:
    """A round as it stands now. Counts are heads for feeds and duties for all else."""

    round: Round
    key: str
    number: int
    status: Status
    begun: bool
    person: str
    person_name: str
    starts: datetime
    ends: datetime
    minutes_late: int  # 0 unless late
    due: int  # heads or duties that still matter or were done
    left: int  # of them, still to do
    out: int  # animals in tubs now
    not_counted: int
    seats: tuple[Seat, ...]  # those that still matter: sold and at-vet animals are dropped
    dropped: tuple[Seat, ...]
    duties: tuple[str, ...]  # keys that still matter
    left_labels: tuple[str, ...]  # tanks or animals still to do, by name, in order
    tray_name: str  # '' where no tray is used
    tanks: tuple[str, ...]  # tank names that it touches, in order
    done_at: datetime | None
    done_by: str  # names of those who said it, joined by ', '
    refused: int
    in_tubs: bool
    ends_about: datetime | None  # under way or late: now + what is left at the plan's pace
    past_shift_min: int  # minutes that ends_about is after the person's shift; 0 when it is not
    left_heads: tuple[int, ...] = ()  # of a feed: how many heads each of left_labels stands for


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortView:
    """A duty that did not fit, with what it is about."""

    duty: Duty
    label: str
    why: Why
    numbers: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class LastReading:
    """The last reading of one spot, and the band it is held against (None: there is none)."""

    tank: str
    tank_name: str
    spot: str
    value_c: float
    at: datetime | None  # None: an earlier day, then ``on`` says which
    on: date
    age_min: int | None
    low_c: float | None
    high_c: float | None
    out: str  # '', 'low', 'high'
    act: bool  # beyond an act-now limit
    too_early: bool = False  # within the hour after lights-on it always reads low: no verdict then


class TroubleKind(StrEnum):
    NOTE = "note"  # something is wrong, not settled
    BASKING_LOW = "basking low"
    BASKING_HIGH = "basking high"
    COOL_SIDE = "cool side"  # out of its band, or beyond a limit to act at
    NIGHT = "night"  # last night's low was out of its band
    REFUSED_TWICE = "refused twice"
    SHORT_HEAD = "short head"  # fewer seen than by the book
    NOT_BACK = "out too long"  # an animal is out of heat longer than the room allows
    MISSING = "missing"  # nobody can find it


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """Something that is wrong now. ``note`` is its row, for 'settle'; 0 when it is worked out."""

    kind: TroubleKind
    about: str  # label of the animal or tank
    tank: str  # tank key, '' for the room
    at: datetime | None
    by: str
    text: str  # a person's own words, '' when it is worked out
    numbers: Mapping[str, float]
    note: int = 0
    resident: str = ""  # key of the animal where it is about one


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What changed since somebody was last here: a status, a wrong note, a refusal, a reading out of band."""

    kind: str  # EntryKind value
    about: str
    at: datetime
    by: str
    data: Mapping[str, object]
    entry: UUID | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """One photoperiod: a lamp timer, the kinds under it, and when they are fed."""

    timer: str
    kinds: tuple[str, ...]  # names, in order of the care sheets
    on: datetime
    off: datetime
    food_from: datetime | None
    food_to: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Presence:
    """A shift of somebody who is here today."""

    person: str
    name: str
    starts: datetime
    ends: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Animal:
    """A resident as people know it, whether it is still here or left in the last days."""

    key: str
    label: str  # 'H3 · two dots'
    mark: str
    unmarked: bool
    tank: str
    status: str
    since: datetime
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """Everything that a page of today shows comes from here, so that all pages agree."""

    room: Room
    day: date
    now: datetime
    zone: ZoneInfo
    midnight: datetime
    facts: Facts
    plan: Plan
    plan_id: int
    version: int
    refusal: str  # why the verifier refused the plan that was made; '' when it did not
    state: State
    rounds: tuple[RoundView, ...]
    duties: Mapping[str, Duty]
    labels: Mapping[str, str]  # names by 'resident:key', 'tank:key' …; a tub's is its number
    undone: tuple[str, ...]  # duty keys still to do
    unplaced: tuple[ShortView, ...]
    wrong: tuple[Trouble, ...]
    changed: tuple[Change, ...]
    readings: tuple[LastReading, ...]
    periods: tuple[Period, ...]
    presences: tuple[Presence, ...]
    clashes: int
    unmatched: int
    improving: bool  # a better plan is being worked out
    animals: Mapping[str, Animal] = field(default_factory=dict)  # by resident key
    columns: Mapping[str, int] = field(default_factory=dict)  # tubs a row, by tray key
    stale: tuple[str, ...] = ()  # duty keys that the plan cannot serve as things stand now
    last_here: Mapping[str, datetime] = field(default_factory=dict)  # person: last word before today

    def clock(self, minute: float) -> datetime:
        """Return the wall-clock moment of a minute of the day, right on clock-change days too."""
        return (self.midnight.astimezone(UTC) + timedelta(minutes=minute)).astimezone(self.zone)

    def label(self, kind: str, key: str) -> str:
        """Return what people call a 'resident', 'tank', 'rack', 'tray', 'tub', 'person'; else the key."""
        return self.labels.get(f"{kind}:{key}", key)

    def view(self, round_key: str) -> RoundView:
        """Return a round. Raises Refused(UNKNOWN_ROUND)."""
        for each in self.rounds:
            if each.key == round_key:
                return each
        raise Refused(No.UNKNOWN_ROUND, value=round_key)

    def changed_since(self, moment: datetime | None) -> tuple[Change, ...]:
        """Return what changed after a moment, newest first; everything that is known for None."""
        return tuple(each for each in self.changed if moment is None or each.at > moment)
