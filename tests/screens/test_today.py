"""Today: what it says is what the desk says, in its place, with its age and its reason."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import connection
from django.template import engines
from django.test import Client
from django.test.utils import CaptureQueriesContext

from roomops.desk.day import open_day
from roomops.desk.day_types import Change, Day, Presence, Status, Trouble, TroubleKind
from roomops.papers.words import Reader
from roomops.planning.plan import Why
from roomops.planning.room import DutyKind, Need
from roomops.records import models as m
from roomops.screens import rows as today_rows
from roomops.screens.bundles import bundles, numbers_words
from roomops.screens.hill import hill_of
from roomops.screens.lanes import LEAST, MOST_LANES, Stop, pack
from roomops.screens.ribbon import Axis, ribbon_of
from roomops.screens.views.today import today_context
from tests import makers, makers_planning, playing
from tests.makers_day import (
    DAY,
    a_day,
    a_duty,
    a_period,
    a_reading,
    a_request,
    a_round_view,
    a_short,
    at,
    the_drawn_rounds,
)
from tests.screens.pages import Page, Visitor

US = Reader(units="us", day=DAY, timezone="America/Chicago")


def page_of(day: Day, person: str = "oskar", units: str = "us") -> Page:
    """Today drawn from a day made by hand."""
    request = a_request(units=units, now=day.now)
    context = today_context(day, person=person, reader=request.reader) | {"request": request}
    html = engines["django"].get_template("today.html").template.render(_context(context))

    class Answer:
        content = html.encode()
        status_code = 200

    return Page(Answer(), "/")


def _context(values: dict[str, object]):
    from django.template import Context

    return Context(values)


def sections(page: Page) -> dict[str, str]:
    """Text between one heading of the second rank and the next."""
    found: dict[str, str] = {}
    name = ""
    for node in page.root.all():
        if node.tag == "h2":
            name = node.text()
        elif node.tag in {"article", "li", "p", "details"} and name:
            found[name] = found.get(name, "") + " " + node.text()
    return found


# ---------------------------------------------------------------- each round in its place


def test_each_round_stands_once_and_where_its_state_says() -> None:
    page = page_of(a_day(rounds=the_drawn_rounds()))
    found = sections(page)
    assert "Spot clean" in found["Do now"]
    assert "Feed 2, tray B" in found["Do now"]
    assert "Readings" in found["Then"]
    assert "12 · Closing walk" in found["Later"]
    assert "1 · Opening walk" in found["Done"]
    ids = [node.attrs["id"] for node in page.root.all() if node.attrs.get("id", "").startswith("round-")]
    assert sorted(ids) == sorted(f"round-{n}" for n in range(1, 13))


def test_a_late_round_says_how_late_by_when_whose_and_what_is_left() -> None:
    text = sections(page_of(a_day(rounds=the_drawn_rounds())))["Do now"]
    assert "Late 1 h 10 min" in text
    assert "by 12:00 pm · Tamsin" in text
    assert "3 of 10 tanks left: H4, Marlow, Pilot" in text


def test_a_round_under_way_says_who_is_out_and_whether_it_fits_the_shift() -> None:
    text = sections(page_of(a_day(rounds=the_drawn_rounds())))["Do now"]
    assert "7 in tubs" in text
    assert "5 of 8 animals left: H3 · one dot, H3 · bar, H4 · one dot and 2 more" in text
    assert "Ends about 2:00 pm, 30 min past your shift" in text


def test_done_says_who_when_and_what_was_seen() -> None:
    text = sections(page_of(a_day(rounds=the_drawn_rounds())))["Done"]
    assert "9:45 am 3 · Feed 1, tray A Oskar, 8 animals, 1 refused" in text
    assert "4 · Quarantine feed 1, tray Q Bea, 2 animals" in text


def test_there_is_one_dark_button_and_it_goes_to_the_animals_in_tubs() -> None:
    rows = today_rows.rows_of(a_day(rounds=the_drawn_rounds()), person="oskar")
    main = [row for row in (*rows.now, *rows.more_now, *rows.then) if row.main]
    assert [row.view.number for row in main] == [7]
    assert main[0].act == "Open tray B"


def test_animals_in_tubs_stay_in_sight_however_much_is_late() -> None:
    late = tuple(
        a_round_view(n, DutyKind.CLEAN, "08:00", "09:00", Status.LATE, minutes_late=300 - n)
        for n in range(1, 12)
    )
    out = a_round_view(
        20, DutyKind.FEED, "12:30", "13:20", Status.UNDER_WAY, out=8, in_tubs=True, tray_name="Tray A"
    )
    rows = today_rows.rows_of(a_day(rounds=(*late, out)), person="oskar")
    assert len(rows.now) == today_rows.MOST_BIG
    assert 20 in [row.view.number for row in rows.now]
    assert len(rows.now) + len(rows.more_now) == 12


@pytest.mark.parametrize(
    ("ends", "words"),
    [("13:10", "Take over from Tamsin"), ("13:11", "Help Tamsin"), ("15:00", "Help Tamsin")],
)
def test_anothers_round_is_helped_or_taken_over_once_they_have_left(ends: str, words: str) -> None:
    view = a_round_view(
        1, DutyKind.CLEAN, "11:00", "12:00", Status.LATE, person="tamsin", person_name="Tamsin"
    )
    shift = Presence(person="tamsin", name="Tamsin", starts=at("07:30"), ends=at(ends))
    rows = today_rows.rows_of(a_day(rounds=(view,), presences=(shift,)), person="oskar")
    assert rows.now[0].act == words


def test_a_round_of_nobody_can_be_taken() -> None:
    view = a_round_view(1, DutyKind.CLEAN, "14:00", "14:30", Status.NEXT, person="", person_name="")
    page = page_of(a_day(rounds=(view,)))
    assert "nobody has this yet" in page.text
    assert any(name.startswith("Take it") for name in page.links())


# ---------------------------------------------------------------- what did not fit


def test_what_did_not_fit_is_told_together_with_its_reason_and_by_name() -> None:
    shorts = tuple(a_short(f"H{n} · bar", Why.NO_TIME) for n in range(1, 4))
    must = a_short("Q1 · bar", Why.NO_TUB_FITS, slot=1, need=Need.MUST)
    text = sections(page_of(a_day(unplaced=(*shorts, must))))["Did not fit today"]
    assert text.index("Feed 1: 1 animal (must)") < text.index("Feed 3: 3 animals (should)")
    assert "no time is left in anybody's shift" in text
    assert all(f"H{n} · bar" in text for n in range(1, 4))


@pytest.mark.parametrize("why", list(Why))
def test_every_reason_has_its_sentence(why: Why) -> None:
    page = page_of(a_day(unplaced=(a_short("H1 · bar", why),)))
    assert str(why) not in sections(page)["Did not fit today"] or " " in str(why)
    assert "(should): " in page.text


# ---------------------------------------------------------------- wrong, changed


def trouble(**changes: object) -> Trouble:
    base = Trouble(
        kind=TroubleKind.BASKING_LOW,
        about="H2",
        tank="h2",
        at=at("12:42"),
        by="Tamsin",
        text="",
        numbers={"value_c": 35.6, "low_c": 37.78, "high_c": 43.33},
    )
    return replace(base, **changes)


@pytest.mark.parametrize(
    ("units", "words"),
    [
        ("us", "basking 96.1 °F, low: 100 to 110 °F expected"),
        ("metric", "basking 35.6 °C, low: 37.8 to 43.3 °C expected"),
    ],
)
def test_a_low_basking_side_says_against_what_and_when_it_was_read(units: str, words: str) -> None:
    page = page_of(a_day(wrong=(trouble(),)), units=units)
    text = sections(page)["Wrong now"]
    assert words in text
    assert "12:42 pm (Tamsin)" in text


def test_a_note_of_yesterday_is_dated_and_marked_old() -> None:
    note = trouble(kind=TroubleKind.NOTE, text="limping", at=at("11:20", DAY - timedelta(days=1)), numbers={})
    page = page_of(a_day(wrong=(note,)))
    assert "limping – June 8 (Tamsin)" in sections(page)["Wrong now"]
    assert 'data-a="old"' in page.html


@pytest.mark.parametrize("kind", list(TroubleKind))
def test_every_trouble_has_words(kind: TroubleKind) -> None:
    page = page_of(a_day(wrong=(trouble(kind=kind, text="what somebody wrote"),)))
    assert len(sections(page)["Wrong now"]) > len(" H2 12:42 pm (Tamsin)")


@pytest.mark.parametrize(("many", "more"), [(3, 0), (4, 1), (14, 11)])
def test_at_most_three_troubles_stand_open_and_the_rest_is_counted(many: int, more: int) -> None:
    page = page_of(a_day(wrong=tuple(trouble(about=f"T{n}") for n in range(many))))
    assert (f"And {more} more" in page.text) is bool(more)
    assert all(f"T{n}" in page.text for n in range(many))


def test_news_are_those_of_others_since_i_was_last_here() -> None:
    def change(about: str, when: str, by: str) -> Change:
        return Change(kind="refused", about=about, at=at(when), by=by, data={"slot": 1}, entry=None)

    day = a_day(
        changed=(change("A", "11:00", "Bea"), change("B", "10:00", "Oskar"), change("C", "08:59", "Bea")),
        last_here={"oskar": at("09:00")},
        labels={"person:oskar": "Oskar"},
    )
    text = page_of(day).text
    assert "Since you were last here Tue June 9, 9:00 am" in text
    assert "A refused feed 1 11:00 am (Bea)" in text
    assert "B refused" not in text
    assert "C refused" not in text


@pytest.mark.parametrize(
    ("kind", "data", "words"),
    [
        ("reading", {"spot": "cool", "value_c": 20.0, "out": "low"}, "H2 cool side 68 °F, low"),
        ("reading", {"spot": "night low", "value_c": 20.0, "out": "low"}, "H2 night low 68 °F, low"),
        ("reading", {"spot": "basking", "value_c": 50.0, "out": "high"}, "H2 basking 122 °F, high"),
        ("status", {"status": "here", "note": "", "heads": 1}, "H2 is here again"),
        ("status", {"status": "here", "note": "", "heads": 4}, "H2 4 by the book now"),
        ("status", {"status": "at vet", "note": "Tamsin", "heads": 1}, "H2 at vet, Tamsin"),
    ],
)
def test_news_name_the_side_that_was_read_and_how_many_are_left(
    kind: str, data: dict[str, object], words: str
) -> None:
    change = Change(kind=kind, about="H2", at=at("11:00"), by="Bea", data=data, entry=None)
    assert f"{words} 11:00 am (Bea)" in page_of(a_day(changed=(change,))).text


# ---------------------------------------------------------------- nothing


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"facts": makers_planning.room(tanks=(), residents=())}, "No tanks yet"),
        ({"presences": ()}, "Nobody is on shift today"),
        ({"facts": makers_planning.room(tubs=(), trays=())}, "No tubs"),
        ({}, "Nothing is due today"),
        (
            {"rounds": (a_round_view(1, DutyKind.CLOSING, "20:00", "20:30", Status.DONE),)},
            "All done for today",
        ),
        (
            {"rounds": (a_round_view(1, DutyKind.CLOSING, "20:00", "20:30", Status.NEXT),)},
            "Nothing wants hands now",
        ),
    ],
)
def test_an_empty_room_says_what_is_missing(changes: dict[str, object], words: str) -> None:
    assert words in page_of(a_day(**changes)).text


def test_a_plan_that_the_verifier_refused_gives_the_plain_list() -> None:
    duty = a_duty(subject="h3-bar", opens=510)
    day = a_day(
        refusal="overlap at round 3",
        undone=(duty.key,),
        duties={duty.key: duty},
        labels={"tank:h3": "H3", "resident:h3-bar": "H3 · bar"},
    )
    text = page_of(day).text
    assert "did not pass its own check" in text
    assert "overlap at round 3" in text
    assert "8:30 am Feed 1 H3" in text


# ---------------------------------------------------------------- the ribbon


def ribbon(**changes: object):
    return ribbon_of(a_day(**changes), person="oskar", reader=US)


def test_the_ribbon_has_a_stop_for_each_round_and_draws_again_after_now_what_is_not_done() -> None:
    made = ribbon(rounds=the_drawn_rounds())
    shown = [n for s in made.stops if not s.rest for n in range(s.number, s.number + s.many)]
    assert sorted(shown) == list(range(1, 13))
    rests = {stop.number: stop for stop in made.stops if stop.rest}
    assert set(rests) == {6, 7}
    assert all(stop.left == made.now.x for stop in rests.values())
    assert rests[7].cross, "it runs past the shift"
    assert not rests[6].cross


def test_the_now_line_stands_at_its_share_of_the_day_and_goes_when_the_day_is_another() -> None:
    axis = Axis(start=at("07:00"), end=at("21:00"))
    assert axis.x(at("14:00")) == 50
    assert axis.x(at("06:00")) == 0
    assert ribbon(now=at("23:30")).now is None


def test_the_shift_end_is_mine_while_i_am_here_and_the_next_ones_otherwise() -> None:
    assert ribbon().end.words == "your shift ends 1:30"
    assert ribbon_of(a_day(now=at("14:00")), person="oskar", reader=US).end.words == "shift ends 8:30"
    assert ribbon(presences=()).end is None


def test_lamps_and_food_are_said_for_each_photoperiod() -> None:
    night = a_period(
        timer="late", kinds=("Leopard gecko", "Corn snake"), on=at("08:30"), off=at("19:30"),
        food_from=at("19:30"), food_to=at("21:00"),
    )  # fmt: skip
    made = ribbon(periods=(a_period(), night))
    assert [strip.words for strip in made.strips] == [
        "Bearded dragons: food 8:30 am to 6:00 pm",
        "Leopard geckos, corn snakes: food 7:30 pm to 9:00 pm",
    ]
    assert made.said.startswith("Food until 6:00 pm for bearded dragons.")
    assert made.strips[1].before is not None, "the words of a late strip end before it"


def test_the_ribbon_is_right_in_the_night_when_clocks_go_back() -> None:
    """Madison, November 1, 2026: 1:00 to 2:00 am comes twice (US Energy Policy Act of 2005, first Sunday)."""
    day = date(2026, 11, 1)
    axis = Axis(start=at("00:00", day), end=at("06:00", day))
    assert axis.x(at("03:00", day)) == pytest.approx(4 / 7 * 100, abs=0.01)


@pytest.mark.parametrize(
    ("readings", "said"),
    [
        ((), "Not measured yet."),
        ((a_reading("t1", 40.0, "12:40", at=None, on=date(2026, 5, 9)),), "Not measured since May 9."),
        ((a_reading("t1", 40.0, "12:40"),), "1 tank read 12:40 pm: 104 °F."),
    ],
)
def test_the_hill_says_what_was_measured_and_when(readings: tuple, said: str) -> None:
    day = a_day(readings=readings)
    hill = hill_of(day, axis=Axis(start=at("07:00"), end=at("21:00")), reader=US, words_left=False)
    assert hill.said == said
    assert len(hill.dots) == (1 if "read " in said else 0), "nothing unmeasured is drawn as measured"
    assert hill.measured == "", "one reading is a dot and no line"


def test_a_line_is_drawn_only_between_half_hours_that_were_read() -> None:
    tanks = tuple(makers_planning.tank(f"t{n}") for n in (1, 2))
    animals = tuple(makers_planning.hatchling(f"h{n}", f"t{n}") for n in (1, 2))
    facts = makers_planning.room(tanks=tanks, residents=animals)
    day = a_day(facts=facts, readings=(a_reading("t1", 40.0, "09:40"), a_reading("t2", 36.0, "12:40")))
    hill = hill_of(day, axis=Axis(start=at("07:00"), end=at("21:00")), reader=US, words_left=False)
    assert hill.measured.count("L") == 1
    assert [dot.off for dot in hill.dots] == [False, True]


def stop(number: int, left: float, width: float = 5.0, state: str = "later") -> Stop:
    return Stop(number=number, state=state, sign="", word="", spoken="", left=left, width=width)


def test_stops_never_overlap_and_the_ones_to_do_keep_their_place() -> None:
    crowd = [stop(n, 10.0, state="done") for n in range(4)] + [stop(9, 11.0, state="late")]
    shown, more, lanes = pack(crowd, first_top=9.7, lane_tall=2.4)
    assert lanes == MOST_LANES
    assert 9 in [each.number for each in shown]
    assert more == ((10.0, "and 2 more"),)
    for one in shown:
        assert not any(
            other is not one and other.top == one.top and one.left < other.right and other.left < one.right
            for other in shown
        )


@pytest.mark.parametrize(("gap", "lanes"), [(LEAST - 0.1, 2), (LEAST, 1), (LEAST + 0.1, 1)])
def test_a_short_stop_keeps_the_place_that_its_number_needs(gap: float, lanes: int) -> None:
    assert pack([stop(1, 10.0, 0.5), stop(2, 10.0 + gap, 0.5)], first_top=0, lane_tall=1)[2] == lanes


@pytest.mark.parametrize(("late", "place"), [(2.4, True), (2.5, True), (2.6, False)])
def test_a_stop_stands_a_little_right_of_its_time_rather_than_be_left_out(late: float, place: bool) -> None:
    """2.5 percent of a day of 14 hours is 21 minutes."""
    full = [stop(n, 10.0, 10.0) for n in range(1, MOST_LANES + 1)]
    shown, more, _ = pack([*full, stop(9, 20.0 - late, 5.0)], first_top=0, lane_tall=1)
    assert (9 in [each.number for each in shown]) is place
    assert (more == ()) is place


@pytest.mark.parametrize(("last", "label", "many"), [(0, "9", 1), (10, "9–10", 2), (14, "9–14", 6)])
def test_several_rounds_in_one_stop_keep_their_numbers_and_their_room(
    last: int, label: str, many: int
) -> None:
    made = replace(stop(9, 99.0, 0.5), last=last)
    assert (made.label, made.many) == (label, many)
    shown, _, _ = pack([made], first_top=0, lane_tall=1)
    assert shown[0].right == pytest.approx(100)
    assert shown[0].least >= LEAST


# ---------------------------------------------------------------- rounds told together


def a_walk(number: int, starts: str, kind: DutyKind = DutyKind.READING, **changes: object):
    return a_round_view(number, kind, starts, "09:40", changes.pop("status", Status.LATER), **changes)


@pytest.mark.parametrize(
    ("changes", "together"),
    [
        ({}, True),
        ({"starts": "09:37"}, True),
        ({"starts": "09:38"}, True),
        ({"starts": "09:39"}, False),
        ({"number": 3}, False),
        ({"kind": DutyKind.CLEAN}, False),
        ({"status": Status.NEXT}, False),
        ({"out": 1}, False),
        ({"person": "lupe"}, True),
        ({"quarantine": True}, True),
    ],
)
def test_rounds_of_one_kind_are_told_together_when_number_state_and_time_follow(
    changes: dict[str, object], together: bool
) -> None:
    """Twenty minutes between two starts is near. House choice."""
    other = {"number": 2, "starts": "09:25"} | changes
    made = bundles([a_walk(1, "09:18"), a_walk(**other)])
    assert (len(made) == 1) is together
    assert numbers_words(made[0]) == ("1–2" if together else "1")


def test_feeds_of_quarantine_and_those_under_way_stand_alone() -> None:
    tray = {"in_tubs": True, "tray_name": "Tray A"}
    feeds = [a_walk(n, "09:25", DutyKind.FEED, **tray) for n in (1, 2)]
    assert len(bundles(feeds)) == 1
    own = a_walk(2, "09:25", DutyKind.FEED, quarantine=True, **tray)
    assert len(bundles([feeds[0], own])) == 2
    begun = [a_walk(n, "09:25", DutyKind.FEED, status=Status.UNDER_WAY, **tray) for n in (1, 2)]
    assert len(bundles(begun)) == 2


def test_later_and_the_ribbon_tell_the_same_rounds_together_and_lead_to_ones_own() -> None:
    rounds = (
        a_walk(
            1,
            "14:00",
            tray_name="Tray A",
            kind=DutyKind.FEED,
            in_tubs=True,
            person="lupe",
            person_name="Lupe",
        ),
        a_walk(2, "14:05", tray_name="Tray B", kind=DutyKind.FEED, in_tubs=True),
        a_walk(3, "16:00", kind=DutyKind.CLOSING),
    )
    page = page_of(a_day(rounds=rounds))
    later = sections(page)["Later"]
    assert "2:00 pm 1–2 · Feed 1: tray A, tray B Lupe, Oskar (you)" in later
    assert page.links()["2:00 pm 1–2 · Feed 1: tray A, tray B Lupe, Oskar (you)"] == today_rows.round_address(
        rounds[1]
    )
    assert "3 · Closing walk" in later
    assert all(f'id="round-{n}"' in page.html for n in (1, 2, 3))
    assert "Rounds 1–2" in page.html.replace("</span>", "").replace('<span class="sr">', "")


@pytest.mark.parametrize(("lines", "folded"), [(8, 0), (9, 2), (10, 4)])
def test_what_is_folded_away_of_later_counts_rounds_not_lines(lines: int, folded: int) -> None:
    pairs = [(2 * n - 1, f"{9 + n}:00") for n in range(1, lines + 1)]
    rounds = [a_walk(number + more, f"{clock:0>5}") for number, clock in pairs for more in (0, 1)]
    rows = today_rows.rows_of(a_day(rounds=tuple(rounds)), person="oskar")
    assert (len(rows.later), rows.later_still) == (today_rows.MOST_LINES, folded)


def test_animals_of_a_lot_are_counted_by_head() -> None:
    view = a_round_view(
        1, DutyKind.FEED, "12:15", "13:10", Status.NEXT, due=8, left=8, in_tubs=True, tray_name="Tray A",
        left_labels=("H7 · bar", "H7 · ring", "H8 · unmarked", "H9 · unmarked"), left_heads=(1, 1, 4, 2),
    )  # fmt: skip
    row = today_rows.rows_of(a_day(rounds=(view,)), person="oskar").then[0]
    assert (row.names, row.more_names) == (("H7 · bar", "H7 · ring", "H8 · unmarked × 4"), 2)


# ---------------------------------------------------------------- with tables


@pytest.mark.django_db
def test_the_page_says_the_desks_own_numbers(client: Client) -> None:
    made = makers.an_ordinary_morning()
    now = makers.at("12:30")
    playing.play(room=made.room, morning=makers.at("07:00"), until=now)
    page = Visitor(client, made.oskar, clock="12:30").open("/")
    day = open_day(room=made.room, day=makers.DAY, now=now)
    assert day.rounds
    for view in day.rounds:
        assert f'id="round-{view.number}"' in page.html
        row = page.by_id(f"round-{view.number}").text()
        if view.status in {Status.LATE, Status.UNDER_WAY} and view.due > 1 and view.left < view.due:
            assert f"{view.left} of {view.due} " in row
        if view.status is Status.DONE:
            assert view.done_by in row
    assert all(trouble.about in page.text for trouble in day.wrong)


@pytest.mark.django_db
def test_opening_today_makes_one_plan_and_opening_it_again_makes_no_other(client: Client) -> None:
    visitor = Visitor(client, makers.an_ordinary_morning().oskar)
    visitor.open("/")
    visitor.open("/")
    assert m.PlanVersion.objects.count() == 1


@pytest.mark.django_db
def test_one_room_never_shows_another_rooms_animals(client: Client) -> None:
    made = makers.an_ordinary_morning()
    other = makers.a_room("oak-street", name="Oak Street")
    makers.an_adult(makers.a_tank(other, "Elsewhere"), "Elsewhere")
    makers.a_shift(makers.a_person(other, "Zed"), makers.DAY, "07:30", "13:30")
    text = Visitor(client, made.oskar).open("/").text
    assert "Juniper Street" in text
    assert "Elsewhere" not in text
    assert "Zed" not in text


# ---------------------------------------------------------------- early word


def losing(animals: Iterable[m.Resident]) -> None:
    """They weighed 40 % more eight days ago."""
    for each in animals:
        now = m.Measurement.objects.filter(resident=each, measure="weight_g").latest("at").value
        makers.a_measurement(each, "weight_g", now * 1.4, makers.at("08:00", DAY - timedelta(days=8)))


@pytest.mark.django_db
@pytest.mark.parametrize(("many", "more"), [(2, ""), (3, ""), (4, "and 1 more in the room")])
def test_three_early_words_stand_on_today_and_the_rest_is_in_the_room(
    client: Client, many: int, more: str
) -> None:
    made = makers.an_ordinary_morning()
    animals = [each for key, each in made.residents.items() if key.startswith(("h1-", "h2-"))][:many]
    losing(animals)
    visitor = Visitor(client, made.oskar)
    page = visitor.open("/")
    assert len(openings(page)) == page.text.count("7 days before: down 28.6 %") == min(many, 3)
    assert "Limit: anapsid.org" in sections(page)["Worth a look"]
    assert ("more in the room" in page.text) is bool(more)
    if more:
        assert len(openings(visitor.follow(page, more))) == many


def openings(page: Page) -> list[str]:
    return [name for name in page.links() if name.startswith("Open: ") and name.endswith("much weight lost")]


@pytest.mark.django_db
def test_a_quiet_day_has_no_early_word(client: Client) -> None:
    assert "Worth a look" not in Visitor(client, makers.an_ordinary_morning().oskar).open("/").text


@pytest.mark.django_db
def test_what_is_wrong_now_is_not_said_a_second_time_as_early_word(client: Client) -> None:
    """Two refusals over the night, and an animal that nobody can find: once each, beside a loss of weight."""
    made = makers.an_ordinary_morning()
    bar = made.residents["h1-bar"]
    for day, slot in ((DAY - timedelta(days=1), 2), (DAY, 1)):
        makers.an_entry(
            made.room, f"{day}/feed/h1-bar/{slot}", "refused", head=1, data={"offered": 8, "left": 8},
            at=makers.at("09:00", day),
        )  # fmt: skip
    m.Resident.objects.filter(key="h2-bar").update(status="missing")
    text = Visitor(client, made.oskar, "12:00").open("/").text
    assert text.count("H1 · bar refused twice") == 1
    assert text.count("H2 · bar is missing") == 1
    assert "Worth a look" not in text
    losing([bar])
    page = Visitor(client, made.oskar, "12:00").open("/")
    assert "H1 · bar much weight lost" in sections(page)["Worth a look"]
    assert page.text.count("refused twice") == 1


@pytest.mark.django_db
def test_early_word_on_today_costs_the_same_queries_for_one_and_for_eight(client: Client) -> None:
    made = makers.an_ordinary_morning()
    visitor = Visitor(client, made.oskar)
    hatchlings = [each for key, each in made.residents.items() if key.startswith(("h1-", "h2-"))]
    bills = []
    for some in (hatchlings[:1], hatchlings[1:]):
        losing(some)
        visitor.open("/")
        with CaptureQueriesContext(connection) as bill:
            assert "Worth a look" in visitor.open("/").text
        bills.append(len(bill))
    assert bills[0] == bills[1]
