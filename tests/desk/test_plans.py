"""A day's plan: made once, read by everybody, refused by the verifier or not, improved, planned again."""

from __future__ import annotations

import logging
from collections import Counter
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from roomops.desk import animals, chores, documents, plans, readings
from roomops.desk.day import Status
from roomops.desk.documents import plan_of
from roomops.desk.heard import state_of
from roomops.planning import first_fit, improve, verify
from roomops.planning.plan import Plan
from roomops.planning.room import DutyKind
from roomops.planning.room import Status as PlanStatus
from roomops.records import models as m
from roomops.records import snapshot
from tests import makers as mk
from tests.desk.floor import Floor, form

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor() -> Floor:
    return Floor()


@pytest.fixture(autouse=True)
def _nothing_read_before() -> None:
    documents.forget()


def planned(floor: Floor, clock: str = "07:00") -> m.PlanVersion:
    floor.room.refresh_from_db()
    return plans.plan_for(room=floor.room, day=mk.DAY, now=mk.at(clock))


# ---------------------------------------------------------------- made once


def test_the_first_to_open_a_day_makes_its_plan_and_the_others_read_it(floor: Floor) -> None:
    first, second = planned(floor), planned(floor, "09:00")
    assert (first.pk, first.version, first.method, first.note) == (second.pk, 1, "quick", "")
    assert plan_of(row=first) == plan_of(row=second)
    assert first.written_at == mk.at("07:00")


def test_the_loser_of_a_race_reads_the_winner(floor: Floor, monkeypatch: pytest.MonkeyPatch) -> None:
    """The other connection keeps its plan between this one's look and its insert."""
    make, won = first_fit.plan_day, []

    def slow(**about: Any) -> Plan:
        plan = make(**about)
        if not won:
            won.append(planned(floor, "06:59"))
        return plan

    monkeypatch.setattr(first_fit, "plan_day", slow)
    assert planned(floor).pk == won[0].pk
    assert m.PlanVersion.objects.count() == 1


def test_a_plan_that_was_kept_passes_the_verifier(floor: Floor) -> None:
    row = planned(floor)
    facts = snapshot.take(room=floor.room, day=mk.DAY, now=mk.at("07:00"))
    assert verify.breaches(room=facts, plan=plan_of(row=row)) == ()


def test_each_day_has_its_own_versions(floor: Floor) -> None:
    planned(floor)
    other = plans.plan_for(room=floor.room, day=mk.DAY + timedelta(days=1), now=mk.at("07:00"))
    assert (other.version, m.PlanVersion.objects.count()) == (1, 2)


# ---------------------------------------------------------------- refused by the verifier


def breached(plan: Plan) -> Plan:
    """The same plan with two rounds of one person at once."""
    mine = [r for r in plan.rounds if r.person == plan.rounds[0].person]
    moved = replace(mine[1], start=mine[0].start, end=mine[0].start + mine[1].end - mine[1].start)
    return replace(plan, rounds=tuple(moved if r is mine[1] else r for r in plan.rounds))


def test_a_plan_that_the_verifier_refuses_becomes_the_plain_list_of_duties(
    floor: Floor, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    make = first_fit.plan_day
    monkeypatch.setattr(first_fit, "plan_day", lambda **about: breached(make(**about)))
    with caplog.at_level(logging.ERROR):
        row = planned(floor)
    assert (row.method, row.note.split(":")[0]) == ("plain", "verifier refused")
    assert "verifier refused" in caplog.text
    day = floor.open("08:00")
    assert day.refusal == row.note
    listed = Counter(key for view in day.rounds for key in view.duties)
    assert set(listed) == set(day.undone) == set(day.duties)
    assert set(listed.values()) == {1}


def test_a_planner_that_breaks_down_leaves_people_their_list(
    floor: Floor, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(**about: Any) -> Plan:
        raise ZeroDivisionError("by nobody")

    monkeypatch.setattr(first_fit, "plan_day", broken)
    with caplog.at_level(logging.ERROR):
        row = planned(floor)
    assert (row.method, row.note) == ("plain", "no plan: ZeroDivisionError: by nobody")
    assert "by nobody" in caplog.text


def test_the_plain_list_can_be_worked_from(floor: Floor, monkeypatch: pytest.MonkeyPatch) -> None:
    make = first_fit.plan_day
    monkeypatch.setattr(first_fit, "plan_day", lambda **about: breached(make(**about)))
    feeds = floor.round_of("h1-bar")
    floor.press("all_eaten", "09:00", round_key=feeds)
    floor.press("finish", "09:10", round_key=feeds)
    view = floor.open("09:11").view(feeds)
    assert (view.status, view.in_tubs, view.person) == (Status.DONE, False, "")
    last = [
        v.round for v in floor.open("09:11").rounds if v.round.quarantine and v.round.kind is DutyKind.FEED
    ]
    assert {key.split("/")[2] for each in last for key in each.duties} == {"q1-one-dot"}


# ---------------------------------------------------------------- improved


def better_by_a_round(**about: Any) -> Plan:
    """A plan that differs from the quick one: its last round begins a minute later."""
    plan = first_fit.plan_day(room=about["room"])
    return replace(plan, method="improved", rounds=(*plan.rounds[:-1], later(plan.rounds[-1])))


def later(round_: Any) -> Any:
    steps = tuple(replace(s, start=s.start + 1, end=s.end + 1) for s in round_.steps)
    return replace(round_, start=round_.start + 1, end=round_.end + 1, steps=steps)


@pytest.fixture
def another(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(improve, "plan_day", better_by_a_round)
    monkeypatch.setattr(verify, "breaches", lambda **about: ())


@pytest.mark.usefixtures("another")
def test_the_better_plan_is_the_next_version_when_nothing_has_begun(floor: Floor) -> None:
    planned(floor)
    row = plans.improve(room=floor.room, day=mk.DAY, now=mk.at("07:05"))
    assert row is not None
    assert (row.version, row.method) == (2, "improved")
    assert floor.open("07:06").version == 2


@pytest.mark.usefixtures("another")
def test_a_day_that_has_begun_keeps_its_plan(floor: Floor) -> None:
    planned(floor)
    chores.done(day=floor.open("07:31"), duties=["2026-06-09/clean/h1/0"], by=floor.m.oskar, form=form("a"))
    assert plans.improve(room=floor.room, day=mk.DAY, now=mk.at("07:35")) is None
    assert m.PlanVersion.objects.count() == 1


def test_a_day_that_begins_while_the_better_plan_is_worked_out_keeps_its_plan(
    floor: Floor, monkeypatch: pytest.MonkeyPatch
) -> None:
    planned(floor)

    def slow(**about: Any) -> Plan:
        floor.open("07:31")
        chores.done(
            day=floor.open("07:31"), duties=["2026-06-09/clean/h1/0"], by=floor.m.oskar, form=form("a")
        )
        return better_by_a_round(**about)

    monkeypatch.setattr(improve, "plan_day", slow)
    assert plans.improve(room=floor.room, day=mk.DAY, now=mk.at("07:35")) is None
    assert m.PlanVersion.objects.count() == 1


def test_a_better_plan_that_the_verifier_refuses_is_not_kept(
    floor: Floor, monkeypatch: pytest.MonkeyPatch
) -> None:
    planned(floor)
    monkeypatch.setattr(improve, "plan_day", lambda **about: breached(first_fit.plan_day(room=about["room"])))
    assert plans.improve(room=floor.room, day=mk.DAY, now=mk.at("07:05")) is None
    assert floor.open("07:06").plan.method == "quick"


def test_the_real_better_plan_keeps_every_rule(floor: Floor) -> None:
    planned(floor)
    told: list[tuple[int, int]] = []
    row = plans.improve(
        room=floor.room, day=mk.DAY, now=mk.at("07:05"), report=lambda done, of: told.append((done, of))
    )
    assert told
    if row is not None:  # a small day may have no better plan than the quick one
        facts = snapshot.take(room=floor.room, day=mk.DAY, now=mk.at("07:05"))
        assert verify.breaches(room=facts, plan=plan_of(row=row)) == ()


# ---------------------------------------------------------------- planned again


def again(floor: Floor, clock: str) -> m.PlanVersion:
    floor.room.refresh_from_db()
    return plans.replan(room=floor.room, day=mk.DAY, now=mk.at(clock))


def test_a_new_animal_makes_the_plan_stale_and_the_next_version_feeds_it(floor: Floor) -> None:
    planned(floor)
    new = mk.a_hatchling(floor.m.tanks["h5"], "ring", length_mm=170, gap_mm=8.0)
    floor.room.facts_changed = mk.at("07:30")
    floor.room.save()
    assert floor.feed(new.key) in floor.open("07:31").stale
    row = again(floor, "07:31")
    day = floor.open("07:32")
    assert (row.version, day.version, day.stale) == (2, 2, ())
    assert floor.feed(new.key) in {key for view in day.rounds for key in view.round.duties}


def test_what_has_begun_stays_as_it_is_and_the_rest_comes_after_now(floor: Floor) -> None:
    key = floor.round_of("h1-bar")
    before = floor.open("08:40").view(key)
    floor.all_in_tubs(key, "08:40", "08:50")
    floor.press("count", "08:55", **floor.head(key, "h1-bar"), left=2)
    row = again(floor, "09:00")
    day = floor.open("09:00")
    after = day.view(key)
    assert (after.round.duties, after.round.seats, after.round.person) == (
        before.round.duties, before.round.seats, before.round.person,
    )  # fmt: skip
    assert (after.out, after.not_counted) == (8, 7)
    fresh = [v for v in day.rounds if v.key != key]
    assert all(view.starts >= mk.at("09:00") for view in fresh)
    assert [view.number for view in day.rounds] == list(range(1, len(day.rounds) + 1))
    assert len({view.key for view in day.rounds}) == len(day.rounds)
    assert row.version == 2


def test_a_new_plan_orphans_nothing_that_was_said(floor: Floor) -> None:
    key = floor.round_of("h1-bar")
    floor.whole_round(key, ("08:40", "08:50", "09:05", "09:10", "09:20"))
    chores.done(day=floor.open("09:21"), duties=["2026-06-09/clean/h1/0"], by=floor.m.oskar, form=form("a"))
    before = state_of(room=floor.room, day=mk.DAY)
    again(floor, "09:30")
    day = floor.open("09:31")
    assert day.state == before
    assert day.state.unmatched == 0
    assert day.view(key).status is Status.DONE
    assert day.view(key).left == 0
    assert "2026-06-09/clean/h1/0" not in day.undone
    settled = [key for view in day.rounds if not view.begun for key in view.round.duties]
    assert "2026-06-09/clean/h1/0" not in settled


def test_every_duty_is_in_one_round_or_has_a_reason_after_planning_again(floor: Floor) -> None:
    floor.whole_round(floor.round_of("h1-bar"), ("08:40", "08:50", "09:05", "09:10", "09:20"))
    again(floor, "09:30")
    day = floor.open("09:31")
    placed = Counter(key for view in day.rounds for key in view.round.duties)
    assert set(placed.values()) == {1}
    assert not set(placed) & {each.duty.key for each in day.unplaced}
    assert set(day.undone) <= set(placed) | {each.duty.key for each in day.unplaced}


def test_a_low_tank_is_read_again_and_not_fed_and_a_warm_one_is_fed_again(floor: Floor) -> None:
    planned(floor)

    def read(value: float, clock: str) -> None:
        reads = [readings.Read(tank="h2", basking_c=value)]
        readings.read(day=floor.open(clock), reads=reads, by=floor.m.oskar, form=form(clock))

    read(35.0, "08:35")
    assert floor.open("08:36").stale
    again(floor, "08:36")
    cold = floor.open("08:37")
    fed = {key for view in cold.rounds for key in view.round.duties}
    assert floor.feed("h2-bar") not in fed
    assert "2026-06-09/reading/h2/1" in fed
    assert cold.stale == ()
    read(40.0, "09:00")
    assert floor.feed("h2-bar") in floor.open("09:01").stale
    again(floor, "09:01")
    warm = floor.open("09:02")
    assert floor.feed("h2-bar") in {key for view in warm.rounds for key in view.round.duties}
    assert warm.stale == ()


def test_somebody_who_begins_a_round_meanwhile_is_not_planned_over(
    floor: Floor, monkeypatch: pytest.MonkeyPatch
) -> None:
    key = floor.round_of("h1-bar")
    planned_at = floor.open("07:00").view(key).starts
    make, seen = first_fit.plan_day, []

    def slow(**about: Any) -> Plan:
        plan = make(**about)
        if not seen:
            seen.append(1)
            floor.press("cups_ready", "08:40", round_key=key)
        return plan

    monkeypatch.setattr(first_fit, "plan_day", slow)
    again(floor, "08:41")
    day = floor.open("08:42")
    assert (day.version, day.view(key).begun, day.view(key).starts) == (2, True, planned_at)


def test_a_move_out_of_a_round_that_has_begun_asks_for_no_plan_after_plan(floor: Floor) -> None:
    mk.a_tank(floor.room, "H6")
    key = floor.round_of("h1-bar")
    floor.all_in_tubs(key)
    floor.press("back", "09:00", **floor.head(key, "h1-bar"), tank="h1")
    row = m.Resident.objects.get(key="h1-bar")
    animals.set_status(
        resident=row, status=PlanStatus.HERE, tank=m.Tank.objects.get(key="h6"), now=mk.at("09:02"),
        by=floor.m.oskar,
    )  # fmt: skip
    stale = floor.open("09:03").stale
    assert floor.feed("h1-bar") not in stale  # in its tub already: nothing to plan
    assert floor.feed("h1-bar", 2) in stale
    again(floor, "09:04")
    assert floor.open("09:05").stale == ()


def test_a_sale_needs_no_new_plan(floor: Floor) -> None:
    key = floor.round_of("h1-bar")
    floor.press("not_here", "08:41", **floor.head(key, "h1-two-dots"), why="sold", note="")
    assert floor.open("08:42").stale == ()
    assert not m.Job.objects.filter(kind="replan").exists()
