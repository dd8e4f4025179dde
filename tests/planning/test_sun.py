"""Windows of sun: shared by as many as can be, as long as a session, never where one kind would suffer."""

from __future__ import annotations

from dataclasses import replace

from roomops.husbandry.care import StageCare
from roomops.husbandry.outdoors import NoSun, Outside, Sky
from roomops.planning.room import Outdoors
from roomops.planning.sun import STEP_MIN, Wants, fit_minutes, outdoors, why_not
from roomops.planning.sun import Sky as Seen
from tests.husbandry import sheets

DRAGON = sheets.care_of("bearded-dragon.toml", "adult")
SKINK = sheets.care_of("blue-tongued-skink.toml", "adult")
DAY = 1440


def seen(heights: dict[int, float], since: int = 0, **changes) -> Seen:
    """The sun stands at the height of the last key at or before the minute; warm, clear and calm."""

    def at(minute: int) -> Outside:
        height = heights[max(start for start in heights if start <= minute)]
        base = Outside(sun_height_deg=height, air_c=28.0, sky=Sky.CLEAR, wind_m_s=1.5, month=6)
        return replace(base, **changes)

    return Seen(at=at, since=since)


def wants(*animals: tuple[str, StageCare]) -> list[Wants]:
    return [Wants(resident=key, care=care) for key, care in animals]


def chance(sky: Seen | None, *animals: tuple[str, StageCare], pens: tuple[str, ...] = ("p1",)) -> Outdoors:
    return outdoors(wants=wants(*animals), pens=pens, sky=sky, day_length_min=DAY)


NOON = {0: -20.0, 600: 45.0, 840: 10.0}


def test_a_window_is_where_the_sun_is_high_enough_and_not_before_the_weather_was_said():
    told = chance(seen(NOON), ("marlow", DRAGON))
    assert [(w.start, w.end) for w in told.windows] == [(600, 840)]
    late = chance(seen(NOON, since=720), ("marlow", DRAGON))
    assert [(w.start, w.end) for w in late.windows] == [(720, 840)]


def test_less_than_a_session_is_no_window():
    enough = DRAGON.sun.session_most_min
    for length, found in ((enough - STEP_MIN, 0), (enough, 1), (enough + STEP_MIN, 1)):
        told = chance(seen({0: -20.0, 600: 45.0, 600 + length: -20.0}), ("marlow", DRAGON))
        assert len(told.windows) == found, length


def test_a_kind_that_cannot_bear_the_strong_sun_is_left_out_and_not_forced_in():
    told = chance(seen({0: -20.0, 600: 50.0, 840: -20.0}), ("a", DRAGON), ("b", DRAGON), ("c", SKINK))
    assert told.owed == ("a", "b")  # a UV index of 6.6 is over a skink's most of 3
    assert told.windows


def test_without_weather_pens_or_animals_there_is_no_window():
    sky = seen(NOON)
    assert chance(None, ("marlow", DRAGON)) == Outdoors(pens=("p1",))
    assert chance(sky, ("marlow", DRAGON), pens=()) == Outdoors()
    assert chance(sky) == Outdoors(pens=("p1",))


def test_a_stage_without_sun_is_never_owed():
    hatchling = sheets.care_of("bearded-dragon.toml", "hatchling")
    assert chance(seen(NOON), ("h1", hatchling)).owed == ()


def test_fit_minutes_are_those_asked_about_and_why_not_names_the_best_minute():
    sky = seen(NOON)
    assert fit_minutes(care=DRAGON, sky=sky, minutes=(590, 600, 830, 840)) == (600, 830)
    assert why_not(care=DRAGON, sky=sky, minutes=(600,)) == ()
    [reason] = why_not(care=DRAGON, sky=seen(NOON, air_c=12.0), minutes=range(0, DAY, STEP_MIN))
    assert (reason.why, reason.value) == (NoSun.COLD, 12.0)
