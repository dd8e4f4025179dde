"""What fits nothing due, and what was said twice in two ways: one press each, nothing thrown away."""

from __future__ import annotations

from uuid import UUID

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from roomops.records import models as m
from tests import makers as mk
from tests.screens.pages import Visitor

pytestmark = pytest.mark.django_db

GONE = "2026-06-09/feed/h9-one-dot/1"  # nobody of that name is fed here
COUNT = {"offered": 8, "left": 2}


@pytest.fixture
def morning() -> mk.Morning:
    return mk.an_ordinary_morning()


@pytest.fixture
def oskar(client: Client, morning: mk.Morning) -> Visitor:
    visitor = Visitor(client, morning.oskar, "09:30")
    visitor.open("/")
    return visitor


def lost(morning: mk.Morning, number: int = 1) -> m.Entry:
    return mk.an_entry(
        morning.room, GONE, "count", id=UUID(int=9000 + number), head=1, data=COUNT, matched=False,
        by=morning.tamsin, at=mk.at("09:10"),
    )  # fmt: skip


def test_nothing_to_sort_out_says_so(oskar: Visitor) -> None:
    assert "Nothing to sort out" in oskar.open("/sorting").text


def test_what_fits_nothing_due_is_said_with_who_and_when(oskar: Visitor, morning: mk.Morning) -> None:
    lost(morning)
    page = oskar.open("/sorting")
    assert "2 left of 8" in page.text
    assert "Tue June 9, 9:10 am, Tamsin" in page.text


def test_it_is_given_to_the_duty_that_was_meant(oskar: Visitor, morning: mk.Morning) -> None:
    entry = lost(morning)
    page = oskar.press(oskar.open("/sorting"), "2 left of 8: this was meant", duty="2026-06-09/feed/h1-bar/1")
    assert "Sorted out." in page.text
    kept = m.Entry.objects.get(corrects=entry)
    assert (kept.duty, kept.data["left"], kept.matched, kept.written_by.name) == (
        "2026-06-09/feed/h1-bar/1", 2, True, "Oskar",
    )  # fmt: skip
    assert "Nothing to sort out" in page.text


def test_without_a_pick_one_sentence_asks_for_it(oskar: Visitor, morning: mk.Morning) -> None:
    lost(morning)
    page = oskar.press(oskar.open("/sorting"), "2 left of 8: this was meant", duty="")
    assert (page.status, page.said()) == (422, "Pick what was meant, or leave it aside.")


def test_left_aside_it_stays_in_the_book_and_leaves_the_list(oskar: Visitor, morning: mk.Morning) -> None:
    entry = lost(morning)
    page = oskar.press(oskar.open("/sorting"), "2 left of 8: leave it aside")
    assert "Nothing to sort out" in page.text
    assert m.Entry.objects.filter(pk=entry.pk, duty=GONE).exists()


@pytest.fixture
def clash(oskar: Visitor, morning: mk.Morning) -> Visitor:
    """Two counts under one press: 2 left came first, 3 left second."""
    page = oskar.press(oskar.open("/feeding/feed-1-h1-bar"), "Cups ready, to tubs")
    page = oskar.press(page, "All in their tubs")
    oskar.press(page, "Tub 4, 2 left")
    oskar.press(page, "Tub 4, 3 left")
    return oskar


@pytest.mark.parametrize(("words", "left"), [("2 left of 8", "2 left"), ("3 left of 8", "3 left")])
def test_of_two_contents_one_is_kept_by_a_press(clash: Visitor, words: str, left: str) -> None:
    page = clash.open("/sorting")
    assert "2 left of 8" in page.text
    assert "3 left of 8" in page.text
    page = clash.press(page, f"H1 · two dots: keep {words}")
    assert "Nothing to sort out" in page.text
    tray = clash.open("/feeding/feed-1-h1-bar?step=feed")
    assert tray.by_id("tub-4").all("output")[0].text() == left


def test_what_somebody_else_settled_first_is_said(clash: Visitor, morning: mk.Morning) -> None:
    page = clash.open("/sorting")
    tamsin = Visitor(Client(), morning.tamsin, "09:31")
    tamsin.press(tamsin.open("/sorting"), "H1 · two dots: keep 2 left of 8")
    late = clash.press(page, "H1 · two dots: keep 3 left of 8")
    assert late.status == 409
    assert "settled" in late.said()


@pytest.mark.parametrize("sent", [{"entry": "x", "aside": "yes"}, {"clash": "x"}, {"clash": "99999"}, {}])
def test_a_form_made_by_hand_settles_nothing(
    oskar: Visitor, morning: mk.Morning, sent: dict[str, str]
) -> None:
    lost(morning)
    answer = oskar.send("/sorting", {"form": str(UUID(int=5)), **sent})
    assert answer.status in {409, 422}
    assert answer.said()
    assert m.Entry.objects.filter(matched=False, corrections__isnull=True).count() == 1


def test_one_and_twelve_cost_the_same_queries(oskar: Visitor, morning: mk.Morning) -> None:
    bills = []
    for number in range(1, 13):
        lost(morning, number)
        if number in {1, 12}:
            with CaptureQueriesContext(connection) as bill:
                page = oskar.open("/sorting")
            assert page.text.count("2 left of 8") >= number
            bills.append(len(bill))
    assert bills[0] == bills[1]
