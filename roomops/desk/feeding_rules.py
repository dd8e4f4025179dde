"""What a feed round allows now, and what it refuses. Nothing is written here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from roomops.desk import animals, outage
from roomops.desk.checking import WHYS
from roomops.desk.day_types import Day, RoundView
from roomops.desk.refusals import No, Refused
from roomops.desk.tray import tray_view, tubs_of
from roomops.desk.tray_types import TrayView, TubState, TubView
from roomops.planning.room import DutyKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """One press on the page of a feed round: the tray as it stood then."""

    day: Day
    tray: TrayView

    @property
    def view(self) -> RoundView:
        return self.tray.view

    @property
    def tubs(self) -> tuple[TubView, ...]:
        return self.tray.tubs


def press(*, day: Day, round_key: str) -> Press:
    """Return the tray that was pressed, without its strip. Raises Refused(UNKNOWN_ROUND)."""
    return Press(day=day, tray=tray_view(day=day, round_key=round_key, strip=False))


def place(*, day: Day, round_key: str, duty: str, head: int) -> tuple[Press, TubView]:
    """Return the tray and the place that was pressed. Raises Refused(UNKNOWN_ROUND or UNKNOWN_SEAT)."""
    pressed = press(day=day, round_key=round_key)
    for tub in pressed.tubs:
        if (tub.duty, tub.head) == (duty, head):
            return pressed, tub
    raise Refused(No.UNKNOWN_SEAT, value=f"{duty} {head}".strip())


def round_duty(*, press: Press) -> str:
    """The key under which the steps of a whole tray are said."""
    return f"{press.day.day.isoformat()}/round/{press.view.key}"


def numbers(tubs: Iterable[TubView]) -> tuple[int, ...]:
    return tuple(tub.number for tub in tubs)


# ---------------------------------------------------------------- to tubs


def waiting(*, press: Press, tubs: Sequence[str]) -> list[TubView]:
    """Return the places whose animal is still in its tank: all, or those of the tubs named."""
    known = {tub.key for tub in press.tubs}
    for key in tubs:
        if key not in known:
            raise Refused(No.UNKNOWN_SEAT, value=key)
    return [t for t in press.tubs if t.state is TubState.PLANNED and (not tubs or t.key in tubs)]


def may_go_to_tubs(*, press: Press, tubs: Sequence[TubView]) -> None:
    """Refuse animals in tubs before cups, from a cold tank, into a tub that is taken or not washed.

    While heat is off none goes, and after it none from a tank that was not read in its band since.
    """
    if not press.tray.in_tubs:
        raise Refused(No.UNKNOWN_SEAT, value=press.view.key)
    outage.may_feed(day=press.day, tanks=[tub.tank for tub in tubs])
    if press.day.state.round(press.view.key).cups is None:
        raise Refused(No.NOT_BEGUN, step="prepare")
    tanks = {tub.tank for tub in tubs}
    for reading in press.tray.basking:
        if reading.tank in tanks and reading.at is not None and reading.out == "low":
            raise Refused(
                No.BASKING_LOW, tank=reading.tank_name, value_c=reading.value_c, low_c=reading.low_c
            )
    _tubs_are_free(press=press, keys={tub.key for tub in tubs})


def _tubs_are_free(*, press: Press, keys: set[str]) -> None:
    for other in press.day.rounds:
        if other.key == press.view.key or not other.in_tubs:
            continue
        used = [tub for tub in tubs_of(day=press.day, view=other) if tub.key in keys and tub.out_at]
        taken = [tub for tub in used if tub.minutes_out is not None]
        if taken:
            raise Refused(No.TUB_TAKEN, tubs=numbers(taken), round=other.number)
        if used and press.day.state.round(other.key).washed is None:
            raise Refused(No.NOT_WASHED, tubs=numbers(used), round=other.number)


# ---------------------------------------------------------------- counts


def may_be_counted(*, press: Press, tub: TubView) -> bool:
    """Say whether there is something to count: it was in its tub, or it is fed in its tank."""
    if tub.state is TubState.NOT_HERE:
        return False
    return not press.tray.in_tubs or tub.out_at is not None


def countable(*, press: Press, tub: TubView, left: int, more: int | None = None) -> None:
    """Refuse a count of one that is not here or not in its tub yet, and more left than was offered."""
    if not may_be_counted(press=press, tub=tub):
        raise Refused(No.NOT_BEGUN, step="to tubs")
    offered = tub.offered + (tub.more if more is None else more)
    if left < 0 or (more is not None and more < 0):
        raise Refused(No.OUT_OF_RANGE, name="left", value=left, least=0, most=offered)
    if left > offered:
        raise Refused(No.MORE_LEFT_THAN_OFFERED, left=left, offered=offered)


# ---------------------------------------------------------------- away


def may_be_away(*, press: Press, tub: TubView, why: str, to: str) -> None:
    """Refuse a reason that is none, and a tank that is not there, its own, or has another with its mark."""
    if why not in WHYS:
        raise Refused(No.UNKNOWN_REASON, value=why, allowed=WHYS)
    if not to:
        return
    if to not in {tank.key for tank in press.day.facts.tanks}:
        raise Refused(No.UNKNOWN_TANK, value=to)
    if to == tub.tank:
        raise Refused(No.OTHER_TANK, value=press.day.label("tank", to), tank=tub.tank_name)
    animals.mark_is_free(room=press.day.room, resident=tub.resident, tank=to)


# ---------------------------------------------------------------- the end


def nobody_out(*, press: Press) -> None:
    """Refuse while an animal is in a tub: how many, and which tubs."""
    out = [tub for tub in press.tubs if tub.minutes_out is not None]
    if out:
        raise Refused(No.ANIMALS_OUT, count=len(out), tubs=numbers(out))


def may_be_washed(*, press: Press, not_clean: Sequence[str]) -> None:
    """Refuse to wash while an animal is in a tub, and a tub that is not of this round."""
    nobody_out(press=press)
    known = {tub.key for tub in press.tubs}
    for key in not_clean:
        if key not in known:
            raise Refused(No.UNKNOWN_SEAT, value=key)


def may_end(*, press: Press) -> None:
    """Refuse to end a round with animals out, tubs not counted, or used tubs not washed."""
    nobody_out(press=press)
    if press.view.round.kind is not DutyKind.FEED:
        raise Refused(No.UNKNOWN_ROUND, value=press.view.key)
    missing = press.tray.not_counted
    if missing:
        raise Refused(No.NOT_COUNTED, count=len(missing), tubs=missing)
    if not press.tray.ready:
        used = [tub for tub in press.tubs if tub.out_at is not None]
        raise Refused(No.NOT_WASHED, tubs=numbers(used), round=press.view.number)
