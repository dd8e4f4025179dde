"""When a UV lamp is due, by date and by hours of burning, and which lamp a fixture may take.

No published curve says how reptile UV lamps age: a meter says it better than any date. The months below are
from memory of practices' and keepers' sheets, and a room may write its own.
"""

from __future__ import annotations

import datetime as dt
import math
from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import Standing

NOTICE_DAYS = 14  # two weeks: time to order a spare (house choice)
_YEAR_DAYS = 365


class LampKind(StrEnum):
    """What a lamp is. Only the first four give UV and are due by date."""

    T8 = "T8 tube"
    COMPACT = "compact"
    T5_HO = "T5 HO tube"
    METAL_HALIDE = "metal halide"
    DAY = "day lamp"
    NIGHT_HEAT = "night heat without light"


@dataclass(frozen=True, slots=True, kw_only=True)
class LampRule:
    """How long a UV lamp serves. ``hours_a_day`` turns the months into hours of burning."""

    kind: LampKind
    months: int
    standing: Standing
    source: str
    hours_a_day: float = 12.0

    @property
    def hours(self) -> float:
        """Hours of burning that the months stand for: 12 hours a day for a year of 365 days are 4,380."""
        return self.hours_a_day * _YEAR_DAYS * self.months / 12


def _rule(kind: LampKind, months: int) -> LampRule:
    source = "sheets of veterinary practices and keepers; no published curve was found"
    return LampRule(kind=kind, months=months, standing=Standing.FROM_MEMORY, source=source)


RULES: tuple[LampRule, ...] = (
    _rule(LampKind.T8, 6),
    _rule(LampKind.COMPACT, 6),
    _rule(LampKind.T5_HO, 12),
    _rule(LampKind.METAL_HALIDE, 12),
)


def rule_for(*, kind: LampKind, own: Sequence[LampRule] = ()) -> LampRule | None:
    """Return the room's own rule for a lamp, else the usual one; None for a lamp that gives no UV."""
    return next((rule for rule in (*own, *RULES) if rule.kind is kind), None)


class LampState(StrEnum):
    """How a lamp stands on a day."""

    GOOD = "good"
    SOON = "due within two weeks"
    DUE = "due"
    NOT_BY_DATE = "not by date"  # gives no UV: changed when it fails


@dataclass(frozen=True, slots=True, kw_only=True)
class LampDue:
    """When a lamp is due, from when on notice is given, and how it stands. None: it is not due by date."""

    state: LampState
    due: dt.date | None = None
    notice: dt.date | None = None
    days_left: int | None = None
    rule: LampRule | None = None


def due_date(*, fitted: dt.date, months: int) -> dt.date:
    """Return the day some months after a lamp was fitted; a missing 31st becomes the month's last day."""
    years, month = divmod(fitted.month - 1 + months, 12)
    year = fitted.year + years
    return fitted.replace(year=year, month=month + 1, day=min(fitted.day, monthrange(year, month + 1)[1]))


def lamp_due(*, kind: LampKind, fitted: dt.date, today: dt.date, own: Sequence[LampRule] = ()) -> LampDue:
    """Return when a lamp is due by date. Raises ValueError for a lamp that is fitted in the future."""
    if fitted > today:
        raise ValueError(f"The lamp is fitted on {fitted}, after {today}: mend the date.")
    rule = rule_for(kind=kind, own=own)
    if rule is None:
        return LampDue(state=LampState.NOT_BY_DATE)
    due = due_date(fitted=fitted, months=rule.months)
    notice = due - dt.timedelta(days=NOTICE_DAYS)
    state = LampState.DUE if today >= due else LampState.SOON if today >= notice else LampState.GOOD
    return LampDue(state=state, due=due, notice=notice, days_left=(due - today).days, rule=rule)


def due_by_hours(*, fitted: dt.date, hours: float, hours_a_day: float) -> dt.date:
    """Return the day on which a lamp has burned for ``hours``, burning so long each day from ``fitted`` on.

    Raises ValueError for a lamp that does not burn, or more than a day in a day.
    """
    if not 0 < hours_a_day <= 24 or hours < 0:
        raise ValueError(
            f"{hours_a_day:g} hours a day for {hours:g} hours are no burning time: mend a number."
        )
    return fitted + dt.timedelta(days=math.ceil(hours / hours_a_day - 1e-9))


def hours_burned(*, spans: Sequence[tuple[dt.date, dt.date, float]]) -> float:
    """Return hours of burning over spans of (first day, day after the last, hours a day): seasons differ.

    Raises ValueError for a span that ends before it begins.
    """
    for first, after, _ in spans:
        if after < first:
            raise ValueError(f"The span from {first} ends on {after}: write the earlier day first.")
    return sum((after - first).days * hours for first, after, hours in spans)


# ---------------------------------------------------------------- watts


class WattsVerdict(StrEnum):
    """Whether a lamp may go into a fixture."""

    FITS = "fits"
    OVER = "over the rating"
    RATING_UNKNOWN = "rating not known"  # read the fixture's label; nothing is fitted before


@dataclass(frozen=True, slots=True, kw_only=True)
class WattsCheck:
    """The verdict with its numbers. Watts drawn, not the brightness that a box compares itself to."""

    verdict: WattsVerdict
    watts: float
    rated_w: float | None


def watts_check(*, watts: float, rated_w: float | None) -> WattsCheck:
    """Return whether a lamp's watts are within a socket's rating; at the rating is within.

    A lamp over the rating overheats socket and cable, which is one of the usual causes of fire. Raises
    ValueError for watts or a rating that cannot be.
    """
    _burns(watts)
    if rated_w is None:
        return WattsCheck(verdict=WattsVerdict.RATING_UNKNOWN, watts=watts, rated_w=None)
    _burns(rated_w)
    verdict = WattsVerdict.OVER if watts > rated_w else WattsVerdict.FITS
    return WattsCheck(verdict=verdict, watts=watts, rated_w=rated_w)


def most_watts(*, rated_w: float | None, stocked: Sequence[float]) -> float | None:
    """Return the strongest lamp on the shelf that a fixture may take; never one above its rating.

    None where nothing fits, and always where the rating is not known.
    """
    checks = (watts_check(watts=watts, rated_w=rated_w) for watts in stocked)
    return max((check.watts for check in checks if check.verdict is WattsVerdict.FITS), default=None)


def _burns(watts: float) -> None:
    if not 0 < watts < math.inf:
        raise ValueError(f"{watts:g} watts are no lamp's: read the label again.")
