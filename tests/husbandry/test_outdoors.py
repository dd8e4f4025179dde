"""Is it fit for sun: each limit in threes, the pen's musts, and what is refused whatever the weather."""

import datetime as dt
import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomops.husbandry.outdoors import (
    THROUGH,
    NoSun,
    Outside,
    Pen,
    Sky,
    fit_for_sun,
    is_winter,
    sessions_owed,
)
from roomops.husbandry.sun import FERGUSON_ZONES, clear_sky_uvi
from tests.husbandry.sheets import FILES, care_of, every_stage, sheet_of

DRAGON = care_of("bearded-dragon.toml", "adult")
GOOD = Outside(sun_height_deg=45, air_c=28, sky=Sky.CLEAR, wind_m_s=2, month=6)
PEN = Pen(watched=True, shade=True, hide=True, lid=True, water=True, floor_felt=True, floor_c=30)


def whys(outside: Outside = GOOD, pen: Pen | None = PEN, *, store_animal: bool = True) -> list[NoSun]:
    verdict = fit_for_sun(care=DRAGON, outside=outside, pen=pen, store_animal=store_animal)
    assert verdict.fit is (not verdict.reasons)
    return [reason.why for reason in verdict.reasons]


def test_a_good_day_in_a_good_pen_is_fit_for_half_an_hour():
    verdict = fit_for_sun(care=DRAGON, outside=GOOD, pen=PEN, store_animal=True)
    assert (verdict.fit, verdict.most_min, verdict.reasons) == (True, 30, ())
    # Madronich 2007: 12.5 × cos(45°)^2.42 = 5.40 (computed apart from the code).
    assert verdict.uvi == pytest.approx(5.40, abs=0.005)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"air_c": 23.9}, NoSun.COLD), ({"air_c": 24.0}, None), ({"air_c": 24.1}, None),
        ({"air_c": 33.9}, None), ({"air_c": 34.0}, None), ({"air_c": 34.1}, NoSun.HOT),
        ({"wind_m_s": 7.9}, None), ({"wind_m_s": 8.0}, None), ({"wind_m_s": 8.1}, NoSun.WIND),
        ({"sun_height_deg": 24.9, "uvi": 3}, NoSun.SUN_LOW), ({"sun_height_deg": 25.0, "uvi": 3}, None),
        ({"uvi": 1.9}, NoSun.UV_LOW), ({"uvi": 2.0}, None), ({"uvi": 2.1}, None),
        ({"uvi": 7.3}, None), ({"uvi": 7.4}, None), ({"uvi": 7.5}, NoSun.UV_HIGH),
        ({"rain": True}, NoSun.RAIN),
        ({"month": 11}, None), ({"month": 12}, NoSun.WINTER), ({"month": 1}, NoSun.WINTER),
        ({"month": 2}, NoSun.WINTER), ({"month": 3}, None),
        ({"month": 7, "south": True}, NoSun.WINTER), ({"month": 1, "south": True}, None),
    ],
)  # fmt: skip
def test_each_limit_of_the_weather_just_before_at_and_just_after(change: dict[str, float], why: NoSun | None):
    assert whys(replace(GOOD, **change)) == ([] if why is None else [why])


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"watched": False}, NoSun.NOBODY_WATCHES), ({"shade": False}, NoSun.NO_SHADE),
        ({"hide": False}, NoSun.NO_HIDE), ({"lid": False}, NoSun.NO_LID), ({"water": False}, NoSun.NO_WATER),
        ({"floor_felt": False, "floor_c": None}, NoSun.FLOOR_NOT_FELT),
        ({"floor_c": 38.0}, None), ({"floor_c": 38.1}, NoSun.FLOOR_HOT), ({"floor_c": None}, None),
        ({"closed_tub": True}, NoSun.CLOSED_TUB), ({"behind_glass": True}, NoSun.BEHIND_GLASS),
    ],
)  # fmt: skip
def test_each_must_of_the_pen(change: dict[str, object], why: NoSun | None):
    assert whys(pen=replace(PEN, **change)) == ([] if why is None else [why])


@given(
    height=st.floats(0, 90), air=st.floats(-20, 45), wind=st.floats(0, 30), month=st.integers(1, 12),
    sky=st.sampled_from(Sky), tub=st.booleans(),
)  # fmt: skip
def test_nobody_is_ever_put_into_the_sun_in_a_closed_tub_or_behind_glass(
    height: float, air: float, wind: float, month: int, sky: Sky, tub: bool
):
    outside = Outside(sun_height_deg=height, air_c=air, sky=sky, wind_m_s=wind, month=month)
    pen = replace(PEN, closed_tub=tub, behind_glass=not tub)
    for file, stage in every_stage():
        verdict = fit_for_sun(care=care_of(file, stage), outside=outside, pen=pen, store_animal=True)
        assert not verdict.fit
        assert verdict.most_min == 0


def test_every_reason_is_told_at_once_with_its_numbers():
    found = fit_for_sun(
        care=DRAGON,
        outside=Outside(sun_height_deg=10, air_c=5, sky=Sky.OVERCAST, wind_m_s=12, month=1),
        pen=replace(PEN, shade=False, closed_tub=True),
        store_animal=False,
    )
    assert [reason.why for reason in found.reasons] == [
        NoSun.NOT_STORE_ANIMAL, NoSun.WINTER, NoSun.SUN_LOW, NoSun.UV_LOW, NoSun.COLD, NoSun.WIND,
        NoSun.CLOSED_TUB, NoSun.NO_SHADE,
    ]  # fmt: skip
    cold = next(reason for reason in found.reasons if reason.why is NoSun.COLD)
    assert (cold.value, cold.limit) == (5, 24)


def test_animals_for_sale_get_no_sun_sessions():
    assert whys(store_animal=False) == [NoSun.NOT_STORE_ANIMAL]


def test_weather_can_be_asked_about_without_a_pen():
    assert whys(pen=None) == []


@pytest.mark.parametrize(
    "file",
    ["leopard-gecko.toml", "crested-gecko.toml", "corn-snake.toml", "king-snake.toml", "ball-python.toml",
     "boa.toml"],
)  # fmt: skip
def test_kinds_of_the_night_and_snakes_have_no_sessions(file: str):
    for stage in sheet_of(file).stages:
        verdict = fit_for_sun(care=care_of(file, stage.key), outside=GOOD, pen=PEN, store_animal=True)
        assert [reason.why for reason in verdict.reasons] == [NoSun.NOT_FOR_IT]


@pytest.mark.parametrize("sky", list(Sky))
def test_clouds_take_their_share_of_the_clear_skys_uv(sky: Sky):
    # US EPA and National Weather Service: 100, 89, 73 and 31 %, from memory and from pages that quote it.
    clear = clear_sky_uvi(zenith_deg=45)
    assert replace(GOOD, sky=sky).uvi_here == pytest.approx(clear * THROUGH[sky])
    assert tuple(THROUGH.values()) == (1.0, 0.89, 0.73, 0.31)
    assert replace(GOOD, sky=sky, uvi=4.2).uvi_here == 4.2


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_no_session_is_planned_above_what_was_recorded_in_the_kinds_zone(file: str, stage: str):
    care = care_of(file, stage)
    if care.sun is None:
        return
    cited = care.cite("ferguson zone")
    zone = round(cited.claim.low) if cited else 2  # without one the cautious zone 2 is taken
    recorded = next(z for z in FERGUSON_ZONES if z.number == zone)
    assert care.sun.uvi.high <= recorded.most_high
    assert care.sun.session_most_min <= 120
    assert care.sun.days_a_week == 2
    assert stage != "hatchling"


@pytest.mark.parametrize(
    "change",
    [{"month": 0}, {"month": 13}, {"sun_height_deg": 91}, {"air_c": 86}, {"wind_m_s": -1}, {"uvi": -1},
     {"air_c": math.nan}, {"wind_m_s": math.inf}],
)  # fmt: skip
def test_weather_that_cannot_be_is_read_again(change: dict[str, float]):
    with pytest.raises(ValueError, match=r"cannot be|is none"):
        fit_for_sun(care=DRAGON, outside=replace(GOOD, **change), pen=PEN, store_animal=True)


def test_winter_is_three_months_on_either_side_of_the_equator():
    assert [month for month in range(1, 13) if is_winter(month=month, south=False)] == [1, 2, 12]
    assert [month for month in range(1, 13) if is_winter(month=month, south=True)] == [6, 7, 8]


# ---------------------------------------------------------------- owed and given

WEDNESDAY = dt.date(2026, 7, 8)


@pytest.mark.parametrize(
    ("given", "owed"),
    [
        ([], 2), (["2026-07-06"], 1), (["2026-07-06", "2026-07-06"], 1), (["2026-07-06", "2026-07-08"], 0),
        (["2026-07-05"], 2), (["2026-07-09"], 2), (["2026-07-06", "2026-07-07", "2026-07-08"], 0),
    ],
)  # fmt: skip
def test_two_sun_days_a_week_are_owed_and_two_sessions_on_one_day_are_one(given: list[str], owed: int):
    days = [dt.date.fromisoformat(day) for day in given]
    assert sessions_owed(care=DRAGON, given=days, today=WEDNESDAY) == owed


def test_a_new_week_owes_anew_also_across_the_year():
    given = [dt.date(2026, 12, 28), dt.date(2026, 12, 29)]
    assert sessions_owed(care=DRAGON, given=given, today=dt.date(2027, 1, 1)) == 0  # the same ISO week
    assert sessions_owed(care=DRAGON, given=given, today=dt.date(2027, 1, 4)) == 2


def test_kinds_without_sessions_owe_none():
    assert sessions_owed(care=care_of("leopard-gecko.toml", "adult"), given=[], today=WEDNESDAY) == 0
    assert sum(care_of(file, "adult").sun is not None for file in FILES) == 8
