"""How a care sheet is refused: one sentence with the file, the field, the value and what to do."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any


class CareSheetError(ValueError):
    """A sheet that cannot be used. Nothing of it is taken over."""

    def __init__(self, *, file: str, field: str, value: str, remedy: str) -> None:
        self.file = file
        self.field = field
        self.value = value
        self.remedy = remedy
        super().__init__(f"{file}: {field} is {value}: {remedy}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where in a sheet we are: knows how to refuse what stands there."""

    file: str
    path: str

    def under(self, name: str) -> Spot:
        """Return the spot of a part of this one."""
        return Spot(file=self.file, path=f"{self.path}, {name}" if self.path else name)

    def refuse(self, *, value: object, remedy: str) -> CareSheetError:
        """Return the error to raise for a value. Texts are quoted, an absent value is called missing."""
        shown = "missing" if value is None else f"“{value}”" if isinstance(value, str) else str(value)
        return self.wrong(state=shown, remedy=remedy)

    def wrong(self, *, state: str, remedy: str) -> CareSheetError:
        """Return the error to raise for something that ``is`` in this state: broken, there twice."""
        return CareSheetError(file=self.file, field=self.path, value=state, remedy=remedy)


def keys_known(*, table: dict[str, Any], known: tuple[str, ...], at: Spot) -> None:
    """Refuse a key that is not known, with the nearest known one."""
    for key in table:
        if key not in known:
            near = get_close_matches(key, known, n=1)
            hint = f"did you mean “{near[0]}”" if near else f"known here are {', '.join(known)}"
            raise at.under(f"key “{key}”").wrong(state="unknown", remedy=hint)


def text_at(*, table: dict[str, Any], key: str, at: Spot, remedy: str) -> str:
    """Return a text that must be there and not be blank."""
    value = table.get(key)
    if not isinstance(value, str) or not value.strip():
        raise at.under(key).refuse(value=value if value != "" else None, remedy=remedy)
    return value.strip()


def one_of(*, value: str, known: tuple[str, ...], at: Spot) -> str:
    """Return ``value`` when it is known, else refuse it with the known ones or the nearest."""
    if value in known:
        return value
    near = get_close_matches(value, known, n=1)
    raise at.refuse(value=value, remedy=f"use “{near[0]}”" if near else f"use one of {', '.join(known)}")
