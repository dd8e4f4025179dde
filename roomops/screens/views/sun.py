"""Sun outdoors: the weather in ten seconds, who is owed, out into a pen, in again."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from roomops.desk import sun as desk
from roomops.desk.refusals import No, Refused
from roomops.desk.sun import Going
from roomops.desk.sun_view import Chance, SunView, sun_view
from roomops.screens import posted, sun_words
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of

CHANCES_MOST = 12


@require_http_methods(["GET", "POST"])
def sun(request: InRoom, round_key: str = "") -> HttpResponse:
    """Today's sun. ``round_key``: as a round's link opens it."""
    del round_key
    if request.method == "GET":
        return _page(request)
    try:
        told = _said(request)
    except posted.Typed as wrong:
        return _page(request, said=wrong.sentence, status=422)
    except Refused as no:
        return _page(request, said=_no_words(request, no), status=409)
    if told:
        messages.success(request, told)
    return redirect("sun")


def _said(request: InRoom) -> str:
    """Keep what one press said. Returns what to tell, '' where the page shows it."""
    post, hand = request.POST, {"room": request.room, "now": request.now, "by": request.person}
    if "weather" in post:
        temp = posted.temperature(post, "temp", what="temperature outdoors", units=request.reader.units)
        if temp is None:
            raise posted.Typed("Say the temperature outdoors, in the shade.", field="temp")
        desk.say_weather(temp_c=temp, sky=post.get("sky", ""), wind=post.get("wind", ""), **hand)
        return ""
    if "pen-new" in post:
        desk.add_pen(name=posted.words(post, "name", what="name", most=80), **hand)
        return "The pen is written down."
    if "pen-away" in post:
        desk.pen_out_of_use(key=post["pen-away"], **hand)
        return "The pen is put away."
    day = day_of(request)
    if "in" in post:
        number = int(post["in"]) if post["in"].isdecimal() and len(post["in"]) < 12 else 0
        note = posted.words(post, "note", most=200)
        desk.come_in(day=day, session=number, by=request.person, form=posted.form_id(post), note=note)
        return ""
    floor = posted.temperature(post, "floor", what="floor of the pen", units=request.reader.units)
    going = Going(
        resident=post.get("out", ""), pen=post.get("pen", ""), looked=post.getlist("looked"), floor_c=floor
    )
    desk.go_out(day=day, going=going, by=request.person)
    return ""


def _no_words(request: InRoom, no: Refused) -> str:
    if no.why is No.NOT_FIT:
        reasons = sun_words.reasons_words(desk.no_reasons(no), units=request.reader.units)
        return no_words(request, Refused(no.why, value=no.about["value"], reasons=reasons))
    return no_words(request, no)


def _page(request: InRoom, *, said: str = "", status: int = 200) -> HttpResponse:
    day = day_of(request)
    view = sun_view(day=day)
    chances = [_shown(request, each) for each in view.chances]
    pressed = request.POST.get("out") or request.GET.get("who", "")
    context: dict[str, Any] = {
        "day": day,
        "reach": reach_of(day),
        "view": view,
        "chances": chances[:CHANCES_MOST],
        "rest": chances[CHANCES_MOST:],
        "fit": sum(1 for each in view.chances if each.fit and each.owed),
        "going": next((each for each in chances if each["chance"].key == pressed), None),
        "free": [(key, name) for key, name, who in view.pens if not who],
        "skies": sun_words.SKIES,
        "winds": sun_words.WINDS,
        "sky": dict(sun_words.SKIES).get(view.now.sky, "") if view.now else "",
        "wind": _wind(view),
        "looks": sun_words.LOOKS,
        "looked": request.POST.getlist("looked"),
        "typed": request.POST,
        "ask": view.now is None or view.now.stale or "again" in request.GET or "weather" in request.POST,
        "said": said,
        "form": posted.new_form,
    }
    return render(request, "sun/sun.html", context, status=status)


def _wind(view: SunView) -> str:
    words = dict(sun_words.WINDS).get(view.now.wind, "") if view.now else ""
    return words.partition(":")[0].lower()


def _shown(request: InRoom, each: Chance) -> dict[str, Any]:
    return {
        "chance": each,
        "owed": sun_words.owed_words(each),
        "why": sun_words.reasons_words(each.reasons, units=request.reader.units),
    }
