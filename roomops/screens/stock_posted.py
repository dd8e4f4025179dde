"""What the shelf's forms sent, in millimeters, grams and dates. What cannot be read is one sentence."""

from __future__ import annotations

from datetime import date

from django.http import QueryDict

from roomops.desk.stock import AMOUNT_MOST, WATTS, Coming, Keep
from roomops.desk.stock_kinds import BULB, INSECT, KINDS, Kind
from roomops.husbandry.quantity_text import parse_length, parse_weight
from roomops.husbandry.units import QuantityError, System
from roomops.papers.amounts import plain, prey_words
from roomops.screens import posted
from roomops.screens.posted import Typed
from roomops.screens.stock_words import many


def amount(post: QueryDict, name: str, *, what: str, unit: str, least: int = 1) -> float:
    """Return how much: grams where ``unit`` is 'g' ('1 lb 2 oz'), else a whole number. Raises Typed."""
    text = post.get(name, "").strip()
    if unit != "g":
        return float(posted.whole(post, name, what=what, least=least, most=AMOUNT_MOST))
    if not text:
        raise Typed(f"Say the {what}: a weight like 500 g or 1 lb 2 oz.", field=name)
    try:
        # Scales show grams in both systems: a bare number is grams.
        return round(parse_weight(text=text, system=System.METRIC, what=what), 1)
    except QuantityError as wrong:
        raise Typed(str(wrong), field=name) from wrong


def day(post: QueryDict, name: str, *, what: str, today: date | None = None) -> date:
    """Return a date; ``today`` where the field is empty. Raises Typed."""
    text = post.get(name, "").strip()
    if not text and today is not None:
        return today
    try:
        return date.fromisoformat(text)
    except ValueError:
        shown = f"“{text}” is no date for" if text else "Say"
        raise Typed(f"{shown} the {what}: write it as 2026-06-09.", field=name) from None


def maybe_day(post: QueryDict, name: str, *, what: str) -> date | None:
    """Return a date, or None for an empty field. Raises Typed."""
    return day(post, name, what=what) if post.get(name, "").strip() else None


def length(post: QueryDict, name: str, *, what: str, units: str) -> float | None:
    """Return mm, or None for an empty field; a number without a unit is in the room's. Raises Typed."""
    text = post.get(name, "").strip()
    if not text:
        return None
    try:
        return round(parse_length(text=text, system=System(units), what=what), 2)
    except QuantityError as wrong:
        raise Typed(str(wrong), field=name) from wrong


def coming(post: QueryDict, *, kind: Kind, units: str, today: date) -> Coming:
    """Return a delivery as it was written. Raises Typed."""
    much = amount(post, "amount", what="amount that came", unit=kind.unit)
    size = _size(post, kind, units)
    weight = None
    if kind.weighed:
        weight = amount(post, "weight", what="weight of one", unit="g")
    watts = None
    if kind.category == BULB:
        watts = posted.whole(post, "watts", what="watts", least=WATTS[0], most=WATTS[1])
    return Coming(
        kind=kind.kind,
        name=_name(post, kind, size=size, weight=weight, watts=watts, units=units),
        amount=much,
        received_on=day(post, "received", what="day it came", today=today),
        size_mm=size,
        weight_g=weight,
        watts=watts,
        source=posted.words(post, "source", what="source", most=120),
        farm_raised="farm_raised" in post,
        use_by=maybe_day(post, "use_by", what="date on it"),
        opened_on=maybe_day(post, "opened", what="day it was opened") if kind.opened else None,
    )


def _size(post: QueryDict, kind: Kind, units: str) -> float | None:
    if not kind.sized:
        return None
    what = "length" if kind.category == INSECT else "width across the widest part"
    written = length(post, "size", what=what, units=units)
    if written is not None:
        return written
    chosen = post.get("class", "")
    try:
        return float(chosen)
    except ValueError:
        raise Typed(f"Say the {what}: without it no animal is offered any.", field="size") from None


def _name(
    post: QueryDict, kind: Kind, *, size: float | None, weight: float | None, watts: int | None, units: str
) -> str:
    """'Crickets ¼ in', 'Mice, adult, 20 g', 'Halogen bulb 75 W', or what is written on it."""
    said = posted.words(post, "name", what="name", most=60)
    if kind.category == INSECT:
        return f"{many(kind.kind)} {prey_words(mm=size, units=units, both=False)}"
    if kind.category == BULB and not said:
        return f"{many(kind.kind)} {watts} W"
    if kind.weighed and weight:
        return f"{said or many(kind.kind)}, {plain(weight)} g"
    return said or many(kind.kind)


def keep(post: QueryDict, *, units: str) -> Keep:
    """Return the least to keep of a thing; an empty amount keeps none. Raises Typed."""
    kind = KINDS.get(post.get("kind", ""))
    if kind is None:
        raise Typed("Choose what is kept.", field="kind")
    much = 0.0
    if post.get("amount", "").strip():
        much = amount(post, "amount", what="least", unit=kind.unit, least=0)
    watts = None
    if kind.category == BULB:
        watts = posted.whole(post, "watts", what="watts", least=WATTS[0], most=WATTS[1])
    size = None
    if kind.sized:
        size = _of_a_thing(post) or length(post, "size", what="size", units=units)
        if size is None:
            raise Typed(f"Say the size of the {many(kind.kind).lower()}: ¼ in, or 6 mm.", field="size")
    return Keep(kind=kind.kind, amount=much, size_mm=size, watts=watts)


def _of_a_thing(post: QueryDict) -> float | None:
    """The size of a thing that stands on the page, in mm."""
    try:
        return float(post.get("size_mm", ""))
    except ValueError:
        return None
