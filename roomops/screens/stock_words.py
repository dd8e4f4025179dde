"""The shelf in words: what a thing is called, how much of it there is, and why it is ordered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from roomops.desk.stock_kinds import BULB, INSECT
from roomops.papers.amounts import (
    FOODS,
    WEEKDAYS,
    date_words,
    list_words,
    plain,
    prey_words,
    shelf_weight_words,
)
from roomops.planning.orders import Reason, Thing, Why

UNITS: Mapping[str, tuple[str, str]] = {"jug": ("jug", "jugs"), "box": ("box", "boxes")}
EATERS_MOST = 4
LEDGER: Mapping[str, str] = {
    "received": "came",
    "counted": "counted",
    "fed": "fed",
    "used": "used",
    "thrown": "thrown out",
    "corrected": "corrected",
}


def many(kind: str) -> str:
    """'Crickets', 'Mice', 'Collard greens': a kind as a heading."""
    word = FOODS[kind][1] if kind in FOODS and kind not in {"greens", "hay"} else kind
    return word[:1].upper() + word[1:]


def thing_words(*, thing: Thing, units: str, name: str = "") -> str:
    """'Crickets ¼ in', 'Halogen bulb 75 W'; what has a name of its own keeps it."""
    if thing.category == INSECT:
        return f"{many(thing.kind)} {prey_words(mm=thing.size_mm, units=units, both=False)}"
    if thing.category == BULB and thing.watts:
        return f"{thing.kind[:1].upper()}{thing.kind[1:]} {thing.watts} W"
    return name or many(thing.kind)


def amount_words(*, amount: float, unit: str, units: str) -> str:
    """'450', '2 boxes', '1.2 lb': so much of something, in the room's units."""
    if unit == "g":
        return shelf_weight_words(grams=amount, units=units)
    if unit in UNITS:
        return f"{plain(amount)} {UNITS[unit][amount != 1]}"
    return plain(amount)


def days_words(days: float) -> str:
    """'4.5 days', '1 day', '11 days': days of cover."""
    shown = plain(days) if days < 10 else plain(days, 0)
    return f"{shown} day" if shown == "1" else f"{shown} days"


def out_words(*, cover: float, day: date) -> str:
    """'out Friday', 'out today': when nothing is left."""
    on = day + timedelta(days=int(cover))
    if on == day:
        return "out today"
    return f"out {WEEKDAYS[on.weekday()]}" if (on - day).days < 7 else f"out {date_words(on)}"


def reason_words(
    *, reason: Reason, unit: str, units: str, day: date, labels: Mapping[str, str] | None = None
) -> str:
    """One sentence: '16 eat about 240 a day; 770 left, out Friday.'"""
    numbers = dict(reason.numbers)

    def much(name: str) -> str:
        return amount_words(amount=numbers.get(name, 0.0), unit=unit, units=units)

    if reason.why is Why.NONE_LEFT:
        return "None left."
    if reason.why is Why.UNDER_LEAST:
        return f"{much('on_hand')} left, {much('least')} is the least."
    if reason.why is Why.PAST:
        return f"{much('past')} is past its date or open too long: not counted."
    if reason.why is Why.NOTHING_FITS:
        most = prey_words(mm=numbers.get("most_mm"), units=units, both=False)
        return f"Nothing on the shelf fits {who_words(reason.eaters, labels)}: up to {most} long or wide."
    return _runs_out(reason, a_day=_a_day(numbers["a_day"], unit, units), day=day, labels=labels)


def _runs_out(reason: Reason, *, a_day: str, day: date, labels: Mapping[str, str] | None) -> str:
    cover = dict(reason.numbers)["cover_days"]
    who = f"{who_words(reason.eaters, labels)} eat" if reason.eaters else "Goes at"
    if len(reason.eaters) == 1:
        who = f"{who_words(reason.eaters, labels)} eats"
    return f"{who} about {a_day}: {out_words(cover=cover, day=day)}."


def _a_day(a_day: float, unit: str, units: str) -> str:
    if a_day < 1 and unit == "each":
        return f"1 every {plain(1 / a_day, 0)} days"
    return f"{amount_words(amount=a_day if a_day < 10 else round(a_day), unit=unit, units=units)} a day"


def who_words(eaters: Sequence[str], labels: Mapping[str, str] | None) -> str:
    """'Pilot', 'H1, H2 and Marlow', '16 animals': by name up to four."""
    if labels is None or len(eaters) > EATERS_MOST:
        return f"{len(eaters)} animals" if len(eaters) != 1 else "1 animal"
    return list_words([labels.get(f"resident:{key}", key) for key in eaters])
