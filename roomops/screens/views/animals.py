"""All animals a page at a time, one animal, and a new one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import django_tables2 as tables
from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET, require_http_methods

from roomops.desk import animal_view, herd
from roomops.desk.animal_view import AnimalView
from roomops.desk.day_types import Day
from roomops.desk.refusals import No, Refused
from roomops.papers import words
from roomops.planning.room import FED, Status
from roomops.records.models import Resident
from roomops.records.names import display_name
from roomops.records.sheets import sheets
from roomops.screens import animal_posted, charts, concerns, posted
from roomops.screens.answers import day_of, no_words
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.templatetags.look import MARKS, tape
from roomops.screens.views.hands import hand_of

PAGE_ROWS = 40
MOST_NAME, MOST_MARK = 80, 40
KINDS_OF_START = ((Status.HERE, "Here"), (Status.QUARANTINE, "In quarantine"), (Status.STORE, "Store animal"))


class AnimalTable(tables.Table):
    """The room's animals in walking order; nothing is sorted by the reader."""

    name = tables.Column(empty_values=(), orderable=False, verbose_name="Animal")
    kind = tables.Column(orderable=False)
    tank = tables.Column(accessor="tank__name", verbose_name="Tank", orderable=False, default="–")
    status = tables.Column(orderable=False, verbose_name="Stands")
    heads = tables.Column(orderable=False, verbose_name="Heads", attrs={"td": {"class": "num"}})
    hatched_on = tables.Column(orderable=False, verbose_name="Hatched", default="not known")
    open = tables.Column(empty_values=(), orderable=False, verbose_name="")

    class Meta:
        attrs = {"class": "desk"}
        template_name = "animals/table.html"
        empty_text = "No animal fits: look for another name, mark, tank or kind."

    def render_name(self, record: Resident) -> SafeString:
        return tape(_name(record), record.mark)

    def render_status(self, record: Resident) -> str:
        until = f" to {words.date_words(record.status_until)}" if record.status_until else ""
        said = words.STATUS[Status(record.status)]
        return f"{said[:1].upper()}{said[1:]}{until}"

    def render_hatched_on(self, value: date) -> str:
        return f"{words.date_words(value)}, {value.year}"

    def render_open(self, record: Resident) -> SafeString:
        return format_html(
            '<a class="b" href="{}" aria-label="Open {}">Open</a>',
            reverse("animal", args=[record.key]), _name(record),
        )  # fmt: skip


def _name(row: Resident) -> str:
    return display_name(resident=row, tank=row.tank.name if row.tank else "")


@require_GET
def animals(request: InRoom) -> HttpResponse:
    """Everybody, or those that a word fits, forty a page. One that fits alone opens at once."""
    day = day_of(request)
    asked = " ".join(request.GET.get("q", "").split())[:80]
    gone = "gone" in request.GET
    rows = animal_view.residents(day=day, asked=asked, gone=gone)
    table = AnimalTable(rows)
    number = request.GET.get("page", "1")
    # The last page stands in for one that is not there: a list may have grown shorter meanwhile.
    table.paginate(page=1, per_page=PAGE_ROWS)
    wanted = int(number) if number.isascii() and number.isdecimal() and len(number) < 6 else 1
    table.paginate(page=min(max(wanted, 1), table.paginator.num_pages), per_page=PAGE_ROWS)
    if asked and table.paginator.count == 1:
        return redirect("animal", key=table.page.object_list[0].record.key)
    context = {
        "day": day,
        "reach": reach_of(day),
        "table": table,
        "asked": asked,
        "gone": gone,
        "count": table.paginator.count,
    }
    return render(request, "animals/list.html", context)


# ---------------------------------------------------------------- one animal


@require_GET
def animal(request: InRoom, key: str) -> HttpResponse:
    """One animal, with what can be done."""
    day = day_of(request)
    try:
        view = animal_view.animal_view(day=day, key=key)
    except Refused as no:
        return gone(request, day=day, no=no)
    return render(request, "animals/animal.html", _context(request, day=day, view=view))


def gone(request: InRoom, *, day: Day, no: Refused) -> HttpResponse:
    """What was asked for is not of this room."""
    context = {"day": day, "reach": reach_of(day), "said": no_words(request, no)}
    return render(request, "room/gone.html", context, status=404)


def _context(request: InRoom, *, day: Day, view: AnimalView) -> dict[str, object]:
    weight, change = view.last("weight_g"), view.change("weight_g")
    return {
        "day": day,
        "reach": reach_of(day),
        "view": view,
        "row": view.row,
        "age": age_words(view.age_days),
        "weight": weight,
        "change": _change_words(change),
        "length": view.last("length_mm"),
        "fellows": _fellow_words(view),
        "words": concerns.shown(day, view.concerns),
        "chart": charts.weight_chart(points=view.numbers.get("weight_g", ()), zone=day.zone),
        "eaten": charts.eaten_chart(view.eaten),
        "feeds": [(duty, _portion(duty, request)) for duty in view.feeds],
        "ways": acts_of(view),
        "girth": view.last("girth_mm"),
        "form": posted.new_form,
    }


def _portion(duty: object, request: InRoom) -> str:
    portion = getattr(duty, "portion", None)
    return words.portion_words(portion=portion, units=request.reader.units, both=False)


def age_words(days: int | None) -> str:
    """'8 weeks', '5 months', '4 years'; '' where the hatch day is not known."""
    if days is None or days < 0:
        return ""
    if days < 14:
        return words.count_words(days, "day")
    if days < 120:
        return words.count_words(days // 7, "week")
    if days < 730:
        return words.count_words(days * 12 // 365, "month")
    return words.count_words(days // 365, "year")


def _change_words(change: tuple[float, int] | None) -> str:
    """'up 0.8 g in 7 days', 'down 0.3 g in 7 days', 'the same as 7 days before'."""
    if change is None:
        return ""
    grams, days = change
    stretch = words.count_words(days, "day")
    if abs(grams) < 0.05:
        return f"the same as {stretch} before"
    return f"{'up' if grams > 0 else 'down'} {words.weight_words(abs(grams))} in {stretch}"


def _fellow_words(view: AnimalView) -> str:
    if not view.fellow_heads:
        return "alone"
    return f"with {view.fellow_heads} other{'' if view.fellow_heads == 1 else 's'}"


def acts_of(view: AnimalView) -> Sequence[tuple[str, str]]:
    """What can be done with an animal as it stands: the act's address and its words."""
    row = view.row
    status = Status(row.status)
    if not view.here:
        return ()
    acts = [("move", "Move")]
    if row.identity == "unmarked":
        acts.append(("mark", "Mark one"))
    elif row.identity == "unsure":
        acts.append(("known", "We are sure which it is"))
    else:
        acts.append(("mark-lost", "Not sure which it is"))
    acts += {
        Status.ON_HOLD: [("end-hold", "End the hold")],
        Status.ISOLATED: [("well", "Well again")],
        Status.AT_VET: [("back", "Back from the vet")],
        Status.MISSING: [],
    }.get(status, [("hold", "Hold for somebody")])
    if status in FED:
        acts += [] if status is Status.ISOLATED else [("isolate", "Isolate")]
        acts += [("vet", "To the vet"), ("missing", "Can’t find it"), ("home", "Gone home")]
    return (("note", "Add a note"), *acts, ("medicine", "Medicine from the vet"), ("died", "It died"))


# ---------------------------------------------------------------- a new one


@require_http_methods(["GET", "POST"])
def new(request: InRoom) -> HttpResponse:
    """Add an animal by hand; nothing typed is lost when something cannot be."""
    day = day_of(request)
    if request.method == "GET":
        return _new_page(request, day=day, typed=request.GET)
    post = request.POST
    try:
        made = herd.add(hand=hand_of(request, looked="looked" in post), new=_newcomer(request))
    except posted.Typed as wrong:
        return _new_page(request, day=day, typed=post, said=wrong.sentence, field=wrong.field, status=422)
    except Refused as no:
        looked = no.why is No.SIZES_APART
        said = no_words(request, no)
        return _new_page(request, day=day, typed=post, said=said, looked=looked, status=409)
    messages.success(request, f"{_name(made)} is entered: {made.kind}.")
    return redirect("animal", key=made.key)


def _newcomer(request: InRoom) -> herd.Newcomer:
    post, day = request.POST, request.now.date()
    name = posted.words(post, "name", what="name", most=MOST_NAME)
    mark = posted.words(post, "mark", what="mark", most=MOST_MARK)
    if name and mark:
        raise posted.Typed("Give it a name or a mark, not both: a name is enough.", field="mark")
    status = post.get("status", "")
    if status not in {each.value for each, _ in KINDS_OF_START}:
        raise posted.Typed("Say how it stands: here, in quarantine, or a store animal.", field="status")
    heads = 1
    if not name and not mark:
        heads = posted.whole(post, "heads", what="number of animals", least=1, most=500)
    return herd.Newcomer(
        kind=post.get("kind", ""),
        tank=post.get("tank", ""),
        status=Status(status),
        name=name,
        mark=mark,
        heads=heads,
        sex=post.get("sex", "") if post.get("sex", "") in {"female", "male"} else "",
        hatched_on=_hatched(post, day),
        for_adoption="for_adoption" in post,
        measures=animal_posted.measures(post, units=request.reader.units),
    )


def _hatched(post: QueryDict, day: date) -> date | None:
    """The hatch day, or an age in weeks; None where neither is known."""
    weeks = post.get("weeks", "").strip()
    if post.get("hatched", "").strip():
        return animal_posted.day(post, "hatched", what="hatch day")
    if weeks:
        return day - timedelta(weeks=posted.whole(post, "weeks", what="age in weeks", least=0, most=5200))
    return None


def _new_page(
    request: InRoom,
    *,
    day: Day,
    typed: QueryDict,
    said: str = "",
    field: str = "",
    looked: bool = False,
    status: int = 200,
) -> HttpResponse:
    context = {
        "day": day,
        "reach": reach_of(day),
        "typed": typed,
        "kinds": [(kind, sheet.name) for kind, sheet in sheets().items()],
        "tanks": [(tank.key, tank.name, tank.quarantine) for tank in day.facts.tanks],
        "starts": KINDS_OF_START,
        "marks": sorted(MARKS),
        "said": said,
        "field": field,
        "looked": looked,
    }
    return render(request, "animals/new.html", context, status=status)
