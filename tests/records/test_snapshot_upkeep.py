"""When water was last looked after, out of what was said."""

from __future__ import annotations

from datetime import timedelta

import makers
import pytest
from makers import DAY

from roomops.planning.room import DutyKind, LastDone
from roomops.records import models as m
from roomops.records.snapshot import take
from roomops.records.snapshot_upkeep import LOOK_BACK_DAYS, upkeep

pytestmark = pytest.mark.django_db


def said(room: m.Room, ago: int, what: str = "water/t1/2", **changes: object) -> m.Entry:
    return makers.an_entry(room, f"{DAY - timedelta(days=ago)}/{what}", **changes)


def last(ago: int, slot: int = 2) -> LastDone:
    return LastDone(subject="t1", kind=DutyKind.WATER, slot=slot, on=DAY - timedelta(days=ago))


def test_the_last_day_before_today_counts_for_each_sort_of_work() -> None:
    room = makers.a_room()
    for ago in (9, 2, 16):
        said(room, ago)
    said(room, 5, "water/t1/3")
    assert upkeep(room=room, day=DAY) == (last(2), last(5, slot=3))
    assert take(room=room, day=DAY, now=makers.NOW).upkeep == (last(2), last(5, slot=3))


def test_work_of_today_does_not_count_as_done_before() -> None:
    room = makers.a_room()
    said(room, 0)
    assert upkeep(room=room, day=DAY) == ()


def test_what_was_taken_back_or_fits_nothing_or_is_of_another_room_does_not_count() -> None:
    room = makers.a_room()
    first = said(room, 3)
    said(room, 3, kind="undone", corrects=first)
    said(room, 2, matched=False)
    said(makers.a_room("elsewhere"), 1)
    said(room, 1, "clean/t1/0")
    assert upkeep(room=room, day=DAY) == ()


@pytest.mark.parametrize(("ago", "known"), [(89, True), (90, True), (91, False)])
def test_what_is_long_past_is_not_looked_for(ago: int, known: bool) -> None:
    room = makers.a_room()
    said(room, ago)
    assert LOOK_BACK_DAYS == 90
    assert bool(upkeep(room=room, day=DAY)) is known
