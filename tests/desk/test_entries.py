"""What people say comes through one door: kept once, kept apart when it clashes, never lost."""

from datetime import UTC, timedelta
from typing import Any
from uuid import UUID

import pytest
from django.db import IntegrityError, transaction

from roomops.desk.entries import Outcome, Said, say
from roomops.desk.heard import state_of
from roomops.desk.refusals import No
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor, form, on_hand

pytestmark = pytest.mark.django_db
FEED = "2026-06-09/feed/h1-two-dots/1"
NOW = mk.at("09:00")


@pytest.fixture
def floor() -> Floor:
    floor = Floor()
    floor.open("08:00")
    return floor


def count(name: str, left: int = 2, duty: str = FEED, **about: Any) -> Said:
    data = {"offered": 8, "left": left, "food": "c-118"} | about.pop("data", {})
    return Said(id=form(name), duty=duty, kind="count", head=1, data=data, **about)


def tell(floor: Floor, *said: Said, by: m.Person | None = None, clock: str = "09:00") -> list[Outcome]:
    answers = say(room=floor.room, by=by or floor.m.oskar, said=said, now=mk.at(clock))
    assert [answer.id for answer in answers] == [each.id for each in said]
    return [answer.outcome for answer in answers]


# ---------------------------------------------------------------- once, twice, otherwise


def test_the_same_id_and_content_is_kept_once(floor: Floor) -> None:
    assert tell(floor, count("a")) == [Outcome.STORED]
    assert tell(floor, count("a"), clock="09:20") == [Outcome.ALREADY]
    assert tell(floor, count("b"), count("b")) == [Outcome.STORED, Outcome.ALREADY]
    assert m.Entry.objects.count() == 2


def test_the_same_id_with_other_content_is_kept_beside_and_counted_once(floor: Floor) -> None:
    tell(floor, count("a", left=2))
    assert tell(floor, count("a", left=5), by=floor.m.tamsin) == [Outcome.CLASH]
    assert tell(floor, count("a", left=5), by=floor.m.tamsin) == [Outcome.CLASH]
    assert m.Clash.objects.count() == 1
    assert state_of(room=floor.room, day=mk.DAY).head(duty=FEED, head=1).left == 2


def test_a_duty_that_nobody_planned_is_kept_for_a_person(floor: Floor) -> None:
    stray = count("a", duty="2026-06-09/feed/h1-nobody/1")
    assert tell(floor, stray) == [Outcome.UNMATCHED]
    assert not m.Entry.objects.get().matched
    assert on_hand(floor.room, "c-118") == 600
    assert floor.open("09:01").unmatched == 1


@pytest.mark.parametrize(("head", "outcome"), [(5, Outcome.STORED), (6, Outcome.UNMATCHED)])
def test_a_head_that_the_lot_never_had_fits_no_duty(floor: Floor, head: int, outcome: Outcome) -> None:
    said = Said(
        id=form("a"), duty="2026-06-09/feed/h5-unmarked/1", kind="out", head=head, data={"tub": "a-1"}
    )
    assert tell(floor, said) == [outcome]


def test_a_device_that_comes_before_the_day_s_plan_is_held_against_what_falls_due() -> None:
    floor = Floor()
    assert not m.PlanVersion.objects.exists()
    done = Said(id=form("a"), duty="2026-06-09/clean/h1/0", kind="done")
    stray = Said(id=form("b"), duty="2026-06-09/clean/h9/0", kind="done")
    assert tell(floor, done, stray) == [Outcome.STORED, Outcome.UNMATCHED]


def test_each_of_a_batch_is_answered_by_itself(floor: Floor) -> None:
    batch = (count("a"), count("b", left=9), count("c", duty="2026-06-09/feed/gone/1"), count("a"))
    assert tell(floor, *batch) == [Outcome.STORED, Outcome.REFUSED, Outcome.UNMATCHED, Outcome.ALREADY]


def test_an_id_of_another_room_is_refused_and_shows_nothing(floor: Floor) -> None:
    tell(floor, count("a"))
    other = mk.a_room("other", name="Other")
    answer = say(room=other, by=None, said=[count("a", left=5)], now=NOW)[0]
    assert (answer.outcome, answer.why) == (Outcome.REFUSED, No.NOT_YOURS)
    assert not m.Clash.objects.exists()


# ---------------------------------------------------------------- malformed

OPENING, READING = "2026-06-09/opening/h1/0", "2026-06-09/reading/h1/0"
MALFORMED: list[tuple[dict[str, Any], No]] = [
    ({"kind": "eaten"}, No.UNKNOWN_KIND),
    ({"kind": "done"}, No.WRONG_KIND),
    ({"duty": "feed"}, No.UNKNOWN_DUTY),
    ({"duty": "2026-13-09/feed/h1-two-dots/1"}, No.UNKNOWN_DUTY),
    ({"duty": "2026-06-09/feed//1"}, No.UNKNOWN_DUTY),
    ({"duty": "2026-06-09/feed/" + "x" * 200}, No.UNKNOWN_DUTY),
    ({"duty": "2026-06-10/feed/h1-two-dots/1"}, No.OTHER_DAY),
    ({"head": -1}, No.OUT_OF_RANGE),
    ({"data": {"offered": 8, "left": 9}}, No.MORE_LEFT_THAN_OFFERED),
    ({"data": {"offered": 8, "left": "two"}}, No.NOT_A_NUMBER),
    ({"data": {"offered": 8, "left": True}}, No.NOT_A_NUMBER),
    ({"data": {"offered": 8, "left": 1.5}}, No.NOT_A_NUMBER),
    ({"data": {"offered": 8}}, No.NOT_A_NUMBER),
    ({"data": {"offered": -1, "left": 0}}, No.OUT_OF_RANGE),
    ({"data": {"offered": 8, "left": 0, "note": "x" * 5000}}, No.TOO_LONG),
    ({"data": {"offered": 8, "left": 2, "sure": float("inf")}}, No.NOT_A_NUMBER),
    ({"data": {"offered": 8, "left": 2, "note": "a\0b"}}, No.UNKNOWN_KIND),
    ({"duty": "2026-06-09/feed/h1\0/1"}, No.UNKNOWN_KIND),
    ({"data": {"offered": 8, "left": 2, "at": NOW}}, No.NOT_A_NUMBER),
    ({"kind": "not here", "data": {"why": "eaten"}}, No.UNKNOWN_REASON),
    ({"kind": "not here", "data": {"why": "sold", "note": "x" * 201}}, No.TOO_LONG),
    ({"kind": "back", "data": {}}, No.MISSING),
    ({"kind": "undone"}, No.MISSING),
    ({"kind": "wrong", "data": {"text": "  "}}, No.MISSING),
    ({"kind": "walk", "duty": OPENING, "data": {}}, No.NOT_A_NUMBER),
    ({"kind": "walk", "duty": OPENING, "data": {"heads": 4, "water": "yes"}}, No.UNKNOWN_REASON),
    ({"kind": "walk", "duty": OPENING, "data": {"heads": 4, "droppings": "?"}}, No.UNKNOWN_REASON),
    ({"kind": "reading", "duty": READING, "data": {}}, No.MISSING),
    ({"kind": "reading", "duty": READING, "data": {"basking_c": 110}}, No.OUT_OF_RANGE),
    ({"kind": "reading", "duty": READING, "data": {"basking_c": float("nan")}}, No.NOT_A_NUMBER),
    ({"kind": "washed", "duty": "2026-06-09/round/x", "data": {"not_clean": "a-3"}}, No.UNKNOWN_SEAT),
    ({"at": NOW.replace(tzinfo=None)}, No.BAD_TIME),
    ({"at": NOW - timedelta(days=46)}, No.BAD_TIME),
]  # fmt: skip


@pytest.mark.parametrize(("slip", "why"), MALFORMED)
def test_what_is_malformed_is_refused_with_its_reason_and_changes_nothing(
    floor: Floor, slip: dict[str, Any], why: No
) -> None:
    good: dict[str, Any] = {"kind": "count", "duty": FEED, "head": 1, "data": {"offered": 8, "left": 2}}
    answer = say(room=floor.room, by=floor.m.oskar, said=[Said(id=form("a"), **good | slip)], now=NOW)[0]
    assert (answer.outcome, answer.why) == (Outcome.REFUSED, why)
    assert not m.Entry.objects.exists()
    assert not m.LedgerLine.objects.exclude(entry=None).exists()


@pytest.mark.parametrize(
    ("said_at", "kept_at"),
    [("08:59", "08:59"), ("09:00", "09:00"), ("09:01", "09:00")],
)
def test_a_clock_that_runs_ahead_is_set_back_to_now(floor: Floor, said_at: str, kept_at: str) -> None:
    tell(floor, count("a", at=mk.at(said_at).astimezone(UTC)))
    assert m.Entry.objects.get().at == mk.at(kept_at)


# ---------------------------------------------------------------- corrections


def test_a_correction_is_a_new_entry(floor: Floor) -> None:
    tell(floor, count("a", left=2))
    tell(floor, count("b", left=0, corrects=form("a")))
    assert m.Entry.objects.get(id=form("b")).corrects_id == form("a")
    assert state_of(room=floor.room, day=mk.DAY).head(duty=FEED, head=1).left == 0


def test_two_corrections_of_one_count_both_stay(floor: Floor) -> None:
    tell(floor, count("a", left=2))
    tell(floor, count("b", left=0, corrects=form("a")))
    assert tell(floor, count("c", left=1, corrects=form("a")), by=floor.m.tamsin) == [Outcome.STORED]
    head = state_of(room=floor.room, day=mk.DAY).head(duty=FEED, head=1)
    assert {head.left, *head.others} == {0, 1}


def test_taking_back_what_was_taken_back_is_refused(floor: Floor) -> None:
    tell(floor, count("a"))
    taken = Said(id=form("b"), duty=FEED, kind="undone", head=1, corrects=form("a"))
    again = Said(id=form("c"), duty=FEED, kind="undone", head=1, corrects=form("a"))
    assert tell(floor, taken, again) == [Outcome.STORED, Outcome.REFUSED]


def test_a_correction_of_something_else_is_refused(floor: Floor) -> None:
    tell(floor, count("a"))
    answer = say(room=floor.room, by=None, now=NOW, said=[
        count("b", duty="2026-06-09/feed/h1-bar/1", corrects=form("a"))
    ])[0]  # fmt: skip
    assert (answer.outcome, answer.why) == (Outcome.REFUSED, No.OTHER_DUTY)


def test_the_table_itself_lets_an_entry_be_corrected_once_and_an_id_be_used_once(floor: Floor) -> None:
    """What holds when two connections pass the door at once: constraints, not the door's own look."""
    tell(floor, count("a"))
    first = m.Entry.objects.get()
    mk.an_entry(floor.room, FEED, "count", corrects=first)
    for slip in ({"corrects": first}, {"id": first.id}):
        with pytest.raises(IntegrityError), transaction.atomic():
            mk.an_entry(floor.room, FEED, "count", **slip)


# ---------------------------------------------------------------- who and when


def test_every_row_says_who_and_when(floor: Floor) -> None:
    said = [
        count("count"),
        Said(id=form("read"), duty=READING, kind="reading", data={"basking_c": 40.0}),
        Said(
            id=form("walk"),
            duty="2026-06-09/opening/h1/0",
            kind="walk",
            data={"heads": 3, "night_low_c": 23.0},
        ),
        Said(id=form("wrong"), duty="2026-06-09/clean/h2/0", kind="wrong", data={"text": "glass cracked"}),
        Said(
            id=form("vet"), duty="2026-06-09/feed/h1-bar/1", kind="not here", head=1, data={"why": "at vet"}
        ),
    ]
    tell(floor, *said, by=floor.m.lupe, clock="09:30")
    rows: list[Any] = [
        *m.Entry.objects.all(),
        *m.LedgerLine.objects.exclude(entry=None),
        *m.Reading.objects.exclude(entry=None),
        *m.Note.objects.all(),
        m.Resident.objects.get(key="h1-bar"),
        m.Resident.objects.get(key="h1-two-dots"),
        m.Spell.objects.get(resident__key="h1-bar", status="at vet"),
    ]
    assert len(rows) == 5 + 1 + 2 + 2 + 3
    assert {(row.written_by.key, row.written_at) for row in rows} == {("lupe", mk.at("09:30"))}


def test_a_reading_is_a_row_and_a_corrected_one_is_none(floor: Floor) -> None:
    duty = "2026-06-09/reading/h1/0"
    tell(floor, Said(id=form("a"), duty=duty, kind="reading", data={"basking_c": 14.0, "cool_c": 28.0}))
    tell(floor, Said(id=form("b"), duty=duty, kind="reading", data={"basking_c": 41.0}, corrects=form("a")))
    kept = m.Reading.objects.filter(entry__isnull=False).values_list("spot", "value_c")
    assert list(kept) == [("basking", 41.0)]


def test_facts_change_with_a_reading_and_not_with_a_count(floor: Floor) -> None:
    tell(floor, count("a"))
    floor.room.refresh_from_db()
    assert floor.room.facts_changed == mk.WRITTEN
    tell(floor, Said(id=form("b"), duty="2026-06-09/reading/h1/0", kind="reading", data={"basking_c": 41.0}))
    floor.room.refresh_from_db()
    assert floor.room.facts_changed == NOW


def test_an_id_is_made_from_the_form_for_each_head() -> None:
    from roomops.desk.entries import id_from

    ids = {id_from(form=UUID(int=1), duty=FEED, head=head) for head in range(5)}
    assert len(ids) == 5
    assert ids == {id_from(form=UUID(int=1), duty=FEED, head=head) for head in range(5)}
