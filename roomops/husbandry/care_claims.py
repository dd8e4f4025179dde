"""One claim of a sheet: a number or a span with its unit, its standing and its source."""

from __future__ import annotations

import re
from typing import Any

from roomops.husbandry.care import Claim, Standing
from roomops.husbandry.care_errors import Spot, keys_known, one_of, text_at
from roomops.husbandry.care_topics import Topic
from roomops.husbandry.units import BY_NAME, Unit, from_base, to_base, unit_named

_KEYS = ("key", "value", "standing", "source", "note")
_VALUE = re.compile(r"(?P<low>-?\d+(?:\.\d+)?)(?: to (?P<high>-?\d+(?:\.\d+)?))?\s*(?P<unit>\D.*)?")
_STANDINGS = tuple(str(standing) for standing in Standing)
_NO_SOURCE = ("no source", "none", "unknown", "n/a", "from memory", "common practice")
_NAMES_PUBLICATION = "name the publication, or use another standing"


def claim_from(*, table: Any, topic: Topic, at: Spot, key: str = "") -> Claim:
    """Read a claim table ``{key, value, standing, source, note}``.

    ``value`` reads '100 to 110 °F' or '25 min'. ``key`` serves where the table needs none. Raises
    CareSheetError for anything missing, unknown, of the wrong dimension, upside down or out of all reason.
    """
    if not isinstance(table, dict):
        raise at.refuse(value=str(table), remedy="write a table with key, value, standing and source")
    keys_known(table=table, known=_KEYS, at=at)
    key = key or text_at(
        table=table, key="key", at=at, remedy="give the claim a short name such as practice or print"
    )
    at = at.under(f"claim “{key}”")
    low, high, unit = _value(table=table, topic=topic, at=at)
    standing = standing_of(table=table, at=at)
    return Claim(
        key=key,
        low=low,
        high=high,
        unit=unit.name,
        standing=standing,
        source=source_of(table=table, standing=standing, at=at),
        note=note_of(table=table, at=at),
    )


def base_of(claim: Claim) -> tuple[float, float]:
    """Return low and high of a claim in the base unit of its dimension."""
    unit = BY_NAME[claim.unit]
    return to_base(number=claim.low, unit=unit), to_base(number=claim.high, unit=unit)


def _value(*, table: dict[str, Any], topic: Topic, at: Spot) -> tuple[float, float, Unit]:
    at = at.under("value")
    text = table.get("value")
    if not isinstance(text, str):
        raise at.refuse(value=text, remedy="write number and unit as a text, like “100 to 110 °F”")
    match = _VALUE.fullmatch(text.strip())
    if match is None:
        raise at.refuse(value=text, remedy="write it like “100 to 110 °F” or “25 min”")
    unit = _unit(spelling=(match["unit"] or "").strip(), text=text, topic=topic, at=at)
    low = float(match["low"])
    high = float(match["high"] or match["low"])
    if low > high:
        raise at.refuse(value=text, remedy="write the lower number first")
    if to_base(number=low, unit=unit) < topic.least or to_base(number=high, unit=unit) > topic.most:
        least, most = (f"{from_base(base=base, unit=unit):g}" for base in (topic.least, topic.most))
        remedy = f"check number and unit, since it has to lie between {least} and {most} {unit.name}"
        raise at.refuse(value=text, remedy=remedy)
    return low, high, unit


def _unit(*, spelling: str, text: str, topic: Topic, at: Spot) -> Unit:
    fitting = ", ".join(unit.name for unit in BY_NAME.values() if unit.dimension is topic.dimension)
    if not spelling:
        raise at.refuse(value=text, remedy=f"add a unit, one of {fitting}")
    unit = unit_named(spelling)
    if unit is None:
        raise at.refuse(
            value=text, remedy=f"“{spelling}” is no unit that is known here, use one of {fitting}"
        )
    if unit.dimension is not topic.dimension:
        remedy = (
            f"{unit.name} measures a {unit.dimension} and this is a {topic.dimension}, use one of {fitting}"
        )
        raise at.refuse(value=text, remedy=remedy)
    return unit


def standing_of(*, table: dict[str, Any], at: Spot) -> Standing:
    """Return a claim's standing, refused when it is missing or not one that is known."""
    text = text_at(table=table, key="standing", at=at, remedy=f"add one of {', '.join(_STANDINGS)}")
    return Standing(one_of(value=text, known=_STANDINGS, at=at.under("standing")))


def source_of(*, table: dict[str, Any], standing: Standing, at: Spot) -> str:
    """Return a claim's source; what is called published has to name its publication."""
    missing = (
        _NAMES_PUBLICATION if standing is Standing.PUBLISHED else "say where it comes from, or “no source”"
    )
    source = text_at(table=table, key="source", at=at, remedy=missing)
    if standing is Standing.PUBLISHED and source.lower().rstrip(".").startswith(_NO_SOURCE):
        raise at.under("source").refuse(
            value=source, remedy=f"a published number needs one, so {_NAMES_PUBLICATION}"
        )
    return source


def note_of(*, table: dict[str, Any], at: Spot) -> str:
    """Return a claim's note, '' when it has none."""
    note = table.get("note", "")
    if not isinstance(note, str):
        raise at.under("note").refuse(value=str(note), remedy="write it as a text")
    return note.strip()
