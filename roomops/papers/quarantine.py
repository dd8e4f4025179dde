"""The quarantine sheet: everything about animals that are apart, on a paper that stays with them."""

from __future__ import annotations

from roomops.papers import feeds, kitchen, racks, trays, work
from roomops.papers.cautions import HANDS, LETTERS, QUARANTINE_ORDER, QUARANTINE_THINGS
from roomops.papers.heights import text_in
from roomops.papers.index import Index
from roomops.papers.view import Block, Saying, Sheet
from roomops.papers.words import list_words


def sheet(*, at: Index) -> Sheet | None:
    """The sheet of animals in quarantine or isolated; None when nothing of theirs is in this set."""
    rounds = tuple(r for r in at.todo if r.quarantine)
    due = racks.due_by_tank(at=at, quarantine=True)
    if not rounds and not due:
        return None
    people = list_words(list(dict.fromkeys(at.person(r.person) for r in rounds)))
    blocks = (
        *racks.tables(at=at, due=due),
        *_words(racks.act_words(at=at, tanks=due)),
        kitchen.told_cups(at=at, rounds=rounds),
        trays.block(at=at, drawn=trays.fills(at=at, rounds=rounds)),
        work.block(at=at, quarantine=True),
        *feeds.blocks(at=at, duties=feeds.in_tank(at=at, quarantine=True)),
        Block(
            kind="things", title="Own things", rows=QUARANTINE_THINGS, row_in=(0.3, *(0.0,) * 5), whole=True
        ),
        Block(kind="order", head_in=0.05, rows=QUARANTINE_ORDER, row_in=(0.22,) * 4, whole=True),
        *_words((Saying(lead="Letters:", text=LETTERS), HANDS)),
        Block(kind="lines", title="Seen", rows=(None,) * 2, row_in=(0.3,) * 2, whole=True),
        Block(
            kind="sign",
            rows=(("Signed", 2.0), ("washed and changed at", 0.8)),
            row_in=(0.42, 0.0),
            head_in=0.0,
        ),
    )
    return Sheet(
        kind="quarantine",
        title="Quarantine",
        when=f"{people or 'Nobody'} only · this sheet stays here, with its own pen",
        lead=racks.who_walks(at=at, due=due),
        blocks=tuple(block for block in blocks if block.rows),
    )


def _words(said: tuple[Saying, ...]) -> tuple[Block, ...]:
    heights = tuple(text_in(letters=len(s.lead) + len(s.text), per_line=102) for s in said)
    return (Block(kind="words", rows=said, row_in=heights, head_in=0.06),) if said else ()
