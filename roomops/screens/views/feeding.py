"""Feed rounds: the list of the day, one tray as it stands on the counter, and feeds given in the tank."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from roomops.desk import feeding
from roomops.desk.day_types import Day, ShortView, Status
from roomops.desk.entries import Answer
from roomops.desk.refusals import No, Refused
from roomops.desk.tray import tray_view
from roomops.desk.tray_types import TrayView, TubState, TubView
from roomops.planning.room import DutyKind
from roomops.screens import posted, tank_feeds, trays
from roomops.screens.answers import conflict, day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.tray_strip import STEPS

MOST_NOTE = 200


# ---------------------------------------------------------------- the list


@require_GET
def rounds(request: InRoom) -> HttpResponse:
    """All feed rounds of the day, what wants hands first."""
    day = day_of(request)
    feeds = [view for view in day.rounds if view.round.kind is DutyKind.FEED]
    order = {Status.LATE: 0, Status.UNDER_WAY: 1, Status.NEXT: 2, Status.LATER: 3, Status.DONE: 4}
    now = sorted((v for v in feeds if v.out), key=lambda v: v.starts)
    rest = [view for view in feeds if not view.out]
    rest.sort(key=lambda v: (order[v.status], v.starts, v.number))
    short = [each for each in day.unplaced if each.duty.kind is DutyKind.FEED]
    context = {
        "day": day,
        "reach": reach_of(day),
        "out": now,
        "open": [v for v in rest if v.status not in {Status.DONE, Status.LATER}],
        "later": [v for v in rest if v.status is Status.LATER],
        "done": [v for v in rest if v.status is Status.DONE],
        "short": short,
        "short_tanks": _by_slot(day, short),
        "short_animals": sum(each.duty.heads for each in short),
        "animals_out": sum(view.out for view in now),
        "nobody": not day.presences,
        "no_tubs": not day.facts.tubs,
    }
    return render(request, "feeding/rounds.html", context)


def _by_slot(day: Day, short: Sequence[ShortView]) -> list[tuple[int, list[str]]]:
    """The tanks whose animals miss a feed, by feed."""
    tanks: dict[int, dict[str, None]] = {}
    for each in short:
        tanks.setdefault(each.duty.slot, {})[day.label("tank", each.duty.tank)] = None
    return [(slot, list(names)) for slot, names in sorted(tanks.items())]


# ---------------------------------------------------------------- one tray


@require_http_methods(["GET", "POST"])
def tray(request: InRoom, round_key: str) -> HttpResponse:
    """One round: a tray, or feeds given in tanks. A press comes back to its tub."""
    day = day_of(request)
    try:
        view = tray_view(day=day, round_key=round_key)
    except Refused as no:
        return gone(request, day=day, no=no)
    if request.method == "POST":
        return _press(request, tray=view)
    return _page(request, tray=view)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressed:
    """A press on the page of one round, ready for the desk."""

    request: InRoom
    tray: TrayView

    def common(self) -> dict[str, Any]:
        """What every use case takes."""
        return {
            "day": self.tray.day,
            "round_key": self.tray.view.key,
            "by": self.request.person,
            "form": posted.form_id(self.request.POST),
        }

    def tub(self) -> TubView:
        """The place that was pressed. Raises Refused(UNKNOWN_SEAT)."""
        return place(self.tray, self.request.POST.get("tub", ""))

    def head(self) -> dict[str, Any]:
        """The same, and whose place it is."""
        tub = self.tub()
        return self.common() | {"duty": tub.duty, "head": tub.head}


def place(tray: TrayView, number: str) -> TubView:
    """Return the place with this number. Raises Refused(UNKNOWN_SEAT)."""
    found = next((tub for tub in tray.tubs if str(tub.number) == number), None)
    if found is None:
        raise Refused(No.UNKNOWN_SEAT, value=number)
    return found


def _count(press: Pressed) -> tuple[Answer, ...]:
    tub, post = press.tub(), press.request.POST
    most = tub.offered + tub.more
    at_least = post.get("left", "").endswith("+")
    asked = post.copy()
    asked["left"] = post.get("left", "").removesuffix("+")
    left = posted.whole(asked, "left", what="number left", least=0, most=most, field=f"left-{tub.number}")
    return feeding.count(**press.head(), left=left, at_least=at_least, **posted.seen(post))


def _agree(press: Pressed) -> tuple[Answer, ...]:
    tub = press.tub()
    most = tub.offered + tub.more
    left = posted.whole(press.request.POST, "agree", what="number left", least=0, most=most)
    return feeding.agree(**press.head(), left=left)


def _more(press: Pressed) -> tuple[Answer, ...]:
    tub = press.tub()
    more = posted.whole(press.request.POST, "more", what="number of more", least=1, most=99)
    left = (tub.left or 0) + more
    return feeding.more(**press.head(), more=tub.more + more, left=left)


def _to_tubs(press: Pressed) -> tuple[Answer, ...]:
    """All that may: those whose tank reads low stay where they are."""
    low = {reading.tank for reading in press.tray.basking if reading.out == "low"}
    waiting = [tub for tub in press.tray.tubs if tub.state is TubState.PLANNED]
    may = [tub.key for tub in waiting if tub.tank not in low]
    if low and may:
        return feeding.to_tubs(**press.common(), tubs=may)
    return feeding.to_tubs(**press.common())


def _unknown(press: Pressed) -> tuple[Answer, ...]:
    raise Refused(No.UNKNOWN_KIND, value=press.request.POST.get("act", ""))


ACTS: Mapping[str, Callable[[Pressed], tuple[Answer, ...]]] = {
    "cups": lambda p: feeding.cups_ready(**p.common()),
    "tubs": _to_tubs,
    "in tub": lambda p: feeding.to_tubs(**p.common(), tubs=(p.tub().key,)),
    "all eaten": lambda p: feeding.all_eaten(**p.common()),
    "count": _count,
    "agree": _agree,
    "refused": lambda p: feeding.refused(**p.head(), **posted.seen(p.request.POST)),
    "more": _more,
    "not counted": lambda p: feeding.not_counted(**p.head()),
    "here": lambda p: feeding.it_is_here(**p.head()),
    "back": lambda p: feeding.back(**p.head(), tank=p.tub().tank),
    "all back": lambda p: feeding.all_back(**p.common()),
    "washed": lambda p: feeding.washed(**p.common(), not_clean=p.request.POST.getlist("not_clean")),
    "finish": lambda p: feeding.finish(**p.common()),
}
NAMED = (("left", "count"), ("agree", "agree"))  # buttons whose name says it all
KEEPS_STEP = frozenset({"count", "agree", "refused", "more", "not counted", "here", "all eaten", "in tub"})


def _press(request: InRoom, *, tray: TrayView) -> HttpResponse:
    act = next((act for field, act in NAMED if field in request.POST), request.POST.get("act", ""))
    try:
        answers = ACTS.get(act, _unknown)(Pressed(request=request, tray=tray))
    except posted.Typed as wrong:
        return _page(request, tray=tray, said=wrong.sentence, field=wrong.field, status=422)
    except Refused as no:
        sentence = no_words(request, no)
        return _page(request, tray=tray, said=sentence, status=409)
    if conflict(answers):
        return show_conflict(request, tray=tray)
    tell(request, answers)
    if act == "finish":
        messages.success(request, f"{tray.tray_name or 'The round'} is finished.")
        return redirect("today")
    return _back_to(request, tray=tray, act=act)


def _back_to(request: InRoom, *, tray: TrayView, act: str) -> HttpResponse:
    """Back to where it was pressed, so that the eye stays on the same tub."""
    step = request.POST.get("step", "") if act in KEEPS_STEP else ""
    number = request.POST.get("tub", "")
    address = reverse("feeding_round", args=[tray.view.key])
    address += "?" + urlencode({"step": step}) if step in STEPS else ""
    return redirect(address + (f"#tub-{int(number)}" if number.isascii() and number.isdecimal() else ""))


def show_conflict(request: InRoom, *, tray: TrayView) -> HttpResponse:
    """Show both: what is kept, and that something else came under the same press."""
    fresh = tray_view(day=day_of(request), round_key=tray.view.key)
    number = request.POST.get("tub", "")
    where = f"Tub {number}: s" if number else "S"
    said = (
        f"{where}omething else was kept from this same page before. Both are kept: "
        "the first one counts until somebody has looked."
    )
    return _page(request, tray=fresh, said=said, clash=number or "all", status=409)


def _page(
    request: InRoom, *, tray: TrayView, said: str = "", field: str = "", clash: str = "", status: int = 200
) -> HttpResponse:
    asked = request.POST if request.method == "POST" else request.GET
    context: dict[str, object] = {
        "day": tray.day,
        "reach": reach_of(tray.day),
        "tray": tray,
        "said": said,
        "field": field,
        "clash": clash,
        "typed": request.POST,
        "form": posted.new_form,
    }
    if not tray.in_tubs:
        page = tank_feeds.tank_page(tray=tray, opened=asked.get("open", ""))
        return render(request, "feeding/tanks.html", context | {"page": page}, status=status)
    drawn = trays.tray_page(tray=tray, step=asked.get("step", ""), opened=asked.get("open", ""))
    return render(request, "feeding/tray.html", context | {"page": drawn}, status=status)


def gone(request: InRoom, *, day: Day, no: Refused) -> HttpResponse:
    """A round that is not in the plan any more: say so, with the way on."""
    context = {
        "day": day,
        "reach": reach_of(day),
        "said": no_words(request, no),
    }
    return render(request, "feeding/gone.html", context, status=404)
