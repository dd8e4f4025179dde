"""Papers: the day's printed sets, made by a job, downloaded as PDF or printed from the browser."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from roomops.desk import jobs as desk_jobs
from roomops.desk import papers_kept
from roomops.desk.day import open_day
from roomops.desk.day_types import Day
from roomops.papers import jobs, pdf
from roomops.papers.shift_set import WHOLE_DAY
from roomops.records.models import Job
from roomops.screens.door import InRoom
from roomops.screens.paper_cards import cards_of, digest_of, key_of
from roomops.screens.reach import reach_of

# The printable page carries its own style; nothing else may load.
PRINT_POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; frame-ancestors 'none'"


def _day(request: InRoom) -> Day:
    return open_day(room=request.room, day=request.now.date(), now=request.now)


@require_http_methods(["GET", "POST"])
def papers(request: InRoom) -> HttpResponse:
    """The list of today's sets, and the press that makes one."""
    day = _day(request)
    if request.method == "POST":
        return _make(request, day)
    waiting = Job.objects.filter(
        room=request.room, kind=desk_jobs.PAPERS, key__startswith=f"{day.day}/"
    ).order_by("pk")
    sets = papers_kept.of_day(room=request.room, day=day.day)
    context = {
        "day": day,
        "reach": reach_of(day),
        "cards": cards_of(day, sets=sets, waiting=waiting, now=request.now),
        "pdf": pdf.available(),
    }
    return render(request, "papers_page.html", context)


def _make(request: InRoom, day: Day) -> HttpResponse:
    shift = request.POST.get("shift", "")
    if shift not in {*jobs.shifts(day=day), WHOLE_DAY}:
        messages.error(request, f"There is no shift “{shift[:20]}” today: press one of those below.")
        return redirect("papers")
    if not pdf.available():
        messages.error(request, "PDF cannot be made on this server: print the page from the browser instead.")
        return redirect("papers")
    desk_jobs.queue(
        room=request.room,
        kind=desk_jobs.PAPERS,
        key=key_of(day=day, shift=shift, digest=digest_of(day, shift)),
        data={"day": day.day.isoformat(), "shift": shift},
        now=request.now,
    )
    messages.success(request, "Asked for. Reload this page to see how far it is.")
    return redirect("papers")


@require_GET
def printable(request: InRoom, shift: str) -> HttpResponse:
    """The set as a page that a browser prints."""
    day = _day(request)
    if shift not in {*jobs.shifts(day=day), WHOLE_DAY}:
        raise Http404
    return HttpResponse(jobs.page(day=day, shift=shift), headers={"Content-Security-Policy": PRINT_POLICY})


@require_GET
def download(request: InRoom, code: str) -> HttpResponse:
    """The kept PDF of a code."""
    kept = papers_kept.coded(room=request.room, code=code)
    if kept is None:
        raise Http404
    headers = {
        "Content-Disposition": f'inline; filename="{kept.code}.pdf"',
        "Content-Security-Policy": "frame-ancestors 'none'",  # a browser's own viewer brings its scripts
    }
    return HttpResponse(bytes(kept.pdf), content_type="application/pdf", headers=headers)
