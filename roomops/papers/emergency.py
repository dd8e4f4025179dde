"""Card E: heat or power failed. It is printed with every set, since the screen goes dark too."""

from __future__ import annotations

from roomops.husbandry.outage import Failed, Risk, risk
from roomops.papers.emergency_words import BACK, COLD_NOW, HOT_NOW, NO_RATES, NOT_FED, first_words
from roomops.papers.heights import text_in
from roomops.papers.index import Index, kind_name
from roomops.papers.view import Block, Saying, Sheet
from roomops.papers.words import plural, temperature_words
from roomops.planning.room import FED

COLD_MOST, HOT_MOST = 5, 3  # lines of each order, so that the card stays one page; the rest stands below
LINES = 8  # to write on; they give way where the page is full
FIRST_ALL = (
    f"Everyone in tubs goes back to its tank now. {NOT_FED}",
    "Read every tank each half hour, first ones first.",
)


def sheet(*, at: Index) -> Sheet | None:
    """The card; None in a room without animals."""
    cold, hot = _order(at=at, failed=Failed.POWER), _order(at=at, failed=Failed.HOT)
    if not cold:
        return None
    blocks = (
        _looks("Now", (*FIRST_ALL, *COLD_NOW)),
        _list("Who comes first in the cold", _lines(at=at, groups=cold, failed=Failed.POWER)),
        Block(
            kind="lines",
            title="Read",
            aside="time · tank · basking side · cool side",
            rows=(None,) * LINES,
            row_in=(0.3,) * LINES,
            whole=True,
        ),
        _list("Too hot instead: who comes first", _lines(at=at, groups=hot, failed=Failed.HOT)),
        _words(HOT_NOW),
        _looks("When it is back", BACK),
        Block(
            kind="sign",
            rows=(("Failed at", 0.8), ("back at", 0.8), ("electrician", 1.2), ("key holder", 1.2)),
            row_in=(0.4, 0.0, 0.0, 0.0),
            head_in=0.0,
        ),
    )
    return Sheet(
        kind="emergency",
        title="Card E: heat or power failed",
        when="Hang it by the door: the screen goes dark too",
        lead=f"{NO_RATES} {_vet(at)}",
        blocks=blocks,
    )


def _vet(at: Index) -> str:
    vet = " ".join(filter(None, (at.store.vet, at.store.vet_phone)))
    return f"Vet: {vet}." if vet else "Vet: none is written down for this room."


# ---------------------------------------------------------------- who comes first

_Group = tuple[Risk, str, list[str]]  # worst of the group, who, names of their tanks


def _order(*, at: Index, failed: Failed) -> list[_Group]:
    """Kinds and stages with the same reason, worst first, each with its tanks in walking order."""
    found: dict[tuple[str, str, str], _Group] = {}
    for resident in at.facts.residents:
        care = at.care(resident.key)
        if resident.status not in FED or care is None:
            continue
        one = risk(care=care, failed=failed, weight_g=resident.weight_g)
        key = (care.kind, care.stage, one.why.value)
        who = f"{plural(kind_name(care.kind))}, {care.stage_name.lower()}"
        worst, _, tanks = found.get(key, (one, who, []))
        name = at.tank_name(resident.tank)
        found[key] = (min(worst, one, key=lambda r: r.rank), who, tanks if name in tanks else [*tanks, name])
    return sorted(found.values(), key=lambda group: (group[0].rank, group[1]))


def _lines(*, at: Index, groups: list[_Group], failed: Failed) -> tuple[str, ...]:
    most = HOT_MOST if failed is Failed.HOT else COLD_MOST
    told = [_line(at, group, failed) for group in groups[:most]]
    later = at.names_or_count([who for _, who, _ in groups[most:]], "more kind")
    return (*told, f"Later: {later}.") if later else tuple(told)


def _line(at: Index, group: _Group, failed: Failed) -> str:
    worst, who, tanks = group
    why = first_words(why=worst.why, failed=failed)
    limit = ""
    if worst.limit_c is not None:
        edge = "over" if failed is Failed.HOT else "under"
        limit = f" Act {edge} {temperature_words(celsius=worst.limit_c, units=at.store.units)}."
    return f"{at.names_or_count(tanks, 'tank')}: {who}.{f' {why}.' if why else ''}{limit}"


# ---------------------------------------------------------------- blocks of words


def _looks(title: str, lines: tuple[str, ...]) -> Block:
    rows = tuple(Saying(text=line) for line in lines)
    heights = tuple(text_in(letters=len(line) + 4, per_line=100) for line in lines)
    return Block(kind="looks", title=title, rows=rows, row_in=heights, whole=True)


def _words(lines: tuple[str, ...]) -> Block:
    """One paragraph."""
    text = " ".join(lines)
    height = text_in(letters=len(text), per_line=102)
    return Block(kind="words", rows=(Saying(text=text),), row_in=(height,), head_in=0.06)


def _list(title: str, lines: tuple[str, ...]) -> Block:
    heights = tuple(text_in(letters=len(line), per_line=98) for line in lines)
    return Block(kind="order", title=title, rows=lines, row_in=heights, whole=True)
