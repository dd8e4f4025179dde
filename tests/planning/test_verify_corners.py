"""Corners in which planner and verifier must agree: each was once a change that no test saw."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from roomops.husbandry.care import Dish, Place
from roomops.planning import first_fit, verify
from roomops.planning.plan import Plan, Why
from roomops.planning.room import Done, DutyKind, Reading, Room, Shift, Status, Timer
from tests.makers_planning import (
    DAY,
    GECKO,
    GREENS,
    HATCHLING,
    care,
    feeding,
    food,
    greens,
    hatchling,
    meal,
    resident,
    room,
    tank,
    tray,
)
from tests.planning.planted import D, clean, feed, moved, round_of, with_portion


def rules(facts: Room, plan: Plan) -> set[str]:
    return {each.rule for each in verify.breaches(room=facts, plan=plan)}


def planned(facts: Room) -> Plan:
    plan = first_fit.plan_day(room=facts)
    assert rules(facts, plan) == set()
    return plan


def reason(plan: Plan, duty: str) -> Why | None:
    return next((s.why for s in plan.unplaced if s.duty == duty), None)


def called(plan: Plan, duty: str, why: Why) -> Plan:
    """Return the plan with another reason for a duty that has no place."""
    return replace(plan, unplaced=tuple(replace(s, why=why) if s.duty == duty else s for s in plan.unplaced))


def test_a_step_may_take_no_time_where_the_room_says_so() -> None:
    base = room()
    quick = replace(base.settings, prepare_min=0, hands_wash_min=0, wash_min=0, back_min=0.0)
    first = round_of(planned(replace(base, settings=quick)), feed("h1", 1))
    assert [s.end - s.start for s in first.steps] == [0, 4, 15, 0, 0]


def test_each_of_two_shifts_has_its_own_share() -> None:
    halves = (
        Shift(person="p1", start=480, end=640, share=0.3),
        Shift(person="p1", start=800, end=1080, share=0.5),
    )
    plan = planned(room(shifts=halves))
    early = sum(r.end - r.start for r in plan.rounds if r.end <= 640)
    late = sum(r.end - r.start for r in plan.rounds if r.start >= 800)
    assert 0 < early <= 48
    assert 0 < late <= 140
    swapped = replace(room(shifts=(replace(halves[0], share=0.1), replace(halves[1], share=1.0))))
    assert "share of the shift" in rules(swapped, plan)


def test_a_clean_night_feed_may_follow_quarantines_day_feed() -> None:
    (tray_q, tubs_q), base = tray("q", 2, quarantine=True), room()
    facts = room(
        tanks=(tank("t1", quarantine=True), tank("t2", 2)),
        residents=(
            hatchling("k1", "t1", status=Status.QUARANTINE),
            resident(GECKO, "g1", "t2", last_fed_on=DAY - timedelta(days=2)),
        ),
        trays=(*base.trays, tray_q),
        tubs=base.tubs + tubs_q,
        shifts=(Shift(person="p1", start=480, end=1320, share=0.85),),
    )
    plan = planned(facts)
    assert round_of(plan, feed("k1", 1)).end < round_of(plan, feed("g1", 1)).start


@pytest.mark.parametrize(("by", "seen"), [(-1, True), (0, False), (1, False)])
def test_heads_are_counted_when_the_last_animal_is_back(by: int, seen: bool) -> None:
    facts, plan = clean()
    facts = replace(
        facts,
        timers=(replace(facts.timers[0], off=1300),),
        shifts=tuple(replace(s, start=450, end=1230) for s in facts.shifts),
    )
    plan = first_fit.plan_day(room=facts)
    fed = moved(plan, round_of(plan, feed("h1", 3)), 1115, person="p2")
    back = round_of(fed, feed("h1", 3)).steps[3].end
    tried = moved(fed, round_of(fed, f"{D}/closing/t1/0"), back + by, person="p1")
    assert ("counted after feeding" in rules(facts, tried)) is seen


def test_an_animal_that_the_larger_of_two_tubs_fits_has_a_tub() -> None:
    tray_a, tubs = tray("a", 2)
    sizes = (replace(tubs[0], fits_mm=100.0), tubs[1])
    facts = room(trays=(tray_a,), tubs=sizes, residents=(hatchling("h1", length_mm=150.0),), shifts=())
    plan = first_fit.plan_day(room=facts)
    assert rules(facts, plan) == set()
    assert rules(facts, called(plan, feed("h1", 1), Why.NO_TUB_FITS)) == {"reason without grounds"}


def test_tubs_that_just_fit_are_tubs() -> None:
    facts = room(residents=(hatchling("lot", heads=8, lot="l", length_mm=160.0),), shifts=())
    plan = first_fit.plan_day(room=facts)
    assert rules(facts, called(plan, feed("lot", 1), Why.NO_TUBS)) == {"reason without grounds"}


def test_of_numbers_of_feeds_that_are_all_larger_the_smallest_holds() -> None:
    sheet = care(feeding=feeding(meals=(meal(1), meal(2)), gap_min=((3, 180), (4, 120))))
    plan = planned(room(residents=(hatchling("h1"),), care=(sheet,)))
    bites = [round_of(plan, feed("h1", n)).steps[2].start for n in (1, 2)]
    assert bites[1] - bites[0] == 180


@pytest.mark.parametrize(
    ("dish", "chopped"), [((1, ()), True), ((1, (2,)), True), ((1, (3,)), False), ((9, ()), False)]
)
def test_a_dish_is_chopped_for_on_its_days_and_with_its_feed(dish: tuple, chopped: bool) -> None:
    """The day is a Tuesday."""
    beside = Dish(slot=dish[0], category="greens", kinds=("greens",), weekdays=dish[1])
    plan = planned(room(care=(care(feeding=feeding(dishes=(beside,))),)))
    assert (f"{D}/cups/juniper-street/0" in {d.key for d in plan.duties}) is chopped


def test_a_tank_whose_only_animal_is_at_the_vet_is_not_walked() -> None:
    facts = room(
        tanks=(tank("t1"), tank("t2", 2)),
        residents=(hatchling("h1"), hatchling("v1", "t2", status=Status.AT_VET)),
    )
    assert {d.tank for d in planned(facts).duties} == {"t1", ""}


def test_only_second_readings_of_the_same_tank_count_as_such() -> None:
    cold = Reading(tank="t1", spot="basking", value_c=36.0, minute=500, on=DAY)
    done = tuple(
        Done(duty=f"{D}/{name}/0", person="p1", minute=505, outcome="done")
        for name in ("opening/t1", "reading/t1", "clean/t1")
    )
    keys = {d.key for d in planned(room(readings=(cold,), done=done, now_min=510)).duties}
    assert f"{D}/reading/t1/1" in keys
    assert f"{D}/reading/t1/2" not in keys


def test_greens_are_chopped_in_time_for_the_last_dish() -> None:
    sheets = (care(feeding=feeding(place=Place.TANK, meals=(greens(1),))),)
    facts = room(
        tanks=(tank("t1"), tank("t2", 2, timer="late")),
        residents=(hatchling("h1"), hatchling("h2", "t2")),
        timers=(*room().timers, Timer(key="late", on=480, off=1260)),
        care=sheets,
    )
    plan = planned(facts)
    assert next(d.closes for d in plan.duties if d.kind is DutyKind.CUPS) == 1140


def test_night_feeds_may_open_some_time_after_lights_out() -> None:
    later = replace(GECKO, feeding=replace(GECKO.feeding, opens_after_off_min=30, closes_after_off_min=60))
    gecko = resident(GECKO, "g1", "t1", last_fed_on=DAY - timedelta(days=2))
    shift = Shift(person="p1", start=900, end=1320, share=0.85)
    plan = planned(room(residents=(gecko,), care=(later,), shifts=(shift,)))
    fed = next(d for d in plan.duties if d.kind is DutyKind.FEED)
    assert (fed.opens, fed.closes) == (1230, 1260)


def test_a_batch_of_greens_that_is_used_up_is_none() -> None:
    sheet = care(feeding=feeding(place=Place.TANK, meals=(greens(1),)))
    facts = room(residents=(hatchling("h1"),), care=(sheet,), foods=(replace(GREENS, on_hand=0.0),))
    assert reason(planned(facts), feed("h1", 1)) is Why.NO_FOOD


def test_what_is_weighed_is_named_in_grams_and_has_no_limit() -> None:
    weighed = meal(
        1,
        category="pellets",
        kinds=("turtle pellets",),
        count=0,
        sized=False,
        grams=(("turtle pellets", 1.5),),
    )
    sheet = care(feeding=feeding(place=Place.TANK, meals=(weighed,)))
    pellets = food("p", "turtle pellets", category="pellets", size_mm=None)
    facts = room(residents=(hatchling("h1", length_mm=None),), care=(sheet,), foods=(pellets,))
    plan = planned(facts)
    portion = next(d.portion for d in plan.duties if d.key == feed("h1", 1))
    assert portion is not None
    assert (portion.grams, portion.count, portion.most_mm) == (1.5, 0, None)
    assert rules(facts, with_portion(plan, feed("h1", 1), grams=2.0)) == {"portion as it is"}


def test_a_batch_that_holds_just_enough_is_there() -> None:
    """Four heads of eight crickets, thirty-two on hand."""
    sheet = care(feeding=feeding(meals=(meal(1),)))
    facts = room(
        residents=(hatchling("lot", heads=4, lot="l"),),
        care=(sheet,),
        foods=(food("c", on_hand=32.0),),
        shifts=(),
    )
    plan = first_fit.plan_day(room=facts)
    none = replace(
        plan,
        duties=tuple(
            replace(d, portion=replace(d.portion, food="")) if d.portion else d for d in plan.duties
        ),
    )
    assert rules(facts, called(none, feed("lot", 1), Why.NO_FOOD)) == {"food was there"}
    assert HATCHLING.feeding.place is Place.TUB
