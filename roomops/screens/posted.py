"""What a plain form sent, field by field. What cannot be is one sentence: what, which value, what to do."""

from __future__ import annotations

from typing import Any
from uuid import UUID, uuid4

from django.http import QueryDict

from roomops.husbandry.quantity_text import parse_temperature
from roomops.husbandry.units import QuantityError, System

MOST_WORDS = 2000  # letters of a note


class Typed(Exception):  # noqa: N818  (an answer to somebody, not a fault)
    """What somebody typed cannot be kept. ``field`` is the input that it stands in."""

    def __init__(self, sentence: str, *, field: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


def new_form() -> str:
    """Return the id that a form carries: pressing it twice is pressing it once."""
    return str(uuid4())


def form_id(post: QueryDict) -> UUID:
    """Return the form's id. Raises Typed for a page that has none (an old one, or made by hand)."""
    try:
        return UUID(post.get("form", ""))
    except ValueError:
        raise Typed("This page is too old to keep anything: open it again, then press once more.") from None


def seen(post: QueryDict) -> dict[str, Any]:
    """Return what the page showed when it was pressed: a count by its id, or that there was none."""
    try:
        return {"seen": UUID(post.get("seen", ""))}
    except ValueError:
        return {"unseen": True}


def whole(post: QueryDict, name: str, *, what: str, least: int, most: int, field: str = "") -> int:
    """Return a whole number from ``least`` to ``most``. Raises Typed."""
    text = post.get(name, "").strip()
    if not text:
        raise Typed(f"Say the {what}: a number from {least} to {most}.", field=field or name)
    if not text.isascii() or not text.isdecimal():
        raise Typed(
            f"“{text}” is no whole number for the {what}: write one from {least} to {most}.",
            field=field or name,
        )
    if not least <= int(text) <= most:
        raise Typed(f"{text} cannot be the {what}: write one from {least} to {most}.", field=field or name)
    return int(text)


def temperature(post: QueryDict, name: str, *, what: str, units: str) -> float | None:
    """Return °C, or None for an empty field; a number without a unit is in the room's. Raises Typed."""
    text = post.get(name, "").strip()
    if not text:
        return None
    try:
        return parse_temperature(text=text, system=System(units), what=what)
    except QuantityError as wrong:
        raise Typed(str(wrong), field=name) from wrong


def words(post: QueryDict, name: str, *, what: str = "note", most: int = MOST_WORDS) -> str:
    """Return trimmed words, '' for none. Raises Typed when they are too many."""
    text = " ".join(post.get(name, "").split())
    if len(text) > most:
        raise Typed(f"The {what} has {len(text)} letters and at most {most} fit: say it shorter.", field=name)
    return text
