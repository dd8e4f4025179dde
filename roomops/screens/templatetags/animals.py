"""Filters for the pages of animals and tanks. They only look up and format."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import template

from roomops.desk.refusals import Refused
from roomops.papers import words
from roomops.planning.room import DutyKind, Status

register = template.Library()


@register.filter
def at(table: Mapping[str, Any], key: str) -> Any:
    """What a table holds under a key; '' for nothing."""
    return table.get(key, "")


@register.simple_tag(takes_context=True)
def refusal(context: Any, no: Refused) -> str:
    """The sentence of a reason that the desk gave, in the reader's units, in a list of other choices."""
    said = words.refusal_words(why=no.why, about=no.about, reader=context["request"].reader)
    return said.replace(" Pick another tank.", "").replace(": pick another tank.", ".")


@register.simple_tag(takes_context=True)
def since(context: Any, at: datetime) -> str:
    """'Tue June 9, 1:10 pm' of this year, 'September 13, 2023' of another."""
    reader = context["request"].reader
    local = at.astimezone(ZoneInfo(reader.timezone))
    if local.year != reader.day.year:
        return f"{words.date_words(local.date())}, {local.year}"
    return f"{words.day_words(local.date())}, {words.time_words(local)}"


@register.filter
def duty_word(kind: str) -> str:
    """'Spot clean'."""
    return words.DUTY[DutyKind(kind)]


@register.filter
def status_word(status: str) -> str:
    """'in quarantine'."""
    return words.STATUS[Status(status)]
