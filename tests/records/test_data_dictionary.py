"""docs/data.md against the models: what it lists is there, and what is there it lists."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from django.apps import apps

PAGE = Path(__file__).resolve().parents[2] / "docs" / "data.md"
COMMON = "Every row of a room"


def told(text: str) -> Mapping[str, set[str]]:
    """The columns by heading, as a reader finds them in the page's tables."""
    found: dict[str, set[str]] = {}
    for part in re.split(r"^##+ ", text, flags=re.MULTILINE)[1:]:
        heading, _, body = part.partition("\n")
        rows = re.findall(r"^\| (`[^|]*) \|", body, flags=re.MULTILINE)
        found[heading.strip()] = {name for row in rows for name in re.findall(r"`(\w+)`", row)}
    return found


def real() -> Mapping[str, set[str]]:
    """The columns by table, as Django has them."""
    models = apps.get_app_config("records").get_models()
    return {
        each.__name__: {field.name for field in (*each._meta.fields, *each._meta.many_to_many)}
        for each in models
    }


def unlike(text: str) -> list[str]:
    """Where page and models differ."""
    page, common = told(text), told(text).get(COMMON, set())
    found = [f"{table} is not in docs/data.md" for table in sorted(set(real()) - set(page))]
    tables = {heading for heading in page if re.search(rf"^### {heading}$", text, flags=re.MULTILINE)}
    found += [f"{table} is no table" for table in sorted(tables - set(real()))]
    for table, columns in real().items():
        listed = page.get(table, set())
        found += [f"{table}.{name} is not in docs/data.md" for name in sorted(columns - listed - common)]
        found += [f"{table}.{name} is no column" for name in sorted(listed - columns)]
    return found


def test_the_data_dictionary_lists_every_table_and_column_and_no_other() -> None:
    assert unlike(PAGE.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("old", "new", "seen"),
    [
        ("| `thermostat`, `probe` |", "| `thermostat` |", "Lamp.probe is not in docs/data.md"),
        ("| `thermostat`, `probe` |", "| `thermostat`, `probes` |", "Lamp.probes is no column"),
        ("### Pen", "### Cage", "Pen is not in docs/data.md"),
        ("### Pen", "### Cage", "Cage is no table"),
    ],
)
def test_a_planted_difference_is_seen(old: str, new: str, seen: str) -> None:
    text = PAGE.read_text(encoding="utf-8")
    assert text.count(old) == 1
    assert seen in unlike(text.replace(old, new))


def test_every_choice_of_a_column_is_named_on_the_page() -> None:
    text = PAGE.read_text(encoding="utf-8")
    choices = {
        (each.__name__, field.name, str(value))
        for each in apps.get_app_config("records").get_models()
        for field in each._meta.fields
        for value, _ in field.flatchoices
    }
    assert len(choices) > 50
    assert sorted(each for each in choices if f"`{each[2]}`" not in text) == []
