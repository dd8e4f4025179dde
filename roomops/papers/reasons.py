"""Why a duty did not fit, as a clause with its numbers (their names are listed in planning.shortfall)."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from roomops.papers.amounts import count_words, exact_words, minutes_words, plain, temperature_words
from roomops.papers.reader import Reader, numbers_words
from roomops.planning.plan import Shortfall, Why

Numbers = Mapping[str, float]

_PLAIN: dict[Why, str] = {
    Why.NOBODY_ON_SHIFT: "nobody is on shift while it could be done",
    Why.NO_TUB_FITS: "no tub is long enough",
    Why.NO_TUBS: "there is no tub for it",
    Why.NO_TIME: "no time is left in anybody's shift",
    Why.WINDOW_CLOSED: "there is no time for it between when it may begin and when it must be over",
    Why.GAP_TOO_SHORT: "too soon after the feed before",
    Why.BASKING_LOW: "its basking side last read too low: no feed until it is warm",
    Why.FIRST_NOT_SERVED: "the feed before it does not fit either",
    Why.NO_FOOD: "nothing on the shelf fits it",
    Why.NOT_ALLOWED: "nobody on shift may do it",
    Why.HEAT_OR_POWER: "heat or power is out: no feed until it is back and the basking side is warm",
    Why.OUT_TOO_LONG: "it would be out of its heat too long",
}


def _between(n: Numbers, who: Reader) -> str:
    """'between 8:30 am and 6:00 pm'; 'today' for a window of the whole day."""
    if n["closes"] - n["opens"] >= 23 * 60:
        return "today"
    closes = "midnight" if who.clock(n["closes"]) == "12:00 am" else who.clock(n["closes"])
    opens = "midnight" if who.clock(n["opens"]) == "12:00 am" else who.clock(n["opens"])
    return f"between {opens} and {closes}"


def _nobody(n: Numbers, who: Reader) -> str:
    window = _between(n, who)
    needed = minutes_words(n["needed_min"])
    if n.get("present_min"):
        has = minutes_words(n["present_min"])
        return f"nobody is here long enough {window}: it needs {needed} and has {has}"
    return f"nobody is on shift {window}, and it needs {needed}"


def _no_tub_fits(n: Numbers, who: Reader) -> str:
    animal, tub = (exact_words(mm=n[k], units=who.units) for k in ("length_mm", "largest_mm"))
    return f"no tub is long enough: the animal is {animal}, the largest tub takes {tub}"


def _no_tubs(n: Numbers, who: Reader) -> str:  # noqa: ARG001
    if not n["tubs"]:
        return "there is no tub for it"
    return f"it needs {count_words(n['heads'], 'tub')} at once and {plain(n['tubs'])} of one tray fit"


def _no_time(n: Numbers, who: Reader) -> str:  # noqa: ARG001
    if n.get("more_tubs_help"):
        return f"all tubs are taken: {count_words(n['tubs_short'], 'more tub')} would make it fit"
    free = minutes_words(n["free_min"]) if n["free_min"] > 0 else "none"
    more = "; one more person would make it fit" if n.get("more_people_help") else ""
    return f"no time is left: it needs {minutes_words(n['needed_min'])}, the longest free is {free}{more}"


def _window(n: Numbers, who: Reader) -> str:
    window = _between(n, who)
    return (
        f"{minutes_words(n['window_min'])} are left {window}, and it needs {minutes_words(n['needed_min'])}"
    )


def _gap(n: Numbers, who: Reader) -> str:
    gap, first, closes = minutes_words(n["gap_min"]), who.clock(n["first_at"]), who.clock(n["closes"])
    return f"the feed before it begins at {first}, {gap} must lie between, and all must be back by {closes}"


def _basking(n: Numbers, who: Reader) -> str:
    read, low = (temperature_words(celsius=n[k], units=who.units) for k in ("read_c", "band_low_c"))
    return f"its basking side read {read} at {who.clock(n['read_at'])}, under {low}: no feed until it is warm"


def _first(n: Numbers, who: Reader) -> str:  # noqa: ARG001
    return f"feed {plain(n['slot'])} does not fit either"


def _food(n: Numbers, who: Reader) -> str:
    if n.get("unmeasured"):
        return "it was never measured, so no prey is known to fit: measure the gap between its eyes first"
    if "smallest_mm" in n and n["smallest_mm"] > n["most_mm"]:
        smallest = exact_words(mm=n["smallest_mm"], units=who.units)
        most = exact_words(mm=n["most_mm"], units=who.units, limit=True)
        return f"the smallest on the shelf is {smallest}, and it takes {most} at most"
    if n["wanted"]:
        return f"{plain(n['wanted'])} are wanted, and no batch on the shelf that fits holds as many"
    return "there is none on the shelf"


def _not_allowed(n: Numbers, who: Reader) -> str:  # noqa: ARG001
    return f"none of the {count_words(n['people'], 'person', 'people')} on shift may work in quarantine"


def _outage(n: Numbers, who: Reader) -> str:
    since = f" since {who.clock(n['began'])}" if n["began"] else " since before today"
    return f"heat or power is out{since}: no feed until it is back and the basking side is warm"


def _out(n: Numbers, who: Reader) -> str:  # noqa: ARG001
    return (
        f"{count_words(n['heads'], 'animal')} at once would be out of heat {minutes_words(n['out_min'])}, "
        f"and {minutes_words(n['most_out_min'])} is the most"
    )


_WITH_NUMBERS: dict[Why, Callable[[Numbers, Reader], str]] = {
    Why.NOBODY_ON_SHIFT: _nobody,
    Why.NO_TUB_FITS: _no_tub_fits,
    Why.NO_TUBS: _no_tubs,
    Why.NO_TIME: _no_time,
    Why.WINDOW_CLOSED: _window,
    Why.GAP_TOO_SHORT: _gap,
    Why.BASKING_LOW: _basking,
    Why.FIRST_NOT_SERVED: _first,
    Why.NO_FOOD: _food,
    Why.NOT_ALLOWED: _not_allowed,
    Why.HEAT_OR_POWER: _outage,
    Why.OUT_TOO_LONG: _out,
}


def reason_words(*, why: Why, numbers: Numbers, reader: Reader) -> str:
    """A reason as a clause: 'no tub is long enough: the animal is …, the largest tub takes …'.

    A plan file by another hand may lack numbers: then the plain clause, with those that there are.
    """
    try:
        return _WITH_NUMBERS[why](numbers, reader)
    except KeyError:
        told = numbers_words(numbers=tuple(numbers.items()), reader=reader)
        return _PLAIN[why] + (f" ({told})" if told else "")


def why_words(*, shortfall: Shortfall, reader: Reader) -> str:
    """The clause of a plan's shortfall."""
    return reason_words(why=shortfall.why, numbers=dict(shortfall.numbers), reader=reader)
