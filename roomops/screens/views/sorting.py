"""What waits for a person: what was said and fits nothing due, and two contents under one press."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from roomops.desk import sorting
from roomops.desk.refusals import Refused
from roomops.desk.sorting import ClashView, Unmatched
from roomops.papers.words import Reader
from roomops.screens import posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.said_words import said_words


@require_http_methods(["GET", "POST"])
def sort(request: InRoom) -> HttpResponse:
    """The list, oldest first; each is settled with one press and nothing is thrown away."""
    if request.method == "GET":
        return _page(request)
    try:
        _settle(request)
    except posted.Typed as wrong:
        return _page(request, said=wrong.sentence, status=422)
    except Refused as no:
        return _page(request, said=no_words(request, no), status=409)
    messages.success(request, "Sorted out. What was said stays as it was said; this is kept beside it.")
    return redirect("sorting")


def _settle(request: InRoom) -> None:
    post = request.POST
    form = posted.form_id(post)
    if "clash" in post:
        clash = posted.whole(post, "clash", what="number", least=1, most=10**12)
        sorting.settle_clash(
            room=request.room, clash=clash, keep=post.get("keep", ""), by=request.person, form=form,
            now=request.now,
        )  # fmt: skip
        return
    duty = None if post.get("aside") else post.get("duty", "").strip()
    if duty == "":
        raise posted.Typed("Pick what was meant, or leave it aside.", field="duty")
    sorting.settle_unmatched(
        room=request.room, entry=_entry(post.get("entry", "")), duty=duty, by=request.person, form=form,
        now=request.now,
    )  # fmt: skip


def _entry(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        raise posted.Typed("This page is too old: open Sorting out again.") from None


def _page(request: InRoom, *, said: str = "", status: int = 200) -> HttpResponse:
    day = day_of(request)
    waiting = sorting.to_sort(room=request.room)
    context = {
        "day": day,
        "reach": reach_of(day),
        "unmatched": [_unmatched(each, request.reader) for each in waiting.unmatched],
        "clashes": [_clash(each, request.reader) for each in waiting.clashes],
        "said": said,
        "form": posted.new_form,
    }
    return render(request, "sorting/sorting.html", context, status=status)


def _unmatched(each: Unmatched, reader: Reader) -> Mapping[str, object]:
    words = said_words(kind=each.kind, data=each.data, reader=reader)
    return {"it": each, "words": words, "about": about_words(each.duty)}


def _clash(each: ClashView, reader: Reader) -> Mapping[str, object]:
    return {
        "it": each,
        "kept": said_words(kind=each.kind, data=each.kept, reader=reader),
        "other": said_words(kind=str(each.other.get("kind", each.kind)), data=each.other, reader=reader),
    }


def about_words(duty: str) -> str:
    """'feed 2 of h3-two-dots' of a duty's key, where nothing better is known."""
    parts = duty.split("/")
    if len(parts) < 3:
        return duty
    what = f"{parts[1]} {parts[3]}" if len(parts) > 3 and parts[3].isdigit() and parts[3] != "0" else parts[1]
    return f"{what} of {parts[2]}"
