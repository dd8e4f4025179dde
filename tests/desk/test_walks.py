"""Walks along the rack, readings and chores: what is expected, what was seen, what is asked about again."""

from __future__ import annotations

from typing import Any

import pytest

from roomops.desk import chores, readings, walks
from roomops.desk.entries import Answer, Outcome
from roomops.desk.readings import Read
from roomops.desk.refusals import No, Refused
from roomops.planning.room import DutyKind
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor, form

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor() -> Floor:
    return Floor()


def c(fahrenheit: float) -> float:
    return (fahrenheit - 32) * 5 / 9


def walk(floor: Floor, kind: DutyKind, tank: str, clock: str) -> walks.RackView:
    duty = f"{mk.DAY}/{kind.value}/{tank}/0"
    day = floor.open(clock)
    return walks.rack_view(day=day, round_key=next(v.key for v in day.rounds if duty in v.round.duties))


def opening(
    floor: Floor, tank: str, clock: str = "07:40", name: str = "", **about: Any
) -> tuple[Answer, ...]:
    facts = {
        "heads": 4, "lamps": True, "water": True, "droppings": "normal", "dead_or_nipped": False,
        "night_low_c": None,
    }  # fmt: skip
    return walks.opening_seen(
        day=floor.open(clock), duty=f"{mk.DAY}/opening/{tank}/0", by=floor.m.tamsin,
        form=form(name or f"{tank} {clock}"), **(facts | about),
    )  # fmt: skip


def closing(floor: Floor, tank: str, clock: str = "19:40", **about: Any) -> tuple[Answer, ...]:
    facts = {
        "heads": 4, "lids": True, "tubs_empty": True, "lamps_off": True, "night_heat": True, "water": True,
        "dead_or_nipped": False,
    }  # fmt: skip
    return walks.closing_seen(
        day=floor.open(clock), duty=f"{mk.DAY}/closing/{tank}/0", by=floor.m.lupe,
        form=form(f"closing {tank} {clock}"), **(facts | about),
    )  # fmt: skip


# ---------------------------------------------------------------- the opening walk


def test_the_walk_goes_tank_by_tank_with_who_lives_there(floor: Floor) -> None:
    view = walk(floor, DutyKind.OPENING, "h1", "07:31")
    assert [row.tank_name for row in view.rows] == ["H1", "H2", "H5"]
    assert [row.by_the_book for row in view.rows] == [4, 4, 5]
    assert view.rows[0].who[0].startswith("H1 · ")
    assert view.rows[2].who == ("H5 · unmarked",)
    assert view.current is not None
    assert (view.current.tank, view.tanks_done, view.by_the_book) == ("h1", 0, 13)


def test_a_tank_that_was_seen_says_what_by_whom_and_the_next_is_in_hand(floor: Floor) -> None:
    opening(floor, "h1", night_low_c=c(74))
    view = walk(floor, DutyKind.OPENING, "h1", "07:41")
    row = view.rows[0]
    assert (row.done, row.heads, row.lamps, row.droppings, row.by, row.at) == (
        True, 4, True, "normal", "Tamsin", mk.at("07:40"),
    )  # fmt: skip
    assert row.night_low_c == pytest.approx(c(74))
    assert view.current is not None
    assert (view.current.tank, view.seen) == ("h2", 4)
    low = m.Reading.objects.get(spot="night low")
    assert (low.tank.key, low.value_c) == ("h1", pytest.approx(c(74)))


def test_an_animal_at_the_vet_is_not_missed(floor: Floor) -> None:
    m.Resident.objects.filter(key="h1-bar").update(status="at vet")
    row = walk(floor, DutyKind.OPENING, "h1", "07:31").rows[0]
    assert (row.by_the_book, row.away) == (3, (("H1 · bar", "at vet"),))
    opening(floor, "h1", heads=3)
    assert not m.Note.objects.exists()


def test_a_short_head_is_kept_as_a_note_and_not_as_not_here(floor: Floor) -> None:
    opening(floor, "h1", heads=3)
    note = m.Note.objects.get()
    assert (note.text, note.tank.key, note.wrong, note.written_by) == (
        "3 of 4 seen",
        "h1",
        True,
        floor.m.tamsin,
    )
    assert not m.Entry.objects.filter(kind="not here").exists()


def test_saying_a_tank_again_corrects_it_and_settles_its_short_head(floor: Floor) -> None:
    opening(floor, "h1", heads=3)
    opening(floor, "h1", "07:50")
    assert m.Note.objects.get().settled_at == mk.at("07:50")
    first, second = m.Entry.objects.order_by("at")
    assert second.corrects == first
    assert walk(floor, DutyKind.OPENING, "h1", "07:51").rows[0].heads == 4


def test_the_closing_walk_in_full_settles_the_short_head_of_the_morning(floor: Floor) -> None:
    opening(floor, "h1", heads=3)
    closing(floor, "h1")
    assert m.Note.objects.get().settled_at == mk.at("19:40")


def test_a_dead_or_nipped_animal_is_wrong_at_once(floor: Floor) -> None:
    opening(floor, "h1", dead_or_nipped=True)
    trouble = floor.open("07:41").wrong[0]
    assert (trouble.about, trouble.text) == ("H1", "A dead or nipped animal was seen on the walk.")


def test_a_walk_pressed_twice_is_one_walk(floor: Floor) -> None:
    opening(floor, "h1", heads=3, name="once")
    again = opening(floor, "h1", "07:45", heads=3, name="once")
    assert again[0].outcome is Outcome.ALREADY
    assert (m.Entry.objects.count(), m.Note.objects.count()) == (1, 1)


@pytest.mark.parametrize(
    ("slip", "why"),
    [
        ({"heads": -1}, No.OUT_OF_RANGE),
        ({"droppings": "some"}, No.UNKNOWN_REASON),
        ({"night_low_c": 120.0}, No.OUT_OF_RANGE),
        ({"night_low_c": 74.0}, No.DOUBTFUL),  # °F typed in a °C room
        ({"night_low_c": c(23)}, No.DOUBTFUL),  # °C typed in a °F room
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(floor: Floor, slip: dict[str, Any], why: No) -> None:
    with pytest.raises(Refused) as no:
        opening(floor, "h1", **slip)
    assert no.value.why is why
    assert not m.Entry.objects.exists()
    assert not m.Reading.objects.filter(spot="night low").exists()


def test_a_doubtful_night_low_may_be_kept_as_read(floor: Floor) -> None:
    opening(floor, "h1", night_low_c=c(40), keep=True)
    assert m.Reading.objects.get(spot="night low").value_c == pytest.approx(c(40))


def test_a_duty_that_is_no_walk_is_refused(floor: Floor) -> None:
    with pytest.raises(Refused) as no:
        walks.rack_view(day=floor.open(), round_key=floor.round_of("h1-bar"))
    assert no.value.why is No.UNKNOWN_ROUND
    with pytest.raises(Refused) as no:
        opening(floor, "h9")
    assert (no.value.why, no.value.about) == (No.UNKNOWN_DUTY, {"value": "2026-06-09/opening/h9/0"})


# ---------------------------------------------------------------- the closing walk


def test_no_tank_is_closed_while_its_animal_is_in_a_tub(floor: Floor) -> None:
    floor.all_in_tubs(floor.round_of("h1-bar"))
    with pytest.raises(Refused) as no:
        closing(floor, "h1")
    assert (no.value.why, no.value.about["count"]) == (No.ANIMALS_OUT, 4)
    assert "H1 · bar" in no.value.about["tubs"]
    closing(floor, "h5", heads=5)
    assert walk(floor, DutyKind.CLOSING, "h1", "19:41").out == 8


def test_the_closing_walk_keeps_lids_lamps_and_night_heat(floor: Floor) -> None:
    closing(floor, "h1", lids=False)
    row = walk(floor, DutyKind.CLOSING, "h1", "19:41").rows[0]
    assert (row.lids, row.lamps_off, row.night_heat, row.tubs_empty, row.by) == (
        False,
        True,
        True,
        True,
        "Lupe",
    )


# ---------------------------------------------------------------- readings


def rack(floor: Floor, clock: str, name: str = "a") -> readings.RackReadings:
    return readings.rack_view(day=floor.open(clock), rack=name)


def read(floor: Floor, clock: str, *reads: Read, **about: Any) -> tuple[Answer, ...]:
    about = {"by": floor.m.oskar, "form": form(f"read {clock}")} | about
    return readings.read(day=floor.open(clock), reads=reads, **about)


def test_low_tanks_come_first_then_the_walking_order(floor: Floor) -> None:
    read(floor, "08:40", Read(tank="h1", basking_c=c(104)), Read(tank="h5", basking_c=c(96)))
    view = rack(floor, "08:45")
    assert [row.tank for row in view.rows] == ["h5", "h1", "h2"]
    assert (view.low, view.left, view.rack_name) == (1, 1, "Rack A")
    assert view.rows[0].basking_band_c == (pytest.approx(c(100)), pytest.approx(c(110)))
    assert (view.rows[1].done_by, view.rows[1].due, view.rows[2].due) == ("Oskar", False, True)


@pytest.mark.parametrize(("clock", "early"), [("08:29", True), ("08:30", False), ("08:31", False)])
def test_basking_is_not_judged_within_an_hour_of_lights_on(floor: Floor, clock: str, early: bool) -> None:
    assert rack(floor, clock).rows[0].too_early is early


@pytest.mark.parametrize(
    ("basking_f", "out", "on_top"),
    [(90, "", False), (110, "", False), (112, "high", False), (116, "high", True)],
)
def test_an_hour_of_warming_up_excuses_what_is_low_and_never_what_is_too_hot(
    floor: Floor, basking_f: float, out: str, on_top: bool
) -> None:
    """100 to 110 °F is the band, 115 °F the limit to act at; lamps are on since 7:30."""
    read(floor, "07:50", Read(tank="h2", basking_c=c(basking_f)))
    rows = rack(floor, "07:55").rows
    found = next(row.basking for row in rows if row.tank == "h2")
    assert found is not None
    assert (found.out, rows[0].tank == "h2") == (out, on_top)


@pytest.mark.parametrize("typed", [40.0, c(40.0), c(180.0)])
def test_a_value_of_the_other_unit_or_a_slip_is_asked_about(floor: Floor, typed: float) -> None:
    """40 °C is a fine basking reading; 40 °F is a slip of the unit, and 180 °F cannot be kept for sure."""
    if typed == 40.0:
        read(floor, "08:40", Read(tank="h1", basking_c=typed))
        assert m.Reading.objects.filter(entry__isnull=False).count() == 1
        return
    with pytest.raises(Refused) as no:
        read(floor, "08:40", Read(tank="h1", basking_c=typed))
    assert (no.value.why, no.value.about["name"], no.value.about["tank"]) == (No.DOUBTFUL, "basking", "h1")
    assert (no.value.about["low_c"], no.value.about["high_c"]) == (
        pytest.approx(c(100)),
        pytest.approx(c(110)),
    )
    assert not m.Entry.objects.exists()


def test_104_in_a_celsius_room_cannot_be(floor: Floor) -> None:
    for keep in (False, True):
        with pytest.raises(Refused) as no:
            read(floor, "08:40", Read(tank="h1", basking_c=104.0), keep=keep)
        assert no.value.why is No.OUT_OF_RANGE


@pytest.mark.parametrize(("far", "asked"), [(14.9, False), (15.0, False), (15.1, True)])
def test_far_from_its_band_is_fifteen_degrees(floor: Floor, far: float, asked: bool) -> None:
    """House choice."""
    reads = Read(tank="h1", basking_c=c(100) - far)
    if not asked:
        assert read(floor, "08:40", reads)[0].outcome is Outcome.STORED
        return
    with pytest.raises(Refused):
        read(floor, "08:40", reads)
    assert read(floor, "08:41", reads, keep=True)[0].outcome is Outcome.STORED


def test_readings_are_kept_all_or_none(floor: Floor) -> None:
    with pytest.raises(Refused) as no:
        read(floor, "08:40", Read(tank="h1", basking_c=40.0), Read(tank="h2", basking_c=4.0))
    assert no.value.about["tank"] == "h2"
    with pytest.raises(Refused) as no:
        read(floor, "08:40", Read(tank="h1", basking_c=40.0), Read(tank="h9", basking_c=40.0))
    assert (no.value.why, no.value.about) == (No.UNKNOWN_TANK, {"value": "h9"})
    assert not m.Entry.objects.exists()


def test_a_reading_pressed_twice_is_one_reading_even_much_later(floor: Floor) -> None:
    read(floor, "08:40", Read(tank="h1", basking_c=40.0), form=form("once"))
    assert (
        read(floor, "09:40", Read(tank="h1", basking_c=40.0), form=form("once"))[0].outcome is Outcome.ALREADY
    )
    assert m.Entry.objects.count() == 1


def test_a_tank_may_be_read_more_often_than_it_must(floor: Floor) -> None:
    for clock in ("08:40", "11:00", "14:00"):
        read(floor, clock, Read(tank="h1", basking_c=40.0, cool_c=28.0))
    entries = m.Entry.objects.order_by("at")
    assert [entry.duty[-1] for entry in entries] == ["0", "1", "2"]
    assert all(entry.matched for entry in entries)


# ---------------------------------------------------------------- chores


def chore_round(floor: Floor, duty: str, clock: str = "08:00") -> str:
    return next(v.key for v in floor.open(clock).rounds if duty in v.round.duties)


def test_chores_are_done_once_and_can_be_taken_back(floor: Floor) -> None:
    first, second = f"{mk.DAY}/clean/h1/0", f"{mk.DAY}/clean/h2/0"
    key = chore_round(floor, first)
    chores.done(day=floor.open("08:10"), duties=[first], by=floor.m.oskar, form=form("a"))
    chores.done(day=floor.open("08:20"), duties=[first, second], by=floor.m.tamsin, form=form("b"))
    view = chores.chores_view(day=floor.open("08:21"), round_key=key)
    said = {row.duty: (row.label, row.done_by, row.done_at) for row in view.rows}
    assert said[first] == ("H1", "Oskar", mk.at("08:10"))
    assert said[second] == ("H2", "Tamsin", mk.at("08:20"))
    assert (view.kind, view.left) == ("clean", len(view.rows) - 2)
    chores.not_done(day=floor.open("08:22"), duty=first, by=floor.m.oskar, form=form("c"))
    chores.not_done(day=floor.open("08:22"), duty=first, by=floor.m.oskar, form=form("c"))
    assert chores.chores_view(day=floor.open("08:23"), round_key=key).left == len(view.rows) - 1
    with pytest.raises(Refused) as no:
        chores.not_done(day=floor.open("08:24"), duty=first, by=floor.m.oskar, form=form("d"))
    assert no.value.why is No.NOTHING_TO_UNDO


@pytest.mark.parametrize(("status", "left"), [("here", 1), ("gone home", 0), ("at vet", 0)])
def test_the_scale_waits_only_for_who_is_here(floor: Floor, status: str, left: int) -> None:
    key = f"{mk.DAY}/weigh/h1-bar/1"
    m.Measurement.objects.filter(measure="weight_g").delete()
    assert key in floor.open("07:40").duties
    m.Resident.objects.filter(key="h1-bar").update(status=status)
    day = floor.open("07:41")
    views = [v for v in day.rounds if key in v.round.duties]
    assert sum(key in v.duties for v in views) == left


def test_a_feed_is_no_chore(floor: Floor) -> None:
    with pytest.raises(Refused) as no:
        chores.done(day=floor.open(), duties=[floor.feed("h1-bar")], by=floor.m.oskar, form=form("a"))
    assert no.value.why is No.UNKNOWN_DUTY
    with pytest.raises(Refused) as no:
        chores.chores_view(day=floor.open(), round_key=floor.round_of("h1-bar"))
    assert no.value.why is No.UNKNOWN_ROUND


@pytest.mark.parametrize(
    ("about", "resident", "tank"),
    [
        ({"resident": "h1-bar"}, "h1-bar", "h1"),
        ({"tank": "h2"}, None, "h2"),
        ({"duty": "2026-06-09/feed/h1-bar/1"}, "h1-bar", "h1"),
        ({"duty": "2026-06-09/clean/h2/0"}, None, "h2"),
        ({}, None, None),
    ],
)
def test_what_is_wrong_is_with_an_animal_a_tank_or_the_room(
    floor: Floor, about: dict[str, str], resident: str | None, tank: str | None
) -> None:
    chores.wrong(day=floor.open(), text=" limps ", by=floor.m.oskar, form=form("a"), **about)
    note = m.Note.objects.get()
    assert (note.resident.key if note.resident else None, note.tank.key if note.tank else None) == (
        resident,
        tank,
    )
    assert (note.text, note.written_by, note.at) == ("limps", floor.m.oskar, mk.at("08:40"))


@pytest.mark.parametrize(
    ("about", "why"),
    [
        ({"text": "  "}, No.MISSING),
        ({"text": "x" * 2001}, No.TOO_LONG),
        ({"text": "limps", "resident": "nobody"}, No.UNKNOWN_RESIDENT),
        ({"text": "limps", "tank": "h9"}, No.UNKNOWN_TANK),
        ({"text": "limps", "duty": "2026-06-09/feed/nobody/1"}, No.UNKNOWN_DUTY),
    ],
)
def test_a_note_about_nobody_or_without_words_is_refused(
    floor: Floor, about: dict[str, str], why: No
) -> None:
    with pytest.raises(Refused) as no:
        chores.wrong(day=floor.open(), by=floor.m.oskar, form=form("a"), **about)
    assert no.value.why is why
    assert not m.Note.objects.exists()


def test_a_note_of_another_room_cannot_be_settled(floor: Floor) -> None:
    other = mk.a_room("other", name="Other")
    note = m.Note.objects.create(room=other, at=mk.NOW, written_at=mk.NOW, text="theirs", wrong=True)
    with pytest.raises(Refused) as no:
        chores.settle_wrong(day=floor.open(), note=note.pk, by=floor.m.oskar)
    assert no.value.why is No.NOT_YOURS
