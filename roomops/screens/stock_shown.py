"""The shelf as its pages show it: bins by kind and size, lines of the order, what thaws tonight."""

from __future__ import annotations

from dataclasses import dataclass

from roomops.desk.stock_views import ShelfView, ThingView
from roomops.papers.amounts import date_words, prey_words
from roomops.papers.words import Reader
from roomops.planning.orders import CLASSES_MM
from roomops.screens import stock_words
from roomops.screens.stock_words import amount_words, reason_words, thing_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One thing as its page words it."""

    view: ThingView
    name: str
    left: str
    least: str
    days: str
    state: str  # 'late' where it is to be ordered, '' else
    gauge: int  # of a hundred: days of cover against a full shelf
    note: str
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the order list."""

    name: str
    amount: str
    reasons: tuple[str, ...]
    least: str


def inches(mm: float, reader: Reader) -> str:
    return prey_words(mm=mm, units=reader.units, both=False) + (" +" if mm == CLASSES_MM[-1] else "")


def change_words(change: float, unit: str, units: str) -> str:
    if not change:
        return "as written"
    return ("+" if change > 0 else "−") + amount_words(amount=abs(change), unit=unit, units=units)


def shown(view: ThingView, reader: Reader) -> Shown:
    units = reader.units
    cover = view.cover_days
    return Shown(
        view=view,
        name=thing_words(thing=view.thing, units=units, name=view.name),
        left=amount_words(amount=view.on_hand, unit=view.unit, units=units),
        least=amount_words(amount=view.least, unit=view.unit, units=units) if view.least else "",
        days="" if cover is None else stock_words.days_words(cover),
        state="late" if view.want else "",
        gauge=0 if cover is None else min(round(100 * cover / view.full_days), 100),
        note=_note(view, reader),
        key=f"{view.thing.kind}-{view.thing.size_mm or view.thing.watts or 0:g}".replace(" ", "-").replace(
            ",", ""
        ),
    )


def _note(view: ThingView, reader: Reader) -> str:
    """What else is to know of a thing: opened since when, used up by when, past its date."""
    told = []
    for each in view.batches:
        if each.on_hand < 0:
            much = amount_words(amount=-each.on_hand, unit=each.unit, units=reader.units)
            told.append(f"{each.key}: {much} more fed than was written down, count it")
        if each.on_hand and not each.usable:
            told.append(f"{each.key} is past its date or open too long: throw it out")
        elif each.on_hand and each.opened_on is not None and each.thing.category != "disinfectant":
            told.append(f"{each.key} open since {date_words(each.opened_on)}")
        elif each.on_hand and each.use_by is not None:
            told.append(f"{each.key} good until {date_words(each.use_by)}")
    if view.want and not view.on_hand:
        told.append("none left")
    if view.from_ledger and view.a_day:
        a_day = amount_words(
            amount=round(view.a_day, 0 if view.a_day >= 10 else 1), unit=view.unit, units=reader.units
        )
        told.append(f"about {a_day} a day last week")
    return "; ".join(told)


def rows(insects: list[Shown], sizes: list[float]) -> list[tuple[str, int, list[Shown | None]]]:
    """Kind down, size across; nothing where none is kept."""
    kinds = list(dict.fromkeys(each.view.thing.kind for each in insects))
    by_place = {(each.view.thing.kind, each.view.thing.size_mm): each for each in insects}
    return [
        (
            stock_words.many(kind),
            next(each.view.full_days for each in insects if each.view.thing.kind == kind),
            [by_place.get((kind, mm)) for mm in sizes],
        )
        for kind in kinds
    ]


def lines_of(view: ShelfView, reader: Reader) -> list[Line]:
    units = reader.units
    return [
        Line(
            name=thing_words(thing=want.thing, units=units, name=thing.name),
            amount=amount_words(amount=want.amount, unit=want.unit, units=units)
            if want.amount
            else "as needed",
            reasons=tuple(
                reason_words(
                    reason=each, unit=want.unit, units=units, day=view.day.day, labels=view.day.labels
                )
                for each in want.reasons
            ),
            least=amount_words(amount=thing.least, unit=thing.unit, units=units) if thing.least else "",
        )
        for want, thing in view.wants
    ]


def without(view: ShelfView, reader: Reader) -> list[str]:
    return [
        f"{stock_words.many(kind)}: "
        + reason_words(
            reason=reason, unit="each", units=reader.units, day=view.day.day, labels=view.day.labels
        )
        for kind, reason in view.eaten.without.items()
    ]


def thaw_of(view: ShelfView) -> list[tuple[str, str]]:
    """(who, what): '1 Mice, adult, frozen'; what nothing fits says so."""
    names = {batch.key: batch.name for thing in view.things for batch in thing.batches}
    found = []
    for each in view.thaw:
        label = view.day.label("resident", each.resident.key)
        food = names.get(each.portion.food)
        found.append((label, f"{each.count} × {food} ({each.portion.food})" if food else ""))
    return found
