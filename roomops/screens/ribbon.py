"""The day ribbon of Today: where things stand between the first light and the last. It decides nothing.

Places are percent of the ribbon's width and rem from its top. What is measured is drawn solid, what is only
expected dashed; where nothing was measured the ribbon says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from roomops.desk.day_types import Day, Period, Presence, RoundView
from roomops.papers import words
from roomops.screens import hill
from roomops.screens.bundles import bundles
from roomops.screens.lanes import Stop, pack

STRIP_TOP, STRIP_TALL, LANE_TALL = 6.1, 1.7, 2.4  # rem
MOST_STRIPS = 3
MOST_KINDS = 2
HALF = 55.0  # a shift that ends beyond it has its word on the right, and the hill's words go left
LETTER = 1.12  # percent that a bold letter takes on the narrowest glass that shows a ribbon
LABEL = 16.5  # percent that a word such as 'Now 1:10 pm' may take on a narrow tablet
SIGNS = {"done": "done", "late": "late", "under way": "under"}
AGAIN = {"late", "under way"}
STATE = {"done": "done", "late": "late", "under way": "under", "next": "next", "later": "later"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """First and last moment of the ribbon."""

    start: datetime
    end: datetime

    def x(self, at: datetime) -> float:
        """Percent of the width, held within it."""
        share = (at.timestamp() - self.start.timestamp()) / (self.end.timestamp() - self.start.timestamp())
        return round(min(1.0, max(0.0, share)) * 100, 2)

    def holds(self, at: datetime) -> bool:
        return self.start <= at <= self.end


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One photoperiod: its lamp bar, its food strip and their words."""

    top: float
    lamp: tuple[float, float]  # left, width
    food: tuple[float, float] | None
    words: str
    within: float | None  # left of the words inside the food strip
    before: float | None  # right of the words that end before it
    after: float | None  # left of the words that begin after it


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """A line across the ribbon with a word that leans to one side."""

    x: float
    words: str
    flip: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Ribbon:
    tall: float
    lights_on: tuple[float, str] | None  # left, words
    lights_out: tuple[float, str] | None  # right, words
    hill: hill.Hill | None
    night_left: float  # of the word for the night, clear of the now line
    strips: tuple[Strip, ...]
    more_strips: int
    stops: tuple[Stop, ...]
    more_stops: tuple[tuple[str, float, float, str], ...]  # side, percent from it, top, words
    hours: tuple[tuple[float, str], ...]
    now: Flag | None
    end: Flag | None
    said: str
    spoken: str


def ribbon_of(day: Day, *, person: str, reader: words.Reader) -> Ribbon:
    """The ribbon of a day as ``person`` (a key) sees it."""
    axis = _axis(day)
    shown = day.periods[:MOST_STRIPS]
    strips = tuple(_strip(axis, period, row) for row, period in enumerate(shown))
    first_lane = STRIP_TOP + STRIP_TALL * len(strips) + 0.2
    stops, hidden, lanes = pack(_stops(axis, day), first_top=first_lane, lane_tall=LANE_TALL)
    below = first_lane + LANE_TALL * lanes
    now = Flag(
        x=axis.x(day.now), words=f"Now {words.time_words(day.now)}", flip=axis.x(day.now) > 100 - LABEL
    )
    now_shown = now if axis.holds(day.now) else None
    end = _shift_end(axis, day, person)
    return Ribbon(
        tall=round(below + (1.2 if hidden else 0.0) + 1.4, 2),
        lights_on=_lights_on(day, now_shown),
        lights_out=_lights_out(axis, day, now_shown),
        hill=hill.hill_of(day, axis=axis, reader=reader, words_left=end is not None and end.x > HALF),
        night_left=round(now.x + 0.6, 2) if now_shown and now.x < 8 else 0.0,
        strips=strips,
        more_strips=len(day.periods) - len(shown),
        stops=stops,
        more_stops=tuple(
            ("left", x, round(below, 2), text) if x < 100 - LABEL else ("right", 0.0, round(below, 2), text)
            for x, text in hidden
        ),
        hours=_hours(axis, day),
        now=now_shown,
        end=end,
        said=_said(day),
        spoken=_spoken(day),
    )


# ---------------------------------------------------------------- the axis


def _axis(day: Day) -> Axis:
    """From the hour before the first thing to the hour after the last."""
    starts = [period.on - timedelta(minutes=30) for period in day.periods]
    starts += [view.starts for view in day.rounds] + [each.starts for each in day.presences]
    ends = [period.off for period in day.periods]
    ends += [view.ends for view in day.rounds] + [each.ends for each in day.presences]
    begin = min(starts, default=day.midnight + timedelta(hours=7))
    finish = max(ends, default=day.midnight + timedelta(hours=21))
    first = begin.replace(minute=0, second=0, microsecond=0)
    last = finish.replace(minute=0, second=0, microsecond=0)
    if last < finish:
        last += timedelta(hours=1)
    return Axis(start=first, end=max(last, first + timedelta(hours=6)))


def _hours(axis: Axis, day: Day) -> tuple[tuple[float, str], ...]:
    """Full hours inside the axis; the half of the day is said at every fourth."""
    found = []
    at = axis.start.timestamp() + 3600
    while at < axis.end.timestamp() - 60:
        local = datetime.fromtimestamp(at, tz=day.zone)
        found.append((axis.x(local), _hour_words(local.hour)))
        at += 3600
    return tuple(found)


def _hour_words(hour: int) -> str:
    if hour == 12:
        return "noon"
    half = " am" if hour < 12 else " pm"
    return f"{hour % 12 or 12}{half if hour % 4 == 2 else ''}"


# ---------------------------------------------------------------- lamps and food


def kinds_words(kinds: tuple[str, ...], most: int = MOST_KINDS) -> str:
    """'Bearded dragons, corn snakes and 2 more kinds'."""
    names = [words.plural(_within(kind)) for kind in kinds[:most]]
    more = len(kinds) - len(names)
    text = ", ".join(names) + (f" and {words.count_words(more, 'more kind', 'more kinds')}" if more else "")
    return text[:1].upper() + text[1:]


def _within(kind: str) -> str:
    """A kind's name inside a sentence: small, unless it carries a person's name (Hermann's tortoise)."""
    return kind if "'s " in kind or "’s " in kind else kind[:1].lower() + kind[1:]


def food_words(period: Period) -> str:
    """'food 8:30 am to 6:00 pm', or '' for kinds without a window."""
    if period.food_from is None or period.food_to is None:
        return ""
    return f"food {words.time_words(period.food_from)} to {words.time_words(period.food_to)}"


def _strip(axis: Axis, period: Period, row: int) -> Strip:
    lamp = (axis.x(period.on), round(axis.x(period.off) - axis.x(period.on), 2))
    food = None
    if period.food_from and period.food_to:
        left = axis.x(period.food_from)
        food = (left, round(axis.x(period.food_to) - left, 2))
    text = _strip_words(period, wide=max(food) if food else 100.0)  # within the strip, or before it
    room = LETTER * len(text)
    before = food is not None and food[0] > room
    inside = food is not None and not before
    after = not inside and not before
    return Strip(
        top=round(STRIP_TOP + STRIP_TALL * row, 2),
        lamp=lamp,
        food=food,
        words=text,
        within=food[0] if food and inside else None,
        before=round(100 - food[0] + 0.5, 2) if food and before else None,
        after=(min(food[0] + food[1], 100 - room) if food else 0.0) if after else None,
    )


def _strip_words(period: Period, *, wide: float) -> str:
    """The strip's words, with fewer kinds by name where they would be wider than the strip."""
    said = [
        f"{kinds_words(period.kinds, most)}: {food_words(period) or 'no food window'}"
        for most in range(MOST_KINDS, 0, -1)
    ]
    return next((text for text in said if LETTER * len(text) < wide), said[-1])


def _lights_on(day: Day, now: Flag | None) -> tuple[float, str] | None:
    if not day.periods:
        return None
    first = min(period.on for period in day.periods)
    clear = now is None or now.x > 1.35 * LABEL
    return (0.0 if clear or now is None else now.x + LABEL, f"Lights on {words.time_words(first)}")


def _lights_out(axis: Axis, day: Day, now: Flag | None) -> tuple[float, str] | None:
    if not day.periods:
        return None
    last = max(period.off for period in day.periods)
    edge = axis.x(last)
    if now is not None and edge - 2 * LABEL < now.x < edge + LABEL:
        edge = now.x - (LABEL if now.flip else 1.0)
    return (round(100 - edge, 2), f"Lights out {words.time_words(last)}")


# ---------------------------------------------------------------- rounds


def _stops(axis: Axis, day: Day) -> list[Stop]:
    """Each round where it was planned, and what is left of it drawn again after now."""
    found = []
    for views in bundles(day.rounds):
        again = [v for v in views if v.status in AGAIN and v.ends_about and v.ends_about > day.now]
        found.append(_planned(axis, day, views, again=bool(again)))
        if again:
            found.append(_rest(axis, day, again))
    return found


def _planned(axis: Axis, day: Day, views: Sequence[RoundView], *, again: bool) -> Stop:
    first, last = views[0], views[-1]
    left, ends = axis.x(first.starts), max(view.ends for view in views)
    # what is under way is drawn up to now, and what is left of it again after now
    right = axis.x(min(ends, day.now) if again else ends)
    return Stop(
        number=first.number,
        last=last.number if last is not first else 0,
        state=STATE[first.status],
        sign=SIGNS.get(first.status, ""),
        word="Feed" if first.in_tubs else "",
        spoken=f"{words.kind_words(kind=first.round.kind, slot=first.round.slot)}, "
        f"{words.ROUND_STATUS[first.status].lower()}",
        left=left,
        width=round(max(right - left, 0.5), 2),
    )


def _rest(axis: Axis, day: Day, views: Sequence[RoundView]) -> Stop:
    start = axis.x(day.now)
    ends = max(view.ends_about for view in views if view.ends_about)
    return Stop(
        number=views[0].number,
        last=views[-1].number if len(views) > 1 else 0,
        state="rest",
        sign="",
        word="rest",
        spoken="what is left, from now on",
        left=start,
        width=round(max(axis.x(ends) - start, 0.5), 2),
        rest=True,
        cross=any(view.past_shift_min > 0 for view in views),
    )


# ---------------------------------------------------------------- shifts


def next_shift_end(day: Day, person: str) -> Presence | None:
    """The shift of the person that ends next after now; else the room's next one that ends."""
    present = [each for each in day.presences if each.starts <= day.now < each.ends]
    own = [each for each in present if each.person == person]
    return min(own or present, key=lambda each: each.ends, default=None)


def _shift_end(axis: Axis, day: Day, person: str) -> Flag | None:
    shift = next_shift_end(day, person)
    if shift is None or not axis.holds(shift.ends):
        return None
    whose = "your shift ends" if shift.person == person else "shift ends"
    x = axis.x(shift.ends)
    clock = words.time_words(shift.ends, suffix=False)
    return Flag(x=x, words=f"{whose} {clock}", flip=43 < x <= HALF or x > 100 - 1.6 * LABEL)


# ---------------------------------------------------------------- the same in a sentence


def _said(day: Day) -> str:
    """For narrow glass, after 'Now 1:10 pm.'"""
    parts = []
    for period in day.periods:
        if period.food_to and period.food_from and day.now < period.food_to:
            until = (
                "Food until"
                if period.food_from <= day.now
                else f"Food {words.time_words(period.food_from)} to"
            )
            kinds = kinds_words(period.kinds)
            parts.append(f"{until} {words.time_words(period.food_to)} for {_within(kinds)}.")
    off = max((period.off for period in day.periods), default=None)
    if off:
        parts.append(f"Lights out {words.time_words(off)}.")
    return " ".join(parts)


def _spoken(day: Day) -> str:
    """What the ribbon shows, for a screen reader."""
    lamps = [
        f"{kinds_words(period.kinds)}: lamps {words.time_words(period.on)} to "
        f"{words.time_words(period.off)}, {food_words(period) or 'no food window'}."
        for period in day.periods
    ]
    return " ".join(["The day from lights on to lights out.", *lamps])
