"""A lot is asked about, expected, received, kept apart and let out together; nothing half done."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest
from PIL import Image

from roomops.desk import arrivals, lots, receiving
from roomops.desk.arrivals import Question
from roomops.desk.herd import Hand
from roomops.desk.photos import MOST_BYTES, SIDE, small_jpeg
from roomops.desk.receiving import Came, Group
from roomops.desk.refusals import No, Refused
from roomops.planning.arrivals import Thing
from roomops.records import models as m
from roomops.records import snapshot
from tests import makers as mk
from tests.desk.floor import Floor

pytestmark = pytest.mark.django_db
TOMORROW = mk.DAY + timedelta(days=1)
BREEDER = "Prairie Fork Dragons"


@pytest.fixture
def floor() -> Floor:
    found = Floor()
    rack = mk.a_rack(found.room, "Q")
    for name in ("Q2", "Q3"):
        mk.a_tank(found.room, name, rack=rack, quarantine=True, length_mm=914, depth_mm=457)
    for person in (found.m.tamsin, found.m.lupe):
        for days in (1, 5):
            mk.a_shift(person, mk.DAY + timedelta(days=days), "07:30", "20:30")
    return found


def asked(heads: int = 4, **changes) -> Question:
    return replace(
        Question(kind=mk.DRAGON, heads=heads, on=TOMORROW, stage="hatchling", length_mm=100.0), **changes
    )


def expect(floor: Floor, heads: int = 4, tanks=("q2",), form=None) -> m.Arrival:
    return arrivals.expect(
        day=floor.open(), question=asked(heads), tanks=tanks, by=floor.m.oskar, form=form or uuid4(),
        breeder=BREEDER,
    )  # fmt: skip


def came(alive: int = 4, dead: int = 1, groups=(("q2", 4),), **changes) -> Came:
    made = [Group(tank=tank, heads=heads, length_mm=98.0) for tank, heads in groups]
    return replace(Came(alive=alive, dead=dead, groups=made, kind=mk.DRAGON, stage="hatchling"), **changes)


def receive(floor: Floor, what: Came, key: str = "", form=None) -> m.Lot:
    return receiving.receive(day=floor.open(), came=what, by=floor.m.oskar, form=form or uuid4(), key=key)


def refused(call, *args, **more) -> Refused:
    with pytest.raises(Refused) as no:
        call(*args, **more)
    return no.value


# ---------------------------------------------------------------- asked


def test_the_answer_names_the_scarcest_thing_and_a_smaller_yes_with_its_tanks(floor):
    # Tray Q has four tubs, so four of a tank are fed at once; a 36 × 18 in tank has floor for more.
    found = arrivals.ask(day=floor.open(), question=asked(30, on=mk.DAY + timedelta(days=5)))
    assert 0 < found.most <= 8
    assert found.scarcest in {Thing.QUARANTINE, Thing.TANKS, Thing.MINUTES}
    assert {tank for tank, _ in found.tanks} <= {"q2", "q3"}
    assert sum(heads for _, heads in found.tanks) == found.most


def test_a_tank_that_is_promised_or_lived_in_is_not_counted(floor):
    expect(floor)
    free = {p.tank: p.free for p in arrivals.places(day=floor.open()) if p.quarantine}
    assert free == {"q1": False, "q2": False, "q3": True}


def test_a_quarantine_tank_is_free_again_when_its_lot_may_come_out(floor):
    [q1] = [p for p in arrivals.places(day=floor.open()) if p.tank == "q1"]
    assert q1.free_on == mk.WRITTEN.date() + timedelta(days=90)


@pytest.mark.parametrize(
    ("question", "why"),
    [
        ({"heads": 0}, No.OUT_OF_RANGE),
        ({"heads": 10_000}, No.OUT_OF_RANGE),
        ({"heads": 501}, No.OUT_OF_RANGE),
        ({"on": mk.DAY - timedelta(days=1)}, No.TOO_EARLY),
        ({"on": mk.DAY + timedelta(days=91)}, No.TOO_FAR_AHEAD),
        ({"kind": "dodo"}, No.UNKNOWN_KIND),
        ({"stage": "larva"}, No.UNKNOWN_KIND),
    ],
)
def test_what_cannot_be_asked_is_refused(floor, question, why):
    assert refused(arrivals.ask, day=floor.open(), question=replace(asked(), **question)).why is why


# ---------------------------------------------------------------- expected


def test_a_lot_is_expected_once_though_the_form_is_pressed_twice_and_its_tanks_are_told_to_planning(floor):
    form = uuid4()
    assert expect(floor, form=form).pk == expect(floor, form=form).pk
    [told] = snapshot.take(room=floor.room, day=mk.DAY, now=mk.at("09:00")).arriving
    assert (told.kind, told.heads, told.on, told.tanks) == (mk.DRAGON, 4, TOMORROW, ("q2",))


def test_a_tank_is_promised_to_one_lot_only(floor):
    expect(floor)
    no = refused(expect, floor)
    assert (no.why, no.about["value"]) == (No.NOT_FREE, "Q2")
    assert refused(expect, floor, tanks=("q1",)).why is No.NOT_FREE  # lived in
    assert refused(expect, floor, tanks=("q9",)).why is No.UNKNOWN_TANK
    assert refused(expect, floor, tanks=()).why is No.MISSING
    assert m.Arrival.objects.count() == 1


def test_a_cancelled_lot_frees_its_tanks(floor):
    lot = expect(floor)
    arrivals.cancel(day=floor.open(), key=lot.key, by=floor.m.oskar)
    assert arrivals.expected(day=floor.open()) == ()
    assert expect(floor).pk != lot.pk
    assert refused(arrivals.cancel, day=floor.open(), key=lot.key, by=floor.m.oskar).why is No.UNKNOWN_LOT


def test_the_day_before_its_tanks_are_warmed_as_a_duty_of_the_plan(floor):
    expect(floor, tanks=("q2", "q3"))
    [lot] = arrivals.expected(day=floor.open())
    assert lot.days == 1
    assert lot.tank_names == ("Q2", "Q3")


# ---------------------------------------------------------------- received


def test_a_lot_of_five_with_one_dead_is_sorted_into_its_tanks_in_quarantine(floor):
    lot = expect(floor, tanks=("q2", "q3"))
    made = receive(floor, came(groups=(("q2", 3), ("q3", 1)), breeder=""), key=lot.key)
    lot.refresh_from_db()
    assert (lot.state, lot.lot, lot.dead_on_arrival, lot.heads) == ("here", made, 1, 5)
    assert (made.heads_arrived, made.breeder, made.arrived_on) == (5, BREEDER, mk.DAY)
    rows = m.Resident.objects.filter(lot=made).order_by("tank__order")
    assert [(r.tank.key, r.heads, r.status, r.identity) for r in rows] == [
        ("q2", 3, "quarantine", "unmarked"),
        ("q3", 1, "quarantine", "unmarked"),
    ]
    assert [r.stays.get(until=None).heads for r in rows] == [3, 1]
    assert {r.measurements.get().value for r in rows} == {98.0}
    assert arrivals.expected(day=floor.open()) == ()


def test_those_who_came_are_fed_in_tubs_today_and_drop_into_the_plan_as_stale(floor):
    floor.open("08:30")  # the day is planned before they come
    made = receive(floor, came())
    day = floor.open()
    key = m.Resident.objects.get(lot=made).key
    assert any(f"/feed/{key}/" in duty for duty in day.stale)


def test_pressed_twice_it_is_one_lot(floor):
    form = uuid4()
    assert receive(floor, came(), form=form).pk == receive(floor, came(), form=form).pk
    assert m.Resident.objects.filter(lot__isnull=False, tank__key="q2").count() == 1


def test_a_lot_that_came_unannounced_is_kept_as_one_that_is_here(floor):
    made = receive(floor, came(breeder=BREEDER))
    assert (made.arrival.state, made.arrival.dead_on_arrival) == ("here", 1)


def test_a_lot_of_which_none_lives_is_kept_and_nobody_is_in_the_room(floor):
    made = receive(floor, came(alive=0, dead=5, groups=()))
    assert made.heads_arrived == 5
    assert not m.Resident.objects.filter(lot=made).exists()


@pytest.mark.parametrize(
    ("what", "why"),
    [
        (came(alive=0, dead=0, groups=()), No.OUT_OF_RANGE),
        (came(alive=10_000, dead=0, groups=(("q2", 10_000),)), No.OUT_OF_RANGE),
        (came(alive=5, groups=(("q2", 4),)), No.NOT_ALL_SORTED),
        (came(alive=3, groups=(("q2", 4),)), No.NOT_ALL_SORTED),
        (came(alive=4, groups=(("q2", 4), ("q3", 0))), No.NOT_ALL_SORTED),
        (came(dead=-1), No.TOO_MANY_DEAD),
        (came(groups=(("q1", 4),)), No.NOT_FREE),
        (came(groups=(("q2", 2), ("q2", 2))), No.NOT_FREE),
        (came(groups=(("h9", 4),)), No.UNKNOWN_TANK),
        (came(alive=9, groups=(("q2", 9),)), No.TOO_MANY),
        (came(hatched_on=TOMORROW), No.FUTURE_DATE),
        (came(kind="dodo"), No.UNKNOWN_KIND),
        (came(alive=1, groups=(("q2", 1),), photos=(b"x",) * 7), No.OUT_OF_RANGE),
    ],
)
def test_what_cannot_have_come_keeps_nothing(floor, what, why):
    before = [model.objects.count() for model in (m.Lot, m.Resident, m.Arrival, m.Stay, m.Photo)]
    assert refused(receive, floor, what).why is why
    assert [model.objects.count() for model in (m.Lot, m.Resident, m.Arrival, m.Stay, m.Photo)] == before


def test_a_lot_goes_into_quarantine_tanks_alone(floor):
    mk.a_tank(floor.room, "H9")
    assert refused(receive, floor, came(groups=(("h9", 4),))).why is No.QUARANTINE_APART


def test_a_length_that_no_animal_of_its_kind_has_is_measured_again(floor):
    long = [Group(tank="q2", heads=4, length_mm=2000.0)]
    assert refused(receive, floor, replace(came(), groups=long)).why is No.MEASURE_AGAIN


# ---------------------------------------------------------------- in and out together


def hand(floor: Floor, clock: str = "09:00") -> Hand:
    return Hand(room=floor.room, by=floor.m.tamsin, now=mk.at(clock), day=mk.DAY)


def old_lot(floor: Floor, days: int) -> m.Lot:
    """A lot in two tanks that came so many days ago."""
    made = receive(floor, came(groups=(("q2", 3), ("q3", 1))))
    m.Lot.objects.filter(pk=made.pk).update(arrived_on=mk.DAY - timedelta(days=days))
    since = mk.NOW - timedelta(days=days)
    m.Stay.objects.filter(resident__lot=made).update(since=since)
    for name in ("H8", "H9"):
        mk.a_tank(floor.room, name, length_mm=914, depth_mm=457)
    return made


def test_a_lot_is_apart_until_its_days_from_the_last_stranger_are_over(floor):
    made = old_lot(floor, 60)
    [lot] = lots.apart(day=floor.open())
    assert (lot.day, lot.days, lot.heads, lot.over) == (61, 90, 4, False)
    assert lot.until == mk.DAY + timedelta(days=30)
    mk.a_hatchling(m.Tank.objects.get(key="q2"), "bar", status="quarantine")
    m.Stay.objects.filter(resident__key="q2-bar").update(since=mk.NOW - timedelta(days=2))
    [lot] = lots.apart(day=floor.open())
    assert (lot.key, lot.day) == (made.key, 3)


@pytest.mark.parametrize(("days", "over"), [(89, False), (90, True), (91, True)])
def test_quarantine_is_over_after_its_ninety_days(floor, days, over):
    old_lot(floor, days)
    assert lots.apart(day=floor.open())[0].over is over


def moves(floor: Floor, *tanks: str) -> dict[str, str]:
    [lot] = lots.apart(day=floor.open())
    return {group.key: tank for group, tank in zip(lot.groups, tanks, strict=False)}


def test_a_lot_comes_out_all_together(floor):
    made = old_lot(floor, 91)
    lots.let_out(hand=hand(floor), day=floor.open(), lot=made.key, tanks=moves(floor, "h8", "h9"))
    rows = m.Resident.objects.filter(lot=made, heads__gte=1).order_by("tank__key")
    assert [(r.tank.key, r.status) for r in rows] == [("h8", "here"), ("h9", "here")]


def test_part_of_a_lot_does_not_come_out(floor):
    made = old_lot(floor, 91)
    no = refused(lots.let_out, hand=hand(floor), day=floor.open(), lot=made.key, tanks=moves(floor, "h8"))
    assert (no.why, no.about["value"]) == (No.LOT_TOGETHER, ["Q3 · unmarked"])


def test_before_its_days_are_over_only_a_vets_word_lets_a_lot_out(floor):
    made = old_lot(floor, 30)
    to = moves(floor, "h8", "h9")
    no = refused(lots.let_out, hand=hand(floor), day=floor.open(), lot=made.key, tanks=to)
    assert (no.why, no.about["until"]) == (No.QUARANTINE_RUNS, mk.DAY + timedelta(days=60))
    assert m.Resident.objects.filter(lot=made, status="quarantine").count() == 2
    lots.let_out(hand=hand(floor), day=floor.open(), lot=made.key, tanks=to, vet=True)
    assert not m.Resident.objects.filter(lot=made, status="quarantine").exists()


def test_when_one_group_cannot_move_none_does(floor):
    made = old_lot(floor, 91)
    no = refused(
        lots.let_out, hand=hand(floor), day=floor.open(), lot=made.key, tanks=moves(floor, "h8", "marlow")
    )
    assert no.why in {No.TOO_MANY, No.LIVES_ALONE}
    assert m.Resident.objects.filter(lot=made, status="quarantine").count() == 2


# ---------------------------------------------------------------- pictures


def a_picture(size=(2000, 1500), kind="JPEG", exif: bytes = b"") -> bytes:
    made = io.BytesIO()
    more = {"exif": exif} if exif else {}
    Image.new("RGB", size, (120, 90, 40)).save(made, kind, **more)
    return made.getvalue()


def camera_data() -> bytes:
    exif = Image.Exif()
    exif[0x010F] = "Some Camera"
    exif[0x0112] = 6  # turned
    exif.get_ifd(0x8825)[2] = (43.0, 4.0, 12.0)  # where it was taken
    return exif.tobytes()


def test_a_kept_picture_is_small_upright_and_without_camera_data():
    data = a_picture(exif=camera_data())
    assert b"Some Camera" in data
    kept = small_jpeg(data=data, name="lot.jpg")
    with Image.open(io.BytesIO(kept)) as picture:
        assert picture.format == "JPEG"
        assert max(picture.size) == SIDE
        assert picture.height > picture.width  # it was turned
        assert not picture.getexif()
    assert b"Exif" not in kept
    assert b"Some Camera" not in kept


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_common_pictures_become_jpegs(kind: str):
    assert small_jpeg(data=a_picture((40, 30), kind), name="a").startswith(b"\xff\xd8")


@pytest.mark.parametrize("data", [b"", b"no picture", a_picture()[:400], a_picture((40, 30), "GIF")])
def test_what_is_no_picture_is_refused_by_its_name(data: bytes):
    no = refused(small_jpeg, data=data, name="notes.txt")
    assert (no.why, no.about["value"]) == (No.NO_PICTURE, "notes.txt")


@pytest.mark.parametrize(("over", "why"), [(-1, No.NO_PICTURE), (0, No.NO_PICTURE), (1, No.TOO_LARGE)])
def test_twelve_megabytes_are_the_most(over: int, why: No):
    assert refused(small_jpeg, data=b"0" * (MOST_BYTES + over), name="big.jpg").why is why
