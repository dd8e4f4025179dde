"""Something is wrong: two presses are enough, and what to do first comes before any word is typed."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from roomops.desk import chores
from roomops.desk.day_types import Day, Trouble
from roomops.desk.refusals import Refused
from roomops.papers.amounts import list_words
from roomops.papers.words import Reader
from roomops.records.models import Person
from roomops.records.models.people import Role
from roomops.screens import posted
from roomops.screens.answers import CONFLICT, conflict, day_of, no_words, tell
from roomops.screens.door import InRoom
from roomops.screens.notices import Notice, notices_of
from roomops.screens.reach import reach_of
from roomops.screens.signs import BY_KEY, SIGNS, Sign

MOST_WORDS = 1900  # what is seen goes before them in the same note


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """Who or where. Both keys empty: the room, a lamp, a person."""

    animal: str = ""
    tank: str = ""
    label: str = ""
    mark: str = ""
    checks: tuple[str, ...] = ()  # the care sheet's own lines


@require_http_methods(["GET", "POST"])
def wrong(request: InRoom) -> HttpResponse:
    """Ask who and what; keep a note that everybody sees until it is settled."""
    day = day_of(request)
    if request.method == "GET":
        return _page(request, day=day, asked=request.GET)
    if "settle" in request.POST:
        return _settle(request, day=day)
    if "tell" not in request.POST:
        return _page(request, day=day, asked=request.POST)
    return _tell(request, day=day)


def subject_of(*, day: Day, asked: QueryDict) -> Subject:
    """Whom a page was opened for; what is not of this room is nobody."""
    animal = day.animals.get(asked.get("animal", ""))
    if animal is None:
        tank = next((each for each in day.facts.tanks if each.key == asked.get("tank")), None)
        return Subject(tank=tank.key, label=tank.name) if tank else Subject()
    resident = next((each for each in day.facts.residents if each.key == animal.key), None)
    wanted = (resident.kind, resident.stage) if resident else ("", "")
    care = next((c for c in day.facts.care if (c.kind, c.stage) == wanted), None)
    return Subject(
        animal=animal.key,
        tank=animal.tank,
        label=animal.label,
        mark=animal.mark,
        checks=care.words.first_checks if care else (),
    )


def sign_of(asked: QueryDict) -> Sign | None:
    """The sign just pressed, else the one that was pressed before."""
    return BY_KEY.get(asked.get("sign") or asked.get("chosen", ""))


def _tell(request: InRoom, *, day: Day) -> HttpResponse:
    post = request.POST
    subject, sign = subject_of(day=day, asked=post), sign_of(post)
    try:
        words = posted.words(post, "words", most=MOST_WORDS)
        if sign is None and not words:
            return _page(
                request, day=day, asked=post, said="Press what you see, or say it in your words.", status=422
            )
        text = ": ".join(filter(None, (sign.words if sign else "", words)))
        answers = chores.wrong(
            day=day, text=text, by=request.person, form=posted.form_id(post), resident=subject.animal,
            tank="" if subject.animal else subject.tank,
        )  # fmt: skip
    except posted.Typed as no:
        return _page(request, day=day, asked=post, said=no.sentence, status=422)
    except Refused as no:
        said = no_words(request, no)
        return _page(request, day=day, asked=post, said=said, status=409)
    if conflict(answers):
        return _page(request, day=day, asked=post, said=CONFLICT, status=409)
    tell(request, answers)
    about = f"{subject.label}: " if subject.label else ""
    messages.success(request, f"Said. {about}{text}. It stands on Today until somebody settles it.")
    return redirect(_way_back(post))


def _way_back(asked: QueryDict) -> str:
    """Where it was pressed: a tub, a walk; else Today."""
    if asked.get("round"):
        number = asked.get("tub", "")
        return reverse("feeding_round", args=[asked["round"]]) + (
            f"#tub-{number}" if number.isdecimal() else ""
        )
    if asked.get("from") in {"opening", "closing"}:
        return reverse("walk", args=[asked["from"]])
    return reverse("today")


def _settle(request: InRoom, *, day: Day) -> HttpResponse:
    number = request.POST.get("settle", "")
    try:
        chores.settle_wrong(day=day, note=int(number) if number.isdecimal() else 0, by=request.person)
    except Refused as no:
        said = no_words(request, no)
        return _page(request, day=day, asked=request.POST, said=said, status=409)
    messages.success(request, "Settled.")
    return redirect("wrong")


def _notes(day: Day, reader: Reader) -> list[tuple[Trouble, Notice]]:
    """What people said is wrong and nobody settled, in the words of Today."""
    told = zip(day.wrong, notices_of(day, reader=reader), strict=True)
    return [(trouble, notice) for trouble, notice in told if trouble.note]


def _page(request: InRoom, *, day: Day, asked: QueryDict, said: str = "", status: int = 200) -> HttpResponse:
    managers = Person.objects.filter(room=request.room, role=Role.MANAGER, left_on=None).order_by("name")
    subject = subject_of(day=day, asked=asked)
    keep = {
        name: asked.get(name, "") for name in ("animal", "tank", "round", "tub", "from") if asked.get(name)
    }
    context = {
        "day": day,
        "reach": reach_of(day),
        "subject": subject,
        "sign": sign_of(asked),
        "signs": SIGNS,
        "words": asked.get("words", ""),
        "form_id": asked.get("form") or posted.new_form(),
        "form": posted.new_form,
        "keep": keep,
        "other": urlencode({name: value for name, value in keep.items() if name not in {"animal", "tank"}}),
        "picking": not subject.label or asked.get("pick", ""),
        "animals": [(each.key, each.label) for each in day.animals.values()],
        "tanks": [(each.key, each.name) for each in day.facts.tanks],
        "managers": list_words([person.name for person in managers]),
        "back": _way_back(asked),
        "notes": _notes(day, request.reader),
        "said": said,
    }
    return render(request, "walks/wrong.html", context, status=status)
