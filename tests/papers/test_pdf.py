"""The PDF read back by another library: page size, every word, letters, boxes for a pen, the square code."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from django.template import engines

from roomops.papers import fonts, html, pdf
from roomops.papers.shift_set import build
from roomops.papers.view import SetView
from roomops.planning.first_fit import plan_day
from roomops.planning.room import Person
from tests.papers import juniper, paper
from tests.papers.paper import Letter

pytestmark = pytest.mark.pdf

SIZE_PT = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}
LONG = "Wilhelmina of the Far Northern Rock Wall"  # 40 letters
LEAST_PT = 9.0
HALF_MM_IN = 0.5 / 25.4


@cache
def printed(shift: str, size: str, units: str = "us") -> tuple[SetView, bytes]:
    facts, plan = juniper.day()
    store = replace(juniper.STORE, paper=size, units=units)
    return pdf.render(view=build(facts=facts, plan=plan, version=2, shift=shift, store=store))


@cache
def printed_with_long_names() -> tuple[SetView, bytes]:
    facts = juniper.with_names(juniper.room(), LONG)
    people = tuple(Person(key=p.key, name=f"{LONG} {n}") for n, p in enumerate(facts.people))
    facts = replace(facts, people=people)
    return pdf.render(
        view=build(facts=facts, plan=plan_day(room=facts), version=1, shift="opening", store=juniper.STORE)
    )


def pages_of(view: SetView) -> list[list[str]]:
    return [paper.spoken(html.single(view=view, page=page)) for page in html.pages(view)]


def squeezed(words: list[str]) -> Counter[str]:
    """Letters without spaces: where words touch or wrap within a letter the reader may join or part them."""
    return Counter("".join(words))


ALL = [printed, printed_with_long_names]


@pytest.mark.parametrize("size", list(SIZE_PT))
def test_pages_are_of_the_rooms_paper(size: str) -> None:
    view, data = printed("opening", size)
    sheets = paper.document(data)
    assert len(sheets) == len(view.sheets)
    for page in sheets:
        assert page.get_size() == pytest.approx(SIZE_PT[size], abs=0.1)


@pytest.mark.parametrize(("shift", "size"), [("opening", "letter"), ("closing", "letter"), ("opening", "a4")])
def test_every_word_of_a_page_is_read_back_from_that_page(shift: str, size: str) -> None:
    view, data = printed(shift, size)
    for said, page in zip(pages_of(view), paper.document(data), strict=True):
        assert squeezed(said) == squeezed(paper.words(page))
        missing = Counter(said) - Counter(paper.words(page))
        assert not [w for w in missing if w not in "".join(paper.words(page))]


def test_words_of_forty_letters_are_whole_on_every_page() -> None:
    view, data = printed_with_long_names()
    sheets = paper.document(data)
    assert len(sheets) == len(view.sheets)
    for said, page in zip(pages_of(view), sheets, strict=True):
        assert squeezed(said) == squeezed(paper.words(page))


@pytest.mark.parametrize("which", ["ordinary", "metric", "long names"])
def test_no_letter_leaves_the_page_or_lies_on_another(which: str) -> None:
    data = {
        "ordinary": lambda: printed("closing", "letter"),
        "metric": lambda: printed("opening", "a4", "metric"),
        "long names": printed_with_long_names,
    }[which]()[1]
    for number, page in enumerate(paper.document(data), start=1):
        width, height = page.get_size()
        found = paper.letters(page)
        for letter in found:
            assert letter.left >= 35.0, (number, letter)
            assert letter.right <= width - 35.0, (number, letter)
            assert letter.bottom >= 15.0, (number, letter)
            assert letter.top <= height - 20.0, (number, letter)
        assert not paper.overlapping(found), (number, paper.overlapping(found)[:3])


def test_the_reader_sees_letters_that_lie_on_each_other() -> None:
    one = Letter("a", 10.0, 10.0, 15.0, 18.0, "", 9.0)
    assert paper.overlapping([one, replace(one, left=12.0, right=17.0)])
    assert not paper.overlapping([one, replace(one, left=15.0, right=20.0)])


@pytest.mark.parametrize("shift", ["opening", "closing"])
def test_no_letter_is_smaller_than_nine_points_and_all_are_of_the_rooms_fonts(shift: str) -> None:
    for page in paper.document(printed(shift, "letter")[1]):
        found = paper.letters(page)
        assert min(letter.size_pt for letter in found) >= LEAST_PT - 0.01
        assert {letter.font for letter in found} <= fonts.INTENDED


def test_every_letter_that_is_printed_is_in_every_font() -> None:
    for shift in ("opening", "closing"):
        view, _ = printed(shift, "letter")
        said = {letter for words in pages_of(view) for word in words for letter in word}
        assert said - fonts.letters() == set()


def test_a_name_in_other_letters_is_printed_with_question_marks_and_says_so() -> None:
    facts, plan = juniper.day()
    odd = replace(facts, residents=tuple(replace(r, name="Мышь 爬虫 №7") if r.key == "marlow" else r
                                         for r in facts.residents))  # fmt: skip
    _, data = pdf.render(view=build(facts=odd, plan=plan, version=1, store=juniper.STORE, shift="opening"))
    text = " ".join(word for page in paper.document(data) for word in paper.words(page))
    assert "Мышь ?? №7" in text
    assert "? stands for a letter that this paper cannot show." in text
    assert {letter.font for page in paper.document(data) for letter in paper.letters(page)} <= fonts.INTENDED


# ---------------------------------------------------------------- codes


@pytest.mark.parametrize("size", list(SIZE_PT))
def test_each_page_carries_its_own_code_in_letters_and_as_a_square_that_a_camera_reads(size: str) -> None:
    view, data = printed("opening", size)
    sheets = paper.document(data)
    for number, page in enumerate(sheets, start=1):
        assert paper.square_codes(page) == [f"{view.code}-{number}"]
        text = " ".join(paper.words(page))
        assert f"{view.code}-{number} {number} of {len(sheets)}" in text
        assert "As of Tue June 9, 7:05 am · plan version 2" in text


# ---------------------------------------------------------------- boxes for a pen


def test_boxes_to_write_in_are_large_enough_for_a_pen() -> None:
    """What is left: at least 0.46 × 0.4 in; 'back' 0.27 in high. Measured to half a millimeter."""
    view, data = printed("closing", "letter")
    left = back = 0
    for sheet, page in zip(view.sheets, paper.document(data), strict=True):
        if sheet.kind != "trays":
            continue
        drawn = list(paper.rectangles_in(page))
        cells = [c for b in sheet.blocks if b.kind == "trays" for f in b.rows for c in f.cells]
        boxes = sum(len(cell.boxes) for cell in cells)
        left_here = [(w, h) for w, h in drawn if abs(h - 0.46) < HALF_MM_IN and 0.4 - HALF_MM_IN < w < 1]
        back_here = [(w, h) for w, h in drawn if abs(h - 0.27) < HALF_MM_IN and 0.3 < w < 1]
        assert len(left_here) == len(back_here) == boxes, sheet.title
        assert all(w >= 0.46 for w, _ in left_here)
        left, back = left + len(left_here), back + len(back_here)
    assert left
    assert back


def test_boxes_of_walks_and_tank_feeds_are_at_least_as_large() -> None:
    view, data = printed("opening", "a4")
    for sheet, page in zip(view.sheets, paper.document(data), strict=True):
        wide = [(w, h) for w, h in paper.rectangles_in(page) if w >= 0.46 and 0.4 <= h < 1.2]
        walked = [row for b in sheet.blocks if b.kind == "walk" for row in b.rows]
        fed = [row for b in sheet.blocks if b.kind == "feeds" for row in b.rows]
        assert len(wide) >= sum(len(row.boxes) for row in walked) + 3 * len(fed), sheet.title


def test_paper_is_black_on_white() -> None:
    css = html.style(paper="letter")
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}", css)) <= {"#000", "#fff"}


# ---------------------------------------------------------------- what the renderer may read


@pytest.mark.parametrize(
    "url", ["file:///etc/hostname", "http://localhost:9/x.png", "data:text/plain,x", "paper.css"]
)
def test_the_renderer_reads_its_fonts_and_no_other_file_or_address(url: str) -> None:
    fetcher = pdf.only_fonts()
    with pytest.raises(ValueError, match="nothing else"):
        fetcher.fetch(url)
    assert fetcher.fetch(fonts.FACES[0][2].as_uri()).read() == fonts.FACES[0][2].read_bytes()


def test_a_picture_asked_for_by_a_persons_words_is_not_drawn() -> None:
    press = pdf.Press(paper="letter")
    asked = '<body><img src="file:///etc/hostname" alt="no picture"><p>words</p></body>'
    data = press.write([press.lay_out(asked)])
    assert "words" in paper.words(paper.document(data)[0])


def test_tags_in_a_name_are_printed_as_letters() -> None:
    facts, plan = juniper.day()
    sly = replace(facts, residents=tuple(replace(r, name="<b>Bo & Co</b>") if r.key == "marlow" else r
                                         for r in facts.residents))  # fmt: skip
    view = build(facts=sly, plan=plan, version=1, store=juniper.STORE)
    assert "<b>Bo" not in html.whole(view=view)
    assert "<b>Bo & Co</b>" in " ".join(paper.spoken(html.whole(view=view)))


# ---------------------------------------------------------------- progress, and without the libraries


def test_progress_is_told_page_by_page() -> None:
    facts, plan = juniper.day()
    heard: list[tuple[int, int]] = []
    view, _ = pdf.render(
        view=build(facts=facts, plan=plan, version=1, shift="opening", store=juniper.STORE),
        report=lambda done, all_: heard.append((done, all_)),
    )
    assert heard[-1] == (len(view.sheets), len(view.sheets))
    assert [done for done, _ in heard[-len(view.sheets) :]] == list(range(1, len(view.sheets) + 1))


def test_the_same_set_is_the_same_bytes() -> None:
    facts, plan = juniper.day()
    view = build(facts=facts, plan=plan, version=1, shift="opening", store=juniper.STORE)
    assert pdf.render(view=view)[1] == pdf.render(view=view)[1]


def test_without_the_system_libraries_the_page_of_html_holds_the_same_words(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    view, _ = printed("opening", "letter")
    monkeypatch.setattr(pdf, "library", lambda: None)
    assert not pdf.available()
    with pytest.raises(pdf.UnavailableError, match="print the page"):
        pdf.render(view=view)
    assert paper.spoken(html.whole(view=view)) == [word for words in pages_of(view) for word in words]


def test_every_template_of_papers_is_used() -> None:
    view, _ = printed("closing", "letter")
    used = {block.template for sheet in view.sheets for block in sheet.blocks}
    for name in used:
        engines["django"].get_template(name)
    assert len(used) >= 12
