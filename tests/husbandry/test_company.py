"""Company that never works: snakes that eat snakes, chameleons in sight, adults alone; and cages."""

import pytest

from roomops.husbandry.care import Alone, Group, StageCare
from roomops.husbandry.housing import (
    CAGES,
    Clash,
    Companion,
    CompanyProblem,
    cages_for,
    companion_of,
    company_problems,
    sight_problems,
)
from tests.husbandry.sheets import care_of, every_stage

KING, CORN, BALL = "king-snake.toml", "corn-snake.toml", "ball-python.toml"
CHAMELEON, DRAGON = "veiled-chameleon.toml", "bearded-dragon.toml"


def one(file: str, stage: str = "adult", **more: object) -> Companion:
    care = care_of(file, stage)
    return companion_of(care=care, key=f"{care.kind} {stage}", **more)


def clashes(*companions: Companion) -> list[Clash]:
    return [problem.clash for problem in company_problems(companions)]


@pytest.mark.parametrize("stage", ["hatchling", "juvenile", "adult"])
@pytest.mark.parametrize("other", [CORN, BALL, "boa.toml", "leopard-gecko.toml"])
def test_a_king_snake_is_never_with_any_snake_or_lizard_at_any_age(stage: str, other: str):
    # RSPCA (UK), kingsnake care sheet: housed apart, eats reptiles.
    king, guest = one(KING, stage), one(other)
    for pair in ((king, guest), (guest, king)):
        eaten = [p for p in company_problems(pair) if p.clash is Clash.EATS]
        assert [p.keys for p in eaten] == [(king.key, guest.key)]


def test_king_snakes_eat_their_own_kind_and_nest_mates_too():
    assert Clash.EATS in clashes(one(KING, "hatchling", heads=2))
    assert Clash.EATS not in clashes(one(KING, "hatchling"))
    pair = company_problems([one(KING), one(KING, "juvenile")])
    assert [p.keys for p in pair if p.clash is Clash.EATS] == [
        ("king snake adult", "king snake juvenile"),
        ("king snake juvenile", "king snake adult"),
    ]


def test_two_corn_snakes_are_too_many_but_do_not_eat_each_other():
    assert clashes(one(CORN, heads=2)) == [Clash.TOO_MANY]


def test_what_is_too_many_says_why_it_lives_alone():
    (problem,) = company_problems([one(DRAGON), one(DRAGON)])
    assert (problem.clash, problem.value, problem.most) == (Clash.TOO_MANY, 2, 1)
    assert problem.reasons == (Alone.FIGHTS,)


@pytest.mark.parametrize(("file", "stage"), every_stage())
@pytest.mark.parametrize("other", [DRAGON, "leopard-gecko.toml", CORN, "hermanns-tortoise.toml"])
def test_kinds_are_never_mixed_whichever_they_are(file: str, stage: str, other: str):
    if file != other:
        assert Clash.KINDS_MIXED in clashes(one(file, stage), one(other))


def test_chameleons_in_tanks_that_see_each_other_are_told_apart():
    first, second = one(CHAMELEON), one(CHAMELEON, "juvenile")
    assert sight_problems([[first], [second]]) == (
        CompanyProblem(clash=Clash.IN_SIGHT, keys=(first.key, second.key)),
    )
    assert sight_problems([[first], [one(DRAGON)], [one("green-iguana.toml")]]) == ()
    assert sight_problems([[first, second]]) == ()  # one tank: that is too many, not in sight
    assert sight_problems([]) == ()


def test_young_chameleons_may_see_each_other_for_some_weeks():
    young = one(CHAMELEON, "hatchling")
    assert sight_problems([[young], [young]]) == ()
    assert care_of(CHAMELEON, "hatchling").group_most > 1


@pytest.mark.parametrize(("file", "stage"), every_stage())
def test_every_kind_says_which_broad_kind_it_is_and_why_it_lives_alone(file: str, stage: str):
    care: StageCare = care_of(file, stage)
    assert isinstance(care.group, Group)
    grown = stage == "adult"
    assert care.alone_reasons or not grown
    assert care.group_most == 1 or not care.alone_reasons
    if care.company:
        assert care.company.source


def test_animals_described_by_hand_keep_working_without_the_new_facts():
    plain = Companion(key="h1", kind="bearded dragon", heads=2, group_most=8)
    assert company_problems([plain]) == ()
    assert sight_problems([[plain], [plain]]) == ()


# ---------------------------------------------------------------- cages


def test_a_cages_floor_is_that_of_its_inches():
    # 18 × 18 in = 324 in² = 2090.3 cm²; 24 in = 609.6 mm. Computed apart from the code, an inch is 25.4 mm.
    cage = next(cage for cage in CAGES if cage.name == "18 × 18 × 24")
    assert cage.floor_cm2 == pytest.approx(2090.3184)
    assert cage.height_mm == pytest.approx(609.6)


@pytest.mark.parametrize(
    ("file", "screen", "name"),
    [
        ("crested-gecko.toml", False, "18 × 18 × 24"),  # general texts: 45 × 45 × 60 cm
        (CHAMELEON, True, "24 × 24 × 36"),  # a veterinary practice's sheet: 61 × 61 × 91 cm
        (DRAGON, False, "48 × 24 × 24"),  # by practice's 624 in²; print's 120 × 60 cm fits it too
        ("green-iguana.toml", False, "72 × 36 × 72"),  # a practice sheet: 1.8 × 0.9 × 1.8 m
        ("tegu.toml", False, "96 × 48 × 48"),  # general texts: 2.4 × 1.2 × 1.2 m
    ],
)
def test_the_smallest_cage_is_the_one_that_the_sheets_numbers_mean(file: str, screen: bool, name: str):
    found = cages_for(care=care_of(file, "adult"), screen=screen)
    floors = {cage.name for cage in found}
    assert name in floors
    needed = care_of(file, "adult")
    assert all(cage.floor_cm2 >= 0.98 * (needed.floor_cm2 or 0) for cage in found)
    if file != DRAGON:
        assert found[0].name == name


def test_no_nominal_cage_is_named_where_none_is_large_enough():
    vets = care_of("green-iguana.toml", "adult", floor="vets in the press")
    assert cages_for(care=vets, screen=True) == ()
    assert [cage.name for cage in cages_for(care=vets)] == []  # 2.5 × 1.5 × 2 m is built, not bought
