"""Feeds in the tank: insects, greens, rodents, each with its own cautions. No tub is used."""

from __future__ import annotations

from collections.abc import Iterable

from roomops.husbandry.care import StageCare
from roomops.papers.cautions import FEEDS, GREENS, HANDS, RODENTS
from roomops.papers.heights import text_in
from roomops.papers.index import Index, kind_name
from roomops.papers.view import Block, Box, FeedRow, Saying, Sheet
from roomops.papers.words import NEED, food_words, limit_words, portion_words, run_words
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind

TITLES = {
    "tub": "Each alone in a tub that fits: write the tub’s number too",
    "insect": "Insects in the tank",
    "greens": "Greens",
    "rodent": "Rodents",
    "": "Other food",
}
CAUTIONS = {"insect": FEEDS, "greens": GREENS, "rodent": RODENTS}


def category(*, at: Index, duty: Duty) -> str:
    """'insect', 'greens', 'rodent': as the batch says, else as the care sheet's meal does.

    'tub' for a feed in a tub that no plan has given a tub.
    """
    if duty.in_tub:
        return "tub"
    if duty.portion and duty.portion.food in at.foods:
        return at.foods[duty.portion.food].category
    care = at.care(duty.subject)
    meals = care.feeding.meals if care else ()
    return next((m.category for m in meals if m.slot == duty.slot), "")


def row(*, at: Index, duty: Duty) -> FeedRow:
    planned = at.round_of.get(duty.key)
    when = f"Feed {duty.slot}, {NEED[duty.need]}"
    if planned:
        when += (
            f"; round {planned.number}, {at.person(planned.person)}, {at.span(planned.start, planned.end)}"
        )
    tank = at.tank_name(duty.tank)
    name = at.name(duty.subject)
    return FeedRow(
        name=name,
        where="" if name.text.startswith(tank) else tank,
        when=when,
        food=_food(at, duty),
        limit=limit_words(portion=duty.portion, units=at.reader.units),
        box=Box(duty=duty.key, label=f"of {_offered(duty)}" if _offered(duty) else ""),
    )


def _offered(duty: Duty) -> int:
    return duty.portion.count * duty.heads if duty.portion else 0


def _food(at: Index, duty: Duty) -> str:
    """What is offered, with the batch it comes from; each, where a lot shares the tank."""
    words = portion_words(portion=duty.portion, units=at.reader.units)
    if duty.heads > 1:
        words += f", for each of {duty.heads}"
    batch = at.foods.get(duty.portion.food) if duty.portion else None
    return words + (f"; from “{batch.name}”" if batch else "")


def blocks(*, at: Index, duties: Iterable[Duty]) -> tuple[Block, ...]:
    """A block for each category of food, with the cautions of the food and of the kinds that are fed."""
    by_category: dict[str, list[Duty]] = {}
    for duty in duties:
        by_category.setdefault(category(at=at, duty=duty), []).append(duty)
    made: list[Block] = []
    for key in sorted(by_category, key=list(TITLES).index if set(by_category) <= set(TITLES) else str):
        made.append(_feed_block(at, key, by_category[key]))
        said = (*CAUTIONS.get(key, ()), *_rest(at, by_category[key]))
        if said:
            made.append(_words(said))
    return tuple(made)


def _feed_block(at: Index, key: str, duties: list[Duty]) -> Block:
    rows = tuple(row(at=at, duty=duty) for duty in duties)
    return Block(
        kind="feeds",
        title=TITLES.get(key, key.capitalize()),
        aside="write what is left; R refused, W something is wrong, N not here",
        rows=rows,
        head_in=0.72,
        row_in=tuple(0.1 + 0.16 * max(3, *(1 + len(t) // w for t, w in _texts(r))) for r in rows),
    )


def _texts(line: FeedRow) -> tuple[tuple[str, int], ...]:
    """Texts of a row with the letters that go on a line of their column."""
    return ((line.name.text + line.where, 13), (line.when, 24), (line.food + line.limit, 26))


def _rest(at: Index, duties: list[Duty]) -> tuple[Saying, ...]:
    """'No handling for 48 h after' of the kinds that ask for it."""
    cares: dict[str, StageCare] = {}
    for duty in duties:
        care = at.care(duty.subject)
        if care and care.feeding.no_handling_after_h:
            cares.setdefault(kind_name(care.kind), care)
    return tuple(
        Saying(
            lead=f"{name[0].upper()}{name[1:]}:",
            text=f"no handling for {care.feeding.no_handling_after_h} h after the feed.",
        )
        for name, care in cares.items()
    )


def _words(said: tuple[Saying, ...]) -> Block:
    heights = tuple(text_in(letters=len(s.lead) + len(s.text), per_line=102) for s in said)
    return Block(kind="words", rows=said, row_in=heights, head_in=0.06)


def in_tank(*, at: Index, quarantine: bool) -> tuple[Duty, ...]:
    """Feeds of this set that have a round and no seat in a tub, in the order of the day."""
    seated = {seat.duty for r in at.rounds for seat in r.seats}
    mine = (
        d
        for d in at.own_duties
        if d.kind is DutyKind.FEED and at.open(d) and d.key not in seated and d.quarantine is quarantine
    )
    return tuple(
        sorted(mine, key=lambda d: (at.round_of[d.key].start, at.round_of[d.key].number, at.place(d)))
    )


def dishes(*, at: Index) -> tuple[Saying, ...]:
    """Greens that stand in the tank beside a feed and are no feed of their own, by tank."""
    weekday = at.facts.day.isoweekday()
    by_dish: dict[str, list[str]] = {}
    for duty in at.own_duties:
        care = at.care(duty.subject)
        if duty.kind is not DutyKind.FEED or not at.open(duty) or duty.quarantine or care is None:
            continue
        for dish in care.feeding.dishes:
            if dish.slot == duty.slot and (not dish.weekdays or weekday in dish.weekdays):
                kinds = " or ".join(food_words(kind=kind, count=0) for kind in dish.kinds)
                by_dish.setdefault(f"Dish of {kinds} with feed {dish.slot}:", []).append(
                    at.tank_name(duty.tank)
                )
    return tuple(
        Saying(lead=lead, text=f"{run_words(tuple(dict.fromkeys(tanks)))}.")
        for lead, tanks in by_dish.items()
    )


def sheet(*, at: Index) -> Sheet | None:
    """The sheet of all tank feeds that are not apart; None without any."""
    duties = in_tank(at=at, quarantine=False)
    if not duties:
        return None
    return Sheet(
        kind="feeds",
        title="Feeds in the tank",
        when="Write what is LEFT: 0 means all eaten",
        lead="No feed while a tank’s basking side is low. Look for anything left from the feed before.",
        blocks=(*blocks(at=at, duties=duties), _words((HANDS,))),
    )
