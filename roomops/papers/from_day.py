"""What paper says beside facts and plan: the rota's names for shifts, trays as they stand, the last words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta

from roomops.desk.day import Change, Day, Trouble, TroubleKind
from roomops.papers.view import Gone, LastWord, NamedShift, Store
from roomops.papers.words import (
    Reader,
    date_words,
    day_words,
    list_words,
    minutes_words,
    temperature_words,
    time_words,
)
from roomops.planning.room import FED, Status
from roomops.records.models import EntryKind, Shift

MINUTE = timedelta(minutes=1)
LINES_MOST = 14  # beyond that the newest, and how many more there are on the screen
TOLD_BY_FACTS = {TroubleKind.BASKING_LOW, TroubleKind.MISSING}  # the cover has its own lines for these
LEFT = {Status.SOLD.value, Status.MOVED.value, Status.DIED.value}


def store_of(*, day: Day) -> Store:
    """Return what the set of a day's shift needs from the tables: one query beside those of ``open_day``."""
    room = day.room
    here = {r.key for r in day.facts.residents if r.status in FED}
    return Store(
        units=room.units,
        paper=room.paper,
        vet=room.vet,
        vet_phone=room.vet_phone,
        shifts=_shifts(day),
        tray_columns=tuple(sorted(day.columns.items())),
        gone=tuple(
            Gone(key=animal.key, name=animal.label, status=animal.status)
            for animal in day.animals.values()
            if animal.key not in here
        ),
        last_words=_last_words(day),
    )


def _shifts(day: Day) -> tuple[NamedShift, ...]:
    """The rota's names. A shift that began the day before stands at minute 0, as in the facts."""
    end = day.midnight + timedelta(minutes=day.facts.day_length_min)
    rows = Shift.objects.filter(room=day.room, starts__lt=end, ends__gt=day.midnight).select_related("person")
    return tuple(
        NamedShift(person=s.person.key, start=max(int((s.starts - day.midnight) / MINUTE), 0), name=s.name)
        for s in rows.order_by("starts", "person__key")
    )


# ---------------------------------------------------------------- what the last shift left


def _last_words(day: Day) -> tuple[LastWord, ...]:
    reader = Reader(units=day.room.units, day=day.day, timezone=day.room.timezone)
    told = list(dict.fromkeys((*_wrong(day, reader), *_refused(day), *_left(day))))
    more = len(told) - LINES_MOST
    if more > 0:
        told = [
            *told[:LINES_MOST],
            LastWord(about="", text=f"{more} more are on the screen: read them there."),
        ]
    return tuple(told)


def _wrong(day: Day, reader: Reader) -> Iterator[LastWord]:
    for trouble in day.wrong:
        if trouble.kind in TOLD_BY_FACTS:
            continue
        said = [trouble.by] if trouble.by else []
        if trouble.at is not None:
            local = trouble.at.astimezone(day.zone)
            said.append(f"{day_words(local.date())} {time_words(local)}")
        by = f" ({', '.join(said)})" if said else ""
        yield LastWord(
            about=trouble.about or "The room", text=f"{trouble_words(trouble=trouble, reader=reader)}{by}"
        )


def trouble_words(*, trouble: Trouble, reader: Reader) -> str:
    """What is wrong, as it reads after a name: 'refused twice: read its basking side first'."""
    numbers = trouble.numbers
    match trouble.kind:
        case TroubleKind.NOTE:
            return trouble.text.strip().rstrip(".") or "something is wrong"
        case TroubleKind.REFUSED_TWICE:
            return "refused twice: read its basking side first, then look for shed, stress, droppings"
        case TroubleKind.SHORT_HEAD:
            return f"{numbers.get('seen', 0):.0f} of {numbers.get('of', 0):.0f} heads seen: search first"
        case TroubleKind.MISSING:
            return "missing: search warm, low and dark places"
        case TroubleKind.NOT_BACK:
            return f"in a tub for {minutes_words(numbers.get('out_min', 0))}: back to its tank now"
        case _:
            return _off_words(trouble.kind, numbers, reader)


def _off_words(kind: TroubleKind, numbers: Mapping[str, float], reader: Reader) -> str:
    """'basking side 117 °F, over 110 °F'."""
    spot = {TroubleKind.COOL_SIDE: "cool side", TroubleKind.NIGHT: "night low"}.get(kind, "basking side")
    value, low, high = (numbers.get(name) for name in ("value_c", "low_c", "high_c"))
    if value is None:
        return f"{spot} out of its band"
    words = f"{spot} {temperature_words(celsius=value, units=reader.units)}"
    if low is not None and value < low:
        return f"{words}, under {temperature_words(celsius=low, units=reader.units)}"
    return words + (
        f", over {temperature_words(celsius=high, units=reader.units)}" if high is not None else ""
    )


def _recent(day: Day, kind: str) -> list[Change]:
    since = day.midnight - timedelta(days=1)
    return [change for change in day.changed if change.kind == kind and change.at >= since]


def _refused(day: Day) -> Iterator[LastWord]:
    """Refusals of yesterday and today, one line an animal with its last one."""
    told: set[str] = set()
    for change in _recent(day, EntryKind.REFUSED.value):
        if change.about not in told:
            told.add(change.about)
            when = date_words(change.at.astimezone(day.zone).date())
            feed = f"feed {change.data.get('slot')} on {when}"
            yield LastWord(
                about=change.about, text=f"refused {feed}: read its basking side before it is fed."
            )


def _left(day: Day) -> Iterator[LastWord]:
    """Who has left since yesterday, so that nobody looks for them."""
    by_status: dict[str, list[str]] = {}
    for change in _recent(day, "status"):
        status = str(change.data.get("status", ""))
        if status in LEFT:
            by_status.setdefault(status, []).append(change.about)
    for status, names in by_status.items():
        yield LastWord(about=list_words(list(dict.fromkeys(names))), text=f"{status}.")
