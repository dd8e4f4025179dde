"""Which hours a timer keeps on a day: its own, or those of the season that the day lies in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, time

from roomops.records.models import Timer, TimerSeason


def season_on(*, seasons: Sequence[TimerSeason], day: date) -> TimerSeason | None:
    """Return the season that holds on a day: the last that has begun this year, else last year's last one.

    None for a timer without seasons. A season that begins on February 29 begins on March 1 of other years.
    """
    if not seasons:
        return None
    ordered = sorted(seasons, key=_begins)
    begun = [each for each in ordered if _begins(each) <= (day.month, day.day)]
    return begun[-1] if begun else ordered[-1]


def hours_on(*, timer: Timer, seasons: Sequence[TimerSeason], day: date) -> tuple[time, time]:
    """Return (on, off) of a timer on a day, by wall clock."""
    season = season_on(seasons=seasons, day=day)
    return (season.on, season.off) if season else (timer.on, timer.off)


def _begins(season: TimerSeason) -> tuple[int, int]:
    return season.from_month, season.from_day
