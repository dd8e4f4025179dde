"""What the vet ordered, as planning reads it: one query."""

from __future__ import annotations

from datetime import date

from django.db.models import Q

from roomops.planning import room as facts
from roomops.records import models as m
from roomops.records.models.animals import IN_THE_ROOM


def medicines(*, room: m.Room, day: date) -> tuple[facts.Medicine, ...]:
    """Return the orders that hold on a day, of animals that are in the room to get them."""
    going = Q(stopped_on__isnull=True) | Q(stopped_on__gt=day)
    rows = m.MedicineOrder.objects.filter(
        going, room=room, from_on__lte=day, until_on__gte=day, resident__status__in=IN_THE_ROOM,
        resident__heads__gte=1,
    )  # fmt: skip
    return tuple(
        facts.Medicine(key=key, resident=resident, times=times)
        for key, resident, times in rows.order_by("key").values_list("key", "resident__key", "times_a_day")
    )
