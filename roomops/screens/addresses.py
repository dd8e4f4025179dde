"""Where the work of a round is done: one page for each kind of duty."""

from __future__ import annotations

from django.urls import NoReverseMatch, reverse

from roomops.desk.day_types import RoundView
from roomops.planning.room import DutyKind

PAGES: dict[DutyKind, str] = {
    DutyKind.FEED: "feeding_round",
    DutyKind.OPENING: "walk",
    DutyKind.CLOSING: "walk",
    DutyKind.READING: "readings",
    DutyKind.CLEAN: "clean",
    DutyKind.CUPS: "chores",
    DutyKind.INSECTS: "chores",
    DutyKind.MIST: "chores",
    DutyKind.WATER: "chores",
    DutyKind.WARM: "chores",
    DutyKind.WEIGH: "weigh_tank",
    DutyKind.MEDICINE: "medicine_round",
    DutyKind.SEARCH: "searches",
    DutyKind.SUN: "sun_round",
    DutyKind.HEAT_CHECK: "power_round",
}

WHOLE: dict[DutyKind, str] = {
    DutyKind.LAMP: "lamps",
    DutyKind.THAW: "insects",
}  # one page, whatever the round


def round_address(view: RoundView) -> str:
    """The page of a round; its own row on Today where there is none."""
    kind = view.round.kind
    try:
        return reverse(WHOLE[kind]) if kind in WHOLE else reverse(PAGES.get(kind, ""), args=[view.key])
    except NoReverseMatch:
        return f"{reverse('today')}#round-{view.number}"
