"""The fold: the last word wins, in whatever order the words arrive."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomops.desk.state import EntryFacts, HeadState, Phase, fold
from tests.makers import at

FEED = "2026-06-09/feed/h3-two-dots/1"
ROUND = "2026-06-09/round/feed-1-h3"


def said(n: int, kind: str, clock: str = "09:00", duty: str = FEED, **about: Any) -> EntryFacts:
    """The n-th thing that was said; its id is n."""
    facts: dict[str, Any] = {"head": 1, "data": {}, "by": "oskar", "by_name": "Oskar"} | about
    when = at(clock)
    return EntryFacts(id=UUID(int=n), duty=duty, kind=kind, at=when, written_at=when, **facts)


def left(n: int, number: int, clock: str = "09:00", **about: Any) -> EntryFacts:
    data = {"offered": 8, "left": number, "food": "c-118"} | about.pop("data", {})
    return said(n, "count", clock, data=data, **about)


def head(*entries: EntryFacts) -> HeadState:
    return fold(entries=entries).head(duty=FEED, head=1)


def test_nothing_said_is_planned() -> None:
    state = head()
    assert (state.phase, state.in_tub, state.settled, state.begun) == (Phase.PLANNED, False, False, False)


@pytest.mark.parametrize(
    ("entries", "phase", "in_tub"),
    [
        ([said(1, "out")], Phase.OUT, True),
        ([said(1, "out"), left(2, 0, "09:10")], Phase.COUNTED, True),
        ([said(1, "out"), left(2, 0, "09:10"), said(3, "back", "09:15")], Phase.BACK, False),
        ([said(1, "out"), said(2, "not here", "09:05", data={"why": "dead"})], Phase.NOT_HERE, False),
        ([said(1, "out"), said(2, "back", "09:05"), said(3, "out", "09:07")], Phase.OUT, True),
        ([said(1, "not here", data={"why": "sold"}), said(2, "here", "09:05")], Phase.PLANNED, False),
        (
            [said(1, "not here", "09:06", data={"why": "sold"}), said(2, "here", "09:05")],
            Phase.NOT_HERE,
            False,
        ),
    ],
)
def test_each_word_leads_on(entries: list[EntryFacts], phase: Phase, in_tub: bool) -> None:
    state = head(*entries)
    assert (state.phase, state.in_tub) == (phase, in_tub)


@pytest.mark.parametrize("hand_first", [True, False])
def test_a_count_by_hand_outranks_the_whole_tray_whichever_was_first(hand_first: bool) -> None:
    clocks = ("09:00", "09:01") if hand_first else ("09:01", "09:00")
    state = head(left(1, 3, clocks[0]), left(2, 0, clocks[1], data={"filled": True}))
    assert (state.left, state.filled, state.others) == (3, False, ())


def test_a_correction_replaces_and_says_so() -> None:
    state = head(left(1, 3), left(2, 1, "09:05", corrects=UUID(int=1)))
    assert (state.left, state.corrected, state.others) == (1, True, ())


def test_a_correction_with_an_earlier_clock_still_replaces() -> None:
    assert head(left(1, 3, "09:05"), left(2, 1, "09:00", corrects=UUID(int=1))).left == 1


def test_a_second_count_stands_beside_the_first() -> None:
    state = head(left(1, 3), left(2, 1, "09:05", by="tamsin"))
    assert (state.left, state.others, len(state.standing)) == (1, (3,), 2)


def test_two_counts_that_say_the_same_are_no_conflict() -> None:
    assert head(left(1, 3), left(2, 3, "09:05", by="tamsin")).others == ()


def test_a_count_taken_back_leaves_nothing() -> None:
    taken = said(2, "undone", "09:05", corrects=UUID(int=1))
    assert head(left(1, 3), taken) == HeadState()


def test_what_fits_no_duty_is_counted_and_changes_nothing() -> None:
    state = fold(entries=[replace(left(1, 3), matched=False)])
    assert (state.unmatched, state.heads) == (1, {})
    aside = replace(said(2, "undone", corrects=UUID(int=1)), duty=FEED)
    assert fold(entries=[replace(left(1, 3), matched=False), aside]).unmatched == 0


def test_what_is_said_of_the_whole_feed_holds_for_each_head_without_a_word_of_its_own() -> None:
    state = fold(entries=[left(1, 0, head=0), left(2, 4, "09:05", head=2)])
    assert [state.head(duty=FEED, head=n).left for n in (1, 2, 3)] == [0, 4, 0]


def test_a_tray_has_its_cups_its_wash_and_its_end() -> None:
    state = fold(entries=[
        said(1, "cups", "08:40", ROUND, head=0),
        said(2, "washed", "09:20", ROUND, head=0, data={"not_clean": ["a-3"]}),
        said(3, "done", "09:21", ROUND, head=0),
    ]).round("feed-1-h3")  # fmt: skip
    assert None not in {state.cups, state.washed, state.finished}
    assert state.cups is not None
    assert (state.cups.at, state.not_clean) == (at("08:40"), ("a-3",))


# ---------------------------------------------------------------- whatever the order

KINDS = st.sampled_from(
    ["out", "count", "refused", "not here", "here", "back", "undone", "cups", "washed", "walk"]
)


@st.composite
def batches(draw: st.DrawFn) -> list[EntryFacts]:
    """A morning's words about a few heads and one tray, some of them corrections of earlier ones."""
    free: list[int] = []
    entries = []
    for n in range(1, draw(st.integers(1, 14)) + 1):
        kind = draw(KINDS)
        duty = {"cups": ROUND, "washed": ROUND, "walk": "2026-06-09/opening/h3/0"}.get(kind, FEED)
        if kind == "undone" and not free:
            kind = "out"
        about: dict[str, Any] = {"head": 0 if duty != FEED else draw(st.integers(0, 2))}
        number = draw(st.integers(0, 8))
        about["data"] = {"offered": 8, "left": number, "filled": draw(st.booleans()), "heads": number}
        if kind in {"count", "undone"} and free and (kind == "undone" or draw(st.booleans())):
            base = free.pop(draw(st.integers(0, len(free) - 1)))
            about |= {"corrects": UUID(int=base), "head": entries[base - 1].head}
            duty = entries[base - 1].duty
        minutes = draw(st.integers(0, 30))
        entry = replace(said(n, kind, duty=duty, **about), at=at("09:00") + timedelta(minutes=minutes))
        entries.append(entry)
        free.append(n)
    return entries


@given(batches(), st.randoms())
def test_the_order_of_arrival_and_repeats_change_nothing(entries: list[EntryFacts], dice: Any) -> None:
    once = fold(entries=entries)
    shuffled = entries + dice.sample(entries, k=len(entries) // 2)
    dice.shuffle(shuffled)
    assert fold(entries=shuffled) == once


@given(batches())
def test_nobody_is_in_a_tub_and_not_here_at_once(entries: list[EntryFacts]) -> None:
    for state in fold(entries=entries).heads.values():
        assert not (state.in_tub and (state.back or state.not_here))
        assert state.left is None or state.count is not None


@given(batches(), st.integers(0, 8))
def test_a_count_by_hand_that_corrects_all_others_is_the_last_word(
    entries: list[EntryFacts], number: int
) -> None:
    before = fold(entries=entries).head(duty=FEED, head=1)
    later: datetime = at("10:00")
    words = [
        replace(left(100 + n, number, corrects=each), at=later, data={"offered": 8, "left": number})
        for n, each in enumerate(before.standing)
    ] or [replace(left(100, number), at=later, data={"offered": 8, "left": number})]
    after = fold(entries=[*entries, *words]).head(duty=FEED, head=1)
    assert (after.left, after.others) == (number, ())
