"""Heat or power failed, in words: what failed, why a tank comes first, what is done now and afterwards.

What is done is common practice where no source stands beside it; a vet and local rules come first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from roomops.desk.outage_view import TankRisk
from roomops.husbandry.outage import Course, Failed, First
from roomops.papers.amounts import temperature_words
from roomops.papers.words import count_words, list_words, plural

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
FIRST: Mapping[First, str] = {
    First.YOUNG: "Smallest bodies: they cool first",
    First.SMALL: "Small: cools soon",
    First.NEEDS_HEAT: "Basks hottest: falls furthest",
    First.WATER_HOLDS: "Water cools slowly: later",
    First.HEAT_HURTS: "Bears the least heat",
    First.ORDINARY: "",
}
FIRST_HOT: Mapping[First, str] = {
    First.YOUNG: "Small bodies heat up first",
    First.SMALL: "Small: heats up soon",
    First.HEAT_HURTS: "Bears the least heat: first",
}
LOOKS: Mapping[str, str] = {
    "timers": "Timers show the right hour",
    "thermostats": "Thermostats show the right number",
    "lamps": "Lamps are on, one strip after the other",
}
COLD_NOW = (
    "Lids and doors shut. Blankets over backs and sides of racks, never over a lamp or a heater.",
    "Lamps off at their strips, so that not all start at once. Dry hands.",
    "Warm packs for shipping reptiles, wrapped in cloth, outside the tank: against skin they burn.",
    "No candle, grill or fuel heater in here: fire, and carbon monoxide.",
    "A limp or stiff one: a warm room, slowly, no lamp, no hot water. Call the vet.",
)
HOT_NOW = (
    "Basking lamps and heaters off first. Air moved, not blown at them.",
    "First ones low and into the coolest room, in the shade, with water.",
    "Nobody in a closed tub, in a car or behind glass in the sun.",
    "One that gapes and does not move away, or is limp: call the vet now.",
)
NOT_FED = "Nothing is fed: without heat it is not digested."


def why_words(each: TankRisk, *, failed: str) -> str:
    """Why it stands where it stands; '' where nothing but its place says so."""
    if failed == Failed.HOT:
        return FIRST_HOT.get(each.why, "")
    return FIRST[each.why]


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


def missing_words(looks: Sequence[str]) -> str:
    """'timers and lamps'."""
    return list_words(list(looks))
