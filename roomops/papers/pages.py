"""Sheets broken into pages: rows are kept whole, a heading never stands alone, each page is a sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from roomops.papers.view import Block, Sheet

# Inches between the margins that are left for blocks, below the head of the page and above its foot.
HEIGHT_IN = {"letter": 8.55, "a4": 9.25}
LINES = "lines"  # blocks of empty lines give way first
KEPT = 0.88  # of a page that was too tall


@dataclass(slots=True)
class _Page:
    blocks: list[Block] = field(default_factory=list)
    used_in: float = 0.0


def paginate(*, sheet: Sheet, paper: str) -> tuple[Sheet, ...]:
    """Break a sheet by the estimated heights of its rows; a page that is too tall all the same is ``halved``.

    Empty lines are left out, down to one, where that saves a page.
    """
    most = HEIGHT_IN[paper] - _head_over_in(sheet)
    tries = [_broken(sheet=shorter, most=most) for shorter in _with_fewer_lines(sheet)]
    return min(tries, key=len)  # the first of equals: with the most lines


def _head_over_in(sheet: Sheet) -> float:
    """What the head of the page takes beyond one line of title, one of time and two of words."""
    over = 0.19 * max(len(sheet.lead) // 92 - 1, 0)
    return over + 0.21 * (len(sheet.when) // 58) + 0.31 * (len(sheet.title) // 42)


def _with_fewer_lines(sheet: Sheet) -> Iterator[Sheet]:
    most = max((len(block.rows) for block in sheet.blocks if block.kind == LINES), default=1)
    for lines in range(most, 0, -1):
        yield replace(sheet, blocks=tuple(_part(b, 0, lines) if b.kind == LINES else b for b in sheet.blocks))


def _broken(*, sheet: Sheet, most: float) -> tuple[Sheet, ...]:
    pages = [_Page()]
    for block in sheet.blocks:
        _flow(pages=pages, block=block, most=most)
    return tuple(replace(sheet, blocks=tuple(page.blocks)) for page in pages if page.blocks) or (sheet,)


def _flow(*, pages: list[_Page], block: Block, most: float) -> None:
    page = pages[-1]
    whole = block.head_in + sum(block.row_in)
    first = whole if block.whole else block.head_in + sum(block.row_in[:1])
    if page.blocks and page.used_in + first > most:
        page = _Page()
        pages.append(page)
    begin, used = 0, page.used_in + block.head_in
    for place, row_in in enumerate(block.row_in):
        if place > begin and used + row_in > most and not block.whole:
            page.blocks.append(_part(block, begin, place))
            page = _Page()
            pages.append(page)
            begin, used = place, block.head_in
        used += row_in
    page.blocks.append(_part(block, begin, len(block.rows)))
    page.used_in = used


def _part(block: Block, begin: int, end: int) -> Block:
    """Rows ``begin`` to ``end`` of a block; a later part says that it goes on."""
    title = f"{block.title}, continued" if begin and block.title else block.title
    return replace(block, title=title, rows=block.rows[begin:end], row_in=block.row_in[begin:end])


def halved(sheet: Sheet) -> tuple[Sheet, Sheet]:
    """Break one page that turned out too tall: its last rows go to a page of their own.

    Raises ValueError when there is nothing left to break: one row is taller than a page.
    """
    cuts = [
        (place, row)
        for place, block in enumerate(sheet.blocks)
        for row in range(1 if block.whole else len(block.rows))
        if (place, row) != (0, 0)
    ]
    if not cuts:
        raise ValueError(f"“{sheet.title}” has a row that is taller than the page: shorten its words.")
    heights = [_above(sheet, cut) for cut in cuts]
    total = sum(block.head_in + sum(block.row_in) for block in sheet.blocks)
    fitting = [cut for cut, height in zip(cuts, heights, strict=True) if height <= KEPT * total]
    place, row = fitting[-1] if fitting else cuts[0]
    parted = sheet.blocks[place]
    kept = (*sheet.blocks[:place], *((_part(parted, 0, row),) if row else ()))
    rest = (_part(parted, row, len(parted.rows)), *sheet.blocks[place + 1 :])
    return replace(sheet, blocks=kept), replace(sheet, blocks=rest)


def _above(sheet: Sheet, cut: tuple[int, int]) -> float:
    """Height of everything before a cut."""
    place, row = cut
    before = sum(block.head_in + sum(block.row_in) for block in sheet.blocks[:place])
    parted = sheet.blocks[place]
    return before + (parted.head_in + sum(parted.row_in[:row]) if row else 0.0)


def titles(sheets: tuple[Sheet, ...]) -> tuple[str, ...]:
    """'Rack A', and where a sheet takes several pages 'Rack A, 1 of 2'."""
    together = [(sheet.kind, sheet.title) for sheet in sheets]
    told: list[str] = []
    for place, both in enumerate(together):
        parts, part = together.count(both), together[: place + 1].count(both)
        told.append(both[1] if parts == 1 else f"{both[1]}, {part} of {parts}")
    return tuple(told)
