"""Rounds of one kind that follow each other closely: one stop of the ribbon, one line of Later.

A day of fifty short rounds is not read one by one. Their numbers stay: a bundle is called '15–18', and its
numbers are those of its rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from roomops.desk.day_types import RoundView, Status
from roomops.planning.room import DutyKind

NEAR = timedelta(minutes=20)  # between the starts of two that follow each other
DASH = "–"  # from the first number to the last


def bundles(views: Sequence[RoundView]) -> tuple[tuple[RoundView, ...], ...]:
    """Return the rounds in their order, those that belong together as one. Each round is in one bundle."""
    found: list[list[RoundView]] = []
    for view in views:
        if found and _together(found[-1][-1], view):
            found[-1].append(view)
        else:
            found.append([view])
    return tuple(tuple(each) for each in found)


def numbers_words(views: Sequence[RoundView]) -> str:
    """'15', '15–18': the numbers of a bundle."""
    first, last = views[0].number, views[-1].number
    return str(first) if first == last else f"{first}{DASH}{last}"


def _together(one: RoundView, other: RoundView) -> bool:
    """The next number, of one kind and feed, in one state, soon after. Who has animals out stands alone."""
    if other.number != one.number + 1 or one.out or other.out:
        return False
    if one.status != other.status or one.status is Status.UNDER_WAY:
        return False
    return _what(one) == _what(other) and abs(other.starts - one.starts) <= NEAR


def _what(view: RoundView) -> tuple[object, ...]:
    """Feeds of quarantine, and those in tanks, are not told together with the trays."""
    feed = view.round.kind is DutyKind.FEED
    return view.round.kind, view.round.slot, feed and view.round.quarantine, feed and view.in_tubs
