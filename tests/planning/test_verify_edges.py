"""The verifier at the edges of its rules: before, at and after each limit, and the numbers that it tells."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from roomops.husbandry.care import Place
from roomops.planning import first_fit, verify
from roomops.planning.plan import Plan, Shortfall, StepKind, Why
from roomops.planning.room import Done, DutyKind, Reading, Room, Span, Timer
from tests.makers_planning import (
    DAY,
    GREENS,
    HATCHLING,
    care,
    feeding,
    food,
    greens,
    hatchling,
    meal,
    people,
    room,
    tank,
    tray,
)
from tests.planning.planted import (
    D,
    changed,
    clean,
    feed,
    moved,
    of_kind,
    round_of,
    stretched,
    with_duty,
    with_portion,
)


def rules(facts: Room, plan: Plan) -> set[str]:
    return {each.rule for each in verify.breaches(room=facts, plan=plan)}


def told(facts: Room, plan: Plan, rule: str) -> dict[str, float]:
    return next(dict(b.numbers) for b in verify.breaches(room=facts, plan=plan) if b.rule == rule)


def planned(facts: Room) -> Plan:
    plan = first_fit.plan_day(room=facts)
    assert rules(facts, plan) == set()
    return plan


def refused(plan: Plan, duty: str, why: Why) -> Plan:
    """Return the plan with another reason for a duty that has no place."""
    found = tuple(replace(s, why=why) if s.duty == duty else s for s in plan.unplaced)
    assert found != plan.unplaced
    return replace(plan, unplaced=found)


# ---------------------------------------------------------------- steps


def test_the_longest_watching_in_a_round_holds_for_all_in_it() -> None:
    short = care(kind="skink", feeding=feeding(watch_min=10))
    facts = room(residents=(hatchling("h1"), hatchling("s1", kind="skink")), care=(HATCHLING, short))
    plan = planned(facts)
    old = round_of(plan, feed("h1", 3))
    assert len(old.duties) == 2
    hurried = changed(plan, old, **stretched(old, StepKind.FEED, -1))
    assert told(facts, hurried, "step takes time") == {"step": 2, "minutes": 14, "least": 15}


def test_prey_in_a_tank_is_watched_after_all_of_it_is_in() -> None:
    sheet = care(feeding=feeding(place=Place.TANK, meals=(meal(1),), watch_min=10))
    facts = room(care=(sheet,))
    plan = planned(facts)
    old = round_of(plan, feed("h1", 1))
    assert "step takes time" in rules(facts, changed(plan, old, **stretched(old, StepKind.WORK, -1)))


def test_prey_in_a_tub_is_watched_whatever_a_sheet_says_of_its_meal() -> None:
    facts = room(care=(care(feeding=feeding(meals=(meal(1, watched=False),))),))
    old = round_of(planned(facts), feed("h1", 1))
    assert old.steps[2].end - old.steps[2].start == 15


def test_washing_after_quarantine_has_time_for_the_tubs_and_for_changing() -> None:
    facts, plan = clean()
    old = round_of(plan, feed("k1", 3))
    hurried = changed(plan, old, **stretched(old, StepKind.WASH, -1))
    assert told(facts, hurried, "step takes time") == {"step": 4, "minutes": 6, "least": 7}


@pytest.mark.parametrize("gone", range(5))
def test_no_step_of_a_round_in_tubs_may_be_missing(gone: int) -> None:
    facts, plan = clean()
    old = round_of(plan, feed("h1", 3))
    lacking = changed(plan, old, steps=(*old.steps[:gone], *old.steps[gone + 1 :]))
    assert "steps in order" in rules(facts, lacking)


# ---------------------------------------------------------------- heads, tubs, heat


def test_no_more_animals_eat_live_prey_in_their_tanks_than_one_person_can_watch() -> None:
    sheet = care(feeding=feeding(place=Place.TANK, meals=(meal(1),), watch_min=10))
    facts = room(residents=tuple(hatchling(f"h{n}") for n in range(1, 9)), care=(sheet,))
    plan = planned(facts)
    assert len(round_of(plan, feed("h1", 1)).duties) == 8
    fewer = replace(facts, settings=replace(facts.settings, watch_most=7))
    assert told(fewer, plan, "watched at once") == {"heads": 8, "most": 7}
    dishes = care(feeding=feeding(place=Place.TANK, meals=(greens(1),), watch_min=10))
    unwatched = replace(fewer, care=(dishes,), foods=(GREENS,))
    assert len(round_of(planned(unwatched), feed("h1", 1)).duties) == 8


def test_one_lot_that_eats_in_its_tank_is_watched_as_one() -> None:
    sheet = care(feeding=feeding(place=Place.TANK, meals=(meal(1),), watch_min=10))
    facts = room(residents=(hatchling("lot", heads=12, lot="l"),), care=(sheet,))
    assert round_of(planned(facts), feed("lot", 1))


@pytest.mark.parametrize(("by", "dirty"), [(-1, True), (0, False), (1, False)])
def test_a_tub_serves_again_when_it_is_washed_and_dry(by: int, dirty: bool) -> None:
    tanks = (tank("t1"), tank("t2", 2))
    living = (*(hatchling(f"h{n}") for n in range(6)), *(hatchling(f"i{n}", "t2") for n in range(6)))
    facts = room(tanks=tanks, residents=living, care=(care(feeding=feeding(meals=(meal(1),))),), **people(2))
    plan = planned(facts)
    first, second = sorted((r for r in plan.rounds if r.seats), key=lambda r: r.start)
    washed = first.steps[4].start + 12
    tried = moved(plan, second, washed + by - (second.steps[1].start - second.start), person="p2")
    tried = moved(tried, round_of(tried, first.duties[0]), first.start, person="p1")
    assert ("tub washed first" in rules(facts, tried)) is dirty


@pytest.mark.parametrize(("most", "seen"), [(19, True), (20, False), (21, False)])
def test_the_last_animal_out_counts_where_putting_back_takes_longer(most: int, seen: bool) -> None:
    """Half a minute out each, fifteen eating, two minutes each to put back: the last 0.5 + 15 + 4."""
    facts = room(residents=(hatchling("h1"), hatchling("h2")))
    facts = replace(facts, settings=replace(facts.settings, to_tub_min=0.5, back_min=2.0))
    plan = planned(facts)
    stricter = replace(facts, settings=replace(facts.settings, most_out_min=most))
    assert ("out of heat" in rules(stricter, plan)) is seen
    if seen:
        assert told(stricter, plan, "out of heat") == {"minutes": 19.5, "most": most}


def test_an_animal_of_unknown_length_takes_the_largest_tub_of_its_own_sort() -> None:
    (tray_a, tubs_a), (tray_q, tubs_q) = tray("a", 2), tray("q", 1, fits_mm=300.0, quarantine=True)
    facts = room(
        trays=(tray_a, tray_q),
        tubs=(tubs_a[0], replace(tubs_a[1], fits_mm=200.0), *tubs_q),
        residents=(hatchling("h1", length_mm=None, gap_mm=8.0),),
    )
    plan = planned(facts)
    old = round_of(plan, feed("h1", 1))
    assert old.seats[0].tub == "a2"
    small = changed(plan, old, seats=(replace(old.seats[0], tub="a1"),))
    assert told(facts, small, "tub too small") == {"length_mm": 200, "fits_mm": 160}


# ---------------------------------------------------------------- people


@pytest.mark.parametrize(("minutes", "over"), [(-1, True), (0, False), (1, False)])
def test_work_up_to_the_share_of_a_shift_may_be_planned(minutes: int, over: bool) -> None:
    facts, plan = clean()
    shift = facts.shifts[0]
    work = sum(r.end - r.start for r in plan.rounds if r.person == "p1")
    share = (work + minutes) / (shift.end - shift.start)
    tight = replace(facts, shifts=(replace(shift, share=share), facts.shifts[1]))
    assert ("share of the shift" in rules(tight, plan)) is over


@pytest.mark.parametrize(("start", "seen"), [(-1, True), (0, False), (1, False)])
def test_a_peak_that_begins_when_a_round_ends_is_kept_free(start: int, seen: bool) -> None:
    facts, plan = clean()
    plan = moved(plan, round_of(plan, f"{D}/clean/t1/0"), 1000)
    tidy = round_of(plan, f"{D}/clean/t1/0")
    after = Span(start=tidy.end + start, end=tidy.end + 20)
    assert ("in a shop peak" in rules(replace(facts, peaks=(*facts.peaks, after)), plan)) is seen
    before = Span(start=tidy.start - 20, end=tidy.start - start)
    assert ("in a shop peak" in rules(replace(facts, peaks=(*facts.peaks, before)), plan)) is seen


# ---------------------------------------------------------------- reasons


@pytest.mark.parametrize(("length_mm", "true"), [(159.0, False), (160.0, False), (161.0, True)])
def test_no_tub_fits_is_true_of_animals_longer_than_the_largest(length_mm: float, true: bool) -> None:
    facts = room(residents=(hatchling("h1", length_mm=length_mm),), shifts=())
    plan = refused(replace(first_fit.plan_day(room=facts)), feed("h1", 1), Why.NO_TIME)
    said = refused(plan, feed("h1", 1), Why.NO_TUB_FITS)
    assert ("reason without grounds" not in rules(facts, said)) is true


@pytest.mark.parametrize(("tubs", "true"), [(3, True), (4, False), (5, False)])
def test_no_tubs_is_true_where_a_tray_holds_fewer_than_the_heads(tubs: int, true: bool) -> None:
    """Tubs of another tray do not count, nor those that are too small, nor quarantine's."""
    (tray_a, tubs_a), (tray_b, tubs_b), (tray_q, tubs_q) = (
        tray("a", tubs),
        tray("b", 3),
        tray("q", 9, quarantine=True),
    )
    small = replace(tubs_a[0], key="a9", number=9, fits_mm=100.0)
    facts = room(
        trays=(tray_a, tray_b, tray_q),
        tubs=(*tubs_a, small, *tubs_b, *tubs_q),
        residents=(hatchling("lot", heads=4, lot="l"),),
        shifts=(),
    )
    plan = first_fit.plan_day(room=facts)
    assert rules(facts, plan) == set()
    assert ({s.duty: s.why for s in plan.unplaced}[feed("lot", 1)] is Why.NO_TUBS) is true
    said = replace(
        plan,
        unplaced=tuple(replace(s, why=Why.NO_TUBS) if s.duty == feed("lot", 1) else s for s in plan.unplaced),
    )
    assert ("reason without grounds" not in rules(facts, said)) is true


def test_no_tubs_is_true_of_a_lot_that_one_person_cannot_watch() -> None:
    tray_a, tubs = tray("a", 12)
    facts = room(trays=(tray_a,), tubs=tubs, residents=(hatchling("lot", heads=9, lot="l"),))
    plan = planned(facts)
    assert {s.duty: s.why for s in plan.unplaced}[feed("lot", 1)] is Why.NO_TUBS


# ---------------------------------------------------------------- feeds and shelf


def test_a_gap_is_told_with_its_minutes() -> None:
    facts = room(residents=(hatchling("h1"),), care=(care(feeding=feeding(meals=(meal(1), meal(2)))),))
    plan = planned(facts)
    first, second = round_of(plan, feed("h1", 1)), round_of(plan, feed("h1", 2))
    early = first.steps[2].start + 200 - (second.steps[2].start - second.start)
    found = told(facts, moved(plan, second, early), "gap")
    assert found == {"minutes": 200, "least": 240}


def test_a_sheet_without_gaps_lets_feeds_follow_one_another() -> None:
    facts = room(residents=(hatchling("h1"),), care=(care(feeding=feeding(gap_min=())),))
    assert len([r for r in planned(facts).rounds if r.kind is DutyKind.FEED]) == 3


def test_a_number_of_feeds_below_all_that_a_sheet_names_takes_the_smallest_it_names() -> None:
    facts = room(
        residents=(hatchling("h1"),),
        care=(care(feeding=feeding(meals=(meal(1), meal(2)), gap_min=((3, 180),))),),
    )
    plan = planned(facts)
    apart = round_of(plan, feed("h1", 2)).steps[2].start - round_of(plan, feed("h1", 1)).steps[2].start
    assert apart == 180


def test_counts_differ_by_kind_where_the_sheet_says_so() -> None:
    sheet = care(feeding=feeding(meals=(meal(1, counts=(("cricket", 8), ("roach", 3))),)))
    facts = room(residents=(hatchling("h1"),), care=(sheet,), foods=(food("r", "roach"),))
    plan = planned(facts)
    portion = next(d.portion for d in plan.duties if d.key == feed("h1", 1))
    assert portion is not None
    assert portion.count == 3
    assert "count of the sheet" in rules(facts, with_portion(plan, feed("h1", 1), count=8))


@pytest.mark.parametrize(("on_hand", "enough"), [(31.0, False), (32.0, True), (33.0, True)])
def test_what_is_on_hand_to_the_last_one_may_be_offered(on_hand: float, enough: bool) -> None:
    """Four heads, eight crickets each."""
    sheet = care(feeding=feeding(meals=(meal(1),)))
    facts = room(
        residents=(hatchling("lot", heads=4, lot="l"),), care=(sheet,), foods=(food("c", on_hand=on_hand),)
    )
    plan = planned(facts)
    assert (feed("lot", 1) not in {s.duty for s in plan.unplaced}) is enough
    full = replace(facts, foods=(food("c", on_hand=32.0),))
    assert ("shelf empty" in rules(facts, planned(full))) is (not enough)


def test_what_a_feed_without_time_was_to_get_is_still_promised_to_it() -> None:
    """Twenty crickets, a lot of two and one more, eight each: none for the one, no time for the lot."""
    sheet = care(feeding=feeding(meals=(meal(1),)))
    living = (hatchling("a-lot", heads=2, lot="l"), hatchling("h2"))
    facts = room(residents=living, care=(sheet,), foods=(food("c", on_hand=20.0),), shifts=())
    plan = first_fit.plan_day(room=facts)
    assert {s.duty: s.why for s in plan.unplaced if "feed" in s.duty} == {
        feed("a-lot", 1): Why.NOBODY_ON_SHIFT,
        feed("h2", 1): Why.NO_FOOD,
    }
    assert rules(facts, plan) == set()


@pytest.mark.parametrize(("most", "seen"), [(16, True), (17, False), (18, False)])
def test_an_animal_may_be_out_of_heat_to_the_last_minute(most: int, seen: bool) -> None:
    """One minute out, fifteen eating, one back."""
    facts = room(residents=(hatchling("h1"),))
    facts = replace(facts, settings=replace(facts.settings, back_min=1.0))
    stricter = replace(facts, settings=replace(facts.settings, most_out_min=most))
    assert ("out of heat" in rules(stricter, planned(facts))) is seen
    assert (feed("h1", 1) in {s.duty for s in planned(stricter).unplaced}) is seen


def test_prey_too_large_is_told_with_both_sizes() -> None:
    facts, plan = clean()
    tried = with_portion(plan, feed("i1", 1), food="large", size_mm=9.7)
    assert told(facts, tried, "prey too large") == {"size_mm": 9.7, "most_mm": 8.0}


# ---------------------------------------------------------------- windows of walks


@pytest.mark.parametrize(
    ("on", "opens"), [(479, 480), (480, 480), (481, 481), (539, 539), (540, 540), (541, 480)]
)
def test_the_opening_walk_waits_for_lights_that_come_on_soon(on: int, opens: int) -> None:
    facts = room(timers=(Timer(key="day", on=on, off=1200),))
    plan = planned(facts)
    walk = next(d for d in plan.duties if d.kind is DutyKind.OPENING)
    assert (walk.opens, walk.closes) == (opens, opens + 120)


@pytest.mark.parametrize(
    ("off", "opens"), [(959, 960), (960, 960), (961, 961), (1019, 1019), (1020, 1020), (1021, 960)]
)
def test_the_closing_walk_waits_for_lights_that_go_out_in_time(off: int, opens: int) -> None:
    facts = room(timers=(Timer(key="day", on=420, off=off),))
    plan = planned(facts)
    walk = next(d for d in plan.duties if d.kind is DutyKind.CLOSING)
    assert (walk.opens, walk.closes) == (opens, 1080)


def test_a_tank_that_stays_cold_is_read_a_third_time() -> None:
    def read(minute: int) -> Reading:
        return Reading(tank="t1", spot="basking", value_c=36.0, minute=minute, on=DAY)

    again = Done(duty=f"{D}/reading/t1/1", person="p1", minute=560, outcome="done")
    facts = room(readings=(read(500), read(560)), done=(again,), now_min=561)
    third = next(d for d in planned(facts).duties if d.key == f"{D}/reading/t1/2")
    assert third.opens == 590


def test_the_last_reading_of_a_tank_counts_whatever_the_order_of_the_list() -> None:
    cold = Reading(tank="t1", spot="basking", value_c=36.0, minute=500, on=DAY)
    warm = Reading(tank="t1", spot="basking", value_c=39.0, minute=560, on=DAY)
    for readings in ((cold, warm), (warm, cold)):
        plan = planned(room(readings=readings))
        assert feed("h1", 1) in {k for r in plan.rounds for k in r.duties}
    facts = room(readings=(cold, replace(warm, spot="cool")))
    assert feed("h1", 1) in {s.duty for s in planned(facts).unplaced}


def test_the_warmest_wish_in_a_shared_tank_counts() -> None:
    """Two kinds in one tank: the one that wants it warmer decides whether it is warm enough."""
    cooler = care(kind="skink", basking_c=replace(HATCHLING.basking_c, low=30.0))
    for value_c, low in ((37.0, True), (38.0, False)):
        reading = Reading(tank="t1", spot="basking", value_c=value_c, minute=500, on=DAY)
        facts = room(
            residents=(hatchling("h1"), hatchling("s1", kind="skink")),
            care=(HATCHLING, cooler),
            readings=(reading,),
        )
        assert (f"{D}/reading/t1/1" in {d.key for d in planned(facts).duties}) is low


def test_another_window_in_the_plan_than_the_facts_give_is_seen() -> None:
    facts, plan = clean()
    for kind in DutyKind:
        for duty in [d for d in plan.duties if d.kind is kind][:1]:
            later = with_duty(plan, duty.key, opens=duty.opens + 1)
            assert rules(facts, later) == {"duty changed"}


def test_every_field_of_a_duty_is_held_against_the_facts() -> None:
    facts, plan = clean()
    wrong = {
        "kind": DutyKind.CLEAN,
        "subject": "h2",
        "slot": 2,
        "opens": 481,
        "closes": 1081,
        "minutes": 1.0,
        "tank": "t2",
        "heads": 2,
        "length_mm": 121.0,
        "quarantine": True,
        "in_tub": False,
    }
    for name, value in wrong.items():
        assert "duty changed" in rules(facts, with_duty(plan, feed("h1", 1), **{name: value}))


def test_a_plan_of_nothing_is_refused_duty_by_duty() -> None:
    facts, plan = clean()
    empty = replace(plan, duties=(), rounds=(), unplaced=())
    missing = [b.duty for b in verify.breaches(room=facts, plan=empty) if b.rule == "missing duty"]
    assert sorted(missing) == sorted(d.key for d in plan.duties)


def test_a_shortfall_for_everything_is_a_plan_with_a_score() -> None:
    facts, plan = clean()
    none = replace(
        plan,
        rounds=(),
        unplaced=tuple(Shortfall(duty=d.key, why=Why.NO_TIME) for d in plan.duties),
        scores=replace(
            plan.scores,
            must=sum(d.heads for d in plan.duties if d.need.value == "must"),
            should=sum(d.heads for d in plan.duties if d.need.value == "should"),
        ),
    )
    assert rules(facts, none) == set()
    assert of_kind(none, DutyKind.FEED) == []


def test_a_gap_is_kept_from_a_feed_that_was_given() -> None:
    facts = room(residents=(hatchling("h1"),))
    plan = planned(facts)
    second = round_of(plan, feed("h1", 2)).steps[2].start
    first = round_of(plan, feed("h1", 1))
    rest = replace(
        plan,
        rounds=tuple(
            replace(r, number=r.number - (r.number > first.number)) for r in plan.rounds if r is not first
        ),
    )
    for minute, outcome, seen in ((179, "ate", True), (180, "ate", False), (179, "not here", False)):
        done = Done(duty=feed("h1", 1), person="p1", minute=second - minute, outcome=outcome)
        assert ("gap" in rules(replace(facts, done=(done,)), rest)) is seen


@pytest.mark.parametrize(("ago", "due"), [(1, False), (2, True), (3, True)])
def test_what_is_fed_every_other_day_is_not_due_the_day_after(ago: int, due: bool) -> None:
    sheet = care(feeding=feeding(every_days=2))
    fed = hatchling("h1", last_fed_on=DAY - timedelta(days=ago))
    plan = planned(room(residents=(fed,), care=(sheet,)))
    assert (feed("h1", 1) in {d.key for d in plan.duties}) is due


def test_prey_leads_where_greens_share_its_slot_and_they_are_chopped_all_the_same() -> None:
    sheet = care(feeding=feeding(meals=(greens(1), meal(1))))
    plan = planned(room(residents=(hatchling("h1"),), care=(sheet,)))
    duty = next(d for d in plan.duties if d.key == feed("h1", 1))
    assert duty.portion is not None
    assert (duty.portion.kind, duty.in_tub) == ("cricket", True)
    assert f"{D}/cups/juniper-street/0" in {d.key for d in plan.duties}
