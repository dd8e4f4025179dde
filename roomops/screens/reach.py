"""The one sentence in the lid: whether what people said is kept, with a number and a time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.urls import NoReverseMatch, reverse

from roomops.desk.day_types import Day
from roomops.desk.state import State, Word
from roomops.papers import words


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """``first`` is bold, ``rest`` is not. ``sign`` names a glyph, '' for none."""

    state: str  # 'saved', 'waiting', '' before anything was said
    sign: str
    first: str
    rest: str = ""
    link: str = ""


def reach_of(day: Day) -> Reach:
    """What a page drawn by the server can promise: all it shows is kept; some of it a person must look at."""
    waiting = day.clashes + day.unmatched
    last = last_word(day.state)
    when = (
        f"Last {words.time_words(last.at.astimezone(day.zone))}, {last.by_name}."
        if last and last.by_name
        else ""
    )
    if waiting:
        first = f"{words.count_words(waiting, 'count')} to sort out."
        return Reach(state="waiting", sign="hold", first=first, rest=when, link=_address("sorting"))
    if last is None:
        return Reach(state="", sign="", first="Nothing counted yet today.")
    return Reach(state="saved", sign="saved", first="All counts kept.", rest=when)


def last_word(state: State) -> Word | None:
    """The last thing that anybody said today."""
    said = [*_words_of_heads(state), *_words_of_rounds(state), *(duty.word for duty in state.duties.values())]
    return max(said, key=_when, default=None)


def _when(word: Word) -> datetime:
    return word.at


def _words_of_heads(state: State) -> list[Word]:
    heads = state.heads.values()
    return [word for head in heads for word in (head.out, head.count, head.back, head.not_here) if word]


def _words_of_rounds(state: State) -> list[Word]:
    rounds = state.rounds.values()
    return [word for each in rounds for word in (each.cups, each.washed, each.finished) if word]


def _address(name: str) -> str:
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
