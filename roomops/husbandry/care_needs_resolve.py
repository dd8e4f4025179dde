"""From the chosen claims to mist, water, rest and sun in base units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from roomops.husbandry.care import Claim, Company, Hands, Mist, SunCare, WaterCare, WindingDown
from roomops.husbandry.care_claims import base_of
from roomops.husbandry.care_topics import ACT_ABOVE, ACT_BELOW, MIST, MIST_WINDOWS, SUN, WATER
from roomops.husbandry.needs import Band, MistEdge, MistWindow

_DAY = 1440.0
_WEEK = 7 * _DAY
_EDGES = dict(zip(MIST_WINDOWS, (MistEdge.AFTER_ON, MistEdge.BEFORE_OFF, MistEdge.AFTER_OFF), strict=True))


def low_of(*, by_topic: Mapping[str, Claim], topic: str) -> float | None:
    """Return the lower number of a topic's chosen claim in its base unit, or None."""
    return base_of(by_topic[topic])[0] if topic in by_topic else None


def high_of(*, by_topic: Mapping[str, Claim], topic: str) -> float | None:
    """Return the higher number of a topic's chosen claim in its base unit, or None."""
    return base_of(by_topic[topic])[1] if topic in by_topic else None


def days_of(*, by_topic: Mapping[str, Claim], topic: str) -> int:
    """Return an interval's lower number in whole days."""
    return round(base_of(by_topic[topic])[0] / _DAY)


def band_of(*, by_topic: Mapping[str, Claim], topic: str) -> Band | None:
    """Return a band with its limits to act at, or None when the sheet has none."""
    if topic not in by_topic:
        return None
    low, high = base_of(by_topic[topic])
    return Band(
        low=low,
        high=high,
        act_below=low_of(by_topic=by_topic, topic=topic + ACT_BELOW),
        act_above=low_of(by_topic=by_topic, topic=topic + ACT_ABOVE),
    )


def mist_of(by_topic: Mapping[str, Claim], /) -> Mist | None:
    """Return misting, its windows in the order of the sheet; those past the lower number are not must."""
    if MIST not in by_topic:
        return None
    times = by_topic[MIST]
    must, most = round(times.low), round(times.high)
    windows = [topic for topic in by_topic if topic in _EDGES][:most]
    return Mist(
        times_must=must,
        times_most=most,
        minutes=round(base_of(by_topic["mist time"])[1]),
        windows=tuple(
            MistWindow(
                edge=_EDGES[topic],
                from_min=round(base_of(by_topic[topic])[0]),
                to_min=round(base_of(by_topic[topic])[1]),
                must=number <= must,
            )
            for number, topic in enumerate(windows, start=1)
        ),
    )


def water_of(by_topic: Mapping[str, Claim], /) -> WaterCare | None:
    """Return the water that an animal lives in, or None for one that lives on land."""
    water = band_of(by_topic=by_topic, topic=WATER)
    if water is None:
        return None
    stands = low_of(by_topic=by_topic, topic="tap water stands")
    return WaterCare(
        water_c=water,
        change_pct=by_topic["part change"].low,
        change_every_days=days_of(by_topic=by_topic, topic="part change every"),
        filter_every_days=days_of(by_topic=by_topic, topic="filter service every"),
        ammonia_mg_l=band_of(by_topic=by_topic, topic="ammonia"),
        nitrite_mg_l=band_of(by_topic=by_topic, topic="nitrite"),
        nitrate_mg_l=band_of(by_topic=by_topic, topic="nitrate"),
        ph=band_of(by_topic=by_topic, topic="ph"),
        chlorine_mg_l=band_of(by_topic=by_topic, topic="chlorine"),
        no_feeding_below_c=low_of(by_topic=by_topic, topic="no feeding below"),
        stands_h=None if stands is None else stands / 60,
        volume_l=low_of(by_topic=by_topic, topic="tank volume"),
    )


def winding_of(*, winding: WindingDown | None, by_topic: Mapping[str, Claim]) -> WindingDown | None:
    """Return a season of rest with the figures that belong to it."""
    if winding is None:
        return None
    most = high_of(by_topic=by_topic, topic="rest time")
    weigh = "weigh at rest every"
    return replace(
        winding,
        sleep_c=band_of(by_topic=by_topic, topic="winter sleep"),
        weeks_most=None if most is None else round(most / _WEEK),
        weigh_every_days=days_of(by_topic=by_topic, topic=weigh) if weigh in by_topic else None,
        loss_most_pct=low_of(by_topic=by_topic, topic="weight loss at rest act above"),
    )


def sun_of(by_topic: Mapping[str, Claim], /) -> SunCare | None:
    """Return the limits of a session in natural sun, or None for a kind that has none."""
    air, uvi = (band_of(by_topic=by_topic, topic=topic) for topic in (SUN, "sun uv index"))
    if air is None or uvi is None:
        return None
    return SunCare(
        air_c=air,
        uvi=uvi,
        wind_most_m_s=base_of(by_topic["sun wind"])[1],
        height_least_deg=by_topic["sun height"].low,
        floor_most_c=base_of(by_topic["sun floor"])[1],
        session_most_min=round(base_of(by_topic["sun session"])[1]),
        days_a_week=round(base_of(by_topic["sun days a week"])[0] / _DAY),
    )


def hands_of(by_topic: Mapping[str, Claim], /) -> Hands | None:
    """Return what an animal's length asks for in people, or None where the sheet says nothing on it."""
    each = low_of(by_topic=by_topic, topic="length a handler")
    alone = low_of(by_topic=by_topic, topic="never alone from")
    return None if each is None and alone is None else Hands(mm_each=each, never_alone_mm=alone)


def company_of(*, companies: tuple[tuple[tuple[str, ...], Company], ...], stage: str) -> Company | None:
    """Return what a stage's sheet says on company, or None."""
    return next((company for stages, company in companies if stage in stages), None)
