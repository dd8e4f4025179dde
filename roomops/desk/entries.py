"""The one door for what people say. Every entry of every page and every offline batch comes through ``say``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Any
from uuid import UUID

from roomops.desk.refusals import No
from roomops.records.models import Person, Room


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What somebody said. ``id`` is made before it is sent, so that a repeat changes nothing.

    ``at`` is when it happened (the device's time); None means now. ``data`` is as in ``EntryKind``'s table of
    docs/desk.md. ``corrects`` names the entry that this one replaces.
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


def say(*, room: Room, by: Person | None, said: Sequence[Said], now: datetime) -> tuple[Answer, ...]:
    """Keep what was said, each in its own right: one answer for each, in order, in one transaction."""
    raise NotImplementedError
