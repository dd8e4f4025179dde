"""From tables to facts: the query bill, minutes of the day, what counts and what does not."""

from datetime import UTC, date, time, timedelta

import makers
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from makers import DAY, at

from roomops.husbandry.care_resolve import ChoiceError
from roomops.planning.room import Room
from roomops.records import models as m
from roomops.records.snapshot import RoomSettingError, take

pytestmark = pytest.mark.django_db

YESTERDAY = DAY - timedelta(days=1)
LATE = at("23:00")


def facts(room: m.Room, day: date = DAY, now=LATE) -> Room:
    return take(room=room, day=day, now=now)


# ---------------------------------------------------------------- the query bill


def test_facts_cost_the_same_twenty_three_queries_for_14_and_for_500_residents():
    """People, shifts, peaks, timers, their seasons, racks, tanks, lamps, trays, tubs, residents, measures,
    foods, readings, care choices, medicine, entries; arrivals, outage, pens, weather, sessions,
    water work."""
    room = makers.an_ordinary_morning().room
    with CaptureQueriesContext(connection) as few:
        assert len(facts(room).residents) == 14
    fill(room, 486)
    with CaptureQueriesContext(connection) as many:
        assert len(facts(room).residents) == 500
    assert len(few) == len(many) == 23


def fill(room: m.Room, animals: int) -> None:
    """More animals, each in a tank of its own, with a weight, a reading and a count of yesterday."""
    rack, row = makers.a_rack(room, "Z"), {"room": room, "written_at": makers.WRITTEN}
    tanks = m.Tank.objects.bulk_create(
        m.Tank(
            key=f"z{n}", name=f"Z{n}", rack=rack, order=n, length_mm=762, depth_mm=305, height_mm=305, **row
        )
        for n in range(animals)
    )
    residents = m.Resident.objects.bulk_create(
        m.Resident(key=f"z{n}-two-dots", mark="two dots", identity="marked", kind=makers.DRAGON, tank=tank,
                   hatched_on=date(2026, 4, 14), status="here", status_since=makers.WRITTEN, **row)
        for n, tank in enumerate(tanks)
    )  # fmt: skip
    when = at("08:00", YESTERDAY)
    m.Measurement.objects.bulk_create(
        m.Measurement(resident=each, measure="weight_g", value=15, at=when, **row) for each in residents
    )
    m.Reading.objects.bulk_create(
        m.Reading(tank=t, spot="basking", value_c=40, at=when, **row) for t in tanks
    )
    m.Entry.objects.bulk_create(
        m.Entry(
            id=next(makers.ids),
            day=YESTERDAY,
            duty=f"{YESTERDAY}/feed/{each.key}/1",
            kind="count",
            at=when,
            **row,
        )
        for each in residents
    )


# ---------------------------------------------------------------- minutes of the day


@pytest.mark.parametrize(
    ("day", "length", "on", "off"),
    [
        (date(2026, 3, 7), 1440, 450, 1200),
        (date(2026, 3, 8), 1380, 390, 1140),  # at 2:00 clocks leap to 3:00
        (date(2026, 3, 9), 1440, 450, 1200),
        (date(2026, 10, 31), 1440, 450, 1200),
        (date(2026, 11, 1), 1500, 510, 1260),  # at 2:00 clocks fall back to 1:00
        (date(2026, 11, 2), 1440, 450, 1200),
    ],
)
def test_a_timer_is_counted_in_minutes_that_really_pass(day, length, on, off):
    """Dates of both changes: the tz database's rule for the United States since 2007."""
    room = makers.a_room()
    makers.a_timer(room, on="07:30", off="20:00")
    found = facts(room, day=day)
    assert found.day_length_min == length
    assert [(timer.on, timer.off) for timer in found.timers] == [(on, off)]


def test_a_time_that_the_clock_leaps_over_is_read_as_before_the_leap():
    room = makers.a_room()
    makers.a_timer(room, on="02:30", off="12:00")
    assert facts(room, day=date(2026, 3, 8)).timers[0].on == 150


def test_a_time_that_comes_twice_is_its_first():
    room = makers.a_room()
    makers.a_timer(room, on="01:30", off="12:00")
    assert facts(room, day=date(2026, 11, 1)).timers[0].on == 90


def test_a_shift_over_midnight_is_clipped_to_each_of_its_days():
    tamsin = makers.a_person(makers.a_room(), "Tamsin")
    makers.a_shift(tamsin, DAY, "22:00", "06:00")
    spans = {day: [(s.start, s.end) for s in facts(tamsin.room, day=day).shifts] for day in days(-1, 0, 1, 2)}
    assert list(spans.values()) == [[], [(1320, 1440)], [(0, 360)], []]


@pytest.mark.parametrize(("change", "worked"), [(date(2026, 3, 8), 300), (date(2026, 11, 1), 420)])
def test_a_shift_over_the_clock_change_is_an_hour_shorter_or_longer(change, worked):
    tamsin = makers.a_person(makers.a_room(), "Tamsin")
    makers.a_shift(tamsin, change - timedelta(days=1), "22:00", "06:00")
    (shift,) = facts(tamsin.room, day=change).shifts
    assert (shift.start, shift.end) == (0, worked)


def test_a_shift_that_begins_within_a_minute_begins_at_the_next_and_ends_at_the_last_whole_one():
    tamsin = makers.a_person(makers.a_room(), "Tamsin")
    starts, ends = at("07:30") + timedelta(seconds=1), at("08:00") - timedelta(seconds=1)
    makers.a_shift(tamsin, DAY, "07:30", "08:00", name="short")
    m.Shift.objects.update(starts=starts, ends=ends)
    assert [(s.start, s.end) for s in facts(tamsin.room).shifts] == [(451, 479)]


def days(*offsets: int) -> list[date]:
    return [DAY + timedelta(days=offset) for offset in offsets]


# ---------------------------------------------------------------- people


def test_the_shop_keeps_its_share_of_every_shift():
    tamsin = makers.a_person(makers.a_room(shop_share=0.2), "Tamsin")
    makers.a_shift(tamsin, DAY, "07:30", "13:30")
    assert [s.share for s in facts(tamsin.room).shifts] == [0.8]


@pytest.mark.parametrize(("left", "there"), [(YESTERDAY, 0), (DAY, 0), (DAY + timedelta(days=1), 1)])
def test_who_has_left_is_nobody_to_plan_with(left, there):
    tamsin = makers.a_person(makers.a_room(), "Tamsin", left_on=left)
    makers.a_shift(tamsin, DAY, "07:30", "13:30")
    found = facts(tamsin.room)
    assert (len(found.people), len(found.shifts)) == (there, there)


def test_a_peak_counts_on_its_weekday_only():
    room = makers.a_room()
    makers.a_peak(room, DAY.weekday(), "10:00", "10:30", why="doors open")
    tuesday, wednesday = (facts(room, day=day).peaks for day in days(0, 1))
    assert [(peak.start, peak.end, peak.why) for peak in tuesday] == [(600, 630, "doors open")]
    assert wednesday == ()


# ---------------------------------------------------------------- settings and choices


def test_a_room_overrides_settings_by_name():
    assert facts(makers.a_room(settings={"watch_most": 6})).settings.watch_most == 6


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("watch_mots", 6, "Juniper Street sets “watch_mots”, which nothing reads"),
        ("watch_most", "six", "Juniper Street sets “watch_most” to “six”: write a whole number"),
        ("watch_most", 6.5, "to “6.5”: write a whole number"),
        ("to_tub_min", -1, "to “-1”: write a number"),
        ("to_tub_min", True, "to “True”: write a number"),
    ],
)
def test_a_setting_that_planning_cannot_read_is_refused_in_a_sentence(name, value, said):
    with pytest.raises(RoomSettingError, match=said):
        facts(makers.a_room(settings={name: value}))


def test_a_choice_of_the_room_changes_the_care_of_its_kind():
    morning = makers.an_ordinary_morning()
    before = resident_care(morning.room)
    choose(morning.room, "print")
    after = resident_care(morning.room)
    assert (before.low, after.low, after.high) == (pytest.approx(100 / 1.8 - 32 / 1.8), 38, 42)


def test_a_choice_that_the_sheet_does_not_know_is_refused_in_a_sentence():
    morning = makers.an_ordinary_morning()
    choose(morning.room, "hearsay")
    with pytest.raises(ChoiceError, match="hearsay"):
        facts(morning.room)


def choose(room: m.Room, claim: str) -> None:
    m.CareChoice.objects.create(
        room=room, written_at=makers.WRITTEN, kind=makers.DRAGON, topic="basking", claim=claim
    )


def resident_care(room: m.Room, key: str = "marlow"):
    found = facts(room)
    return found.care_of(next(r for r in found.residents if r.key == key)).basking_c


# ---------------------------------------------------------------- places


@pytest.mark.parametrize(("removed", "stands"), [(YESTERDAY, 0), (DAY, 0), (DAY + timedelta(days=1), 1)])
def test_a_tank_that_was_taken_away_stands_no_more(removed, stands):
    tank = makers.a_tank(makers.a_room(), "H1", removed_on=removed)
    assert len(facts(tank.room).tanks) == stands


def test_a_tank_that_somebody_lives_in_stands_whatever_is_written_of_it():
    tank = makers.a_tank(makers.a_room(), "H1", removed_on=YESTERDAY)
    makers.a_hatchling(tank, "bar")
    assert [each.key for each in facts(tank.room).tanks] == ["h1"]


def test_tanks_come_in_walking_order_rack_by_rack():
    room = makers.a_room()
    second, first = makers.a_rack(room, "A", order=2), makers.a_rack(room, "B", order=1)
    for name, rack, order in (("H1", second, 1), ("H2", first, 2), ("H3", first, 1)):
        makers.a_tank(room, name, rack=rack, order=order)
    assert [each.key for each in facts(room).tanks] == ["h3", "h2", "h1"]


def test_a_tub_out_of_use_is_no_tub_and_quarantine_is_its_tray_s():
    room = makers.a_room()
    makers.a_tray(room, "A", tubs=2)
    makers.a_tray(room, "Q", tubs=1, quarantine=True)
    m.Tub.objects.filter(key="a-1").update(out_of_use=True)
    assert [(tub.key, tub.tray, tub.quarantine) for tub in facts(room).tubs] == [
        ("a-2", "a", False),
        ("q-1", "q", True),
    ]


# ---------------------------------------------------------------- scope


def test_a_room_sees_nothing_of_another_room():
    morning, other = makers.an_ordinary_morning(), makers.a_room("maple-street", name="Maple Street")
    tank = makers.a_tank(other, "H1")
    makers.a_hatchling(tank, "ring", weight_g=9.0)
    makers.a_reading(tank, "basking", 12.0)
    makers.a_shift(makers.a_person(other, "Ines"), DAY, "07:30", "13:30")
    makers.a_tray(other, "A")
    makers.a_batch(other, "c-1", "cricket", 5)
    makers.a_peak(other, DAY.weekday(), "12:00", "12:30")
    makers.an_entry(other, f"{DAY}/clean/h1/0")
    choose(other, "print")
    theirs, ours = facts(other), facts(morning.room)
    assert [each.name for each in theirs.residents] == ["H1 · ring"]
    assert len(theirs.done) == len(theirs.foods) == len(theirs.shifts) == len(theirs.racks) == 1
    assert resident_care(morning.room).high > resident_care(other, "h1-ring").high
    assert (len(ours.residents), len(ours.people), len(ours.peaks), len(ours.done)) == (14, 3, 1, 0)
    assert all(reading.value_c > 20 for reading in ours.readings)


def test_as_of_is_the_moment_when_facts_changed_on_the_room_s_clock():
    room = makers.a_room(facts_changed=at("06:58").astimezone(UTC))
    assert facts(room).facts_changed == "2026-06-09T06:58:00-05:00"


# ---------------------------------------------------------------- seasons of a timer, lamps


def a_season(timer: m.Timer, month: int, day: int, on: str, off: str) -> m.TimerSeason:
    return m.TimerSeason.objects.create(
        room=timer.room, written_at=makers.WRITTEN, timer=timer, from_month=month, from_day=day,
        on=time.fromisoformat(on), off=time.fromisoformat(off),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("day", "hours"),
    [
        (date(2026, 10, 31), (450, 1200)),  # the day before the winter hours: still summer's
        (date(2026, 11, 1), (540, 1140)),  # their first day: clocks go back
        (date(2026, 11, 2), (540, 1140)),
        (date(2027, 3, 14), (540, 1140)),
        (date(2027, 3, 15), (450, 1200)),
        (date(2027, 1, 1), (540, 1140)),  # last year's season holds until the next begins
    ],
)
def test_a_timer_keeps_the_hours_of_the_season_that_the_day_lies_in(day, hours):
    room = makers.a_room()
    timer = makers.a_timer(room)
    a_season(timer, 3, 15, "07:30", "20:00")
    a_season(timer, 11, 1, "09:00", "19:00")
    (found,) = facts(room, day, at("12:00", day)).timers
    shift = {date(2026, 11, 1): 60, date(2027, 3, 14): -60}.get(day, 0)  # minutes passed, not the clock's
    assert (found.on - shift, found.off - shift) == hours


def test_a_timer_without_seasons_keeps_its_own_hours_all_year():
    room = makers.a_room()
    makers.a_timer(room)
    for day in (date(2026, 1, 1), date(2026, 7, 1)):
        (found,) = facts(room, day, at("12:00", day)).timers
        assert (found.on, found.off) == (450, 1200)


def test_lamps_come_in_walking_order_and_those_taken_off_or_on_removed_tanks_do_not():
    room = makers.a_room()
    second, first = makers.a_tank(room, "A2", order=2), makers.a_tank(room, "B9", order=1)
    gone = makers.a_tank(room, "A0", order=3, removed_on=YESTERDAY)
    for tank in (second, first, gone):
        makers.a_lamp(tank, fitted=date(2026, 1, 5))
    makers.a_lamp(first, m.LampKind.DAY, blown_at=at("08:00"))
    makers.a_lamp(first, m.LampKind.NIGHT, removed_on=YESTERDAY)
    found = facts(room).lamps
    assert [(lamp.key, lamp.blown) for lamp in found] == [
        ("b9-day", True),
        ("b9-uv", False),
        ("a2-uv", False),
    ]


def test_what_nobody_eats_and_what_has_not_come_yet_are_no_foods():
    room = makers.a_room()
    makers.a_batch(room, "c-1", "cricket", 5, size_mm=3)
    makers.a_batch(room, "b-1", "halogen bulb", 2, category="bulb", watts=75)
    makers.a_batch(room, "c-2", "cricket", 5, size_mm=3, received_on=DAY + timedelta(days=1))
    assert [food.key for food in facts(room).foods] == ["c-1"]
