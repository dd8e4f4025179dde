"""On the scale: one animal, one number, last time's beside it; length and gap where they are due."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods

from roomops.desk import weighing
from roomops.desk.day_types import Day
from roomops.desk.refusals import No, Refused
from roomops.desk.weighing import Scale, WeighView
from roomops.papers import words
from roomops.screens import animal_posted, posted
from roomops.screens.answers import CONFLICT, conflict, day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.views.hands import hand_of


@require_http_methods(["GET", "POST"])
def weigh(request: InRoom, tank_key: str = "") -> HttpResponse:
    """The tank in hand, or the first where somebody is due."""
    day = day_of(request)
    tank = _tank_of(day, tank_key)
    if request.method == "POST":
        return _say(request, day=day, tank=tank)
    return _page(request, day=day, tank=tank)


def _tank_of(day: Day, key: str) -> str:
    """The tank of an address; a round's key stands for the first tank of its round."""
    view = next((each for each in day.rounds if each.key == key), None)
    if view is None:
        return key
    duties = [day.duties[each] for each in view.duties if each in day.duties]
    undone = set(day.undone)
    first = next((duty for duty in duties if duty.key in undone), next(iter(duties), None))
    return first.tank if first else ""


def _say(request: InRoom, *, day: Day, tank: str) -> HttpResponse:
    post, key = request.POST, request.POST.get("animal", "")
    hand = hand_of(request)
    try:
        form = posted.form_id(post)
        if "undo" in post:
            answers = weighing.take_back(day=day, hand=hand, key=key, form=form)
        else:
            measures = _measures(request)
            answers = weighing.weighed(
                day=day, hand=hand, key=key, measures=measures, form=form, keep="keep" in post
            )
    except posted.Typed as wrong:
        return _page(request, day=day, tank=tank, said=wrong.sentence, field=wrong.field, status=422)
    except Refused as no:
        keep = no.why is No.WEIGHT_JUMP
        return _page(request, day=day, tank=tank, said=no_words(request, no), keep=keep, status=409)
    if conflict(answers):
        return _page(request, day=day, tank=tank, said=CONFLICT, status=409)
    tell(request, answers)
    name = day.label("resident", key)
    messages.success(request, f"{name}: taken back." if "undo" in post else f"{name}: kept.")
    return redirect(reverse("weigh_tank", args=[tank]) if tank else reverse("weigh"))


def _measures(request: InRoom) -> Mapping[str, float]:
    """What was typed. Raises Typed for nothing at all."""
    found = animal_posted.measures(request.POST, units=request.reader.units)
    if not found:
        raise posted.Typed("Write what the scale shows, in grams: 16.4", field="weight_g")
    return found


def _page(
    request: InRoom,
    *,
    day: Day,
    tank: str,
    said: str = "",
    field: str = "",
    keep: bool = False,
    status: int = 200,
) -> HttpResponse:
    asked = (request.POST if status != 200 else request.GET).get("animal", "")
    view = weighing.weigh_view(day=day, tank=tank, animal=asked)
    here = view.here
    context = {
        "day": day,
        "reach": reach_of(day),
        "view": view,
        "here": [(each, last_words(each), _today_words(each)) for each in here],
        "current": view.current,
        "before": last_words(view.current) if view.current else "",
        "next": _next(view),
        "done": sum(1 for each in here if each.today),
        "tanks": _tanks(day, view),
        "typed": request.POST if status != 200 else {},
        "said": said,
        "field": field,
        "keep": keep,
        "form": posted.new_form,
        "form_id": request.POST.get("form") or posted.new_form(),
        "unit": "mm" if request.reader.units == "metric" else "in",
        "rule": urlencode({"animal": view.current.key}) if view.current else "",
    }
    return render(request, "animals/weigh.html", context, status=status)


def last_words(each: Scale) -> str:
    """'15.6 g 7 days ago, 7 in'; what was never measured says so."""
    last = (each.before if "weight_g" in each.today else each.last).get("weight_g")
    if last is None:
        return "not weighed before"
    return f"{words.weight_words(last.value)}, {_ago(last.days)}"


def _ago(days: int) -> str:
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")


def _today_words(each: Scale) -> str:
    """'16.4 g, up 0.8', of what was weighed today."""
    now = each.today.get("weight_g")
    if now is None:
        return "measured today" if each.today else ""
    before = each.before.get("weight_g")
    if before is None:
        return words.weight_words(now)
    change = now - before.value
    way = "up" if change > 0 else "down"
    moved = f", {way} {words.plain(abs(change))}" if abs(change) >= 0.05 else ", no change"
    return f"{words.weight_words(now)}{moved}"


def _next(view: WeighView) -> Scale | None:
    here = [each for each in view.here if not each.today and each is not view.current]
    return next(iter(here), None)


def _tanks(day: Day, view: WeighView) -> list[tuple[str, str, int, bool]]:
    """Tanks with somebody due: key, name, how many, whether it is the one in hand."""
    due: dict[str, int] = {}
    for each in view.due:
        due[each.tank] = due.get(each.tank, 0) + 1
    return [
        (tank.key, tank.name, due[tank.key], tank.key == view.tank)
        for tank in day.facts.tanks
        if tank.key in due
    ]
