"""What the sheets say, against practice, print and physiology; and what a room's choice makes of it."""

import dataclasses
import itertools
import json
from enum import Enum
from typing import Any

import pytest

from roomops.husbandry.care import Active, Band, Need, Place, PreyBasis, Standing
from roomops.husbandry.care_claims import base_of
from roomops.husbandry.care_resolve import ChoiceError, resolve, stage_for
from roomops.husbandry.care_text import parse
from roomops.husbandry.care_topics import is_alarm
from tests.husbandry.sheets import FILES, care_of, every_stage, sheet_of, text_of

DRAGON, GECKO, SNAKE, TORTOISE = (
    "bearded-dragon.toml", "leopard-gecko.toml", "corn-snake.toml", "hermanns-tortoise.toml"
)  # fmt: skip


def fahrenheit(band: Band | None) -> tuple[float, float]:
    assert band is not None
    return round(band.low * 9 / 5 + 32, 6), round(band.high * 9 / 5 + 32, 6)


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_the_night_is_no_warmer_than_the_cool_side_nor_that_than_the_basking_side(file: str, stage: str):
    care = care_of(file, stage)
    assert care.night_c
    assert care.cool_c
    assert care.basking_c
    assert care.night_c.low <= care.cool_c.low <= care.basking_c.low
    assert care.night_c.high <= care.cool_c.high <= care.basking_c.high


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_every_limit_to_act_at_lies_outside_its_band_whatever_the_room_chooses(file: str, stage: str):
    sheet = sheet_of(file)
    topics = ("basking", "cool side", "night", "humidity", "uv index")
    keys = [
        [c.key for f in sheet.figures if f.topic == topic and stage in f.stages for c in f.claims] or [""]
        for topic in topics
    ]
    for chosen in itertools.product(*keys):
        choices = {f"{topic}/{stage}": key for topic, key in zip(topics, chosen, strict=True) if key}
        try:
            care = resolve(sheet=sheet, stage=stage, choices=choices)
        except ChoiceError:
            continue  # bands that contradict each other are refused, tested below
        for band in (care.basking_c, care.cool_c, care.night_c, care.humidity_pct, care.uvi):
            if band is None:  # what lives in water asks for no humidity
                assert care.water is not None
                continue
            assert band.act_below is None or band.act_below < band.low
            assert band.act_above is None or band.high < band.act_above


@pytest.mark.parametrize("file", FILES)
def test_limits_to_act_at_are_published_or_a_house_choice_and_never_from_memory(file: str):
    limits = [claim for f in sheet_of(file).figures if is_alarm(f.topic) for claim in f.claims]
    assert len(limits) >= 6
    assert {claim.standing for claim in limits} <= {Standing.PUBLISHED, Standing.HOUSE_CHOICE}


@pytest.mark.parametrize("stage", ["hatchling", "juvenile", "adult"])
@pytest.mark.parametrize("key", ["practice", "print"])
def test_the_body_temperature_that_dragons_select_lies_between_cool_and_basking_side(stage: str, key: str):
    # Black and Tattersall 2017, J Therm Biol 69:171-177: 33 to 34 °C, adults and neonates.
    care = resolve(sheet=sheet_of(DRAGON), stage=stage, choices={"basking": key, "cool side": key})
    selected = care.cite("selected body temperature")
    assert selected is not None
    assert base_of(selected.claim) == (33.0, 34.0)
    assert care.cool_c
    assert care.basking_c
    assert care.cool_c.high < 33
    assert care.basking_c.low > 34


# ---------------------------------------------------------------- practice, as the store has it


def test_the_dragons_practice_values_stand_on_the_sheet_as_practice():
    for stage in ("hatchling", "juvenile", "adult"):
        care = care_of(DRAGON, stage)
        assert fahrenheit(care.basking_c) == (100, 110)
        assert fahrenheit(care.cool_c) == (80, 89)
        low, high = fahrenheit(care.night_c)
        assert (low + high) / 2 == 75
        for topic in ("basking", "cool side", "night"):
            cited = care.cite(topic)
            assert cited is not None
            assert cited.claim.standing is Standing.COMMON_PRACTICE
            assert "no source" in cited.claim.source


@pytest.mark.parametrize(
    ("topic", "stage", "low", "high"),
    [
        ("feeds a day", "hatchling", 2, 3),
        ("group most", "adult", 1, 1),
        ("tank volume", "hatchling", 20 * 3.785411784, 20 * 3.785411784),
        ("tank volume", "adult", 55 * 3.785411784, 55 * 3.785411784),
        ("sun days a week", "adult", 2 * 1440, 2 * 1440),
        ("animals a tub", "hatchling", 1, 1),
        ("prey to gap", "hatchling", 1, 1),
        ("vet every", "adult", 365 * 1440, 365 * 1440),
        ("most out of heat", "hatchling", 25, 25),
        ("gap with 2 feeds", "hatchling", 240, 240),
        ("gap with 3 feeds", "hatchling", 180, 180),
    ],
)
def test_what_practice_says_of_dragons_is_marked_as_practice(topic: str, stage: str, low: float, high: float):
    cited = care_of(DRAGON, stage).cite(topic)
    assert cited is not None
    practice = next(c for c in (cited.claim, *cited.others) if c.standing is Standing.COMMON_PRACTICE)
    assert base_of(practice) == pytest.approx((low, high))


def test_the_room_can_choose_print_where_practice_and_print_differ():
    care = resolve(
        sheet=sheet_of(DRAGON), stage="adult", choices={"basking": "print", "cool side/adult": "print"}
    )
    assert care.basking_c is not None
    assert care.cool_c is not None
    assert (care.basking_c.low, care.basking_c.high) == (38, 42)  # RSPCA (UK)
    assert (care.cool_c.low, care.cool_c.high) == (22, 26)  # RSPCA (UK)
    cited = care.cite("basking")
    assert cited is not None
    assert cited.claim.key == "print"
    assert [other.key for other in cited.others] == ["practice", "school"]


def test_a_choice_for_one_stage_leaves_the_others_alone():
    choices = {"basking/adult": "print"}
    young = resolve(sheet=sheet_of(DRAGON), stage="hatchling", choices=choices)
    assert fahrenheit(young.basking_c) == (100, 110)


def test_fewer_feeds_chosen_are_fewer_meals_and_all_of_them_must():
    care = resolve(sheet=sheet_of(DRAGON), stage="hatchling", choices={"feeds a day": "clinic"})
    assert [(meal.slot, meal.need) for meal in care.feeding.meals] == [(1, Need.MUST)]


@pytest.mark.parametrize(
    ("choices", "words"),
    [
        ({"basking": "hearsay"}, "the sheet knows no such claim, so choose one of practice, print, school"),
        ({"basking/egg": "print"}, "the sheet says nothing on that"),
        ({"moonlight": "print"}, "the sheet says nothing on that"),
    ],
)
def test_a_choice_that_the_sheet_does_not_have_is_refused_in_one_sentence(
    choices: dict[str, str], words: str
):
    with pytest.raises(ChoiceError) as caught:
        resolve(sheet=sheet_of(DRAGON), stage="adult", choices=choices)
    assert words in str(caught.value)
    assert str(caught.value).endswith(".")


def test_chosen_bands_that_contradict_each_other_are_refused():
    magazine = '{ key = "magazine", value = "20 to 21 °C"'
    hot = '{ key = "hot", value = "25 to 28 °C", standing = "house choice", source = "a warm cellar" }'
    assert magazine in text_of(GECKO)
    sheet = parse(text=text_of(GECKO).replace(magazine, f"{hot},\n  {magazine}", 1), file=GECKO)
    with pytest.raises(ChoiceError, match="does not lie above the night band"):
        resolve(sheet=sheet, stage="adult", choices={"night": "hot"})


def test_an_unknown_stage_is_named_with_the_known_ones():
    with pytest.raises(LookupError, match="no stage “egg”, only hatchling, juvenile, adult"):
        care_of(DRAGON, "egg")


# ---------------------------------------------------------------- how each kind is fed


def test_dragon_hatchlings_eat_alone_in_tubs_two_feeds_must_and_the_third_should():
    feeding = care_of(DRAGON, "hatchling").feeding
    assert feeding.place is Place.TUB
    assert [meal.need for meal in feeding.meals] == [Need.MUST, Need.MUST, Need.SHOULD]
    assert [meal.dusted for meal in feeding.meals] == [True, False, False]
    assert dict(feeding.gap_min) == {2: 240, 3: 180}
    assert (feeding.opens_after_on_min, feeding.closes_before_off_min) == (60, 120)
    assert (feeding.watch_min, feeding.most_out_min) == (15, 25)
    assert [dish.category for dish in feeding.dishes] == ["greens"]


def test_adult_dragons_eat_greens_daily_in_their_tank_and_insects_on_two_days():
    feeding = care_of(DRAGON, "adult").feeding
    first, second = feeding.meals
    assert feeding.place is Place.TANK
    assert (first.category, first.need, first.weekdays, first.watched) == ("greens", Need.MUST, (), False)
    assert (second.category, second.need, second.weekdays) == ("insect", Need.SHOULD, (2, 5))
    assert care_of(DRAGON, "adult").group_most == 1


def test_crickets_and_roaches_go_by_length_soft_larvae_by_width_and_rodents_by_girth():
    basis = dict(care_of(DRAGON, "hatchling").feeding.prey_basis) | dict(
        care_of(SNAKE, "adult").feeding.prey_basis
    )
    assert basis["cricket"] is basis["roach"] is PreyBasis.LENGTH
    assert basis["silkworm"] is basis["black soldier fly larva"] is PreyBasis.WIDTH
    assert basis["mouse"] is PreyBasis.GIRTH


def test_the_gecko_is_fed_after_lights_out_in_its_tank_with_little_or_no_uv():
    care = care_of(GECKO, "adult")
    assert care.active is Active.NIGHT
    assert care.feeding.place is Place.TANK
    assert care.feeding.opens_after_on_min is None
    assert (care.feeding.opens_after_off_min, care.feeding.closes_after_off_min) == (0, 120)
    assert care.uvi is not None
    assert care.uvi.high <= 0.7  # Ferguson zone 1
    assert care.feeding.every_days == 2


def test_the_corn_snake_gets_one_thawed_rodent_a_week_and_peace_for_48_hours():
    care = care_of(SNAKE, "adult")
    assert (care.feeding.every_days, care.feeding.no_handling_after_h) == (7, 48)
    assert [(meal.category, meal.count) for meal in care.feeding.meals] == [("rodent", 1)]
    assert care.gap_per_length is None


def test_the_tortoise_grazes_daily_on_greens_alone():
    for stage in ("hatchling", "juvenile", "adult"):
        care = care_of(TORTOISE, stage)
        assert care.feeding.every_days == 1
        assert {meal.category for meal in care.feeding.meals} == {"greens"}
        assert care.feeding.place is Place.TANK


def test_the_eye_gap_from_length_is_a_house_choice_and_says_that_nothing_is_published():
    for file in (DRAGON, GECKO):
        for stage in sheet_of(file).stages:
            cited = care_of(file, stage.key).cite("gap of length")
            assert cited is not None
            assert cited.claim.standing is Standing.HOUSE_CHOICE
            assert "no published figure exists" in cited.claim.source


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_every_stage_says_what_it_needs_to_be_looked_after(file: str, stage: str):
    care = care_of(file, stage)
    assert care.floor_cm2
    assert care.weigh_every_days
    assert care.vet_every_days == 365
    assert care.clean_every_days == 1
    assert 30 <= care.quarantine_days <= 183  # the longest is a boa's, six months
    assert care.photoperiod_h is not None
    assert care.photoperiod_h.low <= care.photoperiod_h.high
    words = care.words
    assert all((words.water, words.housing, words.hides, words.substrate, words.sun, words.never_feed))
    assert any("Salmonella" in line for line in words.cautions)
    assert any("vet" in line for line in words.cautions)


def test_a_stages_own_words_come_before_those_for_all():
    words = care_of(DRAGON, "hatchling").words
    assert words.never_feed[0] == "No mealworms for hatchlings."
    assert len(words.never_feed) > 1


@pytest.mark.parametrize(
    ("days", "stage"),
    [
        (0, "hatchling"),
        (89, "hatchling"),
        (90, "juvenile"),
        (91, "juvenile"),
        (364, "juvenile"),
        (365, "adult"),
    ],
)
def test_a_stage_begins_on_its_first_day(days: int, stage: str):
    assert stage_for(sheet=sheet_of(DRAGON), age_days=days).key == stage


def test_an_animal_that_hatches_tomorrow_is_asked_about():
    with pytest.raises(ValueError, match="An age of -1 days is in the future: check the hatch date"):
        stage_for(sheet=sheet_of(DRAGON), age_days=-1)


def _plain(value: Any) -> Any:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    assert value is None or isinstance(value, str | int | float | bool), value
    return value.value if isinstance(value, Enum) else value


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_a_stages_care_is_made_of_plain_values_alone(file: str, stage: str):
    encoded = _plain(care_of(file, stage))
    assert json.loads(json.dumps(encoded, allow_nan=False)) == encoded
