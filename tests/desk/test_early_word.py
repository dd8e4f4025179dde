"""Early word out of the tables: across shifts and days, and for any size of room in as many queries."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from roomops.desk.early_word import early_word
from roomops.planning.watch import Concern, ConcernKind
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor

pytestmark = pytest.mark.django_db
YESTERDAY = mk.DAY - timedelta(days=1)


@pytest.fixture
def floor() -> Floor:
    return Floor()


def words(floor: Floor, subject: str = "h1-bar", clock: str = "12:00") -> list[Concern]:
    return [each for each in early_word(day=floor.open(clock)) if each.subject == subject]


def fed(floor: Floor, slot: int, kind: str, day: date = mk.DAY, key: str = "h1-bar", **data: int) -> None:
    facts = {"offered": 8, "left": 8 if kind == "refused" else 0} | data
    mk.an_entry(
        floor.room, f"{day}/feed/{key}/{slot}", kind, data=facts, at=mk.at(f"{8 + slot}:00".zfill(5), day)
    )
    if kind == "count" and facts["left"] < 8:
        m.Resident.objects.filter(key=key).update(last_fed_on=day)


def test_the_last_feed_of_yesterday_and_the_first_of_today_are_two_in_a_row(floor: Floor) -> None:
    fed(floor, 1, "count", YESTERDAY)
    fed(floor, 2, "refused", YESTERDAY)
    assert words(floor) == []
    fed(floor, 1, "refused")
    [word] = words(floor)
    assert (word.kind, word.numbers, word.on) == (ConcernKind.REFUSED, {"times": 2.0}, mk.DAY)


def test_a_feed_that_was_eaten_ends_the_row(floor: Floor) -> None:
    fed(floor, 1, "refused", YESTERDAY)
    fed(floor, 2, "refused", YESTERDAY)
    assert len(words(floor)) == 1
    fed(floor, 1, "count")
    assert words(floor) == []
    fed(floor, 2, "refused")
    assert words(floor) == []


def test_a_snake_that_is_fed_each_week_refuses_twice_over_two_weeks(floor: Floor) -> None:
    m.Resident.objects.filter(key="pilot").update(last_fed_on=mk.DAY - timedelta(days=21))
    for ago in (14, 7):
        fed(floor, 1, "refused", mk.DAY - timedelta(days=ago), key="pilot")
    [word] = words(floor, "pilot")
    assert (word.numbers, word.on) == ({"times": 2.0}, mk.DAY - timedelta(days=7))


def test_a_refusal_that_was_taken_back_does_not_count(floor: Floor) -> None:
    fed(floor, 2, "refused", YESTERDAY)
    fed(floor, 1, "refused")
    wrong = m.Entry.objects.get(day=mk.DAY)
    mk.an_entry(floor.room, wrong.duty, "count", corrects=wrong, data={"offered": 8, "left": 0})
    m.Resident.objects.filter(key="h1-bar").update(last_fed_on=mk.DAY)
    assert words(floor) == []


def test_all_left_of_a_count_is_a_feed_not_eaten(floor: Floor) -> None:
    m.Resident.objects.filter(key="h1-bar").update(last_fed_on=YESTERDAY)
    fed(floor, 1, "count", YESTERDAY)
    fed(floor, 2, "count", YESTERDAY, left=8)
    fed(floor, 1, "refused")
    assert [word.numbers for word in words(floor)] == [{"times": 2.0}]


def test_weights_of_several_people_make_one_word(floor: Floor) -> None:
    bar = floor.m.residents["h1-bar"]
    m.Measurement.objects.filter(resident=bar).delete()
    for ago, grams in ((9, 16.0), (2, 15.2)):
        mk.a_measurement(bar, "weight_g", grams, mk.at("08:00", mk.DAY - timedelta(days=ago)))
    [word] = words(floor)
    assert (word.kind, word.on) == (ConcernKind.WEIGHT_DOWN, mk.DAY - timedelta(days=2))
    assert word.numbers == {"now_g": 15.2, "before_g": 16.0, "loss_pct": 5.0, "days": 7.0}


def test_a_hatchling_that_weighs_what_it_weighed_a_week_ago_has_no_gain(floor: Floor) -> None:
    mk.a_measurement(
        floor.m.residents["h1-bar"], "weight_g", 16.4, mk.at("08:00", mk.DAY - timedelta(days=8))
    )
    assert [word.kind for word in words(floor)] == [ConcernKind.NO_GAIN]


def test_a_short_head_count_is_a_word_of_its_tank_until_all_are_seen(floor: Floor) -> None:
    note = m.Note.objects.create(
        room=floor.room, at=mk.at("08:00"), text="3 of 4 seen", tank=floor.m.tanks["h1"], wrong=True,
        written_at=mk.at("08:00"),
    )  # fmt: skip
    [word] = words(floor, "h1")
    assert (word.kind, word.numbers) == (ConcernKind.NOT_SEEN, {"seen": 3.0, "of": 4.0})
    m.Note.objects.filter(pk=note.pk).update(settled_at=mk.at("09:00"))
    assert words(floor, "h1") == []


def test_a_missing_animal_and_a_hold_that_is_over_are_words(floor: Floor) -> None:
    m.Resident.objects.filter(key="h1-bar").update(status="missing", status_since=mk.at("20:00", YESTERDAY))
    m.Resident.objects.filter(key="h1-one-dot").update(status="on hold", status_until=YESTERDAY)
    assert [word.numbers for word in words(floor)] == [{"days": 1.0}]
    assert [word.kind for word in words(floor, "h1-one-dot")] == [ConcernKind.HOLD_OVER]


def test_a_lot_that_is_not_told_apart_has_no_word_of_refusing(floor: Floor) -> None:
    for slot in (1, 2):
        fed(floor, slot, "refused", key="h5-unmarked")
    assert words(floor, "h5-unmarked") == []


def test_early_word_costs_the_same_queries_for_any_size_of_room(floor: Floor) -> None:
    """Weights, residents, refusals, and what those ate on the day they last ate."""
    fed(floor, 1, "count", YESTERDAY)
    fed(floor, 2, "refused", YESTERDAY)
    fed(floor, 1, "refused")
    day = floor.open("12:00")
    with CaptureQueriesContext(connection) as few:
        early_word(day=day)
    for key in ("h1-one-dot", "h1-two-dots", "h2-bar", "marlow", "pilot"):
        fed(floor, 1, "refused", YESTERDAY, key=key)
        fed(floor, 2, "refused", YESTERDAY, key=key)
    day = floor.open("12:01")
    with CaptureQueriesContext(connection) as many:
        assert len(early_word(day=day)) >= 6
    assert len(few) == len(many) == 4
