"""Heat or power failed: why an animal comes first, and what is done, the same on screen and on paper.

Common practice where no source stands beside it. A vet and local fire rules come first.
"""

from __future__ import annotations

from collections.abc import Mapping

from roomops.husbandry.outage import Failed, First

IN_THE_COLD: Mapping[First, str] = {
    First.YOUNG: "Smallest bodies: they cool first",
    First.SMALL: "Small: cools soon",
    First.NEEDS_HEAT: "Basks hottest: falls furthest",
    First.WATER_HOLDS: "Water cools slowly: later",
    First.HEAT_HURTS: "Bears the least heat",
    First.ORDINARY: "",
}
TOO_HOT: Mapping[First, str] = {
    First.YOUNG: "Small bodies heat up first",
    First.SMALL: "Small: heats up soon",
    First.HEAT_HURTS: "Bears the least heat: first",
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
BACK = (
    "Timers: the right hour. One that stood still is late by as long as power was out.",
    "Thermostats: the right number, probe in its place.",
    "Lamps one strip at a time.",
    "Feed only when a basking side reads in its band again.",
)
NO_RATES = "The order is common practice: how fast these kinds cool was not found."


def first_words(*, why: First, failed: str) -> str:
    """Why it stands where it stands; '' where only its place says so."""
    return TOO_HOT.get(why, "") if failed == Failed.HOT else IN_THE_COLD[why]
