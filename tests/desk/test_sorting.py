"""What fits nothing, and what says two things under one id, waits for a person and is settled by one."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from roomops.desk import sorting
from roomops.desk.entries import Outcome, Said, say
from roomops.desk.heard import state_of
from roomops.desk.refusals import No, Refused
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor, form, on_hand

pytestmark = pytest.mark.django_db
STRAY, MEANT = f"{mk.DAY}/feed/h1-blob/1", f"{mk.DAY}/feed/h1-bar/1"
NOW = mk.at("09:30")


@pytest.fixture
def floor() -> Floor:
    floor = Floor()
    floor.open("08:00")
    return floor


def count(floor: Floor, name: str, left: int = 2, duty: str = MEANT, by: m.Person | None = None) -> Outcome:
    data = {"offered": 8, "left": left, "food": "c-118"}
    said = Said(id=form(name), duty=duty, kind="count", head=1, data=data)
    return say(room=floor.room, by=by or floor.m.oskar, said=[said], now=mk.at("09:00"))[0].outcome


def head(floor: Floor, duty: str = MEANT) -> int | None:
    return state_of(room=floor.room, day=mk.DAY).head(duty=duty, head=1).left


# ---------------------------------------------------------------- fits nothing


def test_a_stray_count_is_shown_with_what_it_may_have_meant(floor: Floor) -> None:
    assert count(floor, "a", duty=STRAY) is Outcome.UNMATCHED
    found = sorting.to_sort(room=floor.room).unmatched
    assert [(each.entry, each.duty, each.by) for each in found] == [(form("a"), STRAY, "Oskar")]
    likely = dict(found[0].likely)
    assert likely[MEANT] == "H1 · bar"
    assert all("/feed/" in duty for duty in likely)
    assert [duty[-1] for duty in list(likely)[:3]] == ["1", "1", "1"]


def test_saying_what_was_meant_makes_it_count_with_its_own_time(floor: Floor) -> None:
    count(floor, "a", duty=STRAY)
    about = {"room": floor.room, "entry": form("a"), "by": floor.m.tamsin, "form": form("b"), "now": NOW}
    sorting.settle_unmatched(duty=MEANT, **about)
    assert (head(floor), on_hand(floor.room, "c-118")) == (2, 592)
    kept = m.Entry.objects.get(id=form("b"))
    assert (kept.corrects_id, kept.at, kept.written_by, kept.written_at) == (
        form("a"), mk.at("09:00"), floor.m.tamsin, NOW,
    )  # fmt: skip
    assert sorting.to_sort(room=floor.room).unmatched == ()
    again = sorting.settle_unmatched(duty=MEANT, **about)
    assert again[0].outcome is Outcome.ALREADY


def test_a_stray_can_be_left_aside_and_stays_in_its_table(floor: Floor) -> None:
    count(floor, "a", duty=STRAY)
    sorting.settle_unmatched(
        room=floor.room, entry=form("a"), duty=None, by=floor.m.tamsin, form=form("b"), now=NOW
    )
    assert sorting.to_sort(room=floor.room).unmatched == ()
    assert floor.open("09:31").unmatched == 0
    assert m.Entry.objects.filter(id=form("a")).exists()
    assert on_hand(floor.room, "c-118") == 600


def test_what_is_settled_is_settled_once_and_only_into_something_that_is_due(floor: Floor) -> None:
    count(floor, "a", duty=STRAY)
    for duty, entry, why in (
        (f"{mk.DAY}/feed/h1-blot/1", "a", No.UNKNOWN_DUTY),
        (f"{mk.DAY}/clean/h1/0", "a", No.WRONG_KIND),
        (MEANT, "z", No.NOT_YOURS),
    ):
        with pytest.raises(Refused) as no:
            sorting.settle_unmatched(
                room=floor.room, entry=form(entry), duty=duty, by=floor.m.tamsin, form=form("b"), now=NOW
            )
        assert no.value.why is why
    assert m.Entry.objects.count() == 1
    sorting.settle_unmatched(
        room=floor.room, entry=form("a"), duty=None, by=floor.m.tamsin, form=form("b"), now=NOW
    )
    with pytest.raises(Refused) as no:
        sorting.settle_unmatched(
            room=floor.room, entry=form("a"), duty=MEANT, by=floor.m.oskar, form=form("c"), now=NOW
        )
    assert no.value.why is No.ALREADY_SETTLED


# ---------------------------------------------------------------- two contents, one id


def clashed(floor: Floor, duty: str = MEANT) -> sorting.ClashView:
    count(floor, "a", left=2)
    assert count(floor, "a", left=5, duty=duty, by=floor.m.tamsin) is Outcome.CLASH
    return sorting.to_sort(room=floor.room).clashes[0]


def settle(floor: Floor, clash: int, keep: str, name: str = "b") -> None:
    sorting.settle_clash(room=floor.room, clash=clash, keep=keep, by=floor.m.lupe, form=form(name), now=NOW)


def test_a_clash_shows_both_sides_with_who(floor: Floor) -> None:
    pair = clashed(floor)
    assert (pair.label, pair.kept["left"], pair.kept_by, pair.other["left"], pair.other_by) == (
        "H1 · bar", 2, "Oskar", 5, "Tamsin",
    )  # fmt: skip


@pytest.mark.parametrize(("keep", "left", "entries"), [("first", 2, 1), ("other", 5, 2)])
def test_a_person_picks_one_and_the_difference_is_a_correction(
    floor: Floor, keep: str, left: int, entries: int
) -> None:
    settle(floor, clashed(floor).clash, keep)
    assert (head(floor), m.Entry.objects.count(), on_hand(floor.room, "c-118")) == (left, entries, 592)
    assert sorting.to_sort(room=floor.room).clashes == ()
    with pytest.raises(Refused) as no:
        settle(floor, m.Clash.objects.get().pk, keep, "c")
    assert no.value.why is No.ALREADY_SETTLED


def test_the_other_side_may_speak_of_another_animal(floor: Floor) -> None:
    elsewhere = f"{mk.DAY}/feed/h1-two-dots/1"
    settle(floor, clashed(floor, elsewhere).clash, "other")
    assert (head(floor), head(floor, elsewhere)) == (None, 5)
    assert on_hand(floor.room, "c-118") == 592


def test_a_clash_corrects_the_last_word_of_its_chain(floor: Floor) -> None:
    pair = clashed(floor)
    data = {"offered": 8, "left": 0, "food": "c-118"}
    later = Said(id=form("later"), duty=MEANT, kind="count", head=1, data=data, corrects=form("a"))
    say(room=floor.room, by=floor.m.oskar, said=[later], now=mk.at("09:10"))
    settle(floor, pair.clash, "other")
    assert head(floor) == 5
    assert m.Entry.objects.get(id=form("b")).corrects_id == form("later")


def test_neither_side_is_no_choice(floor: Floor) -> None:
    with pytest.raises(Refused) as no:
        settle(floor, clashed(floor).clash, "both")
    assert no.value.why is No.UNKNOWN_REASON
    assert m.Clash.objects.get().settled_at is None


def test_the_list_costs_as_much_for_many_as_for_one(floor: Floor) -> None:
    def bill() -> int:
        with CaptureQueriesContext(connection) as caught:
            sorting.to_sort(room=floor.room)
        return len(caught)

    clashed(floor)
    count(floor, "s", duty=STRAY)
    one = bill()
    for n in range(8):
        count(floor, f"s{n}", duty=f"{mk.DAY}/feed/h1-blob-{n}/1")
        count(floor, f"c{n}", duty=f"{mk.DAY}/feed/h2-bar/1")
        count(floor, f"c{n}", left=7, duty=f"{mk.DAY}/feed/h2-bar/1")
    assert bill() == one
