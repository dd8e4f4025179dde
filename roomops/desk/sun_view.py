"""Today's sun as a page shows it: the weather as last said, who is owed, who is out, and why not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roomops.desk.day_types import Day
from roomops.husbandry.care import StageCare
from roomops.husbandry.outdoors import Reason, is_winter, sessions_owed
from roomops.planning.room import DutyKind, Status
from roomops.planning.room import Resident as Animal
from roomops.planning.sun import STEP_MIN, Sky, fit_minutes, why_not
from roomops.records.models import Pen, SunSession, Weather, Wind
from roomops.records.models import Sky as SkySeen
from roomops.records.moments import Span as DaySpan
from roomops.records.moments import day_span
from roomops.records.snapshot_outside import outside, sky_of

STALE_H = 2  # weather said longer ago is said again before anybody goes out: a house choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """The weather as last said, and where the sun stands now."""

    at: datetime
    temp_c: float
    sky: str
    wind: str
    by: str
    age_min: int
    stale: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Out:
    """An animal that is outdoors now."""

    session: int
    key: str
    label: str
    pen: str
    since: datetime
    minutes: int
    most_min: int

    @property
    def over(self) -> bool:
        return self.minutes >= self.most_min


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """One store animal. ``reasons`` say why it is not fit now (of the best minute left, where none is now).

    ``wait_min`` is how long after its feed it stays in; ``given`` are the days of this week with sun.
    """

    key: str
    label: str
    kind: str
    owed: int
    given: tuple[date, ...]
    fit: bool
    reasons: tuple[Reason, ...]
    windows: tuple[tuple[datetime, datetime], ...]
    most_min: int
    floor_most_c: float
    wait_min: int = 0

    @property
    def today(self) -> bool:
        return bool(self.windows)


@dataclass(frozen=True, slots=True, kw_only=True)
class SunView:
    day: Day
    now: Now | None
    height_deg: float
    winter: bool
    out: tuple[Out, ...]
    chances: tuple[Chance, ...]  # those that are owed most first
    without: tuple[str, ...]  # names of store animals whose sheet has no sun
    pens: tuple[tuple[str, str, str], ...]  # key, name, who is in it

    @property
    def owed(self) -> int:
        return sum(1 for each in self.chances if each.owed)


# ---------------------------------------------------------------- looked at


def sun_view(*, day: Day) -> SunView:
    """Return today's sun: three queries beside the day's, whatever the room's size."""
    span = day_span(day=day.day, zone=day.zone)
    weather = weather_of(day)
    sessions = _sessions(day, span)
    out = tuple(_out(day, row) for row in sessions if row.ends is None)
    pens = Pen.objects.filter(room=day.room, out_of_use=False).order_by("order", "key")
    inside = {each.pen: each.label for each in out}
    store = [each for each in day.facts.residents if each.status is Status.STORE and each.heads == 1]
    care = {(each.kind, each.stage): each for each in day.facts.care}
    with_sun = [each for each in store if care[each.kind, each.stage].sun is not None]
    scene = _Scene(day=day, span=span, weather=weather, sessions=sessions)
    away = {each.key for each in out}
    chances = [scene.chance(each, care[each.kind, each.stage]) for each in with_sun if each.key not in away]
    return SunView(
        day=day,
        now=_now(day, weather),
        height_deg=scene.height(),
        winter=is_winter(month=day.day.month, south=day.room.latitude < 0),
        out=out,
        chances=tuple(sorted(chances, key=lambda c: (not c.fit, -c.owed, c.label))),
        without=tuple(each.name for each in store if each not in with_sun),
        pens=tuple((pen.key, pen.name, inside.get(pen.name, "")) for pen in pens),
    )


def weather_of(day: Day, /) -> Weather | None:
    """Return today's newest weather, None before anybody has looked out."""
    seen = Weather.objects.filter(room=day.room, at__gte=day.midnight, at__lte=day.now)
    return seen.select_related("written_by").order_by("-at", "-pk").first()


def _sessions(day: Day, span: DaySpan) -> list[SunSession]:
    """The week's sessions and those that are going on, oldest first."""
    monday = span.starts - timedelta(days=day.day.weekday())
    rows = SunSession.objects.filter(room=day.room, starts__gte=monday, starts__lte=day.now)
    rows = rows | SunSession.objects.filter(room=day.room, ends__isnull=True)
    return list(rows.select_related("resident__tank", "pen").order_by("starts", "pk"))


def _now(day: Day, weather: Weather | None) -> Now | None:
    if weather is None:
        return None
    age = day.now - weather.at
    return Now(
        at=weather.at,
        temp_c=weather.temp_c,
        sky=weather.sky,
        wind=weather.wind,
        by=weather.written_by.name if weather.written_by else "",
        age_min=int(age / timedelta(minutes=1)),
        stale=age > timedelta(hours=STALE_H),
    )


def _out(day: Day, row: SunSession) -> Out:
    care = {(each.kind, each.stage): each for each in day.facts.care}
    facts = next((each for each in day.facts.residents if each.key == row.resident.key), None)
    sun = care[facts.kind, facts.stage].sun if facts else None
    return Out(
        session=row.pk,
        key=row.resident.key,
        label=day.label("resident", row.resident.key),
        pen=row.pen.name if row.pen else "",
        since=row.starts,
        minutes=int((day.now - row.starts) / timedelta(minutes=1)),
        most_min=sun.session_most_min if sun else 0,
    )


class _Scene:
    """What each animal is held against."""

    def __init__(
        self, *, day: Day, span: DaySpan, weather: Weather | None, sessions: Sequence[SunSession]
    ) -> None:
        self.day, self.span, self.weather = day, span, weather
        self.minute = int(span.minute_of(day.now))
        self.minutes = range(self.minute, span.minutes, STEP_MIN)
        self.sky: Sky | None = sky_of(room=day.room, span=span, weather=weather)
        self.given: dict[str, list[date]] = {}
        for row in sessions:
            self.given.setdefault(row.resident.key, []).append(row.starts.astimezone(day.zone).date())

    def height(self) -> float:
        known = self.weather or Weather(temp_c=20.0, sky=SkySeen.CLEAR, wind=Wind.CALM)
        return outside(room=self.day.room, weather=known, moment=self.day.now).sun_height_deg

    def chance(self, animal: Animal, care: StageCare) -> Chance:
        given = tuple(self.given.get(animal.key, ()))
        fit_at = fit_minutes(care=care, sky=self.sky, minutes=self.minutes) if self.sky else ()
        reasons: tuple[Reason, ...] = ()
        if self.sky and self.minute not in fit_at:
            reasons = why_not(care=care, sky=self.sky, minutes=(self.minute,) if fit_at else self.minutes)
        sun = care.sun
        assert sun is not None  # noqa: S101  # only those with sun are asked about
        return Chance(
            key=animal.key,
            label=animal.name,
            kind=animal.kind,
            owed=sessions_owed(care=care, given=given, today=self.day.day),
            given=given,
            fit=bool(self.sky) and self.minute in fit_at,
            reasons=reasons,
            windows=tuple(self._runs(fit_at)),
            most_min=sun.session_most_min,
            floor_most_c=sun.floor_most_c,
            wait_min=fed_wait_min(day=self.day, resident=animal.key),
        )

    def _runs(self, minutes: Sequence[int]) -> list[tuple[datetime, datetime]]:
        runs: list[list[int]] = []
        for minute in minutes:
            if runs and runs[-1][1] == minute:
                runs[-1][1] = minute + STEP_MIN
            else:
                runs.append([minute, minute + STEP_MIN])
        return [(self.day.clock(start), self.day.clock(end)) for start, end in runs]


def fed_wait_min(*, day: Day, resident: str) -> int:
    """Return how many minutes an animal stays in after its last feed of today; 0 when it may go out."""
    wait = timedelta(minutes=day.facts.settings.sun_after_feed_min)
    prefix = f"{day.day.isoformat()}/{DutyKind.FEED.value}/{resident}/"
    fed = [
        word.at
        for (duty, _), head in day.state.heads.items()
        if duty.startswith(prefix)
        for word in (head.out, head.count, head.back)
        if word is not None
    ]
    left = max(fed, default=day.now - wait) + wait - day.now
    return max(-(-int(left.total_seconds()) // 60), 0)
