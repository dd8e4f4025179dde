"""The shelf's pages as a person without script presses them."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from roomops.records import models as m
from roomops.records.snapshot import take
from tests import makers as mk
from tests.screens.pages import Page, Visitor

pytestmark = pytest.mark.django_db


@pytest.fixture
def oskar(client: Client) -> Visitor:
    return Visitor(client, mk.an_ordinary_morning().oskar)


def left(key: str) -> float:
    return sum(m.LedgerLine.objects.filter(batch__key=key).values_list("change", flat=True))


def test_the_shelf_says_days_then_what_is_left_and_what_to_order_and_why(oskar):
    page = oskar.open("/insects")
    assert page.status == 200
    assert "600 left" in page.text
    assert "What How many Why" in page.text
    assert "No rodents are due tomorrow" in page.text
    assert "Farm-raised only" in page.text


def test_an_empty_shelf_says_what_is_missing_and_what_to_do(client: Client):
    room = mk.a_room()
    visitor = Visitor(client, mk.a_person(room, "Oskar"))
    page = visitor.open("/insects")
    assert "No insects on the shelf" in page.text
    assert "Nothing: all is above its least and lasts." in page.text
    assert "Not due: there are no insects." in page.text


def test_crickets_come_are_counted_on_the_pad_and_partly_thrown_out(oskar):
    page = oskar.press(oskar.open("/insects/receive"), "Crickets")
    sent = {"class": "6.4", "amount": "500", "source": "Lake Farm", "farm_raised": "on"}
    page = oskar.press(page, "Put it on the shelf", **sent)
    assert "Crickets ¼ in is on the shelf as c-119" in page.text
    page = oskar.follow(page, "Count c-119, Crickets ¼ in")
    for digit in "480":
        page = oskar.follow(page, digit)
    page = oskar.press(page, "Keep this count")
    assert "c-119: 480 counted, −20." in page.text
    page = oskar.follow(page, "Count c-119, Crickets ¼ in")
    page = oskar.press(page, "Keep as thrown out", thrown="30")
    assert "Thrown out: 30 of c-119." in page.text
    assert left("c-119") == 450
    page = oskar.follow(page, "Count c-119, Crickets ¼ in")
    assert "thrown out −30" in page.text
    assert "dead" in page.text
    page = oskar.press(page, "As the book says: 450")
    assert "450 counted, as written" in page.text


@pytest.mark.parametrize(
    ("sent", "status", "said"),
    [
        ({"class": "6.4", "amount": "500", "source": "Lake Farm"}, 409, "Say that cricket is farm-raised"),
        ({"class": "6.4", "amount": "lots", "farm_raised": "on", "source": "x"}, 422, "“lots” is no"),
        ({"amount": "500", "farm_raised": "on", "source": "x"}, 422, "Say the length"),
        ({"size": "¼ kg", "amount": "5", "farm_raised": "on", "source": "x"}, 422, "“¼ kg” is in kg"),
        (
            {"class": "6.4", "amount": "5", "farm_raised": "on", "source": "x", "received": "2026-06-10"},
            409, "The day it came June 10 is still to come",
        ),
        (
            {"class": "6.4", "amount": "5", "farm_raised": "on", "source": "x", "use_by": "June"},
            422, "“June” is no date for the date on it: write it as 2026-06-09.",
        ),
    ],
)  # fmt: skip
def test_what_cannot_come_is_said_in_one_sentence_and_nothing_typed_is_lost(oskar, sent, status, said):
    before = m.Batch.objects.count()
    page = oskar.press(oskar.open("/insects/receive?kind=cricket"), "Put it on the shelf", **sent)
    assert page.status == status
    assert said in page.said()
    assert page.by_id("amount").attrs["value"] == sent["amount"]
    assert m.Batch.objects.count() == before


def test_more_than_is_there_cannot_be_thrown_out_and_the_number_stays_typed(oskar):
    page = oskar.press(oskar.open("/insects/c-118"), "Keep as thrown out", thrown="601")
    assert page.status == 409
    assert "601 cannot leave Crickets ¼ in, of which 600 are written down: count it first." in page.said()
    assert page.by_id("thrown").attrs["value"] == "601"
    assert left("c-118") == 600


def test_a_batch_that_nobody_knows_is_a_page_with_a_way_back(oskar):
    page = oskar.open("/insects/z-99")
    assert page.status == 404
    assert "There is no “z-99” on the shelf: choose one of the list." in page.text


def test_below_its_least_a_thing_stands_on_the_list_to_print(oskar):
    page = oskar.open("/insects/least")
    page = oskar.press(page, "Keep least of Mice, adult", amount="8")
    assert page.status == 200
    order = oskar.open("/insects/order")
    assert "Mice, adult" in order.text
    assert "6 left, 8 is the least." in order.text


def test_the_least_of_something_that_is_not_there_yet_is_kept_too(oskar):
    oskar.press(oskar.open("/insects/least"), "Keep it", kind="ceramic heater", watts="60", amount="1")
    assert "Ceramic heater 60 W" in oskar.open("/insects/order").text
    page = oskar.press(oskar.open("/insects/least"), "Keep it", kind="ceramic heater", watts="", amount="1")
    assert (page.status, page.said()) == (422, "Say the watts: a number from 1 to 1000.")


def test_a_bin_from_which_more_was_fed_than_was_written_down_asks_for_a_count(oskar):
    mk.a_ledger_line(m.Batch.objects.get(key="m-7"), -9)
    page = oskar.open("/insects")
    assert "m-7: 3 more fed than was written down, count it" in page.text
    assert "0 left" not in oskar.open("/insects/m-7").text


def test_what_thaws_tonight_is_named_and_one_press_says_that_it_is_in_the_refrigerator(oskar):
    room = m.Room.objects.get()
    care = next(each for each in take(room=room, day=mk.DAY, now=mk.NOW).care if each.kind == mk.CORN)
    every = care.feeding.every_days  # the day before that, it thaws
    m.Resident.objects.filter(key="pilot").update(last_fed_on=mk.DAY - timedelta(days=every - 1))
    page = oskar.open("/insects")
    assert "Pilot 1 × Mice, adult (m-7)" in page.text
    page = oskar.press(page, "They are in the refrigerator")
    assert "Done 8:40 am, Oskar" in page.text
    assert "They are in the refrigerator" not in page.names()
    assert m.Entry.objects.get().duty == f"{mk.DAY}/thaw/juniper-street/0"


def test_who_gets_nothing_that_fits_is_named(oskar):
    m.Measurement.objects.filter(resident__key="h1-bar", measure="gap_mm").update(value=1.0)
    assert "Nothing on the shelf fits H1 · bar" in oskar.open("/insects").text


def queries(visitor: Visitor, path: str) -> int:
    visitor.open(path)
    with CaptureQueriesContext(connection) as asked:
        page: Page = visitor.open(path)
    assert page.status == 200
    return len(asked)


@pytest.mark.parametrize("path", ["/insects", "/insects/order", "/insects/least", "/insects/c-1"])
def test_thirty_residents_and_five_hundred_cost_the_same_queries(client: Client, path: str):
    from tests.bench.rooms import stored

    bills = []
    for residents in (30, 500):
        room = stored(residents=residents)
        for n in range(residents // 10):
            mk.a_batch(room, f"r-{n}", "roach", 30, size_mm=6.4)
        person = m.Person.objects.filter(room=room, account__isnull=False).get()
        bills.append(queries(Visitor(client, person), path))
    assert bills[0] == bills[1]
