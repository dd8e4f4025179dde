"""A desk's Day made by hand, so that pages can be tested without tables: Tue June 9, 2026, 1:10 pm."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from types import SimpleNamespace
from typing import Any
from zoneinfo import ZoneInfo

from roomops.desk.day_types import Day, LastReading, Period, Presence, RoundView, ShortView, Status
from roomops.desk.state import State
from roomops.papers.words import Reader
from roomops.planning.plan import Duty, Plan, Round, Scores, Why
from roomops.planning.room import DutyKind, Need
from roomops.records.models import Room
from tests import makers_planning

ZONE = ZoneInfo("America/Chicago")
DAY = dt.date(2026, 6, 9)
SCORES = Scores(must=0, should=0, late_min=0, could=0, unevenness_min=0, imbalance_min=0, moved=0)


def at(clock: str, day: dt.date = DAY) -> dt.datetime:
    """``at("13:10")``: a wall-clock moment of the day."""
    return dt.datetime.combine(day, dt.time.fromisoformat(clock), ZONE)


NOW = at("13:10")


def a_duty(
    kind: DutyKind = DutyKind.FEED, subject: str = "h3-two-dots", slot: int = 1, **changes: Any
) -> Duty:
    base = Duty(
        key=f"{DAY}/{kind}/{subject}/{slot}",
        kind=kind,
        subject=subject,
        slot=slot,
        need=Need.MUST,
        opens=480,
        closes=720,
        minutes=1.0,
        tank="h3",
    )
    return replace(base, **changes)


def a_round_view(
    number: int, kind: DutyKind, starts: str, ends: str, status: Status = Status.LATER, **changes: Any
) -> RoundView:
    """Round ``number``; a tenth of a day's work by Oskar unless said otherwise."""
    slot = changes.pop("slot", 1 if kind is DutyKind.FEED else 0)
    quarantine = changes.pop("quarantine", False)
    planned = Round(
        key=f"r{number}",
        number=number,
        person=changes.get("person", "oskar"),
        kind=kind,
        slot=slot,
        duties=(),
        start=0,
        end=60,
        steps=(),
        quarantine=quarantine,
    )
    facts: dict[str, Any] = {
        "round": planned,
        "key": planned.key,
        "number": number,
        "status": status,
        "begun": status in {Status.UNDER_WAY, Status.DONE},
        "person": "oskar",
        "person_name": "Oskar",
        "starts": at(starts),
        "ends": at(ends),
        "minutes_late": 0,
        "due": 10,
        "left": 0 if status is Status.DONE else 10,
        "out": 0,
        "not_counted": 0,
        "seats": (),
        "dropped": (),
        "duties": (),
        "left_labels": (),
        "tray_name": "",
        "tanks": (),
        "done_at": at(ends) if status is Status.DONE else None,
        "done_by": "Oskar" if status is Status.DONE else "",
        "refused": 0,
        "in_tubs": False,
        "ends_about": None,
        "past_shift_min": 0,
    }
    return RoundView(**facts | changes)


def a_reading(tank: str, value_c: float, when: str, **changes: Any) -> LastReading:
    base = LastReading(
        tank=tank,
        tank_name=tank.upper(),
        spot="basking",
        value_c=value_c,
        at=at(when),
        on=DAY,
        age_min=30,
        low_c=38.0,
        high_c=43.0,
        out="low" if value_c < 38 else "",
        act=False,
    )
    return replace(base, **changes)


def a_period(**changes: Any) -> Period:
    base = Period(
        timer="day",
        kinds=("Bearded dragon",),
        on=at("07:30"),
        off=at("20:00"),
        food_from=at("08:30"),
        food_to=at("18:00"),
    )
    return replace(base, **changes)


def a_day(**changes: Any) -> Day:
    """A day without rounds: one tank of four hatchlings, Oskar until 1:30 pm, Lupe after him."""
    rounds: tuple[RoundView, ...] = changes.get("rounds", ())
    facts = changes.pop("facts", None) or makers_planning.room(facts_changed="2026-06-09T12:05:00+00:00")
    base: dict[str, Any] = {
        "room": Room(key="juniper-street", name="Juniper Street Reptile Room", timezone="America/Chicago"),
        "day": DAY,
        "now": NOW,
        "zone": ZONE,
        "midnight": at("00:00"),
        "facts": facts,
        "plan": Plan(
            schema=1,
            room="juniper-street",
            day=str(DAY),
            method="quick",
            facts="",
            duties=(),
            rounds=tuple(view.round for view in rounds),
            unplaced=(),
            scores=SCORES,
        ),
        "plan_id": 1,
        "version": 1,
        "refusal": "",
        "state": State(),
        "rounds": rounds,
        "duties": {},
        "labels": {},
        "undone": (),
        "unplaced": (),
        "wrong": (),
        "changed": (),
        "readings": (),
        "periods": (a_period(),),
        "presences": (
            Presence(person="oskar", name="Oskar", starts=at("07:30"), ends=at("13:30")),
            Presence(person="lupe", name="Lupe", starts=at("13:30"), ends=at("20:30")),
        ),
        "clashes": 0,
        "unmatched": 0,
        "improving": False,
        "animals": {},
        "columns": {},
        "stale": (),
        "last_here": {},
    }
    return Day(**base | changes)


def a_short(
    label: str, why: Why = Why.NO_TIME, slot: int = 3, need: Need = Need.SHOULD, **numbers: float
) -> ShortView:
    duty = a_duty(subject=label.lower().replace(" ", "-"), slot=slot, need=need)
    return ShortView(duty=duty, label=label, why=why, numbers=numbers)


def the_drawn_rounds() -> tuple[RoundView, ...]:
    """The twelve rounds of the drawing: five done, one late, one under way, one next, four later."""
    d, s = DutyKind, Status
    tub = {"in_tubs": True}
    return (
        a_round_view(
            1, d.OPENING, "07:30", "08:15", s.DONE, person="tamsin", person_name="Tamsin", done_by="Tamsin"
        ),
        a_round_view(
            2, d.CUPS, "08:15", "08:50", s.DONE, person="tamsin", person_name="Tamsin", done_by="Tamsin"
        ),
        a_round_view(3, d.FEED, "08:45", "09:45", s.DONE, due=8, refused=1, tray_name="Tray A", **tub),
        a_round_view(
            4,
            d.FEED,
            "09:00",
            "09:40",
            s.DONE,
            due=2,
            quarantine=True,
            person="bea",
            person_name="Bea",
            done_by="Bea",
            tray_name="Tray Q",
            **tub,
        ),
        a_round_view(
            5, d.READING, "09:45", "10:30", s.DONE, person="tamsin", person_name="Tamsin", done_by="Tamsin"
        ),
        a_round_view(
            6,
            d.CLEAN,
            "11:00",
            "12:00",
            s.LATE,
            person="tamsin",
            person_name="Tamsin",
            begun=True,
            minutes_late=70,
            left=3,
            left_labels=("H4", "Marlow", "Pilot"),
            ends_about=at("13:30"),
        ),
        a_round_view(
            7,
            d.FEED,
            "12:15",
            "13:10",
            s.UNDER_WAY,
            slot=2,
            due=8,
            left=5,
            out=7,
            not_counted=5,
            tray_name="Tray B",
            left_labels=("H3 · one dot", "H3 · bar", "H4 · one dot", "H4 · ring", "H4 · bar"),
            ends_about=at("14:00"),
            past_shift_min=30,
            **tub,
        ),
        a_round_view(
            8,
            d.READING,
            "14:00",
            "14:30",
            s.NEXT,
            person="lupe",
            person_name="Lupe",
            left_labels=("H2", "H1", "H3", "H4"),
        ),
        a_round_view(
            9, d.FEED, "16:00", "17:00", slot=3, person="lupe", person_name="Lupe", tray_name="Tray A", **tub
        ),
        a_round_view(
            10,
            d.FEED,
            "16:15",
            "16:54",
            slot=3,
            quarantine=True,
            person="bea",
            person_name="Bea",
            tray_name="Tray Q",
            **tub,
        ),
        a_round_view(11, d.FEED, "19:30", "19:45", person="lupe", person_name="Lupe", tanks=("Sorrel",)),
        a_round_view(12, d.CLOSING, "20:00", "20:30", person="lupe", person_name="Lupe"),
    )


def a_request(units: str = "us", **changes: Any) -> SimpleNamespace:
    """What a template reads of a request, without a server."""
    base: dict[str, Any] = {
        "room": Room(name="Juniper Street Reptile Room"),
        "person": SimpleNamespace(name="Oskar", key="oskar"),
        "now": NOW,
        "reader": Reader(units=units, day=DAY, timezone="America/Chicago"),
        "lamps": "on",
        "resolver_match": SimpleNamespace(url_name="today"),
        "get_full_path": lambda: "/",
        "META": {},
    }
    return SimpleNamespace(**base | changes)
