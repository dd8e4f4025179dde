"""Heat or power fails: feeds are held, all is read every half hour, nothing is fed before it is warm."""

from __future__ import annotations

from uuid import uuid4

import pytest

from roomops.desk import outage
from roomops.desk.outage import LOOKS
from roomops.desk.outage_view import OutageView, outage_view
from roomops.desk.readings import Read
from roomops.desk.refusals import No, Refused
from roomops.husbandry.outage import Course, First
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor() -> Floor:
    return Floor()


def fail(floor: Floor, clock: str = "09:00", kind: str = "power") -> m.Outage:
    return outage.begin(room=floor.room, kind=kind, now=mk.at(clock), by=floor.m.oskar)


def back(floor: Floor, clock: str = "11:00", looked=LOOKS) -> m.Outage:
    return outage.over(room=floor.room, looked=looked, now=mk.at(clock), by=floor.m.tamsin)


def read(floor: Floor, clock: str, form=None, **tanks: float) -> int:
    reads = [Read(tank=tank, basking_c=value) for tank, value in tanks.items()]
    return outage.check(day=floor.open(clock), reads=reads, by=floor.m.oskar, form=form or uuid4())


def look(floor: Floor, clock: str) -> OutageView:
    return outage_view(day=floor.open(clock))


def refused(call, *args, **more) -> Refused:
    with pytest.raises(Refused) as no:
        call(*args, **more)
    return no.value


# ---------------------------------------------------------------- it fails


def test_one_press_holds_feeds_and_a_second_press_is_the_same_outage(floor):
    key = floor.round_of("h1-bar")
    assert fail(floor).pk == fail(floor, "09:10").pk
    assert floor.open("09:15").facts.outage.began == 540
    no = refused(floor.press, "cups_ready", "09:15", round_key=key)
    assert no.why is No.FEEDS_HELD


def test_animals_with_their_cups_ready_stay_in_their_tanks(floor):
    key = floor.round_of("h1-bar")
    floor.press("cups_ready", "08:50", round_key=key)
    fail(floor)
    assert refused(floor.press, "to_tubs", "09:05", round_key=key).why is No.FEEDS_HELD


def test_those_in_tubs_are_counted_and_go_back_though_heat_is_off(floor):
    key = floor.round_of("h1-bar")
    floor.all_in_tubs(key)
    fail(floor)
    view = look(floor, "09:05")
    assert len(view.out) > 0
    floor.press("all_eaten", "09:06", round_key=key)
    floor.press("all_back", "09:07", round_key=key)
    assert look(floor, "09:08").out == ()


def test_what_has_failed_is_one_of_three(floor):
    assert refused(fail, floor, kind="flood").why is No.MISSING


# ---------------------------------------------------------------- who comes first


def test_hatchlings_come_first_and_the_reading_before_stands_beside_the_one_since(floor):
    fail(floor)
    mk.a_reading(floor.m.tanks["h1"], "basking", 33.0, mk.at("09:20"))
    view = look(floor, "09:25")
    assert [each.why for each in view.tanks][:3] == [First.YOUNG] * 3
    h1 = next(each for each in view.tanks if each.tank == "h1")
    assert (h1.before.value_c, h1.last.value_c, h1.course) == (40.0, 33.0, Course.HOLDS)
    assert view.tanks[-1].tank in {"clover", "pilot"}


def test_in_a_hot_room_the_order_is_another_one(floor):
    fail(floor, kind="hot")
    hot = [each.tank for each in look(floor, "09:05").tanks]
    cold = [each.tank for each in outage_view(day=floor.open("09:05")).tanks]
    assert hot == cold  # the page's order is that of what failed
    back(floor)
    assert [each.tank for each in look(floor, "11:05").tanks] != hot


@pytest.mark.parametrize(("value", "course"), [(17.9, Course.HOLDS), (17.7, Course.ACT), (17.0, Course.ACT)])
def test_a_tank_is_acted_on_at_the_night_limit_of_its_sheet(floor, value, course):
    """A dragon hatchling's sheet acts on nights below 64 °F (17.8 °C)."""
    fail(floor)
    read(floor, "09:10", h1=value)
    h1 = next(each for each in look(floor, "09:12").tanks if each.tank == "h1")
    assert h1.course is course


# ---------------------------------------------------------------- every half hour


def test_a_check_is_due_every_half_hour_from_when_it_began(floor):
    fail(floor, "09:10")
    for clock, due in (("09:10", "09:40"), ("09:39", "09:40"), ("09:40", "10:10"), ("09:41", "10:10")):
        assert look(floor, clock).next_check == mk.at(due), clock


def test_a_rack_is_checked_when_all_its_tanks_were_read_in_its_half_hour(floor):
    fail(floor)
    assert read(floor, "09:05", h1=38.0, h2=38.0) == 0  # H5 is missing
    assert read(floor, "09:10", h5=37.0) == 1
    done = m.Entry.objects.filter(duty=f"{mk.DAY}/heat check/a/1", kind="done")
    assert done.count() == 1
    assert done.get().matched
    due = {each.tank for each in look(floor, "09:12").tanks if each.due}
    assert {"h1", "h2", "h5"}.isdisjoint(due)
    assert {"h1", "h2", "h5"} <= {each.tank for each in look(floor, "09:31").tanks if each.due}


def test_readings_far_from_their_band_are_kept_as_read(floor):
    fail(floor)
    read(floor, "09:30", h1=19.0)
    assert m.Reading.objects.filter(tank__key="h1", value_c=19.0).exists()


def test_nothing_is_checked_without_a_reading_or_without_an_outage(floor):
    assert refused(read, floor, "09:30", h1=19.0).why is No.NO_OUTAGE
    fail(floor)
    assert refused(read, floor, "09:30").why is No.MISSING
    assert refused(read, floor, "09:30", h1=120.0).why is No.OUT_OF_RANGE
    assert not m.Reading.objects.filter(at__gte=mk.at("09:00")).exists()


# ---------------------------------------------------------------- it is back


def test_it_is_over_only_when_timers_thermostats_and_lamps_were_looked_at(floor):
    fail(floor)
    no = refused(back, floor, looked=("timers",))
    assert (no.why, no.about["value"]) == (No.NOT_LOOKED, ["thermostats", "lamps"])
    assert look(floor, "11:01").open
    back(floor)
    assert not look(floor, "11:01").open
    assert refused(back, floor).why is No.NO_OUTAGE


def test_after_it_a_tank_is_fed_only_when_its_basking_side_was_read_in_band(floor):
    fail(floor)
    back(floor, "09:30")
    key = floor.round_of("h1-bar", clock="09:31")
    floor.press("cups_ready", "09:31", round_key=key)
    no = refused(floor.press, "to_tubs", "09:32", round_key=key)
    assert no.why is No.READ_AFTER
    assert "H1" in no.about["value"]
    for tank in ("h1", "h2", "h5"):
        mk.a_reading(floor.m.tanks[tank], "basking", 36.0, mk.at("09:40"))
    assert set(look(floor, "09:41").cold) >= {"H1", "H2", "H5"}
    for tank in ("h1", "h2", "h5"):
        mk.a_reading(floor.m.tanks[tank], "basking", 38.0, mk.at("10:20"))
    assert {"H1", "H2", "H5"}.isdisjoint(look(floor, "10:21").cold)
    outage.may_feed(day=floor.open("10:21"), tanks=("h1", "h2", "h5"))
