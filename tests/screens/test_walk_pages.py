"""Walks, readings, cleaning and what is wrong, pressed as a person without script presses them."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from roomops.records import models as m
from tests import makers as mk
from tests.screens.pages import Page, Visitor

pytestmark = pytest.mark.django_db

OPENING, CLOSING = "/walk/opening-0-h1", "/walk/closing-0-h1"
SEARCH = "Search now: warm, low, dark, drains, behind the rack"


@pytest.fixture
def morning() -> mk.Morning:
    return mk.an_ordinary_morning()


@pytest.fixture
def oskar(client: Client, morning: mk.Morning) -> Visitor:
    return Visitor(client, morning.oskar, "07:40")


@pytest.fixture
def lupe(client: Client, morning: mk.Morning) -> Visitor:
    return Visitor(client, morning.lupe, "19:00")


def pressed(page: Page) -> set[str]:
    """Names of the choices that are pressed already."""
    inputs = [i for i in page.root.all("input") if i.attrs.get("type") in {"radio", "checkbox"}]
    return {i.attrs["aria-label"] for i in inputs if "checked" in i.attrs}


def walked(oskar: Visitor, page: Page, name: str, **typed: str) -> Page:
    return oskar.press(page, name, **({"droppings": "normal"} | typed))


# ---------------------------------------------------------------- opening


def test_what_is_expected_is_pressed_and_what_needs_eyes_is_not(oskar: Visitor) -> None:
    page = oskar.open("/walk/opening")
    assert pressed(page) == {"4 animals seen", "Lamps lit", "Water fresh"}
    low = page.by_id("low")
    assert low.attrs["value"] == ""
    assert low.attrs["aria-label"] == "Night low of H1, °F"


def test_only_the_tank_in_hand_is_open_and_done_leads_to_the_next(oskar: Visitor) -> None:
    page = oskar.open(OPENING)
    assert page.text.count("Animals seen in") == 1
    page = walked(oskar, page, "H1 done, to H2", night_low="73")
    entry = m.Entry.objects.get()
    assert entry.data == {
        "heads": 4, "lamps": True, "water": True, "droppings": "normal", "dead_or_nipped": False,
        "night_low_c": pytest.approx((73 - 32) / 1.8),
    }  # fmt: skip
    assert m.Reading.objects.get(entry=entry).spot == "night low"
    assert "H2 done, to H5" in page.names()
    assert "4 of 4" in page.by_id("tank-h1").text()
    assert "73" in page.by_id("tank-h1").text()
    assert "7:40 am, Oskar" in page.by_id("tank-h1").text()


def test_unsaid_droppings_are_asked_for_and_nothing_typed_is_lost(oskar: Visitor) -> None:
    page = oskar.press(oskar.open(OPENING), "H1 done, to H2", night_low="73", heads_other="2")
    assert (page.status, page.said()) == (422, "Say the droppings of H1: normal, odd, or none.")
    assert page.by_id("low").attrs["value"] == "73"
    assert [i.attrs["value"] for i in page.root.all("input") if i.attrs.get("name") == "heads_other"] == ["2"]
    assert not m.Entry.objects.exists()


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("night_low", "cold", "The night low “cold” is not a number: write it like 104 °F or 40 °C."),
        ("night_low", "73 in", "measures length and not temperature"),
        ("heads_other", "four", "“four” is no whole number for the number of animals seen"),
        ("heads_other", "900", "900 cannot be the number of animals seen: write one from 0 to 500."),
    ],
)
def test_a_bad_value_is_one_sentence_with_the_value_and_stays_in_its_field(
    oskar: Visitor, field: str, typed: str, sentence: str
) -> None:
    page = walked(oskar, oskar.open(OPENING), "H1 done, to H2", **{field: typed})
    assert page.status == 422
    assert sentence in page.said()
    kept = [i.attrs["value"] for i in page.root.all("input") if i.attrs.get("name") == field]
    assert kept == [typed]
    assert "Droppings normal" in pressed(page)
    assert not m.Entry.objects.exists()


def test_a_night_low_that_can_hardly_be_is_asked_again_then_kept_as_read(oskar: Visitor) -> None:
    page = walked(oskar, oskar.open(OPENING), "H1 done, to H2", night_low="23")
    assert page.status == 409
    assert "23 °F" in page.said()
    assert not m.Entry.objects.exists()
    page = oskar.press(page, "Keep 23 °F, read again")
    assert m.Entry.objects.get().data["night_low_c"] == pytest.approx(-5)
    assert "H2 done, to H5" in page.names()


def test_an_odd_night_low_may_be_changed_instead(oskar: Visitor) -> None:
    page = walked(oskar, oskar.open(OPENING), "H1 done, to H2", night_low="23")
    oskar.press(page, "H1 done, to H2", night_low="23 C")
    assert m.Entry.objects.get().data["night_low_c"] == pytest.approx(23)


def test_more_than_by_the_book_is_counted_again(oskar: Visitor) -> None:
    page = walked(oskar, oskar.open(OPENING), "H1 done, to H2", heads_other="5")
    assert page.said().startswith("H1 has 4 animals by the book and you saw 5: count again.")
    assert not m.Entry.objects.exists()
    oskar.press(page, "Keep 5, counted again")
    assert m.Entry.objects.get().data["heads"] == 5


def test_a_head_short_opens_the_search_at_once_and_everybody_sees_it(oskar: Visitor) -> None:
    page = walked(oskar, oskar.open(OPENING), "H1 done, to H2", heads="3")
    assert f"H1: 3 of 4 seen. {SEARCH}" in page.text
    assert page.links()["Can’t find it"] == "/wrong?tank=h1&sign=lost"
    assert "3 of 4" in oskar.open("/").text
    found = oskar.follow(page, "Found: count again")
    page = oskar.press(found, "H1 done, to H2", heads="4")
    assert "3 of 4 seen" not in page.text
    assert m.Entry.objects.filter(corrections__isnull=True).get().data["heads"] == 4


def test_a_dead_or_nipped_one_leads_to_wrong_with_the_tank_named(oskar: Visitor) -> None:
    page = walked(oskar, oskar.open(OPENING), "H1 done, to H2", dead_or_nipped="on")
    assert page.path == "/wrong?tank=h1&from=opening"
    assert "Another animal, a tank or the room" in page.links()
    assert m.Entry.objects.get().data["dead_or_nipped"] is True


def test_a_tank_that_is_done_may_be_changed(oskar: Visitor) -> None:
    page = walked(oskar, oskar.open(OPENING), "H1 done, to H2", night_low="73")
    page = oskar.follow(page, "Change H1")
    assert pressed(page) == {"4 animals seen", "Lamps lit", "Water fresh", "Droppings normal"}
    assert page.by_id("low").attrs["value"] == "73"
    oskar.press(page, "H1 done, to H2", night_low="74")
    last = m.Entry.objects.filter(corrections__isnull=True).get()
    assert last.data["night_low_c"] == pytest.approx((74 - 32) / 1.8)


def test_pressing_done_twice_keeps_one(oskar: Visitor) -> None:
    page = oskar.open(OPENING)
    walked(oskar, page, "H1 done, to H2")
    walked(oskar, page, "H1 done, to H2")
    assert m.Entry.objects.count() == 1
    other = walked(oskar, page, "H1 done, to H2", heads="3")
    assert other.status == 409
    assert "Both are kept" in other.said()
    assert m.Clash.objects.count() == 1


def test_quarantine_is_a_page_of_its_own_with_its_own_tools(oskar: Visitor) -> None:
    page = oskar.open("/walk/opening-0-q1")
    assert "Quarantine: its own pen, thermometer and tools." in page.text
    assert "H1" not in [th.text()[:2] for th in page.root.all("th")]
    assert "Quarantine: its own pen" not in oskar.open(OPENING).text


# ---------------------------------------------------------------- closing


def test_the_closing_walk_asks_for_the_lid(lupe: Visitor) -> None:
    page = lupe.open(CLOSING)
    assert pressed(page) == {"4 animals seen", "Lamps off", "Night heat set, or not needed", "Water fresh"}
    wrong = lupe.press(page, "H1 done, to H2")
    assert wrong.said() == "Say the lid of H1: press it when you have tried it."
    lupe.press(wrong, "H1 done, to H2", lids="locked")
    data = m.Entry.objects.get().data
    assert (data["heads"], data["lids"], data["tubs_empty"], data["lamps_off"], data["night_heat"]) == (
        4, True, True, True, True,
    )  # fmt: skip


def test_the_room_cannot_close_while_an_animal_is_in_a_tub(lupe: Visitor, morning: mk.Morning) -> None:
    tray = "/feeding/feed-3-h1-bar"
    lupe.clock = "18:00"
    page = lupe.press(lupe.open(tray), "Cups ready, to tubs")
    lupe.press(page, "Tub 1, in its tub")
    lupe.clock = "19:00"
    page = lupe.open(CLOSING)
    assert "1 animal still in a tub: Tray A, 1 from H1 and H2." in page.said()
    assert "H1 done, to H2" not in page.names()
    form = next(i.attrs["value"] for i in page.root.all("input") if i.attrs.get("name") == "form")
    sent = {"form": form, "tank": "h2", "heads": "4", "lids": "locked", "lamps_off": "on"}
    answer = lupe.send(CLOSING, sent)
    assert answer.status == 409
    assert "Tray A, 1" in answer.said()
    assert not m.Entry.objects.filter(kind="walk").exists()


# ---------------------------------------------------------------- readings


def read(visitor: Visitor, path: str = "/readings?rack=a", tank: str = "H1", **typed: str) -> Page:
    visitor.clock = "08:45"
    page = visitor.open(f"{path}&tank={tank.lower()}")
    return visitor.press(page, f"Keep {tank}", **typed)


@pytest.mark.parametrize(
    ("units", "basking", "cool", "shown"),
    [("us", "104", "82.4", "104"), ("us", "40 C", "28 °C", "104"), ("metric", "40", "28", "40"),
     ("metric", "104 F", "28", "40")],
)  # fmt: skip
def test_a_reading_is_kept_in_celsius_and_shown_in_the_rooms_units(
    oskar: Visitor, units: str, basking: str, cool: str, shown: str
) -> None:
    m.Room.objects.update(units=units)
    page = read(oskar, basking=basking, cool=cool)
    kept = dict(m.Reading.objects.filter(entry__isnull=False).values_list("spot", "value_c"))
    assert kept == {"basking": pytest.approx(40), "cool": pytest.approx(28)}
    assert f"{shown}8:45 am" in page.by_id("tank-h1").text().replace(" 8:45", "8:45")


@pytest.mark.parametrize(
    ("basking", "cool", "status", "sentence"),
    [
        ("", "", 422, "Nothing was typed for H1: write the basking side, the cool side, or both."),
        ("hot", "", 422, "The basking side “hot” is not a number"),
        ("110 C", "", 409, "110"),
        ("40", "", 409, "40 °F is far from 100 °F to 110 °F"),
    ],
)
def test_a_reading_that_cannot_be_or_hardly_can_be_is_not_kept(
    oskar: Visitor, basking: str, cool: str, status: int, sentence: str
) -> None:
    page = read(oskar, basking=basking, cool=cool)
    assert page.status == status
    assert sentence in page.said()
    typed = [i.attrs["value"] for i in page.root.all("input") if i.attrs.get("name") == "basking"]
    assert typed == [basking]
    assert not m.Entry.objects.exists()


def test_a_doubtful_reading_is_kept_when_it_was_read_again(oskar: Visitor) -> None:
    page = read(oskar, basking="88", cool="82")
    page = oskar.press(page, "Keep 88 °F, read again") if page.status == 409 else page
    assert m.Reading.objects.filter(entry__isnull=False, spot="basking").get().value_c == pytest.approx(
        31.1, abs=0.05
    )


def test_low_ones_come_first_with_what_to_look_at(oskar: Visitor, morning: mk.Morning) -> None:
    mk.a_reading(morning.tanks["h2"], "basking", 35.5, mk.at("08:40"))
    oskar.clock = "08:45"
    page = oskar.open("/readings?rack=a")
    rows = [th.text() for th in page.root.all("th") if th.attrs.get("scope") == "row"]
    assert [row.split()[0] for row in rows] == ["H2", "H1", "H5"]
    assert "H2 reads low: look in this order" in page.text
    assert "Nobody in H2 is fed while it is low." in page.text
    assert "1 to read again first." in page.text


def test_within_an_hour_of_lights_on_there_is_no_verdict(oskar: Visitor) -> None:
    for clock, verdict in (("08:29", False), ("08:30", True), ("08:31", True)):
        oskar.clock = clock
        assert ("only what is too high is said yet" not in oskar.open("/readings?rack=a").text) is verdict


def test_every_number_shows_its_age_and_absence_is_not_zero(oskar: Visitor) -> None:
    oskar.clock = "08:45"
    row = oskar.open("/readings?rack=a").by_id("tank-h5").text()
    assert "104" in row
    assert "June 8" in row
    assert "– not measured" in row


# ---------------------------------------------------------------- cleaning and the bench


def test_a_tank_is_cleaned_with_one_press_and_may_be_taken_back(oskar: Visitor) -> None:
    page = oskar.open("/clean")
    assert "8 of 8 tanks left" in page.text
    page = oskar.press(page, "H1 clean")
    assert "7 of 8 tanks left" in page.text
    entry = m.Entry.objects.get()
    assert (entry.kind, entry.duty, entry.written_by.name) == ("done", "2026-06-09/clean/h1/0", "Oskar")
    page = oskar.press(page, "H1, not clean after all")
    assert "8 of 8 tanks left" in page.text


def test_greens_and_insects_are_done_at_the_bench(oskar: Visitor) -> None:
    page = oskar.press(oskar.open("/bench"), "Greens and cups, done")
    assert "Done 7:40 am, Oskar" in page.text
    assert "600 Crickets ¼ in" in page.text
    page = oskar.press(page, "Insects fed and watered, done")
    assert m.Entry.objects.filter(kind="done").count() == 2
    page = oskar.press(page, "Insects fed and watered, not done after all")
    assert "Insects fed and watered, done" in page.names()


def test_mist_water_and_warm_tanks_are_done_at_the_bench_with_their_cautions(
    oskar: Visitor, morning: mk.Morning
) -> None:
    mk.an_adult(mk.a_tank(morning.room, "W1"), "Tinker", kind="slider turtle")
    mk.an_adult(mk.a_tank(morning.room, "C1"), "Fern", kind="veiled chameleon")
    lot = m.Arrival.objects.create(
        room=morning.room, key="lot-9", kind="slider turtle", heads=3, expected_on=mk.DAY + timedelta(days=1),
        written_at=mk.WRITTEN,
    )  # fmt: skip
    lot.tanks.add(mk.a_tank(morning.room, "E1"))
    page = oskar.open("/bench")
    for line in ("before a hand goes in", "until drops hang", "Let it run a day"):
        assert line in page.text
    for name in ("Water: part change, W1", "Mist, C1", "Warm up, E1"):
        page = oskar.press(page, f"{name}, done")
        assert f"{name}, not done after all" in page.names()
    said = set(m.Entry.objects.filter(kind="done").values_list("duty", flat=True))
    assert said == {f"2026-06-09/{what}" for what in ("water/w1/2", "mist/c1/1", "warm/e1/0")}


# ---------------------------------------------------------------- something is wrong


def test_two_presses_are_enough_and_what_to_do_comes_before_the_words(oskar: Visitor) -> None:
    page = oskar.open("/wrong?animal=h1-two-dots")
    assert "First, for a limp" not in page.text
    page = oskar.press(page, "Limp or swollen")
    assert "First, for a limp" in page.text
    assert "Not veterinary advice" in page.text
    assert "(608) 555-0177" in page.text
    assert not m.Note.objects.exists()
    page = oskar.press(page, "Tell Tamsin now")
    note = m.Note.objects.get()
    assert (note.text, note.wrong, note.resident.key) == ("Limp or swollen", True, "h1-two-dots")
    assert "H1 · two dots: Limp or swollen" in page.text
    assert "Limp or swollen" in oskar.open("/").text


def test_words_are_not_lost_when_a_sign_is_pressed_after_them(oskar: Visitor) -> None:
    page = oskar.press(oskar.open("/wrong?tank=h1"), "Lamp blown", words="flickers since six")
    assert page.by_id("words").attrs["value"] == "flickers since six"
    page = oskar.press(page, "Tank too hot or cold")
    assert "First, for the heat" in page.text
    oskar.press(page, "Tell Tamsin now")
    assert m.Note.objects.get().text == "Tank too hot or cold: flickers since six"


def test_nothing_said_is_asked_for(oskar: Visitor) -> None:
    page = oskar.press(oskar.open("/wrong"), "Tell Tamsin now")
    assert (page.status, page.said()) == (422, "Press what you see, or say it in your words.")
    assert not m.Note.objects.exists()


def test_telling_twice_is_telling_once_and_it_is_settled_by_a_press(oskar: Visitor) -> None:
    page = oskar.press(oskar.open("/wrong?animal=h1-two-dots"), "Mites")
    oskar.press(page, "Tell Tamsin now")
    oskar.press(page, "Tell Tamsin now")
    assert m.Note.objects.count() == 1
    page = oskar.press(oskar.open("/wrong"), "H1 · two dots, settled")
    assert m.Note.objects.get().settled_at is not None
    assert "Settled." in page.text


def test_an_animal_of_nobody_knows_where_is_nobody(oskar: Visitor) -> None:
    page = oskar.open("/wrong?animal=../../etc&tank=<b>")
    assert page.status == 200
    assert "../../etc" not in page.text
    assert "Pick one" in page.text


# ---------------------------------------------------------------- the list of walks, and empty rooms


def test_the_list_names_every_walk_and_leads_to_it(oskar: Visitor) -> None:
    page = oskar.open("/walks")
    assert page.links()["Round 1: Opening walk, rack A"] == "/walk/opening-0-h1"
    later = {href for name, href in page.links().items() if "to do" in name}
    assert {"/readings/reading-0-h1", "/clean/clean-0-h1", "/bench/insects-0-juniper-street"} <= later


@pytest.mark.parametrize(
    ("path", "words"),
    [("/walk/opening", "every head wants to be counted every day"), ("/walks", "Nobody is on shift today")],
)
def test_a_day_without_anybody_says_so(oskar: Visitor, path: str, words: str) -> None:
    m.Shift.objects.all().delete()
    assert words in oskar.open(path).text


@pytest.mark.parametrize(
    ("path", "words"),
    [("/readings", "There are no tanks yet"), ("/walk/closing", "This room has no tanks yet"),
     ("/walks", "This room has no tanks yet"), ("/clean", "No tank is due"),
     ("/bench", "Nothing at the bench")],
)  # fmt: skip
def test_a_room_without_tanks_says_so(client: Client, path: str, words: str) -> None:
    room = mk.a_room("empty")
    person = mk.a_person(room, "Ines")
    mk.a_shift(person, mk.DAY, "07:30", "13:30")
    page = Visitor(client, person, "07:40").open(path)
    assert page.status == 200
    assert words in page.text


def test_a_walk_that_is_not_in_the_plan_says_where_to_go(oskar: Visitor) -> None:
    page = oskar.open("/walk/opening-0-nowhere")
    assert page.status == 404
    assert "That walk is not in today’s plan any more" in page.text


def test_yesterdays_walk_does_not_show_as_todays(oskar: Visitor) -> None:
    mk.an_entry(
        m.Room.objects.get(), "2026-06-08/opening/h1/0", "walk", data={"heads": 3},
        at=mk.at("08:00", mk.DAY - timedelta(days=1)),
    )  # fmt: skip
    assert "0 of 3 tanks done" in oskar.open(OPENING).text
