"""Lamps in words: what is wrong with one, how a spare fits, when it is due."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from roomops.desk.lamp_rules import Fit, Missing
from roomops.desk.lamp_views import LampView
from roomops.papers.amounts import date_words, day_words
from roomops.records.models.places import LampKind

KIND: Mapping[str, str] = {
    LampKind.DAY: "Day lamp",
    LampKind.UV: "UV lamp",
    LampKind.NIGHT: "Night heat",
}
MISSING: Mapping[Missing, str] = {
    Missing.THERMOSTAT: "No thermostat: a heater without one overheats the tank. Put one on first.",
    Missing.PROBE: "No probe: the thermostat cannot know how hot it is. Fix one at the animal’s height.",
    Missing.RATING: "The fixture’s highest watts are not written down: read them off the fixture.",
    Missing.OVER: "It burns more watts than the fixture is made for: switch it off, and put in less.",
    Missing.FITTED: "Nobody wrote when it was fitted: no date can be worked out.",
    Missing.APART: "UV and day lamp are on different timers, and the care sheet says together.",
    Missing.ASK: "Does UV burn with the day lamp here? The care sheet does not say.",
}
FIT: Mapping[Fit, str] = {
    Fit.SAME: "the same watts",
    Fit.WEAKER: "weaker: read the basking side half an hour later",
}


def due_words(lamp: LampView) -> str:
    """'Replace by Thu June 11', 'By age: December 2', 'no date known'."""
    if lamp.due is None:
        return "No date known"
    if lamp.state == "late":
        return f"Replace now: due {date_words(lamp.due)}"
    if lamp.state == "next":
        return f"Replace by {day_words(lamp.due)}"
    return f"By age: {_far(lamp.due, lamp)}"


def _far(due: date, lamp: LampView) -> str:
    today = due - timedelta(days=lamp.days_left or 0)
    return f"{date_words(due)}, {due.year}" if due.year != today.year else date_words(due)


def age_words(lamp: LampView) -> str:
    """'fitted March 3, 98 days ago', 'fitted: nobody wrote it'."""
    if lamp.fitted_on is None or lamp.age_days is None:
        return "fitted: nobody wrote it"
    days = lamp.age_days
    ago = "today" if days == 0 else f"{days} day{'s' if days != 1 else ''} ago"
    if days > 365:
        ago = f"{days * 12 // 365} months ago"
    year = f", {lamp.fitted_on.year}" if days > 300 else ""
    return f"fitted {date_words(lamp.fitted_on)}{year}, {ago}"


def spare_words(lamp: LampView) -> str:
    """'2 spare', 'no fitting spare'."""
    many = lamp.spare_count
    return f"{many} spare" if many else "no fitting spare"


def watts_words(lamp: LampView) -> str:
    """'75 W in a fixture for 100 W'."""
    burns = f"{lamp.watts} W" if lamp.watts else "watts not known"
    rated = (
        f"a fixture for {lamp.rated_watts} W" if lamp.rated_watts else "a fixture without a written rating"
    )
    return f"{burns} in {rated}"
