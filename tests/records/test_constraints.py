"""What the database itself refuses: every constraint of every table, each broken once."""

from collections.abc import Callable, Iterator
from datetime import time, timedelta
from uuid import UUID

import makers
import pytest
from django.apps import apps
from django.db import IntegrityError, models, transaction
from makers import DAY, WRITTEN, at

from roomops.records import models as m

BREAKS: dict[str, Callable[[], object]] = {}


def breaks(name: str) -> Callable[[Callable[[], object]], Callable[[], object]]:
    """The function under it writes rows of which the last breaks the constraint of that name."""

    def keep(write: Callable[[], object]) -> Callable[[], object]:
        BREAKS[name] = write
        return write

    return keep


def constraints() -> Iterator[tuple[type[models.Model], models.BaseConstraint]]:
    for model in apps.get_app_config("records").get_models():
        for constraint in model._meta.constraints:
            yield model, constraint


def names_it(error: str, model: type[models.Model], constraint: models.BaseConstraint) -> bool:
    """PostgreSQL names every constraint; SQLite names checks, and of uniques the columns."""
    columns = [model._meta.get_field(name).column for name in getattr(constraint, "fields", ())]
    return constraint.name in error or (bool(columns) and all(f".{column}" in error for column in columns))


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("model", "constraint"), [pytest.param(*each, id=each[1].name) for each in constraints()]
)
def test_the_database_refuses_what_may_not_be(model, constraint):
    with pytest.raises(IntegrityError) as refusal, transaction.atomic():
        BREAKS[constraint.name]()
    assert names_it(str(refusal.value), model, constraint)


def test_no_break_is_for_a_constraint_that_is_gone():
    assert set(BREAKS) == {constraint.name for _, constraint in constraints()}


def tank(name: str = "H1") -> m.Tank:
    room = m.Room.objects.first() or makers.a_room()
    return makers.a_tank(room, name)


def person() -> m.Person:
    return makers.a_person(makers.a_room(), "Tamsin")


# ---------------------------------------------------------------- the room


@breaks("room_shop_share_is_a_share")
def _a_whole_shift_for_the_shop():
    makers.a_room(shop_share=1)


@breaks("room_is_on_earth")
def _north_of_the_pole():
    makers.a_room(latitude=90.1)


@breaks("peak_weekday")
def _an_eighth_day():
    makers.a_peak(makers.a_room(), 7, "10:00", "10:30")


@breaks("peak_ends_after_start")
def _a_peak_that_ends_as_it_starts():
    makers.a_peak(makers.a_room(), 0, "10:00", "10:00")


@breaks("one_choice_per_figure")
def _two_choices():
    room = makers.a_room()
    for claim in ("practice", "print"):
        m.CareChoice.objects.create(
            room=room, written_at=WRITTEN, kind=makers.DRAGON, topic="basking", claim=claim
        )


# ---------------------------------------------------------------- people


@breaks("person_key_in_room")
def _two_of_one_key():
    makers.a_person(person().room, "Tamsin")


@breaks("account_once_in_room")
def _one_account_for_two():
    tamsin = person()
    account = makers.an_account(tamsin)
    makers.a_person(tamsin.room, "Oskar", account=account)


@breaks("shift_ends_after_start")
def _a_shift_of_no_length():
    tamsin = person()
    m.Shift.objects.create(
        room=tamsin.room, written_at=WRITTEN, person=tamsin, starts=at("07:30"), ends=at("07:30")
    )


@breaks("shift_once")
def _twice_at_once():
    tamsin = person()
    makers.a_shift(tamsin, DAY, "07:30", "13:30")
    makers.a_shift(tamsin, DAY, "07:30", "12:00")


# ---------------------------------------------------------------- places


@breaks("timer_key_in_room")
def _two_timers():
    room = makers.a_room()
    for _ in range(2):
        m.Timer.objects.create(room=room, written_at=WRITTEN, key="day", name="Day", on=time(7), off=time(20))


@breaks("timer_off_after_on")
def _lamps_through_the_night():
    makers.a_timer(makers.a_room(), on="20:00", off="07:30")


@breaks("rack_key_in_room")
def _two_racks():
    room = makers.a_room()
    for _ in range(2):
        m.Rack.objects.create(room=room, written_at=WRITTEN, key="a", name="Rack A", order=1)


@breaks("tank_key_in_room")
def _two_tanks():
    tank()
    tank()


@breaks("tank_has_size")
def _a_tank_without_height():
    makers.a_tank(makers.a_room(), "H1", height_mm=0)


@breaks("one_season_a_day")
def _two_winters():
    a_season(off=time(18))
    a_season(off=time(17))


@breaks("season_begins_on_a_day")
def _a_thirteenth_month():
    a_season(from_month=13)


@breaks("season_off_after_on")
def _lamps_through_the_winter_night():
    a_season(on=time(18), off=time(8))


def a_season(**changes: object) -> m.TimerSeason:
    room = m.Room.objects.first() or makers.a_room()
    facts = {"from_month": 11, "from_day": 1, "on": time(8), "off": time(18)} | changes
    return m.TimerSeason.objects.create(room=room, written_at=WRITTEN, timer=makers.a_timer(room), **facts)


@breaks("watts_within_the_fixture")
def _a_hundred_watts_in_a_fixture_for_sixty():
    place = tank()
    m.Lamp.objects.create(
        room=place.room, written_at=WRITTEN, tank=place, kind="day", name="x", watts=100, rated_watts=60
    )


@breaks("one_lamp_in_a_fixture")
def _a_lamp_on_two_tanks():
    place = tank()
    for each in (place, makers.a_tank(place.room, "H9")):
        makers.a_lamp(each, key="h1-uv")


@breaks("reading_is_a_room_temperature")
def _a_basking_place_at_110_c():
    makers.a_reading(tank(), "basking", 110)


@breaks("tray_key_in_room")
def _two_trays():
    room = makers.a_room()
    makers.a_tray(room, "A", tubs=0)
    makers.a_tray(room, "A", tubs=0)


@breaks("tub_key_in_room")
def _two_tubs():
    tray = makers.a_tray(makers.a_room(), "A", tubs=1)
    m.Tub.objects.create(room=tray.room, written_at=WRITTEN, key="a-1", tray=tray, number=2, fits_mm=260)


@breaks("tub_number_on_tray")
def _two_first_tubs():
    tray = makers.a_tray(makers.a_room(), "A", tubs=1)
    m.Tub.objects.create(room=tray.room, written_at=WRITTEN, key="a-x", tray=tray, number=1, fits_mm=260)


@breaks("tub_fits_something")
def _a_tub_for_nobody():
    makers.a_tray(makers.a_room(), "A", tubs=1, fits_mm=0)


# ---------------------------------------------------------------- animals


@breaks("lot_key_in_room")
def _two_lots():
    place = tank()
    lot = makers.a_lot(place, 5).lot
    m.Lot.objects.create(
        room=place.room,
        written_at=WRITTEN,
        key=lot.key,
        name="x",
        kind=lot.kind,
        arrived_on=DAY,
        heads_arrived=1,
    )


@breaks("lot_has_heads")
def _a_lot_of_none():
    a_lot(heads=0)


@breaks("resident_key_in_room")
def _two_residents():
    place = tank()
    makers.a_resident(place, "marlow")
    makers.a_resident(place, "marlow")


@breaks("mark_once_in_a_tank")
def _two_bars_in_one_tank():
    place = tank()
    makers.a_resident(place, "one", identity="marked", mark="bar", status="at vet")
    makers.a_resident(place, "two", identity="marked", mark="bar")


@breaks("resident_heads")
def _five_hundred_and_one():
    makers.a_lot(tank(), 501, lot=a_lot())


@breaks("only_unmarked_are_many")
def _two_of_a_name():
    makers.an_adult(tank(), "Marlow", heads=2)


@breaks("a_resident_here_has_a_tank")
def _here_and_nowhere():
    m.Resident.objects.create(
        room=makers.a_room(), written_at=WRITTEN, key="x", kind=makers.DRAGON, identity="named",
        status="here", status_since=WRITTEN,
    )  # fmt: skip


@breaks("one_open_stay")
def _in_two_tanks_at_once():
    marlow = makers.an_adult(tank(), "Marlow")
    m.Stay.objects.create(
        room=marlow.room, written_at=WRITTEN, resident=marlow, tank=tank("H2"), since=WRITTEN
    )


@breaks("stay_ends_after_start")
def _gone_before_it_came():
    marlow = makers.an_adult(tank(), "Marlow")
    m.Stay.objects.filter(resident=marlow).update(since=at("10:00"), until=at("09:59"))


@breaks("measured_is_positive")
def _nothing_on_the_scale():
    makers.a_measurement(makers.an_adult(tank(), "Marlow"), "weight_g", 0)


def a_lot(heads: int = 20) -> m.Lot:
    room = m.Room.objects.first() or makers.a_room()
    return m.Lot.objects.create(
        room=room,
        written_at=WRITTEN,
        key="x",
        name="x",
        kind=makers.DRAGON,
        arrived_on=DAY,
        heads_arrived=heads,
    )


# ---------------------------------------------------------------- what is ordered or expected


@breaks("arrival_key_in_room")
def _one_arrival_twice():
    an_arrival()
    an_arrival()


@breaks("arrival_has_heads")
def _nobody_comes():
    an_arrival(heads=0)


@breaks("no_more_dead_than_came")
def _more_dead_than_came():
    an_arrival(heads=30, dead_on_arrival=31)


def an_arrival(**changes: object) -> m.Arrival:
    room = m.Room.objects.first() or makers.a_room()
    facts = {"key": "june-lot", "kind": makers.DRAGON, "heads": 30, "expected_on": DAY} | changes
    return m.Arrival.objects.create(room=room, written_at=WRITTEN, **facts)


@breaks("photo_of_one_thing")
def _a_photo_of_nobody():
    m.Photo.objects.create(room=makers.a_room(), written_at=WRITTEN, at=WRITTEN, jpeg=b"x")


@breaks("medicine_key_in_room")
def _one_medicine_twice():
    a_medicine()
    a_medicine()


@breaks("medicine_times_a_day")
def _five_times_a_day():
    a_medicine(times_a_day=5)


@breaks("medicine_ends_after_start")
def _over_before_it_began():
    a_medicine(from_on=DAY, until_on=DAY - timedelta(days=1))


def a_medicine(**changes: object) -> m.MedicineOrder:
    marlow = m.Resident.objects.first() or makers.an_adult(tank(), "Marlow")
    facts = {
        "key": "marlow-1",
        "as_ordered": "0.05 mL by mouth",
        "ordered_by": "Dr. Whitcomb",
        "times_a_day": 2,
        "from_on": DAY,
        "until_on": DAY,
    } | changes
    return m.MedicineOrder.objects.create(room=marlow.room, written_at=WRITTEN, resident=marlow, **facts)


@breaks("pen_key_in_room")
def _two_pens():
    room = makers.a_room()
    for _ in range(2):
        m.Pen.objects.create(room=room, written_at=WRITTEN, key="pen-1", name="Pen 1")


@breaks("weather_of_this_planet")
def _hotter_than_anywhere():
    m.Weather.objects.create(
        room=makers.a_room(), written_at=WRITTEN, at=WRITTEN, temp_c=61, sky="clear", wind="calm"
    )


@breaks("outdoors_once")
def _outdoors_twice():
    marlow = makers.an_adult(tank(), "Marlow")
    for _ in range(2):
        a_sun_session(marlow)


@breaks("one_animal_a_pen")
def _two_in_one_pen():
    marlow, fennel = (makers.an_adult(tank(name), name) for name in ("Marlow", "Fennel"))
    pen = m.Pen.objects.create(room=marlow.room, written_at=WRITTEN, key="pen-1", name="Pen 1")
    for animal in (marlow, fennel):
        a_sun_session(animal, pen=pen)


@breaks("sun_ends_after_start")
def _in_before_out():
    a_sun_session(makers.an_adult(tank(), "Marlow"), ends=at("09:59"))


def a_sun_session(animal: m.Resident, **changes: object) -> m.SunSession:
    facts = {"starts": at("10:00")} | changes
    return m.SunSession.objects.create(room=animal.room, written_at=WRITTEN, resident=animal, **facts)


@breaks("one_open_outage")
def _two_power_cuts_at_once():
    room = makers.a_room()
    for kind in ("power", "heat"):
        m.Outage.objects.create(room=room, written_at=WRITTEN, kind=kind, began=at("10:00"))


@breaks("outage_ends_after_start")
def _back_before_it_failed():
    m.Outage.objects.create(
        room=makers.a_room(), written_at=WRITTEN, kind="power", began=at("10:00"), ended=at("09:59")
    )


# ---------------------------------------------------------------- foods


@breaks("one_minimum_a_thing")
def _two_minimums_of_one_thing():
    room = makers.a_room()
    for amount in (100, 200):
        a_minimum(room, amount)


@breaks("minimum_is_not_negative")
def _less_than_nothing():
    a_minimum(makers.a_room(), -1)


def a_minimum(room: m.Room, amount: float) -> m.Minimum:
    return m.Minimum.objects.create(
        room=room, written_at=WRITTEN, kind="cricket", category="insect", amount=amount
    )


@breaks("batch_key_in_room")
def _two_batches():
    room = makers.a_room()
    makers.a_batch(room, "c-1", "cricket", 0)
    makers.a_batch(room, "c-1", "cricket", 0)


@breaks("batch_size_is_positive")
def _prey_of_no_length():
    makers.a_batch(makers.a_room(), "c-1", "cricket", 0, size_mm=0)


@breaks("batch_weighs_something")
def _mice_without_weight():
    makers.a_batch(makers.a_room(), "m-1", "mouse", 5, weight_g=0)


@breaks("ledger_line_once_a_form")
def _one_form_twice():
    batch = makers.a_batch(makers.a_room(), "c-1", "cricket", 0)
    for change in (5, 6):
        makers.a_ledger_line(batch, change, form=UUID(int=7))


@breaks("ledger_line_changes_something")
def _a_line_that_says_nothing():
    makers.a_ledger_line(makers.a_batch(makers.a_room(), "c-1", "cricket", 5), 0)


# ---------------------------------------------------------------- work


@breaks("plan_version_once")
def _two_first_plans():
    room = makers.a_room()
    for method in ("quick", "improved"):
        m.PlanVersion.objects.create(
            room=room, written_at=WRITTEN, day=DAY, version=1, method=method, facts="x", document={}
        )


@breaks("corrected_once")
def _two_corrections_of_one_count():
    room, duty = makers.a_room(), f"{DAY}/feed/h1-bar/1"
    first = makers.an_entry(room, duty, "count")
    for _ in range(2):
        makers.an_entry(room, duty, "count", corrects=first)


@breaks("job_key_once")
def _one_job_twice():
    room = makers.a_room()
    for _ in range(2):
        m.Job.objects.create(room=room, written_at=WRITTEN, kind="improve", key=str(DAY))


@breaks("paper_code_once")
def _one_code_for_two_sets():
    room = makers.a_room()
    for shift in ("opening", "closing"):
        m.PaperSet.objects.create(
            room=room, written_at=WRITTEN, day=DAY, shift=shift, code="J9-1", digest="x", pages=1, pdf=b"x"
        )
