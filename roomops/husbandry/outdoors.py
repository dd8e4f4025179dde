"""Is it fit for sun: a watched session in a pen outdoors, for store animals, a couple of days a week.

Sun is held against the care sheet's limits of UV index, air, wind and height of the sun; the pen against what
keeps an animal from dying in it. A closed tub and a pane of glass are refused whatever the weather: in the
sun they heat up within minutes, and glass and plastic let almost no UVB through.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import StageCare, SunCare
from roomops.husbandry.sun import clear_sky_uvi

_EDGE = 1e-6


class Sky(StrEnum):
    """What the opener sees of the sky in ten seconds."""

    CLEAR = "clear"
    SCATTERED = "a few clouds"
    BROKEN = "more cloud than sky"
    OVERCAST = "covered"


# Share of the clear sky's UV that comes through (United States EPA and National Weather Service method for
# the UV index; from memory and from pages that quote it).
THROUGH: dict[Sky, float] = {Sky.CLEAR: 1.0, Sky.SCATTERED: 0.89, Sky.BROKEN: 0.73, Sky.OVERCAST: 0.31}


class NoSun(StrEnum):
    """Why there is no session, or not now."""

    NOT_FOR_IT = "this kind or stage has no sun sessions"
    NOT_STORE_ANIMAL = "not a store animal"
    WINTER = "winter"
    SUN_LOW = "sun too low"
    UV_LOW = "too little UV"
    UV_HIGH = "too much UV"
    COLD = "too cold"
    HOT = "too hot"
    WIND = "too windy"
    RAIN = "rain or storm"
    CLOSED_TUB = "closed tub"
    BEHIND_GLASS = "behind glass or plastic"
    NOBODY_WATCHES = "nobody watches"
    NO_SHADE = "no shade"
    NO_HIDE = "no hide"
    NO_LID = "no lid"
    NO_WATER = "no water"
    FLOOR_NOT_FELT = "floor of the pen not felt"
    FLOOR_HOT = "floor of the pen too hot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside:
    """The weather of a moment. ``uvi`` is measured; None takes the clear sky's through the clouds seen."""

    sun_height_deg: float
    air_c: float
    sky: Sky
    wind_m_s: float
    month: int  # 1 to 12
    south: bool = False  # of the equator
    rain: bool = False
    uvi: float | None = None
    elevation_m: float = 0.0

    @property
    def uvi_here(self) -> float:
        """UV index on open ground."""
        if self.uvi is not None:
            return self.uvi
        clear = clear_sky_uvi(zenith_deg=90 - self.sun_height_deg, elevation_m=self.elevation_m)
        return clear * THROUGH[self.sky]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """Where the animal would be. ``floor_c`` is felt or measured after the pen stood in the sun."""

    watched: bool
    shade: bool
    hide: bool
    lid: bool
    water: bool
    floor_felt: bool
    floor_c: float | None = None
    closed_tub: bool = False
    behind_glass: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One thing that speaks against it, with what was found and the limit where there are numbers."""

    why: NoSun
    value: float | None = None
    limit: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SunVerdict:
    """Fit, or every reason why not. ``most_min`` is how long a session may be; 0 when it is not fit."""

    fit: bool
    reasons: tuple[Reason, ...]
    uvi: float
    most_min: int = 0


def fit_for_sun(*, care: StageCare, outside: Outside, pen: Pen | None, store_animal: bool) -> SunVerdict:
    """Return whether an animal may have a sun session now.

    ``pen`` is None where only the weather is asked about (is today worth planning one?). Raises ValueError
    for a month, a height of the sun, a temperature or a wind that cannot be.
    """
    _can_be(outside)
    if care.sun is None:
        return _verdict(reasons=(Reason(why=NoSun.NOT_FOR_IT),), outside=outside, sun=None)
    reasons = (
        *(() if store_animal else (Reason(why=NoSun.NOT_STORE_ANIMAL),)),
        *_season(outside),
        *_weather(outside=outside, sun=care.sun),
        *(() if pen is None else _pen(pen=pen, sun=care.sun)),
    )
    return _verdict(reasons=reasons, outside=outside, sun=care.sun)


def _verdict(*, reasons: tuple[Reason, ...], outside: Outside, sun: SunCare | None) -> SunVerdict:
    fit = not reasons and sun is not None
    most = sun.session_most_min if sun is not None and fit else 0
    return SunVerdict(fit=fit, reasons=reasons, uvi=outside.uvi_here, most_min=most)


def is_winter(*, month: int, south: bool) -> bool:
    """Return True in December, January and February, and south of the equator in June, July and August."""
    return month in ((6, 7, 8) if south else (12, 1, 2))


def _season(outside: Outside, /) -> tuple[Reason, ...]:
    return (Reason(why=NoSun.WINTER),) if is_winter(month=outside.month, south=outside.south) else ()


def _weather(*, outside: Outside, sun: SunCare) -> tuple[Reason, ...]:
    uvi, wind, height = outside.uvi_here, outside.wind_m_s, outside.sun_height_deg
    checks = (
        (height < sun.height_least_deg - _EDGE, NoSun.SUN_LOW, height, sun.height_least_deg),
        (uvi < sun.uvi.low - _EDGE, NoSun.UV_LOW, uvi, sun.uvi.low),
        (uvi > sun.uvi.high + _EDGE, NoSun.UV_HIGH, uvi, sun.uvi.high),
        (outside.air_c < sun.air_c.low - _EDGE, NoSun.COLD, outside.air_c, sun.air_c.low),
        (outside.air_c > sun.air_c.high + _EDGE, NoSun.HOT, outside.air_c, sun.air_c.high),
        (wind > sun.wind_most_m_s + _EDGE, NoSun.WIND, wind, sun.wind_most_m_s),
    )
    found = tuple(Reason(why=why, value=value, limit=limit) for wrong, why, value, limit in checks if wrong)
    return (*found, Reason(why=NoSun.RAIN)) if outside.rain else found


def _pen(*, pen: Pen, sun: SunCare) -> tuple[Reason, ...]:
    hot = pen.floor_c is not None and pen.floor_c > sun.floor_most_c + _EDGE
    checks = (
        (pen.closed_tub, NoSun.CLOSED_TUB),
        (pen.behind_glass, NoSun.BEHIND_GLASS),
        (not pen.watched, NoSun.NOBODY_WATCHES),
        (not pen.shade, NoSun.NO_SHADE),
        (not pen.hide, NoSun.NO_HIDE),
        (not pen.lid, NoSun.NO_LID),
        (not pen.water, NoSun.NO_WATER),
        (not pen.floor_felt and pen.floor_c is None, NoSun.FLOOR_NOT_FELT),
    )
    found = tuple(Reason(why=why) for wrong, why in checks if wrong)
    floor = Reason(why=NoSun.FLOOR_HOT, value=pen.floor_c, limit=sun.floor_most_c)
    return (*found, floor) if hot else found


def _can_be(outside: Outside, /) -> None:
    numbers = (outside.sun_height_deg, outside.air_c, outside.wind_m_s, outside.uvi or 0.0)
    if not all(math.isfinite(number) for number in numbers):
        raise ValueError("The weather has a number that is none: read it again.")
    if not 1 <= outside.month <= 12 or not -90 <= outside.sun_height_deg <= 90:
        raise ValueError(
            f"Month {outside.month} with the sun at {outside.sun_height_deg:g}° cannot be: mend one of them."
        )
    if not -60 <= outside.air_c <= 60 or not 0 <= outside.wind_m_s <= 60 or (outside.uvi or 0.0) < 0:
        raise ValueError(
            f"Air of {outside.air_c:g} °C with wind of {outside.wind_m_s:g} m/s cannot be: read them again."
        )


# ---------------------------------------------------------------- owed and given


def sessions_owed(*, care: StageCare, given: Sequence[dt.date], today: dt.date) -> int:
    """Return the sun days still owed in the week of ``today`` (Monday to Sunday); two on one day are one.

    What winter and weather take is not owed later: an adult's vitamin D held for weeks after UV stopped
    (Oonincx et al. 2013, Comp Biochem Physiol B 165:196-200, bearded dragons, up to 83 days).
    """
    if care.sun is None:
        return 0
    week = today.isocalendar()[:2]
    had = {day for day in given if day <= today and day.isocalendar()[:2] == week}
    return max(care.sun.days_a_week - len(had), 0)
