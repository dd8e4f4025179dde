"""A room's facts without its people's names, for files that leave the store."""

from __future__ import annotations

from dataclasses import replace

from roomops.planning.room import Room


def without_names(*, room: Room) -> Room:
    """Return equal facts in which people are 'p1', 'p2' … in the order of their keys.

    Planning treats both rooms alike: only keys and names differ, and their order is kept. Somebody who said
    something and no longer works here is numbered after those who do.
    """
    working = [person.key for person in sorted(room.people, key=lambda p: p.key)]
    named = {each.person for each in room.done} | {each.person for each in room.shifts}
    named |= {each.person for each in room.peaks} | {each.person for each in room.begun}
    others = named - {*working, ""}
    everybody = [*working, *sorted(others)]
    width = len(str(len(everybody)))
    called = {key: f"p{number:0{width}}" for number, key in enumerate(everybody, start=1)} | {"": ""}
    return replace(
        room,
        people=tuple(replace(p, key=called[p.key], name=f"Person {called[p.key][1:]}") for p in room.people),
        shifts=tuple(replace(shift, person=called[shift.person]) for shift in room.shifts),
        peaks=tuple(replace(peak, person=called[peak.person]) for peak in room.peaks),
        done=tuple(replace(done, person=called[done.person]) for done in room.done),
        begun=tuple(replace(begun, person=called[begun.person]) for begun in room.begun),
    )
