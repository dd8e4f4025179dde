"""Work that has no boxes of its own on another sheet: a line with a box for each."""

from __future__ import annotations

from roomops.papers.heights import text_in
from roomops.papers.index import Index
from roomops.papers.view import Block, Box, CupLine, Sheet
from roomops.papers.words import NEED, duty_words
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind

# Kinds with boxes on the rack, tray, tank feed and kitchen sheets.
ELSEWHERE = frozenset({
    DutyKind.OPENING, DutyKind.READING, DutyKind.CLEAN, DutyKind.CLOSING, DutyKind.FEED, DutyKind.CUPS,
    DutyKind.INSECTS,
})  # fmt: skip


def block(*, at: Index, quarantine: bool) -> Block:
    """This set's open duties of every other kind, in the order of the day."""
    mine = (d for d in at.own_duties if d.kind not in ELSEWHERE and d.quarantine is quarantine and at.open(d))
    due = sorted(mine, key=lambda d: (at.round_of[d.key].start, at.round_of[d.key].number, at.place(d)))
    rows = tuple(_line(at, duty) for duty in due)
    return Block(
        kind="jobs",
        title="Other work",
        aside="box when done, initials beside it",
        rows=rows,
        row_in=tuple(
            text_in(letters=len(r.amounts[0]) + len(r.where), per_line=22, pad_in=0.1) for r in rows
        ),
    )


def _line(at: Index, duty: Duty) -> CupLine:
    planned = at.round_of[duty.key]
    name = at.name(duty.subject).text if duty.subject in at.residents else at.subject_name(duty)
    return CupLine(
        what=duty_words(duty),
        where=f"{NEED[duty.need]}; round {planned.number}, {at.person(planned.person)}",
        when=at.span(planned.start, planned.end),
        amounts=(name,),
        box=Box(duty=duty.key),
    )


def sheet(*, at: Index) -> Sheet | None:
    """The sheet of other work; None without any."""
    jobs = block(at=at, quarantine=False)
    if not jobs.rows:
        return None
    lines = Block(kind="lines", title="Seen", rows=(None,) * 4, row_in=(0.3,) * 4, whole=True)
    return Sheet(kind="work", title="Other work", when="In the order of the day", blocks=(jobs, lines))
