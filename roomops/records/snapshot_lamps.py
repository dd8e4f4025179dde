"""Timers with today's hours and the lamps of standing tanks, as planning reads them: three queries."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from django.db.models import Q

from roomops.husbandry.lamps import LampKind as Kind
from roomops.husbandry.lamps import due_date, rule_for
from roomops.planning import room as facts
from roomops.records import models as m
from roomops.records.models.places import LampType
from roomops.records.moments import Span
from roomops.records.seasons import hours_on

GIVES_UV = {
    LampType.T5: Kind.T5_HO,
    LampType.T8: Kind.T8,
    LampType.COMPACT: Kind.COMPACT,
    LampType.HALIDE: Kind.METAL_HALIDE,
}


def uv_due(*, lamp: m.Lamp) -> date | None:
    """Return when a UV lamp is due by the rule of its type; None where no date or rule is known."""
    return _uv_due(lamp.kind, lamp.type, lamp.fitted_on)


@lru_cache(maxsize=1024)  # a room fits most of its lamps on a few days
def _uv_due(use: str, made: str, fitted: date | None) -> date | None:
    kind = GIVES_UV.get(LampType(made))
    rule = rule_for(kind=kind) if kind is not None and use == m.LampKind.UV else None
    if rule is None or fitted is None:
        return None
    return due_date(fitted=fitted, months=rule.months)


def timers(*, room: m.Room, span: Span) -> tuple[facts.Timer, ...]:
    """Return the room's timers with the hours of the season that the day lies in."""
    found = []
    for timer in m.Timer.objects.filter(room=room).prefetch_related("seasons").order_by("key"):
        on, off = hours_on(timer=timer, seasons=list(timer.seasons.all()), day=span.day)
        found.append(facts.Timer(key=timer.key, on=span.minute_at(on), off=span.minute_at(off)))
    return tuple(found)


def lamps(*, room: m.Room, day: date, tanks: tuple[facts.Tank, ...]) -> tuple[facts.Lamp, ...]:
    """Return what hangs on the tanks that stand, in walking order."""
    order = {tank.key: place for place, tank in enumerate(tanks)}
    fitted_by_then = Q(fitted_on__isnull=True) | Q(fitted_on__lte=day)
    hanging = m.Lamp.objects.filter(fitted_by_then, room=room, removed_on__isnull=True).values_list(
        "key", "tank__key", "kind", "type", "name", "fitted_on", "blown_at"
    )
    rows = sorted((row for row in hanging if row[1] in order), key=lambda row: (order[row[1]], row[0]))
    return tuple(
        facts.Lamp(
            key=key,
            tank=tank,
            kind=use,
            name=name,
            fitted=fitted,
            due=_uv_due(use, made, fitted),
            blown=blown is not None,
        )
        for key, tank, use, made, name, fitted, blown in rows
    )
