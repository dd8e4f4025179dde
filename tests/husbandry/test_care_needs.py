"""Mist, water, foods by weekday and by weight, eggs: what a half-said need is told, and what it becomes."""

import pytest

from roomops.husbandry.care import Need
from roomops.husbandry.care_errors import CareSheetError
from roomops.husbandry.care_text import parse
from roomops.husbandry.feeding import choose
from roomops.husbandry.needs import MistEdge, MistWindow
from tests.husbandry.sheets import care_of, text_of
from tests.husbandry.test_prey import Animal, Shelf

GECKO, SLIDER, TEGU = "crested-gecko.toml", "slider-turtle.toml", "tegu.toml"
CHAMELEON = "veiled-chameleon.toml"


def without(file: str, topic: str) -> str:
    text = text_of(file)
    start = text.index(f'[[figure]]\ntopic = "{topic}"\n')
    return text[:start] + text[text.index("[[", start + 5) :]


def refusal(text: str, file: str) -> str:
    with pytest.raises(CareSheetError) as caught:
        parse(text=text, file=file)
    sentence = str(caught.value)
    assert sentence.startswith(f"{file}: ")
    assert sentence.endswith(".")
    return sentence


def changed(file: str, old: str, new: str) -> str:
    text = text_of(file)
    assert old in text, f"the sheet no longer says {old}"
    return text.replace(old, new, 1)


@pytest.mark.parametrize("topic", ["part change", "part change every", "filter service every"])
def test_water_to_live_in_needs_its_part_change_and_its_filter(topic: str):
    said = refusal(without(SLIDER, topic), SLIDER)
    assert f"topic “{topic}” is missing: it belongs to “water”, so add it" in said


def test_a_part_change_without_water_is_refused():
    figure = (
        '[[figure]]\ntopic = "part change"\nstages = "all"\n'
        'claim = [ { key = "x", value = "25 %", standing = "house choice", source = "ours" } ]\n\n'
    )
    text = changed(GECKO, '[[figure]]\ntopic = "night"', figure + '[[figure]]\ntopic = "night"')
    assert "figure “part change” is without “water”" in refusal(text, GECKO)


def test_land_animals_need_humidity_and_what_lives_in_water_does_not():
    assert "topic “humidity” is missing" in refusal(without(CHAMELEON, "humidity"), CHAMELEON)
    assert care_of(SLIDER, "adult").humidity_pct is None


@pytest.mark.parametrize(
    ("topic", "said"),
    [
        ("mist time", "topic “mist time” is missing: it belongs to “mist a day”"),
        ("mist after lights on", "figure “mist a day” is 2 with 1 windows: give each its window"),
        ("mist a day", "figure “mist after lights on” is without a number of times"),
    ],
)
def test_misting_needs_its_number_its_windows_and_its_minutes(topic: str, said: str):
    assert said in refusal(without(CHAMELEON, topic), CHAMELEON)


def test_a_females_lay_box_is_asked_for_in_words():
    text = text_of(GECKO)
    start = text.index("laying = [")
    assert "words, laying is missing: say in words where she lays" in refusal(text[:start], GECKO)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("0.25 mg/L", "0.25 g", "g measures a weight and this is a concentration in water"),
        ('"0.25 mg/L"', '"0 mg/L"', "move it outside the band 0 to 0 mg/L"),
        ("6.5 to 8 pH", "6.5 to 14 pH", "has to lie between 3 and 12 pH"),
        ('"9 pH"', '"7 pH"', "move it outside the band 6.5 to 8 pH"),
        ('value = "8 m/s"', 'value = "8 knots"', "is no unit that is known here, use one of m/s, km/h, mph"),
        ('kinds = ["turtle pellets"]', 'kinds = ["turtle pelets"]', "use “turtle pellets”"),
        ('topic = "portion turtle pellets"', 'topic = "portion turtle pelet"', "use “portion turtle pellet"),
        ('value = "8 g"', 'value = "8 insects"', "insects measures a number of insects and this is a weight"),
    ],
)  # fmt: skip
def test_slips_in_water_sun_and_weighed_foods_are_refused(old: str, new: str, said: str):
    assert said in refusal(changed(SLIDER, old, new), SLIDER)


def test_two_foods_share_a_feed_only_on_days_of_their_own():
    text = changed(SLIDER, 'days = ["Wednesday", "Sunday"]', 'days = ["Wednesday", "Monday"]')
    assert "food is given twice for feed 1: one food to a feed, days of its own for each" in refusal(
        text, SLIDER
    )


def test_a_feed_that_is_not_daily_needs_food_on_every_weekday():
    # Every second day may fall on any weekday: a Friday without food would be a feed left out.
    text = changed(
        SLIDER,
        'kinds = ["earthworm", "snail", "shrimp"]\ndays = ["Friday"]',
        'kinds = ["snail"]\nbeside = true',
    )
    assert "food is without food on some days for feed 1" in refusal(text, SLIDER)


# ---------------------------------------------------------------- what it becomes


def test_the_crested_gecko_is_misted_in_the_evening_and_when_dry_in_the_morning():
    mist = care_of(GECKO, "adult").mist
    assert mist is not None
    assert (mist.times_must, mist.times_most, mist.minutes) == (1, 2, 1)
    assert mist.windows == (
        MistWindow(edge=MistEdge.BEFORE_OFF, from_min=0, to_min=60, must=True),
        MistWindow(edge=MistEdge.AFTER_ON, from_min=0, to_min=60, must=False),
    )
    assert care_of(CHAMELEON, "adult").mist is not None
    assert care_of("bearded-dragon.toml", "adult").mist is None


@pytest.mark.parametrize(
    ("file", "stage", "powder_days", "insect_days"),
    [
        (GECKO, "hatchling", (1, 2, 4, 5, 7), (3, 6)),
        (GECKO, "juvenile", (1, 2, 4, 5, 7), (3, 6)),
        (GECKO, "adult", (1, 2, 3, 4, 5, 6), (7,)),
    ],
)
def test_the_crested_gecko_eats_powder_meal_and_insects_on_days_of_their_own(
    file: str, stage: str, powder_days: tuple[int, ...], insect_days: tuple[int, ...]
):
    powder, insects = care_of(file, stage).feeding.meals
    assert (powder.category, powder.weekdays, powder.slot) == ("powder meal", powder_days, 1)
    assert (powder.watched, powder.sized, powder.count) == (False, False, 0)
    assert (insects.category, insects.weekdays, insects.slot) == ("insect", insect_days, 1)
    assert (insects.watched, insects.sized, insects.count, insects.dusted) == (True, True, 4, True)
    assert {powder.need, insects.need} == {Need.MUST}


def test_what_is_weighed_says_its_grams():
    grams = {s: dict(care_of(GECKO, s).feeding.meals[0].grams) for s in ("hatchling", "juvenile", "adult")}
    assert [each["fruit mix powder"] for each in grams.values()] == [0.5, 1, 3]
    pellets = next(m for m in care_of(SLIDER, "adult").feeding.meals if m.category == "pellets")
    assert pellets.grams == (("turtle pellets", 8),)
    assert pellets.watched


def test_powder_and_pellets_are_offered_without_a_measure_and_never_counted():
    care = care_of(GECKO, "adult")
    shelf = [Shelf(key="tin", kind="fruit mix powder", size_mm=None, on_hand=250)]
    offer = choose(meal=care.feeding.meals[0], care=care, animal=Animal(), batches=shelf)
    assert (offer.batch, offer.count, offer.limit, offer.why) == ("tin", 0, None, None)


def test_the_turtle_eats_for_five_minutes_and_the_rest_is_netted_out():
    feeding = care_of(SLIDER, "adult").feeding
    cited = care_of(SLIDER, "adult").cite("watch")
    assert feeding.watch_min == 5  # SPCA New Zealand, Turtles
    assert cited is not None
    assert cited.claim.standing == "published"
    assert feeding.every_days == 2
    assert care_of(SLIDER, "hatchling").feeding.every_days == 1


def test_a_tegus_week_has_egg_fish_snails_and_one_rodent_day():
    meals = care_of(TEGU, "adult").feeding.meals
    week = {day: meal.category for meal in meals for day in meal.weekdays}
    assert [week[day] for day in range(1, 8)] == [
        "egg", "fish", "fish", "soft prey", "soft prey", "rodent", "soft prey"
    ]  # fmt: skip
    rodent = next(meal for meal in meals if meal.category == "rodent")
    assert dict(rodent.counts) == {"mouse": 2, "rat": 1}


def test_a_red_foot_gets_its_small_animal_part_beside_the_greens_once_a_week():
    feeding = care_of("red-footed-tortoise.toml", "adult").feeding
    assert [(meal.category, meal.weekdays) for meal in feeding.meals] == [("greens", ())]
    assert [(dish.category, dish.weekdays) for dish in feeding.dishes] == [("soft prey", (3,))]
