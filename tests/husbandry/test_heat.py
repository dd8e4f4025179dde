"""Readings in threes: just before, at and just after each edge; and temperatures that are asked about."""

import pytest

from roomops.husbandry.care import Band
from roomops.husbandry.heat import Doubt, Verdict, Why, doubtful_temperature, judge
from roomops.husbandry.quantity_text import parse_quantity, parse_temperature
from roomops.husbandry.units import Dimension, System
from tests.husbandry.sheets import care_of

BAND = Band(low=38, high=42, act_below=32, act_above=46)
DRAGON = care_of("bearded-dragon.toml", "hatchling")


@pytest.mark.parametrize(
    ("value", "verdict", "edge", "off"),
    [
        (31.9, Verdict.ACT_BELOW, 32, 0.1),
        (32.0, Verdict.BELOW, 38, 6.0),
        (32.1, Verdict.BELOW, 38, 5.9),
        (37.9, Verdict.BELOW, 38, 0.1),
        (38.0, Verdict.IN_BAND, None, 0.0),
        (38.1, Verdict.IN_BAND, None, 0.0),
        (41.9, Verdict.IN_BAND, None, 0.0),
        (42.0, Verdict.IN_BAND, None, 0.0),
        (42.1, Verdict.ABOVE, 42, 0.1),
        (45.9, Verdict.ABOVE, 42, 3.9),
        (46.0, Verdict.ABOVE, 42, 4.0),
        (46.1, Verdict.ACT_ABOVE, 46, 0.1),
    ],
)
def test_a_reading_is_judged_by_the_edge_that_it_passed(
    value: float, verdict: Verdict, edge: float, off: float
):
    found = judge(value_c=value, band=BAND, since_lights_on_min=120)
    assert (found.verdict, found.edge_c) == (verdict, edge)
    assert found.off_by_c == pytest.approx(off)


@pytest.mark.parametrize(
    ("minutes", "verdict"),
    [(0, Verdict.TOO_EARLY), (59, Verdict.TOO_EARLY), (60, Verdict.BELOW), (61, Verdict.BELOW)],
)
def test_there_is_no_verdict_within_an_hour_of_lights_on(minutes: int, verdict: Verdict):
    assert judge(value_c=35, band=BAND, since_lights_on_min=minutes).verdict is verdict


def test_too_hot_is_too_hot_at_once():
    assert judge(value_c=47, band=BAND, since_lights_on_min=10).verdict is Verdict.ACT_ABOVE
    assert judge(value_c=20, band=BAND, since_lights_on_min=10).verdict is Verdict.TOO_EARLY


def test_a_night_low_is_judged_without_the_lamps():
    assert judge(value_c=20, band=Band(low=22, high=26), since_lights_on_min=None).verdict is Verdict.BELOW


def test_where_nothing_is_wanted_there_is_no_verdict():
    assert judge(value_c=20, band=None, since_lights_on_min=None).verdict is Verdict.NO_BAND


def test_a_band_without_limits_never_says_act():
    band = Band(low=22, high=26)
    assert judge(value_c=-5, band=band, since_lights_on_min=90).verdict is Verdict.BELOW
    assert judge(value_c=60, band=band, since_lights_on_min=90).verdict is Verdict.ABOVE


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("99.9 F", Verdict.BELOW),
        ("100 F", Verdict.IN_BAND),
        ("100.1 F", Verdict.IN_BAND),
        ("110 F", Verdict.IN_BAND),
        ("110.1 F", Verdict.ABOVE),
        ("115 F", Verdict.ABOVE),
        ("115.1 F", Verdict.ACT_ABOVE),
        ("90 F", Verdict.BELOW),
        ("89.9 F", Verdict.ACT_BELOW),
    ],
)
def test_an_edge_in_fahrenheit_is_inside_when_entered_in_fahrenheit(text: str, verdict: Verdict):
    value = parse_temperature(text=text, system=System.METRIC)
    assert judge(value_c=value, band=DRAGON.basking_c, since_lights_on_min=90).verdict is verdict


def doubt(text: str, system: System, band: Band | None = BAND) -> Doubt | None:
    entered = parse_quantity(text=text, dimension=Dimension.TEMPERATURE, system=system)
    return doubtful_temperature(entered=entered, band=band)


def test_104_in_a_metric_room_is_asked_about_as_fahrenheit():
    found = doubt("104", System.METRIC)
    assert found is not None
    assert (found.why, found.value_c) == (Why.OTHER_UNIT, 104)
    assert found.other_c == pytest.approx(40)
    assert (found.low_c, found.high_c) == (38, 42)


def test_40_in_a_us_room_is_asked_about_as_celsius():
    found = doubt("40", System.US)
    assert found is not None
    assert (found.why, found.other_c) == (Why.OTHER_UNIT, 40)


def test_110_celsius_at_a_basking_place_is_asked_about_even_when_the_unit_was_written():
    found = doubt("110 °C", System.US)
    assert found is not None
    assert (found.why, found.other_c) == (Why.OTHER_UNIT, pytest.approx(43.333333))


@pytest.mark.parametrize("text", ["104 F", "90 F", "80 F", "130 F"])
def test_a_reading_that_can_be_is_kept_without_asking_though_it_is_out_of_its_band(text: str):
    assert doubt(text, System.US) is None


@pytest.mark.parametrize(
    ("text", "asked"), [("23 C", False), ("22.9 C", True), ("57 C", False), ("57.1 C", True)]
)
def test_a_reading_fifteen_degrees_out_of_its_band_is_asked_about(text: str, asked: bool):
    found = doubt(text, System.METRIC)
    assert (found is not None) is asked
    assert found is None or found.why is Why.FAR_OFF


def test_what_no_tank_can_show_is_asked_about_even_without_a_band():
    assert doubt("25 C", System.METRIC, band=None) is None
    found = doubt("400 C", System.METRIC, band=None)
    assert found is not None
    assert (found.why, found.other_c) == (Why.IMPOSSIBLE, None)
