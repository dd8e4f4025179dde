"""Medicine of today, as the vet ordered: given, or not given and why, and who said so."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from roomops.desk import medicine
from roomops.desk.day_types import Day
from roomops.desk.refusals import Refused
from roomops.screens import posted
from roomops.screens.answers import CONFLICT, conflict, day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.views.hands import hand_of

MOST_WHY = 200


@require_http_methods(["GET", "POST"])
def today(request: InRoom, round_key: str = "") -> HttpResponse:
    """Everything that is ordered today, animal by animal. ``round_key``: as a round's link opens it."""
    del round_key
    day = day_of(request)
    if request.method == "GET":
        return _page(request, day=day)
    post = request.POST
    try:
        given, why = _given(request)
        number = posted.whole(post, "number", what="time of the day", least=1, most=4)
        answers = medicine.say_dose(
            day=day, hand=hand_of(request), order_key=post.get("order", ""), number=number, given=given,
            why=why, form=posted.form_id(post),
        )  # fmt: skip
    except posted.Typed as wrong:
        return _page(request, day=day, said=wrong.sentence, status=422)
    except Refused as no:
        return _page(request, day=day, said=no_words(request, no), status=409)
    if conflict(answers):
        return _page(request, day=day, said=CONFLICT, status=409)
    tell(request, answers)
    return redirect("medicine")


def _given(request: InRoom) -> tuple[bool, str]:
    """Given, or not and why. Raises Typed."""
    why = posted.words(request.POST, "why", what="reason", most=MOST_WHY)
    given = request.POST.get("given") == "yes"
    if not given and not why:
        raise posted.Typed("Say why it was not given: the vet asks.", field="why")
    return given, why


def _page(request: InRoom, *, day: Day, said: str = "", status: int = 200) -> HttpResponse:
    orders = medicine.today(day=day)
    to_give = [dose.duty for each in orders if each.here for dose in each.doses if dose.given is None]
    context = {
        "day": day,
        "reach": reach_of(day),
        "orders": orders,
        "left": len(to_give),
        "first": next(iter(to_give), ""),
        "typed": request.POST,
        "at": f"{request.POST.get('order', '')}/{request.POST.get('number', '')}",
        "said": said,
        "form": posted.new_form,
    }
    return render(request, "animals/medicine.html", context, status=status)
