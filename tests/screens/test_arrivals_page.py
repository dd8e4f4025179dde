"""Arrivals as a person without script presses them: asked, expected, received with pictures, out together."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from PIL import Image

from roomops.records import models as m
from tests import makers as mk
from tests.screens.pages import Page, Visitor

pytestmark = pytest.mark.django_db
KIND = "bearded dragon/hatchling"
LATER = mk.DAY + timedelta(days=5)


@pytest.fixture
def oskar(client: Client) -> Visitor:
    morning = mk.an_ordinary_morning()
    rack = mk.a_rack(morning.room, "Q")
    for name in ("Q2", "Q3"):
        mk.a_tank(morning.room, name, rack=rack, quarantine=True, length_mm=914, depth_mm=457)
    for person in (morning.tamsin, morning.lupe):
        mk.a_shift(person, LATER, "07:30", "20:30")
    return Visitor(client, morning.oskar)


def ask(oskar: Visitor, heads: str, on: str = LATER.isoformat(), **more: str) -> Page:
    sent = {"kind": KIND, "heads": heads, "on": on, "length": "4", **more}
    return oskar.open("/arrivals?" + "&".join(f"{name}={value}" for name, value in sent.items()))


# ---------------------------------------------------------------- asked


def test_can_we_take_thirty_is_answered_with_the_scarcest_thing_and_a_smaller_yes(oskar):
    page = ask(oskar, "30")
    assert "Can we take 30 bearded dragons on Sun June 14? Not all:" in page.text
    assert "Needs For 30 We have" in page.text
    for thing in ("Tanks", "Quarantine space", "Tubs", "Minutes that day", "Food for a week"):
        assert thing in page.text
    [take] = [name for name in page.names() if name.startswith("Take ")]
    assert 0 < int(take.split()[1].rstrip(",")) < 30


def test_a_yes_is_kept_with_its_tanks_and_breeder_and_stands_among_the_expected(oskar):
    page = ask(oskar, "4")
    assert "Yes" in page.text
    page = oskar.press(page, "Take 4, plan it", breeder="Prairie Fork Dragons")
    assert "4 are expected." in page.text
    assert "4 bearded dragons, in 5 days" in page.text
    assert "Prairie Fork Dragons" in page.text
    lot = m.Arrival.objects.get()
    assert (lot.heads, lot.expected_on, lot.stage, lot.length_mm) == (4, LATER, "hatchling", 101.6)
    page = oskar.press(page, "4 bearded dragons, in 5 days: does not come")
    assert "Nobody is expected." in page.text


@pytest.mark.parametrize(
    ("heads", "on", "status", "said"),
    [
        ("0", LATER.isoformat(), 409, "The number of animals 0 cannot be: write 1 to 500."),
        ("10000", LATER.isoformat(), 409, "The number of animals 10000 cannot be: write 1 to 500."),
        ("many", LATER.isoformat(), 422, "“many” is no number of animals: write one from 1 to 500."),
        ("30", "2026-06-08", 409, "The day June 8 cannot be before June 9"),
        ("30", "Tuesday", 422, "“Tuesday” is no date for the day they would come"),
        ("30", "2027-06-08", 409, "is too far ahead to be planned"),
    ],
)
def test_what_cannot_be_asked_is_one_sentence_and_stays_typed(oskar, heads, on, status, said):
    page = ask(oskar, heads, on)
    assert page.status == status
    assert said in page.said()
    assert page.by_id("heads").attrs["value"] == heads
    assert page.by_id("on").attrs["value"] == on


def test_without_a_length_what_hangs_on_it_is_not_known(oskar):
    page = ask(oskar, "4", length="")
    assert "not known" in page.text
    assert "say how long one is" in page.text


# ---------------------------------------------------------------- received


def expected(oskar: Visitor, heads: str = "4") -> Page:
    page = oskar.press(ask(oskar, heads), f"Take {heads}, plan it")
    return oskar.follow(page, f"{heads} bearded dragons, in 5 days: it is here")


def a_picture() -> SimpleUploadedFile:
    made = io.BytesIO()
    exif = Image.Exif()
    exif[0x010F] = "Some Camera"
    Image.new("RGB", (1600, 900), (90, 80, 40)).save(made, "JPEG", exif=exif.tobytes())
    return SimpleUploadedFile("box.jpg", made.getvalue(), "image/jpeg")


def box(page: Page, **changes) -> dict:
    tank = m.Arrival.objects.get().tanks.get().key
    sent = {
        "alive": "3",
        "dead": "1",
        "breeder": "Prairie Fork",
        f"heads-{tank}": "3",
        f"length-{tank}": "3.9",
    }
    return sent | changes


def test_a_lot_is_received_with_its_dead_its_sizes_and_a_picture(oskar):
    page = expected(oskar)
    page = oskar.press(page, "It is all in its tanks", **box(page), photos=a_picture())
    assert "Lot 2 is here: 3 alive, 1 dead on arrival." in page.text
    assert "4 in the box, 1 dead" in page.text
    assert "Day 1 of 90" in page.text
    row = m.Resident.objects.get(lot__name="Lot 2")
    assert (row.heads, row.status) == (3, "quarantine")
    picture = oskar.client.get(f"/pictures/{m.Photo.objects.get().pk}.jpg")
    assert picture["Content-Type"] == "image/jpeg"
    assert b"Some Camera" not in picture.content
    assert "Nobody is expected." in oskar.open("/arrivals").text


@pytest.mark.parametrize(
    ("changes", "status", "said"),
    [
        ({"alive": "4"}, 409, "3 are put in tanks and 4 are alive: count again"),
        ({"alive": "0", "dead": "0", "heads": ""}, 409, "The number of animals 0 cannot be"),
        ({"alive": "10000"}, 409, "The number of animals 10001 cannot be: write 1 to 500."),
        ({"alive": "some"}, 422, "“some” is no whole number for the number alive"),
        ({"length": "2 kg"}, 422, "2 kg"),
        ({"hatched": "May"}, 422, "“May” is no date for the hatch day"),
    ],
)
def test_a_box_that_does_not_add_up_is_one_sentence_and_nothing_is_lost(oskar, changes, status, said):
    page = expected(oskar)
    tank = m.Arrival.objects.get().tanks.get().key
    changes = {f"{n}-{tank}" if n in {"heads", "length"} else n: v for n, v in changes.items()}
    sent = box(page, **changes)
    page = oskar.press(page, "It is all in its tanks", **sent)
    assert page.status == status
    assert said in page.said()
    assert page.by_id("alive").attrs["value"] == sent["alive"]
    assert page.by_id("breeder").attrs["value"] == "Prairie Fork"
    assert m.Lot.objects.count() == 1  # the one of the ordinary morning
    assert m.Arrival.objects.get().state == "expected"


def test_a_file_that_is_no_picture_keeps_nothing_and_asks_for_it_again(oskar):
    page = expected(oskar)
    wrong = SimpleUploadedFile("notes.pdf", b"%PDF-1.4", "application/pdf")
    page = oskar.press(page, "It is all in its tanks", **box(page), photos=wrong)
    assert page.status == 409
    assert "“notes.pdf” is no picture that can be read here" in page.said()
    assert "Choose the pictures again." in page.said()
    assert not m.Lot.objects.filter(name="Lot 2").exists()


def test_a_lot_that_came_unannounced_says_its_kind(oskar):
    page = oskar.follow(oskar.open("/arrivals"), "A lot came unannounced")
    sent = {"kind": KIND, "alive": "2", "heads-q3": "2"}
    page = oskar.press(page, "It is all in its tanks", **sent)
    assert "Lot 2 is here: 2 alive, 0 dead on arrival." in page.text


def test_a_lot_that_nobody_knows_is_a_page_with_a_way_back(oskar):
    for path in ("/arrivals/lot-9", "/lots/lot-9"):
        page = oskar.open(path)
        assert page.status == 404
        assert "No lot “lot-9” is expected or here" in page.text
    assert oskar.client.get("/pictures/999.jpg").status_code == 404


def test_without_a_free_quarantine_tank_there_is_no_form(oskar):
    for name in ("q2", "q3"):
        mk.a_hatchling(m.Tank.objects.get(key=name), "bar", status="quarantine")
    page = oskar.open("/arrivals/unannounced")
    assert "No quarantine tank is free" in page.text
    assert "It is all in its tanks" not in page.names()


# ---------------------------------------------------------------- out of quarantine


def test_a_lot_comes_out_together_or_not_at_all(oskar):
    page = expected(oskar)
    page = oskar.press(page, "It is all in its tanks", **box(page))
    mk.a_tank(m.Room.objects.get(), "H9")
    page = oskar.open(page.path)
    row = m.Resident.objects.get(lot__name="Lot 2")
    page = oskar.press(page, "Let all of it out", **{f"to-{row.key}": "h9"})
    assert "Lot 2 is in quarantine until September 7: only a vet's word ends it earlier." in page.said()
    page = oskar.press(page, "Let all of it out", vet="on", **{f"to-{row.key}": ""})
    assert "A lot comes out together, and" in page.said()
    page = oskar.press(page, "Let all of it out", vet="on", **{f"to-{row.key}": "h9"})
    assert "Lot 2 is out of quarantine, all of it." in page.text
    row.refresh_from_db()
    assert (row.status, row.tank.key) == ("here", "h9")


# ---------------------------------------------------------------- the bill


@pytest.mark.parametrize(
    "path", ["/arrivals", "/arrivals/unannounced", f"/arrivals?kind={KIND}&heads=2&length=4&on=2026-06-12"]
)
def test_thirty_residents_and_five_hundred_cost_the_same_queries(client: Client, path: str):
    from tests.bench.rooms import stored

    bills = []
    for residents in (30, 500):
        room = stored(residents=residents)
        mk.a_tank(room, "Q1", quarantine=True)
        visitor = Visitor(client, m.Person.objects.get(room=room, account__isnull=False))
        visitor.open(path)
        with CaptureQueriesContext(connection) as asked:
            assert visitor.open(path).status == 200
        bills.append(len(asked))
    assert bills[0] == bills[1]
