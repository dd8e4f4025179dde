"""21 CFR 1240.62 by region: 101.6 mm leaves, under it not, eggs never; elsewhere local rules."""

import math

import pytest

from roomops.husbandry.care import Group
from roomops.husbandry.leaving import LeaveException, MayLeave, WhyNot, may_leave
from roomops.husbandry.quantity_text import parse_length
from roomops.husbandry.units import System
from tests.husbandry.sheets import FILES, care_of, sheet_of

CHELONIANS = ("hermanns-tortoise.toml", "red-footed-tortoise.toml", "slider-turtle.toml")


@pytest.mark.parametrize("file", CHELONIANS)
@pytest.mark.parametrize(
    ("carapace", "verdict"),
    [(101.5, MayLeave.NO), (101.6, MayLeave.YES), (101.7, MayLeave.YES), (30, MayLeave.NO)],
)
def test_a_chelonian_under_four_inches_cannot_leave_in_the_united_states(
    file: str, carapace: float, verdict: MayLeave
):
    care = care_of(file, "hatchling")
    found = may_leave(kind=care.kind, group=care.group, carapace_mm=carapace, region="US-WI")
    assert found.verdict is verdict
    assert found.least_mm == pytest.approx(101.6)
    assert found.source == "21 CFR 1240.62"
    assert found.ask_local
    assert (found.why is WhyNot.SHELL_TOO_SHORT) is (verdict is MayLeave.NO)


@pytest.mark.parametrize(
    ("text", "verdict"), [("3.99 in", MayLeave.NO), ("4 in", MayLeave.YES), ("4.01 in", MayLeave.YES)]
)
def test_a_shell_entered_as_four_inches_is_four_inches(text: str, verdict: MayLeave):
    shell = parse_length(text=text, system=System.US)
    assert may_leave(kind="slider turtle", carapace_mm=shell, region="US").verdict is verdict


def test_the_sheets_say_the_same_length_as_the_rule():
    for file in CHELONIANS:
        cited = care_of(file, "adult").cite("shell length for sale")
        assert cited is not None
        assert (cited.claim.low, cited.claim.unit) == (4, "in")


@pytest.mark.parametrize("file", CHELONIANS)
def test_viable_eggs_never_leave_whatever_is_measured(file: str):
    care = care_of(file, "adult")
    for carapace in (None, 250.0):
        found = may_leave(kind=care.kind, group=care.group, carapace_mm=carapace, region="us", eggs=True)
        assert (found.verdict, found.why) == (MayLeave.NO, WhyNot.EGGS)


def test_a_shell_that_was_not_measured_is_measured_first():
    found = may_leave(kind="slider turtle", group=Group.CHELONIAN, carapace_mm=None, region="US")
    assert (found.verdict, found.why) == (MayLeave.MEASURE, WhyNot.NOT_MEASURED)


@pytest.mark.parametrize("exception", list(LeaveException))
def test_an_exception_is_named_and_never_a_plain_yes(exception: LeaveException):
    found = may_leave(
        kind="slider turtle", group=Group.CHELONIAN, carapace_mm=60, region="US", exception=exception
    )
    assert (found.verdict, found.exception) == (MayLeave.EXCEPTION, exception)
    long_enough = may_leave(
        kind="slider turtle", group=Group.CHELONIAN, carapace_mm=160, region="US", exception=exception
    )
    assert (long_enough.verdict, long_enough.exception) == (MayLeave.YES, None)


@pytest.mark.parametrize("region", ["DE", "GB", "ca-on", "AU-NSW"])
@pytest.mark.parametrize("carapace", [60.0, 160.0, None])
def test_in_other_regions_local_rules_are_asked(region: str, carapace: float | None):
    found = may_leave(kind="slider turtle", group=Group.CHELONIAN, carapace_mm=carapace, region=region)
    assert (found.verdict, found.why) == (MayLeave.ASK, WhyNot.OTHER_REGION)


@pytest.mark.parametrize("file", [file for file in FILES if file not in CHELONIANS])
def test_the_rule_bars_no_lizard_and_no_snake_but_local_rules_are_asked_besides(file: str):
    sheet = sheet_of(file)
    found = may_leave(kind=sheet.kind, group=sheet.group, carapace_mm=None, region="US")
    assert (found.verdict, found.why) == (MayLeave.YES, None)
    assert found.ask_local


def test_without_a_group_what_is_called_a_turtle_is_one_and_of_others_nothing_is_known():
    # 21 CFR 1240.62 (a): all animals commonly known as turtles, tortoises, terrapins.
    for kind in ("painted turtle", "Hermann's Tortoise", "diamondback terrapin"):
        assert may_leave(kind=kind, carapace_mm=60, region="US").verdict is MayLeave.NO
    unknown = may_leave(kind="map slider", carapace_mm=60, region="US")
    assert (unknown.verdict, unknown.why) == (MayLeave.ASK, WhyNot.UNKNOWN_GROUP)


def test_every_kind_that_is_called_one_is_a_chelonian_on_its_sheet():
    called = {
        f for f in FILES if any(w in sheet_of(f).kind.lower() for w in ("turtle", "tortoise", "terrapin"))
    }
    assert called == set(CHELONIANS) == {f for f in FILES if sheet_of(f).group is Group.CHELONIAN}


@pytest.mark.parametrize("carapace", [0.0, -4.0, math.nan, math.inf])
def test_a_shell_that_cannot_be_is_measured_again(carapace: float):
    with pytest.raises(ValueError, match="measure it again"):
        may_leave(kind="slider turtle", carapace_mm=carapace, region="US")


def test_an_empty_region_is_asked_for():
    with pytest.raises(ValueError, match="write the country's two letters"):
        may_leave(kind="slider turtle", carapace_mm=120, region=" ")
