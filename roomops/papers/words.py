"""Sentences for the typed reasons of the lower floors, in the reader's units. Used by papers and by screens.

A reason carries numbers under names that end in their unit (``_min`` a stretch of minutes, ``_at`` a minute
of the day, ``_mm``, ``_c``, ``_g``, ``_h``, ``_days``); what has no sentence of its own is worded from them.
"""

from __future__ import annotations

from roomops.husbandry.care import Need, Standing
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
    run_words,
    span_words,
    stamp_words,
    temperature_words,
    time_words,
    weight_words,
)
from roomops.papers.reader import Reader, number_words, numbers_words
from roomops.papers.reasons import reason_words, why_words
from roomops.papers.refusals import OUTCOME, outcome_words, refusal_words
from roomops.planning.plan import Breach, Duty, Portion, Shortfall, StepKind
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
    DutyKind.WEIGH: "Weigh",
    DutyKind.MIST: "Mist",
    DutyKind.WATER: "Water",
    DutyKind.THAW: "Thaw rodents",
    DutyKind.LAMP: "Replace a lamp",
    DutyKind.SUN: "Sun",
    DutyKind.MEDICINE: "Medicine",
    DutyKind.SEARCH: "Search",
    DutyKind.WARM: "Warm up",
    DutyKind.HEAT_CHECK: "Heat check",
}
WATER = {1: "Water: tests", 2: "Water: part change", 3: "Water: filter"}

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


def why_sentence(*, name: str, duty: Duty, shortfall: Shortfall, reader: Reader) -> str:
    """'H3 · two dots, feed 2: no tub is long enough (…).' ``name`` is who or what the duty is about."""
    what = duty_words(duty)
    return f"{name}, {what[0].lower()}{what[1:]}: {why_words(shortfall=shortfall, reader=reader)}."


# ---------------------------------------------------------------- duties and what is offered


def duty_words(duty: Duty) -> str:
    """'Feed 2', 'Opening walk', 'Weigh, by two people'."""
    words = kind_words(kind=duty.kind, slot=duty.slot)
    return f"{words}, by {small_number(duty.people)} people" if duty.people > 1 else words


def small_number(number: int) -> str:
    """'two' up to 'nine'."""
    names = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    return names[number] if 0 <= number < len(names) else str(number)


def kind_words(*, kind: DutyKind, slot: int = 0) -> str:
    """'Feed 2', 'Opening walk', 'Water: part change'."""
    if kind is DutyKind.WATER and slot in WATER:
        return WATER[slot]
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


def breach_words(*, breach: Breach, reader: Reader) -> str:
    """A breach in words: the rule that is broken, where, and its numbers."""
    where = ", ".join(filter(None, (breach.round and f"round {breach.round}", breach.duty)))
    numbers = numbers_words(numbers=breach.numbers, reader=reader)
    return breach.rule + (f" at {where}" if where else "") + (f" ({numbers})" if numbers else "")


__all__ = [
    "DASH", "DUTY", "NEED", "NOT_MEASURED", "OUTCOME", "ROUND_STATUS", "STANDING", "STATUS", "STEP",
    "Reader", "band_words", "body_words", "breach_words", "clock_words", "count_words",
    "date_words", "day_words", "days_words", "degree_unit", "degrees", "duty_words", "exact_words",
    "food_words", "kind_words", "limit_words", "list_words", "long_day_words", "minutes_words",
    "moment", "number_words", "numbers_words", "outcome_words", "plain", "plural", "portion_words",
    "prey_words", "reason_words", "refusal_words", "run_words", "span_words", "stamp_words",
    "temperature_words", "time_words", "weight_words", "why_sentence", "why_words",
]  # fmt: skip
