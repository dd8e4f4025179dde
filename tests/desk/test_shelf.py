"""The shelf always holds what was put on it less what was offered; and who ate is who was fed."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from roomops.desk.entries import Said, say
from roomops.desk.heard import state_of
from roomops.desk.refusals import No
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor, form, on_hand

FEED = "2026-06-09/feed/h1-two-dots/1"


def word(name: str, left: int, kind: str = "count", **about: Any) -> Said:
    data = {"offered": 8, "left": left, "food": "c-118"} | about.pop("data", {})
    return Said(id=form(name), duty=about.pop("duty", FEED), kind=kind, head=1, data=data, **about)


def tell(floor: Floor, *said: Said, clock: str = "09:00") -> None:
    say(room=floor.room, by=floor.m.oskar, said=said, now=mk.at(clock))


@pytest.fixture
def floor(db: None) -> Floor:
    floor = Floor()
    floor.open("08:00")
    return floor


@pytest.mark.parametrize("left", [0, 3, 8])
def test_offered_food_leaves_the_shelf_whatever_is_left(floor: Floor, left: int) -> None:
    tell(floor, word("a", left))
    assert on_hand(floor.room, "c-118") == 592


def test_refused_food_leaves_the_shelf_too(floor: Floor) -> None:
    tell(floor, word("a", 8, "refused"))
    assert on_hand(floor.room, "c-118") == 592


def test_more_leaves_the_shelf_as_well(floor: Floor) -> None:
    tell(floor, word("a", 0))
    tell(floor, word("b", 2, data={"more": 3}, corrects=form("a")))
    assert on_hand(floor.room, "c-118") == 589
    assert m.LedgerLine.objects.exclude(entry=None).count() == 2


def test_a_correction_of_what_is_left_writes_no_line(floor: Floor) -> None:
    tell(floor, word("a", 2))
    tell(floor, word("b", 0, corrects=form("a")))
    assert m.LedgerLine.objects.exclude(entry=None).count() == 1


def test_a_correction_of_the_food_puts_it_back_and_takes_the_other(floor: Floor) -> None:
    tell(floor, word("a", 2))
    tell(floor, word("b", 2, data={"food": "c-117"}, corrects=form("a")))
    assert (on_hand(floor.room, "c-118"), on_hand(floor.room, "c-117")) == (600, 392)
    reasons = set(m.LedgerLine.objects.filter(entry=form("b")).values_list("reason", flat=True))
    assert reasons == {"corrected"}


def test_a_count_taken_back_puts_its_food_back(floor: Floor) -> None:
    tell(floor, word("a", 2))
    tell(floor, Said(id=form("b"), duty=FEED, kind="undone", head=1, corrects=form("a")))
    assert on_hand(floor.room, "c-118") == 600


def test_a_second_count_of_the_same_head_takes_nothing_more(floor: Floor) -> None:
    tell(floor, word("a", 2), word("b", 3))
    assert on_hand(floor.room, "c-118") == 592


def test_a_food_that_nothing_is_called_by_is_said_and_the_count_is_kept(floor: Floor) -> None:
    answer = say(
        room=floor.room, by=floor.m.oskar, said=[word("a", 2, data={"food": "c-999"})], now=mk.at("09:00")
    )[0]
    assert (answer.outcome, answer.why, answer.about) == ("stored", No.UNKNOWN_FOOD, {"value": "c-999"})
    assert not m.LedgerLine.objects.exclude(entry=None).exists()


@pytest.mark.parametrize(("came", "why", "left"), [(-1, None, 592), (0, None, 592), (1, No.NOT_ARRIVED, 600)])
def test_nothing_is_fed_from_a_batch_before_it_came_and_the_count_is_kept(
    floor: Floor, came: int, why: No | None, left: int
) -> None:
    arrived = mk.DAY + timedelta(days=came)
    m.Batch.objects.filter(key="c-118").update(received_on=arrived)
    answer = say(room=floor.room, by=floor.m.oskar, said=[word("a", 2)], now=mk.at("09:00"))[0]
    assert (answer.outcome, answer.why) == ("stored", why)
    assert on_hand(floor.room, "c-118") == left
    if why:
        assert answer.about == {"value": "Crickets ¼ in", "day": arrived}
        assert m.Entry.objects.filter(id=answer.id).exists()


def test_whoever_ate_was_fed_and_whoever_refused_was_not(floor: Floor) -> None:
    tell(floor, word("a", 2), word("b", 8, "refused", duty="2026-06-09/feed/h1-bar/1"))
    fed = dict(m.Resident.objects.filter(tank__key="h1").values_list("key", "last_fed_on"))
    assert (fed["h1-two-dots"], fed["h1-bar"], fed["h1-one-dot"]) == (mk.DAY, None, None)


@pytest.mark.parametrize(("left", "fed"), [(7, True), (8, False)])
def test_one_insect_eaten_is_a_meal_and_none_is_not(floor: Floor, left: int, fed: bool) -> None:
    tell(floor, word("a", left))
    assert (m.Resident.objects.get(key="h1-two-dots").last_fed_on == mk.DAY) is fed


def test_a_meal_that_is_corrected_to_a_refusal_gives_the_meal_before_it(floor: Floor) -> None:
    pilot = "2026-06-09/feed/pilot/1"
    week_ago = mk.DAY - timedelta(days=7)
    mk.an_entry(floor.room, f"{week_ago}/feed/pilot/1", "count", data={"offered": 1, "left": 0})
    tell(floor, word("a", 0, duty=pilot, data={"offered": 1, "food": "m-7"}))
    assert m.Resident.objects.get(key="pilot").last_fed_on == mk.DAY
    tell(floor, word("b", 1, "refused", duty=pilot, data={"offered": 1, "food": "m-7"}, corrects=form("a")))
    assert m.Resident.objects.get(key="pilot").last_fed_on == week_ago


def test_a_late_batch_of_yesterday_does_not_undo_today_s_meal(floor: Floor) -> None:
    yesterday = date(2026, 6, 8)
    floor.day = yesterday
    tell(floor, word("a", 0))
    late = word("b", 0, duty=f"{yesterday}/feed/h1-two-dots/3", at=mk.at("16:00", yesterday))
    tell(floor, late, clock="09:30")
    assert m.Entry.objects.get(id=form("b")).matched
    assert m.Resident.objects.get(key="h1-two-dots").last_fed_on == mk.DAY


# ---------------------------------------------------------------- whatever is said in whatever order


class TheShelfBalances(TestCase):
    """The ledger of a head sums to what the fold says was offered, after every word."""

    @given(
        st.lists(
            st.tuples(
                st.sampled_from(["count", "refused", "filled", "undone"]),
                st.integers(0, 8),
                st.integers(0, 3),
                st.sampled_from(["c-118", "c-117", ""]),
                st.booleans(),
            ),
            min_size=1,
            max_size=8,
        )
    )
    @settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
    def test_after_every_word(self, words: list[tuple[str, int, int, str, bool]]) -> None:
        floor = Floor()
        floor.open("08:00")
        for n, (kind, left, more, food, corrects) in enumerate(words):
            head = state_of(room=floor.room, day=mk.DAY).head(duty=FEED, head=1)
            base = head.count.entry if head.count and (corrects or kind == "undone") else None
            data = {"offered": 8, "left": left, "more": more, "food": food}
            if kind == "undone" and base is None:
                continue
            data |= {"filled": True} if kind == "filled" else {}
            said = Said(
                id=form(f"word {n}"), duty=FEED, head=1, corrects=base, data=data,
                kind="count" if kind == "filled" else kind,
            )  # fmt: skip
            say(room=floor.room, by=floor.m.oskar, said=[said], now=mk.at("09:00") + timedelta(minutes=n))
            head = state_of(room=floor.room, day=mk.DAY).head(duty=FEED, head=1)
            for batch, full in (("c-118", 600), ("c-117", 400)):
                offered = (head.offered or 0) + head.more if head.food == batch else 0
                assert on_hand(floor.room, batch) == full - offered
