"""Two people and one animal: what a page showed is compared with what is, before anything is set."""

from __future__ import annotations

import hashlib

from roomops.desk.refusals import No, Refused
from roomops.planning.room import Status
from roomops.records.models import Person, Resident, Room, Tank
from roomops.records.models.animals import KEEPS_ITS_PLACE
from roomops.records.names import display_name

SHOWN = ("name", "mark", "identity", "heads", "tank_id", "status", "status_since", "status_until", "stage")


def token(row: Resident) -> str:
    """Return what a form carries of the animal as it was shown.

    It changes with what people set by hand, and not with a feed that was counted meanwhile.
    """
    shown = "|".join(str(getattr(row, name)) for name in SHOWN)
    return hashlib.sha256(shown.encode()).hexdigest()[:16]


def editable(*, room: Room, key: str, seen: str = "", gone: bool = False) -> Resident:
    """Return a resident for changing; call it inside a transaction that holds the room.

    ``seen`` is the token that the page showed, '' where none was. Raises Refused: UNKNOWN_RESIDENT, CHANGED,
    LEFT_ALREADY (unless ``gone`` is fine).
    """
    rows = Resident.objects.select_related("tank", "lot", "room", "written_by")
    row = rows.filter(room=room, key=key).first()
    if row is None:
        raise Refused(No.UNKNOWN_RESIDENT, value=key)
    if seen and seen != token(row):
        raise Refused(
            No.CHANGED, value=label(row), by=who(row.written_by), status=row.status,
            tank=row.tank.name if row.tank else "no tank",
        )  # fmt: skip
    if not gone and (row.status not in KEEPS_ITS_PLACE or row.heads == 0):
        raise Refused(No.LEFT_ALREADY, value=label(row), status=row.status)
    return row


def label(row: Resident) -> str:
    """What people call it: 'H3 · two dots', 'Marlow'."""
    return display_name(resident=row, tank=row.tank.name if row.tank else "")


def who(person: Person | None) -> str:
    return person.name if person else "Somebody"


def not_so_already(row: Resident, status: Status) -> None:
    """Raise Refused(ALREADY_SO) for an animal that stands so already."""
    if row.status == status:
        raise Refused(No.ALREADY_SO, value=label(row), status=row.status)


def tank_of(*, room: Room, key: str) -> Tank:
    """Return a tank that stands. Raises Refused(UNKNOWN_TANK), also for one that was taken away."""
    tank = Tank.objects.filter(room=room, key=key, removed_on__isnull=True).first()
    if tank is None:
        raise Refused(No.UNKNOWN_TANK, value=key)
    return tank
