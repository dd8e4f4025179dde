"""Quantities from what people write: '104', '104 F', '40 °C', '3 1/2 in', '1 lb 3 oz'."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from roomops.husbandry.units import (
    Celsius,
    Dimension,
    Grams,
    Millimeters,
    QuantityError,
    System,
    Unit,
    default_unit,
    to_base,
    unit_named,
)

_VULGAR = {
    "¼": 1 / 4,
    "½": 1 / 2,
    "¾": 3 / 4,
    "⅛": 1 / 8,
    "⅜": 3 / 8,
    "⅝": 5 / 8,
    "⅞": 7 / 8,
    "⅓": 1 / 3,
    "⅔": 2 / 3,
}
_NUMBER = re.compile(
    r"""(?P<sign>[-+−–]?)(?:
        (?:(?P<whole>\d+)[ -])?(?P<top>\d+)\s?/\s?(?P<bottom>\d+)
      | (?P<before>\d+)?\s?(?P<vulgar>[¼½¾⅛⅜⅝⅞⅓⅔])
      | (?P<plain>\d+(?:[.,]\d+)?|[.,]\d+)
    )""",
    re.VERBOSE,
)
_PART = re.compile(
    rf"\s*(?:{_NUMBER.pattern})\s*(?P<unit>[^\d\s.,/+−–¼½¾⅛⅜⅝⅞⅓⅔-][^\d¼½¾⅛⅜⅝⅞⅓⅔]*)?", re.VERBOSE
)
_EXAMPLE = {
    Dimension.TEMPERATURE: "104 °F or 40 °C",
    Dimension.LENGTH: "3 1/2 in or 89 mm",
    Dimension.WEIGHT: "14.1 g or 2 lb 3 oz",
    Dimension.VOLUME: "20 gal or 75 L",
    Dimension.UV_INDEX: "3.1",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """A quantity as written, and in base units. ``said`` is False when the room's unit was assumed."""

    number: float
    unit: Unit
    base: float
    said: bool


def parse_quantity(*, text: str, dimension: Dimension, system: System, what: str = "") -> Entered:
    """Read one quantity; a number without a unit is in the room's.

    ``what`` names the thing in the sentence ('basking temperature'). Raises QuantityError when ``text`` is no
    number, has an unknown unit or one of another dimension, or is negative and no temperature.
    """
    what = what or str(dimension)
    parts = _parts(text=text, dimension=dimension, what=what)
    units = [_unit_of(spelling=unit, text=text, dimension=dimension, what=what) for _, unit in parts]
    first = units[0] or default_unit(system=system, dimension=dimension)
    base = to_base(number=parts[0][0], unit=first)
    if len(parts) == 2:
        second = units[1]
        fits = second and units[0] and second.factor < first.factor and dimension is not Dimension.TEMPERATURE
        if not fits or second is None or parts[1][0] * second.factor >= first.factor:
            raise _no_number(text=text, dimension=dimension, what=what)
        base += to_base(number=parts[1][0], unit=second)
    if dimension is not Dimension.TEMPERATURE and base < 0:
        raise QuantityError(
            what=what, value=text.strip(), problem="is below zero", remedy="write it without the minus"
        )
    return Entered(number=parts[0][0], unit=first, base=base, said=units[0] is not None)


def _parts(*, text: str, dimension: Dimension, what: str) -> list[tuple[float, str]]:
    found: list[tuple[float, str]] = []
    at = 0
    clean = text.strip()
    while at < len(clean) and len(found) < 3:
        match = _PART.match(clean, at)
        if match is None:
            raise _no_number(text=text, dimension=dimension, what=what)
        found.append(
            (_number(match=match, text=text, dimension=dimension, what=what), (match["unit"] or "").strip())
        )
        at = match.end()
    if not 1 <= len(found) <= 2:
        raise _no_number(text=text, dimension=dimension, what=what)
    return found


def _number(*, match: re.Match[str], text: str, dimension: Dimension, what: str) -> float:
    if match["plain"]:
        plain = match["plain"].replace(",", ".")
        if "," in match["plain"] and len(plain.rpartition(".")[2]) == 3:
            remedy = "write it with a point for decimals and nothing between thousands"
            raise QuantityError(
                what=what, value=text.strip(), problem="can be read in two ways", remedy=remedy
            )
        size = float(plain)
    elif match["vulgar"]:
        size = float(match["before"] or 0) + _VULGAR[match["vulgar"]]
    elif float(match["bottom"]) == 0:
        raise _no_number(text=text, dimension=dimension, what=what)
    else:
        size = float(match["whole"] or 0) + float(match["top"]) / float(match["bottom"])
    if not math.isfinite(size):
        raise _no_number(text=text, dimension=dimension, what=what)
    return -size if match["sign"] in {"-", "−", "–"} and match["sign"] else size


def _unit_of(*, spelling: str, text: str, dimension: Dimension, what: str) -> Unit | None:
    if not spelling:
        return None
    unit = unit_named(spelling)
    if unit is not None and unit.dimension is dimension:
        return unit
    problem = f"has the unit “{spelling}”, which is not known"
    if unit is not None:
        problem = f"is in {unit.name}, which measures {unit.dimension} and not {dimension}"
    raise QuantityError(what=what, value=text.strip(), problem=problem, remedy=_remedy(dimension))


def _remedy(dimension: Dimension) -> str:
    return f"write it like {_EXAMPLE.get(dimension, '12')}"


def _no_number(*, text: str, dimension: Dimension, what: str) -> QuantityError:
    return QuantityError(what=what, value=text.strip(), problem="is not a number", remedy=_remedy(dimension))


def parse_temperature(*, text: str, system: System, what: str = "temperature") -> Celsius:
    """Return °C. Raises QuantityError. Whether it can be meant is asked of ``heat.doubt``."""
    return Celsius(parse_quantity(text=text, dimension=Dimension.TEMPERATURE, system=system, what=what).base)


def parse_length(*, text: str, system: System, what: str = "length") -> Millimeters:
    """Return millimeters. Raises QuantityError."""
    return Millimeters(parse_quantity(text=text, dimension=Dimension.LENGTH, system=system, what=what).base)


def parse_weight(*, text: str, system: System, what: str = "weight") -> Grams:
    """Return grams. Raises QuantityError."""
    return Grams(parse_quantity(text=text, dimension=Dimension.WEIGHT, system=system, what=what).base)
