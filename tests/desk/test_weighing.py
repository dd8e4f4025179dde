"""On the scale: numbers are kept with their entry, what cannot be is asked again, a slip is corrected."""

from __future__ import annotations

import pytest

from roomops.desk import weighing
from roomops.desk.herd import Hand
from roomops.desk.refusals import No, Refused
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor, form

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor() -> Floor:
    return Floor()


def weigh(
    floor: Floor, clock: str = "08:30", key: str = "h1-bar", *, keep: bool = False, **measures: float
) -> None:
    hand = Hand(room=floor.room, by=floor.m.tamsin, now=mk.at(clock), day=mk.DAY)
    weighing.weighed(
        day=floor.open(clock), hand=hand, key=key, measures=measures, form=form(f"{key} {clock}"), keep=keep
    )


def measured(key: str, measure: str) -> list[float]:
    rows = m.Measurement.objects.filter(resident__key=key, measure=measure).order_by("at", "pk")
    return list(rows.values_list("value", flat=True))


def refused(floor: Floor, **about: float) -> tuple[No, dict[str, object]]:
    before = m.Measurement.objects.count(), m.Entry.objects.count()
    with pytest.raises(Refused) as no:
        weigh(floor, **about)
    assert (m.Measurement.objects.count(), m.Entry.objects.count()) == before
    return no.value.why, no.value.about


def test_what_the_scale_shows_is_kept_and_planning_reads_it_at_once(floor: Floor) -> None:
    weigh(floor, weight_g=17.2, gap_mm=8.4)
    assert measured("h1-bar", "weight_g") == [16.4, 17.2]
    facts = next(each for each in floor.open("08:31").facts.residents if each.key == "h1-bar")
    assert (facts.weight_g, facts.weight_on, facts.gap_mm) == (17.2, mk.DAY, 8.4)
    entry = m.Entry.objects.get()
    assert (entry.duty, entry.matched, entry.written_by) == (
        "2026-06-09/weigh/h1-bar/1",
        True,
        floor.m.tamsin,
    )


def test_weighed_again_on_the_same_day_corrects_the_first(floor: Floor) -> None:
    weigh(floor, "08:30", weight_g=17.2, gap_mm=8.4)
    weigh(floor, "08:40", weight_g=16.9)
    assert measured("h1-bar", "weight_g") == [16.4, 16.9]
    assert measured("h1-bar", "gap_mm") == [8.0]
    assert m.Entry.objects.count() == 2


def test_a_weighing_that_was_not_so_is_taken_back(floor: Floor) -> None:
    weigh(floor, weight_g=17.2)
    hand = Hand(room=floor.room, by=floor.m.tamsin, now=mk.at("08:45"), day=mk.DAY)
    weighing.take_back(day=floor.open("08:45"), hand=hand, key="h1-bar", form=form("undo"))
    assert measured("h1-bar", "weight_g") == [16.4]
    with pytest.raises(Refused) as no:
        weighing.take_back(day=floor.open("08:46"), hand=hand, key="h1-bar", form=form("more"))
    assert no.value.why is No.NOTHING_TO_UNDO


@pytest.mark.parametrize(
    ("grams", "asked"),
    [(20.4, False), (20.5, False), (20.6, True), (12.4, False), (12.3, False), (12.2, True)],
)
def test_a_quarter_more_or_less_at_once_is_weighed_again(floor: Floor, grams: float, asked: bool) -> None:
    """16.4 g was the last weight: a quarter is 4.1 g. This house's choice."""
    if not asked:
        weigh(floor, weight_g=grams)
        return
    why, about = refused(floor, weight_g=grams)
    assert (why, about["before_g"]) == (No.WEIGHT_JUMP, 16.4)
    weigh(floor, keep=True, weight_g=grams)
    assert measured("h1-bar", "weight_g")[-1] == grams


def test_a_slip_of_today_is_not_what_the_next_number_is_held_against(floor: Floor) -> None:
    weigh(floor, "08:30", keep=True, weight_g=164)
    weigh(floor, "08:32", weight_g=16.9)
    assert measured("h1-bar", "weight_g") == [16.4, 16.9]


@pytest.mark.parametrize(("gap", "kept"), [(21.2, True), (21.25, True), (21.3, False)])
def test_a_gap_wider_than_an_animal_of_its_length_has_is_measured_again(
    floor: Floor, gap: float, kept: bool
) -> None:
    """170 mm long: husbandry.feeding holds a gap to an eighth of the total length."""
    if kept:
        weigh(floor, gap_mm=gap)
    else:
        why, about = refused(floor, gap_mm=gap)
        assert (why, about["name"], about["value_mm"]) == (No.MEASURE_AGAIN, "gap between the eyes", 21.3)


def test_a_gap_is_held_against_the_length_that_comes_with_it(floor: Floor) -> None:
    assert refused(floor, gap_mm=16.0, length_mm=120.0)[0] is No.MEASURE_AGAIN


def test_a_length_that_no_animal_of_its_kind_reaches_is_measured_again(floor: Floor) -> None:
    assert refused(floor, length_mm=1700.0)[0] is No.MEASURE_AGAIN  # 17 cm with a slip of the pen


@pytest.mark.parametrize(
    ("measures", "why"),
    [
        ({}, No.MISSING),
        ({"weight_g": 0.0}, No.OUT_OF_RANGE),
        ({"weight_g": -1.0}, No.OUT_OF_RANGE),
        ({"weight_g": float("nan")}, No.NOT_A_NUMBER),
        ({"weight_g": 100_001.0}, No.OUT_OF_RANGE),
    ],
)
def test_no_number_is_no_weight(floor: Floor, measures: dict[str, float], why: No) -> None:
    with pytest.raises(Refused) as no:
        weigh(floor, keep=True, **measures)
    assert no.value.why is why
    assert measured("h1-bar", "weight_g") == [16.4]


def test_nobody_is_weighed_who_is_not_in_the_room(floor: Floor) -> None:
    m.Resident.objects.filter(key="h1-bar").update(status="at vet")
    assert refused(floor, weight_g=17.0)[0] is No.UNKNOWN_RESIDENT


# ---------------------------------------------------------------- who is due


@pytest.mark.parametrize(("days", "due"), [(6, False), (7, True), (8, True)])
def test_a_hatchling_is_due_when_its_care_sheet_says(floor: Floor, days: int, due: bool) -> None:
    from datetime import timedelta

    m.Measurement.objects.filter(resident__key="h1-bar", measure="weight_g").update(
        at=mk.at("09:00", mk.DAY - timedelta(days=days))
    )
    view = weighing.weigh_view(day=floor.open("08:30"), tank="h1")
    bar = next(each for each in view.here if each.key == "h1-bar")
    assert (bar.every_days, bar.by_age) == (7, due)


def test_the_tank_in_hand_goes_on_with_the_one_not_weighed_yet(floor: Floor) -> None:
    view = weighing.weigh_view(day=floor.open("08:30"), tank="h1", animal="h1-two-dots")
    assert view.current.key == "h1-two-dots"
    weigh(floor, key="h1-bar", weight_g=16.9)
    view = weighing.weigh_view(day=floor.open("08:31"), tank="h1")
    assert (view.current.key, [bool(each.today) for each in view.here]) == (
        "h1-one-dot", [True, False, False, False],
    )  # fmt: skip
