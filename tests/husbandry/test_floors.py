"""Published floors as worked examples: a law's, a laboratory's, a charity's, each by its name."""

import pytest

from roomops.husbandry.floors import (
    austrian_ball_python_space,
    austrian_snake_space,
    austrian_tortoise_space,
    laboratory_water,
    swiss_snake_home,
    turtle_home,
    turtle_water_l,
)
from tests.husbandry.sheets import care_of


@pytest.mark.parametrize(
    ("shell", "heads", "area", "depth"),
    [
        (49.9, 1, 600, 100), (50, 1, 600, 100), (50.1, 1, 1600, 150), (100, 1, 1600, 150),
        (100.1, 1, 3500, 200), (150, 2, 4100, 200), (200, 3, 8400, 300), (200.1, 1, 10_000, 350),
        (300, 4, 16_000, 350), (300.1, 1, 20_000, 400), (450, 2, 25_000, 400),
    ],
)  # fmt: skip
def test_water_for_turtles_in_a_laboratory_steps_with_the_shell(
    shell: float, heads: int, area: float, depth: float
):
    # Directive 2010/63/EU, annex III, table 10.1: area + (heads - 1) × further, added by hand.
    found = laboratory_water(shell_mm=shell, heads=heads)
    assert (found.floor_cm2, found.depth_mm) == (area, depth)
    assert found.laboratory
    assert "2010/63/EU" in found.source


def test_the_sliders_floors_are_the_laboratorys_and_say_so():
    for stage, shell in (("hatchling", 50), ("juvenile", 150), ("adult", 250)):
        care = care_of("slider-turtle.toml", stage)
        assert care.floor_cm2 == laboratory_water(shell_mm=shell).floor_cm2
        cited = care.cite("floor")
        assert cited is not None
        assert "laboratory floor" in cited.claim.note


@pytest.mark.parametrize(
    ("shell", "heads", "floor"),
    [
        (60, 1, 5000), (60, 2, 5000), (60, 3, 7000), (60.1, 2, 10_000), (120, 4, 18_000), (120.1, 2, 20_000),
        (180, 3, 25_000),
    ],
)  # fmt: skip
def test_the_austrian_floor_for_small_tortoises_is_for_two_and_grows_with_each_further(
    shell: float, heads: int, floor: float
):
    # Austria, 2. Tierhaltungsverordnung, annex 3, 1.2.1: 0.50 (+0.20), 1.00 (+0.40), 2.00 (+0.50) m².
    found = austrian_tortoise_space(shell_mm=shell, heads=heads)
    assert found.floor_cm2 == floor
    assert "Testudo kleinmanni" in found.source
    assert not found.laboratory


@pytest.mark.parametrize(("shell", "liters"), [(50, 80), (150, 240), (250, 400)])
def test_a_turtle_gets_80_liters_for_each_5_cm_of_shell(shell: float, liters: float):
    # SPCA New Zealand, Turtles.
    assert turtle_water_l(shell_mm=shell) == liters


def test_the_sheets_volumes_are_those_of_the_rule():
    volumes = [care_of("slider-turtle.toml", stage).water for stage in ("hatchling", "juvenile", "adult")]
    assert [water.volume_l for water in volumes if water] == [80, 240, 400]


def test_a_turtle_of_25_cm_gets_a_tank_of_125_by_62_5_cm():
    # German expert report of 1997, as quoted: 5 × 2.5 shell lengths.
    home = turtle_home(shell_mm=250)
    assert (home.length_mm, home.width_mm) == (1250, 625)
    assert home.floor_cm2 == pytest.approx(7812.5)
    assert "as quoted" in home.source


@pytest.mark.parametrize(
    ("length", "heads", "floor", "height"),
    [
        (200, 1, 1000, 200), (200.1, 2, 2000, 300), (1000, 3, 6500, 400), (1500, 2, 9000, 600),
        (2000, 3, 16_000, 800), (2500, 1, 15_000, 1200),
    ],
)  # fmt: skip
def test_the_austrian_space_for_ground_snakes_has_height_and_further_animals(
    length: float, heads: int, floor: float, height: float
):
    found = austrian_snake_space(length_mm=length, heads=heads)
    assert found is not None
    assert (found.floor_cm2, found.height_mm) == (floor, height)


@pytest.mark.parametrize(
    ("length", "floor"),
    [
        (199, 1000), (200, 1000), (201, 2000), (500, 2000), (501, 5000), (1500, 9000), (2000, 12_000),
        (2001, 15_000),
    ],
)  # fmt: skip
def test_the_austrian_floor_steps_with_the_snakes_length(length: float, floor: float):
    found = austrian_snake_space(length_mm=length)
    assert found is not None
    assert found.floor_cm2 == floor


def test_beyond_the_table_nothing_is_said():
    assert austrian_snake_space(length_mm=2500.1) is None


@pytest.mark.parametrize(
    ("length", "floor", "height"), [(500, 2000, 400), (500.1, 5000, 600), (1300, 9000, 700)]
)
def test_ball_pythons_have_a_row_of_their_own(length: float, floor: float, height: float):
    found = austrian_ball_python_space(length_mm=length)
    assert (found.floor_cm2, found.height_mm) == (floor, height)
    stage = {2000: "hatchling", 5000: "juvenile", 9000: "adult"}[int(floor)]
    assert care_of("ball-python.toml", stage, floor="law").floor_cm2 == floor


def test_a_snake_of_180_cm_gets_180_by_90_in_switzerland_and_180_by_60_from_the_charity():
    # Canton Graubünden on Swiss law: 1 × 0.5 × 0.5; RSPCA (UK), kingsnake care sheet: 180 × 60 × 60.
    swiss = swiss_snake_home(length_mm=1800)
    assert (swiss.length_mm, swiss.width_mm, swiss.height_mm) == (1800, 900, 900)
    king = care_of("king-snake.toml", "adult")
    assert (king.floor_cm2, king.height_mm) == (180 * 60, 600)


@pytest.mark.parametrize("length", [0, -10])
def test_an_animal_of_no_length_is_measured_again(length: float):
    for rule in (laboratory_water, austrian_tortoise_space):
        with pytest.raises(ValueError, match="measure it again"):
            rule(shell_mm=length)
    for snake in (austrian_snake_space, austrian_ball_python_space):
        with pytest.raises(ValueError, match="measure it again"):
            snake(length_mm=length)
