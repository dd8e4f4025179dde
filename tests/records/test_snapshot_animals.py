"""From tables to facts: stages, measures, what asks for a first look, readings, the shelf, names."""

from datetime import UTC, date, timedelta

import makers
import pytest
from makers import DAY, at

from roomops.planning.room import Food, Reading, Room, Status
from roomops.records import models as m
from roomops.records.names import names
from roomops.records.sheets import UnknownKindError
from roomops.records.snapshot import take

pytestmark = pytest.mark.django_db

YESTERDAY = DAY - timedelta(days=1)
LATE = at("23:00")


def facts(room: m.Room, now=LATE) -> Room:
    return take(room=room, day=DAY, now=now)


def resident(room: m.Room, key: str, **changes):
    return next(each for each in facts(room, **changes).residents if each.key == key)


def days_ago(*ago: int) -> list[date]:
    return [DAY - timedelta(days=each) for each in ago]


# ---------------------------------------------------------------- residents


@pytest.mark.parametrize(("age", "stage"), [(89, "hatchling"), (90, "juvenile"), (91, "juvenile")])
def test_a_stage_follows_from_age(age, stage):
    """90 days: the line that fixtures/care/bearded-dragon.toml draws."""
    tank = makers.a_tank(makers.a_room(), "H1")
    makers.a_hatchling(tank, "bar", hatched_on=DAY - timedelta(days=age))
    assert resident(tank.room, "h1-bar").stage == stage


@pytest.mark.parametrize(
    ("hatched", "stage", "expected"),
    [(None, "", "adult"), (None, "juvenile", "juvenile"), (DAY + timedelta(days=1), "", "hatchling")],
)
def test_a_stage_can_be_said_and_an_unknown_age_is_the_last_stage(hatched, stage, expected):
    tank = makers.a_tank(makers.a_room(), "H1")
    makers.a_hatchling(tank, "bar", hatched_on=hatched, stage=stage)
    assert resident(tank.room, "h1-bar").stage == expected


def test_a_kind_without_a_sheet_is_refused_in_a_sentence():
    tank = makers.a_tank(makers.a_room(), "H1")
    makers.a_hatchling(tank, "bar", kind="pocket dragon")
    with pytest.raises(UnknownKindError, match="no care sheet for “pocket dragon”"):
        facts(tank.room)


def test_the_latest_measurement_counts_with_its_date_and_none_after_now():
    tank = makers.a_tank(makers.a_room(), "H1")
    bar = makers.a_hatchling(tank, "bar")
    makers.a_measurement(bar, "weight_g", 15.0, at("08:00", DAY - timedelta(days=8)))
    makers.a_measurement(bar, "weight_g", 16.4, at("08:00", YESTERDAY))
    makers.a_measurement(bar, "weight_g", 17.0, at("12:00"))
    noon = [resident(tank.room, "h1-bar", now=at(clock)) for clock in ("11:59", "12:00", "12:01")]
    assert [each.weight_g for each in noon] == [16.4, 17.0, 17.0]
    assert [each.weight_on for each in noon] == [YESTERDAY, DAY, DAY]
    assert (noon[0].gap_mm, noon[0].length_on) == (None, None)


def test_a_date_is_the_room_s_and_not_utc_s():
    tank = makers.a_tank(makers.a_room(), "H1")
    bar = makers.a_hatchling(tank, "bar")
    makers.a_measurement(bar, "length_mm", 170, at("23:30", YESTERDAY).astimezone(UTC))
    assert resident(tank.room, "h1-bar").length_on == YESTERDAY


@pytest.mark.parametrize("status", [s.value for s in Status])
def test_only_residents_that_keep_their_place_are_facts(status):
    tank = makers.a_tank(makers.a_room(), "H1")
    makers.a_hatchling(tank, "bar", status=status)
    gone = {Status.SOLD, Status.DIED, Status.MOVED}
    assert [each.status for each in facts(tank.room).residents] == ([] if status in gone else [status])


@pytest.mark.parametrize(("heads", "found"), [(0, []), (1, [1]), (5, [5])])
def test_a_lot_counts_its_heads_and_an_empty_one_is_gone(heads, found):
    tank = makers.a_tank(makers.a_room(), "H5")
    makers.a_lot(tank, heads)
    assert [each.heads for each in facts(tank.room).residents] == found


@pytest.mark.parametrize(("fed", "known"), [(YESTERDAY, YESTERDAY), (DAY, None)])
def test_being_fed_today_does_not_make_an_animal_not_due_today(fed, known):
    tank = makers.a_tank(makers.a_room(), "Pilot")
    makers.an_adult(tank, "Pilot", makers.CORN, last_fed_on=fed)
    assert resident(tank.room, "pilot").last_fed_on == known


# ---------------------------------------------------------------- a first word


@pytest.mark.parametrize(("now_g", "told"), [(15.9, True), (16.0, False), (16.1, False)])
def test_any_loss_of_a_young_animal_is_a_first_word(now_g, told):
    tank = makers.a_tank(makers.a_room(), "H1")
    bar = makers.a_hatchling(tank, "bar")
    makers.a_measurement(bar, "weight_g", 16.0, at("08:00", DAY - timedelta(days=8)))
    makers.a_measurement(bar, "weight_g", now_g, at("08:00", YESTERDAY))
    assert resident(tank.room, "h1-bar").first_word is told


@pytest.mark.parametrize(("now_g", "told"), [(379, True), (380, False), (381, False)])
def test_a_twentieth_lost_by_a_grown_animal_is_a_first_word(now_g, told):
    tank = makers.a_tank(makers.a_room(), "Marlow")
    marlow = makers.an_adult(tank, "Marlow")
    makers.a_measurement(marlow, "weight_g", 400, at("08:00", DAY - timedelta(days=30)))
    makers.a_measurement(marlow, "weight_g", now_g, at("08:00", YESTERDAY))
    assert resident(tank.room, "marlow").first_word is told


@pytest.mark.parametrize(
    ("feeds", "told"),
    [
        ([(1, "refused")], True),
        ([(1, "count"), (2, "refused")], True),
        ([(1, "refused"), (2, "count")], False),
        ([], False),
    ],
)
def test_a_refusal_of_yesterday_s_last_feed_is_a_first_word(feeds, told):
    tank = makers.a_tank(makers.a_room(), "H1")
    makers.a_hatchling(tank, "bar")
    for slot, kind in feeds:
        makers.an_entry(tank.room, f"{YESTERDAY}/feed/h1-bar/{slot}", kind, head=1)
    assert resident(tank.room, "h1-bar").first_word is told


def test_a_refusal_two_days_ago_or_today_is_none():
    tank = makers.a_tank(makers.a_room(), "H1")
    makers.a_hatchling(tank, "bar")
    for day in days_ago(2, 0):
        makers.an_entry(tank.room, f"{day}/feed/h1-bar/1", "refused", head=1)
    assert resident(tank.room, "h1-bar").first_word is False


# ---------------------------------------------------------------- readings and foods


def test_the_last_reading_of_each_spot_counts_with_its_minute_when_it_is_of_today():
    tank = makers.a_tank(makers.a_room(), "H1")
    makers.a_reading(tank, "basking", 40.0, at("12:40", YESTERDAY))
    makers.a_reading(tank, "basking", 35.6, at("09:10"))
    makers.a_reading(tank, "cool", 28.0, at("12:40", YESTERDAY))
    assert facts(tank.room).readings == (
        Reading(tank="h1", spot="basking", value_c=35.6, minute=550, on=DAY),
        Reading(tank="h1", spot="cool", value_c=28.0, minute=None, on=YESTERDAY),
    )


@pytest.mark.parametrize(("clock", "value"), [("09:09", 40.0), ("09:10", 35.6), ("09:11", 35.6)])
def test_a_reading_counts_from_its_minute_on(clock, value):
    tank = makers.a_tank(makers.a_room(), "H1")
    makers.a_reading(tank, "basking", 40.0, at("12:40", YESTERDAY))
    makers.a_reading(tank, "basking", 35.6, at("09:10"))
    assert [each.value_c for each in facts(tank.room, now=at(clock)).readings] == [value]


def test_what_is_on_hand_is_the_sum_of_its_ledger():
    room = makers.a_room()
    batch = makers.a_batch(room, "c-118", "cricket", 600, size_mm=6, name="Crickets ¼ in")
    for change, reason in ((-8, "fed"), (-40, "thrown"), (3, "corrected")):
        makers.a_ledger_line(batch, change, reason)
    assert facts(room).foods == (
        Food(key="c-118", kind="cricket", category="insect", name="Crickets ¼ in", size_mm=6,
             received=YESTERDAY, on_hand=555),
    )  # fmt: skip


def test_a_batch_that_is_used_up_or_closed_is_not_on_the_shelf_and_the_oldest_stands_first():
    room = makers.a_room()
    makers.a_batch(room, "c-3", "cricket", 5)
    makers.a_batch(room, "c-1", "cricket", 5, received_on=DAY - timedelta(days=9))
    used = makers.a_batch(room, "c-2", "cricket", 8)
    makers.a_ledger_line(used, -8)
    makers.a_batch(room, "c-0", "cricket", 5, closed_on=DAY)
    makers.a_batch(room, "c-9", "cricket", 0)
    assert [food.key for food in facts(room).foods] == ["c-1", "c-3"]


# ---------------------------------------------------------------- names


def test_residents_are_called_by_name_or_by_tank_and_mark():
    tank = makers.a_tank(makers.a_room(), "H3")
    makers.a_hatchling(tank, "two dots")
    makers.a_hatchling(tank, "three dots", name="Nutmeg")
    makers.a_lot(tank, 5)
    makers.a_resident(tank, "h3-x", identity="unsure")
    makers.a_resident(tank, "gone", identity="marked", mark="bar", status="gone home")
    assert names(room=tank.room) == {
        "h3-two-dots": "H3 · two dots",
        "h3-three-dots": "Nutmeg",
        "h3-unmarked": "H3 · unmarked",
        "h3-x": "H3 · identity unsure",
        "gone": "H3 · bar",
    }
