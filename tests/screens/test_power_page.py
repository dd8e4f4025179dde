"""Heat or power failed, pressed without script: one press, readings, and the looks when it is back."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from roomops.records import models as m
from tests import makers as mk
from tests.screens.pages import Visitor

pytestmark = pytest.mark.django_db


@pytest.fixture
def oskar(client: Client) -> Visitor:
    return Visitor(client, mk.an_ordinary_morning().oskar)


def fail(oskar: Visitor, words: str = "Power is out"):
    return oskar.press(oskar.open("/power"), words)


def test_before_anything_fails_the_page_shows_who_would_come_first_and_what_to_press(oskar):
    page = oskar.open("/power")
    assert page.status == 200
    assert {"Power is out", "Heat is off, power is on", "The room is too hot"} <= set(page.names())
    assert "Smallest bodies: they cool first" in page.text
    assert "Keep what was read" not in page.names()
    assert "Who would come first, too hot" in oskar.follow(page, "Too hot instead").text


def test_one_press_says_since_when_that_feeds_are_held_and_what_is_done_now(oskar):
    page = fail(oskar)
    assert "Power out since 8:40 am, 0 min. Feeds are held." in page.text
    assert "Next readings 9:10 am, every 30 min." in page.text
    assert "No candle, grill or fuel heater" in page.text
    assert "Nobody is out." in page.text
    oskar.clock = "08:50"
    assert "Power out since 8:40 am, 10 min." in fail_again(oskar)
    assert m.Outage.objects.count() == 1


def fail_again(oskar: Visitor) -> str:
    return oskar.send("/power", {"fail": "power"}).text


def test_readings_are_kept_at_their_tank_and_a_rack_is_checked(oskar):
    page = fail(oskar)
    sent = {f"basking-{tank}": "91" for tank in ("h1", "h2", "h5")}
    page = oskar.press(page, "Keep what was read", **sent)
    assert "all tanks of a rack are read for this half hour" in page.text
    assert m.Reading.objects.filter(tank__key="h1", value_c__gt=32, value_c__lt=33).count() == 1
    assert page.by_id("tank-h1").text().count("91") == 1


def test_a_tank_at_its_limit_says_act_now_with_both_numbers(oskar):
    page = oskar.press(fail(oskar), "Keep what was read", **{"basking-h1": "63"})
    assert "Act now: 63 °F, at or under 64 °F" in page.by_id("tank-h1").text()


@pytest.mark.parametrize(
    ("sent", "status", "said"),
    [
        ({}, 409, "Nothing was read: write down at least one tank, then press again."),
        ({"basking-h1": "warm"}, 422, "warm"),
        ({"basking-h1": "300"}, 409, "cannot be"),
    ],
)
def test_what_cannot_be_read_is_one_sentence_and_nothing_typed_is_lost(oskar, sent, status, said):
    page = fail(oskar)
    page = oskar.press(page, "Keep what was read", **(sent | {"basking-h2": "90"} if sent else {}))
    assert page.status == status
    assert said in page.said()
    assert not m.Reading.objects.filter(at__gte=mk.at("08:00")).exists()
    if sent:
        assert page.by_id("b-h2").attrs["value"] == "90"


def test_it_is_over_when_everything_was_looked_at_and_then_asks_for_readings(oskar):
    page = fail(oskar)
    page = oskar.press(page, "It is back, all looked at", looked=["timers"])
    assert page.status == 409
    assert page.said() == "Look at thermostats and lamps first, then press again."
    assert "checked" in page.by_id("look-timers").attrs
    oskar.clock = "09:40"
    page = oskar.press(page, "It is back, all looked at", looked=["timers", "thermostats", "lamps"])
    assert "Over since 9:40 am" in page.text
    assert "No feed yet from" in page.text
    assert "H1" in page.text


def test_a_feed_page_says_why_no_feed_begins(oskar):
    feeding = oskar.open("/feeding")
    address = next(href for name, href in feeding.links().items() if "/feeding/" in href)
    tray = oskar.open(address.partition("#")[0])
    fail(oskar)
    said = oskar.press(tray, "Cups ready, to tubs").said()
    assert said == "Heat or power has failed: no feed begins until it is back."
    for path in ("/", "/feeding", "/readings"):
        assert "Heat or power has failed: no feed begins until it is back." in oskar.open(path).text


def test_a_room_without_animals_says_so(client: Client):
    room = mk.a_room()
    visitor = Visitor(client, mk.a_person(room, "Oskar"))
    assert "No animal is in the room." in visitor.open("/power").text
    assert "No animal is in the room" in fail(visitor).text


@pytest.mark.parametrize("failed", [False, True])
def test_thirty_residents_and_five_hundred_cost_the_same_queries(client: Client, failed: bool):
    from tests.bench.rooms import stored

    bills = []
    for residents in (30, 500):
        room = stored(residents=residents)
        if failed:
            m.Outage.objects.create(room=room, written_at=mk.NOW, kind="power", began=mk.NOW)
        visitor = Visitor(client, m.Person.objects.get(room=room, account__isnull=False))
        visitor.open("/power")
        with CaptureQueriesContext(connection) as asked:
            assert visitor.open("/power").status == 200
        bills.append(len(asked))
    assert bills[0] == bills[1]


def test_a_tank_at_its_limit_stands_before_all_others_though_it_would_come_last(oskar):
    page = oskar.press(fail(oskar), "Keep what was read", **{"basking-clover": "49"})
    first = next(n for n in page.root.all("li") if n.attrs.get("id", "").startswith("tank-"))
    assert first.attrs["id"] == "tank-clover"
    assert "Act now: 49 °F, at or under 50 °F" in first.text()
