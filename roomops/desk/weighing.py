"""Weighing with length and the gap between the eyes: who is due, what was last measured, what cannot be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from django.db.models import F, Window
from django.db.models.functions import RowNumber

from roomops.desk.day_types import Day
from roomops.desk.entries import Answer, Said, say_or_refuse
from roomops.desk.herd import Hand
from roomops.desk.refusals import No, Refused
from roomops.husbandry.care import StageCare
from roomops.husbandry.feeding import MeasureError, check_gap, check_length
from roomops.planning.room import FED, DutyKind, Resident
from roomops.records.models import EntryKind, Measurement

JUMP = 0.25  # of the last weight: more at once is weighed again; this house's choice
HOW_MANY = 2  # of each measure: the last, and the one before it
LENGTH_EVERY_DAYS = 28  # lengths are measured monthly; common practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One measured number, in grams or mm, with its age in days."""

    value: float
    at: datetime
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """One animal as the scale sees it. ``last`` and ``before`` by measure; ``today``: weighed today, by whom.

    ``every_days`` is its care sheet's, None where it says nothing.
    """

    key: str
    label: str
    mark: str
    tank: str
    tank_name: str
    heads: int
    every_days: int | None
    by_age: bool  # of its last weight
    last: Mapping[str, Number]
    before: Mapping[str, Number]
    today: Mapping[str, float]
    by: str
    entry: UUID | None
    in_snake_girth: bool  # its prey is held against its widest part
    length_due: bool
    quarantine: bool = False
    asked: bool = False  # by today's plan

    @property
    def due(self) -> bool:
        return self.by_age or self.asked


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighView:
    """The room's animals on the scale, in walking order, quarantine last."""

    animals: tuple[Scale, ...]
    tank: str
    current: Scale | None

    @property
    def here(self) -> tuple[Scale, ...]:
        """Those of the tank in hand."""
        return tuple(each for each in self.animals if each.tank == self.tank)

    @property
    def due(self) -> tuple[Scale, ...]:
        return tuple(each for each in self.animals if each.due and not each.today)


def weigh_view(*, day: Day, tank: str = "", animal: str = "") -> WeighView:
    """Return who is weighed: of ``tank``, or of the first tank where somebody is due. One query more than
    the day.
    """
    animals = _scales(day)
    if animal and not tank:
        tank = next((each.tank for each in animals if each.key == animal), "")
    waiting = [each for each in animals if each.due and not each.today]
    tank = tank or next((each.tank for each in waiting), "")
    here = [each for each in animals if each.tank == tank]
    asked = next((each for each in here if each.key == animal), None)
    to_do = [each for each in here if not each.today]
    first = next((each for each in to_do if each.due), next(iter(to_do), None))
    return WeighView(animals=animals, tank=tank, current=asked or first)


def _scales(day: Day) -> tuple[Scale, ...]:
    measured = last_measured(day=day)
    order = {tank.key: (tank.quarantine, place) for place, tank in enumerate(day.facts.tanks)}
    care = {(each.kind, each.stage): each for each in day.facts.care}
    animals = [each for each in day.facts.residents if each.status in FED]
    animals.sort(key=lambda each: (order[each.tank], each.key))
    asked = _asked(day)
    return tuple(
        replace(
            _scale(day, each, care[each.kind, each.stage], measured.get(each.key, {})),
            quarantine=order[each.tank][0],
            asked=each.key in asked,
        )
        for each in animals
    )


def last_measured(*, day: Day) -> Mapping[str, Mapping[str, Sequence[Number]]]:
    """Return the last two of each measure by resident key, newest first, in one query."""
    newest = Window(
        RowNumber(),
        partition_by=[F("resident_id"), F("measure")],
        order_by=[F("at").desc(), F("pk").desc()],
    )
    rows = Measurement.objects.filter(room=day.room, at__lte=day.now).annotate(rank=newest)
    found: dict[str, dict[str, list[Number]]] = {}
    ranked = rows.filter(rank__lte=HOW_MANY).order_by("rank")
    for key, measure, value, at in ranked.values_list("resident__key", "measure", "value", "at"):
        number = Number(value=value, at=at, days=(day.day - at.astimezone(day.zone).date()).days)
        found.setdefault(key, {}).setdefault(measure, []).append(number)
    return found


def _scale(day: Day, each: Resident, care: StageCare, measured: Mapping[str, Sequence[Number]]) -> Scale:
    last = {name: numbers[0] for name, numbers in measured.items()}
    said = day.state.duties.get(duty_of(day=day.day, key=each.key))
    data: Mapping[str, object] = said.data if said else {}
    every, weight = care.weigh_every_days, last.get("weight_g")
    due = every is not None and (weight is None or weight.days >= every)
    length = last.get("length_mm")
    return Scale(
        key=each.key,
        label=day.label("resident", each.key),
        mark=day.animals[each.key].mark,
        tank=each.tank,
        tank_name=day.label("tank", each.tank),
        heads=each.heads,
        every_days=every,
        by_age=due,
        last=last,
        before={name: numbers[1] for name, numbers in measured.items() if len(numbers) > 1},
        today={name: float(value) for name, value in data.items() if isinstance(value, int | float)
               and not isinstance(value, bool)},
        by=said.word.by_name if said else "",
        entry=said.word.entry if said else None,
        in_snake_girth=any(basis.value == "girth" for _, basis in care.feeding.prey_basis),
        length_due=length is None or length.days >= LENGTH_EVERY_DAYS,
    )  # fmt: skip


def _asked(day: Day) -> frozenset[str]:
    """The residents whom today's plan wants on the scale and nobody has weighed."""
    return frozenset(
        duty.subject
        for key, duty in day.duties.items()
        if duty.kind is DutyKind.WEIGH and key not in day.state.duties
    )


def duty_of(*, day: date, key: str) -> str:
    """'2026-06-09/weigh/h3-two-dots/1': an animal's weighing of a day; said again, it corrects the first."""
    return f"{day.isoformat()}/{DutyKind.WEIGH.value}/{key}/1"


# ---------------------------------------------------------------- keep


def weighed(
    *, day: Day, hand: Hand, key: str, measures: Mapping[str, float], form: UUID, keep: bool = False
) -> tuple[Answer, ...]:
    """Keep what was measured of one animal, in grams and mm. Said again today, it corrects the first.

    Refused: UNKNOWN_RESIDENT; MISSING; MEASURE_AGAIN for a gap or a length that it cannot have; WEIGHT_JUMP
    for a weight that changed by more than a quarter at once, unless ``keep``: weighed again.
    """
    view = next((each for each in _scales(day) if each.key == key), None)
    if view is None:
        raise Refused(No.UNKNOWN_RESIDENT, value=key)
    resident = next(each for each in day.facts.residents if each.key == key)
    data = {**measures, "again": True} if keep else dict(measures)
    duty = duty_of(day=day.day, key=key)
    said = Said(id=form, duty=duty, kind=EntryKind.DONE, data=data, corrects=view.entry)

    def guard() -> None:
        _can_be(measures=measures, view=view, care=day.facts.care_of(resident))
        if not keep:
            _no_jump(measures=measures, view=view)

    return say_or_refuse(day=day, by=hand.by, said=[said], guard=guard)


def _can_be(*, measures: Mapping[str, float], view: Scale, care: StageCare) -> None:
    length = measures.get("length_mm")
    try:
        if length is not None:
            check_length(length_mm=length, care=care)
        if "gap_mm" in measures:
            known = view.last.get("length_mm")
            longest = length if length is not None else known.value if known else None
            check_gap(gap_mm=measures["gap_mm"], length_mm=longest, head_mm=None)
    except MeasureError as wrong:
        raise Refused(
            No.MEASURE_AGAIN,
            name=wrong.what,
            value_mm=wrong.value_mm,
            most_mm=wrong.most_mm,
            than=wrong.than,
        ) from wrong


def _no_jump(*, measures: Mapping[str, float], view: Scale) -> None:
    """Held against the last weight of another day: one of today may be the slip that is being corrected."""
    now = measures.get("weight_g")
    last = view.before.get("weight_g") if "weight_g" in view.today else view.last.get("weight_g")
    if now is None or last is None or view.heads > 1:
        return
    change = now / last.value - 1
    if abs(change) > JUMP + 1e-9:
        words = f"{'up' if change > 0 else 'down'} {abs(change):.0%}".replace("%", " %")
        raise Refused(No.WEIGHT_JUMP, value_g=now, before_g=last.value, change=words)


def take_back(*, day: Day, hand: Hand, key: str, form: UUID) -> tuple[Answer, ...]:
    """The weighing of today was not so: its numbers go. Refused: NOTHING_TO_UNDO."""
    said = day.state.duties.get(duty_of(day=day.day, key=key))
    if said is None:
        raise Refused(No.NOTHING_TO_UNDO)
    word = Said(
        id=form,
        duty=duty_of(day=day.day, key=key),
        kind=EntryKind.UNDONE,
        corrects=said.word.entry,
    )
    return say_or_refuse(day=day, by=hand.by, said=[word])
