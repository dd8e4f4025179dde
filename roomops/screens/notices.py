"""What is wrong, what changed, what did not fit: typed facts of the desk as sentences for Today."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from roomops.desk.day_types import Change, Day, RoundView, ShortView, Trouble, TroubleKind
from roomops.papers import words
from roomops.planning.plan import Shortfall
from roomops.planning.room import DutyKind
from roomops.planning.room import Status as Standing
from roomops.screens.addresses import round_address

PLACES = {
    TroubleKind.BASKING_LOW: "basking",
    TroubleKind.BASKING_HIGH: "basking",
    TroubleKind.COOL_SIDE: "cool side",
    TroubleKind.NIGHT: "night low",
}
SENTENCES = {
    TroubleKind.MISSING: "is missing: search warm, low and dark places now, doors shut, drains covered",
    TroubleKind.REFUSED_TWICE: "refused twice: read the basking side first, then shed, stress, droppings",
}
SPOTS = {"basking": "basking", "cool": "cool side", "night low": "night low"}
MOST_TROUBLE = 3
MOST_CHANGES = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One thing that is wrong now: who or where, what, how old, and the one thing to do about it."""

    about: str
    sign: str
    text: str
    age: str
    old: bool
    by: str
    act: str = ""
    address: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class News:
    about: str
    text: str
    by: str
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """Duties of one kind that did not fit for one reason."""

    what: str  # 'Feed 3: 12 animals'
    why: str  # clause
    need: str
    each: tuple[tuple[str, str], ...]  # label, its own numbers


# ---------------------------------------------------------------- wrong


def notices_of(day: Day, *, reader: words.Reader) -> tuple[Notice, ...]:
    """All that is wrong, in the desk's order: worst first."""
    return tuple(_notice(each, day, reader) for each in day.wrong)


def _notice(trouble: Trouble, day: Day, reader: words.Reader) -> Notice:
    act, address = _remedy(trouble, day)
    return Notice(
        about=trouble.about,
        sign={TroubleKind.BASKING_LOW: "low", TroubleKind.BASKING_HIGH: "high"}.get(trouble.kind, "wrong"),
        text=_trouble_words(trouble, reader),
        age=_age(trouble.at, day),
        old=trouble.at is not None and trouble.at.astimezone(day.zone).date() != day.day,
        by=trouble.by,
        act=act,
        address=address,
    )


def _trouble_words(trouble: Trouble, reader: words.Reader) -> str:
    if trouble.kind is TroubleKind.NOTE:
        return trouble.text
    numbers = trouble.numbers
    if trouble.kind in PLACES:
        return f"{PLACES[trouble.kind]} {_degrees(numbers, 'value_c', reader)}{_against(numbers, reader)}"
    if trouble.kind is TroubleKind.SHORT_HEAD:
        seen, book = (words.plain(numbers.get(name, 0)) for name in ("seen", "of"))
        return f"{seen} of {book} seen: search warm, low, dark places, drains, behind the rack"
    if trouble.kind is TroubleKind.NOT_BACK:
        out, most = (words.minutes_words(numbers.get(name, 0)) for name in ("out_min", "most_min"))
        return f"out of heat {out}, most {most}: put it back now"
    if trouble.kind in SENTENCES:
        return SENTENCES[trouble.kind]
    return words.numbers_words(numbers=tuple(numbers.items()), reader=reader)


def _degrees(numbers: Mapping[str, float], name: str, reader: words.Reader) -> str:
    return words.temperature_words(celsius=numbers.get(name), units=reader.units)


def _against(numbers: Mapping[str, float], reader: words.Reader) -> str:
    """', low: 100 to 110 °F expected' of a reading and its band."""
    if not {"value_c", "low_c", "high_c"} <= numbers.keys():
        return ""
    side = "low" if numbers["value_c"] < numbers["low_c"] else "high"
    low = words.degrees(celsius=numbers["low_c"], units=reader.units)
    return f", {side}: {low} to {_degrees(numbers, 'high_c', reader)} expected"


def _age(at: datetime | None, day: Day) -> str:
    if at is None:
        return ""
    local = at.astimezone(day.zone)
    if local.date() == day.day:
        return words.time_words(local)
    return f"{words.DASH} {words.date_words(local.date())}"


def _remedy(trouble: Trouble, day: Day) -> tuple[str, str]:
    """Where the trouble is dealt with: the tank's readings, or the tray that the animal is out with."""
    if trouble.kind in PLACES and trouble.kind is not TroubleKind.NIGHT:
        view = _round_with(day, DutyKind.READING, trouble.tank)
        return (f"Read {trouble.about} now", round_address(view)) if view else ("", "")
    if trouble.kind is TroubleKind.MISSING and trouble.resident:
        return "Open the search", reverse("search", args=[trouble.resident])
    if trouble.kind is TroubleKind.NOT_BACK:
        view = next((view for view in day.rounds if view.out and _touches(view, day, trouble.tank)), None)
        return (f"Open {view.tray_name or 'the round'}", round_address(view)) if view else ("", "")
    return "", ""


def _round_with(day: Day, kind: DutyKind, tank: str) -> RoundView | None:
    found = [view for view in day.rounds if view.round.kind is kind and _touches(view, day, tank)]
    return next((view for view in found if view.left), found[-1] if found else None)


def _touches(view: RoundView, day: Day, tank: str) -> bool:
    return any(day.duties[key].tank == tank for key in view.duties if key in day.duties)


# ---------------------------------------------------------------- changed


def news_of(day: Day, *, person: str, reader: words.Reader) -> tuple[News, ...]:
    """What others changed since the person was last here, the last first."""
    own = day.label("person", person)
    newest = [change for change in day.changed_since(day.last_here.get(person)) if change.by != own]
    return tuple(
        News(
            about=change.about,
            text=_change_words(change, reader),
            by=change.by,
            when=_age(change.at, day),
        )
        for change in newest
    )


def _change_words(change: Change, reader: words.Reader) -> str:
    data = change.data
    if change.kind == "refused":
        return f"refused feed {data['slot']}" if data.get("slot") else "refused"
    if change.kind == "wrong":
        return str(data.get("text", ""))
    if change.kind == "reading":
        number = words.temperature_words(celsius=_number(data.get("value_c")), units=reader.units)
        out = str(data.get("out", ""))
        return f"{SPOTS.get(str(data.get('spot')), 'basking')} {number}" + (f", {out}" if out else "")
    return _status_words(data)


def _status_words(data: Mapping[str, object]) -> str:
    """'at vet, Tamsin'; of a lot that somebody left, how many are in it now."""
    if data.get("status") == Standing.HERE:
        heads = data.get("heads", 1)
        return "is here again" if heads == 1 else f"{heads} by the book now"
    return str(data.get("status", "")) + (f", {data['note']}" if data.get("note") else "")


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


# ---------------------------------------------------------------- did not fit


def fits_of(day: Day, *, reader: words.Reader) -> tuple[Fit, ...]:
    """What did not fit, together where kind, feed and reason are the same; must before should."""
    groups: dict[tuple[str, int, str, str], list[ShortView]] = {}
    for short in day.unplaced:
        key = (short.duty.kind, short.duty.slot, short.why, short.duty.need)
        groups.setdefault(key, []).append(short)
    order = {"must": 0, "should": 1, "could": 2}
    found = sorted(groups.items(), key=lambda pair: (order.get(pair[0][3], 3), pair[0][1], pair[0][0]))
    return tuple(_fit(shorts, reader) for _, shorts in found)


def _fit(shorts: Sequence[ShortView], reader: words.Reader) -> Fit:
    first = shorts[0].duty
    heads = sum(short.duty.heads for short in shorts)
    many = (
        words.count_words(heads, "animal")
        if first.kind is DutyKind.FEED
        else words.count_words(len(shorts), "time")
    )
    what = words.kind_words(kind=first.kind, slot=first.slot)
    shared = {tuple(sorted(short.numbers.items())) for short in shorts}
    numbers = tuple(shorts[0].numbers.items()) if len(shared) == 1 else ()
    why = words.why_words(
        shortfall=Shortfall(duty=first.key, why=shorts[0].why, numbers=numbers), reader=reader
    )
    return Fit(
        what=f"{what}: {many}" if first.kind is DutyKind.FEED or len(shorts) > 1 else what,
        why=why,
        need=words.NEED[first.need],
        each=tuple(
            (
                short.label,
                "" if numbers else words.numbers_words(numbers=tuple(short.numbers.items()), reader=reader),
            )
            for short in shorts
        ),
    )
