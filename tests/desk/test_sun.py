"""Sun outdoors: weather in ten seconds, everything looked at by hand, an hour after a feed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from uuid import uuid4

import pytest

from roomops.desk import sun
from roomops.desk.day import open_day
from roomops.desk.refusals import No, Refused
from roomops.desk.sun import LOOKED, Going
from roomops.desk.sun_view import SunView, fed_wait_min, sun_view
from roomops.husbandry.outdoors import NoSun
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor() -> Floor:
    found = Floor()
    for name in ("Lawn pen", "Court pen"):
        sun.add_pen(room=found.room, name=name, now=mk.at("07:35"), by=found.m.tamsin)
    return found


def weather(floor: Floor, clock: str = "09:00", temp_c: float = 27.0, sky="clear", wind="calm") -> m.Weather:
    return sun.say_weather(
        room=floor.room, temp_c=temp_c, sky=sky, wind=wind, now=mk.at(clock), by=floor.m.oskar
    )


def go(floor: Floor, clock: str = "09:20", **changes) -> m.SunSession:
    going = replace(Going(resident="marlow", pen="lawn-pen", looked=LOOKED), **changes)
    return sun.go_out(day=floor.open(clock), going=going, by=floor.m.oskar)


def come(floor: Floor, session: m.SunSession, clock: str = "09:40") -> m.SunSession:
    return sun.come_in(day=floor.open(clock), session=session.pk, by=floor.m.oskar, form=uuid4())


def look(floor: Floor, clock: str = "09:20") -> SunView:
    return sun_view(day=floor.open(clock))


def refused(call, *args, **more) -> Refused:
    with pytest.raises(Refused) as no:
        call(*args, **more)
    return no.value


def whys(no: Refused) -> set[NoSun]:
    return {reason.why for reason in sun.no_reasons(no)}


# ---------------------------------------------------------------- the weather


@pytest.mark.parametrize(("temp_c", "kept"), [(-60.1, False), (-60.0, True), (-25.0, True), (60.1, False)])
def test_weather_of_this_planet_is_kept(floor, temp_c, kept):
    if kept:
        assert weather(floor, temp_c=temp_c).temp_c == temp_c
    else:
        assert refused(weather, floor, temp_c=temp_c).why is No.OUT_OF_RANGE
    assert m.Weather.objects.count() == kept


def test_sky_and_wind_are_said_too(floor):
    assert refused(weather, floor, sky="").about["name"] == "sky"
    assert refused(weather, floor, wind="gale").about["name"] == "wind"


def test_weather_of_two_hours_ago_is_said_again_before_anybody_goes_out(floor):
    weather(floor, "07:20")
    assert not look(floor, "09:20").now.stale
    assert look(floor, "09:21").now.stale
    no = refused(go, floor, "09:21")
    assert (no.why, no.about["hours"]) == (No.NO_WEATHER, 2)
    go(floor, "09:19")


# ---------------------------------------------------------------- owed and why not


def test_store_animals_with_sun_on_their_sheet_are_owed_two_days_a_week(floor):
    weather(floor)
    view = look(floor)
    assert {c.key: c.owed for c in view.chances} == {"marlow": 2, "clover": 2}
    assert view.without == ("Sorrel", "Pilot")
    assert all(c.fit for c in view.chances)


def test_before_anybody_looked_out_nothing_is_said_to_be_fit(floor):
    view = look(floor)
    assert view.now is None
    assert not any(c.fit or c.today for c in view.chances)


def test_a_noon_too_strong_is_said_with_its_number_and_the_afternoon_window(floor):
    weather(floor, "12:30")
    marlow = next(c for c in look(floor, "13:00").chances if c.key == "marlow")
    assert not marlow.fit
    [reason] = marlow.reasons
    assert (reason.why, reason.limit) == (NoSun.UV_HIGH, 7.4)
    assert marlow.windows[0][0] > mk.at("13:30")


def test_winter_is_said_plainly(floor):
    january = date(2027, 1, 12)
    mk.a_shift(floor.m.oskar, january, "07:30", "20:30")
    when = mk.at("12:00", january)
    sun.say_weather(room=floor.room, temp_c=-8.0, sky="clear", wind="calm", now=when, by=floor.m.oskar)
    view = sun_view(day=open_day(room=floor.room, day=january, now=when))
    assert view.winter
    assert NoSun.WINTER in {r.why for c in view.chances for r in c.reasons}


# ---------------------------------------------------------------- out and in


def test_a_session_takes_its_pen_and_is_given_when_it_ends(floor):
    weather(floor)
    session = go(floor)
    [out] = look(floor, "09:30").out
    assert (out.key, out.pen, out.minutes, out.most_min, out.over) == ("marlow", "Lawn pen", 10, 30, False)
    assert look(floor, "09:50").out[0].over
    come(floor, session)
    session.refresh_from_db()
    assert session.ends == mk.at("09:40")
    assert session.entry.duty == f"{mk.DAY}/sun/marlow/0"
    assert session.entry.matched
    marlow = next(c for c in look(floor, "09:45").chances if c.key == "marlow")
    assert (marlow.owed, marlow.given) == (1, (mk.DAY,))
    assert come(floor, session, "09:50").ends == mk.at("09:40")  # pressed again


def test_the_plan_has_the_session_as_a_duty_that_ends_when_the_animal_is_in(floor):
    weather(floor, "08:00")
    key = f"{mk.DAY}/sun/marlow/0"
    assert key in floor.open("08:01").duties
    come(floor, go(floor))
    assert key in floor.open("09:41").state.duties


def test_one_animal_a_pen_and_no_animal_twice(floor):
    weather(floor)
    go(floor)
    no = refused(go, floor, "09:25", resident="clover")
    assert (no.why, no.about["who"]) == (No.PEN_TAKEN, "Marlow")
    assert refused(go, floor, "09:25", pen="court-pen").why is No.OUTDOORS_NOW
    go(floor, "09:25", resident="clover", pen="court-pen")
    assert m.SunSession.objects.count() == 2


@pytest.mark.parametrize(
    ("missing", "why"),
    [
        ("watched", NoSun.NOBODY_WATCHES),
        ("shade", NoSun.NO_SHADE),
        ("hide", NoSun.NO_HIDE),
        ("lid", NoSun.NO_LID),
        ("water", NoSun.NO_WATER),
        ("floor_felt", NoSun.FLOOR_NOT_FELT),
        ("no_glass", NoSun.BEHIND_GLASS),
    ],
)
def test_nobody_goes_out_before_each_thing_was_looked_at(floor, missing, why):
    weather(floor)
    no = refused(go, floor, looked=tuple(each for each in LOOKED if each != missing))
    assert (no.why, whys(no)) == (No.NOT_FIT, {why})
    assert not m.SunSession.objects.exists()


@pytest.mark.parametrize(("floor_c", "goes"), [(37.9, True), (38.0, True), (38.1, False)])
def test_a_pen_hotter_than_the_sheet_allows_is_no_place(floor, floor_c, goes):
    weather(floor)
    if goes:
        go(floor, floor_c=floor_c)
    else:
        assert whys(refused(go, floor, floor_c=floor_c)) == {NoSun.FLOOR_HOT}


@pytest.mark.parametrize(
    ("said", "why"),
    [({"temp_c": 15.0}, NoSun.COLD), ({"wind": "strong"}, NoSun.WIND), ({"sky": "rain"}, NoSun.RAIN)],
)
def test_unfit_weather_keeps_them_in(floor, said, why):
    weather(floor, **said)
    assert why in whys(refused(go, floor))


def test_a_hatchling_for_sale_gets_no_session(floor):
    weather(floor)
    assert whys(refused(go, floor, resident="h1-bar")) == {NoSun.NOT_FOR_IT}
    assert refused(go, floor, resident="nobody").why is No.UNKNOWN_RESIDENT
    assert refused(go, floor, pen="roof").why is No.UNKNOWN_PEN


def feed(floor: Floor, resident: str, clock: str) -> None:
    mk.an_entry(
        floor.room, floor.feed(resident), "count", at=mk.at(clock), by=floor.m.oskar, head=1,
        data={"offered": 8, "left": 0, "food": "c-118"},
    )  # fmt: skip


def test_within_an_hour_after_a_feed_nobody_goes_out(floor):
    weather(floor)
    feed(floor, "marlow", "08:30")
    for clock, wait in (("09:29", 1), ("09:30", 0), ("09:31", 0)):
        assert fed_wait_min(day=floor.open(clock), resident="marlow") == wait, clock
    no = refused(go, floor, "09:29")
    assert (no.why, no.about["minutes"]) == (No.JUST_FED, 1)
    go(floor, "09:30")


# ---------------------------------------------------------------- pens


def test_a_pen_with_an_animal_in_it_is_not_put_away_and_one_comes_back_by_its_name(floor):
    weather(floor)
    session = go(floor)
    put_away = {"room": floor.room, "key": "lawn-pen", "now": mk.at("09:45"), "by": floor.m.tamsin}
    assert refused(sun.pen_out_of_use, **put_away).why is No.PEN_TAKEN
    come(floor, session)
    sun.pen_out_of_use(**put_away)
    assert refused(go, floor, "09:50").why is No.UNKNOWN_PEN
    sun.add_pen(room=floor.room, name="Lawn pen", now=mk.at("09:55"), by=floor.m.tamsin)
    assert [key for key, _, _ in look(floor, "09:56").pens] == ["lawn-pen", "court-pen"]


def test_a_session_forgotten_over_night_still_ends(floor):
    weather(floor)
    session = go(floor)
    m.SunSession.objects.filter(pk=session.pk).update(starts=mk.at("17:00") - timedelta(days=1))
    assert look(floor).out[0].over
    come(floor, session)
    assert m.SunSession.objects.get().ends is not None
