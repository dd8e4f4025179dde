"""Timers: today's hours, seasons, and what hangs on which."""

from __future__ import annotations

from datetime import time
from typing import Any

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from roomops.desk import lamp_views
from roomops.desk import timers as timer_desk
from roomops.desk.refusals import Refused
from roomops.desk.timers import Hours
from roomops.papers.amounts import MONTHS
from roomops.screens import posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.posted import Typed
from roomops.screens.reach import reach_of


@require_http_methods(["GET", "POST"])
def timers(request: InRoom) -> HttpResponse:
    """Hours of today, seasons, and what hangs on which timer."""
    said, field, status = "", "", 200
    if request.method == "POST":
        try:
            told = _timer_said(request)
        except posted.Typed as wrong:
            said, field, status = wrong.sentence, wrong.field, 422
        except Refused as no:
            said, status = no_words(request, no), 409
        else:
            messages.success(request, told)
            return redirect("lamps_timers")
    day = day_of(request)
    view = lamp_views.lamps_view(day=day)
    context = {
        "day": day,
        "reach": reach_of(day),
        "view": view,
        "months": list(enumerate(MONTHS, start=1)),
        "racks": [(each.key, each.name) for each in day.facts.racks],
        "tanks": [(each.key, each.name) for each in day.facts.tanks],
        "said": said,
        "field": field,
        "typed": request.POST if said else QueryDict(),
    }
    return render(request, "lamps/timers.html", context, status=status)


def _timer_said(request: InRoom) -> str:
    post = request.POST
    hand: dict[str, Any] = {"room": request.room, "now": request.now, "by": request.person}
    if "new" in post:
        name = posted.words(post, "name", what="name", most=80)
        made = timer_desk.new_timer(name=name, hours=_hours(post), **hand)
        return f"{made.name} is there: hang tanks on it."
    key = post.get("timer", "")
    if "give" in post:
        many = timer_desk.give(timer=key, place=post.get("place", ""), **hand)
        return f"{many} tank{'s' if many != 1 else ''} hang on it now."
    begins = (_number(post.get("month", "")), _number(post.get("day", "")))
    if "drop" in post:
        timer_desk.drop_season(timer=key, begins=begins, **hand)
        return "That season is no more."
    if "season" in post:
        timer_desk.add_season(timer=key, begins=begins, hours=_hours(post), **hand)
        return "Kept. What was due today is worked out again."
    timer_desk.set_hours(timer=key, hours=_hours(post), **hand)
    return "Kept. What was due today is worked out again."


def _hours(post: QueryDict) -> Hours:
    return Hours(on=_time(post, "on", "lights-on"), off=_time(post, "off", "lights-out"))


def _time(post: QueryDict, name: str, what: str) -> time:
    text = post.get(name, "").strip()
    try:
        return time.fromisoformat(text)
    except ValueError:
        shown = f"“{text}” is no time for" if text else "Say"
        raise Typed(f"{shown} {what}: write it as 07:30.", field=name) from None


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else 0
