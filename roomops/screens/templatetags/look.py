"""Tags that only format: signs, tape, and numbers in the room's units and time zone. They decide nothing.

Those that need units or the zone read ``request.reader`` from the page's context (``roomops.screens.door``).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import template
from django.templatetags.static import static
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from roomops.papers import words
from roomops.screens import ways

register = template.Library()

# The pen's marks that have a drawing; another mark is its words alone.
MARKS = frozenset(
    {"one dot", "two dots", "three dots", "bar", "two bars", "ring", "two rings", "cross", "plus", "triangle",
     "square", "wave", "dot and bar"}
)  # fmt: skip


@register.simple_tag
def glyph(name: str, more: str = "") -> SafeString:
    """A sign, silent to a screen reader: the word stands beside it. ``more`` is further classes."""
    return format_html(
        '<svg class="{}" aria-hidden="true"><use href="{}#{}"/></svg>',
        f"g {more}".strip(), static("glyphs.svg"), name,
    )  # fmt: skip


@register.simple_tag
def mark(text: str) -> SafeString:
    """The drawing of a pen mark; nothing for one without a drawing."""
    return glyph("mark-" + text.replace(" ", "-")) if text in MARKS else mark_safe("")


@register.simple_tag
def tape(name: str, text: str = "") -> SafeString:
    """A name on a strip of tape, its mark drawn after it: ``{% tape 'H3 · two dots' 'two dots' %}``."""
    return format_html(
        '<span class="tape alive">{}{}{}</span>', name, " " if text in MARKS else "", mark(text)
    )


@register.filter
def alive(names: Sequence[str]) -> SafeString:
    """Names of animals and tanks in a row, each in the letter of the living: 'H4, Marlow and Pilot'."""
    each = [format_html('<span class="alive">{}</span>', name) for name in names]
    return mark_safe(words.list_words(each))  # noqa: S308 -- each part is escaped above


@register.inclusion_tag("parts/ways_out.html", takes_context=True)
def ways_out(context: Any) -> dict[str, Any]:
    """The ways out on the floor. ``to_sort`` in the page's context is how much waits for a person."""
    match = context["request"].resolver_match
    here = match.url_name if match else ""
    return {"ways": ways.ways_out(here=here, to_sort=context.get("to_sort", 0))}


# ---------------------------------------------------------------- numbers, in the reader's units


def _reader(context: Any) -> words.Reader:
    reader: words.Reader = context["request"].reader
    return reader


@register.simple_tag(takes_context=True)
def temp(context: Any, celsius: float | None) -> str:
    """'104 °F', 'not measured'."""
    return words.temperature_words(celsius=celsius, units=_reader(context).units)


@register.simple_tag(takes_context=True)
def degrees(context: Any, celsius: float) -> str:
    """'104', where the unit stands in the heading."""
    return words.degrees(celsius=celsius, units=_reader(context).units)


@register.simple_tag(takes_context=True)
def degree_unit(context: Any) -> str:
    """'°F'."""
    return words.degree_unit(_reader(context).units)


@register.simple_tag(takes_context=True)
def body(context: Any, mm: float | None) -> str:
    """Length of an animal or a tub: '9½ in'."""
    return words.body_words(mm=mm, units=_reader(context).units)


@register.simple_tag(takes_context=True)
def exact(context: Any, mm: float | None) -> str:
    """A measured length: '0.28 in (7.1 mm)'."""
    return words.exact_words(mm=mm, units=_reader(context).units)


@register.filter
def weight(grams: float | None) -> str:
    """'16.4 g', 'not measured'."""
    return words.weight_words(grams)


@register.filter
def minutes(number: float) -> str:
    """'1 h 10 min'."""
    return words.minutes_words(number)


# ---------------------------------------------------------------- times, in the room's zone


def _local(context: Any, at: datetime) -> datetime:
    return at.astimezone(ZoneInfo(_reader(context).timezone))


@register.simple_tag(takes_context=True)
def clock(context: Any, at: datetime | None) -> str:
    """'1:10 pm'; '–' for none."""
    return words.time_words(_local(context, at)) if at else words.DASH


@register.simple_tag(takes_context=True)
def clock_bare(context: Any, at: datetime | None) -> str:
    """'1:10', where the half of the day is plain."""
    return words.time_words(_local(context, at), suffix=False) if at else words.DASH


@register.simple_tag(takes_context=True)
def stamp(context: Any, at: datetime) -> str:
    """'Tue June 9, 1:10 pm'."""
    local = _local(context, at)
    return f"{words.day_words(local.date())}, {words.time_words(local)}"


@register.filter
def day(on: date) -> str:
    """'Tue June 9'."""
    return words.day_words(on)


@register.simple_tag(takes_context=True)
def read_when(context: Any, at: datetime | None) -> str:
    """Age of a reading: 'read 12:42 pm', '– May 9', 'not measured'."""
    if at is None:
        return words.NOT_MEASURED
    local = _local(context, at)
    if local.date() == _reader(context).day:
        return f"read {words.time_words(local)}"
    return f"{words.DASH} {words.date_words(local.date())}"
