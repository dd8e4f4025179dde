"""Tags of the floor's pages: a round is called on every page what Today calls it."""

from __future__ import annotations

from typing import Any

from django import template

from roomops.desk.day_types import RoundView
from roomops.screens.rows import title_of

register = template.Library()


@register.simple_tag(takes_context=True)
def round_title(context: Any, view: RoundView) -> str:
    """'Feed 2, tray B', 'Quarantine feed 1, tray Q', 'Opening walk, rack A' of the page's day."""
    return title_of(view, context["day"])
