"""Early word in sentences: what, against what, how old, and the one thing to do first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.urls import reverse

from roomops.desk.day_types import Day
from roomops.papers import words
from roomops.planning.watch import SOURCE, Basis, Concern, ConcernKind


@dataclass(frozen=True, slots=True, kw_only=True)
class WordShown:
    """One concern on a page. ``basis`` says what its limit rests on; ``address`` is where ``act`` leads."""

    about: str
    mark: str
    sign: str
    state: str  # the edge: 'wrong', 'refused', 'late', ''
    title: str
    text: str
    age: str
    basis: str
    act: str
    address: str
    subject: str


SIGN = {
    ConcernKind.NOT_SEEN: ("wrong", "wrong"),
    ConcernKind.MISSING: ("wrong", "wrong"),
    ConcernKind.RAPID_LOSS: ("wrong", "wrong"),
    ConcernKind.SLOW_LOSS: ("wrong", "wrong"),
    ConcernKind.WEIGHT_DOWN: ("low", "low"),
    ConcernKind.NO_GAIN: ("low", "low"),
    ConcernKind.REFUSED: ("refused", "refused"),
    ConcernKind.HOLD_OVER: ("late", ""),
}
PUBLISHED = f"Limit: {SOURCE}."
PRACTICE = "Common practice, no source."


def shown(day: Day, concerns: Sequence[Concern]) -> tuple[WordShown, ...]:
    """Every concern as a page says it, in the desk's order: worst first."""
    return tuple(_shown(day, each) for each in concerns)


def _shown(day: Day, concern: Concern) -> WordShown:
    sign, state = SIGN[concern.kind]
    title, text = _said(concern)
    act, address = _act(concern)
    animal = None if concern.tank else day.animals.get(concern.subject)
    about = day.label("tank" if concern.tank else "resident", concern.subject)
    return WordShown(
        about=about,
        mark=animal.mark if animal else "",
        sign=sign,
        state=state,
        title=title,
        text=text,
        age="today" if concern.on == day.day else words.date_words(concern.on),
        basis=PUBLISHED if concern.basis is Basis.PUBLISHED else PRACTICE,
        act=act,
        address=address,
        subject=concern.subject,
    )


def _said(concern: Concern) -> tuple[str, str]:
    numbers = {name: float(value) for name, value in concern.numbers.items()}
    kind = concern.kind
    if kind is ConcernKind.NOT_SEEN:
        seen, book = words.plain(numbers["seen"]), words.plain(numbers["of"])
        return f"{seen} of {book} seen", "Search now, and count the tanks beside it."
    if kind is ConcernKind.MISSING:
        since = f"For {_days(numbers['days'])}" if numbers["days"] else "Since today"
        return "missing", f"{since}: look again, until it is found."
    if kind is ConcernKind.REFUSED:
        times = "twice" if numbers["times"] == 2 else f"{words.plain(numbers['times'])} times"
        return f"refused {times}", "Read its basking side first, then shed, stress, droppings."
    if kind is ConcernKind.HOLD_OVER:
        return "hold is over", f"Since {_days(numbers['days'])}: ask them, or end it."
    return _weight_said(kind, numbers)


def _weight_said(kind: ConcernKind, numbers: dict[str, float]) -> tuple[str, str]:
    now, before = words.weight_words(numbers["now_g"]), words.weight_words(numbers["before_g"])
    days = _days(numbers["days"])
    if kind is ConcernKind.NO_GAIN:
        return "no gain", f"{now}, and {before} {days} before. Hatchlings gain every week."
    lost = f"{now} after {before} {days} before: down {words.plain(numbers['loss_pct'])} %."
    if kind is ConcernKind.WEIGHT_DOWN:
        return "weight down", f"{lost} Weigh again, look at food and droppings."
    return "much weight lost", f"{lost} Weigh again now, then call the vet."


def _days(days: float) -> str:
    return words.count_words(days, "day")


def _act(concern: Concern) -> tuple[str, str]:
    if concern.tank:
        return "Open the tank", reverse("tank", args=[concern.subject])
    if concern.kind is ConcernKind.MISSING:
        return "Search", reverse("search", args=[concern.subject])
    return "Open", reverse("animal", args=[concern.subject])
