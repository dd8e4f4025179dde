"""Sun outdoors, pressed without script: the weather, everything looked at, out, and in again."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from roomops.records import models as m
from tests import makers as mk
from tests.screens.pages import Page, Visitor

pytestmark = pytest.mark.django_db
ALL = ["watched", "floor_felt", "shade", "hide", "lid", "water", "no_glass"]


@pytest.fixture
def oskar(client: Client) -> Visitor:
    visitor = Visitor(client, mk.an_ordinary_morning().oskar, clock="09:20")
    visitor.press(visitor.open("/sun"), "Add it", name="Lawn pen")
    return visitor


def weather(oskar: Visitor, **changes: str) -> Page:
    sent = {"temp": "81", "sky": "clear", "wind": "calm"} | changes
    return oskar.press(oskar.open("/sun?again=yes"), "That is the weather", **sent)


def test_nobody_looked_out_yet_and_the_page_asks_for_it(oskar):
    page = oskar.open("/sun")
    assert "Nobody has looked out today" in page.text
    assert "That is the weather" in page.names()


def test_the_weather_is_three_presses_and_shows_who_is_fit_and_owed(oskar):
    page = weather(oskar)
    assert "81 °F, clear, calm" in page.text
    assert "2 fit for sun now" in page.text
    assert "2 days owed this week" in page.text
    assert "Sorrel and Pilot" in page.text  # no sun on their sheets


@pytest.mark.parametrize(
    ("sent", "status", "said"),
    [
        ({"temp": ""}, 422, "Say the temperature outdoors, in the shade."),
        ({"temp": "warm"}, 422, "warm"),
        ({"sky": ""}, 409, "The sky is not filled in."),
        ({"wind": ""}, 409, "The wind is not filled in."),
        ({"temp": "400"}, 409, "cannot be"),
    ],
)
def test_weather_that_cannot_be_is_one_sentence_and_stays_pressed(oskar, sent, status, said):
    page = weather(oskar, **sent)
    assert page.status == status
    assert said in page.said()
    assert page.by_id("temp").attrs["value"] == sent.get("temp", "81")
    if "wind" not in sent:
        assert "checked" in page.by_id("wind-calm").attrs
    assert not m.Weather.objects.exists()


def test_an_animal_goes_out_after_each_look_and_comes_in_again(oskar):
    page = oskar.follow(weather(oskar), "Marlow goes out")
    page = oskar.press(page, "It is out now", looked=ALL)
    assert "Outdoors now" in page.text
    assert "Marlow in Lawn pen since 9:20 am" in page.text
    oskar.clock = "09:50"
    page = oskar.open("/sun")
    assert "In now" in page.text
    page = oskar.press(page, "Marlow is in again")
    assert "Outdoors now" not in page.text
    assert "1 day owed this week, had 1" in page.text


def test_what_was_not_looked_at_is_named_and_the_rest_stays_pressed(oskar):
    page = oskar.follow(weather(oskar), "Marlow goes out")
    page = oskar.press(page, "It is out now", looked=["watched", "shade", "hide", "lid", "water"])
    assert page.status == 409
    assert page.said() == (
        "No sun for Marlow now: not in a closed tub or behind glass: it heats up in minutes, without UVB and "
        "the floor of the pen was not felt first."
    )
    assert "checked" in page.by_id("look-shade").attrs
    assert not m.SunSession.objects.exists()


def test_cold_air_is_said_with_both_numbers_and_nobody_is_offered_to_go(oskar):
    page = weather(oskar, temp="57")
    assert "air of 57 °F, 75.2 °F is the least" in page.text
    assert "Nobody fit now" in page.text
    assert "Marlow goes out" not in page.links()


def test_a_noon_too_strong_names_the_afternoon(oskar):
    oskar.clock = "13:00"
    page = weather(oskar)
    assert "a UV index of" in page.text
    assert "7.4 is the most" in page.text
    assert "if the weather stays" in page.text


def test_just_fed_says_how_long_to_wait(oskar):
    mk.an_entry(
        m.Room.objects.get(), f"{mk.DAY}/feed/marlow/1", "count", at=mk.at("09:00"), head=1,
        data={"offered": 8, "left": 0, "food": "c-118"},
    )  # fmt: skip
    assert "Fed less than an hour ago: not for another 40 min." in weather(oskar).text


def test_a_pen_is_put_away_and_then_nobody_can_go(oskar):
    page = oskar.press(weather(oskar), "Put Lawn pen away")
    assert "No pen is written down: nobody can go out." in page.text
    assert "No pen is free." in oskar.open("/sun?who=marlow").text


@pytest.mark.parametrize("said", [False, True])
def test_thirty_residents_and_five_hundred_cost_the_same_queries(client: Client, said: bool):
    from tests.bench.rooms import stored

    bills = []
    for residents in (30, 500):
        room = stored(residents=residents)
        m.Pen.objects.create(room=room, written_at=mk.NOW, key="p", name="Pen")
        if said:
            m.Weather.objects.create(
                room=room, written_at=mk.NOW, at=mk.NOW, temp_c=27.0, sky="clear", wind="calm"
            )
        visitor = Visitor(client, m.Person.objects.get(room=room, account__isnull=False))
        visitor.open("/sun")
        with CaptureQueriesContext(connection) as asked:
            assert visitor.open("/sun").status == 200
        bills.append(len(asked))
    assert bills[0] == bills[1]
