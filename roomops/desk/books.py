"""What a day may hold: the duties and rounds of every plan that the day has had."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from roomops.desk.documents import plan_of
from roomops.desk.said import Said
from roomops.planning import duties
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind
from roomops.records import snapshot
from roomops.records.models import EntryKind, MedicineOrder, PlanVersion, Rack, Resident, Room

AT_ANY_TIME: Mapping[str, type[MedicineOrder | Rack | Resident]] = {
    DutyKind.MEDICINE: MedicineOrder,
    DutyKind.SEARCH: Resident,
    DutyKind.WEIGH: Resident,
    DutyKind.SUN: Resident,
    DutyKind.HEAT_CHECK: Rack,
}
"""What may be said though no plan asked for it yet: ordered, missing, or without power since a minute ago."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """The duties by key and the round keys of a day, whatever plan they come from."""

    room: Room
    day: date
    duties: Mapping[str, Duty]
    rounds: frozenset[str]

    def fits(self, *, said: Said) -> bool:
        """Say whether what was said speaks of a duty of this day, and of a head that the duty has."""
        if said.kind == EntryKind.WRONG:
            return True
        _, part, rest = said.duty.split("/", 2)
        if part == "round":
            return rest in self.rounds
        duty = self.duties.get(said.duty)
        if duty is None and said.kind == EntryKind.READING:  # a tank may be read more often than it must
            return any(each.tank == rest.split("/")[0] for each in self.duties.values())
        if duty is None and part in AT_ANY_TIME:
            return AT_ANY_TIME[part].objects.filter(room=self.room, key=rest.split("/")[0]).exists()
        return duty is not None and said.head <= duty.heads


def book(*, room: Room, day: date, now: datetime) -> Book:
    """Return the book of a day from all its plan versions: one query, and no version's text read twice.

    A day that has no plan yet (a device came first) is held against what falls due.
    """
    rows = PlanVersion.objects.filter(room=room, day=day).order_by("version")
    plans = [plan_of(row=row) for row in rows.defer("document")]
    if not plans:
        found = duties.due(room=snapshot.take(room=room, day=day, now=now))
        return Book(room=room, day=day, duties=_largest(found), rounds=frozenset())
    return Book(
        room=room,
        day=day,
        duties=_largest(duty for plan in plans for duty in plan.duties),
        rounds=frozenset(each.key for plan in plans for each in plan.rounds),
    )


def _largest(found: Iterable[Duty]) -> dict[str, Duty]:
    """A lot may have had more heads in an earlier plan: what was said of them still fits."""
    largest: dict[str, Duty] = {}
    for duty in found:
        if duty.key not in largest or duty.heads >= largest[duty.key].heads:
            largest[duty.key] = duty
    return largest
