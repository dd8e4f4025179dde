"""The lamps' pages as a person without script presses them."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from roomops.records import models as m
from tests import makers as mk
from tests.screens.pages import Visitor

pytestmark = pytest.mark.django_db


@pytest.fixture
def morning() -> mk.Morning:
    made = mk.an_ordinary_morning()
    h1, h2 = made.tanks["h1"], made.tanks["h2"]
    mk.a_lamp(h1, m.LampKind.DAY, date(2026, 3, 3), type="halogen", name="Day lamp 75 W", watts=75,
              rated_watts=100, thermostat=True, probe=True)  # fmt: skip
    mk.a_lamp(h1, fitted=date(2026, 1, 15), type="t5", name="UV tube 24 W", watts=24, rated_watts=24)
    mk.a_lamp(h2, fitted=date(2025, 4, 1), type="t5", name="UV tube 24 W", watts=24, rated_watts=24)
    mk.a_lamp(h2, m.LampKind.NIGHT, date(2026, 1, 1), type="ceramic", name="Ceramic heater 60 W", watts=60,
              rated_watts=100, probe=True)  # fmt: skip
    return made


@pytest.fixture
def oskar(client: Client, morning: mk.Morning) -> Visitor:
    return Visitor(client, morning.oskar)


def test_the_page_says_what_is_due_and_what_is_missing_with_the_cautions(oskar):
    page = oskar.open("/lamps")
    assert "Replace now: due April 1" in page.text
    assert "By age: January 15, 2027" in page.text
    assert "No thermostat: a heater without one overheats the tank." in page.text
    for caution in ("UV off before you reach in", "cooled, before it is changed", "cables above water"):
        assert caution in page.text


def test_an_empty_room_says_that_no_lamp_is_written_down(client: Client):
    visitor = Visitor(client, mk.a_person(mk.a_room(), "Oskar"))
    page = visitor.open("/lamps")
    assert "No lamp is written down" in page.text
    assert "There is no tank" in visitor.open("/lamps/new").text
    assert "No timer is written down" in visitor.open("/lamps/timers").text


def test_blown_now_shows_the_spare_that_fits_and_one_press_puts_it_in(oskar, morning):
    for key, watts in (("b-1", 75), ("b-2", 150)):
        mk.a_batch(morning.room, key, "halogen bulb", 2, category="bulb", watts=watts, name=f"Bulb {watts} W")
    page = oskar.press(oskar.open("/lamps"), "H1 Day lamp 75 W, blown now")
    assert "Blown since Tue June 9, 8:40 am" in page.text
    assert [name for name in page.names() if name.endswith("is in")] == ["Bulb 75 W is in"]  # 150 W never
    page = oskar.press(page, "Bulb 75 W is in")
    assert "Bulb 75 W hangs there from today." in page.text
    assert "1 left · the same watts" in page.text
    assert "fitted June 9, today" in page.text


def test_no_fitting_spare_is_said_with_what_the_fixture_takes(oskar):
    page = oskar.open("/lamps/h2-night")
    assert "No fitting spare is on the shelf. This fixture takes up to 100 W; 60 W hung there." in page.text


def test_a_fixture_without_a_rating_is_offered_nothing(oskar, morning):
    m.Lamp.objects.filter(key="h1-day").update(rated_watts=None)
    mk.a_batch(morning.room, "b-1", "halogen bulb", 2, category="bulb", watts=75, name="Bulb 75 W")
    page = oskar.open("/lamps/h1-day")
    assert "No spare is offered: the highest watts of this fixture are not written down." in page.text
    assert not [name for name in page.names() if name.endswith("is in")]


@pytest.mark.parametrize(
    ("sent", "status", "said"),
    [
        (
            {"watts": "150"},
            409,
            "150 W is more than the 100 W of this fixture: never more than it is made for.",
        ),
        ({"watts": "hot"}, 422, "“hot” is no whole number for the watts of what burns in it"),
        ({"lamp": "night/halogen"}, 409, "choose ceramic heater and other."),
        ({"fitted": "2026-06-10"}, 409, "The day it was fitted June 10 is still to come"),
        ({"tank": ["h1", "h2"]}, 409, "hangs on H1: one lamp hangs on one tank."),
    ],
)
def test_what_cannot_hang_is_one_sentence_and_what_was_typed_stays(oskar, sent, status, said):
    page = oskar.open("/lamps/h1-day")
    page = oskar.press(page, "Write it down", **{"name": "My lamp"} | sent)
    assert page.status == status
    assert said in page.said()
    assert page.by_id("name").attrs["value"] == "My lamp"
    assert m.Lamp.objects.get(key="h1-day").name == "Day lamp 75 W"


def test_a_new_lamp_is_written_down_and_a_name_that_hangs_elsewhere_is_refused(oskar):
    sent = {
        "lamp": "night/ceramic",
        "tank": "h1",
        "rated": "100",
        "watts": "60",
        "thermostat": "on",
        "probe": "on",
    }
    page = oskar.press(oskar.open("/lamps/new"), "Write it down", **sent)
    assert "Night heat 60 W is written down as h1-night." in page.text
    page = oskar.press(oskar.open("/lamps/new"), "Write it down", **sent, key="h2-night")
    assert (page.status, page.said()) == (
        409, "The lamp “h2-night” hangs on H2: one lamp hangs on one tank. Take it off there first.",
    )  # fmt: skip


def test_a_lamp_that_nobody_knows_is_a_page_with_a_way_back(oskar):
    page = oskar.open("/lamps/z9-day")
    assert page.status == 404
    assert "There is no lamp “z9-day” here" in page.text


def test_a_winter_is_added_and_taken_away_again(oskar):
    page = oskar.open("/lamps/timers")
    page = oskar.press(page, "Add a season to Dragons", month="11", day="1", on="09:00", off="18:00")
    assert "November 1" in page.text
    assert "7:30 am to 8:00 pm" in page.text  # nothing changes before its day
    page = oskar.press(page, "Take away the season of Dragons from 11/1")
    assert "November 1" not in page.text


@pytest.mark.parametrize(
    ("button", "sent", "status", "said"),
    [
        (
            "Keep the hours of Dragons",
            {"on": "20:00", "off": "07:30"},
            409,
            "on at 20:00 and off at 07:30 cannot be",
        ),
        ("Keep the hours of Dragons", {"on": "half past", "off": "07:30"}, 422, "“half past” is no time"),
        (
            "Add a season to Dragons",
            {"month": "2", "day": "30", "on": "08:00", "off": "18:00"},
            409,
            "no day “2/30”",
        ),
        (
            "Make it",
            {"name": "Dragons", "on": "08:00", "off": "18:00"},
            409,
            "There is a timer “Dragons” already",
        ),
    ],
)
def test_hours_that_cannot_be_are_one_sentence(oskar, button, sent, status, said):
    page = oskar.press(oskar.open("/lamps/timers"), button, **sent)
    assert page.status == status
    assert said in page.said()
    assert sent["on"] in page.html


def test_where_the_sheet_does_not_say_the_page_asks_whose_hours_uv_keeps(oskar, monkeypatch):
    from roomops.desk import lamp_views

    monkeypatch.setattr(lamp_views, "together", lambda **_: lamp_views.Missing.ASK)
    page = oskar.open("/lamps/h1-uv")
    assert "Does UV burn with the day lamp here? The care sheet does not say." in page.text
    page = oskar.press(page, next(name for name in page.names() if name.startswith("Dragons")))
    assert m.Lamp.objects.get(key="h1-uv").timer.key == "dragons"


@pytest.mark.parametrize("path", ["/lamps", "/lamps/t1-uv", "/lamps/timers", "/lamps/new"])
def test_thirty_residents_and_five_hundred_cost_the_same_queries(client: Client, path: str):
    from tests.bench.rooms import stored

    bills = []
    for residents in (30, 500):
        room = stored(residents=residents)
        person = m.Person.objects.filter(room=room, account__isnull=False).get()
        visitor = Visitor(client, person)
        visitor.open(path)
        with CaptureQueriesContext(connection) as asked:
            page = visitor.open(path)
        assert page.status == 200
        bills.append(len(asked))
    assert bills[0] == bills[1]
