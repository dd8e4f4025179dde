"""Which round a page of the floor shows, and the strip of the others: walks, readings, cleaning, bench."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from roomops.desk.day_types import Day, RoundView, Status
from roomops.planning.room import DutyKind
from roomops.screens.addresses import round_address

FLOOR = (
    DutyKind.OPENING,
    DutyKind.READING,
    DutyKind.MIST,
    DutyKind.CUPS,
    DutyKind.INSECTS,
    DutyKind.WATER,
    DutyKind.WARM,
    DutyKind.CLEAN,
    DutyKind.CLOSING,
)
MOST_NAMED = 2  # tanks of a part by name; of more the first and the last


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a walk: a rack, or quarantine, which is a page of its own."""

    key: str
    address: str
    word: str
    small: str
    here: bool
    state: str  # 'done', 'late', 'under', ''
    quarantine: bool


def rounds_of(*, day: Day, kinds: Sequence[DutyKind]) -> tuple[RoundView, ...]:
    """The day's rounds of these kinds in walking order, quarantine last."""
    found = [view for view in day.rounds if view.round.kind in kinds]
    return tuple(sorted(found, key=lambda v: (v.round.quarantine, v.starts, v.number)))


def chosen(*, views: Sequence[RoundView], person: str) -> RoundView | None:
    """This person's first that is not done, else anybody's, else the first; None for none at all."""
    to_do = [view for view in views if view.status is not Status.DONE]
    mine = [view for view in to_do if view.person == person]
    return next(iter(mine or to_do or views), None)


def parts(*, day: Day, views: Sequence[RoundView], here: str) -> tuple[Part, ...]:
    """The strip: where each part stands. Two rounds along one rack are told apart by their tanks."""
    words = [_word(day, view) for view in views]
    often = Counter(words)
    return tuple(
        _part(view=view, here=here, word=f"{word}: {_span(view)}" if often[word] > 1 else word)
        for view, word in zip(views, words, strict=True)
    )


def _word(day: Day, view: RoundView) -> str:
    return "Quarantine" if view.round.quarantine else where_words(day=day, view=view)


def _span(view: RoundView) -> str:
    """'Sorrel, Pilot'; of many, the first and the last: 'H1 to H7'."""
    tanks = view.tanks
    return ", ".join(tanks) if len(tanks) <= MOST_NAMED else f"{tanks[0]} to {tanks[-1]}"


def _part(*, view: RoundView, here: str, word: str) -> Part:
    done = view.due - view.left
    state = "done" if view.status is Status.DONE else "late" if view.status is Status.LATE else ""
    return Part(
        key=view.key,
        address=round_address(view),
        word=word,
        small=f"{done} of {view.due} done, {view.person_name}",
        here=view.key == here,
        state=state or ("under" if view.begun else ""),
        quarantine=view.round.quarantine,
    )


def where_words(*, day: Day, view: RoundView) -> str:
    """The racks that a round walks along: 'Rack A', 'Rack B, Rack C'; the room where it has none."""
    tank_rack = {tank.key: tank.rack for tank in day.facts.tanks}
    keys = [day.duties[key].tank for key in view.round.duties if key in day.duties]
    racks = dict.fromkeys(tank_rack[key] for key in keys if key in tank_rack)
    return ", ".join(day.label("rack", rack) for rack in racks) or day.room.name
