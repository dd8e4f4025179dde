"""Medicine as the vet ordered it, a search until it is found: by whom, when, and what follows."""

from __future__ import annotations

from datetime import timedelta

import pytest

from roomops.desk import medicine, partings, searching
from roomops.desk.herd import Hand
from roomops.desk.medicine import Ordered
from roomops.desk.partings import Who
from roomops.desk.refusals import No, Refused
from roomops.records import models as m
from roomops.records.snapshot_medicines import medicines
from tests import makers as mk
from tests.desk.floor import Floor, form

pytestmark = pytest.mark.django_db
BAR = Who(key="h1-bar", seen="")


@pytest.fixture
def floor() -> Floor:
    return Floor()


def hand(floor: Floor, clock: str = "09:00", by: str = "tamsin") -> Hand:
    person = m.Person.objects.get(room=floor.room, key=by)
    return Hand(room=floor.room, by=person, now=mk.at(clock), day=mk.DAY)


def ordered(**changes: object) -> Ordered:
    facts = {
        "as_ordered": "0.05 mL by mouth", "ordered_by": "Dr. Whitcomb", "times_a_day": 2,
        "from_on": mk.DAY, "until_on": mk.DAY + timedelta(days=6),
    } | changes  # fmt: skip
    return Ordered(**facts)


def order(floor: Floor, **changes: object) -> m.MedicineOrder:
    return medicine.order(hand=hand(floor), key="h1-bar", seen="", ordered=ordered(**changes))


def dose(floor: Floor, number: int, clock: str, **said: object) -> None:
    about = {"given": True, "why": ""} | said
    medicine.say_dose(
        day=floor.open(clock), hand=hand(floor, clock, by="oskar"), order_key="h1-bar-1", number=number,
        form=form(f"dose {number} {clock}"), **about,
    )  # fmt: skip


# ---------------------------------------------------------------- medicine


def test_each_time_of_an_order_is_given_or_not_and_why_and_by_whom(floor: Floor) -> None:
    order(floor)
    dose(floor, 1, "09:00")
    dose(floor, 2, "17:00", given=False, why="spat out")
    [view] = medicine.today(day=floor.open("17:01"))
    assert (view.as_ordered, view.ordered_by, view.here) == ("0.05 mL by mouth", "Dr. Whitcomb", True)
    assert [(each.given, each.why, each.by) for each in view.doses] == [
        (True, "", "Oskar"), (False, "spat out", "Oskar"),
    ]  # fmt: skip
    assert not m.Entry.objects.filter(matched=False).exists()


def test_what_was_said_of_a_dose_is_corrected_and_both_are_kept(floor: Floor) -> None:
    order(floor)
    dose(floor, 1, "09:00")
    dose(floor, 1, "09:05", given=False, why="the wrong animal")
    assert medicine.today(day=floor.open("09:06"))[0].doses[0].why == "the wrong animal"
    assert m.Entry.objects.filter(duty__contains="/medicine/").count() == 2


def test_not_given_needs_its_reason_and_a_number_of_the_order(floor: Floor) -> None:
    order(floor)
    for said, why in (({"given": False}, No.MISSING), ({"number": 3}, No.NO_MEDICINE)):
        with pytest.raises(Refused) as no:
            dose(floor, **({"number": 1, "clock": "09:00"} | said))
        assert no.value.why is why
    assert not m.Entry.objects.filter(duty__contains="/medicine/").exists()


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"as_ordered": ""}, No.MISSING),
        ({"ordered_by": ""}, No.MISSING),
        ({"times_a_day": 0}, No.OUT_OF_RANGE),
        ({"times_a_day": 5}, No.OUT_OF_RANGE),
        ({"until_on": mk.DAY - timedelta(days=1)}, No.OUT_OF_RANGE),
        ({"from_on": mk.DAY + timedelta(days=2), "until_on": mk.DAY + timedelta(days=1)}, No.OUT_OF_RANGE),
        ({"until_on": mk.DAY + timedelta(days=121)}, No.OUT_OF_RANGE),
    ],
)
def test_an_order_that_cannot_be_is_not_kept(floor: Floor, changes: dict[str, object], why: No) -> None:
    with pytest.raises(Refused) as no:
        order(floor, **changes)
    assert no.value.why is why
    assert not m.MedicineOrder.objects.exists()


@pytest.mark.parametrize(("ahead", "due"), [(-1, False), (0, True), (6, True), (7, False)])
def test_an_order_holds_from_its_first_to_its_last_day(floor: Floor, ahead: int, due: bool) -> None:
    order(floor)
    assert bool(medicines(room=floor.room, day=mk.DAY + timedelta(days=ahead))) is due


def test_what_the_vet_stopped_is_not_due_any_more(floor: Floor) -> None:
    order(floor)
    medicine.stop(hand=hand(floor), order_key="h1-bar-1")
    assert medicines(room=floor.room, day=mk.DAY) == ()
    assert medicine.today(day=floor.open("10:00")) == ()
    with pytest.raises(Refused):
        medicine.stop(hand=hand(floor), order_key="h1-bar-1")


def test_an_animal_that_is_away_gets_nothing_here_and_its_order_waits(floor: Floor) -> None:
    order(floor)
    partings.to_vet(hand=hand(floor), who=BAR, note="")
    assert medicines(room=floor.room, day=mk.DAY) == ()
    with pytest.raises(Refused) as no:
        dose(floor, 1, "10:00")
    assert no.value.why is No.AWAY
    partings.back_from_vet(hand=hand(floor, "11:00"), who=BAR)
    assert [each.times for each in medicines(room=floor.room, day=mk.DAY)] == [2]


def test_a_device_may_say_a_dose_of_a_known_order_and_of_no_other(floor: Floor) -> None:
    from roomops.desk.entries import Said, say

    order(floor)
    said = [
        Said(id=form(key), duty=medicine.duty_of(day=mk.DAY, order_key=key, number=1), kind="done",
             data={"given": True})
        for key in ("h1-bar-1", "nobody-1")
    ]  # fmt: skip
    answers = say(room=floor.room, by=floor.m.oskar, said=said, now=mk.at("09:30"))
    assert [each.outcome.value for each in answers] == ["stored", "unmatched"]


# ---------------------------------------------------------------- missing


def missing(floor: Floor) -> None:
    partings.missing(hand=hand(floor), who=BAR, note="lid open")


def looked(floor: Floor, clock: str, **about: object) -> None:
    said = {"places": ["low"], "seen": {}} | about
    searching.looked(day=floor.open(clock), hand=hand(floor, clock), key="h1-bar", form=form(clock), **said)


def test_a_missing_animal_is_looked_for_again_and_again_until_it_is_found(floor: Floor) -> None:
    missing(floor)
    looked(floor, "09:10", seen={"h1": 3, "h2": 4})
    looked(floor, "09:40", places=["drains", "low"], seen={"h2": 5})
    view = searching.search_view(day=floor.open("09:41"), key="h1-bar")
    assert [each.at for each in view.looked] == [mk.at("09:40"), mk.at("09:10")]
    assert view.done == {"drains", "low"}
    assert [(each.name, each.by_the_book, each.seen) for each in view.tanks] == [
        ("H1", 3, 3), ("H2", 4, 5), ("H5", 5, None),
    ]  # fmt: skip
    assert [each.name for each in view.over] == ["H2"]
    searching.found_it(
        day=floor.open("10:00"), hand=hand(floor, "10:00"), key="h1-bar", where="in H2", form=form("found")
    )
    row = m.Resident.objects.get(key="h1-bar")
    assert (row.status, row.status_note, row.tank.key) == ("here", "found: in H2", "h1")
    assert searching.missing_of(day=floor.open("10:01")) == ()


def test_found_settles_the_short_count_of_its_tank(floor: Floor) -> None:
    missing(floor)
    m.Note.objects.create(
        room=floor.room, at=mk.at("08:00"), text="3 of 4 seen", tank=floor.m.tanks["h1"], wrong=True,
        written_at=mk.at("08:00"),
    )  # fmt: skip
    searching.found_it(
        day=floor.open("10:00"), hand=hand(floor, "10:00"), key="h1-bar", where="x", form=form("found")
    )
    assert not m.Note.objects.filter(settled_at=None).exists()


def test_a_search_that_says_nothing_is_refused(floor: Floor) -> None:
    missing(floor)
    with pytest.raises(Refused) as no:
        looked(floor, "09:10", places=["the moon"])
    assert no.value.why is No.MISSING
    with pytest.raises(Refused) as no:
        searching.search_view(day=floor.open("09:11"), key="h1-one-dot")
    assert no.value.why is No.FOUND


def test_found_that_was_taken_back_is_missing_again(floor: Floor) -> None:
    from roomops.desk.entries import Said, say

    missing(floor)
    searching.found_it(
        day=floor.open("10:00"), hand=hand(floor, "10:00"), key="h1-bar", where="x", form=form("found")
    )
    entry = m.Entry.objects.get(duty__contains="/search/")
    back = Said(id=form("back"), duty=entry.duty, kind="undone", corrects=entry.id)
    say(room=floor.room, by=floor.m.oskar, said=[back], now=mk.at("10:05"))
    assert m.Resident.objects.get(key="h1-bar").status == "missing"
