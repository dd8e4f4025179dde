"""What is expected, what failed and whether it is fit for sun, as planning reads them: five queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import lru_cache

from roomops.husbandry import outdoors as husbandry
from roomops.husbandry.care import StageCare
from roomops.husbandry.outdoors import sessions_owed
from roomops.husbandry.sun import sun_position
from roomops.planning import room as facts
from roomops.planning import sun
from roomops.records import models as m
from roomops.records.models.care_work import ArrivalState
from roomops.records.moments import Span

SKIES: Mapping[str, husbandry.Sky] = {
    m.Sky.CLEAR: husbandry.Sky.CLEAR,
    m.Sky.SCATTERED: husbandry.Sky.SCATTERED,
    m.Sky.BROKEN: husbandry.Sky.BROKEN,
    m.Sky.OVERCAST: husbandry.Sky.OVERCAST,
    m.Sky.RAIN: husbandry.Sky.OVERCAST,
}
# Meters a second at the upper end of what is said, so that no breeze is taken for less than it may be:
# Beaufort 1 ends at 1.5, Beaufort 3 at 5.4, Beaufort 6 begins at 10.8 (WMO table).
WINDS_M_S: Mapping[str, float] = {m.Wind.CALM: 1.5, m.Wind.BREEZE: 5.4, m.Wind.STRONG: 10.8}


def arriving(*, room: m.Room, day: date) -> tuple[facts.Arriving, ...]:
    """Return the lots expected from this day on, soonest first, each with its tanks: one query."""
    rows = m.Arrival.objects.filter(room=room, state=ArrivalState.EXPECTED, expected_on__gte=day)
    lots: dict[str, facts.Arriving] = {}
    for row in rows.order_by("expected_on", "key", "tanks__order", "tanks__key").values(
        "key", "kind", "heads", "expected_on", "tanks__key", "tanks__removed_on"
    ):
        lot = lots.setdefault(
            row["key"],
            facts.Arriving(key=row["key"], kind=row["kind"], heads=row["heads"], on=row["expected_on"]),
        )
        if row["tanks__key"] and row["tanks__removed_on"] is None:
            lots[lot.key] = replace(lot, tanks=(*lot.tanks, row["tanks__key"]))
    return tuple(lots.values())


def outage(*, room: m.Room, span: Span, now: datetime) -> facts.Outage | None:
    """Return what failed and is not back, for the day of ``now``; minutes of that day. One query."""
    row = m.Outage.objects.filter(room=room, began__lte=now, ended__isnull=True).first()
    if row is None or not span.holds(now):
        return None
    return facts.Outage(kind=row.kind, began=max(int(span.minute_of(row.began)), 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class SunFacts:
    """What is known of the day's sun: pens, the weather as last seen, days with a session this week."""

    pens: tuple[str, ...]
    weather: m.Weather | None
    given: Mapping[str, tuple[date, ...]]


def sun_facts(*, room: m.Room, span: Span, now: datetime) -> SunFacts:
    """Read pens, today's newest weather and the week's sessions: three queries."""
    pens = m.Pen.objects.filter(room=room, out_of_use=False).order_by("order", "key")
    seen = m.Weather.objects.filter(room=room, at__gte=span.starts, at__lt=span.ends, at__lte=now)
    monday = span.starts - timedelta(days=span.day.weekday())
    rows = m.SunSession.objects.filter(room=room, starts__gte=monday, starts__lte=now)
    given: dict[str, list[date]] = defaultdict(list)
    for key, starts in rows.values_list("resident__key", "starts").order_by("starts"):
        given[key].append(starts.astimezone(span.zone).date())
    return SunFacts(
        pens=tuple(pens.values_list("key", flat=True)),
        weather=seen.order_by("-at", "-pk").first(),
        given={key: tuple(days) for key, days in given.items()},
    )


def sky_of(*, room: m.Room, span: Span, weather: m.Weather | None) -> sun.Sky | None:
    """Return the day's sky for planning; None before anybody has looked out."""
    if weather is None:
        return None

    def at(minute: int) -> husbandry.Outside:
        return outside(room=room, weather=weather, moment=span.moment(minute))

    return sun.Sky(at=at, since=int(span.minute_of(weather.at)))


def outside(*, room: m.Room, weather: m.Weather, moment: datetime) -> husbandry.Outside:
    """Return the outside of a moment: the sun where it stands then, the weather as it was last seen."""
    return husbandry.Outside(
        sun_height_deg=_height(room.latitude, room.longitude, moment),
        air_c=weather.temp_c,
        sky=SKIES[weather.sky],
        wind_m_s=WINDS_M_S[weather.wind],
        month=moment.month,
        south=room.latitude < 0,
        rain=weather.sky == m.Sky.RAIN,
    )


@lru_cache(maxsize=2048)  # the same minutes of a day are asked for each kind
def _height(latitude: float, longitude: float, moment: datetime) -> float:
    return 90 - sun_position(at=moment, latitude_deg=latitude, longitude_deg=longitude).zenith_deg


def outdoors(
    *,
    room: m.Room,
    span: Span,
    now: datetime,
    residents: Sequence[facts.Resident],
    care: Sequence[StageCare],
) -> facts.Outdoors:
    """Return today's chance of sun and who is owed a session: three queries."""
    known = sun_facts(room=room, span=span, now=now)
    by_stage = {(each.kind, each.stage): each for each in care}
    wants = owed_today(residents=residents, care=by_stage, given=known.given, today=span.day)
    sky = sky_of(room=room, span=span, weather=known.weather)
    return sun.outdoors(wants=wants, pens=known.pens, sky=sky, day_length_min=span.minutes)


def owed_today(
    *,
    residents: Sequence[facts.Resident],
    care: Mapping[tuple[str, str], StageCare],
    given: Mapping[str, tuple[date, ...]],
    today: date,
) -> tuple[sun.Wants, ...]:
    """Return the store animals that were owed a session this morning, in the order of the facts.

    What was given today changes nothing here: its duty stays as it was, and is done.
    """
    found = []
    for each in residents:
        own = care[each.kind, each.stage]
        before = [day for day in given.get(each.key, ()) if day < today]
        store = each.status is facts.Status.STORE and each.heads == 1
        if store and sessions_owed(care=own, given=before, today=today):
            found.append(sun.Wants(resident=each.key, care=own))
    return tuple(found)
