"""The room as facts: the only input of planning.

Times are whole minutes elapsed since local midnight of ``Room.day`` (so a day of a clock change has 1380 or
1500 of them); the doors turn them into clock times. Lengths in mm, weights in g, temperatures in °C.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import Active, Meal, Need, Place, PreyBasis, StageCare
from roomops.planning.room_work import Arriving, Lamp, Medicine, Outage, Span

SCHEMA_VERSION = 1


class Status(StrEnum):
    """Where a resident stands. Only the first five are in the room and fed by it."""

    HERE = "here"
    QUARANTINE = "quarantine"
    ISOLATED = "isolated"
    ON_HOLD = "on hold"
    STORE = "store animal"
    AT_VET = "at vet"
    MISSING = "missing"
    SOLD = "gone home"
    DIED = "died"
    MOVED = "moved out"


FED = frozenset({Status.HERE, Status.QUARANTINE, Status.ISOLATED, Status.ON_HOLD, Status.STORE})


class DutyKind(StrEnum):
    """What can fall due. The string is part of a duty's key and so of what is kept: never rename one."""

    OPENING = "opening"
    CUPS = "cups"
    FEED = "feed"
    READING = "reading"
    CLEAN = "clean"
    INSECTS = "insects"
    CLOSING = "closing"
    WEIGH = "weigh"
    MIST = "mist"
    WATER = "water"  # part change, tests, filter: the slot says which
    THAW = "thaw"  # rodents for tomorrow
    LAMP = "lamp"  # a lamp to replace
    SUN = "sun"  # a session outdoors
    MEDICINE = "medicine"
    SEARCH = "search"  # a missing animal, until it is found
    WARM = "warm"  # tanks for a lot that comes tomorrow run warm
    HEAT_CHECK = "heat check"  # heat or power failed: every half hour


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who works here. ``key`` is a pseudonym in a room file."""

    key: str
    name: str
    may_quarantine: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """One person's presence. ``share`` is what of it may be planned (the rest is the shop's)."""

    person: str
    start: int
    end: int
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Timer:
    """Lamps on and off today. None: no lamps on a timer."""

    key: str
    on: int
    off: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    key: str
    name: str
    order: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Tank:
    """A tank as it stands in its rack. ``order`` is the walking order."""

    key: str
    name: str
    rack: str
    order: int
    timer: str
    quarantine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tub:
    """A feeding tub on a tray. ``fits_mm`` is the longest animal that it serves (total length)."""

    key: str
    tray: str
    number: int
    fits_mm: float
    quarantine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    key: str
    name: str
    order: int
    quarantine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Resident:
    """One animal, or ``heads`` animals of a lot that are not told apart and live in one tank."""

    key: str
    name: str  # 'H3 · two dots', 'Marlow', 'H5 · unmarked'
    kind: str
    stage: str
    tank: str
    status: Status
    heads: int = 1
    lot: str = ""
    length_mm: float | None = None
    length_on: dt.date | None = None
    gap_mm: float | None = None
    gap_on: dt.date | None = None
    girth_mm: float | None = None
    weight_g: float | None = None
    weight_on: dt.date | None = None
    last_fed_on: dt.date | None = None  # for kinds that are not fed daily
    first_word: bool = False  # something to look at first (refused yesterday, losing weight)


@dataclass(frozen=True, slots=True, kw_only=True)
class Food:
    """One batch on the shelf. ``size_mm`` is what the prey rule is held against (its basis is the kind's)."""

    key: str
    kind: str
    category: str
    name: str
    size_mm: float | None
    received: dt.date
    on_hand: float
    unit: str = "each"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """The last reading of one spot of a tank. ``minute`` is None for an earlier day."""

    tank: str
    spot: str  # 'basking', 'cool', 'night low'
    value_c: float
    minute: int | None
    on: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class Outdoors:
    """Today's chance of natural sun: when it is fit, where, and which residents are owed a session."""

    windows: tuple[Span, ...] = ()
    pens: tuple[str, ...] = ()
    owed: tuple[str, ...] = ()
    session_min: int = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class LastDone:
    """When work that returns by days was last done, before today. ``subject`` and ``slot`` as in its duty."""

    subject: str
    kind: DutyKind
    slot: int
    on: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A duty that an entry has settled today. ``person`` is a key."""

    duty: str
    person: str
    minute: int
    outcome: str  # 'done', 'ate', 'left', 'refused', 'not here'


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A round under way: its duties are not planned again; its person and tubs are taken until they are
    free.
    """

    person: str
    duties: tuple[str, ...]
    start: int  # when its animals began to eat: the next feed's gap counts from here
    person_free: int
    tubs: tuple[str, ...] = ()
    tubs_free: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What this room has chosen. Minutes unless the name says otherwise."""

    watch_most: int = 8  # animals one person can watch at once
    prepare_min: int = 12  # cups for one tray: counted, sized, dusted
    to_tub_min: float = 1.0  # per animal
    back_min: float = 0.5  # per animal
    wash_min: int = 12  # with contact and drying time; hands are needed for hands_wash_min of it
    hands_wash_min: int = 4
    change_min: int = 3  # wash and change after quarantine
    most_out_min: int = 25  # out of heat
    open_walk_min: float = 2.0  # per tank
    close_walk_min: float = 1.5
    reading_min: float = 1.0
    clean_min: float = 3.0
    cups_min: int = 25  # greens chopped for the room
    insects_min: int = 20
    reading_after_on_min: int = 60
    tank_feed_min: float = 2.0  # per animal fed in its tank: dish or tongs, and a look
    round_most_min: int = 60  # of one walk: a longer rack is walked in parts
    open_within_min: int = 120  # the opening walk ends this long after the first shift begins
    close_within_min: int = 120  # the closing walk begins at most this long before the last shift ends
    reread_after_min: int = 30  # a basking side that read too low is read again after this
    reading_within_min: int = 240  # the morning reading ends this long after it may begin
    weigh_min: float = 1.5  # per animal
    water_test_min: float = 5.0  # per tank, as the next three
    water_change_min: float = 15.0
    filter_min: float = 10.0
    warm_min: float = 3.0
    heat_check_min: float = 0.5
    heat_check_every_min: int = 30
    thaw_min: float = 10.0
    thaw_within_min: int = 180  # of the end of the last shift: rodents are not taken out earlier
    lamp_min: float = 6.0  # off and cooled before; its animals are carried out and back besides
    medicine_min: float = 4.0  # per animal and dose
    search_min: float = 15.0
    sun_after_feed_min: int = 60  # nobody goes out into the sun within this after a feed
    iterations: int = 4000  # of ruin and recreate
    seed: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """Everything that planning may know. Tuples are in a fixed order: same facts, same plan."""

    schema: int
    room: str
    name: str
    day: dt.date
    timezone: str
    day_length_min: int  # 1440, or 1380 / 1500 on a clock change
    settings: Settings
    people: tuple[Person, ...]
    shifts: tuple[Shift, ...]
    peaks: tuple[Span, ...]
    timers: tuple[Timer, ...]
    racks: tuple[Rack, ...]
    tanks: tuple[Tank, ...]
    trays: tuple[Tray, ...]
    tubs: tuple[Tub, ...]
    residents: tuple[Resident, ...]
    foods: tuple[Food, ...]
    care: tuple[StageCare, ...]
    readings: tuple[Reading, ...] = ()
    done: tuple[Done, ...] = ()
    lamps: tuple[Lamp, ...] = ()
    medicines: tuple[Medicine, ...] = ()
    arriving: tuple[Arriving, ...] = ()
    outage: Outage | None = None
    outdoors: Outdoors = Outdoors()
    upkeep: tuple[LastDone, ...] = ()  # work that returns by days, done before today
    begun: tuple[Begun, ...] = ()
    now_min: int = 0  # nothing is planned to begin before this minute; 0 plans the whole day
    facts_changed: str = ""  # ISO time of the last change to a fact: printed as 'as of'

    def care_of(self, resident: Resident) -> StageCare:
        """Return the stage's care. Raises LookupError naming the kind and stage when the file has none."""
        for care in self.care:
            if (care.kind, care.stage) == (resident.kind, resident.stage):
                return care
        msg = f"no care sheet for {resident.kind} at stage {resident.stage}"
        raise LookupError(msg)


__all__ = [
    "FED",
    "SCHEMA_VERSION",
    "Active",
    "Arriving",
    "DutyKind",
    "Lamp",
    "Meal",
    "Medicine",
    "Need",
    "Outage",
    "Place",
    "PreyBasis",
    "Room",
    "Span",
    "StageCare",
    "Status",
]
