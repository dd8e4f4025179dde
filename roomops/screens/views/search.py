"""A missing animal: where to look, the tanks beside it counted again, and 'found'."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from roomops.desk import searching
from roomops.desk.day_types import Day
from roomops.desk.entries import Answer
from roomops.desk.refusals import Refused
from roomops.desk.searching import PLACES, SearchView
from roomops.screens import posted
from roomops.screens.answers import CONFLICT, conflict, day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.views.animals import gone
from roomops.screens.views.hands import hand_of

MOST_WHERE = 160


@require_GET
def searches(request: InRoom, round_key: str = "") -> HttpResponse:
    """Everybody who is looked for; the only one opens at once."""
    day = day_of(request)
    view = next((each for each in day.rounds if each.key == round_key), None)
    missing = searching.missing_of(day=day)
    subjects = {day.duties[key].subject for key in view.duties if key in day.duties} if view else set()
    asked = [each for each in missing if each.key in subjects] or list(missing)
    if len(asked) == 1:
        return redirect("search", key=asked[0].key)
    context = {"day": day, "reach": reach_of(day), "missing": missing}
    return render(request, "animals/searches.html", context)


@require_http_methods(["GET", "POST"])
def search(request: InRoom, key: str) -> HttpResponse:
    """One search, until it is found."""
    day = day_of(request)
    try:
        view = searching.search_view(day=day, key=key)
    except Refused as no:
        return gone(request, day=day, no=no)
    if request.method == "GET":
        return _page(request, day=day, view=view)
    try:
        answers = _say(request, day=day, view=view)
    except posted.Typed as wrong:
        return _page(request, day=day, view=view, said=wrong.sentence, field=wrong.field, status=422)
    except Refused as no:
        return _page(request, day=day, view=view, said=no_words(request, no), status=409)
    return _after(request, day=day, view=view, answers=answers)


def _after(request: InRoom, *, day: Day, view: SearchView, answers: tuple[Answer, ...]) -> HttpResponse:
    if conflict(answers):
        return _page(request, day=day, view=view, said=CONFLICT, status=409)
    key = view.animal.key
    tell(request, answers)
    if "found" in request.POST:
        messages.success(request, f"{view.animal.label} is found. Look it over, then back into the warm.")
        return redirect("animal", key=key)
    messages.warning(request, f"{view.animal.label} is not found yet. Look again; nobody leaves a lid open.")
    return redirect("search", key=key)


def _say(request: InRoom, *, day: Day, view: SearchView) -> tuple[Answer, ...]:
    post, key = request.POST, view.animal.key
    form, hand = posted.form_id(post), hand_of(request)
    if "found" in post:
        where = posted.words(post, "where", what="place", most=MOST_WHERE)
        if not where:
            raise posted.Typed("Say where it was: the next one will hide there too.", field="where")
        return searching.found_it(day=day, hand=hand, key=key, where=where, form=form)
    places = post.getlist("looked")
    return searching.looked(day=day, hand=hand, key=key, places=places, seen=_seen(request, view), form=form)


def _seen(request: InRoom, view: SearchView) -> Mapping[str, int]:
    return {
        each.tank: posted.whole(
            request.POST, f"seen-{each.tank}", what=f"number seen in {each.name}", least=0, most=500
        )
        for each in view.tanks
        if request.POST.get(f"seen-{each.tank}", "").strip()
    }


def _page(
    request: InRoom, *, day: Day, view: SearchView, said: str = "", field: str = "", status: int = 200
) -> HttpResponse:
    words = dict(PLACES)
    context = {
        "day": day,
        "reach": reach_of(day),
        "view": view,
        "places": [(key, word, key in view.done) for key, word in PLACES],
        "looked": [(each, [words[p].split(":")[0].split(",")[0].lower() for p in each.places if p in words])
                   for each in view.looked],
        "typed": request.POST if status != 200 else {},
        "pressed": request.POST.getlist("looked") if status != 200 else [],
        "said": said,
        "field": field,
        "form": posted.new_form,
    }  # fmt: skip
    return render(request, "animals/search.html", context, status=status)
