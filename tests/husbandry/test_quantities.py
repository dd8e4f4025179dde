"""Quantities as people write them, and units against an independent library (Pint).

How they are shown again: tests/papers/test_words.py.
"""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomops.husbandry.quantity_text import (
    parse_length,
    parse_quantity,
    parse_temperature,
    parse_weight,
)
from roomops.husbandry.units import (
    UNITS,
    Dimension,
    QuantityError,
    System,
    Unit,
    default_unit,
    from_base,
    to_base,
)

REGISTRY = pint.UnitRegistry()
# Our unit's name: what Pint calls it, and what Pint calls our base unit. Source: Pint's default registry.
PINT = {
    "°C": ("degC", "degC"), "°F": ("degF", "degC"),
    "mm": ("mm", "mm"), "cm": ("cm", "mm"), "m": ("m", "mm"), "in": ("inch", "mm"), "ft": ("foot", "mm"),
    "cm²": ("cm**2", "cm**2"), "m²": ("m**2", "cm**2"), "in²": ("inch**2", "cm**2"),
    "ft²": ("foot**2", "cm**2"),
    "g": ("g", "g"), "kg": ("kg", "g"), "oz": ("ounce", "g"), "lb": ("pound", "g"),
    "L": ("liter", "liter"), "mL": ("milliliter", "liter"), "gal": ("gallon", "liter"),
    "qt": ("quart", "liter"), "fl oz": ("fluid_ounce", "liter"),
    "min": ("minute", "minute"), "h": ("hour", "minute"), "days": ("day", "minute"),
    "weeks": ("week", "minute"), "months": ("month", "minute"), "years": ("year", "minute"),
    "mg/L": ("mg/liter", "mg/liter"), "m/s": ("m/s", "m/s"), "km/h": ("km/hour", "m/s"),
    "mph": ("mile/hour", "m/s"), "deg": ("degree", "degree"),
}  # fmt: skip
PLAIN_COUNTS = {
    Dimension.UV_INDEX, Dimension.PERCENT, Dimension.ZONE, Dimension.FEEDS, Dimension.INSECTS,
    Dimension.RODENTS, Dimension.ANIMALS, Dimension.TIMES, Dimension.OF_LENGTH, Dimension.A_DAY,
    Dimension.PEOPLE, Dimension.EGGS, Dimension.ACIDITY,
}  # fmt: skip


def test_every_unit_with_a_size_is_checked_against_pint():
    assert {unit.name for unit in UNITS if unit.dimension not in PLAIN_COUNTS} == set(PINT)


@pytest.mark.parametrize("unit", [u for u in UNITS if u.name in PINT], ids=lambda u: u.name)
@pytest.mark.parametrize("number", [-40.0, 0.0, 1.0, 98.6, 12345.678])
def test_a_unit_converts_as_pint_converts_it_both_ways(unit: Unit, number: float):
    theirs, base = PINT[unit.name]
    expected = REGISTRY.Quantity(number, theirs).to(base).magnitude
    assert to_base(number=number, unit=unit) == pytest.approx(expected, rel=1e-12, abs=1e-9)
    assert from_base(base=expected, unit=unit) == pytest.approx(number, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "system", "celsius"),
    [
        ("104", System.US, 40.0),
        ("104 F", System.US, 40.0),
        ("104°F", System.METRIC, 40.0),
        ("40 °C", System.US, 40.0),
        ("40C", System.US, 40.0),
        ("40", System.METRIC, 40.0),
        ("40,5", System.METRIC, 40.5),
        ("−40 F", System.METRIC, -40.0),
        (" 75.5 fahrenheit ", System.METRIC, 24.166666666666668),
    ],
)
def test_a_temperature_is_read_in_the_unit_said_else_in_the_rooms(text: str, system: System, celsius: float):
    assert parse_temperature(text=text, system=system) == pytest.approx(celsius)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("3 1/2 in", 88.9),
        ("3-1/2 in", 88.9),
        ("3½ in", 88.9),
        ("1/4", 6.35),
        ("¼ in", 6.35),
        ("0.25", 6.35),
        (".25 in", 6.35),
        ("6 mm", 6.0),
        ("45 cm", 450.0),
        ("1 ft 3 in", 381.0),
        ("1' 3 1/2\"", 393.7),
        ("7/8 inch", 22.225),
    ],
)
def test_a_length_is_read_with_fractions_feet_and_inches(text: str, mm: float):
    assert parse_length(text=text, system=System.US) == pytest.approx(mm)


def test_other_quantities_are_read_in_their_units():
    assert parse_weight(text="14.1", system=System.US) == 14.1
    assert parse_weight(text="2 lb 3 oz", system=System.US) == pytest.approx(35 * 28.349523125)
    gallons = parse_quantity(text="20 gal", dimension=Dimension.VOLUME, system=System.METRIC)
    assert gallons.base == pytest.approx(75.70823568)
    assert parse_quantity(text="20", dimension=Dimension.VOLUME, system=System.METRIC).base == 20
    assert parse_quantity(text="3.1", dimension=Dimension.UV_INDEX, system=System.US).base == 3.1


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is not a number: write it like 104 °F or 40 °C"),
        ("1o4", "has the unit “o”, which is not known"),
        ("hot", "is not a number"),
        ("40 K", "has the unit “K”, which is not known"),
        ("40 mm", "is in mm, which measures length and not temperature"),
        ("1/0", "is not a number"),
        ("nan", "is not a number"),
        ("1e3", "has the unit “e”, which is not known"),
        ("1,040", "can be read in two ways"),
        ("40 C 3 F", "is not a number"),
        ("40 50", "is not a number"),
        ("9" * 400, "is not a number"),
    ],
)
def test_what_is_no_temperature_is_refused_in_one_sentence(text: str, words: str):
    with pytest.raises(QuantityError) as caught:
        parse_temperature(text=text, system=System.US, what="basking temperature")
    assert words in str(caught.value)
    assert str(caught.value).startswith("The basking temperature “")
    assert str(caught.value).endswith(".")


@pytest.mark.parametrize("text", ["3 in 1 ft", "1 ft 14 in", "1 ft 3", "1 ft 1 in 1 in", "-3 in"])
def test_lengths_that_are_put_together_wrongly_are_refused(text: str):
    with pytest.raises(QuantityError):
        parse_length(text=text, system=System.US)


@given(text=st.text(max_size=20))
def test_any_text_is_either_a_finite_number_or_refused(text: str):
    try:
        value = parse_quantity(text=text, dimension=Dimension.LENGTH, system=System.US).base
    except QuantityError:
        return
    assert math.isfinite(value)
    assert value >= 0


@given(
    hundredths=st.integers(1, 99_999),
    dimension=st.sampled_from((Dimension.WEIGHT, Dimension.VOLUME, Dimension.LENGTH)),
    system=st.sampled_from(System),
)
def test_a_number_without_a_unit_means_the_same_as_with_the_rooms(
    hundredths: int, dimension: Dimension, system: System
):
    number = f"{hundredths / 100:.2f}"
    unit = default_unit(system=system, dimension=dimension).name
    bare = parse_quantity(text=number, dimension=dimension, system=system)
    said = parse_quantity(text=f"{number} {unit}", dimension=dimension, system=System.METRIC)
    assert (bare.base, bare.said, said.said) == (said.base, False, True)
