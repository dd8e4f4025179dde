"""Reading printed pages back: words, letters with their boxes, fonts, drawn rectangles, the square code."""

from __future__ import annotations

import ctypes
import html as entities
import re
from collections.abc import Iterator
from dataclasses import dataclass

import pypdfium2 as pdfium
import zxingcpp
from pypdfium2 import raw

PT = 72.0


@dataclass(frozen=True)
class Letter:
    text: str
    left: float
    bottom: float
    right: float
    top: float
    font: str
    size_pt: float


def document(data: bytes) -> pdfium.PdfDocument:
    return pdfium.PdfDocument(data)


def words(page: pdfium.PdfPage) -> list[str]:
    return page.get_textpage().get_text_range().split()


def letters(page: pdfium.PdfPage) -> list[Letter]:
    """Every visible letter with its box in points. WeasyPrint sets sizes in CSS pixels of 0.75 pt."""
    text = page.get_textpage()
    found: list[Letter] = []
    for place in range(text.count_chars()):
        code = raw.FPDFText_GetUnicode(text.raw, place)
        if chr(code).isspace() or code < 32:
            continue
        name, flags = ctypes.create_string_buffer(120), ctypes.c_int()
        raw.FPDFText_GetFontInfo(text.raw, place, name, 120, flags)
        size = raw.FPDFText_GetFontSize(text.raw, place) * 0.75
        left, bottom, right, top = text.get_charbox(place)
        font = name.value.decode().partition("+")[2]
        found.append(Letter(chr(code), left, bottom, right, top, font, size))
    return found


def rectangles_in(page: pdfium.PdfPage) -> Iterator[tuple[float, float]]:
    """(width, height) in inches of every drawn path."""
    for drawn in page.get_objects(max_depth=4):
        if drawn.type == raw.FPDF_PAGEOBJ_PATH:
            left, bottom, right, top = drawn.get_bounds()
            yield (right - left) / PT, (top - bottom) / PT


def square_codes(page: pdfium.PdfPage) -> list[str]:
    """What a camera reads, at 150 dots an inch."""
    return [
        found.text for found in zxingcpp.read_barcodes(page.render(scale=150 / PT, grayscale=True).to_pil())
    ]


def spoken(html: str) -> list[str]:
    """The words of a page of HTML as they are read: without tags, entities undone."""
    body = html.partition("<body")[2].partition(">")[2]
    body = re.sub(r"<svg.*?</svg>", " ", body, flags=re.DOTALL)
    return entities.unescape(re.sub(r"<[^>]+>", " ", body)).split()


def overlapping(found: list[Letter], share: float = 0.25) -> list[tuple[Letter, Letter]]:
    """Pairs of letters that lie on each other by more than ``share`` of the smaller box."""
    pairs: list[tuple[Letter, Letter]] = []
    rows = sorted(found, key=lambda letter: letter.left)
    for place, one in enumerate(rows):
        for other in rows[place + 1 :]:
            if other.left >= one.right:
                break
            width = min(one.right, other.right) - max(one.left, other.left)
            height = min(one.top, other.top) - max(one.bottom, other.bottom)
            least = min((x.right - x.left) * (x.top - x.bottom) for x in (one, other))
            if width > 0 and height > 0 and width * height > share * max(least, 0.01):
                pairs.append((one, other))
    return pairs
