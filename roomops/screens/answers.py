"""What every page that keeps something does with the desk's answers."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages

from roomops.desk.day import open_day
from roomops.desk.day_types import Day
from roomops.desk.entries import Answer, Outcome
from roomops.desk.refusals import Refused
from roomops.papers.refusals import outcome_words, refusal_words
from roomops.screens.door import InRoom

CONFLICT = (
    "Something else was kept from this same page before. Both are kept: the first one counts until somebody "
    "has looked in Sorting out."
)


def day_of(request: InRoom) -> Day:
    """The day that every page of today shows."""
    return open_day(room=request.room, day=request.now.date(), now=request.now)


def conflict(answers: Sequence[Answer]) -> bool:
    """The same form said something else before: both are kept, and a person looks."""
    return any(answer.outcome is Outcome.CLASH for answer in answers)


def tell(request: InRoom, answers: Sequence[Answer]) -> None:
    """Say what was kept but fits nothing that is due, or moved nothing on the shelf.

    What simply was kept shows on the page itself.
    """
    for sentence in dict.fromkeys(_remark(request, answer) for answer in answers if answer.why is not None):
        messages.warning(request, sentence)
    if any(answer.outcome is Outcome.UNMATCHED for answer in answers):
        messages.warning(request, outcome_words(outcome=Outcome.UNMATCHED))


def _remark(request: InRoom, answer: Answer) -> str:
    return refusal_words(why=answer.why, about=answer.about, reader=request.reader)


def no_words(request: InRoom, no: Refused) -> str:
    """The one sentence of a refusal, in the reader's units."""
    return refusal_words(why=no.why, about=no.about, reader=request.reader)
