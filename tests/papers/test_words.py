"""Words for numbers and for typed reasons: what pages and papers say alike."""

from __future__ import annotations

import datetime as dt

import pytest

from roomops.desk.entries import Outcome
from roomops.desk.refusals import No
from roomops.husbandry.care import Band, Need
from roomops.husbandry.quantity_text import parse_length, parse_temperature
from roomops.husbandry.units import System
from roomops.papers import amounts, reasons, refusals, words
from roomops.papers.reader import Reader
from roomops.planning.plan import Duty, Portion, Shortfall, Why
from roomops.planning.room import DutyKind, Status
from tests import house

DAY, ZONE = dt.date(2026, 6, 9), "America/Chicago"
US = Reader(day=DAY, timezone=ZONE)
METRIC = Reader(units="metric", day=DAY, timezone=ZONE)

# Numbers as planning.shortfall names them, with the words that a person at the counter needs to see.
REASONS: dict[Why, tuple[dict[str, float], str]] = {
    Why.NOBODY_ON_SHIFT: (
        {"people": 0, "opens": 510, "closes": 1080, "needed_min": 43},
        "nobody is on shift between 8:30 am and 6:00 pm, and it needs 43 min",
    ),
    Why.HEAT_OR_POWER: (
        {"began": 840.0},
        "heat or power is out since 2:00 pm: no feed until it is back and the basking side is warm",
    ),
    Why.NO_TUB_FITS: (
        {"length_mm": 310, "largest_mm": 260},
        "no tub is long enough: the animal is 12.2 in (310 mm), the largest tub takes 10.24 in (260 mm)",
    ),
    Why.NO_TUBS: ({"heads": 9, "tubs": 8, "tubs_short": 1}, "it needs 9 tubs at once and 8 of one tray fit"),
    Why.NO_TIME: (
        {"needed_min": 43, "free_min": 20, "short_min": 23, "left_min": 31, "more_people_help": 1,
         "more_tubs_help": 0, "tubs_short": 0},
        "no time is left: it needs 43 min, the longest free is 20 min; one more person would make it fit",
    ),
    Why.WINDOW_CLOSED: (
        {"opens": 510, "closes": 1080, "window_min": 20, "needed_min": 27, "short_min": 7},
        "20 min are left between 8:30 am and 6:00 pm, and it needs 27 min",
    ),
    Why.GAP_TOO_SHORT: (
        {"gap_min": 180, "first_at": 953, "closes": 1080, "needed_min": 27, "short_min": 80},
        "the feed before it begins at 3:53 pm, 3 h must lie between, and all must be back by 6:00 pm",
    ),
    Why.BASKING_LOW: (
        {"read_c": 35.6, "band_low_c": 37.8, "read_at": 440, "short_c": 2.2},
        "its basking side read 96.1 °F at 7:20 am, under 100 °F: no feed until it is warm",
    ),
    Why.FIRST_NOT_SERVED: ({"slot": 1}, "feed 1 does not fit either"),
    Why.NO_FOOD: (
        {"wanted": 8, "on_hand": 0, "most_mm": 5.09, "smallest_mm": 6.4},
        "the smallest on the shelf is 0.25 in (6.4 mm), and it takes 0.2 in (5 mm) at most",
    ),
    Why.NOT_ALLOWED: ({"people": 2}, "none of the 2 people on shift may work in quarantine"),
    Why.OUT_TOO_LONG: (
        {"heads": 9, "most_heads": 8, "out_min": 29, "most_out_min": 25},
        "9 animals at once would be out of heat 29 min, and 25 min is the most",
    ),
}  # fmt: skip


# ---------------------------------------------------------------- clock and calendar


@pytest.mark.parametrize(
    ("minute", "clock"),
    [(0, "12:00 am"), (525, "8:45 am"), (719, "11:59 am"), (720, "12:00 pm"), (1439, "11:59 pm")],
)
def test_a_minute_of_the_day_is_a_clock_time_of_the_rooms_zone(minute: int, clock: str) -> None:
    assert words.clock_words(minute=minute, day=DAY, timezone=ZONE) == clock


def test_on_the_night_without_two_o_clock_the_clock_jumps() -> None:
    night = dt.date(2026, 3, 8)  # clocks forward in the United States: second Sunday of March
    told = [words.clock_words(minute=m, day=night, timezone=ZONE) for m in (119, 120, 180)]
    assert told == ["1:59 am", "3:00 am", "4:00 am"]


def test_on_the_night_with_one_o_clock_twice_each_has_its_zone() -> None:
    night = dt.date(2026, 11, 1)  # clocks back: first Sunday of November
    told = [words.clock_words(minute=m, day=night, timezone=ZONE) for m in (59, 60, 120, 180)]
    assert told == ["12:59 am", "1:00 am CDT", "1:00 am CST", "2:00 am"]


def test_a_span_names_its_half_of_the_day_once_where_it_is_the_same() -> None:
    spans = [words.span_words(start=a, end=b, day=DAY, timezone=ZONE) for a, b in ((525, 585), (690, 735))]
    assert spans == ["8:45 to 9:45 am", "11:30 am to 12:15 pm"]


def test_dates_are_written_the_us_way() -> None:
    assert words.day_words(DAY) == "Tue June 9"
    assert words.long_day_words(DAY) == "Tuesday, June 9, 2026"
    assert words.days_words(dt.date(2026, 6, 15), dt.date(2026, 6, 28)) == "June 15 to 28"


# ---------------------------------------------------------------- lengths, temperatures, counts


@pytest.mark.parametrize(
    ("mm", "us", "metric"),
    [
        (3.2, "⅛ in (3.2 mm)", "3.2 mm"),
        (6.35, "¼ in (6 mm)", "6 mm"),
        (9.5, "⅜ in (10 mm)", "10 mm"),
        (12.7, "½ in (13 mm)", "13 mm"),
        (25.4, "1 in (25 mm)", "25 mm"),
        (33.3, "1 5/16 in (33 mm)", "33 mm"),
        (0.5, "under 1/16 in (0.5 mm)", "0.5 mm"),
        (None, "size not known", "size not known"),
    ],
)
def test_prey_is_asked_for_by_fractions_of_an_inch_and_by_millimeters(
    mm: float | None, us: str, metric: str
) -> None:
    assert words.prey_words(mm=mm, units="us") == us
    assert words.prey_words(mm=mm, units="metric") == metric


def test_a_limit_is_rounded_down_so_that_it_is_never_too_large() -> None:
    for tenth in range(20, 300):
        mm = tenth / 10 + 0.049
        inches, rest = words.exact_words(mm=mm, units="us", limit=True).split(" in (")
        assert float(inches) * 25.4 <= mm
        assert float(rest.removesuffix(" mm)")) <= mm


def test_what_was_not_measured_is_never_a_number() -> None:
    assert words.exact_words(mm=None, units="us") == "not measured"
    assert words.temperature_words(celsius=None, units="us") == "not measured"
    assert words.weight_words(None) == "not measured"
    assert words.band_words(band=None, units="us") == "–"


@pytest.mark.parametrize(
    ("units", "first", "last", "unit"), [("us", -400, 1500, "°F"), ("metric", -400, 660, "°C")]
)
def test_every_tenth_of_a_degree_shows_as_it_was_entered(
    units: str, first: int, last: int, unit: str
) -> None:
    for tenths in range(first, last + 1):
        text = f"{tenths / 10:.1f}".removesuffix(".0")
        read = parse_temperature(text=text, system=System(units))
        assert words.temperature_words(celsius=read, units=units) == f"{text} {unit}"


def test_a_band_entered_in_whole_degrees_shows_as_it_was_entered() -> None:
    band = Band(low=(100 - 32) * 5 / 9, high=(110 - 32) * 5 / 9)
    assert words.band_words(band=band, units="us") == "100–110"


def test_a_reading_just_under_its_band_never_reads_as_the_bands_edge() -> None:
    low, edge = ((degrees - 32) * 5 / 9 for degrees in (99.6, 100))
    assert words.temperature_words(celsius=low, units="us") == "99.6 °F"
    assert words.temperature_words(celsius=edge, units="us") == "100 °F"


@pytest.mark.parametrize(
    ("grams", "units", "text"),
    [(14.1, "us", "14.1 g"), (999.9, "us", "999.9 g"), (1000, "us", "2.2 lb"), (1000, "metric", "1 kg")],
)
def test_a_shelf_weight_is_in_grams_below_a_kilogram_then_in_the_rooms_unit(
    grams: float, units: str, text: str
) -> None:
    assert amounts.shelf_weight_words(grams=grams, units=units) == text


@pytest.mark.parametrize("eighths", range(1, 41))
def test_a_prey_size_in_eighths_of_an_inch_shows_and_reads_as_itself(eighths: int) -> None:
    shown = words.prey_words(mm=eighths * 25.4 / 8, units="us", both=False)
    assert parse_length(text=shown, system=System.METRIC) == pytest.approx(eighths * 25.4 / 8)


def test_counts_know_one_from_many() -> None:
    told = [
        words.food_words(kind=k, count=n)
        for k, n in (("mouse", 1), ("mouse", 2), ("roach", 6), ("cricket", 2000))
    ]
    assert told == ["1 mouse", "2 mice", "6 roaches", "2,000 crickets"]


def test_names_in_a_row_are_drawn_together_and_no_others() -> None:
    assert words.run_words(["H1", "H2", "H3", "Marlow", "Q1", "Q2"]) == "H1 to H3, Marlow and Q1, Q2"
    assert words.run_words(["H1", "H3"]) == "H1 and H3"
    assert words.run_words([]) == ""


# ---------------------------------------------------------------- reasons and refusals


@pytest.mark.parametrize("why", list(Why))
def test_every_reason_has_a_sentence_with_its_numbers(why: Why) -> None:
    numbers, told = REASONS[why]
    shortfall = Shortfall(duty="d", why=why, numbers=tuple(numbers.items()))
    assert words.why_words(shortfall=shortfall, reader=US) == told


@pytest.mark.parametrize("why", list(Why))
def test_a_reason_without_numbers_is_still_a_clause(why: Why) -> None:
    assert len(words.why_words(shortfall=Shortfall(duty="d", why=why), reader=METRIC)) > 10


def test_a_window_of_the_whole_day_is_today_and_its_end_is_midnight() -> None:
    whole = {"people": 0, "opens": 0, "closes": 1440, "needed_min": 9}
    told = [
        reasons.reason_words(why=Why.NOBODY_ON_SHIFT, numbers=whole | {"opens": at}, reader=US)
        for at in (0, 1320)
    ]
    assert told == [
        "nobody is on shift today, and it needs 9 min",
        "nobody is on shift between 10:00 pm and midnight, and it needs 9 min",
    ]


def test_a_reason_reads_in_the_readers_units() -> None:
    numbers, _ = REASONS[Why.BASKING_LOW]
    told = reasons.reason_words(why=Why.BASKING_LOW, numbers=numbers, reader=METRIC)
    assert told == "its basking side read 35.6 °C at 7:20 am, under 37.8 °C: no feed until it is warm"


def test_numbers_of_an_unknown_reason_are_worded_by_their_names() -> None:
    numbers = (("free_min", 25.0), ("read_at", 440.0), ("length_mm", 254.0), ("short_c", 2.0), ("heads", 3.0))
    told = words.numbers_words(numbers=numbers, reader=METRIC)
    assert told == "free 25 min, read 7:20 am, length 254 mm, short 2 °C, heads 3"


@pytest.mark.parametrize("why", list(No))
def test_every_refusal_of_the_desk_has_a_sentence_of_its_own(why: No) -> None:
    about = {
        "value": "x",
        "name": "basking side",
        "left": 9,
        "offered": 8,
        "tubs": ["3", "5"],
        "value_c": 40.0,
    }
    told = words.refusal_words(why=why, about=about, reader=US)
    assert why.value in refusals.REFUSED
    assert told.endswith(".")
    assert "{" not in told


def test_more_left_than_offered_names_both_numbers() -> None:
    told = words.outcome_words(
        outcome="refused", why=No.MORE_LEFT_THAN_OFFERED, about={"left": 9, "offered": 8}
    )
    assert told == "Not kept. 9 left of 8 offered cannot be: count again."


def test_every_outcome_kind_need_and_status_has_words() -> None:
    assert {o.value for o in Outcome} <= set(words.OUTCOME)
    assert set(words.DUTY) == set(DutyKind)
    assert set(words.NEED) == set(Need)
    assert set(words.STATUS) == set(Status)


def test_a_portion_says_count_size_powder_and_when_nothing_fits() -> None:
    portion = Portion(food="c-1", kind="cricket", count=8, size_mm=6.35, most_mm=7.2, estimated=True,
                      dusted=True, powder="calcium")  # fmt: skip
    assert words.portion_words(portion=portion, units="us") == "8 crickets ¼ in (6 mm), calcium"
    assert (
        words.limit_words(portion=portion, units="us")
        == "largest prey 0.28 in (7.2 mm), estimated from its length"
    )
    nothing = Portion(
        food="", kind="cricket", count=8, size_mm=None, most_mm=2.0, estimated=False, dusted=False
    )
    assert words.portion_words(portion=nothing, units="us") == "8 crickets: nothing on the shelf fits"


def test_a_shortfall_is_a_whole_sentence_with_who_and_what() -> None:
    duty = Duty(
        key="k", kind=DutyKind.FEED, subject="h3", slot=2, need=Need.MUST, opens=0, closes=1, minutes=1.0
    )
    shortfall = Shortfall(duty="k", why=Why.FIRST_NOT_SERVED, numbers=(("slot", 1.0),))
    told = words.why_sentence(name="H3 · two dots", duty=duty, shortfall=shortfall, reader=US)
    assert told == "H3 · two dots, feed 2: feed 1 does not fit either."


def test_no_sentence_says_a_banned_word() -> None:
    said = [
        reasons.reason_words(why=why, numbers=numbers, reader=US) for why, (numbers, _) in REASONS.items()
    ]
    said += [
        *refusals.REFUSED.values(),
        *refusals.OUTCOME.values(),
        *words.DUTY.values(),
        *words.STATUS.values(),
    ]
    assert [found for text in said for found in house.banned_words(text) + house.check_marks(text)] == []


# ---------------------------------------------------------------- names of work


@pytest.mark.parametrize(
    ("kind", "slot", "people", "told"),
    [
        (DutyKind.WATER, 1, 1, "Water: tests"),
        (DutyKind.WATER, 2, 1, "Water: part change"),
        (DutyKind.WATER, 3, 1, "Water: filter"),
        (DutyKind.MIST, 2, 1, "Mist"),
        (DutyKind.WEIGH, 1, 2, "Weigh, by two people"),
        (DutyKind.MEDICINE, 1, 1, "Medicine"),
    ],
)
def test_work_is_called_what_it_is_and_a_second_person_is_asked_for(
    kind: DutyKind, slot: int, people: int, told: str
) -> None:
    duty = Duty(
        key="k", kind=kind, subject="s", slot=slot, need=Need.MUST, opens=0, closes=9, minutes=1.0,
        people=people,
    )  # fmt: skip
    assert words.duty_words(duty) == told


def test_every_kind_of_work_has_a_name() -> None:
    assert set(words.DUTY) == set(DutyKind)
