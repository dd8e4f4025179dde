"""Words of the feeding page: what is offered, what to take from the shelf, who lives where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from roomops.desk.day_types import Day
from roomops.desk.tray_types import Prey, ShelfLine, TrayView, TubView
from roomops.husbandry.care import StageCare
from roomops.papers.amounts import FOODS, date_words, exact_words, food_words, prey_words, time_words

BUG_GLYPHS = {"cricket": "cricket", "roach": "roach", "mouse": "mouse", "rat": "mouse", "greens": "greens"}
WHY_WORDS = {
    "sold": "Sold",
    "moved": "Moved",
    "isolated": "Isolated",
    "at vet": "At vet",
    "dead": "Dead",
    "can't find": "Can’t find",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """What to take from the shelf: 32, '¼ in crickets', dusted with what, and which delivery."""

    count: int
    words: str
    dust: str
    powder: str
    batch: str


def prey_name(*, prey: Prey | None, day: Day) -> str:
    """'¼ in crickets', 'mouse': what is offered, without its number."""
    if prey is None:
        return ""
    return _named(kind=prey.kind, count=prey.count, size_mm=prey.size_mm, day=day)


def _named(*, kind: str, count: int, size_mm: float | None, day: Day) -> str:
    if not count:
        return food_words(kind=kind, count=0)
    one, many = FOODS.get(kind, (kind, f"{kind}s"))
    size = f"{prey_words(mm=size_mm, units=day.room.units, both=False)} " if size_mm else ""
    return size + (one if count == 1 else many)


def food_time_words(tray: TrayView) -> str:
    """One sentence when it is too early or too late to feed these; '' in their time. It stops nobody."""
    now = tray.day.now
    if tray.food_from and now < tray.food_from:
        return f"Feeding time here begins at {time_words(tray.food_from)}: make ready now, feed from then on."
    if tray.food_to and now >= tray.food_to + timedelta(minutes=1):  # its last minute is still theirs
        return f"Feeding time here ended at {time_words(tray.food_to)}: ask before anybody is fed so late."
    return ""


def dust_words(prey: Prey | None) -> str:
    """'dusted' or 'plain' for insects, '' for food that takes no powder."""
    if prey is None or prey.category != "insect":
        return ""
    return "dusted" if prey.dusted else "plain"


def take(*, line: ShelfLine, day: Day) -> Take:
    """One line of what to take from the shelf, by the day it came: the oldest that fits is used first."""
    batch = next((food for food in day.facts.foods if food.key == line.food), None)
    insects = batch is not None and batch.category == "insect"
    return Take(
        count=line.count,
        words=_named(kind=line.kind, count=line.count, size_mm=line.size_mm, day=day),
        dust="dusted" if line.dusted else "plain" if insects else "",
        powder=line.powder,
        batch=f"came {date_words(batch.received)}" if batch else "nothing on the shelf fits",
    )


def limit_words(tray: TrayView) -> str:
    """'0.28 in (7.1 mm)': the smallest limit on this tray, '' where nothing limits it."""
    if tray.least_most_mm is None:
        return ""
    return exact_words(mm=tray.least_most_mm, units=tray.day.room.units, limit=True)


def homes(tubs: Sequence[TubView]) -> str:
    """'1 to 4 live in H3, 5 to 8 in H4', by runs of the same tank."""
    runs: list[tuple[str, int, int]] = []
    for tub in tubs:
        if runs and runs[-1][0] == tub.tank_name:
            runs[-1] = (runs[-1][0], runs[-1][1], tub.number)
        else:
            runs.append((tub.tank_name, tub.number, tub.number))
    return ", ".join(_run(tank=tank, first=first, last=last) for tank, first, last in runs)


def _run(*, tank: str, first: int, last: int) -> str:
    return f"{first} to {last} live in {tank}" if last > first else f"{first} lives in {tank}"


def care_of(*, day: Day, tub: TubView) -> StageCare | None:
    """The care sheet of who sits there, at its stage."""
    resident = next((each for each in day.facts.residents if each.key == tub.resident), None)
    if resident is None:
        return None
    wanted = (resident.kind, resident.stage)
    return next((care for care in day.facts.care if (care.kind, care.stage) == wanted), None)


def first_check(care: StageCare | None) -> str:
    """What to look at first when one does not eat: the first line of its care sheet's own list."""
    return next(iter(care.words.first_checks), "") if care else ""
