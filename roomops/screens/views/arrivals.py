"""Arrivals: can we take them, who is expected, receive a lot, lots in quarantine and out of it."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

from django.contrib import messages
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from roomops.desk import arrivals as desk
from roomops.desk import lots
from roomops.desk.arrivals import Question
from roomops.desk.day_types import Day
from roomops.desk.refusals import Refused
from roomops.records.models import Photo
from roomops.records.sheets import sheets
from roomops.screens import arrival_words, posted, stock_posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of

ASKED = ("kind", "heads", "on", "length")


@require_http_methods(["GET", "POST"])
def arrivals(request: InRoom) -> HttpResponse:
    """'Can we take 30 on Tuesday?', who is expected, who is in quarantine."""
    if request.method == "GET":
        return _page(request, asked=request.GET)
    day = day_of(request)
    try:
        told = _said(request, day)
    except posted.Typed as wrong:
        return _page(request, asked=request.POST, said=wrong.sentence, status=422)
    except Refused as no:
        return _page(request, asked=request.POST, said=no_words(request, no), status=409)
    messages.success(request, told)
    return redirect("arrivals")


def _said(request: InRoom, day: Day) -> str:
    """Keep what one press said. Returns what to tell."""
    post = request.POST
    if "cancel" in post:
        desk.cancel(day=day, key=post["cancel"], by=request.person)
        return "It does not come: its tanks are free again."
    question = question_of(post, units=request.reader.units, day=day)
    lot = desk.expect(
        day=day,
        question=question,
        tanks=post.getlist("tank"),
        by=request.person,
        form=posted.form_id(post),
        breeder=posted.words(post, "breeder", what="breeder", most=120),
    )
    return f"{lot.heads} are expected. Their tanks run warm the day before."


def question_of(post: QueryDict, *, units: str, day: Day) -> Question:
    """Return what was asked. Raises Typed."""
    kind, _, stage = post.get("kind", "").partition("/")
    if not kind:
        raise posted.Typed("Say of what kind they are.", field="kind")
    text = post.get("heads", "").strip()
    if not text.isascii() or not text.isdecimal() or len(text) > 9:
        shown = f"“{text}” is no number of animals" if text else "Say how many animals"
        raise posted.Typed(f"{shown}: write one from 1 to {desk.HEADS_MOST}.", field="heads")
    return Question(
        kind=kind,
        stage=stage,
        heads=int(text),
        on=stock_posted.day(post, "on", what="day they would come", today=day.day + timedelta(days=1)),
        length_mm=stock_posted.length(post, "length", what="length of one", units=units),
    )


def _page(request: InRoom, *, asked: QueryDict, said: str = "", status: int = 200) -> HttpResponse:
    day = day_of(request)
    answer = None
    if asked.get("heads") and not said:
        try:
            answer = desk.ask(day=day, question=question_of(asked, units=request.reader.units, day=day))
        except posted.Typed as wrong:
            said, status = wrong.sentence, 422
        except Refused as no:
            said, status = no_words(request, no), 409
    context = {
        "day": day,
        "reach": reach_of(day),
        "answer": answer,
        "asked": {name: asked.get(name, "") for name in ASKED} | {"breeder": asked.get("breeder", "")},
        "tomorrow": day.day + timedelta(days=1),
        "kinds": kinds(day),
        "expected": [
            (lot, arrival_words.heads_words(lot.heads, lot.kind), coming_day(lot.on, today=day.day))
            for lot in desk.expected(day=day)
        ],
        "apart": [(lot, arrival_words.heads_words(lot.heads, lot.kind)) for lot in lots.apart(day=day)],
        "said": said,
        "form": posted.new_form,
    }
    if answer:
        context |= {
            "question": arrival_words.question_words(answer),
            "heading": arrival_words.heading(answer),
            "lines": arrival_words.lines(answer, units=request.reader.units),
            "tanks": [(key, day.label("tank", key), heads) for key, heads in answer.tanks],
            "later": answer.later,
        }
    return render(request, "arrivals/arrivals.html", context, status=status)


def kinds(day: Day, /) -> list[tuple[str, str]]:
    """('bearded dragon/hatchling', 'bearded dragon, hatchling') of every sheet, those kept here first."""
    here = Counter(each.kind for each in day.facts.residents)
    ordered = sorted(sheets().values(), key=lambda sheet: (-here[sheet.kind], sheet.kind))
    return [
        (f"{sheet.kind}/{stage.key}", f"{sheet.kind}, {stage.name.lower()}")
        for sheet in ordered
        for stage in sheet.stages
    ]


@require_GET
def photo(request: InRoom, number: int) -> HttpResponse:
    """A picture of a lot or an animal of this room."""
    row = Photo.objects.filter(room=request.room, pk=number).only("jpeg").first()
    if row is None:
        raise Http404
    return HttpResponse(bytes(row.jpeg), content_type="image/jpeg")


def coming_day(on: date, *, today: date) -> str:
    """'today', 'tomorrow', 'in 7 days', '2 days late'."""
    days = (on - today).days
    if days < 0:
        return f"{-days} day{'' if days == -1 else 's'} late"
    return {0: "today", 1: "tomorrow"}.get(days, f"in {days} days")
