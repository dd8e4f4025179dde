"""Use cases of a feed round: cups, to tubs, counts, back, wash. Each writes through ``entries.say``.

Every use case takes ``form``: the id that the page's form carried. What is said for several heads gets its
ids from it, so that pressing twice is pressing once. All raise ``Refused`` with a typed reason, and keep
nothing then.
"""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from roomops.desk.day_types import Day
from roomops.desk.entries import Answer
from roomops.desk.tray import (
    Prey,
    ShelfLine,
    StepState,
    StepView,
    SumView,
    TabView,
    TrayView,
    TubState,
    TubView,
    tray_view,
)
from roomops.records.models import Person

__all__ = [
    "Prey",
    "ShelfLine",
    "StepState",
    "StepView",
    "SumView",
    "TabView",
    "TrayView",
    "TubState",
    "TubView",
    "all_back",
    "all_eaten",
    "back",
    "count",
    "cups_ready",
    "finish",
    "it_is_here",
    "more",
    "not_counted",
    "not_here",
    "refused",
    "to_tubs",
    "tray_view",
    "washed",
]


def cups_ready(*, day: Day, round_key: str, by: Person, form: UUID) -> tuple[Answer, ...]:
    """Cups are ready, before any animal is lifted."""
    raise NotImplementedError


def to_tubs(
    *, day: Day, round_key: str, by: Person, form: UUID, tubs: Sequence[str] = ()
) -> tuple[Answer, ...]:
    """The tray's animals are in their tubs (all of them, or those named). Refused: NOT_BEGUN, BASKING_LOW."""
    raise NotImplementedError


def all_eaten(*, day: Day, round_key: str, by: Person, form: UUID) -> tuple[Answer, ...]:
    """0 left for every tub that is not counted; never over a count that somebody gave, whichever comes first."""
    raise NotImplementedError


def count(
    *,
    day: Day,
    round_key: str,
    duty: str,
    head: int,
    left: int,
    by: Person,
    form: UUID,
    at_least: bool = False,
) -> tuple[Answer, ...]:
    """So many are left of what was offered. A later count corrects the earlier one."""
    raise NotImplementedError


def refused(*, day: Day, round_key: str, duty: str, head: int, by: Person, form: UUID) -> tuple[Answer, ...]:
    """It took nothing. Another count after it changes it."""
    raise NotImplementedError


def more(
    *, day: Day, round_key: str, duty: str, head: int, more: int, left: int, by: Person, form: UUID
) -> tuple[Answer, ...]:
    """So many more were offered in the same feed; ``left`` is of everything."""
    raise NotImplementedError


def not_counted(
    *, day: Day, round_key: str, duty: str, head: int, by: Person, form: UUID
) -> tuple[Answer, ...]:
    """Take the count of one head back: it was pressed by mistake."""
    raise NotImplementedError


def not_here(
    *,
    day: Day,
    round_key: str,
    duty: str,
    head: int,
    why: str,
    note: str,
    by: Person,
    form: UUID,
    to_tank: str = "",
) -> tuple[Answer, ...]:
    """The head is sold, moved, isolated, at vet, dead, or can't be found; its resident changes at once.

    ``to_tank`` is where a moved one lives now.
    """
    raise NotImplementedError


def it_is_here(
    *, day: Day, round_key: str, duty: str, head: int, by: Person, form: UUID
) -> tuple[Answer, ...]:
    """Undo ``not_here``: it is here after all."""
    raise NotImplementedError


def back(
    *, day: Day, round_key: str, duty: str, head: int, tank: str, by: Person, form: UUID
) -> tuple[Answer, ...]:
    """It is back in ``tank`` (a key). Refused: OTHER_TANK when it does not live there, NOT_OUT."""
    raise NotImplementedError


def all_back(*, day: Day, round_key: str, by: Person, form: UUID) -> tuple[Answer, ...]:
    """Called away: all that are out are back in their own tanks; what was not counted stays so."""
    raise NotImplementedError


def washed(
    *, day: Day, round_key: str, by: Person, form: UUID, not_clean: Sequence[str] = ()
) -> tuple[Answer, ...]:
    """The tray is washed but for the tubs named. Refused: ANIMALS_OUT with how many and which."""
    raise NotImplementedError


def finish(*, day: Day, round_key: str, by: Person, form: UUID) -> tuple[Answer, ...]:
    """End the round. Refused: ANIMALS_OUT, NOT_COUNTED, NOT_WASHED, each with which."""
    raise NotImplementedError
