"""Rest by season never for the young, sick or thin; expected fasts; egg-laying females; hands enough."""

import datetime as dt

import pytest

from roomops.husbandry.handling import handlers_needed
from roomops.husbandry.seasons import (
    Fast,
    LayCall,
    LaySign,
    NoRest,
    fast_expected,
    lay_call,
    may_wind_down,
)
from tests.husbandry.sheets import FILES, care_of, every_stage, sheet_of

JANUARY, JULY = dt.date(2026, 1, 15), dt.date(2026, 7, 15)
COOLED = {
    "bearded-dragon.toml", "corn-snake.toml", "hermanns-tortoise.toml", "king-snake.toml",
    "slider-turtle.toml", "tegu.toml",
}  # fmt: skip
TORTOISE = care_of("hermanns-tortoise.toml", "adult")
PYTHON = care_of("ball-python.toml", "adult")
S = LaySign


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_only_grown_animals_of_six_kinds_may_be_cooled_at_all(file: str, stage: str):
    found = may_wind_down(care=care_of(file, stage), on=JANUARY, sick=False, thin=False, vet_agreed=True)
    assert found.may is (file in COOLED and stage == "adult")
    if not found.may:
        assert found.reasons == (NoRest.NOT_FOR_IT,)


@pytest.mark.parametrize("file", sorted(COOLED))
@pytest.mark.parametrize(
    ("sick", "thin", "vet", "why"),
    [
        (True, False, True, NoRest.SICK),
        (False, True, True, NoRest.THIN),
        (False, False, False, NoRest.NO_VET),
    ],
)
def test_never_the_sick_never_the_thin_never_without_a_vet(
    file: str, sick: bool, thin: bool, vet: bool, why: NoRest
):
    care = care_of(file, "adult")
    found = may_wind_down(care=care, on=JANUARY, sick=sick, thin=thin, vet_agreed=vet)
    assert (found.may, found.reasons) == (False, (why,))


@pytest.mark.parametrize(
    ("day", "south", "may"),
    [
        ("2026-10-31", False, False), ("2026-11-01", False, True), ("2027-03-31", False, True),
        ("2027-04-01", False, False), ("2026-07-15", True, True), ("2026-01-15", True, False),
        ("2026-04-30", True, False), ("2026-05-01", True, True), ("2026-09-30", True, True),
    ],
)  # fmt: skip
def test_the_season_is_the_sheets_and_half_a_year_on_in_the_south(day: str, south: bool, may: bool):
    # SOPTOM 2012: winter sleep from mid November to mid March in the wild.
    found = may_wind_down(
        care=TORTOISE, on=dt.date.fromisoformat(day), sick=False, thin=False, vet_agreed=True, south=south
    )
    assert found.may is may
    assert may or found.reasons == (NoRest.OUT_OF_SEASON,)


def test_a_winter_sleep_has_its_temperatures_its_length_and_its_limits():
    winding = TORTOISE.winding_down
    assert winding is not None
    assert winding.sleep_c is not None
    assert (winding.sleep_c.low, winding.sleep_c.high) == (4, 6)
    assert (winding.sleep_c.act_below, winding.sleep_c.act_above) == (2, 9)
    assert (winding.weeks_most, winding.weigh_every_days, winding.loss_most_pct) == (16, 7, 8)


@pytest.mark.parametrize("file", FILES)
def test_every_stage_that_may_be_cooled_is_weighed_and_has_a_loss_to_act_at(file: str):
    for stage in sheet_of(file).stages:
        winding = care_of(file, stage.key).winding_down
        if winding is not None:
            assert winding.weigh_every_days
            assert winding.loss_most_pct == 8
            assert winding.source


# ---------------------------------------------------------------- expected fasts


@pytest.mark.parametrize(
    ("lost", "fast"),
    [(0.0, Fast.EXPECTED), (7.9, Fast.EXPECTED), (8.0, Fast.LOST_TOO_MUCH), (8.1, Fast.LOST_TOO_MUCH)],
)
def test_a_winter_fast_is_no_alarm_while_the_weight_holds(lost: float, fast: Fast):
    found = fast_expected(care=PYTHON, on=JANUARY, sick=False, lost_pct=lost, days_since_weighed=3)
    assert found.fast is fast
    assert found.most_pct == 8


@pytest.mark.parametrize(
    ("days", "fast"), [(13, Fast.EXPECTED), (14, Fast.EXPECTED), (15, Fast.WEIGH), (None, Fast.WEIGH)]
)
def test_a_fast_is_believed_only_with_a_fresh_weight(days: int | None, fast: Fast):
    found = fast_expected(care=PYTHON, on=JANUARY, sick=False, lost_pct=1.0, days_since_weighed=days)
    assert found.fast is fast
    assert fast_expected(
        care=PYTHON, on=JANUARY, sick=False, lost_pct=None, days_since_weighed=1
    ).fast is Fast.WEIGH  # fmt: skip


def test_out_of_season_and_in_the_sick_a_fast_is_never_expected():
    out = fast_expected(care=PYTHON, on=JULY, sick=False, lost_pct=0.0, days_since_weighed=1)
    sick = fast_expected(care=PYTHON, on=JANUARY, sick=True, lost_pct=0.0, days_since_weighed=1)
    assert out.fast is sick.fast is Fast.NOT_EXPECTED
    assert (
        fast_expected(care=PYTHON, on=JULY, sick=False, lost_pct=0.0, days_since_weighed=1, south=True).fast
        is Fast.EXPECTED
    )


@pytest.mark.parametrize(("file", "stage"), [pair for pair in every_stage() if pair[1] != "adult"])
def test_a_young_animals_fast_is_always_looked_into(file: str, stage: str):
    found = fast_expected(
        care=care_of(file, stage), on=JANUARY, sick=False, lost_pct=0.0, days_since_weighed=1
    )
    assert found.fast is Fast.NOT_EXPECTED


def test_the_ball_python_fasts_but_is_never_cooled():
    winding = PYTHON.winding_down
    assert winding is not None
    assert not winding.cooled
    found = may_wind_down(care=PYTHON, on=JANUARY, sick=False, thin=False, vet_agreed=True)
    assert found.reasons == (NoRest.NOT_FOR_IT,)


def test_the_tegu_rests_through_autumn_and_winter():
    # Ribas 2005: autumn and winter in the burrow without feeding.
    tegu = care_of("tegu.toml", "adult")
    for month in range(1, 13):
        fast = fast_expected(
            care=tegu, on=dt.date(2026, month, 10), sick=False, lost_pct=2.0, days_since_weighed=9
        ).fast
        assert (fast is Fast.EXPECTED) is (month in {10, 11, 12, 1, 2, 3})


# ---------------------------------------------------------------- eggs


CHAMELEON = care_of("veiled-chameleon.toml", "adult")


@pytest.mark.parametrize(
    ("signs", "days", "call"),
    [
        (set(), 0, LayCall.NOTHING),
        ({S.NOT_EATING}, 0, LayCall.NOTHING),
        ({S.ROUND}, 0, LayCall.LAY_BOX),
        ({S.RESTLESS}, 0, LayCall.LAY_BOX),
        ({S.DIGGING}, 0, LayCall.LAY_BOX),
        ({S.DIGGING, S.ROUND}, 1, LayCall.LAY_BOX),
        ({S.DIGGING, S.ROUND}, 2, LayCall.VET_TODAY),
        ({S.ROUND, S.NOT_EATING}, 0, LayCall.VET_TODAY),
        ({S.STRAINING}, 0, LayCall.VET_TODAY),
        ({S.WEAK, S.DIGGING}, 0, LayCall.VET_TODAY),
    ],
)
def test_signs_of_laying_ask_for_the_box_or_for_the_vet_the_same_day(
    signs: set[LaySign], days: int, call: LayCall
):
    for female in (True, None):  # of unknown sex: it may be one
        found = lay_call(care=CHAMELEON, female=female, signs=frozenset(signs), days_digging=days)
        assert found is call


def test_a_male_gets_no_lay_box_but_straining_is_for_the_vet_whoever_strains():
    digs, strains = frozenset({S.DIGGING, S.ROUND}), frozenset({S.STRAINING})
    assert lay_call(care=CHAMELEON, female=False, signs=digs, days_digging=9) is LayCall.NOTHING
    assert lay_call(care=CHAMELEON, female=False, signs=strains) is LayCall.VET_TODAY
    boa = care_of("boa.toml", "adult")
    assert lay_call(care=boa, female=True, signs=digs) is LayCall.NOTHING  # bears alive
    assert lay_call(care=boa, female=True, signs=strains) is LayCall.VET_TODAY


@pytest.mark.parametrize("file", FILES)
def test_every_kind_lays_but_those_that_bear_alive_and_each_says_where_and_when_the_vet_is_called(file: str):
    bears_alive = file in {"boa.toml", "blue-tongued-skink.toml"}
    care = care_of(file, "adult")
    assert care.egg_layer is not bears_alive
    if care.egg_layer:
        assert any("vet the same day" in line for line in care.words.laying)
        assert len(care.words.laying) >= 2


def test_a_young_chameleon_may_lay_and_a_hatchling_not():
    assert care_of("veiled-chameleon.toml", "juvenile").egg_layer
    assert not care_of("veiled-chameleon.toml", "hatchling").egg_layer


# ---------------------------------------------------------------- hands


@pytest.mark.parametrize(
    ("length", "people"),
    [(None, 2), (1200, 2), (2399, 2), (2400, 2), (3000, 2), (3001, 3), (4600, 4)],
)
def test_a_boa_takes_one_person_for_each_five_feet_and_a_grown_one_never_one_alone(
    length: float | None, people: int
):
    # A. Zellar DVM: one person for each 5 ft (1.5 m), over 8 ft (2.4 m) never alone.
    assert handlers_needed(care=care_of("boa.toml", "adult"), length_mm=length) == people


@pytest.mark.parametrize(("length", "people"), [(500, 1), (1500, 1), (1501, 2), (2400, 2)])
def test_a_young_boa_takes_one_until_it_is_long(length: float, people: int):
    assert handlers_needed(care=care_of("boa.toml", "juvenile"), length_mm=length) == people


def test_large_lizards_take_two_and_the_rest_one():
    pairs = {file: handlers_needed(care=care_of(file, "adult"), length_mm=None) for file in FILES}
    assert {file for file, people in pairs.items() if people == 2} == {
        "boa.toml",
        "green-iguana.toml",
        "tegu.toml",
    }
    assert {people for file, people in pairs.items()} == {1, 2}


@pytest.mark.parametrize("file", FILES)
def test_every_kind_says_how_it_is_held(file: str):
    assert care_of(file, "adult").words.handling
