"""Plans in and out of their table. A kept version never changes, so it is read once in a process."""

from __future__ import annotations

from collections import OrderedDict
from typing import Any

from roomops.planning import codec
from roomops.planning.plan import Plan
from roomops.records.models import PlanVersion

KEPT = 12
_read: OrderedDict[tuple[object, ...], Plan] = OrderedDict()


def document_of(*, plan: Plan) -> dict[str, Any]:
    """Return the plan as the JSON document that is kept."""
    return codec.plan_to_document(plan)


def plan_of(*, row: PlanVersion) -> Plan:
    """Return a version's plan. Its document is fetched only when this process has not read it before."""
    key = (row.pk, row.room_id, row.day, row.version, row.facts, row.method, row.note, row.written_at)
    found = _read.get(key)
    if found is None:
        found = codec.plan_from_document(row.document)
        _read[key] = found
        if len(_read) > KEPT:
            _read.popitem(last=False)
    return found


def forget() -> None:
    """Forget what was read: for tests, whose rows are numbered from one again and again."""
    _read.clear()
