"""How many people it takes to hold an animal."""

from __future__ import annotations

from roomops.husbandry.care import StageCare


def handlers_needed(*, care: StageCare, length_mm: float | None) -> int:
    """Return how many people handling takes: the stage's number, and more where the length asks for it."""
    people, hands = care.handlers, care.hands
    if hands is None or length_mm is None:
        return people
    if hands.mm_each:
        people = max(people, -int(-length_mm // hands.mm_each))
    if hands.never_alone_mm is not None and length_mm >= hands.never_alone_mm:
        people = max(people, 2)
    return people
