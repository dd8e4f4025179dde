"""Sentences for the typed reasons of the lower floors, in the reader's units. Used by papers and by screens.

A reason carries numbers under names that end in their unit (``_min`` a stretch of minutes, ``_at`` a minute
of the day, ``_mm``, ``_c``, ``_g``, ``_h``, ``_days``); what has no sentence of its own is worded from them.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from roomops.husbandry.care import Need, Standing
from roomops.husbandry.units import System
from roomops.papers.amounts import (
    DASH,
    NOT_MEASURED,
    band_words,
    body_words,
    clock_words,
    count_words,
    date_words,
    day_words,
    days_words,
    degree_unit,
    degrees,
    exact_words,
    food_words,
    list_words,
    long_day_words,
    minutes_words,
    moment,
    plain,
    plural,
    prey_words,
    span_words,
    stamp_words,
    temperature_words,
    time_words,
    weight_words,
)
from roomops.planning.plan import Breach, Duty, Portion, Shortfall, StepKind, Why
from roomops.planning.room import DutyKind, Status

NEED: dict[Need, str] = {Need.MUST: "must", Need.SHOULD: "should", Need.COULD: "could"}

DUTY: dict[DutyKind, str] = {
    DutyKind.OPENING: "Opening walk",
    DutyKind.CUPS: "Greens and cups",
    DutyKind.FEED: "Feed",
    DutyKind.READING: "Readings",
    DutyKind.CLEAN: "Spot clean",
    DutyKind.INSECTS: "Insects fed and watered",
    DutyKind.CLOSING: "Closing walk",
}

STEP: dict[StepKind, str] = {
    StepKind.PREPARE: "cups",
    StepKind.TO_TUBS: "to tubs",
    StepKind.FEED: "feed",
    StepKind.RETURN: "back to their tanks",
    StepKind.WASH: "wash",
    StepKind.WORK: "work",
}

STATUS: dict[Status, str] = {
    Status.HERE: "here",
    Status.QUARANTINE: "in quarantine",
    Status.ISOLATED: "isolated",
    Status.ON_HOLD: "on hold",
    Status.STORE: "store animal",
    Status.AT_VET: "at vet",
    Status.MISSING: "missing",
    Status.SOLD: "gone home",
    Status.DIED: "died",
    Status.MOVED: "moved out",
}

# RoundView.status of the desk's day.
ROUND_STATUS: dict[str, str] = {
    "late": "Late",
    "under way": "Under way",
    "next": "Next",
    "later": "Later",
    "done": "Done",
}

STANDING: dict[Standing, str] = {
    Standing.PUBLISHED: "published",
    Standing.COMMON_PRACTICE: "common practice, no source",
    Standing.HOUSE_CHOICE: "this room's choice",
    Standing.FROM_MEMORY: "from memory, not checked",
}

# Outcome of the desk's entries.
OUTCOME: dict[str, str] = {
    "stored": "Kept.",
    "already": "Kept already; nothing changed.",
    "clash": "Something else was kept under the same number before: both are kept, and a person looks.",
    "unmatched": "Kept, but it fits nothing that is due today: it waits in the list to be sorted out.",
    "refused": "Not kept.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """For whom a sentence is worded: units, and the day and zone that clock times belong to."""

    units: str = System.US
    day: dt.date
    timezone: str

    def clock(self, minute: float) -> str:
        return clock_words(minute=minute, day=self.day, timezone=self.timezone)


Numbers = Mapping[str, float]
_BY_SUFFIX: tuple[tuple[str, Callable[[float, Reader], str]], ...] = (
    ("_at", lambda n, who: who.clock(n)),
    ("_min", lambda n, _: minutes_words(n)),
    ("_mm", lambda n, who: exact_words(mm=n, units=who.units)),
    ("_c", lambda n, who: temperature_words(celsius=n, units=who.units)),
    ("_g", lambda n, _: weight_words(n)),
    ("_h", lambda n, _: f"{plain(n)} h"),
    ("_days", lambda n, _: count_words(n, "day")),
    ("_pct", lambda n, _: f"{plain(n)} %"),
)


def number_words(*, name: str, number: float, reader: Reader) -> str:
    """'free 25 min' of ('free_min', 25): the name's last part is its unit."""
    for suffix, word in _BY_SUFFIX:
        if name.endswith(suffix):
            return f"{name.removesuffix(suffix).replace('_', ' ')} {word(number, reader)}".strip()
    return f"{name.replace('_', ' ')} {plain(number)}"


def numbers_words(*, numbers: tuple[tuple[str, float], ...], reader: Reader) -> str:
    """All numbers of a reason in a row; '' without any."""
    return ", ".join(number_words(name=n, number=v, reader=reader) for n, v in numbers)


# ---------------------------------------------------------------- why a duty did not fit

_WHY: dict[Why, str] = {
    Why.NOBODY_ON_SHIFT: "nobody is on shift while it could be done",
    Why.NO_TUB_FITS: "no tub is long enough",
    Why.NO_TUBS: "there is no tub for it",
    Why.NO_TIME: "no time is left in anybody's shift",
    Why.WINDOW_CLOSED: "there is no time for it between when it may begin and when it must be over",
    Why.GAP_TOO_SHORT: "too soon after the feed before",
    Why.BASKING_LOW: "its basking side last read too low: no feed until it is warm",
    Why.FIRST_NOT_SERVED: "the feed before it does not fit either",
    Why.NO_FOOD: "nothing on the shelf fits it",
    Why.NOT_ALLOWED: "nobody on shift may do it",
    Why.OUT_TOO_LONG: "it would be out of its heat too long",
}


def why_words(*, shortfall: Shortfall, reader: Reader) -> str:
    """The reason as a clause with its numbers: 'no tub is long enough (animal 9½ in, largest tub 8 in)'."""
    numbers = numbers_words(numbers=shortfall.numbers, reader=reader)
    return _WHY[shortfall.why] + (f" ({numbers})" if numbers else "")


def why_sentence(*, name: str, duty: Duty, shortfall: Shortfall, reader: Reader) -> str:
    """'H3 · two dots, feed 2: no tub is long enough (…).' ``name`` is who or what the duty is about."""
    what = duty_words(duty)
    return f"{name}, {what[0].lower()}{what[1:]}: {why_words(shortfall=shortfall, reader=reader)}."


# ---------------------------------------------------------------- duties and what is offered


def duty_words(duty: Duty) -> str:
    """'Feed 2', 'Opening walk'."""
    return kind_words(kind=duty.kind, slot=duty.slot)


def kind_words(*, kind: DutyKind, slot: int = 0) -> str:
    """'Feed 2', 'Opening walk'."""
    return f"{DUTY[kind]} {slot}" if kind is DutyKind.FEED and slot else DUTY[kind]


def portion_words(*, portion: Portion | None, units: str, both: bool = True) -> str:
    """'8 crickets ¼ in (6 mm), dusted'; 'nothing on the shelf fits' where no batch does."""
    if portion is None:
        return DASH
    words = food_words(kind=portion.kind, count=portion.count)
    if portion.count and portion.size_mm is not None:
        words += " " + prey_words(mm=portion.size_mm, units=units, both=both)
    if portion.dusted:
        words += f", {portion.powder or 'dusted'}"
    if not portion.food:
        words += ": nothing on the shelf fits"
    return words


def limit_words(*, portion: Portion | None, units: str) -> str:
    """'no longer than 0.28 in (7.1 mm), gap estimated from length'; '' where no rule limits the prey."""
    if portion is None or portion.most_mm is None:
        return ""
    how = ", estimated from its length" if portion.estimated else ""
    return f"largest prey {exact_words(mm=portion.most_mm, units=units, limit=True)}{how}"


# ---------------------------------------------------------------- what the verifier found

_RULES: dict[str, str] = {}


def breach_words(*, breach: Breach, reader: Reader) -> str:
    """A breach in words: the rule that is broken, where, and its numbers."""
    where = ", ".join(filter(None, (breach.round and f"round {breach.round}", breach.duty)))
    numbers = numbers_words(numbers=breach.numbers, reader=reader)
    rule = _RULES.get(breach.rule, breach.rule.replace("_", " ").replace("-", " "))
    return rule + (f" at {where}" if where else "") + (f" ({numbers})" if numbers else "")


# ---------------------------------------------------------------- what the desk answers

# Why the desk refuses something said, by its typed reason.
_REFUSED: dict[str, str] = {}


def refusal_words(why: str) -> str:
    """One sentence for a reason of the desk's answer; '' for none."""
    if not why:
        return ""
    key = why.replace("_", " ").replace("-", " ")
    return _REFUSED.get(key, key[:1].upper() + key[1:] + ".")


def outcome_words(*, outcome: str, why: str = "") -> str:
    """What became of something said: 'Kept.', 'Not kept. Left is more than was offered.'"""
    return " ".join(filter(None, (OUTCOME.get(outcome, outcome), refusal_words(why))))


__all__ = [
    "DASH", "DUTY", "NEED", "NOT_MEASURED", "OUTCOME", "ROUND_STATUS", "STANDING", "STATUS", "STEP",
    "Reader", "band_words", "body_words", "breach_words", "clock_words", "count_words",
    "date_words", "day_words", "days_words", "degree_unit", "degrees", "duty_words", "exact_words",
    "food_words", "kind_words", "limit_words", "list_words", "long_day_words", "minutes_words",
    "moment", "number_words", "numbers_words", "outcome_words", "plain", "plural", "portion_words",
    "prey_words", "refusal_words", "span_words", "stamp_words", "temperature_words", "time_words",
    "weight_words", "why_sentence", "why_words",
]  # fmt: skip
