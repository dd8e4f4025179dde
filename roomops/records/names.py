"""How residents are called on pages and paper."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from roomops.records.models import Resident, Room
from roomops.records.models.animals import Identity

UNKNOWN = "no tank"


def display_name(*, resident: Resident, tank: str) -> str:
    """'Marlow' for a name, else tank and mark: 'H3 · two dots', 'H5 · unmarked', 'H3 · identity unsure'."""
    return called(name=resident.name, mark=resident.mark, identity=resident.identity, tank=tank)


def called(*, name: str, mark: str, identity: str, tank: str) -> str:
    """Return the display name from single columns, for those who read no whole rows."""
    if name:
        return name
    known = mark if identity == Identity.MARKED else _label(identity)
    return f"{tank or UNKNOWN} · {known}"


@cache
def _label(identity: str) -> str:
    return str(Identity(identity).label)


def names(*, room: Room) -> Mapping[str, str]:
    """Return every resident's display name by key, gone ones included, in one query."""
    rows = Resident.objects.filter(room=room).values_list("key", "name", "mark", "identity", "tank__name")
    return {
        key: called(name=name, mark=mark, identity=identity, tank=tank or "")
        for key, name, mark, identity, tank in rows
    }
