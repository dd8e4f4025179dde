"""Pages: rows keep their order and are never lost, empty lines give way, and codes name every page."""

from __future__ import annotations

import datetime as dt

import pytest
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from roomops.papers import codes
from roomops.papers.pages import HEIGHT_IN, halved, paginate, titles
from roomops.papers.view import Block, Sheet

DAY = dt.date(2026, 6, 9)
heights = st.lists(st.floats(0.1, 3.0), min_size=1, max_size=40)


def sheet(*blocks: Block) -> Sheet:
    return Sheet(kind="rack", title="Rack A", blocks=blocks)


def block(row_in: list[float], **changes: object) -> Block:
    return Block(
        **(
            {"kind": "words", "title": "T", "rows": tuple(range(len(row_in))), "row_in": tuple(row_in)}
            | changes
        )
    )


def all_rows(pages: tuple[Sheet, ...]) -> list[int]:
    return [row for page in pages for each in page.blocks for row in each.rows]


@given(heights, heights)
def test_no_row_is_lost_or_moved_by_breaking(first: list[float], second: list[float]) -> None:
    pages = paginate(sheet=sheet(block(first), block(second)), paper="letter")
    assert all_rows(pages) == [*range(len(first)), *range(len(second))]
    for page in pages:
        used = sum(each.head_in + sum(each.row_in) for each in page.blocks)
        assert used <= HEIGHT_IN["letter"] or sum(len(each.rows) for each in page.blocks) == 1


@given(heights)
def test_a_page_too_tall_is_broken_without_losing_a_row(row_in: list[float]) -> None:
    whole = sheet(block(row_in), block([0.2], title=""))
    first, rest = halved(whole)
    assert all_rows((first, rest)) == all_rows((whole,))
    assert first.blocks
    assert rest.blocks


def test_a_single_row_taller_than_the_page_is_told_in_a_sentence() -> None:
    with pytest.raises(
        ValueError, match=r"“Rack A” has a row that is taller than the page: shorten its words\."
    ):
        halved(sheet(block([12.0])))


def test_empty_lines_give_way_before_a_page_is_added() -> None:
    lines = block([0.3] * 5, kind="lines", whole=True)
    pages = paginate(sheet=sheet(block([7.0]), lines), paper="letter")
    assert [len(page.blocks) for page in pages] == [2]
    assert 1 <= len(pages[0].blocks[1].rows) < 5


def test_more_rows_than_a_page_holds_make_more_pages_each_with_its_part() -> None:
    pages = paginate(sheet=sheet(block([1.0] * 20)), paper="letter")
    assert len(pages) == 3
    assert titles(pages) == ("Rack A, 1 of 3", "Rack A, 2 of 3", "Rack A, 3 of 3")
    assert pages[1].blocks[0].title == "T, continued"


def test_a4_holds_more_than_letter() -> None:
    rows = sheet(block([0.5] * 18))
    assert len(paginate(sheet=rows, paper="letter")) == 2
    assert len(paginate(sheet=rows, paper="a4")) == 2
    assert len(paginate(sheet=sheet(block([0.5] * 17)), paper="a4")) == 1


# ---------------------------------------------------------------- codes


@given(
    st.dates(dt.date(2000, 1, 1), dt.date(2068, 12, 31)),
    st.sampled_from(["opening", "closing", "middle", "day"]),
    st.integers(1, 999),
    st.integers(0, 599),
    st.integers(1, 999),
)
def test_a_code_says_again_what_went_into_it(
    day: dt.date, shift: str, version: int, edition: int, page: int
) -> None:
    whole = codes.set_code(
        room="Juniper Street Reptile Room", day=day, shift=shift, version=version, edition=edition
    )
    assert len(whole) <= 24  # PaperSet.code
    found = codes.read(codes.page_code(code=whole, page=page).lower())
    assert found == codes.Code(
        initials="JS", day=day, shift=shift[0].upper(), version=version, edition=edition, page=page
    )


@pytest.mark.parametrize(
    "text", ["", "JS", "JS-260231-O1A", "JS-260609-O1I", "JS-26069-O1A", "hello", "JS-260609-O1A-"]
)
def test_what_is_no_code_is_none(text: str) -> None:
    assert codes.read(text) is None


def test_too_many_editions_are_refused_in_a_sentence() -> None:
    with pytest.raises(ValueError, match="plan the day anew"):
        codes.set_code(room="R", day=DAY, shift="day", version=1, edition=600)


@pytest.mark.parametrize(("room", "initials"), [("Échoppe du Lézard", "ED"), ("爬虫", "R"), ("9 Lives", "L")])
def test_a_room_of_any_name_has_a_code(room: str, initials: str) -> None:
    code = codes.set_code(room=room, day=DAY, shift="opening", version=1, edition=0)
    assert codes.read(code) is not None
    assert code.startswith(f"{initials}-260609-O1A")


def test_the_square_is_read_back_by_another_library() -> None:
    """The path's runs drawn as rectangles, read by ZXing."""
    side, path = codes.square("JS-260609-O12AB-10")
    scale = 4
    picture = Image.new("L", (side * scale, side * scale), 255)
    pen = ImageDraw.Draw(picture)
    for run in path.split("z")[:-1]:
        x, rest = run[1:].split(" ", 1)
        y, rest = rest.split("h", 1)
        left, top, width = int(x), int(y), int(rest.split("v")[0])
        pen.rectangle([left * scale, top * scale, (left + width) * scale - 1, (top + 1) * scale - 1], fill=0)
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == ["JS-260609-O12AB-10"]
