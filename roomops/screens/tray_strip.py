"""The way along the counter and the strip of trays: which step, which tray first, how many minutes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from math import ceil

from roomops.desk.tray_types import StepState, StepView, TabView, TrayView, TubState
from roomops.papers.amounts import count_words, time_words

MOST_TABS = 3  # trays in the strip; the others are one press further
STEPS = ("prepare", "to tubs", "feed", "return", "wash")
STEP_WORDS = {
    "prepare": "Prepare cups",
    "to tubs": "To tubs",
    "feed": "Feed",
    "return": "Back to tank",
    "wash": "Wash",
}
STEP_GLYPHS = {
    "prepare": "step-cup",
    "to tubs": "step-tub",
    "feed": "step-feed",
    "return": "step-tank",
    "wash": "step-sink",
}
WAITING = {
    "prepare": "cups next",
    "to tubs": "cups ready",
    "feed": "to count",
    "return": "back to tank",
    "wash": "wash now",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One step of the route along the counter."""

    key: str
    word: str
    glyph: str
    state: str
    here: bool  # the page shows it


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """One tray of the strip, soonest first."""

    key: str
    state: str
    head: str
    small: str
    tanks: tuple[str, ...]  # named after ``small``
    here: bool


# ---------------------------------------------------------------- steps


def reachable(*, tray: TrayView, step: str) -> bool:
    """A step may be looked at when it is now, or was; counts and the way back while an animal is out.

    The sink may be when those who were out are back, even if another waits for its tank to be warm.
    """
    states = {each.kind: each.state for each in tray.steps}
    if states.get(step, StepState.LATER) is not StepState.LATER:
        return True
    if step == "wash":
        return not tray.out and any(tub.back_at for tub in tray.tubs)
    return step in {"feed", "return"} and tray.out > 0


def step_now(tray: TrayView) -> str:
    """The step that the page opens with: past those that wait for nothing but a warm tank."""
    if tray.step != "to tubs" or may_lift(tray):
        return tray.step or "wash"
    if tray.out:
        return "feed" if any(tub.state is TubState.OUT for tub in tray.tubs) else "return"
    return "wash" if any(tub.back_at for tub in tray.tubs) else "to tubs"


def may_lift(tray: TrayView) -> int:
    """Animals still in their tanks whose basking side is not low."""
    low = {reading.tank for reading in tray.basking if reading.out == "low"}
    return sum(1 for tub in tray.tubs if tub.state is TubState.PLANNED and tub.tank not in low)


def stops(*, tray: TrayView, here: str) -> tuple[Stop, ...]:
    """The whole route; ``here`` is the step that the page shows."""
    return tuple(_stop(step=step, here=here) for step in tray.steps)


def _stop(*, step: StepView, here: str) -> Stop:
    return Stop(
        key=step.kind,
        word=STEP_WORDS[step.kind],
        glyph=STEP_GLYPHS[step.kind],
        state="done" if step.state is StepState.DONE else "",
        here=step.kind == here,
    )


# ---------------------------------------------------------------- trays


def tabs(tray: TrayView) -> tuple[Tab, ...]:
    """Trays with an animal out, and this one; then those that come next; then the last washed."""
    out = [tab for tab in tray.tabs if tab.out or tab.round_key == tray.view.key]
    next_up = [tab for tab in tray.tabs if tab not in out and not tab.washed_at]
    washed = [tab for tab in tray.tabs if tab not in out and tab.washed_at]
    most = MOST_TABS if len(tray.tabs) <= MOST_TABS else MOST_TABS - 1  # the last place says how many more
    room = max(0, most - len(out))
    shown = [*out, *next_up[:room]]
    shown += washed[-(most - len(shown)) :] if len(shown) < most else []
    return tuple(_tab(tray=tray, tab=tab) for tab in shown)


def first(*, tray: TrayView) -> Tab | None:
    """Another tray whose animals are out too long goes first, unless this one is no better."""
    mine = -1 if tray.minutes_out is None else tray.minutes_out
    late = (tab for tab in tray.tabs if tab.round_key != tray.view.key and _over(tray=tray, tab=tab))
    worst = max(late, key=lambda tab: tab.minutes_out or 0, default=None)
    return _tab(tray=tray, tab=worst) if worst and (worst.minutes_out or 0) > mine else None


def _tab(*, tray: TrayView, tab: TabView) -> Tab:
    head, small = _tab_words(tray=tray, tab=tab)
    tanks = () if tab.out else tab.view.tanks
    return Tab(
        key=tab.round_key,
        state=_tab_state(tray=tray, tab=tab),
        head=f"{short(tab.tray_name)} · {head}",
        small=small,
        tanks=tanks,
        here=tab.round_key == tray.view.key,
    )


def _tab_state(*, tray: TrayView, tab: TabView) -> str:
    if _over(tray=tray, tab=tab):
        return "late"
    if tab.washed_at:
        return "done"
    return "under" if tab.view.begun else ""


def short(tray_name: str) -> str:
    """'B' of 'Tray B'."""
    return tray_name.removeprefix("Tray ") or tray_name


def _tab_words(*, tray: TrayView, tab: TabView) -> tuple[str, str]:
    if tab.out:
        return _out_words(tab=tab, now=tray.day.now)
    if tab.washed_at:
        return f"washed {_clock(tab.washed_at, tray.day.now)}", "all back in"
    return WAITING.get(tab.step, "done"), count_words(tab.view.due, "place")


def _clock(at: datetime, now: datetime) -> str:
    """Wall-clock time in the room's zone, which ``now`` carries."""
    return time_words(at.astimezone(now.tzinfo), suffix=False)


def _out_words(*, tab: TabView, now: datetime) -> tuple[str, str]:
    left = minutes_left(now=now, back_from=tab.back_from)
    since = f"out {tab.minutes_out} min"
    if tab.back_from:
        since += f", {'back' if left else 'time up'} {_clock(tab.back_from, now)}"
    return (f"{left} min left" if left else f"{tab.out} still out"), since


def _over(*, tray: TrayView, tab: TabView) -> bool:
    """Their time to eat is over, or they are out longer than the room allows."""
    if not tab.out:
        return False
    time_up = tab.back_from is not None and tab.back_from <= tray.day.now
    return time_up or (tab.minutes_out or 0) > tray.most_out_min


# ---------------------------------------------------------------- minutes


def minutes_left(*, now: datetime, back_from: datetime | None) -> int:
    """Whole minutes until they may go back, never less than 0."""
    if back_from is None:
        return 0
    return max(0, ceil((back_from - now).total_seconds() / 60))


def bars(tray: TrayView, *, most: int = 30) -> tuple[bool, ...]:
    """One bar a minute of the time to eat: True when it has passed. '()' while nobody is out."""
    began = max((tub.out_at for tub in tray.tubs if tub.out_at), default=None)
    if tray.back_from is None or began is None or not tray.out:
        return ()
    total = round((tray.back_from - began).total_seconds() / 60)
    passed = int((tray.day.now - began).total_seconds() // 60)
    return tuple(minute < passed for minute in range(max(0, min(total, most))))
