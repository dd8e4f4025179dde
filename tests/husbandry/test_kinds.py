"""What the ten further sheets say, number by number against the publications that they name."""

import pytest

from roomops.husbandry.care import Active, PreyBasis, Standing
from roomops.husbandry.care_claims import base_of
from roomops.husbandry.units import BY_NAME, from_base
from tests.husbandry.sheets import FILES, care_of, every_stage

P, K, M, H = Standing.PUBLISHED, Standing.COMMON_PRACTICE, Standing.FROM_MEMORY, Standing.HOUSE_CHOICE
TEN = (
    "ball-python.toml", "blue-tongued-skink.toml", "boa.toml", "crested-gecko.toml", "green-iguana.toml",
    "king-snake.toml", "red-footed-tortoise.toml", "slider-turtle.toml", "tegu.toml", "veiled-chameleon.toml",
)  # fmt: skip

# file, stage, topic, word of the source, standing, low, high, unit: the publication's number, written apart.
PRINT = [
    # Zürcher Tierschutz, Haltung von Schlangen / Königspythons; Austria, 2. Tierhaltungsverordnung, annex 3
    ("ball-python", "adult", "basking", "Haltung von Schlangen", P, 30, 33, "°C"),
    ("ball-python", "adult", "basking", "Königspythons", P, 30, 35, "°C"),
    ("ball-python", "adult", "night", "Haltung von Schlangen", P, 20, 25, "°C"),
    ("ball-python", "adult", "night", "Tierhaltungsverordnung", P, 23, 25, "°C"),
    ("ball-python", "adult", "humidity", "Haltung von Schlangen", P, 60, 80, "%"),
    ("ball-python", "adult", "humidity", "Tierhaltungsverordnung", P, 60, 90, "%"),
    ("ball-python", "adult", "night humidity", "Königspythons", P, 70, 90, "%"),
    ("ball-python", "adult", "uv index", "Königspythons", P, 1, 2, "UVI"),
    ("ball-python", "adult", "floor", "RSPCA", P, 4800, 4800, "cm²"),
    ("ball-python", "adult", "selected body temperature", "WikiVet", P, 25, 34, "°C"),
    ("ball-python", "adult", "adult length", "Handle with care", P, 1, 1.5, "m"),
    # RSPCA (UK), kingsnake care sheet; M. Kaplan 1994; WikiVet 2010
    ("king-snake", "adult", "floor", "RSPCA", P, 10_800, 10_800, "cm²"),
    ("king-snake", "adult", "group most", "RSPCA", P, 1, 1, "animals"),
    ("king-snake", "hatchling", "hatchling length", "Kaplan", P, 20, 33, "cm"),
    ("king-snake", "adult", "selected body temperature", "WikiVet", P, 25, 32, "°C"),
    # A. Zellar DVM; Brights Zoo; WikiVet 2010
    ("boa", "adult", "selected body temperature", "WikiVet", P, 28, 34, "°C"),
    ("boa", "adult", "adult length", "Zellar", P, 1.5, 2.4, "m"),
    ("boa", "adult", "adult weight", "Brights Zoo", P, 9, 14, "kg"),
    ("boa", "hatchling", "hatchling length", "Zellar", P, 38, 51, "cm"),
    ("boa", "adult", "quarantine", "Zellar", P, 6, 6, "months"),
    ("boa", "adult", "length a handler", "Zellar", P, 1.5, 1.5, "m"),
    ("boa", "adult", "floor", "150 to 200 cm", P, 1.2, 1.2, "m²"),
    # NSW Department of Education; San Diego Zoo; Cosley Zoo and others
    ("blue-tongued-skink", "adult", "basking", "NSW Department", P, 34, 34, "°C"),
    ("blue-tongued-skink", "adult", "cool side", "NSW Department", P, 22, 22, "°C"),
    ("blue-tongued-skink", "adult", "selected body temperature", "Northern", P, 30, 35, "°C"),
    ("blue-tongued-skink", "adult", "uv hours", "San Diego", P, 8, 8, "h"),
    ("blue-tongued-skink", "adult", "plant share", "Taronga", P, 60, 60, "%"),
    ("blue-tongued-skink", "adult", "adult weight", "Cosley", P, 283, 510, "g"),
    ("blue-tongued-skink", "hatchling", "hatchling weight", "Northern", P, 14, 14, "g"),
    # Forest Park Zoo; Endemia NC 2017
    ("crested-gecko", "adult", "adult length", "Forest Park Zoo", P, 17, 25, "cm"),
    ("crested-gecko", "adult", "life span", "Forest Park Zoo", P, 10, 20, "years"),
    ("crested-gecko", "adult", "clutch", "Forest Park Zoo", P, 2, 2, "eggs"),
    # Smithsonian's National Zoo
    ("red-footed-tortoise", "adult", "adult length", "National Zoo", P, 28.5, 34, "cm"),
    ("red-footed-tortoise", "adult", "adult weight", "National Zoo", P, 9, 9, "kg"),
    ("green-iguana", "adult", "adult length", "National Zoo", P, 1.5, 2, "m"),
    ("green-iguana", "adult", "adult weight", "National Zoo", P, 8, 8, "kg"),
    ("green-iguana", "hatchling", "hatchling length", "Timișoara", P, 17, 25, "cm"),
    ("green-iguana", "hatchling", "hatchling weight", "Timișoara", P, 12, 12, "g"),
    # Ribas 2005; Georgia DNR 2023
    ("tegu", "adult", "selected body temperature", "Ribas", P, 32.2, 35, "°C"),
    ("tegu", "adult", "adult length", "Georgia", P, 1.2, 1.2, "m"),
    # SPCA New Zealand; RSPCA Australia; USGS; Directive 2010/63/EU
    ("slider-turtle", "adult", "feed every", "SPCA New Zealand", P, 2, 2, "days"),
    ("slider-turtle", "hatchling", "feed every", "SPCA New Zealand", P, 1, 1, "days"),
    ("slider-turtle", "adult", "tank volume", "SPCA New Zealand", P, 400, 400, "L"),
    ("slider-turtle", "adult", "tap water stands", "RSPCA Australia", P, 12, 12, "h"),
    ("slider-turtle", "adult", "adult length", "USGS", P, 12.5, 28.9, "cm"),
    ("slider-turtle", "adult", "floor", "2010/63/EU", P, 10_000, 10_000, "cm²"),
    # veterinary practices' sheets: common practice, never called published
    ("veiled-chameleon", "adult", "basking", "second veterinary practice", K, 29, 32, "°C"),
    ("veiled-chameleon", "adult", "basking", "US veterinary practice", K, 32, 35, "°C"),
    ("veiled-chameleon", "juvenile", "floor", "about 41 × 41", K, 1681, 1681, "cm²"),
    ("green-iguana", "adult", "floor", "1.8 × 0.9 m", K, 16_200, 16_200, "cm²"),
]


@pytest.mark.parametrize(("name", "stage", "topic", "said", "standing", "low", "high", "unit"), PRINT)
def test_a_number_is_the_one_that_its_publication_gives(
    name: str, stage: str, topic: str, said: str, standing: Standing, low: float, high: float, unit: str
):
    cited = care_of(f"{name}.toml", stage).cite(topic)
    assert cited is not None
    named = [c for c in (cited.claim, *cited.others) if said in c.source and c.standing is standing]
    numbers = [tuple(from_base(base=base, unit=BY_NAME[unit]) for base in base_of(claim)) for claim in named]
    assert numbers == [pytest.approx((low, high))]


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_the_body_temperature_of_the_kind_can_be_reached_between_cool_and_basking_side(file: str, stage: str):
    # Each sheet's own publication: Black and Tattersall 2017, Ribas 2005, WikiVet 2010, SOPTOM 2012, a zoo.
    care = care_of(file, stage)
    cited = care.cite("selected body temperature")
    if cited is None:
        return
    assert cited.claim.standing is P
    low, high = base_of(cited.claim)
    assert care.cool_c is not None
    assert care.basking_c is not None
    assert care.cool_c.low < (low + high) / 2 < care.basking_c.high


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_the_room_acts_before_the_animal_would_be_hotter_than_its_kind_can_bear(file: str, stage: str):
    # Upper limits of lizards and snakes: 37.0 to 48.1 °C body (Spellerberg 1972, Oecologia 9:23, and others).
    # A cool side above 34 °C leaves nothing below them; nights have no lamp to flee from.
    care = care_of(file, stage)
    assert care.cool_c is not None
    assert care.night_c is not None
    assert care.basking_c is not None
    assert care.cool_c.act_above is not None
    assert care.night_c.act_above is not None
    assert care.cool_c.act_above <= 34
    assert care.night_c.act_above <= 32
    assert care.cool_c.act_below is not None
    assert care.night_c.act_below is not None
    assert care.basking_c.act_below is not None
    assert care.basking_c.act_above is not None


def test_the_crested_gecko_is_too_hot_before_any_other():
    limits = {f: care_of(f, "adult").cool_c.act_above for f in FILES}  # type: ignore[union-attr]
    assert min(limits, key=lambda file: limits[file] or 99) == "crested-gecko.toml"
    assert limits["crested-gecko.toml"] == 27


@pytest.mark.parametrize("file", TEN)
def test_low_confidence_is_no_default_of_uv(file: str):
    """Where a kind's zone was not found in print the room's own, cautious band stands, and says so."""
    cited = care_of(file, "adult").cite("uv index")
    assert cited is not None
    not_found = {"boa.toml", "blue-tongued-skink.toml"}
    assert (cited.claim.standing is H) is (file in not_found)


@pytest.mark.parametrize("file", TEN)
def test_where_sources_disagree_both_are_kept(file: str):
    stages = ("hatchling", "juvenile", "adult")
    others = [cited for stage in stages for cited in care_of(file, stage).cited if cited.others]
    assert others
    for cited in others:
        assert len({claim.key for claim in (cited.claim, *cited.others)}) == 1 + len(cited.others)


@pytest.mark.parametrize("stage", ["hatchling", "juvenile", "adult"])
@pytest.mark.parametrize("file", ["ball-python.toml", "boa.toml", "king-snake.toml"])
def test_snakes_get_one_thawed_rodent_by_girth_and_peace_after_it(file: str, stage: str):
    care = care_of(file, stage)
    assert [(meal.category, meal.count) for meal in care.feeding.meals] == [("rodent", 1)]
    assert set(dict(care.feeding.prey_basis).values()) == {PreyBasis.GIRTH}
    assert care.feeding.no_handling_after_h == (72 if file == "boa.toml" else 48)
    assert any("microwave" in line for line in care.words.cautions)
    assert any("live rodent" in line for line in care.words.never_feed)
    assert care.gap_per_length is None


@pytest.mark.parametrize("file", ["green-iguana.toml", "red-footed-tortoise.toml"])
def test_plant_eaters_get_plants(file: str):
    for stage in ("hatchling", "juvenile", "adult"):
        care = care_of(file, stage)
        assert {meal.category for meal in care.feeding.meals} == {"greens"}
        assert care.feeding.every_days == 1
    assert all(dish.category == "soft prey" for dish in care_of(file, "adult").feeding.dishes)


def test_the_iguana_never_gets_animal_food():
    for stage in ("hatchling", "juvenile", "adult"):
        assert care_of("green-iguana.toml", stage).feeding.dishes == ()


def test_who_is_awake_when():
    night = {file for file in FILES if care_of(file, "adult").active is Active.NIGHT}
    assert night == {
        "ball-python.toml", "boa.toml", "corn-snake.toml", "crested-gecko.toml", "leopard-gecko.toml"
    }  # fmt: skip


def test_a_chameleons_young_part_by_the_third_month():
    young = care_of("veiled-chameleon.toml", "hatchling")
    cited = young.cite("apart by")
    assert cited is not None
    assert base_of(cited.claim) == (8 * 7 * 1440, 12 * 7 * 1440)
    assert young.group_most == 6
    assert care_of("veiled-chameleon.toml", "juvenile").group_most == 1


@pytest.mark.parametrize("file", TEN)
def test_climbers_have_a_height_and_nights_a_humidity_where_they_need_it(file: str):
    care = care_of(file, "adult")
    if file in {"crested-gecko.toml", "veiled-chameleon.toml", "green-iguana.toml"}:
        assert care.height_mm
        assert care.height_mm >= 600
    if file in {"crested-gecko.toml", "veiled-chameleon.toml"}:
        assert care.humidity_night_pct is not None
        assert care.humidity_pct is not None
        assert care.humidity_night_pct.high >= care.humidity_pct.high
