"""Timers with today's hours and the lamps of standing tanks, as planning reads them: three queries."""

from __future__ import annotations

from datetime import date

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
    kind = GIVES_UV.get(LampType(lamp.type))
    rule = rule_for(kind=kind) if kind is not None and lamp.kind == m.LampKind.UV else None
    if rule is None or lamp.fitted_on is None:
        return None
    return due_date(fitted=lamp.fitted_on, months=rule.months)


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
    hanging = m.Lamp.objects.filter(room=room, removed_on__isnull=True).select_related("tank")
    standing = (lamp for lamp in hanging if lamp.tank.key in order)
    rows = sorted(standing, key=lambda lamp: (order[lamp.tank.key], lamp.key))
    return tuple(
        facts.Lamp(
            key=lamp.key,
            tank=lamp.tank.key,
            kind=lamp.kind,
            name=lamp.name,
            fitted=lamp.fitted_on,
            due=uv_due(lamp=lamp),
            blown=lamp.blown_at is not None,
        )
        for lamp in rows
        if lamp.fitted_on is None or lamp.fitted_on <= day
    )
