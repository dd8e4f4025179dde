"""Tanks and floors against published figures, and who may share a tank."""

import pytest

from roomops.husbandry.housing import (
    TANKS,
    Clash,
    Companion,
    NominalTank,
    company_problems,
    dragon_home,
    dragon_pair_home,
    floor_needed_cm2,
    snake_home,
    tortoise_floor_cm2,
)
from tests.husbandry.sheets import care_of

# Name: gallons by length × width × height / 231, computed apart from the code.
VOLUMES = {
    "10": 10.4, "20 high": 19.9, "20 long": 18.7, "29": 28.1, "40 breeder": 44.9, "55": 56.7, "75": 78.5,
    "120": 119.7, "180": 187.0,
}  # fmt: skip
BY_NAME = {tank.name: tank for tank in TANKS}


@pytest.mark.parametrize("tank", TANKS, ids=lambda tank: tank.name)
def test_a_tanks_name_is_within_12_percent_of_what_it_holds(tank: NominalTank):
    assert tank.gallons_by_size == pytest.approx(VOLUMES[tank.name], abs=0.06)
    assert tank.gallons == pytest.approx(tank.gallons_by_size, rel=0.12)


def test_the_tank_that_a_dragon_needs_by_print_is_larger_than_a_40_breeder_and_fits_a_120():
    # RSPCA (UK): 120 × 60 × 60 cm for one adult.
    needed = dragon_home().floor_cm2
    assert needed == 7200
    assert BY_NAME["40 breeder"].floor_cm2 < needed < BY_NAME["120"].floor_cm2


def test_the_floors_that_practice_asks_for_are_those_of_the_tanks_it_names():
    hatchling, adult = care_of("bearded-dragon.toml", "hatchling"), care_of("bearded-dragon.toml", "adult")
    assert hatchling.floor_cm2 == pytest.approx(BY_NAME["20 long"].floor_cm2)
    assert adult.floor_cm2 == pytest.approx(BY_NAME["55"].floor_cm2)


@pytest.mark.parametrize(("svl", "home"), [(250, (1250, 1000, 750)), (120, (600, 480, 360))])
def test_two_dragons_get_5_by_4_by_3_body_lengths(svl: float, home: tuple[float, float, float]):
    # Germany, expert report of 10 January 1997, both examples as worked there.
    found = dragon_pair_home(svl_mm=svl)
    assert (found.length_mm, found.width_mm, found.height_mm) == home


def test_a_snake_of_150_cm_gets_150_by_50_by_50():
    # RSPCA (UK), corn snake page.
    found = snake_home(length_mm=1500)
    assert (found.length_mm, found.width_mm, found.height_mm) == (1500, 500, 500)
    assert found.floor_cm2 == care_of("corn-snake.toml", "adult").floor_cm2


def test_a_tortoise_of_25_cm_gets_2_by_1_meters():
    # Tierärztliche Vereinigung für Tierschutz, Europäische Landschildkröten.
    assert tortoise_floor_cm2(shell_mm=250) == 20_000
    assert care_of("hermanns-tortoise.toml", "adult").floor_cm2 == 20_000


def test_each_further_animal_adds_15_percent_of_floor():
    assert floor_needed_cm2(floor_for_one_cm2=1000, heads=1) == 1000
    assert floor_needed_cm2(floor_for_one_cm2=1000, heads=3) == pytest.approx(1300)


def young(key: str, heads: int = 1, weight: float | None = None, kind: str = "bearded dragon") -> Companion:
    most = care_of("bearded-dragon.toml", "hatchling").group_most
    return Companion(key=key, kind=kind, heads=heads, group_most=most, weight_g=weight)


@pytest.mark.parametrize(("heads", "problems"), [(7, 0), (8, 0), (9, 1)])
def test_a_group_is_as_large_as_its_sheet_allows(heads: int, problems: int):
    found = company_problems([young("lot", heads=heads)])
    assert len(found) == problems
    assert all((p.clash, p.value, p.most) == (Clash.TOO_MANY, 9, 8) for p in found)


def test_adults_live_alone():
    alone = care_of("bearded-dragon.toml", "adult").group_most
    pair = [
        Companion(key=key, kind="bearded dragon", heads=1, group_most=alone) for key in ("marlow", "sorrel")
    ]
    assert [problem.clash for problem in company_problems(pair)] == [Clash.TOO_MANY]


def test_kinds_are_kept_apart():
    found = company_problems([young("h1"), young("g1", kind="leopard gecko")])
    assert [problem.clash for problem in found] == [Clash.KINDS_MIXED]
    assert found[0].keys == ("h1", "g1")


@pytest.mark.parametrize(("heavy", "clashes"), [(14.9, []), (15.0, []), (15.1, [Clash.SIZES_APART])])
def test_a_group_is_looked_at_when_the_heaviest_is_half_as_heavy_again(heavy: float, clashes: list[Clash]):
    found = company_problems([young("h1", weight=10), young("h2", weight=heavy), young("h3")])
    assert [problem.clash for problem in found] == clashes


def test_nobody_and_one_animal_are_good_company():
    assert company_problems([]) == ()
    assert company_problems([young("h1")]) == ()
