"""What the desk answers, in words: kept, kept already, not kept and why."""

from __future__ import annotations

from collections.abc import Mapping

from roomops.papers.amounts import degree_unit, degrees, list_words
from roomops.papers.reader import Reader

# By the value of desk.entries.Outcome.
OUTCOME: dict[str, str] = {
    "stored": "Kept.",
    "already": "Kept already; nothing changed.",
    "clash": "Something else was kept under the same number before: both are kept, and a person looks.",
    "unmatched": "Kept, but it fits nothing that is due today: it waits in the list to be sorted out.",
    "refused": "Not kept.",
}

# By the value of desk.refusals.No. Braces name what the refusal is about.
REFUSED: dict[str, str] = {
    "unknown duty": "Nothing that is due today is called “{value}”: open today's page again.",
    "unknown round": "There is no round “{value}” today: open today's page again.",
    "unknown seat": "There is no tub “{value}” in this round: open the tray again.",
    "unknown tank": "There is no tank “{value}” here: choose one of the list.",
    "unknown resident": "There is no animal “{value}” here: choose one of the list.",
    "unknown kind": "“{value}” is nothing that can be said about this: open the page again.",
    "unknown reason": "“{value}” is no reason why an animal is not here: choose {allowed}.",
    "not a number": "The {name} “{value}” is no number: write digits.",
    "out of range": "The {name} {value} cannot be: write {least} to {most}.",
    "more left than offered": "{left} left of {offered} offered cannot be: count again.",
    "missing": "The {name} is not filled in.",
    "too long": "The {name} is longer than {most} letters: shorten it.",
    "other day": "This belongs to {value}, and today is {day}: open that day.",
    "not begun": "The step before this one is not done yet: cups first, then animals, then counts.",
    "basking low": "The basking side of {tank} last read {value_c}, under {low_c}: no feed until it is warm.",
    "animals out": "In tubs still: {count}. Put them back first: {tubs}.",
    "not counted": "Not counted yet: {count}. Count first: {tubs}.",
    "not washed": "The tubs are not washed yet: wash them, then finish.",
    "other tank": "This animal lives in {tank}, not in {value}: put it back there.",
    "not out": "This animal is in no tub.",
    "doubtful": "The {name} {value_c} is far from {low_c} to {high_c}: measure again, or keep it as read.",
    "no such heads": "There are {most} of them here, not {value}: count again.",
    "tub taken": "Another animal is in tub {tubs} (round {round}): put it back first.",
    "mark taken": "Another animal of {tank} has the mark “{value}”: choose another mark.",
    "other duty": "This corrects something about “{value}”, not about “{duty}”: open today's page again.",
    "wrong kind": "“{value}” cannot be said of “{duty}”: open today's page again.",
    "bad time": "The time “{value}” cannot be: look at this tablet's clock.",
    "nothing to undo": "There is nothing to undo.",
    "unknown food": "Kept, but there is no food “{value}” on the shelf: nothing was taken off it.",
    "already corrected": "Somebody corrected this before you: look again.",
    "already settled": "Somebody settled this before you.",
    "not yours": "This belongs to another room.",
}


class _About(dict[str, str]):
    """What is not told reads as a dash, so that a sentence never fails."""

    def __missing__(self, key: str) -> str:
        return "–"


def _told(*, name: str, value: object, reader: Reader | None) -> str:
    if isinstance(value, list | tuple | set | frozenset):
        return list_words([str(part) for part in value])
    if name.endswith("_c") and isinstance(value, int | float):
        units = reader.units if reader else "us"
        return f"{degrees(celsius=value, units=units)} {degree_unit(units)}"
    return str(value)


def refusal_words(
    *, why: str | None, about: Mapping[str, object] | None = None, reader: Reader | None = None
) -> str:
    """One sentence for a reason of the desk: what, which value, what to do. '' for none."""
    if not why:
        return ""
    told = _About({n: _told(name=n, value=v, reader=reader) for n, v in (about or {}).items()})
    sentence = REFUSED.get(str(why))
    return sentence.format_map(told) if sentence else f"{str(why)[:1].upper()}{str(why)[1:]}."


def outcome_words(
    *,
    outcome: str,
    why: str | None = None,
    about: Mapping[str, object] | None = None,
    reader: Reader | None = None,
) -> str:
    """What became of something said: 'Kept.', 'Not kept. 9 left of 8 offered cannot be: count again.'"""
    parts = (OUTCOME.get(outcome, outcome), refusal_words(why=why, about=about, reader=reader))
    return " ".join(filter(None, parts))
