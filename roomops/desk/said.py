"""What somebody said, and what became of it: the plain values that pass through ``entries.say``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Any
from uuid import UUID, uuid5

from roomops.desk.refusals import No


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What somebody said. ``id`` is made before it is sent, so that a repeat changes nothing.

    ``at`` is when it happened (the device's time); None means now. ``data`` depends on the kind, as listed in
    docs/entries.md. ``corrects`` names the entry that this one replaces.
    """

    id: UUID
    duty: str
    kind: str
    head: int = 0
    data: Mapping[str, Any] = field(default_factory=dict)
    corrects: UUID | None = None
    at: datetime | None = None


class Outcome(StrEnum):
    STORED = "stored"
    ALREADY = "already"
    CLASH = "clash"
    UNMATCHED = "unmatched"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What became of one ``Said``. ``why`` and ``about`` say it for a refusal."""

    id: UUID
    outcome: Outcome
    why: No | None = None
    about: Mapping[str, Any] = field(default_factory=dict)


def id_from(*, form: UUID, duty: str, head: int = 0) -> UUID:
    """Return the id of one of several things said with one form: the same form says the same ids again."""
    return uuid5(form, f"{duty}#{head}")
