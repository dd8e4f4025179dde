"""Lamps: what has blown, what is due, what hangs where; one fixture."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from roomops.desk import lamp_views
from roomops.desk import lamps as desk
from roomops.desk.day_types import Day
from roomops.desk.lamp_rules import TYPES, Missing
from roomops.desk.lamp_views import LampsView, LampView
from roomops.desk.lamps import Change, Hanging
from roomops.desk.refusals import Refused
from roomops.records.models import LampKind
from roomops.screens import lamp_words, posted, stock_posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of

SOON_MOST = 8  # UV lamps that are not due yet, before the rest is folded away


@require_http_methods(["GET", "POST"])
def lamps(request: InRoom) -> HttpResponse:
    """What is blown, due or not as it must be; UV soonest first; day lamps and night heat of a rack."""
    if request.method == "POST":
        return _blown(request)
    return _list(request)


def _blown(request: InRoom) -> HttpResponse:
    key = request.POST.get("blown", "")
    try:
        desk.blown(room=request.room, lamp=key, now=request.now, by=request.person)
    except Refused as no:
        return _list(request, said=no_words(request, no), status=409)
    return redirect("lamp", lamp_key=key)


def _list(request: InRoom, *, said: str = "", status: int = 200) -> HttpResponse:
    day = day_of(request)
    view = lamp_views.lamps_view(day=day)
    uv = sorted(view.of(LampKind.UV), key=lambda lamp: (lamp.due is None, lamp.due, lamp.key))
    calm = [lamp for lamp in uv if not lamp.state]
    rack = _rack(request, view)
    context = _context(day) | {
        "view": view,
        "blown": [_shown(lamp) for lamp in view.lamps if lamp.blown_at is not None],
        "due": [_shown(lamp) for lamp in uv if lamp.state in {"late", "next"}],
        "calm": [_shown(lamp) for lamp in calm[:SOON_MOST]],
        "rest": [_shown(lamp) for lamp in calm[SOON_MOST:]],
        "warned": [_shown(lamp) for lamp in view.lamps if lamp.missing],
        "here": [_shown(lamp) for lamp in view.lamps if lamp.rack == rack and lamp.kind != LampKind.UV],
        "racks": [(each.key, each.name) for each in day.facts.racks],
        "rack": rack,
        "said": said,
    }
    return render(request, "lamps/lamps.html", context, status=status)


@require_http_methods(["GET", "POST"])
def lamp(request: InRoom, lamp_key: str) -> HttpResponse:
    """One fixture: blown, a spare put in, what is written of it, whose hours it keeps."""
    said, field, status = "", "", 200
    if request.method == "POST":
        try:
            told = _lamp_said(request, lamp_key)
        except posted.Typed as wrong:
            said, field, status = wrong.sentence, wrong.field, 422
        except Refused as no:
            said, status = no_words(request, no), 409
        else:
            messages.success(request, told)
            return redirect("lamps") if "take_off" in request.POST else redirect("lamp", lamp_key=lamp_key)
    day = day_of(request)
    view = lamp_views.lamps_view(day=day)
    try:
        found = lamp_views.lamp_of(view=view, key=lamp_key)
    except Refused as no:
        context = _context(day) | {"said": said or no_words(request, no)}
        return render(request, "lamps/no_lamp.html", context, status=404)
    context = _context(day) | _fixture(view, found, typed=request.POST if said else None)
    context |= {
        "said": said,
        "field": field,
        "asks": Missing.ASK in found.missing or Missing.APART in found.missing,
    }
    return render(request, "lamps/lamp.html", context, status=status)


def _lamp_said(request: InRoom, key: str) -> str:
    """Keep what one press of a fixture's page said. Returns what to tell."""
    post = request.POST
    hand: dict[str, Any] = {"room": request.room, "lamp": key, "now": request.now, "by": request.person}
    if "blown" in post:
        desk.blown(**hand)
        return "Blown: written down."
    if "burns" in post:
        desk.not_blown(**hand)
        return "It burns: written down."
    if "spare" in post:
        change = Change(lamp=key, spare=post["spare"], seen=_number(post.get("seen", "")))
        new = desk.replace(day=day_of(request), change=change, form=posted.form_id(post), by=request.person)
        return f"{new.name} hangs there from today. Read the basking side half an hour after it is lit."
    if "timer" in post:
        desk.burns_with(timer=post["timer"], **hand)
        return "Kept: it burns by that timer."
    if "take_off" in post:
        desk.take_off(**hand)
        return f"{key} hangs there no more."
    desk.write_down(hanging=_hanging(request), **hand)
    return "Written down."


@require_http_methods(["GET", "POST"])
def new(request: InRoom) -> HttpResponse:
    """A fixture is hung on a tank."""
    said, field, status = "", "", 200
    if request.method == "POST":
        try:
            made = desk.hang(room=request.room, hanging=_hanging(request), now=request.now, by=request.person)
        except posted.Typed as wrong:
            said, field, status = wrong.sentence, wrong.field, 422
        except Refused as no:
            said, status = no_words(request, no), 409
        else:
            messages.success(request, f"{made.name} is written down as {made.key}.")
            return redirect("lamp", lamp_key=made.key)
    day = day_of(request)
    context = _context(day) | _choices(day) | {"said": said, "field": field}
    asked = request.POST if said else request.GET
    return render(request, "lamps/new.html", context | {"typed": asked}, status=status)


# ---------------------------------------------------------------- what was typed


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else 0


def _hanging(request: InRoom) -> Hanging:
    post = request.POST
    kind, _, type_ = post.get("lamp", "").partition("/")
    name = posted.words(post, "name", what="name", most=80)
    watts = _watts(post, "watts", "watts of what burns in it")
    if not name:
        name = (
            f"{lamp_words.KIND.get(kind, 'Lamp')} {watts} W" if watts else lamp_words.KIND.get(kind, "Lamp")
        )
    return Hanging(
        tanks=[each for each in post.getlist("tank") if each],
        kind=kind,
        type=type_,
        name=name,
        watts=watts,
        rated_watts=_watts(post, "rated", "highest watts of the fixture"),
        thermostat="thermostat" in post,
        probe="probe" in post,
        fitted_on=stock_posted.maybe_day(post, "fitted", what="day it was fitted"),
        key=posted.words(post, "key", what="name on the fixture", most=40),
    )


def _watts(post: QueryDict, name: str, what: str) -> int | None:
    if not post.get(name, "").strip():
        return None
    return posted.whole(post, name, what=what, least=1, most=desk.WATTS_MOST)


# ---------------------------------------------------------------- parts of pages


def _context(day: Day) -> dict[str, Any]:
    return {"day": day, "reach": reach_of(day), "form": posted.new_form}


def _choices(day: Day) -> dict[str, Any]:
    return {
        "tanks": [(each.key, each.name) for each in day.facts.tanks],
        "kinds": [
            (f"{kind}/{type_}", f"{lamp_words.KIND[kind]}: {type_.label}")
            for kind, types in TYPES.items()
            for type_ in types
        ],
    }


def _rack(request: InRoom, view: LampsView) -> str:
    racks = [each.key for each in view.day.facts.racks]
    asked = request.GET.get("rack", "")
    return asked if asked in racks else next(iter(racks), "")


def _shown(lamp: LampView) -> dict[str, Any]:
    return {
        "lamp": lamp,
        "due": lamp_words.due_words(lamp),
        "age": lamp_words.age_words(lamp),
        "spare": lamp_words.spare_words(lamp),
        "watts": lamp_words.watts_words(lamp),
        "kind": lamp_words.KIND[lamp.kind],
        "missing": [lamp_words.MISSING[each] for each in lamp.missing],
    }


def _fixture(view: LampsView, found: LampView, *, typed: QueryDict | None) -> dict[str, Any]:
    written = {
        "lamp": f"{found.kind}/{found.type}",
        "tank": found.tank,
        "name": found.name,
        "watts": found.watts or "",
        "rated": found.rated_watts or "",
        "thermostat": found.thermostat,
        "probe": found.probe,
        "fitted": found.fitted_on.isoformat() if found.fitted_on else "",
    }
    return (
        _choices(view.day)
        | _shown(found)
        | {
            "view": view,
            "spares": [(each, lamp_words.FIT[each.fit]) for each in found.spares if each.fit is not None],
            "others": [
                each for each in view.spares if each.batch not in {fits.batch for fits in found.spares}
            ],
            "typed": typed if typed is not None and "lamp" in typed else written,
        }
    )
