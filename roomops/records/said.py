"""What entries say about a day's duties, for planning: which are settled, and which feed ended in refusal.

Pure: it reads plain values. Of two words about one head the last one said stands.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from roomops.planning.room import Done, DutyKind
from roomops.records.models import EntryKind
from roomops.records.moments import Span

FEED = f"/{DutyKind.FEED.value}/"


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One matched, uncorrected entry as planning needs it. ``person`` is a key, '' for nobody."""

    day: date
    duty: str
    kind: str
    head: int
    at: datetime
    person: str
    data: Mapping[str, Any] = field(default_factory=dict)


def outcome(word: Word) -> str:
    """What an entry settles: 'ate', 'left', 'refused', 'not here', 'done', or '' when it settles nothing."""
    match word.kind:
        case EntryKind.COUNT:
            return "left" if word.data.get("left") else "ate"
        case EntryKind.REFUSED | EntryKind.NOT_HERE | EntryKind.DONE:
            return word.kind
        case EntryKind.WALK | EntryKind.READING:
            return "done"
        case _:
            return ""


def settled(*, words: Iterable[Word], heads: Mapping[str, int], span: Span) -> tuple[Done, ...]:
    """Return the duties of the day that are settled, in the order of their keys.

    ``words`` come in the order in which they were said; the last one about a head stands, and 'it is here'
    takes 'not here' back. A feed of several heads (``heads`` by resident key) is settled when each of
    them has its word.
    """
    said: dict[str, dict[int, Word]] = defaultdict(dict)
    for word in words:
        if word.day == span.day and word.kind == EntryKind.HERE:
            said[word.duty].pop(word.head, None)
        elif word.day == span.day and outcome(word) and "/round/" not in word.duty:
            said[word.duty][word.head] = word
    whole = ((duty, by_head) for duty, by_head in sorted(said.items()) if _whole(duty, by_head, heads))
    return tuple(_done(duty, list(by_head.values()), span) for duty, by_head in whole)


def refused_last(*, words: Iterable[Word], day: date) -> frozenset[str]:
    """Return the residents whose last feed of ``day`` was refused, by a single animal or by one of a lot."""
    last: dict[str, tuple[int, dict[int, bool]]] = {}
    for word in words:
        if word.day != day or FEED not in word.duty or word.kind not in {EntryKind.COUNT, EntryKind.REFUSED}:
            continue
        resident, slot = subject_slot(word.duty)
        if resident not in last or last[resident][0] < slot:
            last[resident] = (slot, {})
        if last[resident][0] == slot:
            last[resident][1][word.head] = word.kind == EntryKind.REFUSED
    return frozenset(resident for resident, (_, refusals) in last.items() if any(refusals.values()))


def subject_slot(duty: str) -> tuple[str, int]:
    """Split '2026-06-09/feed/h3-two-dots/1' into 'h3-two-dots' and 1; a slot that is no number is 0."""
    parts = duty.split("/")
    subject, slot = (parts[-2], parts[-1]) if len(parts) > 1 else (duty, "")
    return subject, int(slot) if slot.isdecimal() else 0


def _whole(duty: str, by_head: Mapping[int, Word], heads: Mapping[str, int]) -> bool:
    if not by_head:
        return False
    wanted = heads.get(subject_slot(duty)[0], 1) if FEED in duty else 1
    return 0 in by_head or len(by_head) >= wanted


def _done(duty: str, words: list[Word], span: Span) -> Done:
    outcomes = {outcome(word) for word in words}
    last = max(words, key=lambda word: word.at)
    return Done(
        duty=duty,
        person=last.person,
        minute=int(span.minute_of(last.at)),
        outcome=outcomes.pop() if len(outcomes) == 1 else "left",
    )
