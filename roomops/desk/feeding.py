"""Use cases of a feed round: cups, to tubs, counts, back, wash. Each writes through ``entries.say``.

Every use case takes ``form``: the id that the page's form carried. What is said for several heads gets its
ids from it, so that pressing twice is pressing once. All raise ``Refused`` with a typed reason, and keep
nothing then.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Any
from uuid import UUID

from roomops.desk import feeding_rules as rules
from roomops.desk import outage
from roomops.desk.day_types import Day
from roomops.desk.entries import Answer, Said, id_from, kept, say_or_refuse
from roomops.desk.feeding_rules import Press
from roomops.desk.refusals import No, Refused
from roomops.desk.tray_types import TubState, TubView
from roomops.records.models import EntryKind, Person

Answers = tuple[Answer, ...]
Data = Mapping[str, Any]
NONE: Data = MappingProxyType({})


def cups_ready(*, day: Day, round_key: str, by: Person, form: UUID) -> Answers:
    """Cups are ready, before any animal is lifted. Refused: FEEDS_HELD while heat or power is off."""
    press = rules.press(day=day, round_key=round_key)
    said = [_step(press, EntryKind.CUPS, form)]
    return _say(press, by, said, guard=lambda: outage.may_feed(day=day, tanks=()))


def to_tubs(*, day: Day, round_key: str, by: Person, form: UUID, tubs: Sequence[str] = ()) -> Answers:
    """The tray's animals are in their tubs (all that wait, or those in the tubs named).

    Refused: NOT_BEGUN without cups; BASKING_LOW for a tank that last read low today; TUB_TAKEN by another
    feed's animal; NOT_WASHED since another feed; UNKNOWN_SEAT.
    """
    press = rules.press(day=day, round_key=round_key)
    chosen = rules.waiting(press=press, tubs=tubs)
    said = [
        _head(press, tub, EntryKind.OUT, id_from(form=form, duty=tub.duty, head=tub.head), {"tub": tub.key})
        for tub in chosen
    ]
    return _say(press, by, said, guard=lambda: rules.may_go_to_tubs(press=press, tubs=chosen))


def all_eaten(*, day: Day, round_key: str, by: Person, form: UUID) -> Answers:
    """0 left for every tub that is not counted; never over a count by hand, whichever comes first."""
    press = rules.press(day=day, round_key=round_key)
    open_ones = [tub for tub in press.tubs if tub.left is None and rules.may_be_counted(press=press, tub=tub)]
    said = [
        _count(press, tub, id_from(form=form, duty=tub.duty, head=tub.head), left=0, also={"filled": True})
        for tub in open_ones
    ]
    if not said and not any(tub.left is not None for tub in press.tubs):
        raise Refused(No.NOT_BEGUN, step="to tubs")
    return _say(press, by, said)


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
    seen: UUID | None = None,
    unseen: bool = False,
) -> Answers:
    """So many are left of what was offered. A later count corrects the one that stands.

    ``seen`` is the count that the page showed, when it says so, and ``unseen`` that it showed none: if
    somebody else counted in the meantime, both counts stand until somebody agrees on one.
    """
    press, tub = rules.place(day=day, round_key=round_key, duty=duty, head=head)
    also = ({"more": tub.more} if tub.more else {}) | ({"at_least": True} if at_least else {})
    said = _count(press, tub, form, left=left, seen=seen, unseen=unseen, also=also)
    return _say(press, by, [said], guard=lambda: rules.countable(press=press, tub=tub, left=left))


def refused(
    *,
    day: Day,
    round_key: str,
    duty: str,
    head: int,
    by: Person,
    form: UUID,
    seen: UUID | None = None,
    unseen: bool = False,
) -> Answers:
    """It took nothing. Another count after it changes it."""
    press, tub = rules.place(day=day, round_key=round_key, duty=duty, head=head)
    said = _count(press, tub, form, kind=EntryKind.REFUSED, left=tub.offered, seen=seen, unseen=unseen)
    return _say(press, by, [said], guard=lambda: rules.countable(press=press, tub=tub, left=tub.offered))


def more(
    *, day: Day, round_key: str, duty: str, head: int, more: int, left: int, by: Person, form: UUID
) -> Answers:
    """``more`` in all were offered again in the same feed; ``left`` is of everything."""
    press, tub = rules.place(day=day, round_key=round_key, duty=duty, head=head)
    said = _count(press, tub, form, left=left, also={"more": more})

    def guard() -> None:
        rules.countable(press=press, tub=tub, left=left, more=more)

    return _say(press, by, [said], guard=guard)


def agree(*, day: Day, round_key: str, duty: str, head: int, left: int, by: Person, form: UUID) -> Answers:
    """Of several counts of one head, so many are left: every count that stands is corrected to it."""
    press, tub = rules.place(day=day, round_key=round_key, duty=duty, head=head)
    standing = day.state.head(duty=duty, head=head).standing
    said = [
        _count(press, tub, id_from(form=form, duty=f"{duty}/{place}", head=head), left=left, seen=each)
        for place, each in enumerate(standing)
    ]
    return _say(press, by, said, guard=lambda: rules.countable(press=press, tub=tub, left=left))


def not_counted(*, day: Day, round_key: str, duty: str, head: int, by: Person, form: UUID) -> Answers:
    """Take the count of one head back: it was pressed by mistake. Refused: NOTHING_TO_UNDO."""
    press, tub = rules.place(day=day, round_key=round_key, duty=duty, head=head)
    standing = day.state.head(duty=duty, head=head).standing
    said = [
        Said(
            id=id_from(form=form, duty=f"{tub.duty}/{place}", head=tub.head), duty=tub.duty, head=tub.head,
            kind=EntryKind.UNDONE, corrects=each,
        )
        for place, each in enumerate(standing)
    ]  # fmt: skip
    if not said and not kept(room=day.room, ids=[id_from(form=form, duty=f"{tub.duty}/0", head=tub.head)]):
        raise Refused(No.NOTHING_TO_UNDO)
    return _say(press, by, said)


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
) -> Answers:
    """The head is sold, moved, isolated, at vet, dead, or can't be found; its resident changes at once.

    ``to_tank`` is where a moved one lives now; without it a moved one has left the room. Refused:
    UNKNOWN_REASON, UNKNOWN_TANK, OTHER_TANK (it lives there already), MARK_TAKEN there.
    """
    press, tub = rules.place(day=day, round_key=round_key, duty=duty, head=head)
    place = {"to_tank": to_tank} if to_tank else {}
    said = _head(press, tub, EntryKind.NOT_HERE, form, {"why": why, "note": note} | place)
    return _say(press, by, [said], guard=lambda: rules.may_be_away(press=press, tub=tub, why=why, to=to_tank))


def it_is_here(*, day: Day, round_key: str, duty: str, head: int, by: Person, form: UUID) -> Answers:
    """Undo ``not_here``: it is here after all. Refused: NOTHING_TO_UNDO."""
    press, tub = rules.place(day=day, round_key=round_key, duty=duty, head=head)

    def guard() -> None:
        if tub.state is not TubState.NOT_HERE:
            raise Refused(No.NOTHING_TO_UNDO)

    return _say(press, by, [_head(press, tub, EntryKind.HERE, form)], guard=guard)


def back(*, day: Day, round_key: str, duty: str, head: int, tank: str, by: Person, form: UUID) -> Answers:
    """It is back in ``tank`` (a key). Refused: OTHER_TANK when it does not live there, NOT_OUT."""
    press, tub = rules.place(day=day, round_key=round_key, duty=duty, head=head)

    def guard() -> None:
        if tub.minutes_out is None:
            raise Refused(No.NOT_OUT, value=tub.label)
        if tank != tub.tank:
            raise Refused(No.OTHER_TANK, value=day.label("tank", tank), tank=tub.tank_name)

    return _say(press, by, [_head(press, tub, EntryKind.BACK, form, {"tank": tank})], guard=guard)


def all_back(*, day: Day, round_key: str, by: Person, form: UUID) -> Answers:
    """Called away: all that are out are back in their own tanks; what was not counted stays so."""
    press = rules.press(day=day, round_key=round_key)
    said = [
        _head(
            press, tub, EntryKind.BACK, id_from(form=form, duty=tub.duty, head=tub.head), {"tank": tub.tank}
        )
        for tub in press.tubs
        if tub.minutes_out is not None
    ]
    return _say(press, by, said)


def washed(*, day: Day, round_key: str, by: Person, form: UUID, not_clean: Sequence[str] = ()) -> Answers:
    """The tray is washed but for the tubs named. Refused: ANIMALS_OUT with which, UNKNOWN_SEAT."""
    press = rules.press(day=day, round_key=round_key)
    said = _step(press, EntryKind.WASHED, form, {"not_clean": list(not_clean)})
    return _say(press, by, [said], guard=lambda: rules.may_be_washed(press=press, not_clean=not_clean))


def finish(*, day: Day, round_key: str, by: Person, form: UUID) -> Answers:
    """End the round. Refused: ANIMALS_OUT, NOT_COUNTED, NOT_WASHED, each with which."""
    press = rules.press(day=day, round_key=round_key)
    said = _step(press, EntryKind.DONE, form)
    return _say(press, by, [said], guard=lambda: rules.may_end(press=press))


# ---------------------------------------------------------------- what is said


def _say(press: Press, by: Person, said: Sequence[Said], guard: Callable[[], None] | None = None) -> Answers:
    return say_or_refuse(day=press.day, by=by, said=said, guard=guard)


def _step(press: Press, kind: EntryKind, form: UUID, data: Data = NONE) -> Said:
    return Said(id=form, duty=rules.round_duty(press=press), kind=kind, data=data)


def _head(press: Press, tub: TubView, kind: EntryKind, entry: UUID, data: Data = NONE) -> Said:
    named = {"round": press.view.key, **data}
    return Said(id=entry, duty=tub.duty, head=tub.head, kind=kind, data=named)


def _count(
    press: Press,
    tub: TubView,
    entry: UUID,
    *,
    left: int,
    kind: EntryKind = EntryKind.COUNT,
    seen: UUID | None = None,
    unseen: bool = False,
    also: Data = NONE,
) -> Said:
    offered: Data = {"offered": tub.offered, "left": left, "round": press.view.key}
    food = {"food": tub.prey.food} if tub.prey and tub.prey.food and tub.prey.count else {}
    corrects = None if unseen or "filled" in also else seen or tub.entry
    return Said(
        id=entry, duty=tub.duty, head=tub.head, kind=kind, data={**offered, **food, **also}, corrects=corrects
    )
