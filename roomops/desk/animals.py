"""Where a resident stands: sold, moved, isolated, at vet, dead, can't be found; and back again."""

from __future__ import annotations

from datetime import date, datetime

from roomops.planning.room import Status
from roomops.records.models import Person, Resident, Tank

WHY = {
    "sold": Status.SOLD,
    "moved": Status.MOVED,
    "isolated": Status.ISOLATED,
    "at vet": Status.AT_VET,
    "dead": Status.DIED,
    "can't find": Status.MISSING,
}


def set_status(
    *,
    resident: Resident,
    status: Status,
    now: datetime,
    by: Person | None,
    note: str = "",
    heads: int | None = None,
    tank: Tank | None = None,
    until: date | None = None,
) -> Resident:
    """Set where a resident stands; of a lot, take ``heads`` of it aside as a row of their own.

    Returns the row that now has the status. ``tank`` is where it lives now (needed for MOVED within the room).
    Its feeds drop out of today's rounds at once. Refused: NO_SUCH_HEADS, MISSING tank.
    """
    raise NotImplementedError
