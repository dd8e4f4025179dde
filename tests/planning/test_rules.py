"""The rules of a day, one test for each: what falls due, how feeds in tubs go, what comes when the day is
short.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import pairwise

import pytest

from roomops.husbandry.care import Active, Dish, Need, Place
from roomops.planning import duties, first_fit, improve, verify
from roomops.planning.plan import Duty, Plan, Round, StepKind, Why
from roomops.planning.room import Begun, Done, DutyKind, Person, Reading, Room, Shift, Span, Status, Timer
from tests.makers_planning import (
    ADULT,
    DAY,
    GECKO,
    GREENS,
    HATCHLING,
    MICE,
    SHEETS,
    SNAKE,
    TORTOISE,
    care,
    feeding,
    food,
    greens,
    hatchling,
    meal,
    people,
    resident,
    room,
    tank,
    tray,
)

D = DAY.isoformat()


def planned(facts: Room, previous: Plan | None = None) -> Plan:
    """Return the quick plan, which the verifier has passed."""
    plan = first_fit.plan_day(room=facts, previous=previous)
    assert verify.breaches(room=facts, plan=plan) == ()
    return plan


def due(facts: Room, kind: DutyKind) -> list[Duty]:
    return [d for d in duties.due(room=facts) if d.kind is kind]


def feeds(plan: Plan, slot: int = 1) -> list[Round]:
    return [r for r in plan.rounds if r.kind is DutyKind.FEED and r.slot == slot]


def reasons(plan: Plan) -> dict[str, Why]:
    return {s.duty: s.why for s in plan.unplaced}


def numbers(plan: Plan, duty: str) -> dict[str, float]:
    return dict(next(s.numbers for s in plan.unplaced if s.duty == duty))


def step(round_: Round, kind: StepKind) -> tuple[int, int]:
    found = next(s for s in round_.steps if s.kind is kind)
    return found.start, found.end


def hatchlings(count: int, tank_key: str = "t1", stem: str = "h") -> tuple:
    return tuple(hatchling(f"{stem}{n:02}", tank_key) for n in range(1, count + 1))


def trays(count: int) -> dict:
    """Return trays of eight."""
    made = [tray(key, 8) for key in "abcdef"[:count]]
    return {"trays": tuple(t for t, _ in made), "tubs": tuple(tub for _, tubs in made for tub in tubs)}


def group(count: int, each: int) -> dict:
    """Return tanks of ``each`` hatchlings, ``count`` animals in all."""
    tanks = tuple(tank(f"t{n:02}", n) for n in range(1, -(-count // each) + 1))
    living = tuple(hatchling(f"h{n + 1:02}", tanks[n // each].key) for n in range(count))
    return {"tanks": tanks, "residents": living}


# ---------------------------------------------------------------- what falls due


def test_every_tank_with_animals_is_walked_in_the_opening_and_in_the_closing() -> None:
    facts = room(
        tanks=(tank("t1"), tank("t2", 2), tank("t3", 3)), residents=(hatchling("h1"), hatchling("h2", "t3"))
    )
    for kind in (DutyKind.OPENING, DutyKind.CLOSING):
        assert [d.subject for d in due(facts, kind)] == ["t1", "t3"]
        assert all(d.need is Need.MUST for d in due(facts, kind))


def test_a_tank_from_which_an_animal_is_missing_is_still_counted() -> None:
    facts = room(residents=(hatchling("h1", status=Status.MISSING),))
    assert [d.subject for d in due(facts, DutyKind.OPENING)] == ["t1"]
    assert due(facts, DutyKind.FEED) == []


@pytest.mark.parametrize("status", [Status.AT_VET, Status.MISSING, Status.SOLD, Status.DIED, Status.MOVED])
def test_who_is_not_in_the_room_is_not_fed_by_it(status: Status) -> None:
    assert due(room(residents=(hatchling("h1", status=status),)), DutyKind.FEED) == []


@pytest.mark.parametrize(
    "status", [Status.HERE, Status.QUARANTINE, Status.ISOLATED, Status.ON_HOLD, Status.STORE]
)
def test_who_is_in_the_room_is_fed_by_it(status: Status) -> None:
    assert len(due(room(residents=(hatchling("h1", status=status),)), DutyKind.FEED)) == 3


def test_feeds_one_and_two_are_must_and_three_should() -> None:
    facts = room(residents=(hatchling("h1"),))
    assert [(d.slot, d.need) for d in due(facts, DutyKind.FEED)] == [
        (1, Need.MUST),
        (2, Need.MUST),
        (3, Need.SHOULD),
    ]


def test_a_duty_is_named_by_day_kind_subject_and_slot() -> None:
    facts = room(residents=(hatchling("h1"),))
    assert [d.key for d in duties.due(room=facts)] == [
        f"{D}/opening/t1/0",
        f"{D}/insects/juniper-street/0",
        f"{D}/feed/h1/1",
        f"{D}/feed/h1/2",
        f"{D}/feed/h1/3",
        f"{D}/reading/t1/0",
        f"{D}/clean/t1/0",
        f"{D}/closing/t1/0",
    ]


def test_keys_survive_every_replanning() -> None:
    facts = room(**group(12, 4))
    names = {d.key for d in duties.due(room=facts)}
    first = planned(facts)
    busy = Begun(person="p1", duties=first.rounds[0].duties, start=482, person_free=488)
    done = Done(duty=first.rounds[1].duties[0], person="p1", minute=500, outcome="done")
    later = replace(facts, begun=(busy,), done=(done,), now_min=500)
    assert {d.key for d in duties.due(room=later)} == names
    assert {d.key for d in planned(later, previous=first).duties} == names


def test_a_lot_is_one_duty_with_its_heads() -> None:
    facts = room(residents=(hatchling("lot-5", heads=5, lot="lot-5"),))
    assert [d.heads for d in due(facts, DutyKind.FEED)] == [5, 5, 5]
    first = feeds(planned(facts))[0]
    assert [(s.head, s.tub) for s in first.seats] == [(1, "a1"), (2, "a2"), (3, "a3"), (4, "a4"), (5, "a5")]


@pytest.mark.parametrize(("ago", "fed"), [(6, False), (7, True), (8, True)])
def test_a_snake_is_fed_again_when_its_days_have_passed(ago: int, fed: bool) -> None:
    snake = resident(SNAKE, "s1", "t1", last_fed_on=DAY - dt.timedelta(days=ago), girth_mm=24.0)
    assert bool(due(room(residents=(snake,)), DutyKind.FEED)) is fed


def test_a_snake_that_was_fed_today_keeps_its_duty_as_done() -> None:
    snake = resident(SNAKE, "s1", "t1", last_fed_on=DAY, girth_mm=24.0)
    done = Done(duty=f"{D}/feed/s1/1", person="p1", minute=600, outcome="ate")
    assert [d.key for d in due(room(residents=(snake,), done=(done,)), DutyKind.FEED)] == [f"{D}/feed/s1/1"]


def test_a_meal_of_some_weekdays_is_due_on_those() -> None:
    tuesday, wednesday = DAY, DAY + dt.timedelta(days=1)
    sheet = care(feeding=feeding(meals=(meal(1), meal(2, weekdays=(2,)))))
    facts = room(residents=(hatchling("h1"),), care=(sheet,))
    assert [d.slot for d in due(replace(facts, day=tuesday), DutyKind.FEED)] == [1, 2]
    assert [d.slot for d in due(replace(facts, day=wednesday), DutyKind.FEED)] == [1]


def test_readings_begin_an_hour_after_lights_on_and_end_in_the_morning() -> None:
    reading = due(room(), DutyKind.READING)[0]
    assert (reading.opens, reading.closes, reading.need) == (480, 720, Need.MUST)
    later = room(timers=(Timer(key="day", on=450, off=1200),))
    assert due(later, DutyKind.READING)[0].opens == 510


def test_cleans_and_insects_are_should() -> None:
    assert {d.need for d in due(room(), DutyKind.CLEAN)} == {Need.SHOULD}
    assert {d.need for d in due(room(), DutyKind.INSECTS)} == {Need.SHOULD}


def test_greens_are_chopped_before_they_are_served() -> None:
    facts = room(residents=(resident(TORTOISE, "t", "t1"),), **people(2))
    plan = planned(facts)
    chopping = next(r for r in plan.rounds if r.kind is DutyKind.CUPS)
    assert chopping.end <= feeds(plan)[0].start


def test_greens_that_stand_beside_a_feed_are_chopped_too() -> None:
    dish = Dish(slot=1, category="greens", kinds=("greens",))
    sheet = care(feeding=feeding(dishes=(dish,)))
    assert due(room(), DutyKind.CUPS) == []
    assert len(due(room(care=(sheet,)), DutyKind.CUPS)) == 1


# ---------------------------------------------------------------- windows


def test_day_active_kinds_are_fed_between_an_hour_after_lights_on_and_two_before_lights_out() -> None:
    assert {(d.opens, d.closes) for d in due(room(), DutyKind.FEED) if d.slot == 1} == {(480, 1080)}


def test_night_active_kinds_are_fed_after_lights_out() -> None:
    gecko = resident(GECKO, "g1", "t1", last_fed_on=DAY - dt.timedelta(days=2))
    facts = room(residents=(gecko,), shifts=(Shift(person="p1", start=900, end=1320, share=0.85),))
    assert [(d.opens, d.closes) for d in due(facts, DutyKind.FEED)] == [(1200, 1380)]
    assert feeds(planned(facts))[0].start >= 1200


def test_later_feeds_open_a_gap_after_the_one_before() -> None:
    assert [d.opens for d in due(room(residents=(hatchling("h1"),)), DutyKind.FEED)] == [480, 660, 840]


def windowed(opens: int, closes: int) -> Room:
    """Return a room of one hatchling and one feed whose window is from ``opens`` to ``closes``."""
    sheet = care(feeding=feeding(meals=(meal(1),)))
    timer = Timer(key="day", on=opens - 60, off=closes + 120)
    return room(residents=(hatchling("h1"),), care=(sheet,), timers=(timer,))


@pytest.mark.parametrize(("closes", "fits"), [(616, False), (617, True), (618, True)])
def test_a_feed_ends_within_its_window(closes: int, fits: bool) -> None:
    """One minute out, fifteen eating, half a minute back, rounded up: seventeen from 600."""
    plan = planned(windowed(600, closes))
    assert (f"{D}/feed/h1/1" not in reasons(plan)) is fits
    if not fits:
        assert reasons(plan)[f"{D}/feed/h1/1"] is Why.WINDOW_CLOSED
        assert numbers(plan, f"{D}/feed/h1/1")["short_min"] == 1


@pytest.mark.parametrize("opens", [599, 600, 601])
def test_animals_leave_their_tank_when_the_window_opens_and_not_before(opens: int) -> None:
    plan = planned(windowed(opens, 700))
    assert step(feeds(plan)[0], StepKind.TO_TUBS)[0] == opens
    assert step(feeds(plan)[0], StepKind.PREPARE)[0] == opens - 12


# ---------------------------------------------------------------- feeding in separate tubs


def test_rounds_are_filled_up_eight_and_four_not_six_and_six() -> None:
    assert sorted(len(r.seats) for r in feeds(planned(room(**group(12, 4), **people(2))))) == [4, 8]
    assert sorted(len(r.seats) for r in feeds(planned(room(**group(12, 6), **people(2))))) == [4, 8]


def test_tank_mates_stay_together_where_the_round_can_be_filled_with_whole_tanks() -> None:
    sizes = {"t01": 3, "t02": 4, "t03": 5}
    tanks = tuple(tank(key, n) for n, key in enumerate(sizes, start=1))
    living = tuple(hatchling(f"{key}-{n}", key) for key, size in sizes.items() for n in range(size))
    plan = planned(room(tanks=tanks, residents=living))
    whole = [{key.split("/")[2].split("-")[0] for key in r.duties} for r in feeds(plan)]
    assert whole[0] == {"t01", "t03"}
    assert whole[1] == {"t02"}


def test_a_lot_is_not_parted_over_rounds() -> None:
    """Unmarked animals are not told apart: those fed must not be mixed with those still to feed."""
    tanks = (tank("t1"), tank("t2", 2))
    living = (hatchling("lot-1", "t1", heads=5, lot="l"), hatchling("lot-2", "t2", heads=5, lot="l"))
    assert [r.duties for r in feeds(planned(room(tanks=tanks, residents=living)))] == [
        (f"{D}/feed/lot-1/1",),
        (f"{D}/feed/lot-2/1",),
    ]


def test_each_head_is_alone_in_a_tub_that_fits() -> None:
    (tray_a, small), (_, large) = tray("a", 4, fits_mm=130.0), tray("b", 4, fits_mm=200.0)
    tubs = (*small, *(replace(t, tray="a", number=t.number + 4) for t in large))
    long = tuple(
        hatchling(f"h{n}", length_mm=length) for n, length in enumerate((150.0, 120.0, 180.0, 110.0))
    )
    first = feeds(planned(room(trays=(tray_a,), tubs=tubs, residents=long)))[0]
    fits = {t.key: t.fits_mm for t in tubs}
    lengths = {f"{D}/feed/{r.key}/1": r.length_mm for r in long}
    assert len({s.tub for s in first.seats}) == 4
    assert all(lengths[s.duty] <= fits[s.tub] for s in first.seats)


def test_an_animal_of_unknown_length_gets_the_largest_tub() -> None:
    (tray_a, tubs) = tray("a", 2)
    tubs = (tubs[0], replace(tubs[1], fits_mm=220.0))
    unknown = hatchling("h1", length_mm=None, gap_mm=8.0)
    first = feeds(planned(room(trays=(tray_a,), tubs=tubs, residents=(unknown,))))[0]
    assert first.seats[0].tub == "a2"


def test_prepare_to_tubs_feed_return_and_wash_follow_one_another_and_all_take_time() -> None:
    first = feeds(planned(room()))[0]
    assert [(s.kind, s.end - s.start) for s in first.steps] == [
        (StepKind.PREPARE, 12),
        (StepKind.TO_TUBS, 4),
        (StepKind.FEED, 15),
        (StepKind.RETURN, 2),
        (StepKind.WASH, 4),
    ]


def test_tubs_are_washed_and_dry_before_they_serve_again() -> None:
    """Twelve minutes from the wash, of which the hands need four: two people share one tray."""
    plan = planned(room(**group(16, 4), **people(2)))
    first, second = feeds(plan)
    assert step(second, StepKind.TO_TUBS)[0] >= step(first, StepKind.WASH)[0] + 12


def test_the_first_in_is_the_first_out() -> None:
    first = feeds(planned(room()))[0]
    assert [s.duty for s in first.seats] == list(first.duties)


@pytest.mark.parametrize(("most", "heads"), [(23, 7), (24, 8), (25, 8)])
def test_a_round_takes_no_more_heads_than_may_be_out_of_heat_so_long(most: int, heads: int) -> None:
    """Eight out in eight minutes, fifteen eating, the first back after half a minute: 23.5."""
    facts = room(**group(8, 4))
    facts = replace(facts, settings=replace(facts.settings, most_out_min=most))
    assert max(len(r.seats) for r in feeds(planned(facts))) == heads


@pytest.mark.parametrize(("longer", "seen"), [(1, False), (2, True), (3, True)])
def test_minutes_out_of_heat_are_counted_per_animal(longer: int, seen: bool) -> None:
    """23.5 minutes in a full round: one more is within 25, two more are not."""
    facts = room(**group(8, 4))
    plan = planned(facts)
    old = feeds(plan, 3)[0]
    steps = tuple(
        replace(s, start=s.start + (longer if n > 2 else 0), end=s.end + (longer if n > 1 else 0))
        for n, s in enumerate(old.steps)
    )
    new = replace(old, steps=steps, end=old.end + longer)
    late = replace(plan, rounds=tuple(new if r is old else r for r in plan.rounds))
    assert ("out of heat" in {b.rule for b in verify.breaches(room=facts, plan=late)}) is seen


def test_the_care_sheet_may_ask_for_fewer_minutes_out_of_heat_than_the_room() -> None:
    sheet = care(feeding=feeding(most_out_min=18))
    assert max(len(r.seats) for r in feeds(planned(room(**group(8, 4), care=(sheet,))))) == 2


def low(minute: int, value_c: float) -> Reading:
    return Reading(tank="t1", spot="basking", value_c=value_c, minute=minute, on=DAY)


@pytest.mark.parametrize(("value_c", "fed"), [(37.9, False), (38.0, True), (38.1, True)])
def test_no_feed_in_a_tank_whose_basking_side_last_read_below_its_band(value_c: float, fed: bool) -> None:
    plan = planned(room(readings=(low(490, value_c),)))
    assert bool(feeds(plan)) is fed
    if not fed:
        assert reasons(plan)[f"{D}/feed/h1/1"] is Why.BASKING_LOW
        assert numbers(plan, f"{D}/feed/h1/1") == {
            "read_c": 37.9,
            "band_low_c": 38.0,
            "read_at": 490,
            "short_c": 0.1,
        }


def test_a_tank_that_read_low_is_read_again_and_fed_when_it_is_warm() -> None:
    cold = room(readings=(low(490, 36.0),))
    assert f"{D}/reading/t1/1" in {d.key for d in duties.due(room=cold)}
    again = Done(duty=f"{D}/reading/t1/1", person="p1", minute=520, outcome="done")
    still = replace(cold, readings=(*cold.readings, low(520, 37.0)), done=(again,))
    assert f"{D}/reading/t1/2" in {d.key for d in duties.due(room=still)}
    warm = replace(cold, readings=(*cold.readings, low(520, 39.0)), done=(again,))
    assert feeds(planned(warm))


def test_yesterdays_low_reading_stops_no_feed() -> None:
    old = Reading(tank="t1", spot="basking", value_c=30.0, minute=None, on=DAY - dt.timedelta(days=1))
    assert feeds(planned(room(readings=(old,))))


def quarantine(**changes: object) -> Room:
    """Return eight clean hatchlings and two in quarantine, with tubs of their own."""
    (tray_a, tubs_a), (tray_q, tubs_q) = tray("a", 8), tray("q", 2, quarantine=True)
    tanks = (tank("t1"), tank("t2", 2), tank("t3", 3, quarantine=True))
    living = (
        *hatchlings(4, "t1", "h"),
        *hatchlings(4, "t2", "i"),
        *(replace(r, status=Status.QUARANTINE) for r in hatchlings(2, "t3", "k")),
    )
    base = room(tanks=tanks, residents=living, trays=(tray_a, tray_q), tubs=tubs_a + tubs_q)
    return replace(base, **changes)  # type: ignore[arg-type]


def test_a_hatchling_in_quarantine_is_fed_in_every_slot_and_last_by_its_person() -> None:
    plan = planned(quarantine())
    for slot in (1, 2, 3):
        clean, apart = feeds(plan, slot)
        assert (clean.quarantine, apart.quarantine) == (False, True)
        assert clean.end <= apart.start


def test_quarantine_has_its_own_tubs() -> None:
    assert {s.tub for r in feeds(planned(quarantine())) if r.quarantine for s in r.seats} == {"q1", "q2"}


def test_nobody_goes_from_quarantine_to_clean_animals_without_washing_and_changing() -> None:
    for round_ in planned(quarantine()).rounds:
        if round_.quarantine:
            washing = step(round_, StepKind.WASH)
            assert washing[1] - washing[0] == (4 if round_.seats else 0) + 3


def test_an_isolated_animal_makes_its_tank_one_that_is_served_last() -> None:
    (tray_q, tubs_q) = tray("q", 2, quarantine=True)
    base = room()
    facts = room(
        residents=(hatchling("h1", "t1"), hatchling("h2", "t2", status=Status.ISOLATED)),
        tanks=(tank("t1"), tank("t2", 2)),
        trays=(*base.trays, tray_q),
        tubs=base.tubs + tubs_q,
    )
    assert [(r.duties, r.quarantine) for r in feeds(planned(facts))] == [
        ((f"{D}/feed/h1/1",), False),
        ((f"{D}/feed/h2/1",), True),
    ]


def test_quarantine_is_served_by_somebody_who_may() -> None:
    facts = quarantine(
        people=(Person(key="p1", name="p1", may_quarantine=False), Person(key="p2", name="p2")),
        shifts=tuple(Shift(person=p, start=480, end=1080, share=0.85) for p in ("p1", "p2")),
    )
    assert {r.person for r in planned(facts).rounds if r.quarantine} == {"p2"}


@pytest.mark.parametrize(("by", "broken"), [(-1, True), (0, False), (1, False)])
def test_the_gap_is_counted_start_to_start(by: int, broken: bool) -> None:
    facts = room(residents=(hatchling("h1"),), care=(care(feeding=feeding(meals=(meal(1), meal(2)))),))
    plan = planned(facts)
    first, second = feeds(plan, 1)[0], feeds(plan, 2)[0]
    start = step(first, StepKind.FEED)[0] + 240 + by - (step(second, StepKind.FEED)[0] - second.start)
    shift = start - second.start
    steps = tuple(replace(s, start=s.start + shift, end=s.end + shift) for s in second.steps)
    new = replace(second, start=start, end=second.end + shift, steps=steps)
    tried = replace(plan, rounds=tuple(new if r is second else r for r in plan.rounds))
    found = {b.rule for b in verify.breaches(room=facts, plan=tried)} & {"gap", "before its window"}
    assert ("gap" in found) is broken


def test_the_gap_hangs_on_the_number_of_feeds() -> None:
    two = care(feeding=feeding(meals=(meal(1), meal(2))))
    for sheet, gap in ((HATCHLING, 180), (two, 240)):
        plan = planned(room(residents=(hatchling("h1"),), care=(sheet,)))
        apart = step(feeds(plan, 2)[0], StepKind.FEED)[0] - step(feeds(plan, 1)[0], StepKind.FEED)[0]
        assert apart >= gap


def test_the_gap_counts_from_a_feed_that_was_really_given() -> None:
    done = Done(duty=f"{D}/feed/h1/1", person="p1", minute=700, outcome="ate")
    plan = planned(room(residents=(hatchling("h1"),), done=(done,), now_min=710))
    assert step(feeds(plan, 2)[0], StepKind.FEED)[0] >= 880
    assert feeds(plan, 1) == []


def test_a_second_feed_only_with_a_first() -> None:
    """The only person begins too late for both: the first is given, or neither."""
    facts = room(shifts=(Shift(person="p1", start=940, end=1080, share=0.85),))
    plan = planned(facts)
    assert feeds(plan, 1)
    assert reasons(plan)[f"{D}/feed/h1/2"] is Why.GAP_TOO_SHORT
    assert reasons(plan)[f"{D}/feed/h1/3"] is Why.FIRST_NOT_SERVED


def test_a_feed_that_found_nobody_gives_no_start_to_count_from() -> None:
    """Back from the vet: its second feed is due, and no gap is kept from a feed that it never had."""
    gone = Done(duty=f"{D}/feed/h1/1", person="p1", minute=700, outcome="not here")
    plan = planned(room(residents=(hatchling("h1"),), done=(gone,), now_min=710))
    assert step(feeds(plan, 2)[0], StepKind.FEED)[0] < 880


def test_a_shelf_that_is_empty_for_the_first_feed_stops_no_greens_in_the_second() -> None:
    sheet = care(feeding=feeding(place=Place.TANK, meals=(meal(1), greens(2))))
    facts = room(residents=(hatchling("h1"),), care=(sheet,), foods=(GREENS,))
    plan = planned(facts)
    assert reasons(plan) == {f"{D}/feed/h1/1": Why.NO_FOOD}
    assert feeds(plan, 2)


def test_live_prey_in_a_tank_is_watched_and_greens_are_not() -> None:
    sheet = care(feeding=feeding(place=Place.TANK, meals=(meal(1), greens(2)), watch_min=10))
    plan = planned(room(**group(10, 2), care=(sheet,), foods=(GREENS, food("c"))))
    prey, dishes = feeds(plan, 1), feeds(plan, 2)
    assert sorted((len(r.duties), r.end - r.start) for r in prey) == [(2, 14), (8, 26)]
    assert [(len(r.duties), r.end - r.start) for r in dishes] == [(10, 20)]


@pytest.mark.parametrize("length", [1380, 1440, 1500])
def test_the_days_on_which_the_clocks_change_are_planned_like_any_other(length: int) -> None:
    """Minutes are elapsed ones: a feed after lights-out ends with the day, an hour shorter or longer."""
    gecko = resident(GECKO, "g1", "t1", last_fed_on=DAY - dt.timedelta(days=2))
    late = Timer(key="day", on=420, off=length - 120)
    shift = Shift(person="p1", start=900, end=length, share=0.85)
    facts = room(residents=(gecko,), timers=(late,), shifts=(shift,), day_length_min=length)
    assert [(d.opens, d.closes) for d in due(facts, DutyKind.FEED)] == [(length - 120, length)]
    assert length - 120 <= feeds(planned(facts))[0].start < length


# ---------------------------------------------------------------- prey


def test_prey_kind_size_and_count_are_named_for_each_animal() -> None:
    portion = due(room(residents=(hatchling("h1", gap_mm=7.0),)), DutyKind.FEED)[0].portion
    assert portion is not None
    assert (portion.food, portion.kind, portion.count, portion.size_mm) == ("crickets-1", "cricket", 8, 6.0)
    assert (portion.most_mm, portion.estimated, portion.dusted, portion.powder) == (
        7.0,
        False,
        True,
        "calcium",
    )


def test_a_gap_that_was_not_measured_is_estimated_from_length_and_said_to_be() -> None:
    portion = due(room(residents=(hatchling("h1", length_mm=100.0),)), DutyKind.FEED)[0].portion
    assert portion is not None
    assert (portion.most_mm, portion.estimated) == (8.0, True)


@pytest.mark.parametrize(("gap_mm", "fits"), [(5.9, False), (6.0, True), (6.1, True)])
def test_no_prey_is_larger_than_the_gap(gap_mm: float, fits: bool) -> None:
    plan = planned(room(residents=(hatchling("h1", gap_mm=gap_mm),)))
    assert bool(feeds(plan)) is fits
    if not fits:
        assert reasons(plan)[f"{D}/feed/h1/1"] is Why.NO_FOOD
        assert numbers(plan, f"{D}/feed/h1/1") == {
            "wanted": 8,
            "on_hand": 0,
            "most_mm": 5.9,
            "smallest_mm": 6.0,
        }


def test_an_animal_that_was_never_measured_gets_no_prey_and_the_plan_says_why() -> None:
    plan = planned(room(residents=(hatchling("h1", length_mm=None),)))
    assert reasons(plan)[f"{D}/feed/h1/1"] is Why.NO_FOOD
    assert numbers(plan, f"{D}/feed/h1/1")["unmeasured"] == 1


def test_the_oldest_fitting_batch_goes_first_and_the_next_when_it_is_too_small() -> None:
    old = food("old", received=DAY - dt.timedelta(days=9), on_hand=40.0)
    large = food("large", size_mm=12.0, received=DAY - dt.timedelta(days=20))
    facts = room(residents=hatchlings(6), foods=(food("new", received=DAY), old, large))
    batches = [d.portion.food for d in due(facts, DutyKind.FEED) if d.portion and d.slot == 1]
    assert batches == ["old"] * 5 + ["new"]


def test_first_feeds_have_first_call_on_a_short_shelf() -> None:
    facts = room(foods=(food("few", on_hand=8.0 * 6),))
    plan = planned(facts)
    assert len(feeds(plan, 1)[0].duties) == 4
    assert [k for k, why in reasons(plan).items() if why is Why.NO_FOOD] == [
        f"{D}/feed/h3/2", f"{D}/feed/h4/2", *(f"{D}/feed/h{n}/3" for n in range(1, 5))
    ]  # fmt: skip


def test_a_room_that_keeps_no_shelf_is_fed_all_the_same() -> None:
    plan = planned(room(foods=()))
    assert len(feeds(plan)) == 1
    assert {d.portion.food for d in plan.duties if d.portion} == {""}


def test_rodents_are_held_against_the_widest_part() -> None:
    for girth_mm, fits in ((17.9, False), (18.0, True)):
        snake = resident(SNAKE, "s1", "t1", girth_mm=girth_mm)
        assert bool(feeds(planned(room(residents=(snake,), foods=(MICE,))))) is fits


# ---------------------------------------------------------------- people


def test_people_are_planned_to_a_share_of_their_shift() -> None:
    plan = planned(room(**group(40, 4), **people(1, share=0.5)))
    assert sum(r.end - r.start for r in plan.rounds) <= 300
    full = planned(room(**group(40, 4), **people(1, share=1.0)))
    assert sum(r.end - r.start for r in full.rounds) > 500


def test_a_person_does_one_round_at_a_time() -> None:
    rounds = sorted(planned(room(**group(24, 4))).rounds, key=lambda r: r.start)
    assert all(a.end <= b.start for a, b in pairwise(rounds))


def test_nothing_is_planned_while_somebody_is_away() -> None:
    away = Span(start=540, end=660, person="p1", why="delivery")
    assert all(r.end <= 540 or r.start >= 660 for r in planned(room(peaks=(away,))).rounds)


def test_a_shop_peak_is_kept_free_and_only_must_may_break_it() -> None:
    peak = Span(start=520, end=560, why="school run")
    assert all(r.end <= 520 or r.start >= 560 for r in planned(room(peaks=(peak,))).rounds)
    whole = Span(start=480, end=1080, why="sale")
    plan = planned(room(peaks=(whole,)))
    assert {r.kind for r in plan.rounds} == {
        DutyKind.OPENING,
        DutyKind.FEED,
        DutyKind.READING,
        DutyKind.CLOSING,
    }
    assert feeds(plan, 3) == []


def test_heads_are_counted_before_animals_go_to_tubs_and_after_they_are_back() -> None:
    plan = planned(room(**group(16, 4), **people(3)))
    by_kind = {kind: [r for r in plan.rounds if r.kind is kind] for kind in DutyKind}
    first_out = min(step(r, StepKind.TO_TUBS)[0] for r in by_kind[DutyKind.FEED])
    last_back = max(step(r, StepKind.RETURN)[1] for r in by_kind[DutyKind.FEED])
    assert all(r.end <= first_out for r in by_kind[DutyKind.OPENING])
    assert all(r.start >= last_back for r in by_kind[DutyKind.CLOSING])


# ---------------------------------------------------------------- when the day is too short


def test_nobody_on_shift_is_a_plan_that_says_so() -> None:
    plan = planned(room(shifts=()))
    assert plan.rounds == ()
    assert set(reasons(plan).values()) == {Why.NOBODY_ON_SHIFT}
    assert set(reasons(plan)) == {d.key for d in plan.duties}


def test_no_tubs_is_a_plan_that_says_so() -> None:
    plan = planned(room(tubs=(), trays=()))
    assert reasons(plan)[f"{D}/feed/h1/1"] is Why.NO_TUBS
    assert numbers(plan, f"{D}/feed/h1/1") == {"heads": 1, "tubs": 0, "tubs_short": 1}
    assert reasons(plan)[f"{D}/feed/h1/2"] is Why.NO_TUBS


def test_an_animal_that_no_tub_fits_is_named_with_its_length() -> None:
    plan = planned(room(residents=(hatchling("h1", length_mm=170.0), hatchling("h2"))))
    assert reasons(plan) == dict.fromkeys((f"{D}/feed/h1/{n}" for n in (1, 2, 3)), Why.NO_TUB_FITS)
    assert numbers(plan, f"{D}/feed/h1/1") == {"length_mm": 170, "largest_mm": 160}


def test_a_lot_larger_than_a_tray_is_named_with_the_tubs_short() -> None:
    plan = planned(room(residents=(hatchling("lot", heads=10, lot="l"),)))
    assert reasons(plan)[f"{D}/feed/lot/1"] is Why.NO_TUBS
    assert numbers(plan, f"{D}/feed/lot/1") == {"heads": 10, "tubs": 8, "tubs_short": 2, "watch_most": 8}


def test_an_animal_that_would_be_out_of_heat_too_long_even_alone_is_named() -> None:
    sheet = care(feeding=feeding(watch_min=30))
    plan = planned(room(care=(sheet,)))
    assert reasons(plan)[f"{D}/feed/h1/1"] is Why.OUT_TOO_LONG
    assert numbers(plan, f"{D}/feed/h1/1")["out_min"] == 31.5


def test_a_full_day_says_how_many_minutes_are_short() -> None:
    plan = planned(room(**group(80, 4), **trays(3)))
    short = numbers(plan, next(k for k, why in reasons(plan).items() if why is Why.NO_TIME and "feed" in k))
    assert short["short_min"] == short["needed_min"] - short["free_min"] > 0
    assert short["more_people_help"] == 1


def test_quarantine_that_nobody_on_shift_may_do_is_named() -> None:
    plan = planned(quarantine(people=(Person(key="p1", name="p1", may_quarantine=False),)))
    assert reasons(plan)[f"{D}/feed/k01/1"] is Why.NOT_ALLOWED
    assert reasons(plan)[f"{D}/opening/t3/0"] is Why.NOT_ALLOWED


def test_must_comes_before_should() -> None:
    plan = planned(room(**group(60, 4), **people(2), **trays(2)))
    assert plan.scores.must == 0
    assert plan.scores.should > 0


# ---------------------------------------------------------------- a day under way


def test_what_is_done_or_under_way_is_not_planned_again() -> None:
    facts = room()
    first = planned(facts)
    begun = next(r for r in first.rounds if r.kind is DutyKind.OPENING)
    done = [Done(duty=k, person="p1", minute=490, outcome="done") for k in begun.duties]
    feeding_now = feeds(first)[0]
    busy = Begun(
        person="p1",
        duties=feeding_now.duties,
        start=step(feeding_now, StepKind.FEED)[0],
        person_free=feeding_now.end,
        tubs=tuple(s.tub for s in feeding_now.seats),
        tubs_free=feeding_now.end + 8,
    )
    later = replace(facts, done=tuple(done), begun=(busy,), now_min=feeding_now.start + 15)
    plan = planned(later, previous=first)
    again = {k for r in plan.rounds for k in r.duties}
    assert not again & {*begun.duties, *feeding_now.duties}
    assert all(r.start >= feeding_now.end for r in plan.rounds)


def test_what_stood_stays_when_the_day_is_planned_again() -> None:
    facts = room(**group(24, 4), **people(2))
    first = planned(facts)
    gone = replace(facts, residents=facts.residents[1:])
    plan = planned(gone, previous=first)
    stood = {k: (r.person, r.start) for r in first.rounds for k in r.duties}
    stays = [stood[k] == (r.person, r.start) for r in plan.rounds for k in r.duties if k in stood]
    assert plan.scores.moved == stays.count(False)
    assert plan.scores.moved <= len(stays) // 10


def test_when_somebody_goes_home_at_noon_the_others_rounds_stay() -> None:
    facts = room(**group(12, 4), **people(2))
    first = planned(facts)
    gone = replace(facts, shifts=(facts.shifts[0], replace(facts.shifts[1], end=720)))
    plan = planned(gone, previous=first)
    assert plan.scores.must == 0
    mine = {k: r.start for r in first.rounds if r.person == "p1" for k in r.duties}
    now = {k: r.start for r in plan.rounds for k in r.duties}
    kept = [mine[k] == now.get(k) for k in mine]
    assert kept.count(True) >= len(kept) * 3 // 4


# ---------------------------------------------------------------- all kinds


def test_five_sorts_of_care_are_planned_in_one_day() -> None:
    tanks = tuple(tank(f"t{n}", n) for n in range(1, 6))
    living = (
        *hatchlings(4, "t1"),
        resident(ADULT, "m1", "t2", gap_mm=20.0),
        resident(GECKO, "g1", "t3", gap_mm=9.0),
        resident(SNAKE, "s1", "t4", girth_mm=24.0),
        resident(TORTOISE, "e1", "t5"),
    )
    shifts = (
        Shift(person="p1", start=450, end=960, share=0.85),
        Shift(person="p2", start=840, end=1350, share=0.85),
    )
    facts = room(
        tanks=tanks,
        residents=living,
        foods=(food("c"), GREENS, MICE),
        care=SHEETS,
        **people(2) | {"shifts": shifts},
    )
    plan = planned(facts)
    assert plan.unplaced == ()
    tubs = {k.split("/")[2] for r in plan.rounds if r.seats for k in r.duties}
    assert tubs == {"h01", "h02", "h03", "h04"}
    gecko = next(r for r in plan.rounds if f"{D}/feed/g1/1" in r.duties)
    assert gecko.start >= 1200
    assert GECKO.active is Active.NIGHT


def test_the_better_plan_is_never_worse_and_says_how_it_was_made() -> None:
    facts = room(**group(60, 4), **people(2))
    quick = planned(facts)
    steps: list[tuple[int, int]] = []
    better = improve.plan_day(
        room=facts, start=quick, iterations=50, seed=3, report=lambda done, of: steps.append((done, of))
    )
    assert verify.breaches(room=facts, plan=better) == ()
    assert (better.scores.must, better.scores.should) <= (quick.scores.must, quick.scores.should)
    assert (quick.method, better.method) == ("quick", "improved")
    assert steps == [(n, 50) for n in range(1, 51)]
