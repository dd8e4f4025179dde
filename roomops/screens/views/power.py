"""Heat or power failed: one press, who comes first, what was read, and what is looked at when it is back."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from roomops.desk import outage as desk
from roomops.desk.day_types import Day
from roomops.desk.outage_view import OutageView, TankRisk, outage_view
from roomops.desk.readings import Read
from roomops.desk.refusals import No, Refused
from roomops.husbandry.outage import Course, Failed
from roomops.papers.emergency_words import BACK, COLD_NOW, HOT_NOW, NOT_FED
from roomops.screens import outage_words, posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of

FIRST_MOST = 12  # tanks before the rest is folded away


@require_http_methods(["GET", "POST"])
def power(request: InRoom, round_key: str = "") -> HttpResponse:
    """The page, whether something has failed or not. ``round_key``: as a round's link opens it."""
    del round_key
    if request.method == "GET":
        return _page(request)
    try:
        _said(request)
    except posted.Typed as wrong:
        return _page(request, said=wrong.sentence, field=wrong.field, status=422)
    except Refused as no:
        return _page(request, said=_no_words(request, no), status=409)
    return redirect("power")


def _said(request: InRoom) -> None:
    """Keep what one press said."""
    post, hand = request.POST, {"room": request.room, "now": request.now, "by": request.person}
    if "fail" in post:
        desk.begin(kind=post["fail"], **hand)
    elif "over" in post:
        desk.over(looked=post.getlist("looked"), **hand)
        messages.success(
            request, "It is over. Each tank is fed again when its basking side reads in its band."
        )
    else:
        day = day_of(request)
        form = posted.form_id(post)
        racks = desk.check(day=day, reads=_reads(request, day), by=request.person, form=form)
        if racks:
            messages.success(request, "Kept: all tanks of a rack are read for this half hour.")


def _reads(request: InRoom, day: Day) -> list[Read]:
    """What was read at each tank: warm side and cool side, each may stay empty. Raises Typed."""
    reads = []
    for tank in day.facts.tanks:
        values = {
            side: posted.temperature(
                request.POST, f"{side}-{tank.key}", what=f"{words} of {tank.name}", units=request.reader.units
            )
            for side, words in (("basking", "basking side"), ("cool", "cool side"))
        }
        if any(value is not None for value in values.values()):
            reads.append(Read(tank=tank.key, basking_c=values["basking"], cool_c=values["cool"]))
    return reads


def _no_words(request: InRoom, no: Refused) -> str:
    if no.why is No.MISSING and no.about.get("name") == "reading":
        return "Nothing was read: write down at least one tank, then press again."
    return no_words(request, no)


def _page(request: InRoom, *, said: str = "", field: str = "", status: int = 200) -> HttpResponse:
    day = day_of(request)
    asked = request.GET.get("show", "")
    view = outage_view(day=day, failed=asked if asked in set(Failed) else "")
    shown = [_shown(request, view, each, field) | {"number": n} for n, each in enumerate(_urgent(view), 1)]
    context = {
        "day": day,
        "reach": reach_of(day),
        "view": view,
        "first": shown[:FIRST_MOST],
        "rest": shown[FIRST_MOST:],
        "failed": outage_words.FAILED[view.kind],
        "hot": view.kind == Failed.HOT,
        "press": tuple(outage_words.PRESS.items()),
        "now_list": HOT_NOW if view.kind == Failed.HOT else COLD_NOW,
        "not_fed": NOT_FED,
        "back": BACK,
        "looks": tuple(outage_words.LOOKS.items()),
        "looked": request.POST.getlist("looked"),
        "said": said,
        "form": posted.new_form,
    }
    return render(request, "power/power.html", context, status=status)


def _urgent(view: OutageView) -> list[TankRisk]:
    """Tanks that have reached a limit to act at stand before all others; else the order is that of risk."""
    return sorted(view.tanks, key=lambda each: each.course is not Course.ACT)


def _shown(request: InRoom, view: OutageView, each: TankRisk, field: str) -> dict[str, Any]:
    return {
        "tank": each,
        "who": outage_words.who_words(each),
        "why": outage_words.why_words(each, failed=view.kind),
        "act": outage_words.act_words(each, failed=view.kind, units=request.reader.units),
        "basking": request.POST.get(f"basking-{each.tank}", ""),
        "cool": request.POST.get(f"cool-{each.tank}", ""),
        "wrong": field.partition("-")[2] == each.tank,
    }
