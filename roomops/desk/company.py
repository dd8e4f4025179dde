"""Who may live with whom: the care sheets' rules held against the tanks as they stand."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.db.models import F, Window
from django.db.models.functions import RowNumber

from roomops.desk.refusals import No, Refused
from roomops.husbandry.care import StageCare
from roomops.husbandry.housing import Clash, Companion, companion_of, company_problems, floor_needed_cm2
from roomops.planning.room import Status
from roomops.records.models import Measure, Measurement, Resident, Room, Tank
from roomops.records.models.animals import KEEPS_ITS_PLACE
from roomops.records.names import display_name
from roomops.records.sheets import care_for, stage_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Living:
    """One resident, or the heads of a lot, as its company sees it."""

    key: str
    label: str
    kind: str
    tank: str
    heads: int
    status: str
    weight_g: float | None
    care: StageCare


def living(*, room: Room, day: date) -> Mapping[str, tuple[Living, ...]]:
    """Return who has a place in each tank, by tank key: three queries, whatever the room's size."""
    rows = Resident.objects.filter(room=room, status__in=KEEPS_ITS_PLACE, heads__gte=1, tank__isnull=False)
    residents = list(rows.select_related("tank").order_by("key"))
    stages = {row.pk: stage_of(row, day) for row in residents}
    cares = care_for(room=room, kinds_stages=((row.kind, stages[row.pk]) for row in residents))
    by_stage = {(care.kind, care.stage): care for care in cares}
    weights = last_weights(room=room)
    found: dict[str, list[Living]] = defaultdict(list)
    for row in residents:
        care = by_stage[row.kind, stages[row.pk]]
        each = _living(row, care, weights.get(row.pk))
        found[each.tank].append(each)
    return {tank: tuple(each) for tank, each in found.items()}


def _living(row: Resident, care: StageCare, weight_g: float | None) -> Living:
    return Living(
        key=row.key,
        label=display_name(resident=row, tank=row.tank.name if row.tank else ""),
        kind=row.kind,
        tank=row.tank.key if row.tank else "",
        heads=row.heads,
        status=row.status,
        weight_g=weight_g,
        care=care,
    )


def stage_of(row: Resident, day: date) -> str:
    """Return the life stage: as set by hand, else by age."""
    age = (day - row.hatched_on).days if row.hatched_on else None
    return row.stage or stage_at(kind=row.kind, age_days=age)


def last_weights(*, room: Room) -> Mapping[int, float]:
    """Return the last weight of each resident in grams, by its row id, in one query."""
    newest = Window(RowNumber(), partition_by=[F("resident_id")], order_by=[F("at").desc(), F("pk").desc()])
    rows = Measurement.objects.filter(room=room, measure=Measure.WEIGHT, resident__status__in=KEEPS_ITS_PLACE)
    return dict(rows.annotate(rank=newest).filter(rank=1).values_list("resident_id", "value"))


def against(
    *, tank: Tank, there: Sequence[Living], coming: Sequence[Living], looked: bool = False
) -> tuple[Refused, ...]:
    """Return all that speaks against ``coming`` sharing a tank with those who stay there, worst first.

    ``looked``: somebody looked at different sizes together and keeps it.
    """
    moving = {each.key for each in coming}
    all_of_them = [*coming, *(each for each in there if each.key not in moving)]
    found = [*_apart(tank, coming), *_isolated(tank, all_of_them)]
    problems = company_problems([_companion(each) for each in all_of_them])
    labels = {each.key: each for each in all_of_them}
    mixed = any(problem.clash is Clash.KINDS_MIXED for problem in problems)
    for problem in problems:
        if mixed and problem.clash is Clash.TOO_MANY:
            continue  # how many of which kind is no question here
        if problem.clash is Clash.SIZES_APART:
            if not looked:
                ratio = math.ceil(problem.value * 100) / 100  # never as small as the most
                found.append(Refused(No.SIZES_APART, tank=tank.name, value=ratio, most=problem.most))
        else:
            found.append(_refused(tank, problem.clash, all_of_them, [labels[key] for key in problem.keys]))
    return tuple(found)


def must_fit(*, tank: Tank, there: Sequence[Living], coming: Sequence[Living], looked: bool) -> None:
    """Raise the first reason why they may not share the tank."""
    reasons = against(tank=tank, there=there, coming=coming, looked=looked)
    if reasons:
        raise reasons[0]


def heads_of(each: Living, heads: int, *, status: str) -> Living:
    """So many heads of a lot, as those who come, and how they will stand."""
    key = each.key if heads == each.heads else f"{each.key}:part"
    return replace(each, heads=heads, key=key, status=status)


def as_living(*, row: Resident, room: Room, day: date, weight_g: float | None) -> Living:
    """One that is not written yet, as its company sees it; one query."""
    stage = stage_of(row, day)
    [care] = care_for(room=room, kinds_stages=[(row.kind, stage)])
    return _living(row, care, weight_g)


def _companion(each: Living) -> Companion:
    weight_g = each.weight_g if each.heads == 1 else None
    return companion_of(care=each.care, key=each.key, heads=each.heads, weight_g=weight_g)


def _apart(tank: Tank, coming: Sequence[Living]) -> list[Refused]:
    """Those in quarantine go to quarantine tanks, all others to the other tanks."""
    wrong = [each.label for each in coming if (each.status == Status.QUARANTINE) != tank.quarantine]
    return [Refused(No.QUARANTINE_APART, value=wrong, tank=tank.name)] if wrong else []


def _isolated(tank: Tank, together: Sequence[Living]) -> list[Refused]:
    unwell = [each.label for each in together if each.status == Status.ISOLATED]
    if not unwell or sum(each.heads for each in together) == 1:
        return []
    return [Refused(No.ISOLATED_APART, value=unwell, tank=tank.name)]


def _refused(tank: Tank, clash: Clash, together: Sequence[Living], about: Sequence[Living]) -> Refused:
    heads = sum(each.heads for each in together)
    alone = [each.label for each in together if each.care.group_most == 1]
    if clash is Clash.KINDS_MIXED:
        kinds = tuple(dict.fromkeys(each.kind for each in together))
        return Refused(No.KINDS_MIXED, tank=tank.name, kinds=kinds)
    if clash is Clash.TOO_MANY and alone:
        return Refused(No.LIVES_ALONE, tank=tank.name, value=alone[0])
    if clash is Clash.TOO_MANY:
        most = min(each.care.group_most for each in together)
        return Refused(No.TOO_MANY, tank=tank.name, value=heads, most=most)
    return Refused(No.NOT_COMPANY, tank=tank.name, clash=clash.value, value=[each.label for each in about])


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """Floor that a tank has, and what its animals ask for by the care sheets, in cm². None: no sheet says."""

    has_cm2: float
    needed_cm2: float | None
    heads: int


def floor(*, tank: Tank, there: Sequence[Living]) -> Floor:
    """Return a tank's floor, and the largest that one of its animals asks for with 15 % for each more."""
    heads = sum(each.heads for each in there)
    asked = max((each.care.floor_cm2 for each in there if each.care.floor_cm2), default=None)
    needed = floor_needed_cm2(floor_for_one_cm2=asked, heads=heads) if asked and heads else None
    return Floor(has_cm2=tank.length_mm * tank.depth_mm / 100, needed_cm2=needed, heads=heads)
