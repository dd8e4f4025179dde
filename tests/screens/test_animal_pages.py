"""Room, rack, tank, animal, scale, medicine and search as a person without script uses them."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from roomops.desk import partings
from roomops.desk.herd import Hand
from roomops.desk.partings import Who
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import a_measured_morning
from tests.screens.pages import Page, Visitor

pytestmark = pytest.mark.django_db
BAR = "/animals/h1-bar"


@pytest.fixture
def morning() -> mk.Morning:
    return a_measured_morning()


@pytest.fixture
def oskar(client: Client, morning: mk.Morning) -> Visitor:
    return Visitor(client, morning.oskar)


def row(key: str) -> m.Resident:
    return m.Resident.objects.select_related("tank").get(key=key)


# ---------------------------------------------------------------- the bill


PAGES = ("/room", "/room/a", "/tank/h1", "/animals", BAR, "/weigh/h1", "/medicine", "/animals/h1-bar/move")


@pytest.mark.parametrize("path", PAGES)
def test_a_page_costs_the_same_queries_for_30_and_for_500_residents(
    oskar: Visitor, morning: mk.Morning, path: str
) -> None:
    fill(morning.room, 16, "x")
    oskar.open(path)  # the first page of a day makes its plan
    few = bill(oskar, path)
    fill(morning.room, 470, "y")
    oskar.open(path)
    assert bill(oskar, path) == few


def bill(oskar: Visitor, path: str) -> int:
    with CaptureQueriesContext(connection) as asked:
        assert oskar.open(path).status == 200
    return len(asked)


def fill(room: m.Room, animals: int, name: str) -> None:
    """More animals, each in a tank of its own, with two weights, readings and counts of yesterday."""
    rack, said = mk.a_rack(room, "Z"), {"room": room, "written_at": mk.WRITTEN}
    tanks = m.Tank.objects.bulk_create(
        m.Tank(key=f"{name}{n}", name=f"{name}{n}", rack=rack, order=n, length_mm=762, depth_mm=305,
               height_mm=305, **said)
        for n in range(animals)
    )  # fmt: skip
    residents = m.Resident.objects.bulk_create(
        m.Resident(key=f"{name}{n}-two-dots", mark="two dots", identity="marked", kind=mk.DRAGON, tank=tank,
                   hatched_on=date(2026, 4, 14), status="here", status_since=mk.WRITTEN, **said)
        for n, tank in enumerate(tanks)
    )  # fmt: skip
    for ago, grams in ((9, 15.0), (1, 14.5)):
        when = mk.at("08:00", mk.DAY - timedelta(days=ago))
        m.Measurement.objects.bulk_create(
            m.Measurement(resident=each, measure="weight_g", value=grams, at=when, **said)
            for each in residents
        )


# ---------------------------------------------------------------- the room


def test_the_room_says_worst_first_what_needs_someone_and_what_each_limit_rests_on(
    oskar: Visitor, morning: mk.Morning
) -> None:
    bar = morning.residents["h1-bar"]
    mk.a_measurement(bar, "weight_g", 20.0, mk.at("08:00", mk.DAY - timedelta(days=8)))
    page = oskar.open("/room")
    assert "H1 · bar much weight lost 16.4 g after 20 g 7 days before: down 18 %." in page.text
    assert "Limit: anapsid.org, nutrition support" in page.text
    assert "A reason to look, not a finding" in page.text
    page = oskar.follow(page, "Open: H1 · bar, much weight lost")
    assert page.path == BAR


def test_a_quiet_room_says_that_there_is_nothing_to_look_at(oskar: Visitor) -> None:
    assert "Nothing to look at" in oskar.open("/room").text


def test_a_room_without_racks_says_so(client: Client) -> None:
    tamsin = mk.a_person(mk.a_room(), "Tamsin")
    page = Visitor(client, tamsin).open("/room")
    assert "No racks yet" in page.text
    assert page.status == 200


@pytest.mark.parametrize(
    "path", ["/room/zz", "/tank/zz", "/animals/zz", "/animals/h1-bar/fly", "/search/h1-bar"]
)
def test_what_is_not_of_this_room_is_said_in_a_sentence(oskar: Visitor, path: str) -> None:
    page = oskar.open(path)
    assert page.status == 404
    assert page.said().endswith(".")


def test_a_tank_shows_who_is_in_it_with_the_age_of_each_number(oskar: Visitor) -> None:
    page = oskar.open("/tank/h1")
    assert "H1 · bar" in page.text
    assert "16.4 g, Mon June 8" in page.text
    assert "At most 8 by their care sheet" in page.text
    assert "The floor is 360 sq in; 4 animals ask for 522 by the care sheet." in page.text
    assert "Night low not measured" in page.text


def test_a_tank_with_animals_in_it_is_not_taken_away(oskar: Visitor) -> None:
    assert not [name for name in oskar.open("/tank/h1").names() if name.startswith("Take")]
    page = oskar.send("/tank/h1", {})
    assert page.status == 409
    assert page.said().startswith("H1 cannot be taken away while animals live in it: move H1 · bar, ")


# ---------------------------------------------------------------- all animals


def test_one_that_is_found_alone_opens_at_once(oskar: Visitor) -> None:
    with_q = oskar.client.get("/animals?q=marlow")
    assert (with_q.status_code, with_q["Location"]) == (302, "/animals/marlow")
    assert "4 found for “h2”" in oskar.open("/animals?q=h2").text
    assert "No animal fits" in oskar.open("/animals?q=unicorn").text


def test_the_list_has_pages_and_a_page_that_is_none_is_the_last(oskar: Visitor, morning: mk.Morning) -> None:
    fill(morning.room, 40, "x")
    page = oskar.open("/animals")
    assert ("Page 1 of 2" in page.text, page.text.count("Open")) == (True, 40)
    assert "Page 2 of 2" in oskar.follow(page, "Next page").text
    for odd in ("99", "0", "-1", "x", "²"):
        assert oskar.open(f"/animals?page={odd}").status == 200


# ---------------------------------------------------------------- one animal


def test_an_animal_says_its_age_its_weight_and_who_it_lives_with(oskar: Visitor, morning: mk.Morning) -> None:
    bar = morning.residents["h1-bar"]
    mk.a_measurement(bar, "weight_g", 15.6, mk.at("15:00", mk.DAY - timedelta(days=8)))
    page = oskar.open(BAR)
    assert "Bearded dragon, 8 weeks, lives in H1 with 3 others." in page.text
    assert "Weighed 16.4 g – June 8, up 0.8 g in 7 days." in page.text
    assert "Gap between the eyes 0.31 in (8 mm)" in page.text
    assert "Weight in grams, 2 times: 15.6 g on June 1, 16.4 g on June 8." in page.text
    assert "Nobody wrote a count down in the last 14 days." in page.text


def test_what_it_ate_is_drawn_day_by_day_and_a_day_without_a_word_stays_empty(
    oskar: Visitor, morning: mk.Morning
) -> None:
    yesterday = mk.DAY - timedelta(days=1)
    mk.an_entry(morning.room, f"{yesterday}/feed/h1-bar/1", "count", data={"offered": 8, "left": 0})
    mk.an_entry(morning.room, f"{mk.DAY}/feed/h1-bar/1", "refused", data={"offered": 8, "left": 8})
    assert "of at most 8 offered: ≥8 on 8, 0 on 9." in oskar.open(BAR).text


def test_an_animal_that_left_keeps_its_page_and_offers_nothing(oskar: Visitor) -> None:
    m.Resident.objects.filter(key="h1-bar").update(status="gone home")
    page = oskar.open(BAR)
    assert "Gone home" in page.text
    assert "Move" not in page.links()


def test_a_move_offers_tanks_that_fit_and_says_why_others_do_not(oskar: Visitor, morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    page = oskar.open(f"{BAR}/move")
    options = {o.attrs.get("value") for o in page.root.all("option")}
    assert "h6" in options
    assert not {"marlow", "sorrel", "q1", "h1"} & options
    assert "Marlow: Marlow lives alone by its care sheet" in page.text
    assert "Sorrel: Sorrel would hold bearded dragon and leopard gecko: kinds are kept apart." in page.text
    assert "Q1: Quarantine stays apart: H1 · bar cannot join Q1." in page.text
    done = oskar.press(page, "Move", to="h6")
    assert (done.path, row("h1-bar").tank.key) == (BAR, "h6")
    assert "Moved: H6 · bar." in done.text


def test_two_people_with_one_animal_open_and_the_second_is_told(oskar: Visitor, morning: mk.Morning) -> None:
    page = oskar.open(f"{BAR}/home")
    hand = Hand(room=morning.room, by=morning.tamsin, now=mk.at("08:39"), day=mk.DAY)
    partings.put_on_hold(hand=hand, who=Who(key="h1-bar", seen=""), note="the Ortegas", until=mk.DAY)
    page = oskar.press(page, "Gone home now", note="nobody yet")
    assert page.status == 409
    assert page.said() == "Tamsin changed H1 · bar meanwhile: on hold, H1 now. Look, then press again."
    assert page.by_id("note").attrs["value"] == "nobody yet"
    assert row("h1-bar").status == "on hold"


def test_sold_at_two_drops_out_of_the_tray_at_once(oskar: Visitor) -> None:
    oskar.clock = "14:00"
    tray = next(href for href in oskar.open("/feeding").links().values() if "feed-3" in href)
    assert "not here" not in oskar.open(tray).text.lower().split("h1 · bar")[1][:60]
    oskar.press(oskar.open(f"{BAR}/home"), "Gone home now")
    assert row("h1-bar").status == "gone home"
    assert "H1 · bar" not in oskar.open(tray).text


def test_a_small_tortoise_cannot_leave_and_the_law_is_named(oskar: Visitor, morning: mk.Morning) -> None:
    mk.a_measurement(morning.residents["clover"], "length_mm", 90)
    page = oskar.press(oskar.open("/animals/clover/home"), "Gone home now")
    assert page.status == 409
    assert (
        "no turtle or tortoise under 4 in (101.6 mm) may be sold or given out (21 CFR 1240.62)" in page.said()
    )
    assert row("clover").status == "store animal"


@pytest.mark.parametrize(
    ("until", "said"),
    [
        ("", "Say the last day of the hold: write it as 2026-06-15."),
        ("soon", "“soon” is no date for the last day of the hold: write it as 2026-06-15."),
        ("2026-06-08", "The last day of the hold June 8 cannot be: write June 9 to December 6."),
    ],
)
def test_a_hold_without_a_day_that_can_be_keeps_what_was_typed(oskar: Visitor, until: str, said: str) -> None:
    page = oskar.press(oskar.open(f"{BAR}/hold"), "Hold", until=until, note="the Ortegas")
    assert page.said() == said
    assert page.by_id("note").attrs["value"] == "the Ortegas"
    assert row("h1-bar").status == "here"


def test_one_of_a_lot_is_marked_and_opens_a_line_of_its_own(oskar: Visitor) -> None:
    page = oskar.press(oskar.open("/animals/h5-unmarked/mark"), "Mark this one", mark="ring")
    assert "One is marked: H5 · ring." in page.text
    assert (row("h5-ring").heads, row("h5-unmarked").heads) == (1, 4)


def test_a_new_animal_comes_in_and_a_slip_loses_nothing_typed(oskar: Visitor, morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    page = oskar.open("/animals/new?tank=h6")
    typed = {"kind": mk.DRAGON, "tank": "h6", "status": "here", "mark": "ring", "weeks": "8"}
    slip = oskar.press(page, "Add it", **typed, weight_g="heavy")
    assert slip.status == 422
    assert "heavy" in slip.said()
    assert (slip.by_id("mark").attrs["value"], slip.by_id("weeks").attrs["value"]) == ("ring", "8")
    wrong_unit = oskar.press(slip, "Add it", **typed, weight_g="12 in")
    assert (wrong_unit.status, m.Resident.objects.filter(mark="ring").count()) == (422, 0)
    done = oskar.press(wrong_unit, "Add it", **typed, weight_g="12.5")
    assert done.path == "/animals/h6-ring"
    assert row("h6-ring").measurements.get().value == 12.5


def test_several_are_parted_from_a_tank_together_or_not_at_all(oskar: Visitor, morning: mk.Morning) -> None:
    mk.a_tank(morning.room, "H6")
    page = oskar.open("/tank/h1/move")
    nobody = oskar.press(page, "Move them", to="h6")
    assert nobody.said() == "Pick at least one animal."
    taken = oskar.press(page, "Move them", who=["h1-bar", "h1-one-dot"], to="h2")
    assert (taken.status, row("h1-bar").tank.key) == (409, "h1")
    assert taken.said() == "Another animal of H2 has the mark “bar”: choose another mark."
    done = oskar.press(page, "Move them", who=["h1-bar", "h1-one-dot"], to="h6")
    assert done.path == "/tank/h6"
    assert {row("h1-bar").tank.key, row("h1-one-dot").tank.key} == {"h6"}


# ---------------------------------------------------------------- the scale


def test_one_animal_one_number_and_on_to_the_next(oskar: Visitor) -> None:
    page = oskar.open("/weigh/h1")
    assert "16.4 g, yesterday" in page.text
    page = oskar.press(page, "Keep, next: one dot", weight_g="17.0", gap_mm="0.33")
    assert "1 of 4 weighed in H1." in page.text
    assert "17 g, up 0.6" in page.text
    today = row("h1-bar").measurements.filter(at__gte=mk.at("08:00"))
    values = set(today.values_list("measure", "value"))
    assert values == {("weight_g", 17.0), ("gap_mm", 8.38)}


def test_a_jump_is_asked_again_and_kept_as_weighed_again(oskar: Visitor) -> None:
    page = oskar.press(oskar.open("/weigh/h1"), "Keep, next: one dot", weight_g="25")
    assert page.said() == "25 g after 16.4 g is up 52 % at once: weigh again, or keep it as weighed."
    assert page.by_id("weight_g").attrs["value"] == "25"
    assert row("h1-bar").measurements.filter(measure="weight_g").count() == 1
    oskar.press(page, "Keep, next: one dot", weight_g="25", keep="yes")
    assert row("h1-bar").measurements.filter(value=25).exists()


@pytest.mark.parametrize(
    ("typed", "part"),
    [
        ({"weight_g": ""}, "Write what the scale shows"),
        ({"weight_g": "abc"}, "abc"),
        ({"weight_g": "12 °F"}, "°F"),
        ({"weight_g": "0"}, "A weight of 0 cannot be"),
        ({"weight_g": "-3"}, "below zero"),
        ({"weight_g": "17", "gap_mm": "2"}, "A gap between the eyes of 2 in (50.8 mm) is more than"),
        ({"weight_g": "17", "length_mm": "17 g"}, "g"),
    ],
)
def test_what_no_scale_shows_is_one_sentence_and_nothing_is_kept(
    oskar: Visitor, typed: dict[str, str], part: str
) -> None:
    page = oskar.press(oskar.open("/weigh/h1"), "Keep, next: one dot", **typed)
    assert page.status in {409, 422}
    assert part in page.said()
    assert not m.Entry.objects.exists()


def test_the_same_form_pressed_twice_is_kept_once(oskar: Visitor) -> None:
    page = oskar.open("/weigh/h1")
    for _ in range(2):
        oskar.press(page, "Keep, next: one dot", weight_g="17.0")
    assert m.Entry.objects.count() == 1
    assert row("h1-bar").measurements.filter(measure="weight_g").count() == 2


# ---------------------------------------------------------------- medicine, search


def order(oskar: Visitor) -> Page:
    typed = {"as_ordered": "0.05 mL by mouth", "times": "2", "until_on": "2026-06-15", "ordered_by": "Dr. W"}
    return oskar.press(oskar.open(f"{BAR}/medicine"), "Keep the order", **typed)


def test_medicine_is_ordered_given_and_seen_on_the_animals_page(oskar: Visitor) -> None:
    assert "Medicine, as Dr. W ordered 0.05 mL by mouth" in order(oskar).text
    page = oskar.open("/medicine")
    assert "2 to give today" in page.text
    page = oskar.press(page, "H1 · bar, time 1: given")
    assert "Given 8:40 am, Oskar" in page.text
    page = oskar.press(page, "H1 · bar, time 2: not given")
    assert page.said() == "Say why it was not given: the vet asks."
    page = oskar.press(page, "H1 · bar, time 2: not given", why="spat out")
    assert "Not given: spat out (Oskar, 8:40 am)" in page.text
    assert "All said for today" in page.text


def test_an_order_without_its_last_day_keeps_the_vets_words(oskar: Visitor) -> None:
    page = oskar.press(oskar.open(f"{BAR}/medicine"), "Keep the order", as_ordered="0.05 mL", times="2")
    assert page.said() == "Say the last day: write it as 2026-06-15."
    assert page.by_id("as_ordered").attrs["value"] == "0.05 mL"
    assert not m.MedicineOrder.objects.exists()


def test_a_missing_animal_is_searched_and_found(oskar: Visitor) -> None:
    page = oskar.press(oskar.open(f"{BAR}/missing"), "It is missing", note="lid open")
    assert page.path == "/search/h1-bar"
    assert page.said() == ""
    page = oskar.press(page, "Looked, not found yet", looked=["low"], **{"seen-h2": "5"})
    assert "H2 has 5 and 4 by the book: it may be there." in page.text
    assert "missing" in oskar.open("/room").text
    assert oskar.press(page, "Found").said() == "Say where it was: the next one will hide there too."
    page = oskar.press(page, "Found", where="in H2")
    assert (page.path, row("h1-bar").status) == (BAR, "here")


def test_a_count_that_is_no_number_keeps_what_was_pressed(oskar: Visitor) -> None:
    page = oskar.press(oskar.open(f"{BAR}/missing"), "It is missing")
    page = oskar.press(page, "Looked, not found yet", looked=["low"], **{"seen-h1": "three"})
    assert page.said().startswith("“three” is no whole number for the number seen in H1")
    assert not m.Entry.objects.exists()
