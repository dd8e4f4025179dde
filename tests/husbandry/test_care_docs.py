"""The page on care sheets is true: its example is read, and it names everything that a sheet may say."""

import re
from pathlib import Path

import pytest

from roomops.husbandry.care import Alone, Group, Need, Place, Standing, Words
from roomops.husbandry.care_resolve import resolve
from roomops.husbandry.care_text import parse
from roomops.husbandry.care_topics import ACT_ABOVE, ACT_BELOW, EVERY_STAGE, FOODS, TOPICS
from roomops.husbandry.needs import MistEdge
from roomops.husbandry.units import UNITS

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "care-sheets.md").read_text(encoding="utf-8")
EXAMPLE = re.findall(r"```toml\n(.*?)```", PAGE, flags=re.DOTALL)
NAMED = set(re.findall(r"`([^`\n]+)`", PAGE))


def test_the_example_is_read_and_means_what_the_page_says():
    (text,) = EXAMPLE
    sheet = parse(text=text, file="docs/care-sheets.md")
    young = resolve(sheet=sheet, stage="young", choices={})
    adult = resolve(sheet=sheet, stage="adult", choices={"basking": "print"})
    assert [(meal.slot, meal.need) for meal in young.feeding.meals] == [(1, Need.MUST), (2, Need.SHOULD)]
    assert young.feeding.place is Place.TUB
    assert [dish.slot for dish in young.feeding.dishes] == [1]
    assert adult.feeding.meals[0].weekdays == (1, 4)
    assert adult.basking_c is not None
    assert (adult.basking_c.low, adult.basking_c.act_below) == (36, 30)
    assert young.words.substrate == ("Paper only.",)


def test_the_example_of_mist_company_rest_and_eggs_means_what_the_page_says():
    (text,) = EXAMPLE
    sheet = parse(text=text, file="docs/care-sheets.md")
    young, adult = (resolve(sheet=sheet, stage=stage, choices={}) for stage in ("young", "adult"))
    assert young.mist is not None
    assert [(w.edge, w.must) for w in young.mist.windows] == [
        (MistEdge.BEFORE_OFF, True),
        (MistEdge.AFTER_ON, False),
    ]
    assert (young.group, young.alone_reasons) == (Group.LIZARD, (Alone.FIGHTS,))
    assert (young.winding_down, young.egg_layer) == (None, False)
    assert adult.winding_down is not None
    assert (adult.winding_down.months, adult.winding_down.loss_most_pct) == ((11, 12, 1), 8)
    assert adult.egg_layer
    assert adult.words.laying


@pytest.mark.parametrize("topic", [topic for topic in TOPICS if not topic.endswith((ACT_BELOW, ACT_ABOVE))])
def test_every_topic_is_on_the_page(topic: str):
    assert topic in NAMED


def test_every_food_standing_and_word_is_on_the_page():
    foods = {kind for kinds in FOODS.values() for kind in kinds}
    assert foods | set(Standing) | set(Words.__dataclass_fields__) | set(EVERY_STAGE) <= NAMED


def test_every_unit_is_in_the_table():
    cells = [line.rsplit("|", 2)[1] for line in PAGE.splitlines() if line.startswith("| `")]
    listed = {unit.strip() for cell in cells for unit in cell.split(",")}
    assert {unit.name for unit in UNITS} <= listed
