"""Where the sun stands, when it rises and sets, and how strong its ultraviolet is under a clear sky."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Any
from zoneinfo import ZoneInfo

# The sun's upper edge through the refraction at the horizon, zenith 90°50' (Almanac for Computers 1990).
HORIZON = "-0:50"


@dataclass(frozen=True, slots=True, kw_only=True)
class SunPosition:
    """Degrees. Azimuth from north over east; zenith as seen from the ground, refracted if air was given."""

    zenith_deg: float
    azimuth_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SunDay:
    """Moments in UTC. Where the sun stays up or down all day, ``up`` says which."""

    sunrise: dt.datetime | None
    noon: dt.datetime
    sunset: dt.datetime | None
    up: bool | None = None


def sun_position(
    *,
    at: dt.datetime,
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float = 0.0,
    pressure_mbar: float = 0.0,
    temperature_c: float = 12.0,
) -> SunPosition:
    """Return where the sun stands at an aware moment; north and east are positive.

    Raises ValueError for a moment without a time zone and for a place that is not on Earth.
    """
    observer = _observer(latitude_deg=latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m)
    observer.pressure = pressure_mbar
    observer.temp = temperature_c
    observer.date = _utc(at)
    sun = _ephem().Sun(observer)
    return SunPosition(zenith_deg=90 - math.degrees(sun.alt), azimuth_deg=math.degrees(sun.az))


def sun_day(*, day: dt.date, zone: ZoneInfo, latitude_deg: float, longitude_deg: float) -> SunDay:
    """Return sunrise, noon and sunset around the first noon after midnight of ``day``, for a level horizon.

    Within the minute that NOAA states for its method up to 72° of latitude. Raises ValueError for a place
    that is not on Earth.
    """
    ephem = _ephem()
    observer = _observer(latitude_deg=latitude_deg, longitude_deg=longitude_deg, elevation_m=0.0)
    observer.pressure = 0
    observer.horizon = HORIZON
    observer.date = _utc(dt.datetime.combine(day, dt.time(), tzinfo=zone))
    noon = observer.next_transit(ephem.Sun())
    observer.date = noon
    try:
        rising = observer.previous_rising(ephem.Sun(), use_center=True)
        setting = observer.next_setting(ephem.Sun(), use_center=True)
    except ephem.AlwaysUpError:
        return SunDay(sunrise=None, noon=_moment(noon), sunset=None, up=True)
    except ephem.NeverUpError:
        return SunDay(sunrise=None, noon=_moment(noon), sunset=None, up=False)
    return SunDay(sunrise=_moment(rising), noon=_moment(noon), sunset=_moment(setting))


def _ephem() -> Any:
    # Loaded on first use: it brings a compiled library, and most of the room's work never asks for the sun.
    import ephem  # noqa: PLC0415

    return ephem


def _observer(*, latitude_deg: float, longitude_deg: float, elevation_m: float) -> Any:
    if not -90 <= latitude_deg <= 90 or not -180 <= longitude_deg <= 180:
        raise ValueError(
            f"Latitude {latitude_deg:g} and longitude {longitude_deg:g} are no place on Earth: "
            "write degrees, north and east positive."
        )
    observer = _ephem().Observer()
    observer.lat, observer.lon = str(latitude_deg), str(longitude_deg)
    observer.elevation = elevation_m
    return observer


def _utc(at: dt.datetime) -> dt.datetime:
    if at.tzinfo is None:
        raise ValueError(f"The moment {at.isoformat()} has no time zone: give it one.")
    return at.astimezone(dt.UTC).replace(tzinfo=None)


def _moment(date: Any) -> dt.datetime:
    moment: dt.datetime = date.datetime()
    return moment.replace(tzinfo=dt.UTC)


# ---------------------------------------------------------------- ultraviolet


class UVCategory(StrEnum):
    """How the UV index is called (WHO 2002), after rounding to a whole number."""

    LOW = "low"
    MODERATE = "moderate"
    HIGH = "high"
    VERY_HIGH = "very high"
    EXTREME = "extreme"


_CATEGORIES = (
    (3, UVCategory.LOW), (6, UVCategory.MODERATE), (8, UVCategory.HIGH), (11, UVCategory.VERY_HIGH)
)  # fmt: skip


def clear_sky_uvi(*, zenith_deg: float, ozone_du: float = 300.0, elevation_m: float = 0.0) -> float:
    """Return the UV index under a clear, clean sky over dark ground; 0 with the sun at or under the horizon.

    Madronich 2007, Photochem Photobiol 83:1537-1538: 12.5 · cos(zenith)^2.42 · (ozone/300)^-1.23. Elevation
    adds 6 % a kilometer (NOAA Climate Prediction Center). It runs high with the sun overhead. Glass and
    plastic let almost no UVB through: behind them count 0.
    """
    height = math.cos(math.radians(zenith_deg))
    if zenith_deg >= 90 or height <= 0:
        return 0.0
    air = math.pow(ozone_du / 300, -1.23) * (1 + 0.06 * elevation_m / 1000)
    return 12.5 * math.pow(height, 2.42) * air


def uv_category(uvi: float, /) -> UVCategory:
    """Return the category of a UV index: 2.4 is low, 2.5 rounds to 3 and is moderate."""
    whole = math.floor(uvi + 0.5)
    return next((category for below, category in _CATEGORIES if whole < below), UVCategory.EXTREME)


@dataclass(frozen=True, slots=True, kw_only=True)
class FergusonZone:
    """UV index that kinds of a zone were seen in: span of the mean exposures, and of the highest recorded."""

    number: int
    words: str
    mean_low: float
    mean_high: float
    most_low: float
    most_high: float


# Ferguson, Brinker, Gehrmann, Bucklin, Baines, Mackin 2010, Zoo Biol 29:741-752 (seen quoted only).
FERGUSON_ZONES: tuple[FergusonZone, ...] = (
    FergusonZone(
        number=1, words="at dusk or in shade", mean_low=0.0, mean_high=0.7, most_low=0.6, most_high=1.4
    ),
    FergusonZone(
        number=2,
        words="basks now and then",
        mean_low=0.7,
        mean_high=1.0,
        most_low=1.1,
        most_high=3.0,
    ),
    FergusonZone(
        number=3,
        words="basks in open or partial sun",
        mean_low=1.0,
        mean_high=2.6,
        most_low=2.9,
        most_high=7.4,
    ),
    FergusonZone(number=4, words="basks at noon", mean_low=2.6, mean_high=3.5, most_low=4.5, most_high=9.5),
)


def zone_of_mean(uvi: float, /) -> FergusonZone | None:
    """Return the zone of a mean exposure; a shared edge belongs to the lower zone. None beyond the table.

    Only means tell zones apart: the highest recorded values overlap.
    """
    return next((zone for zone in FERGUSON_ZONES if 0 <= uvi <= zone.mean_high), None)
