"""HTML into PDF: the only caller of WeasyPrint.

What is drawn holds people's own words, so the renderer reads the font files and nothing else: no other file,
no address. Where the system libraries are missing, ``available`` is False and the printable HTML serves.
"""

from __future__ import annotations

import gc
import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

from roomops.papers import fonts, html
from roomops.papers.pages import halved
from roomops.papers.view import SetView, Sheet

if TYPE_CHECKING:
    from weasyprint import Document

Report = Callable[[int, int], None]
TRIES = 6


class UnavailableError(RuntimeError):
    """WeasyPrint cannot start here. ``str`` is one sentence with the remedy."""


@cache
def library() -> Any | None:
    """WeasyPrint, or None where it or its system libraries are missing."""
    for chatty in ("weasyprint.progress", "fontTools"):
        logging.getLogger(chatty).setLevel(logging.WARNING)
    try:
        import weasyprint  # noqa: PLC0415 -- needs system libraries, which may be missing
    except (ImportError, OSError):
        return None
    return weasyprint


def available() -> bool:
    """Whether PDF can be made here: WeasyPrint and its system libraries load."""
    return library() is not None


def silent(done: int, all_: int) -> None:
    """A report to nobody."""


def render(*, view: SetView, report: Report = silent) -> tuple[SetView, bytes]:
    """Return the set as printed and its PDF. ``report(done, all)`` is called after each page.

    A page that turns out taller than the paper is broken in two, so that every page has its own head, code
    and number; the returned view has those pages. Raises UnavailableError without the system libraries,
    ValueError for a single row taller than a page.
    """
    with _frozen():
        press = Press(paper=view.paper)
        for _ in range(TRIES):
            documents = [press.lay_out(text, report, n, len(view.sheets)) for n, text in _texts(view)]
            tall = {n for n, document in enumerate(documents) if len(document.pages) > 1}
            if not tall:
                return view, press.write(documents)
            view = _broken(press, view, tall)
    raise ValueError(
        f"The set {view.code} does not settle into pages after {TRIES} tries: shorten its names."
    )


def _texts(view: SetView) -> Iterator[tuple[int, str]]:
    for page in html.pages(view):
        yield page.number, html.single(view=view, page=page)


def _broken(press: Press, view: SetView, tall: set[int]) -> SetView:
    """Break pages that are too tall, and their parts until each fits, before all are laid out anew."""
    sheets: list[Sheet] = []
    for place, sheet in enumerate(view.sheets):
        sheets.extend(_fitting(press, view, halved(sheet)) if place in tall else (sheet,))
    return replace(view, sheets=tuple(sheets))


def _fitting(press: Press, view: SetView, parts: tuple[Sheet, ...]) -> tuple[Sheet, ...]:
    done: list[Sheet] = []
    waiting = list(parts)
    while waiting:
        sheet = waiting.pop(0)
        alone = replace(view, sheets=(sheet,))
        if len(press.lay_out(next(_texts(alone))[1]).pages) > 1:
            waiting[:0] = halved(sheet)
        else:
            done.append(sheet)
    return tuple(done)


@contextmanager
def _frozen() -> Iterator[None]:
    """Keep the collector from walking what stays anyway: a fifth of the time."""
    gc.freeze()
    try:
        yield
    finally:
        gc.unfreeze()


class Press:
    """Fonts and style parsed once, for all pages of a set."""

    def __init__(self, *, paper: str) -> None:
        weasyprint = library()
        if weasyprint is None:
            raise UnavailableError(
                "PDF cannot be made here: install libpango-1.0-0 and libpangoft2-1.0-0, or print the page."
            )
        from weasyprint.text.fonts import FontConfiguration  # noqa: PLC0415

        self._library = weasyprint
        self._fetcher = only_fonts()
        self._fonts = FontConfiguration()
        css = fonts.face_rules() + html.style(paper=paper)
        self._css = weasyprint.CSS(string=css, font_config=self._fonts, url_fetcher=self._fetcher)

    def lay_out(self, text: str, report: Report = silent, number: int = 1, of: int = 1) -> Document:
        """Lay out one page of HTML."""
        page = self._library.HTML(string=text, url_fetcher=self._fetcher, base_url=None)
        document: Document = page.render(font_config=self._fonts, stylesheets=[self._css])
        report(number, of)
        return document

    @staticmethod
    def write(documents: list[Document]) -> bytes:
        """All pages as one PDF, with each font once."""
        pages = [page for document in documents for page in document.pages]
        out = BytesIO()
        documents[0].copy(pages).write_pdf(out)
        return out.getvalue()


@cache
def only_fonts() -> Any:
    """A fetcher that hands out the font files and refuses all else."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse  # noqa: PLC0415

    known = {path.as_uri(): path for _, _, path in fonts.FACES}

    class OnlyFonts(URLFetcher):
        def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:  # noqa: ARG002
            if url not in known:
                raise ValueError("paper reads its own fonts and nothing else")
            return URLFetcherResponse(url, known[url].read_bytes(), {"Content-Type": "font/ttf"})

    return OnlyFonts()
