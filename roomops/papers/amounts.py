"""Numbers as people read them: clock times in the room's zone, lengths, temperatures, counts.

Nothing here knows Django. ``units`` is the reader's ``System``; a plain 'us' or 'metric' serves as well.
"""

from __future__ import annotations

import datetime as dt
import math
from fractions import Fraction
from zoneinfo import ZoneInfo

from roomops.husbandry.care import Band
from roomops.husbandry.units import BY_NAME, System, from_base

NOT_MEASURED = "not measured"
DASH = "–"
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_GLYPHS = {"1/8": "⅛", "1/4": "¼", "3/8": "⅜", "1/2": "½", "5/8": "⅝", "3/4": "¾", "7/8": "⅞"}

# One and many of what is fed. A kind that is missing here takes its own name with 's'.
FOODS: dict[str, tuple[str, str]] = {
    "cricket": ("cricket", "crickets"),
    "roach": ("roach", "roaches"),
    "mealworm": ("mealworm", "mealworms"),
    "superworm": ("superworm", "superworms"),
    "hornworm": ("hornworm", "hornworms"),
    "silkworm": ("silkworm", "silkworms"),
    "waxworm": ("waxworm", "waxworms"),
    "black soldier fly larva": ("black soldier fly larva", "black soldier fly larvae"),
    "larva": ("larva", "larvae"),
    "mouse": ("mouse", "mice"),
    "rat": ("rat", "rats"),
    "greens": ("cup of greens", "cups of greens"),
    "hay": ("handful of hay", "handfuls of hay"),
}


# ---------------------------------------------------------------- clock and calendar


def moment(*, minute: float, day: dt.date, timezone: str) -> dt.datetime:
    """The aware time that is ``minute`` elapsed minutes after local midnight of ``day``."""
    zone = ZoneInfo(timezone)
    midnight = dt.datetime.combine(day, dt.time(), tzinfo=zone)
    return (midnight.astimezone(dt.UTC) + dt.timedelta(minutes=minute)).astimezone(zone)


def time_words(at: dt.datetime, *, suffix: bool = True) -> str:
    """'8:45 am'; in the hour that comes twice when clocks go back, with its zone's letters."""
    words = f"{at.hour % 12 or 12}:{at.minute:02d}"
    if suffix:
        words += " am" if at.hour < 12 else " pm"
    twice = at.utcoffset() != at.replace(fold=1 - at.fold).utcoffset()
    return f"{words} {at.tzname()}" if twice and at.tzname() else words


def clock_words(*, minute: float, day: dt.date, timezone: str, suffix: bool = True) -> str:
    """'8:45 am', or '8:45' without ``suffix``, of a minute of the day."""
    return time_words(moment(minute=minute, day=day, timezone=timezone), suffix=suffix)


def span_words(*, start: float, end: float, day: dt.date, timezone: str) -> str:
    """'8:45 to 9:45 am', '11:30 am to 12:15 pm'."""
    first, last = (moment(minute=at, day=day, timezone=timezone) for at in (start, end))
    same_half = (first.hour < 12) == (last.hour < 12) and first.date() == last.date()
    return f"{time_words(first, suffix=not same_half)} to {time_words(last)}"


def day_words(day: dt.date) -> str:
    """'Tue June 9'."""
    return f"{WEEKDAYS[day.weekday()][:3]} {date_words(day)}"


def date_words(day: dt.date) -> str:
    """'June 9'."""
    return f"{MONTHS[day.month - 1]} {day.day}"


def long_day_words(day: dt.date) -> str:
    """'Tuesday, June 9, 2026'."""
    return f"{WEEKDAYS[day.weekday()]}, {date_words(day)}, {day.year}"


def days_words(first: dt.date, last: dt.date) -> str:
    """'June 15 to 28', 'June 15 to July 2'."""
    if first == last:
        return date_words(first)
    return f"{date_words(first)} to {last.day if first.month == last.month else date_words(last)}"


def stamp_words(*, at: str, timezone: str) -> str:
    """'Tue June 9, 7:05 am' of an ISO time as facts carry it; '–' where there is none."""
    try:
        when = dt.datetime.fromisoformat(at)
    except ValueError:
        return DASH
    local = when.astimezone(ZoneInfo(timezone)) if when.tzinfo else when
    return f"{day_words(local.date())}, {time_words(local)}"


def minutes_words(minutes: float) -> str:
    """'25 min', '1 h 10 min', '3 h'."""
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


# ---------------------------------------------------------------- lengths, weights, temperatures


def plain(number: float, places: int = 1) -> str:
    """A number with at most ``places`` decimals, thousands with a comma, no idle zeros."""
    text = f"{number:,.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _fraction(inches: float) -> str:
    """Nearest sixteenth as printed on a ruler: '¼', '1⅜', '3/16'."""
    sixteenths = round(inches * 16)
    if sixteenths <= 0:
        return "under 1/16"
    whole, rest = divmod(sixteenths, 16)
    part = str(Fraction(rest, 16)) if rest else ""
    glyph = _GLYPHS.get(part, part)
    if not whole:
        return glyph
    return f"{whole}{'' if glyph in _GLYPHS.values() else ' '}{glyph}".strip()


def _mm(mm: float) -> str:
    return f"{plain(mm, 0 if mm >= 5 else 1)} mm"


def prey_words(*, mm: float | None, units: str, both: bool = True) -> str:
    """Size of prey as it is asked for: '¼ in (6 mm)', without ``both`` '¼ in'; metric '6 mm'."""
    if mm is None:
        return "size not known"
    if units == System.METRIC:
        return _mm(mm)
    inches = f"{_fraction(mm / 25.4)} in"
    return f"{inches} ({_mm(mm)})" if both else inches


def exact_words(*, mm: float | None, units: str, limit: bool = False) -> str:
    """A measured length: '0.28 in (7.1 mm)'. A ``limit`` is rounded down, so that it is never too large."""
    if mm is None:
        return NOT_MEASURED
    metric = math.floor(mm * 10 + 1e-6) / 10 if limit else round(mm, 1)
    if units == System.METRIC:
        return f"{plain(metric)} mm"
    inches = mm / 25.4
    inches = math.floor(inches * 100 + 1e-6) / 100 if limit else round(inches, 2)
    return f"{plain(inches, 2)} in ({plain(metric)} mm)"


def body_words(*, mm: float | None, units: str) -> str:
    """Length of an animal or a tub: '9½ in', metric '24 cm'."""
    if mm is None:
        return NOT_MEASURED
    if units == System.METRIC:
        return f"{plain(mm / 10)} cm"
    return f"{_fraction(round(mm / 25.4 * 4) / 4)} in"


def weight_words(grams: float | None) -> str:
    """'8.4 g'; scales show grams in both systems."""
    return NOT_MEASURED if grams is None else f"{plain(grams, 1 if grams < 100 else 0)} g"


def shelf_weight_words(*, grams: float, units: str) -> str:
    """'14.1 g' below a kilogram, from there '2.2 lb' or '1 kg': what is weighed off a shelf."""
    if grams < 1000:
        return f"{plain(grams)} g"
    unit = "kg" if units == System.METRIC else "lb"
    return f"{plain(from_base(base=grams, unit=BY_NAME[unit]), 2)} {unit}"


def degrees(*, celsius: float, units: str) -> str:
    """The bare number, to a tenth: '100', '99.6' (Fahrenheit) or '37.8' (Celsius).

    A whole number would say of 99.6 °F in one sentence that it is 100 and that it is under 100.
    """
    return plain(celsius if units == System.METRIC else from_base(base=celsius, unit=BY_NAME["°F"]))


def degree_unit(units: str) -> str:
    return "°C" if units == System.METRIC else "°F"


def temperature_words(*, celsius: float | None, units: str) -> str:
    """'100 °F', 'not measured'."""
    if celsius is None:
        return NOT_MEASURED
    return f"{degrees(celsius=celsius, units=units)} {degree_unit(units)}"


def band_words(*, band: Band | None, units: str) -> str:
    """'100–110' as it stands below a box; '–' where the sheet has no band."""
    if band is None:
        return DASH
    low, high = (degrees(celsius=c, units=units) for c in (band.low, band.high))
    return low if low == high else f"{low}–{high}"


# ---------------------------------------------------------------- counts


def count_words(number: float, one: str, many: str = "") -> str:
    """'1 tank', '2,000 crickets'."""
    return f"{plain(number)} {one if number == 1 else many or one + 's'}"


def food_words(*, kind: str, count: float) -> str:
    """'8 crickets', '1 mouse'; a count of 0 is one cup: 'greens'."""
    one, many = FOODS.get(kind, (kind, kind + "s"))
    if not count:
        return kind.replace("-", " ")
    return count_words(count, one.replace("-", " "), many.replace("-", " "))


def list_words(parts: list[str] | tuple[str, ...]) -> str:
    """'Bea', 'Bea and Oskar', 'Bea, Oskar and Tamsin'."""
    return " and ".join(filter(None, (", ".join(parts[:-1]), *parts[-1:])))


def run_words(names: list[str] | tuple[str, ...]) -> str:
    """Names in order with runs drawn together: 'H1 to H7, Marlow and Q1'."""
    runs: list[list[str]] = []
    for name in names:
        if runs and _follows(runs[-1][-1], name):
            runs[-1].append(name)
        else:
            runs.append([name])
    told = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs]
    return list_words(told)


def _follows(before: str, name: str) -> bool:
    """Whether two names differ by their last number only, and that by one: H6, H7."""
    stems = [text.rstrip("0123456789") for text in (before, name)]
    numbers = [text[len(stem) :] for text, stem in zip((before, name), stems, strict=True)]
    return stems[0] == stems[1] and all(numbers) and int(numbers[1]) - int(numbers[0]) == 1


def plural(name: str) -> str:
    """Many of an animal: 'leopard geckos', 'Hermann's tortoises'."""
    return name + ("es" if name.endswith(("s", "x", "ch", "sh")) else "s")
