"""Where an animal stands: it drops out of feeds at once, its history is kept, lots lose heads one by one."""

from __future__ import annotations

import pytest

from roomops.desk import animals
from roomops.desk.refusals import No, Refused
from roomops.desk.tray_types import TubState
from roomops.planning.room import Status
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor, form

pytestmark = pytest.mark.django_db
H1, LOT = "h1-two-dots", "h5-unmarked"


@pytest.fixture
def floor() -> Floor:
    floor = Floor()
    floor.open("08:00")
    return floor


def away(floor: Floor, resident: str, why: str, clock: str = "09:00", head: int = 1, **about: str) -> None:
    key = floor.round_of(resident)
    floor.press("not_here", clock, **floor.head(key, resident, head=head), **{"note": "", "why": why} | about)


def names(floor: Floor, resident: str, slot: int, clock: str) -> set[str]:
    return {tub.resident for tub in floor.tray(floor.round_of(resident, slot), clock).tubs}


# ---------------------------------------------------------------- one animal


@pytest.mark.parametrize(
    ("why", "status", "stays"),
    [
        ("sold", "gone home", False),
        ("dead", "died", False),
        ("moved", "moved out", False),
        ("at vet", "at vet", True),
        ("can't find", "missing", True),
        ("isolated", "isolated", True),
    ],
)
def test_not_here_changes_where_the_animal_stands_with_its_history(
    floor: Floor, why: str, status: str, stays: bool
) -> None:
    away(floor, H1, why, note="limping")
    row = m.Resident.objects.get(key=H1)
    assert (row.status, row.status_since, row.status_note) == (status, mk.at("09:00"), "limping")
    assert list(row.spells.order_by("since").values_list("status", "note")) == [
        ("here", ""),
        (status, "limping"),
    ]
    assert row.stays.get().until == (None if stays else mk.at("09:00"))
    floor.room.refresh_from_db()
    assert floor.room.facts_changed == mk.at("09:00")


def test_an_animal_sold_at_two_drops_out_of_the_third_feed_at_once(floor: Floor) -> None:
    third = floor.round_of("h1-bar", 3)
    before = floor.open("13:59").view(third)
    away(floor, H1, "sold", "14:00")
    after = floor.open("14:00").view(third)
    assert (before.due, after.due) == (8, 7)
    assert [seat.duty for seat in after.dropped] == [floor.feed(H1, 3)]
    assert H1 not in names(floor, "h1-bar", 3, "14:00")


def test_an_animal_that_is_not_here_gets_no_cup_and_no_count(floor: Floor) -> None:
    away(floor, H1, "at vet", "08:30")
    key = floor.round_of("h1-bar")
    floor.whole_round(key, ("08:40", "08:50", "09:05", "09:10", "09:20"))
    tub = floor.tub(key, "09:21", H1)
    assert (tub.state, tub.left, tub.why, tub.why_by) == (TubState.NOT_HERE, None, "at vet", "Oskar")
    assert floor.open("09:21").view(key).left == 0
    assert m.Resident.objects.get(key=H1).last_fed_on is None


def test_it_is_here_after_all_puts_it_back_where_it_stood(floor: Floor) -> None:
    away(floor, H1, "sold")
    key = floor.round_of(H1)
    floor.press("it_is_here", "09:02", **floor.head(key, H1))
    row = m.Resident.objects.get(key=H1)
    assert (row.status, row.tank.key) == ("here", "h1")
    assert row.stays.get(until=None).since == mk.at("09:02")
    assert floor.tub(key, "09:03", H1).state is TubState.PLANNED
    with pytest.raises(Refused) as no:
        floor.press("it_is_here", "09:04", **floor.head(key, H1))
    assert no.value.why is No.NOTHING_TO_UNDO


def test_it_is_here_does_not_undo_what_somebody_said_since(floor: Floor) -> None:
    away(floor, H1, "can't find")
    animals.set_status(
        resident=m.Resident.objects.get(key=H1), status=Status.DIED, now=mk.at("09:30"), by=floor.m.tamsin
    )
    key = floor.round_of(H1)
    floor.press("it_is_here", "09:40", **floor.head(key, H1))
    assert m.Resident.objects.get(key=H1).status == "died"


def test_a_move_within_the_room_keeps_its_status_and_ends_its_stay(floor: Floor) -> None:
    mk.a_tank(floor.room, "H6")
    away(floor, H1, "moved", to_tank="h6")
    row = m.Resident.objects.get(key=H1)
    assert (row.status, row.tank.key) == ("here", "h6")
    assert [(s.tank.key, s.until) for s in row.stays.order_by("pk")] == [("h1", mk.at("09:00")), ("h6", None)]
    key = floor.round_of("h1-bar")
    floor.press("it_is_here", "09:05", **floor.head(key, H1))
    assert m.Resident.objects.get(key=H1).tank.key == "h1"


@pytest.mark.parametrize(
    ("to_tank", "why", "about"),
    [
        ("h9", No.UNKNOWN_TANK, {"value": "h9"}),
        ("h1", No.OTHER_TANK, {"value": "H1", "tank": "H1"}),
        ("h2", No.MARK_TAKEN, {"value": "two dots", "tank": "H2"}),
    ],
)
def test_a_move_that_cannot_be_is_refused_and_nothing_is_kept(
    floor: Floor, to_tank: str, why: No, about: dict[str, str]
) -> None:
    with pytest.raises(Refused) as no:
        away(floor, H1, "moved", to_tank=to_tank)
    assert (no.value.why, no.value.about) == (why, about)
    assert m.Resident.objects.get(key=H1).tank.key == "h1"
    assert not m.Entry.objects.exists()


def test_a_reason_that_is_none_is_refused_with_those_there_are(floor: Floor) -> None:
    with pytest.raises(Refused) as no:
        away(floor, H1, "eaten")
    assert no.value.why is No.UNKNOWN_REASON
    assert "sold" in no.value.about["allowed"]


def test_an_offline_move_that_cannot_be_is_kept_and_shown_to_a_person(floor: Floor) -> None:
    from roomops.desk.entries import Outcome, Said, say

    data = {"why": "moved", "note": "", "to_tank": "h2"}
    said = Said(id=form("late"), duty=floor.feed(H1), head=1, kind="not here", data=data)
    also = Said(id=form("more"), duty="2026-06-09/clean/h1/0", kind="done")
    answers = say(room=floor.room, by=floor.m.oskar, said=[said, also], now=mk.at("09:00"))
    assert [answer.outcome for answer in answers] == [Outcome.STORED, Outcome.STORED]
    assert (answers[0].why, answers[0].about["tank"]) == (No.MARK_TAKEN, "H2")
    assert m.Resident.objects.get(key=H1).tank.key == "h1"
    assert [trouble.about for trouble in floor.open("09:01").wrong] == ["H1 · two dots"]


# ---------------------------------------------------------------- lots


def test_one_of_a_lot_that_leaves_takes_one_head_with_it(floor: Floor) -> None:
    away(floor, LOT, "sold", head=3)
    lot = m.Resident.objects.get(key=LOT)
    gone = m.Resident.objects.get(status="gone home")
    assert (lot.heads, lot.status, gone.heads, gone.lot) == (4, "here", 1, lot.lot)
    assert lot.stays.get(until=None).heads == 4
    assert list(lot.spells.order_by("since").values_list("heads", flat=True)) == [5, 4]
    assert gone.spells.get().status == "gone home"


def test_the_tray_of_a_lot_shows_who_is_gone_and_the_next_feed_has_one_less(floor: Floor) -> None:
    away(floor, LOT, "sold", head=3)
    now = {tub.head: tub.state for tub in floor.tray(floor.round_of(LOT), "09:01").tubs}
    assert now == {1: TubState.PLANNED, 2: TubState.PLANNED, 3: TubState.NOT_HERE, 4: TubState.PLANNED,
                   5: TubState.PLANNED}  # fmt: skip
    later = floor.tray(floor.round_of(LOT, 2), "09:01")
    assert ([tub.head for tub in later.tubs], later.view.due) == ([1, 2, 3, 4], 4)


def test_a_head_that_is_here_after_all_goes_back_among_its_lot(floor: Floor) -> None:
    away(floor, LOT, "can't find", head=3)
    floor.press("it_is_here", "09:05", **floor.head(floor.round_of(LOT), LOT, head=3))
    lot = m.Resident.objects.get(key=LOT)
    assert (lot.heads, lot.stays.get(until=None).heads) == (5, 5)
    assert sum(m.Resident.objects.filter(lot=lot.lot).values_list("heads", flat=True)) == 5
    assert floor.tray(floor.round_of(LOT), "09:06").tubs[2].state is TubState.PLANNED


def test_heads_of_a_lot_are_fed_one_by_one_and_summed_for_the_tank(floor: Floor) -> None:
    key = floor.round_of(LOT)
    floor.all_in_tubs(key)
    for head, left in ((1, 0), (2, 3), (3, 8)):
        floor.press("count", "09:00", **floor.head(key, LOT, head=head), left=left)
    total = floor.tray(key, "09:01").sums[0]
    each = floor.tub(key, "09:01", LOT).offered
    assert (total.label, total.tank_name, total.heads) == ("H5 · unmarked", "H5", 5)
    assert (total.offered, total.left, total.not_counted) == (5 * each, 11, 2)


def test_the_last_of_a_lot_leaves_the_row_itself(floor: Floor) -> None:
    lot = m.Resident.objects.get(key=LOT)
    part = animals.set_status(resident=lot, status=Status.SOLD, now=mk.at("09:00"), by=floor.m.tamsin)
    assert (part.pk, part.heads) == (lot.pk, 5)
    assert floor.open("09:01").view(floor.round_of(LOT)).due == 0


@pytest.mark.parametrize(("heads", "kept"), [(0, False), (1, True), (5, True), (6, False)])
def test_as_many_leave_as_there_are(floor: Floor, heads: int, kept: bool) -> None:
    lot = m.Resident.objects.get(key=LOT)
    if kept:
        part = animals.set_status(
            resident=lot, status=Status.SOLD, now=mk.at("09:00"), by=floor.m.tamsin, heads=heads
        )
        assert part.heads == heads
        return
    with pytest.raises(Refused) as no:
        animals.set_status(
            resident=lot, status=Status.SOLD, now=mk.at("09:00"), by=floor.m.tamsin, heads=heads
        )
    assert (no.value.why, no.value.about) == (No.NO_SUCH_HEADS, {"value": heads, "most": 5})


def test_heads_taken_aside_keep_what_was_measured_of_the_lot(floor: Floor) -> None:
    lot = m.Resident.objects.get(key=LOT)
    part = animals.set_status(
        resident=lot, status=Status.ISOLATED, now=mk.at("09:00"), by=floor.m.tamsin, heads=2
    )
    measured = set(part.measurements.values_list("measure", "value"))
    assert measured == {("length_mm", 120.0), ("gap_mm", 6.5)}
    assert part.tank.key == "h5"


def test_an_unwell_animal_leaves_the_clean_trays_and_asks_for_a_new_plan(floor: Floor) -> None:
    away(floor, H1, "isolated", "10:30")
    day = floor.open("10:31")
    second = day.view(floor.round_of("h1-bar", 2))
    assert floor.feed(H1, 2) in {seat.duty for seat in second.dropped}
    assert floor.feed(H1, 2) in day.stale
    assert m.Job.objects.get(kind="replan").data == {"day": "2026-06-09"}
