"""Whose hand presses, for the use cases that change animals and tanks."""

from __future__ import annotations

from roomops.desk.herd import Hand
from roomops.screens.door import InRoom


def hand_of(request: InRoom, *, looked: bool = False) -> Hand:
    """The signed-in person, now, in this room."""
    return Hand(room=request.room, by=request.person, now=request.now, day=request.now.date(), looked=looked)
