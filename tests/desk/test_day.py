"""Where rounds stand, what is wrong, what changed: one day, read in one go."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from roomops.desk import chores, readings, walks
from roomops.desk.day import Status, TroubleKind, open_day
from roomops.desk.refusals import No, Refused
from roomops.desk.round_views import lateness
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor, form

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor() -> Floor:
    return Floor()


# ---------------------------------------------------------------- late, next, later


@pytest.mark.parametrize(
    ("begun", "clock", "minutes"),
    [
        (False, "09:09", 0),  # a start may pass by ten minutes
        (False, "09:10", 0),
        (False, "09:11", 11),
        (True, "09:59", 0),  # begun: late after its end
        (True, "10:00", 0),
        (True, "10:01", 1),
        (False, "10:01", 61),
    ],
)
def test_a_round_is_late_after_its_end_or_ten_minutes_after_a_start_nobody_made(
    begun: bool, clock: str, minutes: int
) -> None:
    late = lateness(starts=mk.at("09:00"), ends=mk.at("10:00"), begun=begun, now=mk.at(clock))
    assert late == timedelta(minutes=minutes)


@pytest.mark.parametrize(("clock", "minutes"), [("09:04", 0), ("09:05", 0), ("09:06", 6)])
def test_a_short_round_that_nobody_began_is_late_after_its_end(clock: str, minutes: int) -> None:
    late = lateness(starts=mk.at("09:00"), ends=mk.at("09:05"), begun=False, now=mk.at(clock))
    assert late == timedelta(minutes=minutes)


def test_before_the_day_begins_each_opener_has_one_next_round_and_the_closer_none_yet(floor: Floor) -> None:
    day = floor.open("07:00")
    upcoming = {view.person: view.number for view in day.rounds if view.status is Status.NEXT}
    firsts = {p: min(v.number for v in day.rounds if v.person == p) for p in ("tamsin", "oskar")}
    assert upcoming == firsts
    assert {view.status for view in day.rounds} == {Status.NEXT, Status.LATER}


def test_a_round_goes_from_next_through_under_way_to_late_and_done(floor: Floor) -> None:
    key = floor.round_of("h1-bar")
    view = floor.open("07:00").view(key)
    soon = (view.starts + timedelta(minutes=5)).strftime("%H:%M")
    after = (view.ends + timedelta(minutes=5)).strftime("%H:%M")
    floor.press("cups_ready", soon, round_key=key)
    assert floor.open(soon).view(key).status is Status.UNDER_WAY
    floor.press("to_tubs", soon, round_key=key)
    late = floor.open(after).view(key)
    assert (late.status, late.begun, late.minutes_late, late.out) == (Status.LATE, True, 5, 8)
    for act in ("all_eaten", "all_back", "washed"):
        floor.press(act, after, round_key=key)
    done = floor.open(after).view(key)
    assert (done.status, done.left, done.minutes_late, done.done_by) == (Status.DONE, 0, 0, "Oskar")


def test_a_round_under_way_says_when_it_is_about_to_end_and_how_far_past_the_shift(floor: Floor) -> None:
    key = floor.round_of("h1-bar", 2)
    person = floor.open("07:00").view(key).person
    assert person in {"oskar", "tamsin"}
    floor.whole_round(floor.round_of("h1-bar"), ("08:40", "08:50", "09:05", "09:10", "09:20"))
    floor.press("cups_ready", "13:20", round_key=key)
    view = floor.open("13:20").view(key)
    assert view.ends_about is not None
    assert view.ends_about - mk.at("13:20") == view.ends - view.starts
    assert view.past_shift_min == (view.ends_about - mk.at("13:30")).total_seconds() // 60


def test_a_walk_is_under_way_once_a_tank_is_seen_and_names_what_is_left(floor: Floor) -> None:
    day = floor.open("07:31")
    view = next(v for v in day.rounds if "2026-06-09/opening/h1/0" in v.round.duties)
    see(floor, "h1", 4)
    after = floor.open("07:34").view(view.key)
    assert (after.status, after.due, after.left) == (Status.UNDER_WAY, view.due, view.due - 1)
    assert "H1" not in after.left_labels


def see(floor: Floor, tank: str, heads: int, clock: str = "07:33", **about: object) -> None:
    facts = {
        "lamps": True,
        "water": True,
        "droppings": "normal",
        "dead_or_nipped": False,
        "night_low_c": None,
    }
    walks.opening_seen(
        day=floor.open(clock), duty=f"2026-06-09/opening/{tank}/0", heads=heads, by=floor.m.tamsin,
        form=form(f"see {tank} {clock}"), **(facts | about),
    )  # fmt: skip


def test_an_unknown_round_is_refused_by_name(floor: Floor) -> None:
    with pytest.raises(Refused) as no:
        floor.open().view("feed-9")
    assert no.value.why is No.UNKNOWN_ROUND


# ---------------------------------------------------------------- what the page shows agrees


def test_what_is_undone_what_is_placed_and_what_did_not_fit_are_all_duties(floor: Floor) -> None:
    day = floor.open("07:00")
    placed = {key for view in day.rounds for key in view.duties}
    short = {each.duty.key for each in day.unplaced}
    assert placed | short == set(day.undone) == set(day.duties)
    assert not placed & short


def test_what_is_done_is_undone_no_more(floor: Floor) -> None:
    chores.done(day=floor.open(), duties=["2026-06-09/clean/h1/0"], by=floor.m.oskar, form=form("a"))
    assert "2026-06-09/clean/h1/0" not in floor.open().undone


def test_the_ribbon_knows_lamps_food_and_shifts(floor: Floor) -> None:
    day = floor.open()
    dragons = next(p for p in day.periods if "Bearded dragon" in p.kinds)
    assert (dragons.on, dragons.off) == (mk.at("07:30"), mk.at("20:00"))
    assert dragons.food_from is not None
    assert dragons.on < dragons.food_from < dragons.off
    assert [(p.name, p.ends) for p in day.presences][-1] == ("Lupe", mk.at("20:30"))


@pytest.mark.parametrize("day", [date(2026, 3, 8), date(2026, 6, 9), date(2026, 11, 1)])
def test_a_minute_of_the_day_is_the_wall_clock_s_on_clock_change_days_too(floor: Floor, day: date) -> None:
    opened = open_day(room=floor.room, day=day, now=mk.at("12:00", day))
    lights_on = next(t.on for t in opened.facts.timers if t.key == "dragons")
    assert opened.clock(lights_on).strftime("%H:%M") == "07:30"


def test_readings_come_with_their_age_and_their_band(floor: Floor) -> None:
    mk.a_reading(floor.m.tanks["h1"], "basking", 40.0, mk.at("08:40"))
    last = {(r.tank, r.spot): r for r in floor.open("09:10").readings}
    today, before = last["h1", "basking"], last["h2", "basking"]
    assert (today.age_min, today.at, today.out) == (30, mk.at("08:40"), "")
    assert (before.age_min, before.at, before.on) == (None, None, date(2026, 6, 8))
    assert today.low_c is not None
    assert today.high_c is not None
    assert (today.low_c * 9 / 5 + 32, today.high_c * 9 / 5 + 32) == (pytest.approx(100), pytest.approx(110))


# ---------------------------------------------------------------- wrong now


def kinds(floor: Floor, clock: str) -> list[TroubleKind]:
    return [trouble.kind for trouble in floor.open(clock).wrong]


@pytest.mark.parametrize(
    ("fahrenheit", "kind"),
    [
        (99.9, TroubleKind.BASKING_LOW),
        (100.1, None),
        (109.9, None),
        (110.1, TroubleKind.BASKING_HIGH),
    ],
)
def test_a_basking_side_out_of_its_band_is_wrong(
    floor: Floor, fahrenheit: float, kind: TroubleKind | None
) -> None:
    """100–110 °F: common practice, no source (the room's care sheet says so)."""
    mk.a_reading(floor.m.tanks["h1"], "basking", (fahrenheit - 32) * 5 / 9, mk.at("08:40"))
    assert kinds(floor, "09:10") == ([kind] if kind else [])


@pytest.mark.parametrize(("clock", "wrong"), [("08:29", False), ("08:30", True), ("08:31", True)])
def test_there_is_no_verdict_within_an_hour_of_lights_on(floor: Floor, clock: str, wrong: bool) -> None:
    mk.a_reading(floor.m.tanks["h1"], "basking", 33.0, mk.at(clock))
    assert kinds(floor, "09:10") == ([TroubleKind.BASKING_LOW] if wrong else [])


def test_a_short_head_asks_for_a_search_until_all_are_seen(floor: Floor) -> None:
    see(floor, "h1", 3)
    trouble = floor.open("07:35").wrong[0]
    assert (trouble.kind, trouble.about, trouble.numbers) == (
        TroubleKind.SHORT_HEAD,
        "H1",
        {"seen": 3, "of": 4},
    )
    assert trouble.by == "Tamsin"
    see(floor, "h1", 4, "07:50")
    assert kinds(floor, "07:51") == []


def test_a_short_head_changes_nobody_s_status(floor: Floor) -> None:
    see(floor, "h1", 3)
    assert set(m.Resident.objects.filter(tank__key="h1").values_list("status", flat=True)) == {"here"}


@pytest.mark.parametrize(("clock", "wrong"), [("09:15", False), ("09:16", True)])
def test_an_animal_out_of_heat_too_long_is_wrong(floor: Floor, clock: str, wrong: bool) -> None:
    """25 minutes, from 8:50: common practice, no source."""
    floor.all_in_tubs(floor.round_of("h1-bar"))
    found = floor.open(clock).wrong
    assert [t.kind for t in found] == [TroubleKind.NOT_BACK] * (8 if wrong else 0)
    if wrong:
        assert found[0].numbers == {"out_min": 26, "most_min": 25, "act": 1.0}


@pytest.mark.parametrize(("yesterday", "wrong"), [("refused", True), ("count", False), ("", False)])
def test_two_feeds_refused_in_a_row_are_wrong(floor: Floor, yesterday: str, wrong: bool) -> None:
    if yesterday:
        left = 8 if yesterday == "refused" else 2
        mk.an_entry(
            floor.room, "2026-06-08/feed/h1-bar/3", yesterday, head=1, data={"offered": 8, "left": left}
        )
    key = floor.round_of("h1-bar")
    floor.all_in_tubs(key)
    floor.press("refused", "09:00", **floor.head(key, "h1-bar"))
    assert (TroubleKind.REFUSED_TWICE in kinds(floor, "09:01")) is wrong


def test_what_somebody_says_is_wrong_stays_until_it_is_settled(floor: Floor) -> None:
    chores.wrong(day=floor.open(), text="limps", by=floor.m.oskar, form=form("a"), resident="h1-bar")
    trouble = floor.open("09:00").wrong[0]
    assert (trouble.kind, trouble.about, trouble.text, trouble.by) == (
        TroubleKind.NOTE,
        "H1 · bar",
        "limps",
        "Oskar",
    )
    chores.settle_wrong(day=floor.open("10:00"), note=trouble.note, by=floor.m.tamsin)
    note = m.Note.objects.get()
    assert (note.settled_at, note.written_by) == (mk.at("10:00"), floor.m.tamsin)
    assert floor.open("10:01").wrong == ()
    with pytest.raises(Refused) as no:
        chores.settle_wrong(day=floor.open("10:02"), note=trouble.note, by=floor.m.tamsin)
    assert no.value.why is No.ALREADY_SETTLED


def test_what_has_changed_says_who_and_when_newest_first(floor: Floor) -> None:
    key = floor.round_of("h1-bar")
    floor.all_in_tubs(key)
    floor.press("refused", "09:00", **floor.head(key, "h1-bar"))
    floor.press(
        "not_here", "09:10", floor.m.tamsin, **floor.head(key, "h1-two-dots"), why="at vet", note="limping"
    )
    changed = floor.open("09:11").changed
    assert [(c.kind, c.about, c.by, c.at) for c in changed] == [
        ("status", "H1 · two dots", "Tamsin", mk.at("09:10")),
        ("refused", "H1 · bar", "Oskar", mk.at("09:00")),
    ]
    assert floor.open("09:11").changed_since(mk.at("09:05")) == changed[:1]


# ---------------------------------------------------------------- the bill


def bill(floor: Floor, clock: str) -> int:
    with CaptureQueriesContext(
        connection,
    ) as caught:
        floor.open(clock)
    return len(caught)


def test_a_day_costs_as_many_queries_for_a_large_room_as_for_a_small_one(floor: Floor) -> None:
    """One for the room, two for its plan, the snapshot's, and one each for entries, residents, jobs, notes,
    statuses, refusals, trays, clashes, strays and who was last here."""
    floor.open("08:00")
    key = floor.round_of("h1-bar")
    floor.all_in_tubs(key)
    floor.press("refused", "08:55", **floor.head(key, "h1-bar"))
    small = bill(floor, "09:00")
    for n in range(10, 40):
        tank = mk.a_tank(floor.room, f"H{n}")
        mk.a_reading(tank, "basking", 35.0, mk.at("08:40"))
        for mark in mk.MARKS:
            resident = mk.a_hatchling(tank, mark, length_mm=170, gap_mm=8.0)
            mk.an_entry(
                floor.room, floor.feed(resident.key), "refused", head=1, data={"offered": 8, "left": 8}
            )
            m.Note.objects.create(
                room=floor.room, written_at=mk.NOW, at=mk.NOW, text="limps", resident=resident, wrong=True
            )
    assert bill(floor, "09:00") == small
    assert small < 45


def test_a_plan_is_read_once_in_a_process(floor: Floor) -> None:
    floor.open("08:00")
    with CaptureQueriesContext(connection) as caught:
        floor.open("08:01")
    assert not any('"document"' in query["sql"] for query in caught if "planversion" in query["sql"])


def test_a_day_without_anybody_on_shift_still_says_what_is_due(floor: Floor) -> None:
    m.Shift.objects.all().delete()
    day = floor.open("08:00")
    assert day.presences == ()
    assert {each.duty.key for each in day.unplaced} == set(day.undone)


def test_readings_said_twice_within_ten_minutes_are_a_correction_and_later_another_reading(
    floor: Floor,
) -> None:
    for clock, value in (("08:40", 41.0), ("08:45", 40.0), ("09:00", 39.0)):
        readings.read(
            day=floor.open(clock), by=floor.m.oskar, form=form(clock),
            reads=[readings.Read(tank="h1", basking_c=value)],
        )  # fmt: skip
    kept = m.Entry.objects.filter(kind="reading").order_by("at")
    assert [(e.duty[-1], e.corrects_id is not None) for e in kept] == [
        ("0", False),
        ("0", True),
        ("1", False),
    ]
    assert all(entry.matched for entry in kept)
    assert list(m.Reading.objects.exclude(entry=None).order_by("at").values_list("value_c", flat=True)) == [
        40.0,
        39.0,
    ]
