"""A set as HTML: what WeasyPrint draws, and what a browser prints where WeasyPrint cannot."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from django.template import engines
from django.template.loader import render_to_string

from roomops.papers import codes, fonts
from roomops.papers.pages import titles
from roomops.papers.view import SetView, Sheet

PAGE_SIZE = {"letter": "8.5in 11in", "a4": "210mm 297mm"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A sheet with its place in the set."""

    sheet: Sheet
    title: str
    number: int
    of: int
    code: str
    side: int
    path: str
    replaced: bool = False


def pages(view: SetView) -> tuple[Page, ...]:
    """The set's pages with their codes."""
    made: list[Page] = []
    for number, (sheet, title) in enumerate(zip(view.sheets, titles(view.sheets), strict=True), start=1):
        code = codes.page_code(code=view.code, page=number)
        side, path = codes.square(code)
        made.append(
            Page(
                sheet=sheet, title=title, number=number, of=len(view.sheets), code=code, side=side, path=path
            )
        )
    return tuple(made)


def style(*, paper: str) -> str:
    """The style sheet with the page's size, without fonts."""
    return f"@page{{size:{PAGE_SIZE[paper]}}}{_style_file()}"


def whole(*, view: SetView) -> str:
    """The set as one page of HTML with its own style: printed from a browser it is the same paper."""
    return _drawn(view=view, some=pages(view), css=style(paper=view.paper))


def single(*, view: SetView, page: Page) -> str:
    """One page as HTML without style, which is parsed once for all; in letters that the fonts have."""
    text, lost = fonts.printable(_drawn(view=view, some=(page,)))
    if lost:
        text, _ = fonts.printable(_drawn(view=view, some=(replace(page, replaced=True),)))
    return text


def _drawn(*, view: SetView, some: tuple[Page, ...], css: str = "") -> str:
    return str(render_to_string("papers/set.html", {"view": view, "pages": some, "css": css}))


def _folder() -> Path:
    """Where the templates lie."""
    template = engines["django"].get_template("papers/set.html")
    return Path(template.origin.name).parent


@cache
def _style_file() -> str:
    return (_folder() / "paper.css").read_text(encoding="utf-8")


@cache
def digest() -> str:
    """SHA-256 over templates, style and fonts: what else decides how a set looks."""
    seen = hashlib.sha256(fonts.digest().encode())
    for path in sorted(_folder().rglob("*")):
        if path.suffix in {".html", ".css"}:
            seen.update(f"{path.name}\n".encode() + path.read_bytes())
    return seen.hexdigest()
