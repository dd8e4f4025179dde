"""Quantities that cannot be mixed up: each has its own type, one base unit, and one way in and out as text.

Base units: degrees Celsius, millimeters, square centimeters, grams, liters, minutes, milligrams a liter,
meters a second, degrees of arc, UV index. Factors are exact by definition (inch, pound, US gallon: NIST
Special Publication 811, appendix B); months and years are the mean Julian ones (365.25 days a year).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NewType

Celsius = NewType("Celsius", float)
Millimeters = NewType("Millimeters", float)
Grams = NewType("Grams", float)


class System(StrEnum):
    """The units that a room reads and writes."""

    US = "us"
    METRIC = "metric"


class Dimension(StrEnum):
    """What kind of thing a number measures. Numbers of different dimensions never meet."""

    TEMPERATURE = "temperature"
    LENGTH = "length"
    AREA = "area"
    WEIGHT = "weight"
    VOLUME = "volume"
    TIME = "time"
    UV_INDEX = "UV index"
    PERCENT = "share in percent"
    ZONE = "Ferguson zone"
    FEEDS = "number of feeds"
    INSECTS = "number of insects"
    RODENTS = "number of rodents"
    ANIMALS = "number of animals"
    TIMES = "multiple"
    OF_LENGTH = "share of the length"
    A_DAY = "times a day"
    PEOPLE = "number of people"
    EGGS = "number of eggs"
    CONCENTRATION = "concentration in water"
    ACIDITY = "acidity"
    SPEED = "speed"
    ANGLE = "angle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """``base = (number + shift) * factor``."""

    name: str
    dimension: Dimension
    factor: float = 1.0
    shift: float = 0.0


def _unit(name: str, dimension: Dimension, factor: float = 1.0, shift: float = 0.0) -> Unit:
    return Unit(name=name, dimension=dimension, factor=factor, shift=shift)


_INCH_MM = 25.4
_POUND_G = 453.59237
_GALLON_L = 3.785411784
_DAY_MIN = 1440.0
_YEAR_DAYS = 365.25

# The first unit of a dimension is its base unit.
UNITS: tuple[Unit, ...] = (
    _unit("°C", Dimension.TEMPERATURE),
    _unit("°F", Dimension.TEMPERATURE, 5 / 9, -32.0),
    _unit("mm", Dimension.LENGTH),
    _unit("cm", Dimension.LENGTH, 10.0),
    _unit("m", Dimension.LENGTH, 1000.0),
    _unit("in", Dimension.LENGTH, _INCH_MM),
    _unit("ft", Dimension.LENGTH, 12 * _INCH_MM),
    _unit("cm²", Dimension.AREA),
    _unit("m²", Dimension.AREA, 10_000.0),
    _unit("in²", Dimension.AREA, _INCH_MM**2 / 100),
    _unit("ft²", Dimension.AREA, (12 * _INCH_MM) ** 2 / 100),
    _unit("g", Dimension.WEIGHT),
    _unit("kg", Dimension.WEIGHT, 1000.0),
    _unit("oz", Dimension.WEIGHT, _POUND_G / 16),
    _unit("lb", Dimension.WEIGHT, _POUND_G),
    _unit("L", Dimension.VOLUME),
    _unit("mL", Dimension.VOLUME, 0.001),
    _unit("gal", Dimension.VOLUME, _GALLON_L),
    _unit("qt", Dimension.VOLUME, _GALLON_L / 4),
    _unit("fl oz", Dimension.VOLUME, _GALLON_L / 128),
    _unit("min", Dimension.TIME),
    _unit("h", Dimension.TIME, 60.0),
    _unit("days", Dimension.TIME, _DAY_MIN),
    _unit("weeks", Dimension.TIME, 7 * _DAY_MIN),
    _unit("months", Dimension.TIME, _YEAR_DAYS / 12 * _DAY_MIN),
    _unit("years", Dimension.TIME, _YEAR_DAYS * _DAY_MIN),
    _unit("UVI", Dimension.UV_INDEX),
    _unit("%", Dimension.PERCENT),
    _unit("zone", Dimension.ZONE),
    _unit("feeds", Dimension.FEEDS),
    _unit("insects", Dimension.INSECTS),
    _unit("rodents", Dimension.RODENTS),
    _unit("animals", Dimension.ANIMALS),
    _unit("times", Dimension.TIMES),
    _unit("of length", Dimension.OF_LENGTH),
    _unit("a day", Dimension.A_DAY),
    _unit("people", Dimension.PEOPLE),
    _unit("eggs", Dimension.EGGS),
    _unit("mg/L", Dimension.CONCENTRATION),
    _unit("pH", Dimension.ACIDITY),
    _unit("m/s", Dimension.SPEED),
    _unit("km/h", Dimension.SPEED, 1 / 3.6),
    _unit("mph", Dimension.SPEED, _INCH_MM * 63_360 / 1000 / 3600),
    _unit("deg", Dimension.ANGLE),
)
BY_NAME: dict[str, Unit] = {unit.name: unit for unit in UNITS}

# Other spellings, lower case. 'F' and 'C' alone are taken as degrees.
_SPELLINGS: dict[str, str] = {
    **{unit.name.lower(): unit.name for unit in UNITS},
    "c": "°C", "deg c": "°C", "degrees c": "°C", "celsius": "°C", "° c": "°C", "ºc": "°C",
    "f": "°F", "deg f": "°F", "degrees f": "°F", "fahrenheit": "°F", "° f": "°F", "ºf": "°F",
    "millimeter": "mm", "millimeters": "mm", "centimeter": "cm", "centimeters": "cm",
    "meter": "m", "meters": "m",
    '"': "in", "″": "in", "”": "in", "inch": "in", "inches": "in", "in.": "in",
    "'": "ft", "′": "ft", "’": "ft", "foot": "ft", "feet": "ft", "ft.": "ft",
    "millimetre": "mm", "millimetres": "mm", "centimetre": "cm", "centimetres": "cm",
    "metre": "m", "metres": "m",
    "gram": "g", "grams": "g", "kilogram": "kg", "kilograms": "kg",
    "ounce": "oz", "ounces": "oz", "oz.": "oz", "pound": "lb", "pounds": "lb", "lbs": "lb", "lb.": "lb",
    "liter": "L", "liters": "L", "litre": "L", "litres": "L", "milliliter": "mL", "milliliters": "mL",
    "gallon": "gal", "gallons": "gal", "quart": "qt", "quarts": "qt", "fluid ounce": "fl oz",
    "cm2": "cm²", "m2": "m²", "in2": "in²", "ft2": "ft²", "sq ft": "ft²", "sq in": "in²",
    "minute": "min", "minutes": "min", "mins": "min", "hour": "h", "hours": "h", "hr": "h", "hrs": "h",
    "day": "days", "week": "weeks", "month": "months", "year": "years",
    "percent": "%", "feed": "feeds", "insect": "insects", "rodent": "rodents", "animal": "animals",
    "time": "times", "times a day": "a day", "time a day": "a day", "person": "people", "egg": "eggs",
    "ppm": "mg/L", "miles an hour": "mph", "kph": "km/h", "degree": "deg", "degrees": "deg", "°": "deg",
}  # fmt: skip

_DEFAULTS: dict[tuple[System, Dimension], str] = {
    (System.US, Dimension.TEMPERATURE): "°F",
    (System.US, Dimension.LENGTH): "in",
    (System.US, Dimension.AREA): "ft²",
    (System.US, Dimension.VOLUME): "gal",
    (System.US, Dimension.SPEED): "mph",
}


class QuantityError(ValueError):
    """A text that is no such quantity. ``str`` is one sentence: what, which value, what to do."""

    def __init__(self, *, what: str, value: str, problem: str, remedy: str) -> None:
        self.what = what
        self.value = value
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"The {what} “{value}” {problem}: {remedy}.")


def unit_named(spelling: str) -> Unit | None:
    """Return the unit of a spelling ('F', 'inches', '°C'), or None."""
    name = _SPELLINGS.get(" ".join(spelling.split()).lower())
    return BY_NAME[name] if name else None


def default_unit(*, system: System, dimension: Dimension) -> Unit:
    """Return the unit of a number without one. Weights are in grams in both systems: scales show grams."""
    base = next(unit for unit in UNITS if unit.dimension is dimension)
    return BY_NAME[_DEFAULTS.get((system, dimension), base.name)]


def to_base(*, number: float, unit: Unit) -> float:
    """Return ``number`` of ``unit`` in the base unit of its dimension."""
    return (number + unit.shift) * unit.factor


def from_base(*, base: float, unit: Unit) -> float:
    """Return a base-unit value in ``unit``."""
    return base / unit.factor - unit.shift
