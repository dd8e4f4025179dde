"""Lamps: blown, replaced within the rating, due by date, warned of; timers and their seasons."""

from __future__ import annotations

import dataclasses
from datetime import date, time, timedelta
from uuid import UUID, uuid5

import pytest

from roomops.desk import lamps, stock, timers
from roomops.desk.day import Day, open_day
from roomops.desk.lamp_rules import TYPES, Fit, Fixture, Missing, fit, missing, together
from roomops.desk.lamp_views import LampView, lamp_of, lamps_view
from roomops.desk.lamps import Change, Hanging
from roomops.desk.refusals import No, Refused
from roomops.desk.stock_kinds import BULBS
from roomops.desk.timers import Hours
from roomops.husbandry.lamps import RULES, due_by_hours, due_date, hours_burned
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind, Need
from roomops.records import models as m
from roomops.records.models.places import LampType
from tests import makers as mk

pytestmark = pytest.mark.django_db
HAND = {"now": mk.NOW, "by": None}


def form(name: object) -> UUID:
    return uuid5(UUID(int=77), str(name))


@pytest.fixture
def morning() -> mk.Morning:
    return mk.an_ordinary_morning()


def open_it(morning: mk.Morning, clock: str = "08:40") -> Day:
    return open_day(room=morning.room, day=mk.DAY, now=mk.at(clock))


def seen(morning: mk.Morning, key: str) -> LampView:
    return lamp_of(view=lamps_view(day=open_it(morning)), key=key)


def bulbs(room: m.Room, key: str, kind: str, watts: int, many: int) -> m.Batch:
    name = f"{kind} {watts} W"
    return mk.a_batch(room, key, kind, many, category="bulb", watts=watts, name=name)


def a_day_lamp(morning: mk.Morning, **changes: object) -> m.Lamp:
    facts = {"type": "halogen", "name": "Day lamp 75 W", "watts": 75, "rated_watts": 100, "thermostat": True,
             "probe": True}  # fmt: skip
    return mk.a_lamp(morning.tanks["h1"], m.LampKind.DAY, date(2026, 3, 1), **facts | changes)


def replace(morning: mk.Morning, spare: str, name: str = "in", row: m.Lamp | None = None) -> m.Lamp:
    row = row or m.Lamp.objects.get(key="h1-day", removed_on=None)
    change = Change(lamp="h1-day", spare=spare, seen=row.pk)
    return lamps.replace(day=open_it(morning), change=change, form=form(name), by=morning.oskar)


def refused(act, **about: object) -> Refused:
    with pytest.raises(Refused) as no:
        act(**about)
    return no.value


# ---------------------------------------------------------------- which spare fits


@pytest.mark.parametrize(
    ("watts", "rated", "before", "found"),
    [
        (99, 100, 100, Fit.WEAKER),
        (100, 100, 100, Fit.SAME),
        (101, 100, 101, Fit.OVER),
        (75, None, 75, Fit.NO_RATING),  # nothing is offered before the rating is read off the fixture
        (100, 150, 75, Fit.OTHER_WATTS),  # within the rating, and hotter than what hung there
        (50, 100, None, Fit.WEAKER),
        (None, 100, 75, Fit.NO_WATTS),
    ],
)
def test_a_bulb_fits_up_to_the_rating_and_never_above_it(watts, rated, before, found):
    fixture = Fixture(type=LampType.HALOGEN, watts=before, rated_watts=rated)
    assert fit(fixture=fixture, kind="halogen bulb", watts=watts) is found


@pytest.mark.parametrize(("watts", "found"), [(23, Fit.OTHER_WATTS), (24, Fit.SAME), (25, Fit.OTHER_WATTS)])
def test_a_tube_fits_only_with_its_own_watts_since_they_are_its_length(watts, found):
    fixture = Fixture(type=LampType.T5, watts=24, rated_watts=54)
    assert fit(fixture=fixture, kind="T5 UV tube", watts=watts) is found


@pytest.mark.parametrize("kind", sorted(set(BULBS.values()) - {"halogen bulb"}))
def test_another_type_never_fits(kind):
    fixture = Fixture(type=LampType.HALOGEN, watts=75, rated_watts=100)
    assert fit(fixture=fixture, kind=kind, watts=75) is Fit.OTHER_TYPE


def test_no_spare_above_the_rating_is_offered_for_any_fixture_and_any_bulb():
    for rated in (None, 40, 60, 75, 100):
        for before in (None, 40, 75, 150):
            for watts in range(10, 200, 5):
                for kind_of in LampType:
                    fixture = Fixture(type=kind_of, watts=before, rated_watts=rated)
                    found = fit(fixture=fixture, kind=BULBS.get(kind_of, "x"), watts=watts)
                    assert found not in {Fit.SAME, Fit.WEAKER} or (rated is not None and watts <= rated)


# ---------------------------------------------------------------- what is missing


@pytest.mark.parametrize("kind", ["day", "night"])
def test_a_heater_without_thermostat_or_probe_is_a_warning(kind):
    fixture = Fixture(type=LampType.OTHER, watts=60, rated_watts=100)
    about = {"kind": kind, "fixture": fixture, "fitted": True}
    assert missing(thermostat=True, probe=True, **about) == ()
    assert missing(thermostat=False, probe=True, **about) == (Missing.THERMOSTAT,)
    assert missing(thermostat=True, probe=False, **about) == (Missing.PROBE,)


@pytest.mark.parametrize(
    ("says", "own", "found"),
    [
        ((True, True), "", None),
        ((True,), "day", None),
        ((True,), "evening", Missing.APART),
        ((True, False), "", Missing.ASK),
        ((False,), "", Missing.ASK),
        ((False,), "day", None),  # somebody chose
        ((False,), "evening", None),
        ((), "", None),  # nobody lives there
    ],
)
def test_uv_burns_with_the_day_lamp_where_the_sheet_says_so_and_elsewhere_the_page_asks(says, own, found):
    assert together(says=says, own_timer=own, tank_timer="day") is found


# ---------------------------------------------------------------- blown and replaced


def test_a_blown_lamp_is_blown_from_the_first_word_and_planning_knows(morning):
    a_day_lamp(morning)
    lamps.blown(room=morning.room, lamp="h1-day", now=mk.at("08:00"), by=morning.oskar)
    lamps.blown(room=morning.room, lamp="h1-day", now=mk.at("08:30"), by=None)
    day = open_it(morning)
    assert [(lamp.key, lamp.blown) for lamp in day.facts.lamps] == [("h1-day", True)]
    assert seen(morning, "h1-day").blown_at == mk.at("08:00")
    lamps.not_blown(room=morning.room, lamp="h1-day", **HAND)
    assert seen(morning, "h1-day").blown_at is None


def test_a_spare_goes_in_once_leaves_the_shelf_and_keeps_the_fixture_as_it_is(morning):
    old = a_day_lamp(morning, blown_at=mk.at("08:00"))
    spare = bulbs(morning.room, "b-1", "halogen bulb", 75, 2)
    new = replace(morning, "b-1")
    assert replace(morning, "b-1", row=old).pk == new.pk  # the same form, pressed again
    assert stock.on_hand(batch=spare) == 1
    old.refresh_from_db()
    assert (old.removed_on, new.key, new.fitted_on, new.blown_at) == (mk.DAY, old.key, mk.DAY, None)
    assert (new.rated_watts, new.thermostat, new.probe) == (100, True, True)
    (line,) = m.LedgerLine.objects.filter(batch=spare, reason="used")
    assert line.note == "into h1-day"


def test_of_two_people_who_change_one_lamp_the_second_is_told_and_takes_nothing(morning):
    old = a_day_lamp(morning)
    spare = bulbs(morning.room, "b-1", "halogen bulb", 75, 2)
    replace(morning, "b-1", "one")
    no = refused(replace, morning=morning, spare="b-1", name="two", row=old)
    assert no.why is No.UNKNOWN_LAMP
    assert stock.on_hand(batch=spare) == 1


@pytest.mark.parametrize(
    ("rated", "watts", "why"),
    [(74, 75, No.OVER_RATING), (75, 75, None), (None, 75, No.NO_RATING), (150, 100, No.NO_FIT)],
)
def test_what_does_not_fit_is_never_put_in_whatever_a_page_sends(morning, rated, watts, why):
    a_day_lamp(morning, watts=75 if rated != 74 else 60, rated_watts=rated)
    spare = bulbs(morning.room, "b-1", "halogen bulb", watts, 2)
    if why is None:
        assert replace(morning, "b-1").watts == 75
        return
    assert refused(replace, morning=morning, spare="b-1").why is why
    assert stock.on_hand(batch=spare) == 2
    assert m.Lamp.objects.get(key="h1-day").removed_on is None


def test_the_last_spare_is_the_last_one(morning):
    a_day_lamp(morning)
    bulbs(morning.room, "b-1", "halogen bulb", 75, 0)
    assert refused(replace, morning=morning, spare="b-1").why is No.MORE_THAN_THERE
    assert seen(morning, "h1-day").spares == ()


def test_spares_that_fit_come_with_the_same_watts_first_then_the_next_weaker(morning):
    a_day_lamp(morning)
    for key, watts in (("b-1", 50), ("b-2", 75), ("b-3", 60), ("b-4", 100), ("b-5", 150)):
        bulbs(morning.room, key, "halogen bulb", watts, 1)
    assert [(each.batch, each.fit) for each in seen(morning, "h1-day").spares] == [
        ("b-2", Fit.SAME), ("b-3", Fit.WEAKER), ("b-1", Fit.WEAKER),
    ]  # fmt: skip


def test_where_todays_plan_asks_for_a_new_lamp_putting_it_in_is_doing_that_duty(morning):
    """The duty is put into the day by hand: what is tested is that its key is said, once, as done."""
    row = a_day_lamp(morning, blown_at=mk.at("07:00"))
    bulbs(morning.room, "b-1", "halogen bulb", 75, 1)
    key = f"{mk.DAY}/{DutyKind.LAMP}/h1-day/0"
    duty = Duty(
        key=key, kind=DutyKind.LAMP, subject="h1-day", slot=0, need=Need.SHOULD, opens=450, closes=1200,
        minutes=5, tank="h1",
    )  # fmt: skip
    day = open_it(morning)
    day = dataclasses.replace(day, duties={**day.duties, key: duty})
    change = Change(lamp="h1-day", spare="b-1", seen=row.pk)
    for _ in range(2):
        lamps.replace(day=day, change=change, form=form("in"), by=morning.oskar)
    said = m.Entry.objects.filter(duty=key).values_list("kind", "written_by__key")
    assert list(said) == [("done", "oskar")]


# ---------------------------------------------------------------- written down as it hangs


HANGS = Hanging(
    tanks=("h2",), kind="night", type="ceramic", name="Ceramic heater 60 W", watts=60, rated_watts=100,
    thermostat=True, probe=True, fitted_on=mk.DAY,
)  # fmt: skip


def hangs(**changes: object) -> Hanging:
    return Hanging(**{name: getattr(HANGS, name) for name in HANGS.__slots__} | changes)


def test_a_fixture_is_named_after_its_tank_and_numbered_from_the_second_on(morning):
    made = [lamps.hang(room=morning.room, hanging=HANGS, **HAND).key for _ in range(2)]
    assert made == ["h2-night", "h2-night-2"]


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"tanks": ("h1", "h2")}, No.LAMP_TAKEN),
        ({"tanks": ()}, No.MISSING),
        ({"tanks": ("h99",)}, No.UNKNOWN_TANK),
        ({"watts": 101}, No.OVER_RATING),
        ({"kind": "night", "type": "halogen"}, No.WRONG_LAMP),  # night heat gives no light
        ({"kind": "uv", "type": "ceramic"}, No.WRONG_LAMP),
        ({"kind": "disco"}, No.MISSING),
        ({"fitted_on": mk.DAY + timedelta(days=1)}, No.FUTURE_DATE),
        ({"rated_watts": 5000}, No.OUT_OF_RANGE),
    ],
)
def test_what_cannot_hang_leaves_nothing_behind(morning, changes, why):
    assert refused(lamps.hang, room=morning.room, hanging=hangs(**changes), **HAND).why is why
    assert not m.Lamp.objects.exists()


def test_one_lamp_hangs_on_one_tank(morning):
    lamps.hang(room=morning.room, hanging=hangs(key="Green clamp"), **HAND)
    no = refused(lamps.hang, room=morning.room, hanging=hangs(key="green clamp", tanks=("h1",)), **HAND)
    assert (no.why, no.about) == (No.LAMP_TAKEN, {"value": "green-clamp", "tank": "H2"})
    moved = lamps.write_down(room=morning.room, lamp="green-clamp", hanging=hangs(tanks=("h1",)), **HAND)
    assert moved.tank.key == "h1"
    assert m.Lamp.objects.filter(key="green-clamp", removed_on=None).count() == 1


def test_no_lamp_type_gives_light_at_night():
    assert set(TYPES["night"]) == {LampType.CERAMIC, LampType.OTHER}


def test_a_fixture_taken_off_is_due_no_more_and_its_name_is_free(morning):
    mk.a_lamp(morning.tanks["h1"], fitted=date(2025, 1, 1), type="t5")
    assert [lamp.due for lamp in open_it(morning).facts.lamps] == [date(2026, 1, 1)]
    lamps.take_off(room=morning.room, lamp="h1-uv", **HAND)
    assert open_it(morning).facts.lamps == ()
    mk.a_lamp(morning.tanks["h1"])


# ---------------------------------------------------------------- due by date


@pytest.mark.parametrize(
    ("days_before", "state"), [(15, ""), (14, "next"), (1, "next"), (0, "late"), (-30, "late")]
)
def test_a_uv_lamp_is_told_of_two_weeks_ahead(morning, days_before, state):
    due = mk.DAY + timedelta(days=days_before)
    fitted = due.replace(year=due.year - 1)
    mk.a_lamp(morning.tanks["h1"], fitted=fitted, type="t5")
    found = seen(morning, "h1-uv")
    assert (found.due, found.days_left, found.state) == (due, days_before, state)


def test_without_a_day_or_a_rule_no_date_is_made_up(morning):
    mk.a_lamp(morning.tanks["h1"], type="t5")
    mk.a_lamp(morning.tanks["h2"], fitted=date(2026, 1, 1))  # a type that nobody knows
    assert [seen(morning, key).due for key in ("h1-uv", "h2-uv")] == [None, None]
    assert Missing.FITTED in seen(morning, "h1-uv").missing


def test_calendar_rules_agree_with_hours_of_burning_at_the_rules_own_hours_a_day():
    """Twelve hours a day for a year of 365 days are 4,380 hours: plain arithmetic."""
    fitted = date(2026, 1, 15)
    for rule in RULES:
        by_date = due_date(fitted=fitted, months=rule.months)
        by_hours = due_by_hours(fitted=fitted, hours=4380 * rule.months / 12, hours_a_day=12)
        assert abs((by_date - by_hours).days) <= 2, rule.kind  # half a year is 181 or 184 days, or 182.5


def test_a_room_of_long_days_reaches_a_years_hours_before_its_date():
    """Juniper Street's dragons have 12 h 30 min of light: 4,380 hours are 351 days."""
    fitted = date(2026, 1, 15)
    by_hours = due_by_hours(fitted=fitted, hours=4380, hours_a_day=12.5)
    assert (by_hours - fitted).days == 351
    assert (due_date(fitted=fitted, months=12) - by_hours).days == 14
    assert hours_burned(spans=((fitted, by_hours, 12.5),)) == pytest.approx(4380, abs=12.5)


# ---------------------------------------------------------------- timers and seasons


def timer() -> m.Timer:
    return m.Timer.objects.get(key="dragons")


def hours_today(morning: mk.Morning) -> tuple[int, int]:
    found = next(t for t in open_it(morning).facts.timers if t.key == "dragons")
    return found.on, found.off


def test_the_first_season_changes_nothing_before_its_day(morning):
    winter = Hours(on=time(9), off=time(18))
    timers.add_season(room=morning.room, timer="dragons", begins=(11, 1), hours=winter, **HAND)
    assert hours_today(morning) == (450, 1200)
    begins = set(m.TimerSeason.objects.values_list("from_month", "from_day"))
    assert begins == {(6, 9), (11, 1)}
    timers.drop_season(room=morning.room, timer="dragons", begins=(6, 9), **HAND)
    timers.drop_season(room=morning.room, timer="dragons", begins=(11, 1), **HAND)
    assert (timer().on, timer().off) == (time(9), time(18))  # the last season's hours are the timer's own


@pytest.mark.parametrize(
    ("begins", "why"), [((2, 29), None), ((2, 30), No.NO_SUCH_DAY), ((13, 1), No.NO_SUCH_DAY)]
)
def test_a_season_begins_on_a_day_that_there_is(morning, begins, why):
    about = {
        "room": morning.room,
        "timer": "dragons",
        "begins": begins,
        "hours": Hours(on=time(8), off=time(9)),
    }
    if why is None:
        timers.add_season(**about, **HAND)
        assert refused(timers.add_season, **about, **HAND).why is No.SEASON_TAKEN
    else:
        assert refused(timers.add_season, **about, **HAND).why is why


@pytest.mark.parametrize(("off", "good"), [(time(7, 59), False), (time(8), False), (time(8, 1), True)])
def test_lights_out_comes_after_lights_on(morning, off, good):
    about = {"room": morning.room, "timer": "dragons", "hours": Hours(on=time(8), off=off)}
    if good:
        timers.set_hours(**about, **HAND)
        assert hours_today(morning) == (480, 481)
    else:
        assert refused(timers.set_hours, **about, **HAND).why is No.BAD_HOURS


def test_a_rack_hangs_on_a_timer_with_all_its_tanks(morning):
    assert timers.give(room=morning.room, timer="evening-kinds", place="rack:a", **HAND) == 3
    assert {t.timer for t in open_it(morning).facts.tanks if t.rack == "a"} == {"evening-kinds"}
    assert timers.give(room=morning.room, timer="dragons", place="tank:h1", **HAND) == 1
    for place in ("rack:zz", "tank:zz", "zz", ""):
        about = {"room": morning.room, "timer": "dragons", "place": place}
        assert refused(timers.give, **about, **HAND).why is No.UNKNOWN_TANK


def test_uv_on_another_timer_is_said_where_the_sheet_says_together(morning):
    mk.a_lamp(morning.tanks["h1"], fitted=mk.DAY, type="t5", rated_watts=24)
    assert seen(morning, "h1-uv").missing == ()
    lamps.burns_with(room=morning.room, lamp="h1-uv", timer="evening-kinds", **HAND)
    assert seen(morning, "h1-uv").missing == (Missing.APART,)
    lamps.burns_with(room=morning.room, lamp="h1-uv", timer="dragons", **HAND)
    assert seen(morning, "h1-uv").missing == ()
