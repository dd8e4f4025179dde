"""How residents are called on pages and paper."""

from __future__ import annotations

from collections.abc import Mapping

from roomops.records.models import Resident, Room
from roomops.records.models.animals import Identity

UNKNOWN = "no tank"


def display_name(*, resident: Resident, tank: str) -> str:
    """'Marlow' for a name, else tank and mark: 'H3 · two dots', 'H5 · unmarked', 'H3 · identity unsure'."""
    if resident.name:
        return resident.name
    known = resident.mark if resident.identity == Identity.MARKED else Identity(resident.identity).label
    return f"{tank or UNKNOWN} · {known}"


def names(*, room: Room) -> Mapping[str, str]:
    """Return every resident's display name by key, gone ones included, in one query."""
    residents = Resident.objects.filter(room=room).select_related("tank")
    return {
        each.key: display_name(resident=each, tank=each.tank.name if each.tank else "") for each in residents
    }
