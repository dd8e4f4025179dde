"""Who suffers first when heat or power fails: an order by plain rules, common practice and said so."""

from __future__ import annotations

import pytest

from roomops.husbandry.needs import Standing
from roomops.husbandry.outage import STANDING, Course, Failed, First, course, risk
from tests.husbandry import sheets


def care_of(kind: str, stage: str):
    return sheets.care_of(f"{kind.lower().replace(' ', '-').replace(chr(39), '')}.toml", stage)


def order(failed: Failed, *animals: tuple[str, str, float | None]) -> list[str]:
    ranked = sorted(animals, key=lambda a: risk(care=care_of(a[0], a[1]), failed=failed, weight_g=a[2]).rank)
    return [f"{kind} {stage}" for kind, stage, _ in ranked]


DRAGONS = [("bearded dragon", "adult", 430.0), ("bearded dragon", "hatchling", 6.0)]
OTHERS = [
    ("corn snake", "adult", 410.0),
    ("crested gecko", "adult", 40.0),
    ("slider turtle", "adult", 900.0),
    ("Hermann's tortoise", "adult", 890.0),
]


def test_in_the_cold_hatchlings_come_first_then_the_small_then_who_basks_hottest_and_water_last():
    assert order(Failed.POWER, *DRAGONS, *OTHERS) == [
        "bearded dragon hatchling",
        "crested gecko adult",
        "bearded dragon adult",
        "corn snake adult",
        "Hermann's tortoise adult",
        "slider turtle adult",
    ]


def test_in_a_hot_room_crested_geckos_come_first_and_dragons_last():
    found = order(Failed.HOT, *DRAGONS, *OTHERS)
    assert found[0] == "crested gecko adult"
    assert found.index("bearded dragon hatchling") < found.index("bearded dragon adult")


def test_of_two_alike_the_lighter_one_comes_first_and_the_unweighed_last():
    care = care_of("bearded dragon", "hatchling")
    ranks = [risk(care=care, failed=Failed.HEAT, weight_g=grams).rank for grams in (4.0, 9.0, None)]
    assert ranks == sorted(ranks)


@pytest.mark.parametrize(("grams", "why"), [(49.9, First.SMALL), (50.0, First.ORDINARY)])
def test_small_ends_at_fifty_grams(grams: float, why: First):
    assert risk(care=care_of("corn snake", "adult"), failed=Failed.HEAT, weight_g=grams).why is why


def test_the_order_is_common_practice_and_says_so():
    assert STANDING is Standing.COMMON_PRACTICE


@pytest.mark.parametrize(
    ("value_c", "failed", "found"),
    [
        (None, Failed.POWER, Course.NOT_READ),
        (18.1, Failed.POWER, Course.HOLDS),
        (18.0, Failed.POWER, Course.ACT),
        (17.9, Failed.POWER, Course.ACT),
        (17.9, Failed.HOT, Course.HOLDS),
        (18.0, Failed.HOT, Course.ACT),
        (18.1, Failed.HOT, Course.ACT),
    ],
)
def test_a_limit_to_act_at_is_reached_at_its_edge(value_c: float | None, failed: Failed, found: Course):
    assert course(value_c=value_c, limit_c=18.0, failed=failed) is found


def test_a_tank_whose_sheet_sets_no_limit_is_only_read():
    assert course(value_c=5.0, limit_c=None, failed=Failed.POWER) is Course.HOLDS
