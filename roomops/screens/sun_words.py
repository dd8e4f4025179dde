"""Sun outdoors in words: weather buttons, every reason why not, what is looked at first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from roomops.desk.sun_view import Chance
from roomops.husbandry.outdoors import NoSun, Reason
from roomops.papers.amounts import list_words, plain, temperature_words

SKIES: tuple[tuple[str, str], ...] = (
    ("clear", "Clear"),
    ("scattered", "A few clouds"),
    ("broken", "More cloud than sky"),
    ("overcast", "Covered"),
    ("rain", "Rain or snow"),
)
WINDS: tuple[tuple[str, str], ...] = (
    ("calm", "Calm: leaves hang still"),
    ("breeze", "A breeze: leaves and twigs move"),
    ("strong", "Strong: branches move"),
)
LOOKS: tuple[tuple[str, str], ...] = (
    ("watched", "I stay and watch"),
    ("floor_felt", "Floor of the pen felt with the hand"),
    ("shade", "Shade over half of it"),
    ("hide", "A hide"),
    ("lid", "Lid locked, against birds"),
    ("water", "Water"),
    ("no_glass", "A pen: no closed tub, no glass"),
)
PLAIN: Mapping[NoSun, str] = {
    NoSun.NOT_FOR_IT: "its care sheet has no sun outdoors at this age",
    NoSun.NOT_STORE_ANIMAL: "only store animals go out",
    NoSun.WINTER: "it is winter: UV lamps do it until March",
    NoSun.RAIN: "rain or storm",
    NoSun.CLOSED_TUB: "nobody in a closed tub: it heats up in minutes",
    NoSun.BEHIND_GLASS: "not in a closed tub or behind glass: it heats up in minutes, without UVB",
    NoSun.NOBODY_WATCHES: "somebody stays and watches",
    NoSun.NO_SHADE: "the pen has no shade",
    NoSun.NO_HIDE: "the pen has no hide",
    NoSun.NO_LID: "the pen has no lid",
    NoSun.NO_WATER: "there is no water",
    NoSun.FLOOR_NOT_FELT: "the floor of the pen was not felt first",
}


def reason_words(reason: Reason, *, units: str) -> str:
    """One reason as a clause: 'air of 57 °F, 75 °F is the least'."""
    if reason.why in PLAIN:
        return PLAIN[reason.why]
    value, limit = reason.value or 0.0, reason.limit or 0.0
    if reason.why in {NoSun.COLD, NoSun.HOT, NoSun.FLOOR_HOT}:
        what = "a floor of" if reason.why is NoSun.FLOOR_HOT else "air of"
        edge = "the least" if reason.why is NoSun.COLD else "the most"
        there = temperature_words(celsius=value, units=units)
        return f"{what} {there}, {temperature_words(celsius=limit, units=units)} is {edge}"
    if reason.why is NoSun.SUN_LOW:
        return f"the sun stands {value:.0f}° high, {limit:.0f}° is the least"
    if reason.why is NoSun.WIND:
        return "too much wind"
    edge = "the least" if reason.why is NoSun.UV_LOW else "the most"
    return f"a UV index of {value:.1f}, {plain(limit)} is {edge}"


def reasons_words(reasons: Sequence[Reason], *, units: str) -> str:
    """All reasons: 'rain or storm and air of 57 °F, 75 °F is the least'."""
    return list_words([reason_words(reason, units=units) for reason in reasons])


def owed_words(each: Chance) -> str:
    """'2 days owed this week', 'had its 2 days this week'."""
    had = len(set(each.given))
    if each.owed:
        more = f", had {had}" if had else ""
        return f"{each.owed} day{'' if each.owed == 1 else 's'} owed this week{more}"
    return f"had its {had} day{'' if had == 1 else 's'} this week"
