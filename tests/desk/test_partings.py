"""On hold, isolated, at the vet, gone home, died: at any minute, with history, and back again."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from roomops.desk import leaving, partings
from roomops.desk.editing import token
from roomops.desk.herd import Hand
from roomops.desk.partings import Who
from roomops.desk.refusals import No, Refused
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor

pytestmark = pytest.mark.django_db
BAR = Who(key="h1-bar", seen="")


@pytest.fixture
def morning() -> mk.Morning:
    return mk.an_ordinary_morning()


def hand(morning: mk.Morning, clock: str = "09:00") -> Hand:
    return Hand(room=morning.room, by=morning.tamsin, now=mk.at(clock), day=mk.DAY)


def why(use: object, **about: object) -> No:
    with pytest.raises(Refused) as no:
        use(**about)
    return no.value.why


# ---------------------------------------------------------------- on hold, isolated


@pytest.mark.parametrize(
    ("days", "refused"),
    [(-1, No.OUT_OF_RANGE), (0, None), (1, None), (179, None), (180, None), (181, No.OUT_OF_RANGE)],
)
def test_a_hold_ends_on_a_day_from_today_to_half_a_year_on(
    morning: mk.Morning, days: int, refused: No | None
) -> None:
    about = {"hand": hand(morning), "who": BAR, "note": "the Ortegas", "until": mk.DAY + timedelta(days=days)}
    if refused:
        assert why(partings.put_on_hold, **about) is refused
        return
    row = partings.put_on_hold(**about)
    assert (row.status, row.status_note, row.status_until) == ("on hold", "the Ortegas", about["until"])


def test_the_end_of_a_hold_brings_back_how_it_stood(morning: mk.Morning) -> None:
    m.Resident.objects.filter(key="h1-bar").update(status="store animal")
    m.Spell.objects.filter(resident__key="h1-bar").update(status="store animal")
    partings.put_on_hold(hand=hand(morning), who=BAR, note="x", until=mk.DAY)
    row = partings.end_hold(hand=hand(morning, "10:00"), who=BAR)
    assert (row.status, row.status_until) == ("store animal", None)
    assert why(partings.end_hold, hand=hand(morning), who=BAR) is No.NOTHING_TO_UNDO


def test_a_hold_says_for_whom_and_holds_once(morning: mk.Morning) -> None:
    about = {"hand": hand(morning), "who": BAR, "until": mk.DAY}
    assert why(partings.put_on_hold, **about, note="") is No.MISSING
    partings.put_on_hold(**about, note="x")
    assert why(partings.put_on_hold, **about, note="y") is No.ALREADY_SO


def test_the_isolated_is_alone_in_its_tank(morning: mk.Morning) -> None:
    about = {"hand": hand(morning), "who": BAR, "note": "limping"}
    assert why(partings.isolate, **about, to="h1") is No.ISOLATED_APART
    assert why(partings.isolate, **about, to="h2") is No.ISOLATED_APART
    mk.a_tank(morning.room, "H6")
    row = partings.isolate(**about, to="h6")
    assert (row.status, row.status_note, row.tank.key) == ("isolated", "limping", "h6")
    well = partings.well_again(hand=hand(morning, "10:00"), who=BAR)
    assert (well.status, well.tank.key) == ("here", "h6")


def test_one_that_lives_alone_is_isolated_where_it_is(morning: mk.Morning) -> None:
    row = partings.isolate(hand=hand(morning), who=Who(key="marlow", seen=""), note="", to="marlow")
    assert (row.status, row.tank.key) == ("isolated", "marlow")


# ---------------------------------------------------------------- the vet


def test_back_from_the_vet_it_stands_as_before_it_went(morning: mk.Morning) -> None:
    partings.put_on_hold(hand=hand(morning, "08:00"), who=BAR, note="x", until=mk.DAY)
    away = partings.to_vet(hand=hand(morning), who=BAR, note="limping")
    assert (away.status, away.stays.get().until) == ("at vet", None)
    assert why(partings.to_vet, hand=hand(morning), who=BAR, note="") is No.ALREADY_SO
    back = partings.back_from_vet(hand=hand(morning, "15:00"), who=BAR, note="sprain")
    assert (back.status, back.tank.key) == ("on hold", "h1")
    assert why(partings.back_from_vet, hand=hand(morning), who=BAR) is No.NOTHING_TO_UNDO


# ---------------------------------------------------------------- gone home


def test_a_sale_at_two_takes_it_out_of_the_next_feed_at_once() -> None:
    floor = Floor()
    third = floor.round_of("h1-bar", 3)
    due = floor.open("13:59").view(third).due
    partings.gone_home(hand=hand(floor.m, "14:00"), who=BAR, note="")
    after = floor.open("14:00").view(third)
    assert (after.due, [seat.duty for seat in after.dropped]) == (due - 1, [floor.feed("h1-bar", 3)])


def test_some_of_a_lot_go_home_and_the_rest_stay(morning: mk.Morning) -> None:
    part = partings.gone_home(hand=hand(morning), who=Who(key="h5-unmarked", seen="", heads=2))
    assert (part.heads, part.status) == (2, "gone home")
    assert m.Resident.objects.get(key="h5-unmarked").heads == 3


def test_two_sell_one_animal_and_the_second_is_told(morning: mk.Morning) -> None:
    seen = token(m.Resident.objects.get(key="h1-bar"))
    partings.gone_home(hand=hand(morning), who=Who(key="h1-bar", seen=seen))
    assert why(partings.gone_home, hand=hand(morning), who=Who(key="h1-bar", seen=seen)) is No.CHANGED
    assert why(partings.gone_home, hand=hand(morning), who=BAR) is No.LEFT_ALREADY
    assert m.Spell.objects.filter(resident__key="h1-bar", status="gone home").count() == 1


@pytest.mark.parametrize(
    ("shell_mm", "refused"),
    [(101.5, No.TOO_SMALL_TO_LEAVE), (101.6, None), (101.7, None), (None, No.NOT_MEASURED_TO_LEAVE)],
)
def test_a_tortoise_leaves_from_four_inches_of_shell_on(
    morning: mk.Morning, shell_mm: float | None, refused: No | None
) -> None:
    """21 CFR 1240.62(b): carapace under 4 inches."""
    clover = morning.residents["clover"]
    if shell_mm is not None:
        mk.a_measurement(clover, "length_mm", shell_mm)
    about = {"hand": hand(morning), "who": Who(key="clover", seen="")}
    if refused:
        assert why(partings.gone_home, **about) is refused
        assert m.Resident.objects.get(key="clover").status == "store animal"
    else:
        assert partings.gone_home(**about).status == "gone home"


def test_the_rule_of_four_inches_is_the_united_states_alone(morning: mk.Morning) -> None:
    mk.a_measurement(morning.residents["clover"], "length_mm", 90)
    m.Room.objects.update(timezone="Europe/Berlin")
    assert partings.gone_home(hand=hand(morning), who=Who(key="clover", seen="")).status == "gone home"


def test_the_zones_of_the_united_states_are_those_of_the_tz_database() -> None:
    table = Path("/usr/share/zoneinfo/zone.tab")
    if not table.exists():
        pytest.skip("this machine has no zone.tab")
    lines = [line.split("\t") for line in table.read_text().splitlines() if not line.startswith("#")]
    assert {zone for country, _, zone, *_ in lines if country == "US"} == leaving.US_ZONES
    assert all(ZoneInfo(zone) for zone in leaving.US_ZONES)


# ---------------------------------------------------------------- died


def test_a_death_leaves_three_lines_that_stand_until_each_is_settled(morning: mk.Morning) -> None:
    partings.died(hand=hand(morning), who=Who(key="h5-unmarked", seen="", heads=1), note="found at 8")
    notes = list(
        m.Note.objects.filter(wrong=True, settled_at=None).order_by("pk").values_list("text", flat=True)
    )
    assert [text.split(". ")[1].split(":")[0] for text in notes] == [
        "The body", "Watch those who lived with it for 14 days", "Tell the supplier",
    ]  # fmt: skip
    assert "Prairie Fork Dragons, May lot" in notes[2]
    assert m.Resident.objects.get(key="h5-unmarked").heads == 4


def test_the_tank_of_one_that_died_alone_is_disinfected(morning: mk.Morning) -> None:
    partings.died(hand=hand(morning), who=Who(key="marlow", seen=""))
    notes = list(m.Note.objects.filter(resident__key="marlow").order_by("pk").values_list("text", flat=True))
    assert len(notes) == 2
    assert "disinfect it before another animal moves in" in notes[1]


def test_a_note_is_kept_and_nothing_is_wrong(morning: mk.Morning) -> None:
    made = partings.note(hand=hand(morning), who=BAR, text="Eats from the near corner.")
    assert (made.resident.key, made.wrong) == ("h1-bar", False)
    assert why(partings.note, hand=hand(morning), who=BAR, text="") is No.MISSING
