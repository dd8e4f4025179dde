"""Is what somebody said well formed? Pure: the same words in order, or a refusal with its reason."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

from roomops.desk.refusals import No, Refused
from roomops.desk.said import Said
from roomops.planning.room import DutyKind
from roomops.records.models import EntryKind

DUTY_MOST = 160
DATA_MOST = 4000
HEADS_MOST = 500
TEXT_MOST = 2000
NOTE_MOST = 200
COLDEST_C, HOTTEST_C = -20.0, 90.0  # what the table of readings can hold: a thermometer of a room
OLDEST = timedelta(days=45)  # a device that was out of reach for longer is looked at by a person first
WHYS = ("sold", "moved", "isolated", "at vet", "dead", "can't find")
DROPPINGS = ("normal", "not", "none")
MEASURES = {"weight_g": 100_000.0, "length_mm": 6_000.0, "gap_mm": 100.0, "girth_mm": 1_000.0}
"""What can be measured of an animal, and the most that any animal of a store can be."""

Data = Mapping[str, Any]

NOT_JUST_DONE = frozenset({DutyKind.FEED, DutyKind.OPENING, DutyKind.CLOSING, DutyKind.READING})
FITS: Mapping[str, frozenset[str]] = {
    EntryKind.CUPS: frozenset({"round"}),
    EntryKind.WASHED: frozenset({"round"}),
    EntryKind.OUT: frozenset({DutyKind.FEED}),
    EntryKind.COUNT: frozenset({DutyKind.FEED}),
    EntryKind.REFUSED: frozenset({DutyKind.FEED}),
    EntryKind.NOT_HERE: frozenset({DutyKind.FEED}),
    EntryKind.HERE: frozenset({DutyKind.FEED}),
    EntryKind.BACK: frozenset({DutyKind.FEED}),
    EntryKind.WALK: frozenset({DutyKind.OPENING, DutyKind.CLOSING}),
    EntryKind.READING: frozenset({DutyKind.READING}),
    EntryKind.DONE: frozenset({*DutyKind, "round"}) - NOT_JUST_DONE,
}
"""Which part of the day each kind may speak of. 'wrong' and 'undone' may speak of anything."""


def checked(*, said: Said, now: datetime, today: date) -> tuple[Said, date]:
    """Return what was said with its time set, and the day it belongs to. Raises Refused.

    ``today`` is the date on the room's wall calendar: nobody has done tomorrow's work yet.

    A time after ``now`` is a clock gone wrong, and becomes ``now``: nothing may outlast every later word.
    """
    day = _day(said.duty)
    if day > today:
        raise Refused(No.OTHER_DAY, value=day.isoformat(), day=today.isoformat())
    if said.kind not in EntryKind.values:
        raise Refused(No.UNKNOWN_KIND, value=said.kind)
    part = said.duty.split("/")[1]
    if said.kind in FITS and part not in FITS[said.kind]:
        raise Refused(No.WRONG_KIND, value=said.kind, duty=said.duty)
    whole_number(name="head", value=said.head, most=HEADS_MOST)
    _storable(said)
    if said.kind in _DATA:
        _DATA[said.kind](said.data)
    if said.kind == EntryKind.DONE and part in _DONE:
        _DONE[part](said.data)
    if said.kind == EntryKind.UNDONE and said.corrects is None:
        raise Refused(No.MISSING, name="corrects")
    return replace(said, at=_moment(said.at, now)), day


def _storable(said: Said) -> None:
    """Refuse what a database cannot hold: not-a-number, a letter without a sign, anything that is no JSON."""
    try:
        text = json.dumps(dict(said.data), allow_nan=False)
    except (TypeError, ValueError):
        raise Refused(No.NOT_A_NUMBER, name="data", value=str(said.data)[:NOTE_MOST]) from None
    if len(text) > DATA_MOST:
        raise Refused(No.TOO_LONG, name="data", most=DATA_MOST)
    if "\\u0000" in text or "\0" in said.duty:
        raise Refused(No.UNKNOWN_KIND, value="\\0")


def _day(duty: str) -> date:
    parts = duty.split("/")
    if len(parts) < 3 or len(duty) > DUTY_MOST or not all(parts):
        raise Refused(No.UNKNOWN_DUTY, value=duty[:DUTY_MOST])
    try:
        return date.fromisoformat(parts[0])
    except ValueError:
        raise Refused(No.UNKNOWN_DUTY, value=duty) from None


def _moment(at: datetime | None, now: datetime) -> datetime:
    if at is None:
        return now
    if at.tzinfo is None or now - at > OLDEST:
        raise Refused(No.BAD_TIME, value=at.isoformat())
    return min(at, now)


# ---------------------------------------------------------------- numbers, words


def whole_number(*, name: str, value: object, least: int = 0, most: int) -> int:
    """Return a whole number within its range. Raises Refused with the value and what would be right."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise Refused(No.NOT_A_NUMBER, name=name, value=value)
    if not least <= value <= most:
        raise Refused(No.OUT_OF_RANGE, name=name, value=value, least=least, most=most)
    return value


def temperature(*, name: str, value: object) -> float:
    """Return a temperature in °C that the table can hold. Raises Refused."""
    if isinstance(value, bool) or not isinstance(value, int | float) or value != value:  # noqa: PLR0124
        raise Refused(No.NOT_A_NUMBER, name=name, value=value)
    if not COLDEST_C <= value <= HOTTEST_C:
        raise Refused(No.OUT_OF_RANGE, name=name, value=value, least=COLDEST_C, most=HOTTEST_C)
    return float(value)


def words(*, name: str, value: object, most: int, needed: bool = False) -> str:
    """Return a text. Raises Refused when it is no text, too long, or empty where one is needed."""
    if not isinstance(value, str) or (needed and not value.strip()):
        raise Refused(No.MISSING, name=name)
    if len(value) > most:
        raise Refused(No.TOO_LONG, name=name, most=most)
    return value


def _yes_or_no(data: Data, *names: str) -> None:
    for name in names:
        if name in data and not isinstance(data[name], bool):
            raise Refused(No.UNKNOWN_REASON, name=name, value=data[name], allowed=(True, False))


# ---------------------------------------------------------------- by kind


def _count(data: Data) -> None:
    offered = whole_number(name="offered", value=data.get("offered"), most=HEADS_MOST)
    more = whole_number(name="more", value=data.get("more", 0), most=HEADS_MOST)
    left = whole_number(name="left", value=data.get("left"), most=2 * HEADS_MOST)
    if left > offered + more:
        raise Refused(No.MORE_LEFT_THAN_OFFERED, left=left, offered=offered + more)
    words(name="food", value=data.get("food", ""), most=DUTY_MOST)


def _not_here(data: Data) -> None:
    if data.get("why") not in WHYS:
        raise Refused(No.UNKNOWN_REASON, name="why", value=data.get("why"), allowed=WHYS)
    words(name="note", value=data.get("note", ""), most=NOTE_MOST)
    words(name="to_tank", value=data.get("to_tank", ""), most=DUTY_MOST)


def _back(data: Data) -> None:
    words(name="tank", value=data.get("tank"), most=DUTY_MOST, needed=True)


def _washed(data: Data) -> None:
    tubs = data.get("not_clean", [])
    if not isinstance(tubs, list | tuple) or not all(isinstance(tub, str) for tub in tubs):
        raise Refused(No.UNKNOWN_SEAT, value=tubs)


def _walk(data: Data) -> None:
    whole_number(name="heads", value=data.get("heads"), most=HEADS_MOST)
    _yes_or_no(data, "lamps", "water", "dead_or_nipped", "lids", "tubs_empty", "lamps_off", "night_heat")
    if data.get("droppings", "normal") not in DROPPINGS:
        raise Refused(No.UNKNOWN_REASON, name="droppings", value=data["droppings"], allowed=DROPPINGS)
    if data.get("night_low_c") is not None:
        temperature(name="night low", value=data["night_low_c"])


def _reading(data: Data) -> None:
    read = [name for name in ("basking_c", "cool_c") if data.get(name) is not None]
    if not read:
        raise Refused(No.MISSING, name="reading")
    for name in read:
        temperature(name=name.removesuffix("_c"), value=data[name])


def _wrong(data: Data) -> None:
    words(name="text", value=data.get("text"), most=TEXT_MOST, needed=True)


def _medicine(data: Data) -> None:
    """Given, or not given and why."""
    if not isinstance(data.get("given"), bool):
        raise Refused(No.MISSING, name="given")
    words(name="reason", value=data.get("why", ""), most=NOTE_MOST, needed=not data["given"])


def _search(data: Data) -> None:
    """Found and where, or where somebody looked and how many were seen in each tank."""
    if not isinstance(data.get("found"), bool):
        raise Refused(No.MISSING, name="found")
    words(name="place", value=data.get("where", ""), most=NOTE_MOST, needed=data["found"])
    places = data.get("looked", [])
    if not isinstance(places, list | tuple) or not all(isinstance(place, str) for place in places):
        raise Refused(No.MISSING, name="places")
    seen = data.get("seen", {})
    for value in seen.values() if isinstance(seen, Mapping) else (seen,):
        whole_number(name="number seen", value=value, most=HEADS_MOST)


def _weigh(data: Data) -> None:
    if not any(data.get(name) is not None for name in MEASURES):
        raise Refused(No.MISSING, name="weight")
    for name, most in MEASURES.items():
        value = data.get(name)
        if value is None:
            continue
        what = name.rpartition("_")[0]
        if isinstance(value, bool) or not isinstance(value, int | float) or value != value:  # noqa: PLR0124
            raise Refused(No.NOT_A_NUMBER, name=what, value=value)
        if not 0 < value <= most:
            raise Refused(No.OUT_OF_RANGE, name=what, value=value, least="more than 0", most=most)


_DONE: Mapping[str, Callable[[Data], None]] = {
    DutyKind.MEDICINE: _medicine,
    DutyKind.SEARCH: _search,
    DutyKind.WEIGH: _weigh,
}

_DATA: Mapping[str, Callable[[Data], None]] = {
    EntryKind.COUNT: _count,
    EntryKind.REFUSED: _count,
    EntryKind.NOT_HERE: _not_here,
    EntryKind.BACK: _back,
    EntryKind.WASHED: _washed,
    EntryKind.WALK: _walk,
    EntryKind.READING: _reading,
    EntryKind.WRONG: _wrong,
}
