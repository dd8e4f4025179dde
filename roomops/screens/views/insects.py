"""What is on the shelf: insects by kind and size, other stock, what to order and why."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from roomops.desk import chores, stock, stock_views
from roomops.desk.day_types import Day
from roomops.desk.refusals import Refused
from roomops.desk.stock_kinds import INSECT, KINDS, Kind
from roomops.papers.amounts import prey_words
from roomops.planning.orders import CLASSES_MM
from roomops.screens import posted, stock_posted, stock_shown, stock_words
from roomops.screens.answers import day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.stock_words import amount_words, thing_words

WHYS = ("dead", "too old", "spoiled", "not fit to use")
PAD = ("1", "2", "3", "4", "5", "6", "7", "8", "9")
DIGITS_MOST = 6
GROUPS = (
    ("Insects", (INSECT,)),
    ("Rodents and other prey", ("rodent", "soft prey", "fish", "egg")),
    ("Greens", ("greens",)),
    ("Powders and pellets", ("powder", "powder meal", "pellets")),
    ("Bulbs, tubes and heaters", ("bulb",)),
    ("Cleaning", ("disinfectant", "gloves")),
)


@require_http_methods(["GET", "POST"])
def shelf(request: InRoom) -> HttpResponse:
    """The shelf, the order list, what thaws tonight, and other stock."""
    if request.method == "GET":
        return _shelf(request)
    done = [request.POST.get("done", "")]
    try:
        form = posted.form_id(request.POST)
        answers = chores.done(day=day_of(request), duties=done, by=request.person, form=form)
    except posted.Typed as wrong:
        return _shelf(request, said=wrong.sentence, status=422)
    except Refused as no:
        return _shelf(request, said=no_words(request, no), status=409)
    tell(request, answers)
    return redirect("insects")


def _shelf(request: InRoom, *, said: str = "", status: int = 200) -> HttpResponse:
    day = day_of(request)
    view = stock_views.shelf_view(day=day)
    shown = [stock_shown.shown(each, request.reader) for each in view.things]
    insects = [each for each in shown if each.view.thing.category == INSECT]
    sizes = [mm for mm in CLASSES_MM if any(each.view.thing.size_mm == mm for each in insects)]
    context = _context(request, day) | {
        "view": view,
        "sizes": [
            (stock_shown.inches(mm, request.reader), f"{mm:.0f} mm" if request.reader.units == "us" else "")
            for mm in sizes
        ],
        "rows": stock_shown.rows(insects, sizes),
        "insects": insects,
        "other": [each for each in shown if each.view.thing.category != INSECT],
        "lines": stock_shown.lines_of(view, request.reader),
        "without": stock_shown.without(view, request.reader),
        "thaw": stock_shown.thaw_of(view),
        "batches": [
            (each, batch, amount_words(amount=batch.on_hand, unit=batch.unit, units=request.reader.units))
            for each in shown
            for batch in each.view.batches
        ],
    }
    return render(request, "insects/shelf.html", context | {"said": said}, status=status)


@require_GET
def order(request: InRoom) -> HttpResponse:
    """The order list alone, to print or to copy."""
    day = day_of(request)
    view = stock_views.shelf_view(day=day)
    context = _context(request, day) | {
        "lines": stock_shown.lines_of(view, request.reader),
        "without": stock_shown.without(view, request.reader),
    }
    return render(request, "insects/order.html", context)


@require_http_methods(["GET", "POST"])
def least(request: InRoom) -> HttpResponse:
    """The least that is kept of each thing."""
    day = day_of(request)
    said, status = "", 200
    if request.method == "POST":
        try:
            kept = stock_posted.keep(request.POST, units=request.reader.units)
            stock.keep_least(room=request.room, keep=kept, now=request.now, by=request.person)
        except posted.Typed as wrong:
            said, status = wrong.sentence, 422
        except Refused as no:
            said, status = no_words(request, no), 409
        else:
            messages.success(request, "Kept.")
            return redirect("insects_least")
    view = stock_views.shelf_view(day=day)
    context = _context(request, day) | {
        "things": [stock_shown.shown(each, request.reader) for each in view.things],
        "groups": _kinds(),
        "said": said,
        "typed": request.POST if said else None,
    }
    return render(request, "insects/least.html", context, status=status)


@require_http_methods(["GET", "POST"])
def receive(request: InRoom) -> HttpResponse:
    """A delivery comes: first what it is, then how much and from whom."""
    day = day_of(request)
    asked = request.POST if request.method == "POST" else request.GET
    kind = KINDS.get(asked.get("kind", ""))
    if request.method == "GET" or kind is None:
        return _receive_page(request, day, kind=kind)
    try:
        coming = stock_posted.coming(
            request.POST, kind=kind, units=request.reader.units, today=request.now.date()
        )
        batch = stock.receive(
            room=request.room,
            coming=coming,
            form=posted.form_id(request.POST),
            now=request.now,
            by=request.person,
        )
    except posted.Typed as wrong:
        return _receive_page(request, day, kind=kind, said=wrong.sentence, field=wrong.field, status=422)
    except Refused as no:
        return _receive_page(request, day, kind=kind, said=no_words(request, no), status=409)
    messages.success(request, f"{batch.name} is on the shelf as {batch.key}: write {batch.key} on the bin.")
    return redirect("insects")


@require_http_methods(["GET", "POST"])
def batch(request: InRoom, batch_key: str) -> HttpResponse:
    """One batch: count it, throw out, open it; and its whole ledger."""
    day = day_of(request)
    said, field, status = "", "", 200
    if request.method == "POST":
        try:
            told = _batch_said(request, batch_key)
        except posted.Typed as wrong:
            said, field, status = wrong.sentence, wrong.field, 422
        except Refused as no:
            said, status = no_words(request, no), 409
        else:
            messages.success(request, told)
            return redirect("insects")
    try:
        view, lines = stock_views.batch_view(day=day, key=batch_key)
    except Refused as no:
        context = _context(request, day) | {"said": said or no_words(request, no)}
        return render(request, "insects/no_batch.html", context, status=404)
    units = request.reader.units
    typed = _digits(request.GET.get("n", ""))
    context = _context(request, day) | {
        "batch": view,
        "name": thing_words(thing=view.thing, units=units, name=view.name),
        "left": amount_words(amount=view.on_hand, unit=view.unit, units=units),
        "plain": f"{view.on_hand:g}",
        "size": prey_words(mm=view.size_mm, units=units) if view.size_mm else "",
        "kind": KINDS.get(view.thing.kind),
        "lines": [
            (line, stock_shown.change_words(line.change, view.unit, units),
             amount_words(amount=line.left, unit=view.unit, units=units), stock_words.LEDGER[line.reason])
            for line in lines
        ],
        "typed": typed,
        "pad": [(digit, (typed + digit)[:DIGITS_MOST]) for digit in PAD],
        "zero": (typed + "0")[:DIGITS_MOST],
        "shorter": typed[:-1],
        "whys": WHYS,
        "said": said,
        "field": field,
        "post": request.POST if said else None,
    }  # fmt: skip
    return render(request, "insects/batch.html", context, status=status)


def _batch_said(request: InRoom, key: str) -> str:
    """Keep what one press of a batch's page said. Returns what to tell."""
    post, units = request.POST, request.reader.units
    form = posted.form_id(post)
    hand: dict[str, Any] = {"room": request.room, "batch": key, "now": request.now, "by": request.person}
    if "open" in post:
        stock.open_it(on=stock_posted.day(post, "opened", what="day it was opened"), **hand)
        return "Opened: written down."
    if "empty" in post:
        stock.close(form=form, **hand)
        return f"{key} is empty and off the shelf."
    unit = post.get("unit", "each")
    if "throw" in post:
        amount = stock_posted.amount(post, "thrown", what="amount thrown out", unit=unit)
        stock.throw_out(amount=amount, form=form, why=posted.words(post, "why", most=120), **hand)
        return f"Thrown out: {amount_words(amount=amount, unit=unit, units=units)} of {key}."
    name = "as_written" if "as_written" in post else "amount"
    amount = stock_posted.amount(post, name, what="count", unit=unit, least=0)
    change = stock.count(amount=amount, form=form, **hand)
    counted = f"{key}: {amount_words(amount=amount, unit=unit, units=units)} counted"
    return counted + (
        ", as written." if not change else f", {stock_shown.change_words(change, unit, units)}."
    )


# ---------------------------------------------------------------- parts of pages


def _digits(text: str) -> str:
    """What was pressed on the pad so far; nothing else is taken."""
    return text[:DIGITS_MOST].lstrip("0") if text.isascii() and text.isdecimal() else ""


def _context(request: InRoom, day: Day) -> dict[str, Any]:
    return {"day": day, "reach": reach_of(day), "form": posted.new_form, "units": request.reader.units}


def _kinds() -> list[tuple[str, list[Kind]]]:
    return [
        (word, [kind for kind in KINDS.values() if kind.category in categories])
        for word, categories in GROUPS
    ]


def _receive_page(
    request: InRoom, day: Day, *, kind: Kind | None, said: str = "", field: str = "", status: int = 200
) -> HttpResponse:
    context = _context(request, day) | {
        "kind": kind,
        "word": stock_words.many(kind.kind) if kind else "",
        "groups": [
            (word, [(each, stock_words.many(each.kind)) for each in kinds]) for word, kinds in _kinds()
        ],
        "sizes": [(f"{mm:g}", stock_shown.inches(mm, request.reader)) for mm in CLASSES_MM],
        "today": request.now.date().isoformat(),
        "said": said,
        "field": field,
        "typed": request.POST if said else QueryDict(),
    }
    return render(request, "insects/receive.html", context, status=status)
