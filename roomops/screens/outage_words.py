"""Heat or power failed, in words: what failed, why a tank comes first, what is done now and afterwards.

What is done is common practice where no source stands beside it; a vet and local rules come first.
"""

from __future__ import annotations

from collections.abc import Mapping

from roomops.desk.outage_view import TankRisk
from roomops.husbandry.outage import Course, Failed
from roomops.papers.amounts import temperature_words
from roomops.papers.emergency_words import first_words
from roomops.papers.words import count_words, plural

FAILED: Mapping[str, str] = {
    Failed.POWER: "Power out",
    Failed.HEAT: "Heat off",
    Failed.HOT: "Room too hot",
}
PRESS: Mapping[str, str] = {
    Failed.POWER: "Power is out",
    Failed.HEAT: "Heat is off, power is on",
    Failed.HOT: "The room is too hot",
}
LOOKS: Mapping[str, str] = {
    "timers": "Timers show the right hour",
    "thermostats": "Thermostats show the right number",
    "lamps": "Lamps are on, one strip after the other",
}


def why_words(each: TankRisk, *, failed: str) -> str:
    """Why it stands where it stands; '' where nothing but its place says so."""
    return first_words(why=each.why, failed=failed)


def who_words(each: TankRisk) -> str:
    """'5 bearded dragons, hatchling', 'leopard gecko, adult'."""
    kinds = []
    for kind, stage in each.kinds:
        name = plural(kind)
        if len(each.kinds) == 1:
            name = count_words(each.heads, kind, name) if each.heads > 1 else kind
        kinds.append(f"{name}, {stage.lower()}")
    return "; ".join(kinds)


def act_words(each: TankRisk, *, failed: str, units: str) -> str:
    """'Act now: 63 °F, limit 64 °F'; '' while it holds."""
    if each.course is not Course.ACT or each.coolest is None or each.limit_c is None:
        return ""
    over = "at or over" if failed == Failed.HOT else "at or under"
    limit = temperature_words(celsius=each.limit_c, units=units)
    return f"Act now: {temperature_words(celsius=each.coolest, units=units)}, {over} {limit}"
