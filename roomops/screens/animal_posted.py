"""What the forms about animals sent: measures in grams and mm, dates. What cannot be read is one sentence."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.http import QueryDict

from roomops.husbandry.quantity_text import parse_length, parse_weight
from roomops.husbandry.units import QuantityError, System
from roomops.screens.posted import Typed

WHAT = {
    "weight_g": "weight",
    "length_mm": "length",
    "gap_mm": "gap between the eyes",
    "girth_mm": "widest part",
}


def measures(post: QueryDict, *, units: str) -> Mapping[str, float]:
    """Return what was measured, by its name; empty fields are left out. Raises Typed.

    A number without a unit is grams for a weight, and of lengths in the room's unit.
    """
    found = {}
    for name, what in WHAT.items():
        text = post.get(name, "").strip()
        if text:
            found[name] = _measure(text=text, name=name, what=what, units=units)
    return found


def _measure(*, text: str, name: str, what: str, units: str) -> float:
    parse = parse_weight if name == "weight_g" else parse_length
    try:
        value = round(float(parse(text=text, system=System(units), what=what)), 2)
    except QuantityError as wrong:
        raise Typed(str(wrong), field=name) from wrong
    if not value:
        raise Typed(f"A {what} of 0 cannot be: leave it empty, or measure again.", field=name)
    return value


def day(post: QueryDict, name: str, *, what: str) -> date:
    """Return a date. Raises Typed."""
    text = post.get(name, "").strip()
    if not text:
        raise Typed(f"Say the {what}: write it as 2026-06-15.", field=name)
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Typed(f"“{text}” is no date for the {what}: write it as 2026-06-15.", field=name) from None
