"""Readings in threes: just before, at and just after each edge; and temperatures that are asked about."""

import pytest

from roomops.husbandry.care import Band
from roomops.husbandry.heat import Doubt, Verdict, doubt, judge
from roomops.husbandry.quantity_text import parse_temperature
from roomops.husbandry.units import System
from tests.husbandry.sheets import care_of

BAND = Band(low=38, high=42, act_below=32, act_above=46)
DRAGON = care_of("bearded-dragon.toml", "hatchling")


@pytest.mark.parametrize(
    ("value", "cold", "warming"),
    [
        (31.9, Verdict.ACT_BELOW, Verdict.TOO_EARLY),
        (32.0, Verdict.BELOW, Verdict.TOO_EARLY),
        (32.1, Verdict.BELOW, Verdict.TOO_EARLY),
        (37.9, Verdict.BELOW, Verdict.TOO_EARLY),
        (38.0, Verdict.IN_BAND, Verdict.IN_BAND),
        (38.1, Verdict.IN_BAND, Verdict.IN_BAND),
        (41.9, Verdict.IN_BAND, Verdict.IN_BAND),
        (42.0, Verdict.IN_BAND, Verdict.IN_BAND),
        (42.1, Verdict.ABOVE, Verdict.ABOVE),
        (45.9, Verdict.ABOVE, Verdict.ABOVE),
        (46.0, Verdict.ABOVE, Verdict.ABOVE),
        (46.1, Verdict.ACT_ABOVE, Verdict.ACT_ABOVE),
    ],
)
def test_warming_up_excuses_what_is_low_and_never_what_is_high(value: float, cold: Verdict, warming: Verdict):
    assert judge(value_c=value, band=BAND) is cold
    assert judge(value_c=value, band=BAND, warming=True) is warming


def test_where_nothing_is_wanted_there_is_no_verdict():
    assert judge(value_c=20, band=None) is Verdict.NO_BAND


def test_a_band_without_limits_never_says_act():
    band = Band(low=22, high=26)
    assert judge(value_c=-5, band=band) is Verdict.BELOW
    assert judge(value_c=60, band=band) is Verdict.ABOVE


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
    assert judge(value_c=value, band=DRAGON.basking_c) is verdict


@pytest.mark.parametrize(
    ("value", "asked"),
    [(22.9, True), (23.0, False), (23.1, False), (56.9, False), (57.0, False), (57.1, True)],
)
def test_a_reading_more_than_fifteen_degrees_out_of_its_band_is_asked_about(value: float, asked: bool):
    wanted = Doubt(value_c=value, low_c=38, high_c=42) if asked else None
    assert doubt(value_c=value, band=BAND, spot="basking") == wanted


@pytest.mark.parametrize(
    ("text", "system"), [("104", System.METRIC), ("40", System.US), ("110 °C", System.US)]
)
def test_a_basking_temperature_in_the_wrong_unit_is_asked_about(text: str, system: System):
    read = parse_temperature(text=text, system=system)
    assert doubt(value_c=read, band=DRAGON.basking_c, spot="basking") is not None


@pytest.mark.parametrize(
    ("spot", "low", "high"), [("basking", 15, 60), ("cool", 10, 45), ("night low", 5, 40)]
)
def test_without_a_band_only_what_no_tank_is_kept_at_is_asked_about(spot: str, low: float, high: float):
    asked = [doubt(value_c=v, band=None, spot=spot) is not None for v in (low - 0.1, low, high, high + 0.1)]
    assert asked == [True, False, False, True]
