"""What is done with one animal: each act is one form, and what was typed stays when it cannot be."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from roomops.desk import animal_view, company, herd, medicine, partings
from roomops.desk.animal_view import AnimalView
from roomops.desk.day_types import Day
from roomops.desk.editing import label
from roomops.desk.partings import Who
from roomops.desk.refusals import No, Refused
from roomops.planning.room import Status
from roomops.records.models import Resident, Tank
from roomops.screens import animal_posted, posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.signs import BY_KEY
from roomops.screens.templatetags.look import MARKS
from roomops.screens.views.animals import gone
from roomops.screens.views.hands import hand_of

MOST_NOTE = 200
MOST_ORDER = 300
MOST_REASONS = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """One thing that can be done: its heading, the dark button, and who does it."""

    title: str
    button: str
    do: Callable[[InRoom, AnimalView], str]  # returns what is said after it
    to_search: bool = False


@require_http_methods(["GET", "POST"])
def act(request: InRoom, key: str, which: str) -> HttpResponse:
    """Ask, then do it. Where it led away from the animal, the next page says so."""
    day = day_of(request)
    chosen = ACTS.get(which)
    if chosen is None:
        return gone(request, day=day, no=Refused(No.UNKNOWN_KIND, value=which))
    try:
        view = animal_view.animal_view(day=day, key=key)
    except Refused as no:
        return gone(request, day=day, no=no)
    if request.method == "GET":
        return _page(request, day=day, view=view, which=which)
    try:
        said = chosen.do(request, view)
    except posted.Typed as wrong:
        return _page(
            request, day=day, view=view, which=which, said=wrong.sentence, field=wrong.field, status=422
        )
    except Refused as no:
        return _refused(request, day=day, view=view, which=which, no=no)
    messages.success(request, said)
    return redirect("search" if chosen.to_search else "animal", key=key)


def _refused(request: InRoom, *, day: Day, view: AnimalView, which: str, no: Refused) -> HttpResponse:
    said = no_words(request, no)
    return _page(
        request, day=day, view=view, which=which, said=said, looked=no.why is No.SIZES_APART, status=409
    )


def _page(
    request: InRoom,
    *,
    day: Day,
    view: AnimalView,
    which: str,
    said: str = "",
    field: str = "",
    looked: bool = False,
    status: int = 200,
) -> HttpResponse:
    chosen = ACTS[which]
    context = {
        "day": day,
        "reach": reach_of(day),
        "view": view,
        "row": view.row,
        "which": which,
        "title": chosen.title,
        "button": chosen.button,
        "form_of": f"animals/acts/{which}.html",
        "typed": request.POST,
        # What the page showed first: pressing again after a refusal must not hide a change by somebody else.
        "seen": request.POST.get("seen", "") or view.token,
        "said": said,
        "field": field,
        "looked": looked,
        **_more(day=day, view=view, which=which),
    }
    return render(request, "animals/act.html", context, status=status)


def _more(*, day: Day, view: AnimalView, which: str) -> Mapping[str, object]:
    """What a form shows besides."""
    if which in {"move", "isolate"}:
        return _tanks(day=day, view=view, isolated=which == "isolate")
    if which in {"mark", "known"}:
        taken = {each.mark for each in day.animals.values() if each.tank == (view.facts and view.facts.tank)}
        return {"marks": [each for each in sorted(MARKS) if each not in taken]}
    if which == "hold":
        last = day.day + timedelta(days=partings.HOLD_MOST_DAYS)
        return {"first_day": day.day.isoformat(), "last_day": last.isoformat(),
                "usual": (day.day + timedelta(days=7)).isoformat()}  # fmt: skip
    if which == "medicine":
        return {"today": day.day.isoformat(), "vet": day.room.vet}
    if which == "missing":
        return {"sign": BY_KEY.get("lost")}
    return {}


def _tanks(*, day: Day, view: AnimalView, isolated: bool) -> Mapping[str, object]:
    """Tanks that fit, and why the others do not: the care sheets' rules in sentences."""
    there = company.living(room=day.room, day=day.day)
    own = next((each for those in there.values() for each in those if each.key == view.row.key), None)
    if own is None:
        return {"fitting": (), "others": ()}
    ends = view.row.status == Status.QUARANTINE
    fitting, others = [], []
    for tank in Tank.objects.filter(room=day.room, removed_on__isnull=True).order_by(
        "rack__order", "order", "key"
    ):
        if tank.pk == view.row.tank_id and not isolated:
            continue
        stands = Status.ISOLATED.value if isolated else own.status
        if ends and not tank.quarantine and not isolated:
            stands = Status.HERE.value
        coming = [company.heads_of(own, own.heads, status=stands)]
        reasons = company.against(tank=tank, there=there.get(tank.key, ()), coming=coming, looked=True)
        if reasons:
            others.append((tank.name, reasons))
        else:
            fitting.append((tank.key, tank.name, sum(each.heads for each in there.get(tank.key, ()))))
    return {
        "fitting": fitting,
        "others": [(name, reasons) for name, reasons in others[:MOST_REASONS]],
        "more_others": max(0, len(others) - MOST_REASONS),
        "ends_quarantine": ends,
        "days_in": (day.now - view.row.status_since).days,
        "days_asked": view.care.quarantine_days if view.care else None,
    }


# ---------------------------------------------------------------- the acts


def _who(request: InRoom, view: AnimalView) -> Who:
    heads = None
    if view.row.heads > 1 and request.POST.get("heads", "").strip():
        heads = posted.whole(request.POST, "heads", what="number of animals", least=1, most=view.row.heads)
    return Who(key=view.row.key, seen=request.POST.get("seen", ""), heads=heads)


def _note(request: InRoom) -> str:
    return posted.words(request.POST, "note", most=MOST_NOTE)


def _move(request: InRoom, view: AnimalView) -> str:
    to, who = request.POST.get("to", ""), _who(request, view)
    if not to:
        raise posted.Typed("Say where to: pick a tank.", field="to")
    over = view.row.status == Status.QUARANTINE and "over" in request.POST
    moving = herd.Moving(key=who.key, seen=who.seen, heads=who.heads)
    hand = hand_of(request, looked="looked" in request.POST)
    moved = herd.move(hand=hand, moving=[moving], to=to, status=Status.HERE if over else None)
    return f"Moved: {_named(moved)}."


def _named(rows: Sequence[Resident]) -> str:
    return ", ".join(label(row) for row in rows)


def _mark(request: InRoom, view: AnimalView) -> str:
    made = herd.mark_one(
        hand=hand_of(request), key=view.row.key, seen=request.POST.get("seen", ""), mark=_mark_typed(request)
    )
    return f"One is marked: {label(made)}. Its own line of weights and feeds begins now."


def _mark_typed(request: InRoom) -> str:
    return posted.words(request.POST, "mark", what="mark", most=40)


def _mark_lost(request: InRoom, view: AnimalView) -> str:
    herd.mark_lost(hand=hand_of(request), key=view.row.key, seen=request.POST.get("seen", ""))
    return f"{view.label}: nobody is sure which it is, from today on. Its line ends here until somebody is."


def _known(request: InRoom, view: AnimalView) -> str:
    name = posted.words(request.POST, "name", what="name", most=80)
    row = herd.mark_known(
        hand=hand_of(request), key=view.row.key, seen=request.POST.get("seen", ""),
        mark="" if name else _mark_typed(request), name=name,
    )  # fmt: skip
    return f"It is {label(row)}."


def _hold(request: InRoom, view: AnimalView) -> str:
    until = animal_posted.day(request.POST, "until", what="last day of the hold")
    partings.put_on_hold(hand=hand_of(request), who=_who(request, view), note=_note(request), until=until)
    return f"{view.label} is on hold. The day after its last day is said on the room’s page."


def _end_hold(request: InRoom, view: AnimalView) -> str:
    partings.end_hold(hand=hand_of(request), who=_who(request, view))
    return f"The hold of {view.label} is over."


def _isolate(request: InRoom, view: AnimalView) -> str:
    to = request.POST.get("to", "")
    if not to:
        raise posted.Typed("Say where: pick a tank in which it is alone.", field="to")
    partings.isolate(hand=hand_of(request), who=_who(request, view), note=_note(request), to=to)
    return f"{view.label} is isolated: served last, with tools of its own."


def _well(request: InRoom, view: AnimalView) -> str:
    partings.well_again(hand=hand_of(request), who=_who(request, view))
    return f"{view.label} is not isolated any more. Move it when its tank is ready."


def _vet(request: InRoom, view: AnimalView) -> str:
    partings.to_vet(hand=hand_of(request), who=_who(request, view), note=_note(request))
    return f"{view.label} is at the vet: its feeds drop out until it is back."


def _back(request: InRoom, view: AnimalView) -> str:
    partings.back_from_vet(hand=hand_of(request), who=_who(request, view), note=_note(request))
    return f"{view.label} is back. Write down what the vet ordered."


def _missing(request: InRoom, view: AnimalView) -> str:
    partings.missing(hand=hand_of(request), who=_who(request, view), note=_note(request))
    return f"{view.label} is missing: search now, and count the tanks beside it."


def _home(request: InRoom, view: AnimalView) -> str:
    partings.gone_home(hand=hand_of(request), who=_who(request, view), note=_note(request))
    return f"Gone home: {view.label}. Its feeds drop out at once."


def _died(request: InRoom, view: AnimalView) -> str:
    partings.died(hand=hand_of(request), who=_who(request, view), note=_note(request))
    return f"{view.label} died. What to do now stands on Today until each line is settled."


def _medicine(request: InRoom, view: AnimalView) -> str:
    post = request.POST
    ordered = medicine.Ordered(
        as_ordered=posted.words(post, "as_ordered", what="vet’s order", most=MOST_ORDER),
        ordered_by=posted.words(post, "ordered_by", what="vet’s name", most=120),
        times_a_day=posted.whole(post, "times", what="times a day", least=1, most=4),
        from_on=animal_posted.day(post, "from_on", what="first day"),
        until_on=animal_posted.day(post, "until_on", what="last day"),
    )
    medicine.order(hand=hand_of(request), key=view.row.key, seen=post.get("seen", ""), ordered=ordered)
    return "Written down as the vet ordered. Each time it is due stands under Medicine."


def _noted(request: InRoom, view: AnimalView) -> str:
    text = posted.words(request.POST, "note", most=1000)
    partings.note(hand=hand_of(request), who=_who(request, view), text=text)
    return "Noted."


ACTS: Mapping[str, Act] = {
    "move": Act(title="Move", button="Move", do=_move),
    "mark": Act(title="Mark one", button="Mark this one", do=_mark),
    "mark-lost": Act(title="Not sure which it is", button="Nobody is sure", do=_mark_lost),
    "known": Act(title="We are sure which it is", button="It is this one", do=_known),
    "hold": Act(title="Hold for somebody", button="Hold", do=_hold),
    "end-hold": Act(title="End the hold", button="End the hold", do=_end_hold),
    "isolate": Act(title="Isolate", button="Isolate now", do=_isolate),
    "well": Act(title="Well again", button="Well again", do=_well),
    "vet": Act(title="To the vet", button="It is at the vet", do=_vet),
    "back": Act(title="Back from the vet", button="It is back", do=_back),
    "missing": Act(title="Can’t find it", button="It is missing", do=_missing, to_search=True),
    "home": Act(title="Gone home", button="Gone home now", do=_home),
    "note": Act(title="Add a note", button="Keep the note", do=_noted),
    "died": Act(title="It died", button="It died", do=_died),
    "medicine": Act(title="Medicine from the vet", button="Keep the order", do=_medicine),
}


@require_http_methods(["POST"])
def stop_medicine(request: InRoom, order_key: str) -> HttpResponse:
    """The vet stopped a medicine."""
    try:
        medicine.stop(hand=hand_of(request), order_key=order_key)
        messages.success(request, "Stopped from today on.")
    except Refused as no:
        messages.error(request, no_words(request, no))
    return redirect(reverse("medicine"))
