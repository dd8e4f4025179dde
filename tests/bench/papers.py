"""How long the printed sets take, against WeasyPrint alone on the same HTML."""

from __future__ import annotations

from collections.abc import Iterator

from roomops.papers import fonts, html, pdf
from roomops.papers.shift_set import build, digest
from roomops.papers.view import SetView
from roomops.planning.first_fit import plan_day
from tests.bench.measure import Figure, median, spoken
from tests.papers import juniper
from tests.rooms import SIZES, generated


def figures() -> Iterator[Figure]:
    """Yield a line a set, then what its parts cost; without the system libraries a line that says so."""
    if not pdf.available():
        yield Figure(
            what="printed sets", seconds=0.0, note="not measured: the PDF system libraries are not here"
        )
        return
    _, plan = juniper.day()
    for shift in ("opening", "closing"):
        yield _set(f"{shift} set of the invented room's size", _juniper(shift))
    store = generated(**SIZES["store"])
    yield _set("whole day of 150 residents", build(facts=store, plan=plan_day(room=store), version=1))
    view = _juniper("opening")
    yield Figure(
        what="what the opening set says, worked out",
        seconds=median(lambda: _juniper("opening"), runs=7),
        limit_what="its HTML from ready values",
        limit_seconds=median(lambda: html.whole(view=view), runs=7),
        note=f"{len(plan.duties)} duties, {len(plan.rounds)} rounds",
    )
    yield Figure(
        what="an unchanged set found again (view and digest)",
        seconds=median(lambda: digest(view=_juniper("opening"), stamp=html.digest()), runs=7),
        limit_what="drawing it",
        limit_seconds=median(lambda: pdf.render(view=view), runs=1),
    )


def _juniper(shift: str) -> SetView:
    facts, plan = juniper.day()
    return build(facts=facts, plan=plan, version=1, shift=shift, store=juniper.STORE)


def _set(what: str, view: SetView) -> Figure:
    """From the view to bytes, codes and progress included; the limit is one call for all pages."""
    settled, data = pdf.render(view=view)
    text, _ = fonts.printable(html.whole(view=settled))
    taken = median(lambda: pdf.render(view=view), runs=3)
    pages, more = len(settled.sheets), len(settled.sheets) - len(view.sheets)
    return Figure(
        what=f"{what}, {pages} pages",
        seconds=taken,
        limit_what="WeasyPrint alone on the same HTML",
        limit_seconds=median(lambda: alone(text), runs=3),
        note=f"{len(data) / 1024:.0f} kB, {spoken(taken / pages)} a page, {more} pages broken again",
    )


def alone(text: str) -> bytes:
    """All pages in one document with the same style and fonts, as the library's own example does it."""
    import weasyprint

    faces = f"<style>{fonts.face_rules()}</style></head>"
    page = weasyprint.HTML(string=text.replace("</head>", faces, 1), url_fetcher=pdf.only_fonts())
    made: bytes = page.write_pdf()
    return made
