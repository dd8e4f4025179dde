"""Plain values out of a sheet's tables, each refused by name where it is not what it should be."""

from __future__ import annotations

from typing import Any

from roomops.husbandry.care_errors import Spot, one_of


def table_at(*, table: dict[str, Any], key: str, at: Spot) -> dict[str, Any]:
    """Return a table that must be there."""
    value = table.get(key)
    if not isinstance(value, dict):
        raise at.under(key).refuse(value=None, remedy=f"add a table [{key}]")
    return value


def rows_at(*, table: dict[str, Any], key: str, at: Spot) -> list[dict[str, Any]]:
    """Return a list of tables that must be there and not be empty."""
    value = table.get(key)
    if not isinstance(value, list) or not value or not all(isinstance(row, dict) for row in value):
        raise at.under(key).refuse(value=None, remedy=f"add at least one table [[{key}]]")
    return value


def truth_at(*, table: dict[str, Any], key: str, default: bool, at: Spot) -> bool:
    """Return true or false."""
    value = table.get(key, default)
    if not isinstance(value, bool):
        raise at.under(key).refuse(value=str(value), remedy="write true or false")
    return value


def texts_at(*, table: dict[str, Any], key: str, at: Spot, known: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Return a list of distinct texts (each of ``known``, when given), or () when there is none."""
    at = at.under(key)
    values = table.get(key, [])
    if not isinstance(values, list) or not all(isinstance(value, str) and value.strip() for value in values):
        raise at.refuse(value=str(values), remedy="write a list of texts")
    if len(set(values)) != len(values):
        raise at.refuse(value=", ".join(values), remedy="name each only once")
    return tuple(one_of(value=value, known=known, at=at) if known else value.strip() for value in values)


def stages_at(*, row: dict[str, Any], stages: tuple[str, ...], at: Spot) -> tuple[str, ...]:
    """Return the stages that a row names, all of them for “all”."""
    if row.get("stages") == "all":
        return stages
    chosen = texts_at(table=row, key="stages", at=at, known=stages)
    if not chosen:
        raise at.under("stages").refuse(value=None, remedy=f"write “all” or a list of {', '.join(stages)}")
    return chosen
