"""The feeding page as a person without script uses it: cups, tubs, counts, back, wash, and refusals."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from roomops.records import models as m
from tests import makers as mk
from tests.screens.pages import Page, Visitor

pytestmark = pytest.mark.django_db

TRAY = (
    "/feeding/feed-1-h1-bar"  # tray A: 1 to 4 from H1, 5 to 8 from H2, each 'bar', 'one', 'three', 'two dots'
)


@pytest.fixture
def morning() -> mk.Morning:
    return mk.an_ordinary_morning()


@pytest.fixture
def oskar(client: Client, morning: mk.Morning) -> Visitor:
    return Visitor(client, morning.oskar)


def in_tubs(oskar: Visitor, path: str = TRAY) -> Page:
    """Cups ready, everybody in a tub at 8:50."""
    oskar.clock = "08:40"
    page = oskar.press(oskar.open(path), "Cups ready, to tubs")
    oskar.clock = "08:50"
    page = oskar.press(page, "All in their tubs")
    oskar.clock = "08:58"
    return page


def counted(oskar: Visitor, path: str = TRAY) -> Page:
    return oskar.press(in_tubs(oskar, path), "All eaten, whole tray")


def all_back(oskar: Visitor, path: str = TRAY) -> Page:
    page = oskar.follow(counted(oskar, path), "Back to their tanks")
    oskar.clock = "09:06"
    return oskar.press(page, next(n for n in page.names() if n.startswith("Put all ")))


# ---------------------------------------------------------------- the way along the counter


def test_a_whole_tray_goes_from_cups_to_washed_with_plain_forms(oskar: Visitor) -> None:
    page = oskar.open(TRAY)
    assert "Cups first" in page.text
    assert "64 ⅛ in crickets" in page.text
    page = oskar.press(page, "Cups ready, to tubs")
    page = oskar.press(page, "All in their tubs")
    assert "8 not counted: 1, 2, 3, 4, 5, 6, 7 and 8" in page.text
    page = oskar.press(page, "All eaten, whole tray")
    assert page.text.count("All eaten, 8:40") == 8
    page = oskar.follow(page, "Back to their tanks")
    for number in range(1, 9):
        page = oskar.press(page, f"Tub {number}, back to {'H1' if number <= 4 else 'H2'}")
    assert "Nobody is in a tub." in page.text
    page = oskar.press(page, "Tray A washed")
    assert "Done 8:40 am, Oskar" in page.text
    kinds = list(m.Entry.objects.values_list("kind", flat=True))
    assert {kind: kinds.count(kind) for kind in set(kinds)} == {
        "cups": 1, "out": 8, "count": 8, "back": 8, "washed": 1,
    }  # fmt: skip


def test_today_and_the_list_of_feeds_agree_with_the_tray(oskar: Visitor) -> None:
    counted(oskar)
    listed, today = oskar.open("/feeding"), oskar.open("/")
    assert "8 animals in tubs now" in listed.text
    assert "8 in tubs" in today.text
    page = oskar.press(oskar.open(f"{TRAY}?step=return"), "Tub 1, back to H1")
    assert "7 animals still out" in page.text
    assert "7 animals in tubs now" in oskar.open("/feeding").text


def test_animals_may_be_lifted_one_by_one_and_the_longest_out_goes_back_first(oskar: Visitor) -> None:
    page = oskar.press(oskar.open(TRAY), "Cups ready, to tubs")
    page = oskar.press(page, "Tub 3, in its tub")
    oskar.clock = "08:43"
    page = oskar.press(page, "All 7 in their tubs")
    oskar.clock = "08:58"
    page = oskar.open(f"{TRAY}?step=return")
    dark = [b.name() for b in page.buttons() if "b-main" in b.attrs.get("class", "")]
    assert dark == ["Tub 3, back to H1"]
    assert "out of heat 18 min, most 25" in page.text


def test_minutes_out_of_heat_beyond_the_most_are_said_as_late(oskar: Visitor) -> None:
    in_tubs(oskar)
    for clock, late in (("09:14", False), ("09:15", False), ("09:16", True)):
        oskar.clock = clock
        assert ('class="hot" data-s="late"' in oskar.open(f"{TRAY}?step=feed").html) is late


def test_called_away_puts_all_back_and_what_was_not_counted_stays_so(oskar: Visitor) -> None:
    page = in_tubs(oskar)
    page = oskar.press(page, "Tub 1, 2 left")
    page = oskar.press(page, "Put all 8 back now")
    assert m.Entry.objects.filter(kind="back").count() == 8
    page = oskar.press(oskar.open(TRAY), "Tray A washed")
    assert "Not counted: 2, 3, 4, 5, 6, 7 and 8" in page.text
    page = oskar.press(page, "Finish the round")
    assert page.status == 409
    assert "2, 3, 4, 5, 6, 7 and 8" in page.said()


# ---------------------------------------------------------------- counts


@pytest.mark.parametrize(("name", "left", "kind"), [("2 left", 2, "count"), ("refused", 8, "refused")])
def test_an_exception_is_one_press_and_the_eye_stays_on_the_tub(
    oskar: Visitor, name: str, left: int, kind: str
) -> None:
    page = oskar.press(in_tubs(oskar), f"Tub 4, {name}")
    assert page.path.endswith("#tub-4")
    entry = m.Entry.objects.get(kind=kind)
    assert (entry.data["offered"], entry.data["left"], entry.written_by.name) == (8, left, "Oskar")


def test_all_eaten_for_the_whole_tray_fills_only_what_is_not_counted(oskar: Visitor) -> None:
    page = oskar.press(in_tubs(oskar), "Tub 4, 2 left")
    page = oskar.press(page, "All eaten, whole tray")
    assert page.by_id("tub-4").all("output")[0].text() == "2 left"
    assert page.by_id("tub-5").all("output")[0].text() == "0 left"


def test_four_or_more_may_be_refined_to_a_number(oskar: Visitor) -> None:
    page = oskar.press(in_tubs(oskar), "Tub 4, 4 or more left")
    assert page.by_id("tub-4").all("output")[0].text() == "4+ left"
    page = oskar.follow(page, "Tub 4, how many exactly")
    assert [n for n in page.names() if n.startswith("Tub 4,")] == [
        f"Tub 4, {n} left" for n in (4, 5, 6, 7, 8)
    ]
    page = oskar.press(page, "Tub 4, 6 left")
    assert page.by_id("tub-4").all("output")[0].text() == "6 left"


def test_more_offered_is_counted_with_what_was_there(oskar: Visitor) -> None:
    page = oskar.press(in_tubs(oskar), "Tub 1, 0 left")
    page = oskar.follow(page, "Tub 1, more offered")
    page = oskar.press(page, "Tub 1, 3 more offered")
    assert "8 and 3 more" in page.by_id("tub-1").text()
    page = oskar.press(page, "Tub 1, 1 left")
    last = m.Entry.objects.filter(kind="count").latest("written_at", "at")
    counts = m.Entry.objects.filter(kind="count", corrections__isnull=True).get()
    assert (counts.data["offered"], counts.data["more"], counts.data["left"]) == (8, 3, 1), last.data


def test_refused_shows_the_first_thing_to_check_from_the_care_sheet(oskar: Visitor) -> None:
    page = in_tubs(oskar)
    first = "Not eating: read the basking and the cool side first"
    assert first not in page.text
    page = oskar.press(page, "Tub 8, refused")
    assert first in page.by_id("tub-8").text()
    page = oskar.follow(page, "Tub 8, change")
    page = oskar.press(page, "Tub 8, not counted after all")
    assert "not counted" in page.by_id("tub-8").text()


@pytest.mark.usefixtures("lot_fed")
def test_one_of_a_lot_that_refused_is_marked_from_its_tub(oskar: Visitor) -> None:
    page = in_tubs(oskar, "/feeding/feed-1-h5-unmarked")
    page = oskar.press(page, "Tub 1, 0 left")
    page = oskar.press(page, "Tub 3, refused")
    assert [name for name in page.links() if "mark this one now" in name] == ["Tub 3, mark this one now"]
    page = oskar.press(oskar.follow(page, "Tub 3, mark this one now"), "Mark this one", mark="ring")
    assert "H5 · ring" in page.text
    assert m.Resident.objects.get(key="h5-unmarked").heads == 4


def test_a_marked_one_that_refused_is_not_marked_again(oskar: Visitor) -> None:
    page = oskar.press(in_tubs(oskar), "Tub 8, refused")
    assert "Refused" in page.by_id("tub-8").text()
    assert "Mark this one now" not in page.text


def test_the_same_press_twice_changes_nothing(oskar: Visitor) -> None:
    page = in_tubs(oskar)
    oskar.press(page, "Tub 4, 2 left")
    before = list(m.Entry.objects.values_list("id", "at"))
    again = oskar.press(page, "Tub 4, 2 left")
    assert again.status == 200
    assert list(m.Entry.objects.values_list("id", "at")) == before
    assert not m.Clash.objects.exists()


def test_the_same_press_with_other_content_is_shown_and_kept_for_a_person(oskar: Visitor) -> None:
    page = in_tubs(oskar)
    oskar.press(page, "Tub 4, 2 left")
    other = oskar.press(page, "Tub 4, 3 left")
    assert other.status == 409
    assert other.said().startswith("Tub 4: something else was kept from this same page before.")
    assert other.links()["Look at both"] == "/sorting"
    assert other.by_id("tub-4").all("output")[0].text() == "2 left"
    assert m.Clash.objects.count() == 1
    assert "1 count to sort out" in oskar.open(TRAY).text


def test_a_second_persons_count_stands_beside_the_first_until_somebody_agrees(
    oskar: Visitor, morning: mk.Morning
) -> None:
    page = in_tubs(oskar)
    tamsin = Visitor(Client(), morning.tamsin, "08:59")
    hers = tamsin.open(f"{TRAY}?step=feed")
    oskar.press(page, "Tub 4, 2 left")
    both = tamsin.press(hers, "Tub 4, 3 left")
    assert "Counted 2 times: which is right?" in both.by_id("tub-4").text()
    one = tamsin.press(both, "Tub 4, 3 left is right")
    assert one.by_id("tub-4").all("output")[0].text() == "3 left"


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("two", "“two” is no whole number for the number left: write one from 0 to 8."),
        ("9", "9 cannot be the number left: write one from 0 to 8."),
        ("", "Say the number left: a number from 0 to 8."),
    ],
)
def test_a_number_that_cannot_be_is_one_sentence_and_nothing_is_kept(
    oskar: Visitor, typed: str, sentence: str
) -> None:
    page = in_tubs(oskar)
    count = m.Entry.objects.count()
    wrong = oskar.press(page, "Tub 4, 2 left", left=typed)
    assert (wrong.status, wrong.said()) == (422, sentence)
    assert m.Entry.objects.count() == count


@pytest.mark.parametrize(
    ("field", "value", "status"),
    [("form", "", 422), ("form", "not-an-id", 422), ("tub", "99", 409), ("act", "explode", 409)],
)
def test_a_form_made_by_hand_keeps_nothing(oskar: Visitor, field: str, value: str, status: int) -> None:
    page = in_tubs(oskar)
    count = m.Entry.objects.count()
    answer = oskar.press(page, "Tub 4, refused", **{field: value})
    assert answer.status == status
    assert answer.said()
    assert m.Entry.objects.count() == count


# ---------------------------------------------------------------- not here


@pytest.mark.parametrize(
    ("button", "why", "status"),
    [("Sold", "sold", "gone home"), ("Isolated", "isolated", "isolated"), ("Dead", "dead", "died"),
     ("Can’t find", "can't find", "missing")],
)  # fmt: skip
def test_not_here_is_one_press_and_takes_the_animal_out_of_the_next_feed(
    oskar: Visitor, button: str, why: str, status: str
) -> None:
    page = oskar.open(f"{TRAY}/not-here/2")
    name = next(n for n in page.names() if n.startswith(button))
    page = oskar.press(page, name)
    assert m.Entry.objects.get(kind="not here").data["why"] == why
    assert m.Resident.objects.get(key="h1-one-dot").status == status
    labels = oskar.open("/feeding/feed-2-h1-bar").text
    assert "H2 · one dot" in labels
    assert "H1 · one dot" not in labels


def test_at_vet_asks_who_took_it(oskar: Visitor) -> None:
    page = oskar.open(f"{TRAY}/not-here/2?step=feed")
    at_vet = next(name for name in page.links() if name.startswith("At vet"))
    page = oskar.press(oskar.follow(page, at_vet), "At vet", note="Bea, 11:20")
    entry = m.Entry.objects.get(kind="not here")
    assert (entry.data["why"], entry.data["note"]) == ("at vet", "Bea, 11:20")
    assert page.path.endswith("#tub-2")


def test_moved_asks_which_tank_and_loses_nothing_that_was_typed(oskar: Visitor) -> None:
    page = oskar.open(f"{TRAY}/not-here/2?why=moved")
    wrong = oskar.press(page, "Moved", note="bitten by the bar one")
    assert wrong.status == 422
    assert wrong.said() == "Say which tank it lives in now: pick one from the list."
    assert wrong.by_id("note").attrs["value"] == "bitten by the bar one"
    assert not m.Entry.objects.exists()
    oskar.press(wrong, "Moved", to_tank="marlow")
    assert m.Resident.objects.get(key="h1-one-dot").tank.key == "marlow"


def test_not_here_is_not_refused(oskar: Visitor) -> None:
    page = in_tubs(oskar)
    page = oskar.follow(page, "Tub 6, not here")
    page = oskar.press(page, next(n for n in page.names() if n.startswith("Sold")))
    assert not m.Entry.objects.filter(kind__in=("count", "refused")).exists()
    assert "No cup, no tub, no count." in page.by_id("tub-6").text()
    page = oskar.press(page, "Tub 6, it is here")
    assert "not counted" in page.by_id("tub-6").text()


# ---------------------------------------------------------------- heat, and what may not end


def test_no_feed_while_the_basking_side_last_read_low(oskar: Visitor, morning: mk.Morning) -> None:
    oskar.clock = "08:30"
    page = oskar.open(TRAY)
    mk.a_reading(morning.tanks["h1"], "basking", 35.5, mk.at("08:35"))
    oskar.clock = "08:40"
    page = oskar.press(page, "Cups ready, to tubs")
    first = page.by_id("tub-1")
    assert "No feed" in first.text()
    assert "95.9 °F on the basking side, read 8:35 am; at least 100 °F" in first.text()
    assert first.all("a")[0].attrs["href"] == "/readings?tank=h1"
    assert "Tub 1, in its tub" not in page.names()
    page = oskar.press(page, "All 4 in their tubs")
    lifted = m.Entry.objects.filter(kind="out").values_list("duty", flat=True)
    assert all("/h2-" in duty for duty in lifted)
    assert len(lifted) == 4


def test_a_press_for_a_cool_tank_is_refused_with_the_reading(oskar: Visitor, morning: mk.Morning) -> None:
    page = oskar.press(oskar.open(TRAY), "Cups ready, to tubs")
    mk.a_reading(morning.tanks["h1"], "basking", 35.5, mk.at("08:41"))
    oskar.clock = "08:42"
    answer = oskar.press(page, "Tub 1, in its tub")
    assert answer.status == 409
    assert "95.9 °F" in answer.said()
    assert "100 °F" in answer.said()
    assert not m.Entry.objects.filter(kind="out").exists()


def test_a_round_cannot_be_washed_while_animals_are_out(oskar: Visitor) -> None:
    page = counted(oskar)
    assert "8 animals still out: 1, 2, 3, 4, 5, 6, 7 and 8. The round cannot end." in (
        oskar.open(f"{TRAY}?step=return").text
    )
    fields = page.filled(next(b for b in page.buttons() if b.name() == "Tub 1, 0 left"))
    answer = oskar.send(TRAY, {"csrfmiddlewaretoken": "", "form": fields["form"], "act": "washed"})
    assert answer.status == 409
    assert "1, 2, 3, 4, 5, 6, 7 and 8" in answer.said()
    assert not m.Entry.objects.filter(kind="washed").exists()


def test_a_tub_that_is_not_clean_is_named_and_kept(oskar: Visitor) -> None:
    page = oskar.press(all_back(oskar), "Tray A washed", not_clean=["a-3"])
    assert m.Entry.objects.get(kind="washed").data["not_clean"] == ["a-3"]
    assert "Not clean: 3." in page.text
    page = oskar.press(page, "Keep which are clean now", not_clean=[])
    assert "Not clean: 3." not in page.text


# ---------------------------------------------------------------- lots, quarantine, names, units


@pytest.fixture
def lot_fed(morning: mk.Morning) -> None:
    mk.a_measurement(morning.residents["h5-unmarked"], "length_mm", 120)


@pytest.mark.usefixtures("lot_fed")
def test_unmarked_animals_are_counted_for_the_tank_three_and_two(oskar: Visitor) -> None:
    path = "/feeding/feed-1-h5-unmarked"
    page = in_tubs(oskar, path)
    page = oskar.press(page, "Tub 1, 0 left")
    page = oskar.press(page, "Tub 2, 3 left")
    tray = next(n for n in page.root.all("ol") if n.attrs.get("class") == "tray")
    assert tray.attrs["style"] == "--n:3"
    places = [li.attrs["style"] for li in tray.children if not isinstance(li, str)]
    assert places == [
        "--c:2;--r:1",
        "--c:2;--r:2",
        "--c:2;--r:3",
        "--c:1;--r:1",
        "--c:1;--r:2",
        "--c:1;--r:3",
    ]
    offered = m.Entry.objects.filter(kind="count").first().data["offered"]
    assert f"H5: 5 unmarked, {5 * offered} offered, 3 left, 3 not counted." in page.text


@pytest.mark.usefixtures("lot_fed")
@pytest.mark.parametrize("heads", [4, 6])
def test_where_no_place_is_free_the_sum_stands_below_and_no_tub_moves(
    oskar: Visitor, morning: mk.Morning, heads: int
) -> None:
    m.Resident.objects.filter(key="h5-unmarked").update(heads=heads)
    path = "/feeding/feed-1-h5-unmarked"
    styles = []
    for page in (oskar.open(path), in_tubs(oskar, path)):
        styles.append([n.attrs["style"] for n in page.root.all("li") if "--c" in n.attrs.get("style", "")])
    assert styles[0] == styles[1]
    assert len(styles[0]) == heads
    assert f"H5: {heads} unmarked" in page.text


def test_quarantine_says_its_own_tools_and_wash_and_change(oskar: Visitor) -> None:
    page = oskar.open("/feeding/feed-1-q1-one-dot")
    assert "Quarantine: its own tubs, tongs and thermometer. Wash and change" in page.text
    assert "Quarantine: its own tubs" not in oskar.open(TRAY).text


@pytest.mark.parametrize("step", ["", "?step=feed", "?step=return"])
def test_buttons_that_look_alike_name_their_tub(oskar: Visitor, step: str) -> None:
    in_tubs(oskar)
    page = oskar.open(TRAY + step)
    names = page.names()
    assert len(names) == len(set(names)), sorted(n for n in names if names.count(n) > 1)


def test_each_form_carries_an_id_of_its_own(oskar: Visitor) -> None:
    page = in_tubs(oskar)
    ids = [i.attrs["value"] for i in page.root.all("input") if i.attrs.get("name") == "form"]
    assert len(ids) == len(set(ids)) >= 9


def test_a_metric_room_reads_millimeters_and_celsius(oskar: Visitor, morning: mk.Morning) -> None:
    m.Room.objects.update(units="metric")
    page = oskar.open(TRAY)
    assert "64 3 mm crickets" in page.text
    assert "40 °C" in page.text
    assert " in crickets" not in page.text


def test_a_round_that_is_not_in_the_plan_says_where_to_go(oskar: Visitor) -> None:
    page = oskar.open("/feeding/feed-9-nobody")
    assert page.status == 404
    assert "That round is not in today’s plan" in page.text
    assert page.links()["Feed rounds of today"] == "/feeding"


# ---------------------------------------------------------------- feeds in the tanks


def test_a_dish_of_greens_is_in_and_eaten_later(oskar: Visitor) -> None:
    page = oskar.press(oskar.open("/feeding/feed-1-marlow"), "Marlow, dish is in")
    assert "All are fed" in page.text
    assert "Dish is in" in page.by_id("tub-1").text()
    page = oskar.press(page, "Marlow, eaten up")
    assert [e.data["left"] for e in m.Entry.objects.filter(corrections__isnull=True)] == [0]


def test_a_rodent_is_offered_with_its_cautions(client: Client, morning: mk.Morning) -> None:
    lupe = Visitor(client, morning.lupe, "20:00")
    page = lupe.open("/feeding/feed-1-pilot")
    assert "Live prey is never left with an animal" in page.text
    assert "No handling for 48 h after" in page.text
    page = lupe.press(page, "Pilot, refused")
    assert "Refused" in page.by_id("tub-1").text()
    assert m.Entry.objects.get().kind == "refused"


# ---------------------------------------------------------------- empty rooms


def test_a_day_without_anybody_on_shift_says_so(oskar: Visitor) -> None:
    m.Shift.objects.all().delete()
    assert "Nobody is on shift today" in oskar.open("/feeding").text


def test_a_room_without_tubs_says_so(oskar: Visitor) -> None:
    m.Resident.objects.exclude(key__startswith="h1").update(status="gone home")
    m.Tub.objects.all().update(out_of_use=True)
    assert "There are no tubs" in oskar.open("/feeding").text


def test_a_room_without_animals_has_no_feed(oskar: Visitor) -> None:
    m.Resident.objects.all().update(status="gone home")
    assert "No feed is due today" in oskar.open("/feeding").text


# ---------------------------------------------------------------- the query bill


def queries(oskar: Visitor, path: str) -> int:
    oskar.open(path)  # the first to open a day makes its plan
    with CaptureQueriesContext(
        connection,
    ) as bill:
        page = oskar.open(path)
    assert page.status == 200
    return len(bill)


def test_four_tubs_and_twelve_cost_the_same_queries(client: Client) -> None:
    room = mk.a_room()
    oskar = mk.a_person(room, "Oskar")
    mk.a_shift(oskar, mk.DAY, "07:30", "13:30")
    mk.a_tray(room, "A", tubs=12)
    mk.a_tray(room, "B", tubs=4)
    mk.a_batch(room, "c-1", "cricket", 900, size_mm=6)
    for name, heads in (("H1", 4), ("H2", 4), ("H3", 4), ("H4", 4)):
        tank = mk.a_tank(room, name)
        mk.a_reading(tank, "basking", 40.0)
        for mark in mk.MARKS[:heads]:
            mk.a_hatchling(tank, mark, length_mm=170, gap_mm=8.0)
    m.Room.objects.update(settings={"watch_most": 12, "to_tub_min": 0.25, "back_min": 0.25})
    visitor = Visitor(client, oskar, "08:40")
    pages = [href for name, href in visitor.open("/feeding").links().items() if "/feeding/" in href]
    sizes = {href: visitor.open(href).html.count('class="tub"') for href in set(pages)}
    small = min(sizes, key=lambda href: sizes[href])
    large = max(sizes, key=lambda href: sizes[href])
    assert (sizes[small], sizes[large]) == (4, 12)
    assert queries(visitor, small) == queries(visitor, large)


@pytest.mark.parametrize("path", ["/feeding", "tray", "/walks", "/walk/opening", "/readings", "/clean"])
def test_thirty_residents_and_five_hundred_cost_the_same_queries(client: Client, path: str) -> None:
    bills = []
    for count in (30, 500):
        m.Entry.objects.all().delete()
        oskar = a_large_room(count, key=f"room-{count}")
        visitor = Visitor(Client(), oskar, "08:40")
        where = path
        if path == "tray":
            where = next(h for n, h in visitor.open("/feeding").links().items() if "/feeding/feed" in h)
        bills.append(queries(visitor, where))
    assert bills[0] == bills[1]


def a_large_room(count: int, key: str) -> m.Person:
    """Hatchlings in fours, three people, two trays of eight: far more than a day can hold at 500."""
    room = mk.a_room(key)
    people = [mk.a_person(room, name) for name in ("Oskar", "Tamsin", "Lupe")]
    for person in people:
        mk.a_shift(person, mk.DAY, "07:30", "20:30")
    account = m.Account.objects.create_user(f"oskar-{key}", password="twelve crickets")
    m.Person.objects.filter(pk=people[0].pk).update(account=account)
    timer, rack = mk.a_timer(room), mk.a_rack(room)
    for name in ("A", "B"):
        mk.a_tray(room, name, tubs=8)
    mk.a_batch(room, "c-1", "cricket", 90000, size_mm=6)
    tanks = m.Tank.objects.bulk_create(
        m.Tank(room=room, written_at=mk.WRITTEN, key=f"h{n}", name=f"H{n}", rack=rack, timer=timer, order=n,
               length_mm=762, depth_mm=305, height_mm=305)
        for n in range(1, count // 4 + 2)
    )  # fmt: skip
    m.Reading.objects.bulk_create(
        m.Reading(room=room, written_at=mk.WRITTEN, tank=tank, spot="basking", value_c=40.0,
                  at=mk.at("14:00", mk.DAY - timedelta(days=1)))
        for tank in tanks
    )  # fmt: skip
    residents = m.Resident.objects.bulk_create(
        m.Resident(room=room, written_at=mk.WRITTEN, key=f"a{n}", tank=tanks[n // 4], identity="marked",
                   mark=mk.MARKS[n % 4], kind=mk.DRAGON, status="here", status_since=mk.WRITTEN,
                   hatched_on=mk.DAY - timedelta(days=56))
        for n in range(count)
    )  # fmt: skip
    m.Measurement.objects.bulk_create(
        m.Measurement(
            room=room, written_at=mk.WRITTEN, resident=r, measure=measure, value=value, at=mk.WRITTEN
        )
        for r in residents
        for measure, value in (("length_mm", 170.0), ("gap_mm", 8.0))
    )
    return m.Person.objects.get(pk=people[0].pk)


# ---------------------------------------------------------------- outside their feeding time


@pytest.mark.parametrize(
    ("clock", "said"),
    [
        ("05:00", "Feeding time here begins at 8:30 am: make ready now, feed from then on."),
        ("08:29", "Feeding time here begins at 8:30 am: make ready now, feed from then on."),
        ("08:30", ""),
        ("18:00", ""),
        ("18:01", "Feeding time here ended at 6:00 pm: ask before anybody is fed so late."),
    ],
)
def test_too_early_or_too_late_to_feed_is_said_with_its_time_and_stops_nobody(
    oskar: Visitor, clock: str, said: str
) -> None:
    """Lamps are on from 7:30 am to 8:00 pm; the care sheet feeds an hour after, and ends two hours before."""
    oskar.clock = clock
    page = oskar.open(TRAY)
    assert said in page.text
    assert ("Feeding time here" in page.text) is bool(said)
    page = oskar.press(page, "Cups ready, to tubs")
    assert ("Feeding time here" in page.text) is bool(said)
    page = oskar.press(page, "All in their tubs")
    assert "Count what is left." in page.text
    assert "Feeding time here" not in page.text


# ---------------------------------------------------------------- what Today says of it


def test_feeding_and_today_count_the_same_animals_that_did_not_fit(oskar: Visitor) -> None:
    """A lot of unmarked animals is one feed and as many animals as it has heads."""
    m.Tub.objects.all().update(out_of_use=True)
    today = sum(int(many) for many in re.findall(r"Feed \d: (\d+) animals? \(", oskar.open("/").text))
    said = re.search(r"Feeds of (\d+) animals? did not fit", oskar.open("/feeding").text)
    assert said is not None
    assert int(said[1]) == today
    assert today > 0


@pytest.mark.parametrize(("clock", "said"), [("09:14", False), ("09:15", False), ("09:16", True)])
def test_today_says_how_long_out_of_heat_and_how_long_the_room_allows(
    oskar: Visitor, clock: str, said: bool
) -> None:
    """In their tubs since 8:50; the room allows 25 minutes."""
    in_tubs(oskar)
    oskar.clock = clock
    assert ("out of heat 26 min, most 25 min: put it back now" in oskar.open("/").text) is said


def test_one_that_nobody_can_find_is_wrong_now_until_it_is_found(oskar: Visitor) -> None:
    in_tubs(oskar)
    why = oskar.open(TRAY + "/not-here/2")
    page = oskar.press(why, next(name for name in why.names() if name.startswith("Can’t find")))
    today = oskar.open("/")
    assert "H1 · one dot is missing: search warm, low and dark places now" in today.text
    assert "H1 · one dot" in oskar.follow(today, "Open the search").text
    oskar.press(page, "Tub 2, it is here")
    assert "is missing" not in oskar.open("/").text
