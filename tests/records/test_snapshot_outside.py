"""Lots expected, what failed, and today's chance of sun, as planning is told them."""

from __future__ import annotations

from datetime import timedelta

import pytest

from roomops.planning.room import Outage, Room
from roomops.records import models as m
from roomops.records import snapshot
from tests import makers as mk

pytestmark = pytest.mark.django_db
NOON = mk.at("12:00")


def facts(room: m.Room, now=NOON) -> Room:
    return snapshot.take(room=room, day=mk.DAY, now=now)


def weather(room: m.Room, clock: str = "09:00", temp_c: float = 27.0, sky: str = "clear", wind: str = "calm"):
    when = mk.at(clock)
    return m.Weather.objects.create(room=room, written_at=when, at=when, temp_c=temp_c, sky=sky, wind=wind)


def a_pen(room: m.Room, key: str = "pen-1", **changes) -> m.Pen:
    return m.Pen.objects.create(room=room, written_at=mk.WRITTEN, key=key, name=key, **changes)


def a_session(resident: m.Resident, days_ago: int) -> None:
    starts = NOON - timedelta(days=days_ago, hours=1)
    m.SunSession.objects.create(
        room=resident.room, written_at=starts, resident=resident, starts=starts,
        ends=starts + timedelta(minutes=20),
    )  # fmt: skip


@pytest.fixture
def morning():
    return mk.an_ordinary_morning()


def test_an_expected_lot_is_told_with_the_tanks_that_stand_and_a_cancelled_one_is_not(morning):
    room = morning.room
    q2 = mk.a_tank(room, "Q2", quarantine=True)
    gone = mk.a_tank(room, "Q9", quarantine=True, removed_on=mk.DAY)
    common = {"room": room, "written_at": mk.NOW, "kind": mk.DRAGON, "heads": 8}
    lot = m.Arrival.objects.create(key="lot-a", expected_on=mk.DAY + timedelta(days=1), **common)
    lot.tanks.add(q2, gone)
    m.Arrival.objects.create(key="lot-b", expected_on=mk.DAY, state="cancelled", **common)
    m.Arrival.objects.create(key="lot-c", expected_on=mk.DAY - timedelta(days=1), **common)
    [told] = facts(room).arriving
    assert (told.key, told.heads, told.on, told.tanks) == ("lot-a", 8, mk.DAY + timedelta(days=1), ("q2",))


def test_an_open_outage_is_told_in_minutes_of_its_day_and_from_midnight_on_the_next(morning):
    began = mk.at("10:30")
    row = m.Outage.objects.create(room=morning.room, written_at=began, kind="power", began=began)
    assert facts(morning.room).outage == Outage(kind="power", began=630)
    tomorrow = mk.DAY + timedelta(days=1)
    later = snapshot.take(room=morning.room, day=tomorrow, now=mk.at("07:00", tomorrow))
    assert later.outage == Outage(kind="power", began=0)
    row.ended = mk.at("11:00")
    row.save()
    assert facts(morning.room).outage is None


def test_a_day_that_is_planned_ahead_is_not_planned_as_an_outage(morning):
    m.Outage.objects.create(room=morning.room, written_at=NOON, kind="power", began=mk.at("10:30"))
    assert snapshot.take(room=morning.room, day=mk.DAY + timedelta(days=1), now=NOON).outage is None


def test_on_a_fine_june_day_store_animals_of_kinds_with_sun_are_owed_from_when_the_sun_is_high(morning):
    a_pen(morning.room)
    weather(morning.room)
    told = facts(morning.room).outdoors
    assert told.owed == ("marlow", "clover")
    assert told.session_min == 30  # the shorter of the two sheets' sessions
    # A clear sky over Madison at noon in June gives a UV index above the sheets' most of 7.4 (Madronich 2007:
    # 12.5 · sin(70°)^2.42 = 10.7), so noon is left out: a morning, from when it was said, and an afternoon.
    morning_sun, afternoon_sun = told.windows
    assert morning_sun.start == 540
    assert morning_sun.end < 13 * 60 < afternoon_sun.start  # solar noon is near 1 pm, daylight saving time
    assert told.pens == ("pen-1",)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"temp_c": 12.0}, "too cold"),
        ({"sky": "rain"}, "rain"),
        ({"wind": "strong"}, "too windy"),
    ],
)
def test_in_other_weather_there_is_no_window_and_nobody_is_owed(morning, said, why):
    a_pen(morning.room)
    weather(morning.room, **said)
    told = facts(morning.room).outdoors
    assert (told.windows, told.owed) == ((), ()), why


def test_the_newest_weather_of_the_day_counts_and_yesterdays_does_not(morning):
    a_pen(morning.room)
    weather(morning.room, "08:00")
    weather(morning.room, "11:00", sky="rain")
    assert facts(morning.room).outdoors.windows == ()
    m.Weather.objects.all().update(at=NOON - timedelta(days=1))
    assert facts(morning.room).outdoors.windows == ()


def test_two_sun_days_this_week_are_enough_and_last_weeks_do_not_count(morning):
    a_pen(morning.room)
    weather(morning.room)
    marlow = morning.residents["marlow"]
    a_session(marlow, 2)  # Sunday: last week
    a_session(marlow, 1)  # Monday
    assert "marlow" in facts(morning.room).outdoors.owed
    a_session(marlow, 0)  # today: its duty stays, and is done
    assert "marlow" in facts(morning.room).outdoors.owed


def test_a_pen_out_of_use_is_no_pen(morning):
    a_pen(morning.room, out_of_use=True)
    weather(morning.room)
    assert facts(morning.room).outdoors.windows == ()
