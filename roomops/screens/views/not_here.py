"""Why an animal is not here: one press, or two where another tank or a vet has to be named."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from roomops.desk import feeding
from roomops.desk.refusals import Refused
from roomops.desk.tray import tray_view
from roomops.desk.tray_types import TrayView, TubView
from roomops.screens import posted
from roomops.screens.answers import conflict, day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.tray_strip import STEPS
from roomops.screens.tray_words import WHY_WORDS
from roomops.screens.views.feeding import gone, place, show_conflict

MOST_NOTE = 200


@require_http_methods(["GET", "POST"])
def not_here(request: InRoom, round_key: str, number: str) -> HttpResponse:
    """Why an animal is not here. Moved asks where to, at vet who took it; the others are one press."""
    day = day_of(request)
    try:
        view = tray_view(day=day, round_key=round_key)
        tub = place(view, number)
    except Refused as no:
        return gone(request, day=day, no=no)
    if request.method == "GET":
        return _why_page(request, tray=view, tub=tub, why=request.GET.get("why", ""))
    return _say_not_here(request, tray=view, tub=tub)


def _say_not_here(request: InRoom, *, tray: TrayView, tub: TubView) -> HttpResponse:
    post = request.POST
    why = post.get("why", "")
    try:
        note = posted.words(post, "note", most=MOST_NOTE)
        answers = feeding.not_here(
            day=tray.day, round_key=tray.view.key, duty=tub.duty, head=tub.head, why=why, note=note,
            to_tank=_to_tank(request, why), by=request.person, form=posted.form_id(post),
        )  # fmt: skip
    except posted.Typed as wrong:
        return _why_page(request, tray=tray, tub=tub, why=why, said=wrong.sentence, status=422)
    except Refused as no:
        sentence = no_words(request, no)
        return _why_page(request, tray=tray, tub=tub, why=why, said=sentence, status=409)
    if conflict(answers):
        return show_conflict(request, tray=tray)
    tell(request, answers)
    step = post.get("step", "")
    tail = "?" + urlencode({"step": step}) if step in STEPS else ""
    return redirect(reverse("feeding_round", args=[tray.view.key]) + f"{tail}#tub-{tub.number}")


def _to_tank(request: InRoom, why: str) -> str:
    """The tank that a moved one lives in now. Raises Typed when none was picked."""
    tank = request.POST.get("to_tank", "") if why == "moved" else ""
    if why == "moved" and not tank:
        raise posted.Typed("Say which tank it lives in now: pick one from the list.", field="to_tank")
    return tank


def _why_page(
    request: InRoom, *, tray: TrayView, tub: TubView, why: str, said: str = "", status: int = 200
) -> HttpResponse:
    tanks = [(tank.key, tank.name) for tank in tray.day.facts.tanks if tank.key != tub.tank]
    context = {
        "day": tray.day,
        "reach": reach_of(tray.day),
        "tray": tray,
        "tub": tub,
        "why": why,
        "word": WHY_WORDS.get(why, ""),
        "tanks": tanks,
        "said": said,
        "typed": request.POST,
        "step": (request.POST or request.GET).get("step", ""),
        "form": posted.new_form,
    }
    return render(request, "feeding/not_here.html", context, status=status)
