"""Prey never larger than its eater can take, the oldest fitting batch first, refusals with their numbers."""

import datetime as dt
from dataclasses import dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomops.husbandry.care import Meal, StageCare
from roomops.husbandry.feeding import (
    Basis,
    MeasureError,
    NoPrey,
    check_gap,
    check_length,
    choose,
    count_of,
    eye_gap,
    fits,
    largest_prey,
)
from tests.husbandry.sheets import care_of

HATCHLING = care_of("bearded-dragon.toml", "hatchling")
ADULT = care_of("bearded-dragon.toml", "adult")
SNAKE = care_of("corn-snake.toml", "adult")
FIRST = HATCHLING.feeding.meals[0]
JUNE = dt.date(2026, 6, 1)


@dataclass(frozen=True, kw_only=True)
class Animal:
    length_mm: float | None = None
    gap_mm: float | None = None
    girth_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class Shelf:
    key: str
    kind: str = "cricket"
    size_mm: float | None = 6.0
    received: dt.date = JUNE
    on_hand: float = 100


def offered(*shelf: Shelf, animal: Animal, care: StageCare = HATCHLING, meal: Meal = FIRST, heads: int = 1):
    return choose(meal=meal, care=care, animal=animal, batches=shelf, heads=heads)


@pytest.mark.parametrize(("size", "batch"), [(5.9, "b"), (6.0, "b"), (6.1, "")])
def test_prey_just_under_and_at_the_gap_is_offered_and_just_over_it_is_not(size: float, batch: str):
    assert offered(Shelf(key="b", size_mm=size), animal=Animal(gap_mm=6.0)).batch == batch


@given(gap=st.floats(2, 30), sizes=st.lists(st.floats(1, 40), max_size=6), length=st.floats(50, 600))
def test_no_prey_larger_than_the_gap_is_ever_offered(gap: float, sizes: list[float], length: float):
    shelf = [Shelf(key=str(number), size_mm=size) for number, size in enumerate(sizes)]
    offer = offered(*shelf, animal=Animal(gap_mm=gap, length_mm=length))
    if offer.size_mm is not None:
        assert offer.size_mm <= gap + 1e-6
    else:
        assert all(size > gap for size in sizes)


def test_a_measured_gap_is_taken_as_it_is_and_says_so():
    gap = eye_gap(animal=Animal(gap_mm=7.1, length_mm=140), care=HATCHLING)
    assert gap is not None
    assert (gap.mm, gap.estimated, gap.basis) == (7.1, False, Basis.MEASURED)


def test_a_gap_that_was_not_measured_is_estimated_from_the_length_and_says_so():
    gap = eye_gap(animal=Animal(length_mm=140), care=HATCHLING)
    assert gap is not None
    assert (gap.mm, gap.estimated, gap.basis) == (6.3, True, Basis.LENGTH)
    assert largest_prey(animal=Animal(length_mm=140), care=HATCHLING, kind="cricket").estimated


def test_prey_does_not_grow_with_the_animal_before_its_gap_is_measured_again():
    young, grown = Animal(gap_mm=5.0, length_mm=120), Animal(gap_mm=5.0, length_mm=240)
    assert eye_gap(animal=young, care=HATCHLING) == eye_gap(animal=grown, care=HATCHLING)


def test_an_animal_of_which_nothing_is_known_is_offered_nothing():
    offer = offered(Shelf(key="b"), animal=Animal())
    assert (offer.batch, offer.why) == ("", NoPrey.NOT_MEASURED)
    assert eye_gap(animal=Animal(), care=HATCHLING) is None


def test_a_snake_takes_rodents_up_to_its_widest_part_and_only_when_that_was_measured():
    meal = SNAKE.feeding.meals[0]
    for size, batch in ((24.9, "b"), (25.0, "b"), (25.1, "")):
        mouse = Shelf(key="b", kind="mouse", size_mm=size, on_hand=3)
        assert offered(mouse, animal=Animal(girth_mm=25), care=SNAKE, meal=meal).batch == batch
    mouse = Shelf(key="b", kind="mouse", size_mm=10, on_hand=3)
    unmeasured = offered(mouse, animal=Animal(length_mm=1200, gap_mm=20), care=SNAKE, meal=meal)
    assert unmeasured.why is NoPrey.NOT_MEASURED


def test_a_smaller_share_on_the_sheet_makes_smaller_prey():
    careful = replace(HATCHLING, feeding=replace(HATCHLING.feeding, prey_share=0.8))
    assert largest_prey(animal=Animal(gap_mm=10), care=careful, kind="cricket").mm == 8


def test_a_batch_that_was_not_measured_does_not_fit():
    limit = largest_prey(animal=Animal(gap_mm=10), care=HATCHLING, kind="cricket")
    assert not fits(size_mm=None, limit=limit)


def test_the_oldest_fitting_batch_goes_first():
    old = Shelf(key="old", received=dt.date(2026, 5, 20), size_mm=9)
    middle = Shelf(key="middle", received=dt.date(2026, 5, 25), size_mm=6)
    new = Shelf(key="new", received=dt.date(2026, 6, 1), size_mm=3)
    assert offered(new, middle, old, animal=Animal(gap_mm=7)).batch == "middle"
    assert offered(new, middle, old, animal=Animal(gap_mm=10)).batch == "old"


@pytest.mark.parametrize(("on_hand", "batch"), [(15, "second"), (16, "first"), (17, "first")])
def test_a_batch_that_is_not_enough_for_all_heads_is_passed_over(on_hand: float, batch: str):
    shelf = (
        Shelf(key="first", received=dt.date(2026, 5, 1), on_hand=on_hand),
        Shelf(key="second", received=dt.date(2026, 6, 1), on_hand=100),
    )
    assert offered(*shelf, animal=Animal(gap_mm=7), heads=2).batch == batch


def test_kinds_are_tried_in_the_sheets_order_each_with_its_own_count():
    roaches = Shelf(key="roaches", kind="roach", received=dt.date(2026, 5, 1))
    crickets = Shelf(key="crickets", received=dt.date(2026, 6, 1))
    assert offered(roaches, crickets, animal=Animal(gap_mm=7)).batch == "crickets"
    offer = offered(roaches, replace(crickets, on_hand=0), animal=Animal(gap_mm=7))
    assert (offer.batch, offer.count, offer.kind) == ("roaches", 6, "roach")
    assert count_of(meal=FIRST, kind="cricket") == 8


def test_a_portion_says_kind_count_size_and_dusting():
    offer = offered(Shelf(key="b"), animal=Animal(gap_mm=7))
    assert (offer.kind, offer.count, offer.size_mm) == ("cricket", 8, 6.0)
    assert (offer.dusted, offer.powder) == (True, "calcium, no D3")
    second = offered(Shelf(key="b"), animal=Animal(gap_mm=7), meal=HATCHLING.feeding.meals[1])
    assert (second.dusted, second.powder) == (False, "")


def test_greens_have_no_size_and_no_count():
    greens = Shelf(key="bunch", kind="collard greens", size_mm=None, on_hand=2)
    offer = offered(greens, animal=Animal(), care=ADULT, meal=ADULT.feeding.meals[0])
    assert (offer.batch, offer.count, offer.why) == ("bunch", 0, None)


def test_what_is_told_of_nothing_to_offer_carries_its_numbers():
    nothing = offered(animal=Animal(gap_mm=5))
    large = offered(Shelf(key="a", size_mm=9), Shelf(key="b", size_mm=8), animal=Animal(gap_mm=5))
    few = offered(Shelf(key="a", size_mm=4, on_hand=3), animal=Animal(gap_mm=5))
    assert nothing.why is NoPrey.NONE_ON_HAND
    assert (large.why, large.smallest_mm) == (NoPrey.NOTHING_FITS, 8)
    assert large.limit is not None
    assert large.limit.mm == 5
    assert (few.why, few.most_on_hand, few.count) == (NoPrey.NOT_ENOUGH, 3, 8)


# ---------------------------------------------------------------- measures that cannot be


@pytest.mark.parametrize(("gap", "refused"), [(9.9, False), (10.0, False), (10.1, True)])
def test_a_gap_wider_than_the_head_is_refused(gap: float, refused: bool):
    if not refused:
        check_gap(gap_mm=gap, length_mm=None, head_mm=10.0)
        return
    with pytest.raises(MeasureError) as caught:
        check_gap(gap_mm=gap, length_mm=None, head_mm=10.0)
    sentence = "A gap between the eyes of 10.1 mm is more than the head is wide (10 mm): measure it again."
    assert str(caught.value) == sentence


@pytest.mark.parametrize(("gap", "refused"), [(12.4, False), (12.5, False), (12.6, True)])
def test_a_gap_that_no_animal_of_that_length_has_is_refused(gap: float, refused: bool):
    if not refused:
        check_gap(gap_mm=gap, length_mm=100, head_mm=None)
        return
    with pytest.raises(MeasureError, match="more than an animal of 100 mm can have"):
        check_gap(gap_mm=gap, length_mm=100, head_mm=None)


@pytest.mark.parametrize(("length", "refused"), [(749.9, False), (750.0, False), (750.1, True)])
def test_a_length_well_above_the_longest_adult_is_refused(length: float, refused: bool):
    # The longest adult on the sheet is 60 cm (NSW Department of Education); a quarter more is our own limit.
    if not refused:
        check_length(length_mm=length, care=ADULT)
        return
    with pytest.raises(MeasureError, match="more than a Bearded dragon reaches"):
        check_length(length_mm=length, care=ADULT)


def test_a_length_is_not_judged_where_the_sheet_names_no_adult_length():
    check_length(length_mm=9000, care=replace(ADULT, cited=()))
