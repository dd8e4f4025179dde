"""What the desk answers, in words: kept, kept already, not kept and why."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from roomops.papers.amounts import date_words, degree_unit, degrees, exact_words, list_words, weight_words
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
    "changed meanwhile": "{by} changed {value} meanwhile: {status}, {tank} now. Look, then press again.",
    "left already": "{value} is in this room no more ({status}): nothing of it can be changed.",
    "name taken": "{value} lives in {tank} already: choose another name, or move that animal.",
    "same tank": "{value} lives in {tank} already: pick another tank.",
    "not a lot": "{value} is one animal and known already: only unmarked ones are marked or parted.",
    "lived in": "{value} cannot be taken away while animals live in it: move {animals} first.",
    "already so": "{value} is {status} already.",
    "kinds mixed": "{tank} would hold {kinds}: kinds are kept apart. Pick another tank.",
    "too many": "{tank} would hold {value} and its care sheet allows {most}: pick another tank.",
    "lives alone": "{value} lives alone by its care sheet: {tank} would be shared. Pick another tank.",
    "sizes apart": "The heaviest in {tank} would weigh {value} times the lightest, and {most} is the most: "
    "look at them together, or keep it as seen.",
    "quarantine apart": "Quarantine stays apart: {value} cannot join {tank}.",
    "isolated apart": "{value} is isolated and lives alone: {tank} does not fit it.",
    "not company": "These cannot share {tank}: {clash}. Pick another tank.",
    "weight jump": "{value_g} after {before_g} is {change} at once: weigh again, or keep it as weighed.",
    "measure again": "A {name} of {value_mm} is more than {than} ({most_mm}): measure it again.",
    "too small to leave": "The shell of {value} is {value_mm} long; no turtle or tortoise under {most_mm} "
    "may be sold or given out (21 CFR 1240.62): it stays.",
    "not measured to leave": "Measure the shell of {value} first: a turtle or tortoise may leave only from "
    "4 in (101.6 mm) on (21 CFR 1240.62).",
    "unknown rack": "There is no rack “{value}” here: choose one of the room.",
    "away": "{value} is not in the room now: whoever has it gives its medicine.",
    "found": "{value} is not missing any more: nobody has to look for it.",
    "no medicine": "No medicine “{value}” is ordered today: open the list again.",
    "not arrived": "Kept, but {value} came on {day}, after this feed: nothing was taken off it.",
    "unknown batch": "There is no “{value}” on the shelf: choose one of the list.",
    "not farm-raised": "Say that {value} is farm-raised, and by whom: nothing caught outdoors is fed here.",
    "future date": "The {name} {value} is still to come: write today or an earlier day.",
    "too early": "The {name} {value} cannot be before {first}: look at the date again.",
    "more than there": "{value} cannot leave {name}, of which {most} are written down: count it first.",
    "unknown lamp": "There is no lamp “{value}” here, or somebody changed it before you: look again.",
    "unknown timer": "There is no timer “{value}” here: choose one of the list.",
    "timer taken": "There is a timer “{value}” already: choose another name.",
    "lamp taken": "The lamp “{value}” hangs on {tank}: one lamp hangs on one tank. Take it off there first.",
    "over rating": "{value} W is more than the {most} W of this fixture: never more than it is made for.",
    "no rating": "The highest watts of this fixture are not written down: read them off the fixture first.",
    "wrong lamp": "A {value} is no {what}: choose {allowed}.",
    "no fit": "{value} does not fit here: {allowed}.",
    "bad hours": "Lamps on at {value} and off at {off} cannot be: off comes after on, on the same day.",
    "no such day": "There is no day “{value}” in a year: choose month and day again.",
    "season taken": "A season of this timer begins on {value} already: take that one away first.",
    "unknown lot": "No lot “{value}” is expected or here: choose one of the list.",
    "not free": "{value} is not free: somebody lives in it, or a lot is promised it. Pick another tank.",
    "not all sorted": "{value} are put in tanks and {alive} are alive: count again, one tank each.",
    "too many dead": "{value} dead on arrival of {most} that came cannot be: count again.",
    "too far ahead": "{value} is too far ahead to be planned: ask about a day up to {last}.",
    "no picture": "“{value}” is no picture that can be read here: send a JPEG, PNG or WebP file.",
    "too large": "A picture of {value} MB is too large: send one of up to {most} MB.",
    "lot together": "A lot comes out together, and {value} would stay behind: give all of them a tank.",
    "quarantine runs": "{value} is in quarantine until {until}: only a vet's word ends it earlier.",
    "unknown pen": "There is no pen “{value}” here: choose one of the list.",
    "pen taken": "{who} is in {value} now: one animal a pen. Pick another pen.",
    "outdoors now": "{value} is outdoors already: bring it in first.",
    "not outdoors": "{value} is not outdoors.",
    "just fed": "{value} was fed less than an hour ago: not outdoors for another {minutes} min.",
    "no weather": "Nobody looked at the weather in the last {hours} h: say it first, it takes ten seconds.",
    "not fit": "No sun for {value} now: {reasons}.",
    "feeds held": "Heat or power has failed: no feed begins until it is back.",
    "read after": "Heat was off: read the basking side of {value} first; no feed until it is in its band.",
    "not looked": "Look at {value} first, then press again.",
    "no outage": "Nothing has failed, or it is back already: open the page again.",
    "already corrected": "Somebody corrected this before you: look again.",
    "already settled": "Somebody settled this before you.",
    "not yours": "This belongs to another room.",
}


class _About(dict[str, str]):
    """What is not told reads as a dash, so that a sentence never fails."""

    def __missing__(self, key: str) -> str:
        return "–"


def _told(*, name: str, value: object, reader: Reader | None) -> str:
    units = reader.units if reader else "us"
    if isinstance(value, list | tuple | set | frozenset):
        return list_words([str(part) for part in value])
    if name.endswith("_c") and isinstance(value, int | float):
        return f"{degrees(celsius=value, units=units)} {degree_unit(units)}"
    if name.endswith("_mm") and isinstance(value, int | float):
        return exact_words(mm=value, units=units)
    if name.endswith("_g") and isinstance(value, int | float):
        return weight_words(value)
    if isinstance(value, date):
        return date_words(value)
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
