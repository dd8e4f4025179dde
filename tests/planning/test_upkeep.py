"""Work beside walks and feeds: what falls due, when it is planned, and what the verifier knows of it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from roomops.husbandry.needs import Hands
from roomops.planning import duties, first_fit, verify
from roomops.planning.plan import Duty, Plan, StepKind, Why
from roomops.planning.room import Arriving, Done, DutyKind, Lamp, LastDone, Need, Outage, Room, Span
from tests.makers_planning import DAY, SHEETS, SNAKE, food, hatchling, resident, room, tank
from tests.planning.planted import D, busy, of_kind, round_of, without_facts

NEW = ("weigh", "mist", "water", "thaw", "lamp", "sun", "medicine", "search", "warm")


def day(days: int) -> dt.date:
    return DAY + dt.timedelta(days=days)


def due(kind: DutyKind, **changes: Any) -> list[Duty]:
    return [d for d in duties.due(room=replace(busy()[0], **changes)) if d.kind is kind]


def keys(kind: DutyKind, **changes: Any) -> list[str]:
    return [d.key.removeprefix(f"{D}/{kind.value}/") for d in due(kind, **changes)]


def with_resident(key: str, **changes: Any) -> tuple[Any, ...]:
    return tuple(replace(r, **changes) if r.key == key else r for r in busy()[0].residents)


def planned(facts: Room) -> Plan:
    plan = first_fit.plan_day(room=facts)
    assert verify.breaches(room=facts, plan=plan) == ()
    return plan


# ---------------------------------------------------------------- each kind, and the verifier


def test_a_day_with_every_kind_is_planned_whole() -> None:
    facts, plan = busy()
    assert plan.unplaced == ()
    assert {d.kind.value for d in plan.duties} >= set(NEW)
    assert verify.breaches(room=facts, plan=plan) == ()


@pytest.mark.parametrize("kind", NEW)
def test_the_verifier_misses_a_duty_that_is_left_out(kind: str) -> None:
    facts, plan = busy()
    gone = next(d.key for d in plan.duties if d.kind.value == kind)
    found = verify.breaches(
        room=facts, plan=replace(plan, duties=tuple(d for d in plan.duties if d.key != gone))
    )
    assert [(b.rule, b.duty) for b in found] == [("missing duty", gone)]


@pytest.mark.parametrize("kind", NEW)
@pytest.mark.parametrize("change", [{"closes": 2}, {"minutes": 0.1}, {"need": Need.COULD}, {"people": 9}])
def test_the_verifier_sees_a_duty_that_was_changed(kind: str, change: dict[str, Any]) -> None:
    facts, plan = busy()
    one = next(d.key for d in plan.duties if d.kind.value == kind)
    other = tuple(replace(d, **change) if d.key == one else d for d in plan.duties)
    found = verify.breaches(room=facts, plan=replace(plan, duties=other))
    assert {(b.rule, b.duty) for b in found} >= {("duty changed", one)}


@pytest.mark.parametrize("kind", NEW)
def test_the_verifier_knows_no_duty_whose_reason_is_gone(kind: str) -> None:
    facts, plan = busy()
    found = verify.breaches(room=without_facts(facts, kind), plan=plan)
    walks = {"opening", "closing"} if kind == "search" else set()  # of a tank that then holds nobody
    assert {b.duty.split("/")[1] for b in found if b.rule == "unknown duty"} == {kind} | walks


# ---------------------------------------------------------------- the scale


@pytest.mark.parametrize(("ago", "falls_due"), [(6, False), (7, True), (8, True), (None, True)])
def test_an_animal_is_weighed_when_its_days_are_over_or_it_never_was(
    ago: int | None, falls_due: bool
) -> None:
    on = None if ago is None else day(-ago)
    assert ("h1/1" in keys(DutyKind.WEIGH, residents=with_resident("h1", weight_on=on))) is falls_due


def test_a_weighing_stays_due_once_it_is_done_and_its_weight_is_of_today() -> None:
    done = Done(duty=f"{D}/weigh/h1/1", person="p1", minute=455, outcome="done")
    facts = replace(busy()[0], residents=with_resident("h1", weight_on=DAY), done=(done,), now_min=460)
    assert f"{D}/weigh/h1/1" in {d.key for d in planned(facts).duties}


def test_who_is_weighed_today_is_weighed_before_it_eats() -> None:
    plan = busy()[1]
    scale, first = round_of(plan, f"{D}/weigh/h1/1"), round_of(plan, f"{D}/feed/h1/1")
    assert scale.end <= next(s.start for s in first.steps if s.kind is StepKind.TO_TUBS)


def test_who_has_eaten_already_is_not_weighed_today() -> None:
    fed = Done(duty=f"{D}/feed/h1/1", person="p1", minute=500, outcome="ate")
    plan = planned(replace(busy()[0], done=(fed,), now_min=505))
    assert {s.duty: s.why for s in plan.unplaced}[f"{D}/weigh/h1/1"] is Why.WINDOW_CLOSED


# ---------------------------------------------------------------- mist, water


def test_mist_hangs_on_the_timer_and_moves_to_when_somebody_is_here() -> None:
    morning, evening = due(DutyKind.MIST)
    assert (morning.opens, morning.closes, morning.need) == (450, 512, Need.MUST)  # lamps on at 420
    assert (evening.opens, evening.closes, evening.need) == (1140, 1200, Need.SHOULD)


@pytest.mark.parametrize(("ago", "falls_due"), [(6, False), (7, True), (8, True)])
def test_a_part_of_the_water_is_changed_and_tested_by_days(ago: int, falls_due: bool) -> None:
    last = tuple(
        LastDone(subject="t6", kind=DutyKind.WATER, slot=n, on=day(-ago if n < 3 else 0)) for n in (1, 2, 3)
    )
    assert keys(DutyKind.WATER, upkeep=last) == (["t6/1", "t6/2"] if falls_due else [])


@pytest.mark.parametrize(("changed", "works"), [(0, ["t6/3"]), (7, ["t6/1", "t6/2"])])
def test_the_filter_is_never_served_on_the_day_of_a_change(changed: int, works: list[str]) -> None:
    last = tuple(LastDone(subject="t6", kind=DutyKind.WATER, slot=n, on=day(-changed)) for n in (1, 2))
    assert keys(DutyKind.WATER, upkeep=last) == works


# ---------------------------------------------------------------- thawing


@pytest.mark.parametrize(("ago", "thawed"), [(5, False), (6, True), (7, False), (8, False)])
def test_rodents_are_thawed_the_evening_before_and_not_for_who_is_fed_today(ago: int, thawed: bool) -> None:
    """A snake is fed every seven days: one that is due today is not due tomorrow besides."""
    found = due(DutyKind.THAW, residents=with_resident("s1", last_fed_on=day(-ago)))
    assert [(d.opens, d.closes, d.need) for d in found] == [(1050, 1230, Need.MUST)] * thawed


def test_nothing_is_thawed_that_is_not_there_or_does_not_fit() -> None:
    foods = tuple(f for f in busy()[0].foods if f.category != "rodent")
    large = food("rats", "mouse", category="rodent", size_mm=24.1, on_hand=5.0)
    assert due(DutyKind.THAW, foods=foods) == []
    assert due(DutyKind.THAW, foods=(*foods, large)) == []
    assert len(due(DutyKind.THAW, foods=(*foods, replace(large, size_mm=24.0)))) == 1


# ---------------------------------------------------------------- lamps, warming


@pytest.mark.parametrize(("left", "need"), [(15, None), (14, Need.SHOULD), (0, Need.SHOULD), (-1, Need.MUST)])
def test_a_lamp_is_due_two_weeks_before_its_date_and_must_be_after(left: int, need: Need | None) -> None:
    found = due(DutyKind.LAMP, lamps=(Lamp(key="uv", tank="t1", kind="uv", name="UV", due=day(left)),))
    assert [d.need for d in found] == ([need] if need else [])


def test_a_lamp_is_replaced_while_its_animals_eat_in_tubs() -> None:
    plan = busy()[1]
    lamp = of_kind(plan, DutyKind.LAMP)[0]
    meals = [s for r in of_kind(plan, DutyKind.FEED) if r.tray for s in r.steps if s.kind is StepKind.FEED]
    assert any(s.start <= lamp.start and lamp.end <= s.end for s in meals)


def test_one_person_alone_replaces_a_lamp_in_a_round_that_carries_the_animals_out_and_back() -> None:
    facts = room(lamps=(Lamp(key="uv", tank="t1", kind="uv", name="UV", blown=True),))
    plan = planned(facts)
    lamp = of_kind(plan, DutyKind.LAMP)[0]
    assert lamp.end - lamp.start == 6 + 4 * 1.5


@pytest.mark.parametrize(("days", "tanks"), [(0, []), (1, ["t7/0"]), (2, [])])
def test_tanks_run_warm_the_day_before_a_lot_comes(days: int, tanks: list[str]) -> None:
    lot = Arriving(key="lot", kind="x", heads=3, on=day(days), tanks=("t7", "nowhere"))
    assert keys(DutyKind.WARM, arriving=(lot,)) == tanks


# ---------------------------------------------------------------- animals


def test_doses_are_spread_over_the_hours_of_the_lamps() -> None:
    assert [(d.slot, d.opens, d.closes) for d in due(DutyKind.MEDICINE)] == [(1, 450, 638), (2, 825, 1013)]


def test_a_missing_animal_is_looked_for_three_times_until_it_is_found() -> None:
    assert [(d.opens, d.closes) for d in due(DutyKind.SEARCH)] == [(450, 570), (780, 900), (1110, 1230)]
    found = with_resident("lost", status=busy()[0].residents[0].status)
    assert due(DutyKind.SEARCH, residents=found) == []


def test_two_people_are_asked_for_where_the_sheet_says_so_and_one_is_planned() -> None:
    boa = replace(SNAKE, handlers=2)
    long = replace(SNAKE, hands=Hands(mm_each=1500.0, never_alone_mm=2400.0))
    for sheet, length, asked in ((boa, 400.0, 2), (long, 1500.0, 1), (long, 1501.0, 2), (long, 4600.0, 4)):
        facts = room(
            care=(*SHEETS[:3], sheet),
            residents=(resident(sheet, "s1", "t1", length_mm=length, girth_mm=24.0, weight_on=None),),
        )
        plan = planned(facts)
        assert [d.people for d in plan.duties if d.kind is DutyKind.WEIGH] == [asked]


# ---------------------------------------------------------------- sun


def test_nobody_is_owed_sun_without_a_pen_or_a_fit_hour() -> None:
    out = busy()[0].outdoors
    assert keys(DutyKind.SUN) == ["m1/0", "m2/0"]
    assert keys(DutyKind.SUN, outdoors=replace(out, pens=())) == []
    assert keys(DutyKind.SUN, outdoors=replace(out, windows=())) == []


def test_as_many_are_out_as_there_are_pens() -> None:
    out = busy()[0].outdoors
    assert [len(r.duties) for r in of_kind(busy()[1], DutyKind.SUN)] == [1, 1]
    two = planned(replace(busy()[0], outdoors=replace(out, pens=("north", "south"))))
    assert [len(r.duties) for r in of_kind(two, DutyKind.SUN)] == [2]


@pytest.mark.parametrize(("end", "fits"), [(641, False), (642, True), (643, True)])
def test_an_hour_lies_between_a_feed_that_was_given_and_the_sun(end: int, fits: bool) -> None:
    fed = Done(duty=f"{D}/feed/m1/1", person="p1", minute=560, outcome="ate")
    facts = replace(
        busy()[0],
        outdoors=replace(busy()[0].outdoors, windows=(Span(start=500, end=end),), owed=("m1",)),
        done=(fed,),
    )
    assert bool(of_kind(planned(facts), DutyKind.SUN)) is fits  # 560 + 60 and a session of 22


# ---------------------------------------------------------------- heat or power out


def test_while_heat_is_out_nobody_is_fed_and_every_rack_is_looked_at_each_half_hour() -> None:
    facts = replace(busy()[0], outage=Outage(kind="heat", began=600), now_min=600)
    plan = planned(facts)
    assert of_kind(plan, DutyKind.FEED) == []
    held = [s for s in plan.unplaced if s.duty.split("/")[1] == "feed"]
    assert {(s.why, s.numbers) for s in held} == {(Why.HEAT_OR_POWER, (("began", 600.0),))}
    checks = of_kind(plan, DutyKind.HEAT_CHECK)
    assert [r.slot for r in checks] == list(range(1, 22))
    assert all(600 + 30 * (r.slot - 1) <= r.start and r.end <= 600 + 30 * r.slot for r in checks)


def test_checks_of_a_night_when_nobody_was_here_are_not_asked_for() -> None:
    slots = [d.slot for d in due(DutyKind.HEAT_CHECK, outage=Outage(kind="power", began=0))]
    assert slots[0] == 16  # 450 to 480: the first shift begins at 450


def test_a_rack_of_quarantine_is_looked_at_last() -> None:
    facts = replace(
        room(),
        tanks=(tank("t1"), tank("t2", 2, rack="q", quarantine=True)),
        racks=(*room().racks, replace(room().racks[0], key="q", order=0)),
        residents=(hatchling("h1"), hatchling("k1", "t2")),
        outage=Outage(kind="heat", began=900),
    )
    first = [r for r in of_kind(planned(facts), DutyKind.HEAT_CHECK) if r.slot == 1]
    assert [(r.key, r.quarantine) for r in first] == [("heat-check-1-r1", False), ("heat-check-1-q", True)]
