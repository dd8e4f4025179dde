"""Which duties of a day are settled by what was said."""

from datetime import date, timedelta

import makers
import pytest
from makers import DAY, at

from roomops.planning.room import Done
from roomops.records import models as m
from roomops.records.moments import day_span
from roomops.records.said import Word, refused_last, settled, subject_slot
from roomops.records.snapshot import take

FEED = f"{DAY}/feed/h1-bar/1"
LOT = f"{DAY}/feed/h5-unmarked/1"


def word(kind: str, *, duty=FEED, head=1, clock="09:00", day=DAY, **data) -> Word:
    return Word(day=day, duty=duty, kind=kind, head=head, at=at(clock, day), person="oskar", data=data)


def done(*words: Word, heads: int = 1) -> tuple[Done, ...]:
    return settled(words=words, heads={"h5-unmarked": heads}, span=day_span(day=DAY, zone=makers.ZONE))


# ---------------------------------------------------------------- one head


@pytest.mark.parametrize(
    ("said", "outcome"),
    [
        (word("count", offered=8, left=0), "ate"),
        (word("count", offered=8, left=1), "left"),
        (word("refused", offered=8, left=8), "refused"),
        (word("not here", why="sold"), "not here"),
        (word("done", duty=f"{DAY}/clean/h1/0"), "done"),
        (word("walk", duty=f"{DAY}/opening/h1/0"), "done"),
        (word("reading", duty=f"{DAY}/reading/h1/0"), "done"),
    ],
)
def test_a_word_settles_its_duty_with_its_outcome_person_and_minute(said, outcome):
    assert done(said) == (Done(duty=said.duty, person="oskar", minute=540, outcome=outcome),)


@pytest.mark.parametrize("kind", ["out", "back", "wrong", "cups", "washed", "undone", "here"])
def test_a_step_on_the_way_settles_nothing(kind):
    assert done(word(kind)) == ()


def test_a_step_of_a_whole_tray_is_no_duty():
    assert done(word("done", duty=f"{DAY}/round/r-7")) == ()


def test_the_last_word_about_a_head_stands():
    (settled_once,) = done(word("refused", clock="09:00"), word("count", clock="09:20", left=0))
    assert (settled_once.outcome, settled_once.minute) == ("ate", 560)


def test_it_is_here_takes_not_here_back():
    assert done(word("not here"), word("here", clock="09:05")) == ()


def test_yesterday_settles_nothing_today():
    yesterday = DAY - timedelta(days=1)
    assert done(word("count", day=yesterday, duty=f"{yesterday}/feed/h1-bar/1")) == ()


def test_a_minute_is_one_that_really_passed_on_the_night_clocks_fall_back():
    """2026-11-01, 9:00 on the wall is ten hours after midnight (tz database)."""
    change = date(2026, 11, 1)
    said = word("count", day=change, duty=f"{change}/feed/h1-bar/1")
    (found,) = settled(words=(said,), heads={}, span=day_span(day=change, zone=makers.ZONE))
    assert found.minute == 600


# ---------------------------------------------------------------- a lot


@pytest.mark.parametrize(("counted", "settles"), [(4, False), (5, True)])
def test_a_lot_s_feed_is_settled_when_each_head_has_its_word(counted, settles):
    words = [word("count", duty=LOT, head=head, left=0) for head in range(1, counted + 1)]
    assert bool(done(*words, heads=5)) is settles


def test_a_word_about_the_whole_duty_settles_a_lot_at_once():
    assert len(done(word("count", duty=LOT, head=0, left=0), heads=5)) == 1


@pytest.mark.parametrize(
    ("kinds", "outcome"), [("count count", "ate"), ("refused refused", "refused"), ("count refused", "left")]
)
def test_a_lot_s_outcome_is_that_of_all_its_heads_or_some_left(kinds, outcome):
    words = [word(kind, duty=LOT, head=head) for head, kind in enumerate(kinds.split(), start=1)]
    assert [each.outcome for each in done(*words, heads=2)] == [outcome]


def test_a_lot_whose_head_was_sold_is_settled_by_the_rest():
    words = [word("count", duty=LOT, head=head, left=0) for head in (1, 2, 3, 4)]
    assert len(done(*words, heads=4)) == 1


# ---------------------------------------------------------------- refusals, keys


def test_one_of_a_lot_that_refused_is_a_refusal():
    words = [word("count", duty=LOT, head=1), word("refused", duty=LOT, head=2)]
    assert refused_last(words=words, day=DAY) == {"h5-unmarked"}


def test_only_the_last_feed_s_refusals_count_whatever_order_they_came_in():
    second = f"{DAY}/feed/h1-bar/2"
    words = [word("count", duty=second, clock="13:00"), word("refused", clock="13:05")]
    assert refused_last(words=words, day=DAY) == set()


@pytest.mark.parametrize(
    ("duty", "expected"),
    [(FEED, ("h1-bar", 1)), (f"{DAY}/wrong/h1", ("wrong", 0)), ("nonsense", ("nonsense", 0))],
)
def test_a_duty_s_key_gives_its_subject_and_slot(duty, expected):
    assert subject_slot(duty) == expected


# ---------------------------------------------------------------- from the table


@pytest.mark.django_db
def test_only_matched_words_that_nobody_corrected_are_facts():
    morning = makers.an_ordinary_morning()
    oskar, room = morning.oskar, morning.room
    makers.an_entry(room, f"{DAY}/clean/h1/0", by=oskar)
    makers.an_entry(room, f"{DAY}/clean/h2/0", by=oskar, matched=False)
    wrong = makers.an_entry(room, FEED, "refused", head=1, by=oskar)
    makers.an_entry(
        room, FEED, "count", head=1, data={"offered": 8, "left": 2}, corrects=wrong, at=at("09:30")
    )
    slip = makers.an_entry(room, f"{DAY}/clean/h5/0", by=oskar)
    makers.an_entry(room, f"{DAY}/clean/h5/0", "undone", corrects=slip)
    assert take(room=room, day=DAY, now=at("10:00")).done == (
        Done(duty=f"{DAY}/clean/h1/0", person="oskar", minute=540, outcome="done"),
        Done(duty=FEED, person="", minute=570, outcome="left"),
    )
    assert m.Entry.objects.count() == 6
