"""Work that returns by days, as planning reads it: when it was last said to be done. One query."""

from __future__ import annotations

from datetime import date, timedelta

from django.db.models import Q

from roomops.planning import room as facts
from roomops.records import models as m
from roomops.records.said import subject_slot

BY_DAYS = (facts.DutyKind.WATER,)
LOOK_BACK_DAYS = 90  # beyond every interval of a care sheet: what was done before that is due in any case


def upkeep(*, room: m.Room, day: date) -> tuple[facts.LastDone, ...]:
    """Return the last day before ``day`` on which each such duty was done, by kind, subject and slot."""
    said = Q()
    for kind in BY_DAYS:
        said |= Q(duty__contains=f"/{kind.value}/")
    rows = m.Entry.objects.filter(
        said, room=room, kind=m.EntryKind.DONE, matched=True, corrections__isnull=True, day__lt=day,
        day__gte=day - timedelta(days=LOOK_BACK_DAYS),
    )  # fmt: skip
    last: dict[tuple[str, str, int], date] = {}
    for duty, on in rows.order_by("day").values_list("duty", "day"):
        last[duty.split("/")[1], *subject_slot(duty)] = on
    return tuple(
        facts.LastDone(kind=facts.DutyKind(kind), subject=subject, slot=slot, on=on)
        for (kind, subject, slot), on in sorted(last.items())
    )
