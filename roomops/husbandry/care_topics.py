"""What a care sheet may speak of: every topic, what its numbers measure, and between what they can be right.

The spans are our own wide sanity limits against slips of the pen (110 °C for a basking place), not care
values.
"""

from __future__ import annotations

from dataclasses import dataclass

from roomops.husbandry.units import Dimension

BANDS = (
    "basking", "cool side", "night", "humidity", "uv index", "winter sleep", "water", "ammonia", "nitrite",
    "nitrate", "ph", "chlorine",
)  # fmt: skip
ACT_BELOW = " act below"
ACT_ABOVE = " act above"
PORTION = "portion "  # followed by a food's kind
GAP_WITH = {2: "gap with 2 feeds", 3: "gap with 3 feeds", 4: "gap with 4 feeds"}
EVERY_STAGE = (
    "cool side", "night", "humidity", "feed every", "feeds a day", "watch", "most out of heat", "group most",
    "weigh every", "vet every", "clean every", "quarantine",
)  # fmt: skip
DAY_WINDOW = ("first feed after lights on", "last feed before lights out")
NIGHT_WINDOW = "feed window after lights out"
MIST = "mist a day"
MIST_WINDOWS = ("mist after lights on", "mist before lights out", "mist after lights out")
WATER = "water"
WITH_WATER = ("part change", "part change every", "filter service every")
SUN = "sun air"
WITH_SUN = ("sun uv index", "sun wind", "sun height", "sun floor", "sun session", "sun days a week")

_DAY = 1440.0
_YEAR = 365.25 * _DAY


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """What the numbers of a topic measure, and between which base-unit values they can be right."""

    dimension: Dimension
    least: float
    most: float


def _topic(dimension: Dimension, least: float, most: float) -> Topic:
    return Topic(dimension=dimension, least=least, most=most)


_TEMPERATURE = _topic(Dimension.TEMPERATURE, -5.0, 60.0)
_PERCENT = _topic(Dimension.PERCENT, 0.0, 100.0)
_UVI = _topic(Dimension.UV_INDEX, 0.0, 15.0)
_HOURS = _topic(Dimension.TIME, 0.0, _DAY)
_DAYS = _topic(Dimension.TIME, _DAY, 3 * _YEAR)
_TEMPERATURES = (
    "basking", "cool side", "night", "warm side", "air by day", "selected body temperature", "bath",
    "winter sleep", "water", "prey when offered", "no feeding below", "sun air", "sun floor",
)  # fmt: skip
_DAY_LENGTHS = (
    "photoperiod winter", "photoperiod summer", "uv hours", *DAY_WINDOW, NIGHT_WINDOW, *GAP_WITH.values(),
    *MIST_WINDOWS,
)  # fmt: skip
_DAY_TIMES = (
    "watch", "most out of heat", "warm up", "bath time", "mist time", "sun session",
    "tap water stands",
)  # fmt: skip
_INTERVALS = (
    "feed every", "weigh every", "vet every", "clean every", "quarantine", "bath every", "lamp change every",
    "part change every", "filter service every", "weigh at rest every", "rest time",
    "rest after food came up", "apart by",
)  # fmt: skip
_SHARES = (
    "moist hide humidity", "night humidity", "uv tube", "insect share", "plant share", "fruit share",
    "animal share", "formulated share", "prey of mass", "part change", "weight loss at rest act above",
)  # fmt: skip

_ACT_IN_DEGREES = ("basking", "cool side", "night", "winter sleep", WATER)
_IN_WATER = ("ammonia", "nitrite", "nitrate", "chlorine")

TOPICS: dict[str, Topic] = {
    **dict.fromkeys(_TEMPERATURES, _TEMPERATURE),
    **{band + side: _TEMPERATURE for band in _ACT_IN_DEGREES for side in (ACT_BELOW, ACT_ABOVE)},
    **{f"humidity{side}": _PERCENT for side in ("", ACT_BELOW, ACT_ABOVE)},
    **{f"uv index{side}": _UVI for side in ("", ACT_BELOW, ACT_ABOVE)},
    **{f"ph{side}": _topic(Dimension.ACIDITY, 3.0, 12.0) for side in ("", ACT_BELOW, ACT_ABOVE)},
    **{
        test + side: _topic(Dimension.CONCENTRATION, 0.0, 500.0)
        for test in _IN_WATER
        for side in ("", ACT_ABOVE)
    },
    **dict.fromkeys(_SHARES, _PERCENT),
    **dict.fromkeys((*_DAY_LENGTHS, *_DAY_TIMES), _HOURS),
    **dict.fromkeys(_INTERVALS, _DAYS),
    **dict.fromkeys(("uv mean exposure", "sun uv index"), _UVI),
    MIST: _topic(Dimension.A_DAY, 1.0, 4.0),
    "handlers": _topic(Dimension.PEOPLE, 1.0, 6.0),
    **dict.fromkeys(("length a handler", "never alone from"), _topic(Dimension.LENGTH, 300.0, 5000.0)),
    "clutch": _topic(Dimension.EGGS, 1.0, 150.0),
    **dict.fromkeys(("lay box depth", "home height"), _topic(Dimension.LENGTH, 20.0, 3000.0)),
    **dict.fromkeys(("filter turnover", "water depth"), _topic(Dimension.TIMES, 0.5, 20.0)),
    "sun wind": _topic(Dimension.SPEED, 0.0, 30.0),
    "sun height": _topic(Dimension.ANGLE, 0.0, 90.0),
    "thaw": _topic(Dimension.TIME, 0.0, 2 * _DAY),
    "ferguson zone": _topic(Dimension.ZONE, 1.0, 4.0),
    "no handling after feed": _topic(Dimension.TIME, 0.0, 14 * _DAY),
    "sun days a week": _topic(Dimension.TIME, 0.0, 7 * _DAY),
    "life span": _topic(Dimension.TIME, _YEAR, 200 * _YEAR),
    "adult age": _topic(Dimension.TIME, 30 * _DAY, 30 * _YEAR),
    "feeds a day": _topic(Dimension.FEEDS, 1.0, 4.0),
    "insect feeds a week": _topic(Dimension.FEEDS, 0.0, 28.0),
    "dusted feeds a week": _topic(Dimension.FEEDS, 0.0, 28.0),
    "group most": _topic(Dimension.ANIMALS, 1.0, 30.0),
    "animals a tub": _topic(Dimension.ANIMALS, 1.0, 10.0),
    "prey to gap": _topic(Dimension.TIMES, 0.1, 1.5),
    "prey to widest part": _topic(Dimension.TIMES, 0.1, 1.5),
    "home in body lengths": _topic(Dimension.TIMES, 0.3, 10.0),
    "gap of length": _topic(Dimension.OF_LENGTH, 0.005, 0.15),
    "floor": _topic(Dimension.AREA, 50.0, 100_000.0),
    "tank volume": _topic(Dimension.VOLUME, 1.0, 5000.0),
    "adult length": _topic(Dimension.LENGTH, 30.0, 5000.0),
    "hatchling length": _topic(Dimension.LENGTH, 10.0, 1000.0),
    "shell length for sale": _topic(Dimension.LENGTH, 10.0, 1000.0),
    "fence": _topic(Dimension.LENGTH, 50.0, 2000.0),
    "substrate depth": _topic(Dimension.LENGTH, 0.0, 1000.0),
    "adult weight": _topic(Dimension.WEIGHT, 1.0, 100_000.0),
    "hatchling weight": _topic(Dimension.WEIGHT, 0.2, 1000.0),
}

_WEIGHED = _topic(Dimension.WEIGHT, 0.1, 1000.0)
_PORTIONS = {
    "insect": _topic(Dimension.INSECTS, 1.0, 100.0),
    "rodent": _topic(Dimension.RODENTS, 1.0, 10.0),
    **dict.fromkeys(("powder meal", "pellets", "soft prey", "fish", "egg"), _WEIGHED),
}

FOODS: dict[str, tuple[str, ...]] = {
    "insect": (
        "cricket", "roach", "silkworm", "black soldier fly larva", "hornworm", "mealworm", "superworm",
        "waxworm", "locust",
    ),
    "rodent": ("mouse", "rat"),
    "greens": (  # plants for the cup: leaves and flowers first, vegetables, a little fruit, mushrooms
        "collard greens", "dandelion greens", "mustard greens", "turnip greens", "endive", "chicory",
        "watercress", "arugula", "squash", "bell pepper", "plantain weed", "sow thistle", "mallow",
        "hibiscus", "bramble leaf", "clover", "grass hay", "escarole", "romaine", "kale", "mulberry leaf",
        "grape leaf", "green beans", "carrot", "prickly pear", "mushroom", "papaya", "mango", "fig",
        "berries", "water plants",
    ),
    "powder meal": ("fruit mix powder",),  # stirred with water, stands in a small dish
    "pellets": ("turtle pellets",),
    "soft prey": ("earthworm", "snail", "shrimp"),  # cut to size, weighed
    "fish": ("whole fish",),
    "egg": ("cooked egg",),
}  # fmt: skip

SIZED = ("insect", "rodent")  # held against the gap between the eyes, or the widest part
STAYS = ("greens", "powder meal")  # stands in the tank and needs no watching


def topic_named(name: str) -> Topic | None:
    """Return what is known of a topic, or None. 'portion cricket' counts, 'portion turtle pellets' weighs."""
    if name.startswith(PORTION):
        return _PORTIONS.get(category_of(name.removeprefix(PORTION)) or "")
    return TOPICS.get(name)


def category_of(kind: str) -> str | None:
    """Return the category of a food kind such as 'insect' or 'pellets', or None when it is not known."""
    return next((category for category, kinds in FOODS.items() if kind in kinds), None)


def is_alarm(topic: str) -> bool:
    """Return True for a limit at which somebody acts now."""
    return topic.endswith((ACT_BELOW, ACT_ABOVE))
