"""The kitchen: cups counted before any animal leaves its tank, greens, and the insects themselves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from roomops.papers import cover, feeds
from roomops.papers.heights import text_in
from roomops.papers.index import Index
from roomops.papers.view import Block, Box, CupLine, Saying, Sheet
from roomops.papers.words import date_words, food_words, kind_words, plain, prey_words
from roomops.planning.plan import Duty, Portion, Round, StepKind
from roomops.planning.room import DutyKind

JOBS = (DutyKind.CUPS, DutyKind.INSECTS)
Kind = tuple[str, float | None, str, bool]


def amounts(*, at: Index, duties: Iterable[Duty]) -> tuple[str, ...]:
    """('64 crickets ¼ in (6 mm), calcium', …): what a round takes, heads and counts multiplied out."""
    total: Counter[Kind] = Counter()
    for duty in duties:
        if duty.portion and duty.portion.food:
            total[_kind(duty.portion)] += duty.portion.count * duty.heads or duty.heads
    return tuple(_amount(at, kind, count) for kind, count in total.items())


def _kind(portion: Portion) -> Kind:
    powder = (portion.powder or "dusted") if portion.dusted else ""
    return portion.kind, portion.size_mm if portion.count else None, powder, portion.count == 0


def _amount(at: Index, kind: Kind, count: int) -> str:
    name, size, powder, cup = kind
    words = f"{count} × {food_words(kind=name, count=0)}" if cup else food_words(kind=name, count=count)
    if size is not None:
        words += " " + prey_words(mm=size, units=at.reader.units)
    return words + (f", {powder}" if powder else "")


def cups(*, at: Index, rounds: Iterable[Round]) -> Block:
    """One line for each feed round: what goes into its cups."""
    rows = tuple(_cup(at, planned) for planned in rounds if planned.kind is DutyKind.FEED)
    return Block(
        kind="cups",
        title="Cups, before any animal leaves its tank",
        aside="box when counted",
        rows=rows,
        head_in=0.62,
        row_in=tuple(0.1 + 0.165 * max(1, len(r.amounts), 1 + len(r.what) // 30) for r in rows),
    )


def told_cups(*, at: Index, rounds: Iterable[Round]) -> Block:
    """The same as ``cups`` in a line each, for a sheet where a table would be too much."""
    rows = tuple(_told(at, planned) for planned in rounds if planned.kind is DutyKind.FEED)
    heights = tuple(text_in(letters=len(r.lead) + len(r.text), per_line=86) for r in rows)
    return Block(kind="looks", rows=rows, row_in=heights, head_in=0.05)


def _told(at: Index, planned: Round) -> Saying:
    line = _cup(at, planned)
    lead = f"Cups counted, round {planned.number}, feed {planned.slot}:"
    return Saying(lead=lead, text=f"{'; '.join(line.amounts) or 'nothing'}; from {line.when}, {line.where}.")


def _cup(at: Index, planned: Round) -> CupLine:
    step = at.step(planned, StepKind.PREPARE)
    return CupLine(
        what=f"Round {planned.number}: {cover.what(at=at, planned=planned)}",
        where=at.person(planned.person),
        when=at.clock(step[0] if step else planned.start),
        amounts=amounts(at=at, duties=[at.duties[key] for key in planned.duties if at.open(at.duties[key])]),
        box=Box(),
    )


def shelf(*, at: Index, duties: Iterable[Duty]) -> Block:
    """What is taken from each batch in this set, beside what is on hand."""
    taken: Counter[str] = Counter()
    for duty in duties:
        if duty.portion and duty.portion.food in at.foods and duty.portion.count:
            taken[duty.portion.food] += duty.portion.count * duty.heads
    rows = tuple(
        # two boxes of one size stand on the shelf: the day it came, written on them, tells which is older
        Saying(
            lead=f"{food.name}, came {date_words(food.received)}:",
            text=f"{plain(taken[food.key])} of {plain(food.on_hand)} on hand",
        )
        for food in at.facts.foods
        if food.key in taken
    )
    return Block(
        kind="words", title="From the shelf, oldest batch first", rows=rows, row_in=(0.21,) * len(rows)
    )


def jobs(*, at: Index) -> Block:
    """The kitchen's own duties, each with its box."""
    mine = [d for d in at.own_duties if d.kind in JOBS and at.open(d) and not d.quarantine]
    rows = tuple(_job(at, duty) for duty in mine)
    return Block(kind="jobs", title="Kitchen", rows=rows, row_in=(0.34,) * len(rows))


def _job(at: Index, duty: Duty) -> CupLine:
    planned = at.round_of[duty.key]
    return CupLine(
        what=kind_words(kind=duty.kind),
        where=f"round {planned.number}, {at.person(planned.person)}",
        when=at.span(planned.start, planned.end),
        amounts=(cover.about(at=at, planned=planned),),
        box=Box(duty=duty.key),
    )


def sheet(*, at: Index) -> Sheet | None:
    """The kitchen's sheet; None when it has nothing to do in this set."""
    rounds = tuple(r for r in at.todo if not r.quarantine)
    mine = [at.duties[key] for r in rounds for key in r.duties if at.open(at.duties[key])]
    dishes = feeds.dishes(at=at)
    blocks = (
        jobs(at=at),
        cups(at=at, rounds=rounds),
        Block(
            kind="words",
            title="Beside the feeds",
            rows=dishes,
            row_in=tuple(text_in(letters=len(d.lead) + len(d.text), per_line=102) for d in dishes),
        ),
        shelf(at=at, duties=mine),
    )
    held = tuple(block for block in blocks if block.rows)
    if not held:
        return None
    lines = Block(
        kind="lines",
        title="More offered, thrown out, or short",
        rows=(None,) * 3,
        row_in=(0.3,) * 3,
        whole=True,
    )
    return Sheet(
        kind="kitchen",
        title="Kitchen: cups and greens",
        when="Count and dust before any animal leaves its tank",
        lead="No insect larger than the tray sheet allows. Powders as named; a pinch, shaken.",
        blocks=(*held, lines),
    )
