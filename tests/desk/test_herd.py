"""Animals come in, move, are grouped and split, get a mark and lose it: all or nothing, with its sentence."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from roomops.desk import herd
from roomops.desk.editing import token
from roomops.desk.herd import Hand, Moving, Newcomer
from roomops.desk.refusals import No, Refused
from roomops.planning.room import Status
from roomops.records import models as m
from tests import makers as mk

pytestmark = pytest.mark.django_db


@pytest.fixture
def morning() -> mk.Morning:
    return mk.an_ordinary_morning()


def hand(morning: mk.Morning, clock: str = "09:00", *, looked: bool = False) -> Hand:
    return Hand(room=morning.room, by=morning.tamsin, now=mk.at(clock), day=mk.DAY, looked=looked)


def refused(use: Callable[[], object]) -> tuple[No, dict[str, object]]:
    """Why nothing was kept. Nothing half done: stays and spells are as many as before."""
    before = m.Stay.objects.count(), m.Spell.objects.count(), m.Resident.objects.count()
    with pytest.raises(Refused) as no:
        use()
    assert (m.Stay.objects.count(), m.Spell.objects.count(), m.Resident.objects.count()) == before
    return no.value.why, no.value.about


def resident(key: str) -> m.Resident:
    return m.Resident.objects.select_related("tank").get(key=key)


def move(morning: mk.Morning, to: str, *keys: str, **changes: object) -> list[m.Resident]:
    looked = bool(changes.pop("looked", False))
    moving = [Moving(key=key, **changes) for key in keys]
    return herd.move(hand=hand(morning, looked=looked), moving=moving, to=to)


# ---------------------------------------------------------------- in


def newcomer(**changes: object) -> Newcomer:
    facts = {"kind": mk.DRAGON, "tank": "h6", "status": Status.HERE, "mark": "ring",
             "hatched_on": date(2026, 4, 14)} | changes  # fmt: skip
    return Newcomer(**facts)


def test_an_animal_comes_in_with_its_stay_its_standing_and_its_first_weight(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    made = herd.add(hand=hand(morning), new=newcomer(measures={"weight_g": 12.5, "length_mm": 150.0}))
    assert (made.key, made.identity, made.tank.key) == ("h6-ring", "marked", "h6")
    assert made.stays.get().since == mk.at("09:00")
    assert (made.spells.get().status, made.spells.get().written_by) == ("here", morning.tamsin)
    assert set(made.measurements.values_list("measure", "value")) == {("weight_g", 12.5), ("length_mm", 150)}
    morning.room.refresh_from_db()
    assert morning.room.facts_changed == mk.at("09:00")


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"kind": "unicorn"}, No.UNKNOWN_KIND),
        ({"tank": "zz"}, No.UNKNOWN_TANK),
        ({"status": Status.SOLD}, No.UNKNOWN_REASON),
        ({"mark": "", "heads": 0}, No.OUT_OF_RANGE),
        ({"mark": "", "heads": 501}, No.OUT_OF_RANGE),
        ({"heads": 2}, No.OUT_OF_RANGE),
        ({"hatched_on": mk.DAY + timedelta(days=1)}, No.FUTURE_DATE),
        ({"mark": "", "name": "marlow"}, No.NAME_TAKEN),
        ({"tank": "h1", "mark": "bar"}, No.MARK_TAKEN),
        ({"tank": "q1"}, No.QUARANTINE_APART),
        ({"status": Status.QUARANTINE}, No.QUARANTINE_APART),
        ({"tank": "sorrel"}, No.KINDS_MIXED),
        ({"tank": "marlow"}, No.LIVES_ALONE),
    ],
)
def test_what_cannot_come_in_is_refused_and_leaves_nothing(
    morning: mk.Morning, changes: dict[str, object], why: No
) -> None:
    mk.a_tank(morning.room, "H6")
    assert refused(lambda: herd.add(hand=hand(morning), new=newcomer(**changes)))[0] is why


def test_the_same_animal_is_not_entered_in_two_tanks(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "Marlow 2")
    new = newcomer(name="Marlow", mark="", tank="marlow-2", status=Status.STORE)
    why, about = refused(lambda: herd.add(hand=hand(morning), new=new))
    assert (why, about) == (No.NAME_TAKEN, {"value": "Marlow", "tank": "Marlow"})


def test_a_key_is_never_given_twice(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    first = herd.add(hand=hand(morning), new=newcomer())
    m.Resident.objects.filter(pk=first.pk).update(status="gone home")
    assert herd.add(hand=hand(morning), new=newcomer()).key == "h6-ring-2"


# ---------------------------------------------------------------- from tank to tank


def test_a_move_ends_one_stay_and_begins_the_next(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    [moved] = move(morning, "h6", "h1-bar")
    assert (moved.tank.key, moved.status) == ("h6", "here")
    stays = [(stay.tank.key, stay.until) for stay in moved.stays.order_by("pk")]
    assert stays == [("h1", mk.at("09:00")), ("h6", None)]


def test_a_group_moves_as_one_or_not_at_all(morning: mk.Morning) -> None:
    """H2 has a bar and dots of its own: the second animal's mark is taken, so the first stays too."""
    m.Resident.objects.filter(key="h1-bar").update(mark="ring")
    why, about = refused(lambda: move(morning, "h2", "h1-bar", "h1-one-dot"))
    assert (why, about) == (No.MARK_TAKEN, {"value": "one dot", "tank": "H2"})
    assert resident("h1-bar").tank.key == "h1"


def test_an_animal_named_twice_moves_once(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    assert len(move(morning, "h6", "h1-bar", "h1-bar")) == 1
    assert m.Stay.objects.filter(resident__key="h1-bar", until=None).count() == 1


@pytest.mark.parametrize(("heads", "why"), [(7, None), (8, None), (9, No.TOO_MANY)])
def test_as_many_hatchlings_share_a_tank_as_the_care_sheet_allows(
    morning: mk.Morning, heads: int, why: No | None
) -> None:
    mk.a_tank(morning.room, "H6")
    new = newcomer(mark="", heads=heads)
    if why is None:
        assert herd.add(hand=hand(morning), new=new).heads == heads
    else:
        found, about = refused(lambda: herd.add(hand=hand(morning), new=new))
        assert (found, about["value"], about["most"]) == (why, 9, 8)


@pytest.mark.parametrize(("grams", "why"), [(24.5, None), (24.6, None), (24.7, No.SIZES_APART)])
def test_the_heaviest_is_at_most_one_and_a_half_times_the_lightest(
    morning: mk.Morning, grams: float, why: No | None
) -> None:
    """16.4 g is the lightest of H2; 1.5 times that is 24.6 g: common practice."""
    mk.a_tank(morning.room, "H6")
    large = mk.a_hatchling(m.Tank.objects.get(key="h6"), "ring", weight_g=grams)
    if why is None:
        move(morning, "h2", large.key)
    else:
        assert refused(lambda: move(morning, "h2", large.key)) == (
            why, {"tank": "H2", "value": 1.51, "most": 1.5}
        )  # fmt: skip
        move(morning, "h2", large.key, looked=True)  # side by side: kept
    assert resident(large.key).tank.key == "h2"


@pytest.mark.parametrize(
    ("key", "to", "why"),
    [
        ("h1-bar", "h1", No.SAME_TANK),
        ("h1-bar", "zz", No.UNKNOWN_TANK),
        ("nobody", "h2", No.UNKNOWN_RESIDENT),
        ("h1-bar", "sorrel", No.KINDS_MIXED),
        ("h1-bar", "marlow", No.LIVES_ALONE),
        ("marlow", "h1", No.LIVES_ALONE),
        ("q1-one-dot", "h1", No.QUARANTINE_APART),
        ("h1-bar", "q1", No.QUARANTINE_APART),
    ],
)
def test_a_move_that_may_not_be_has_its_reason(morning: mk.Morning, key: str, to: str, why: No) -> None:
    assert refused(lambda: move(morning, to, key))[0] is why


def test_nobody_joins_an_animal_that_is_isolated(morning: mk.Morning) -> None:
    mk.a_hatchling(mk.a_tank(morning.room, "H6"), "ring", status="isolated")
    assert refused(lambda: move(morning, "h6", "h1-bar"))[0] is No.ISOLATED_APART


def test_quarantine_that_is_over_opens_the_other_tanks(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    moving = [Moving(key="q1-one-dot")]
    [moved] = herd.move(hand=hand(morning), moving=moving, to="h6", status=Status.HERE)
    assert (moved.tank.key, moved.status) == ("h6", "here")


def test_heads_that_part_from_a_lot_meet_their_lot_again(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    [part] = move(morning, "h6", "h5-unmarked", heads=2)
    assert (part.heads, resident("h5-unmarked").heads) == (2, 3)
    [whole] = move(morning, "h5", part.key)
    assert (whole.key, whole.heads, whole.stays.get(until=None).heads) == ("h5-unmarked", 5, 5)


@pytest.mark.parametrize("heads", [0, 6])
def test_no_more_part_from_a_lot_than_there_are(morning: mk.Morning, heads: int) -> None:
    mk.a_tank(morning.room, "H6")
    found = refused(lambda: move(morning, "h6", "h5-unmarked", heads=heads))
    assert found == (No.NO_SUCH_HEADS, {"value": heads, "most": 5})


def test_an_animal_that_has_left_moves_no_more(morning: mk.Morning) -> None:
    m.Resident.objects.filter(key="h1-bar").update(status="gone home")
    assert refused(lambda: move(morning, "h2", "h1-bar"))[0] is No.LEFT_ALREADY


# ---------------------------------------------------------------- two people, one animal


def test_who_changes_second_is_told_who_was_first_and_how_it_stands_now(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    seen = token(resident("h1-bar"))
    move(morning, "h6", "h1-bar", seen=seen)
    why, about = refused(lambda: move(morning, "h2", "h1-bar", seen=seen))
    assert why is No.CHANGED
    assert about == {"value": "H6 · bar", "by": "Tamsin", "status": "here", "tank": "H6"}


def test_a_feed_that_was_counted_meanwhile_is_no_change_of_the_animal(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    seen = token(resident("h1-bar"))
    m.Resident.objects.filter(key="h1-bar").update(last_fed_on=mk.DAY, written_at=mk.at("08:59"))
    assert move(morning, "h6", "h1-bar", seen=seen)[0].tank.key == "h6"


# ---------------------------------------------------------------- told apart


def test_one_of_a_lot_gets_a_mark_and_a_row_of_its_own(morning: mk.Morning) -> None:
    one = herd.mark_one(hand=hand(morning), key="h5-unmarked", seen="", mark="ring")
    lot = resident("h5-unmarked")
    assert (one.key, one.identity, one.mark, one.heads, one.lot) == ("h5-ring", "marked", "ring", 1, lot.lot)
    assert (lot.heads, lot.stays.get(until=None).heads, one.stays.get().tank.key) == (4, 4, "h5")


def test_the_last_of_a_lot_is_marked_in_its_own_row(morning: mk.Morning) -> None:
    m.Resident.objects.filter(key="h5-unmarked").update(heads=1)
    one = herd.mark_one(hand=hand(morning), key="h5-unmarked", seen="", mark="ring")
    assert (one.key, one.identity, one.heads) == ("h5-unmarked", "marked", 1)


def test_a_mark_is_given_once_in_a_tank_and_to_an_unmarked_one(morning: mk.Morning) -> None:
    herd.mark_one(hand=hand(morning), key="h5-unmarked", seen="", mark="ring")
    again = refused(lambda: herd.mark_one(hand=hand(morning), key="h5-unmarked", seen="", mark="ring"))
    assert again == (No.MARK_TAKEN, {"value": "ring", "tank": "H5"})
    assert (
        refused(lambda: herd.mark_one(hand=hand(morning), key="h1-bar", seen="", mark="x"))[0] is No.NOT_A_LOT
    )
    assert (
        refused(lambda: herd.mark_one(hand=hand(morning), key="h5-unmarked", seen="", mark=""))[0]
        is No.MISSING
    )


def test_a_lost_mark_stands_as_unsure_since_that_day_until_somebody_is_sure(morning: mk.Morning) -> None:
    lost = herd.mark_lost(hand=hand(morning), key="h1-bar", seen="")
    assert (lost.identity, lost.unsure_since) == ("unsure", mk.DAY)
    known = herd.mark_known(hand=hand(morning, "10:00"), key="h1-bar", seen="", mark="bar")
    assert (known.identity, known.mark, known.unsure_since) == ("marked", "bar", None)


def test_the_mark_of_a_lost_one_may_have_gone_to_another(morning: mk.Morning) -> None:
    herd.mark_lost(hand=hand(morning), key="h1-bar", seen="")
    m.Resident.objects.filter(key="h1-one-dot").update(mark="bar")
    found = refused(lambda: herd.mark_known(hand=hand(morning), key="h1-bar", seen="", mark="bar"))
    assert found == (No.MARK_TAKEN, {"value": "bar", "tank": "H1"})


# ---------------------------------------------------------------- a tank goes


def test_a_tank_is_not_taken_away_with_animals_in_it(morning: mk.Morning) -> None:
    m.Resident.objects.filter(key="marlow").update(status="at vet")
    why, about = refused(lambda: herd.take_tank_away(hand=hand(morning), key="marlow"))
    assert (why, about) == (No.LIVED_IN, {"value": "Marlow", "animals": ["Marlow"]})
    assert m.Tank.objects.get(key="marlow").removed_on is None


def test_an_empty_tank_goes_and_nobody_moves_into_it(morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    assert herd.take_tank_away(hand=hand(morning), key="h6").removed_on == mk.DAY
    assert refused(lambda: move(morning, "h6", "h1-bar"))[0] is No.UNKNOWN_TANK
    assert refused(lambda: herd.take_tank_away(hand=hand(morning), key="h6"))[0] is No.UNKNOWN_TANK
