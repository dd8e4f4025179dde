"""What a lot needs, in words: each thing with what is there and whether it is enough."""

from __future__ import annotations

from dataclasses import dataclass

from roomops.papers.amounts import prey_words
from roomops.papers.words import count_words, date_words, day_words, plural
from roomops.planning.arrivals import Answer, Row, Standing, Thing
from roomops.screens.stock_words import many

THINGS = {
    Thing.TANKS: "Tanks",
    Thing.QUARANTINE: "Quarantine space",
    Thing.TUBS: "Tubs",
    Thing.MINUTES: "Minutes that day",
    Thing.FOODS: "Food for a week",
}
SHORT_OF = {
    Thing.TANKS: "tanks are short",
    Thing.QUARANTINE: "quarantine space is short",
    Thing.TUBS: "tubs are short",
    Thing.MINUTES: "hands are short",
    Thing.FOODS: "food is short",
}
STANDS = {
    Standing.ENOUGH: ("done", "enough"),
    Standing.ORDER: ("next", "order"),
    Standing.SHORT: ("late", "short"),
    Standing.NOT_KNOWN: ("none", "not known"),
    Standing.NOT_USED: ("later", "not used"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row of the table. ``state`` and ``sign`` draw the standing, ``say`` says it."""

    thing: str
    needs: str
    state: str
    say: str
    has: str


def heading(answer: Answer) -> tuple[str, str]:
    """The answer to the question, and its state: ('Yes', 'done'), ('Not all: 8, hands are short', 'late')."""
    if answer.all_of_them:
        return "Yes", "done"
    why = SHORT_OF[answer.scarcest] if answer.scarcest else "that day does not hold them"
    later = f"; all from {date_words(answer.later)}" if answer.later else ""
    return (f"Not all: {answer.most}, {why}{later}" if answer.most else f"No: {why}{later}"), "late"


def lines(answer: Answer, *, units: str) -> tuple[Line, ...]:
    """The table's rows."""
    return tuple(_line(row, answer, units) for row in answer.rows)


def _line(row: Row, answer: Answer, units: str) -> Line:
    needs, has = {
        Thing.TANKS: _tanks,
        Thing.QUARANTINE: _tanks,
        Thing.TUBS: _tubs,
        Thing.MINUTES: _minutes,
        Thing.FOODS: _food,
    }[row.thing](row, answer, units)
    state, say = STANDS[row.standing]
    return Line(thing=THINGS[row.thing], needs=needs, state=state, say=say, has=has)


def _for(row: Row, answer: Answer) -> str:
    return f": enough for {row.heads}" if 0 < row.heads < answer.asked.heads else ""


def _tanks(row: Row, answer: Answer, units: str) -> tuple[str, str]:
    del units
    needs = count_words(row.needs, "tank")
    there = count_words(row.has, "tank")
    return needs, f"{there} free{_for(row, answer)}"


def _tubs(row: Row, answer: Answer, units: str) -> tuple[str, str]:
    del units
    if row.standing is Standing.NOT_USED:
        return "none", "fed in its tank"
    times = int(row.numbers["times"])
    again = f", so {times} times a feed" if times > 1 else ""
    known = "" if answer.asked.length_mm is not None else "; say how long one is"
    fitting = "that fit " if answer.asked.length_mm is not None else ""
    return f"{row.needs:.0f} a feed", f"{row.has:.0f} {fitting}in quarantine{again}{known}"


def _minutes(row: Row, answer: Answer, units: str) -> tuple[str, str]:
    del units
    if not row.numbers["people"]:
        return f"{row.needs:.0f} min", "nobody is on the rota that day"
    should = int(row.numbers["should"])
    pushed = f"; {count_words(should, 'duty', 'duties')} that should be would not fit" if should else ""
    return f"{row.needs:.0f} min", f"{row.has:.0f} min free{_for(row, answer)}{pushed}"


def _food(row: Row, answer: Answer, units: str) -> tuple[str, str]:
    if not row.kind:
        return "–", "no prey on its sheet: greens and powder are on the order list"
    name = many(row.kind).lower() if row.kind else plural("insect")
    if row.standing is Standing.NOT_KNOWN:
        return f"{row.needs:,.0f} {name}", "the size is not known: say how long one is"
    size = prey_words(mm=row.numbers["most_mm"], units=units, both=False)
    order = row.numbers["order"]
    more = f"; order {order:,.0f}" if order else ""
    needs = f"{row.needs:,.0f} {name} up to {size}"
    return needs, f"{row.has:,.0f} left beside what the others eat{_for(row, answer)}{more}"


def heads_words(heads: int, kind: str) -> str:
    """'30 bearded dragons', '1 boa'."""
    return count_words(heads, kind, plural(kind))


def question_words(answer: Answer) -> str:
    """'Can we take 30 bearded dragons on Tue June 16?'"""
    asked = answer.asked
    return f"Can we take {heads_words(asked.heads, asked.care.kind)} on {day_words(asked.on)}?"
