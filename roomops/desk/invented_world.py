"""The invented room while it is made: rows in memory, nothing in the database until they are all there."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from random import Random
from typing import Any, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Model

from roomops.desk.invented_facts import InventedFacts
from roomops.records import models as m

Row = TypeVar("Row", bound=Model)
ORDER: tuple[type[Model], ...] = (
    m.Room, m.Account, m.Person, m.Shift, m.Peak, m.CareChoice, m.Timer, m.TimerSeason, m.Rack, m.Tank,
    m.Lamp, m.Tray, m.Tub,
    m.Pen, m.Arrival, m.Arrival.tanks.through, m.Lot, m.Resident, m.Stay, m.Spell, m.Measurement,
    m.MedicineOrder, m.Batch,
    m.Entry, m.Reading, m.LedgerLine, m.Minimum, m.Note,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """Everything is told in days before ``today`` and wall-clock times of the room."""

    today: date
    facts: InventedFacts
    room: m.Room
    rows: dict[type[Model], list[Model]] = field(default_factory=lambda: defaultdict(list))
    people: dict[str, m.Person] = field(default_factory=dict)
    tanks: dict[str, m.Tank] = field(default_factory=dict)

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.room.timezone)

    def day(self, ago: int) -> date:
        return self.today - timedelta(days=ago)

    def at(self, ago: int, clock: str) -> datetime:
        """The moment of a wall-clock time ('07:30') so many days ago."""
        return datetime.combine(self.day(ago), time.fromisoformat(clock), self.zone)

    def random(self, topic: str) -> Random:
        """Numbers that are the same every time, and of one topic only: another topic cannot shift them."""
        return Random(f"{self.facts.seed} {topic}")  # noqa: S311  # repeatable on purpose, guards nothing

    def add(self, made: type[Row], *, written_at: datetime, by: m.Person | None, **values: Any) -> Row:
        """Keep a row of the room for later, with who wrote it and when."""
        row = made(room=self.room, written_at=written_at, written_by=by, **values)
        self.rows[made].append(row)
        return row

    def set_up(self, made: type[Row], **values: Any) -> Row:
        """Keep a row that the manager wrote when the room was set up."""
        by = self.people.get(self.facts.people[0].key)
        return self.add(made, written_at=self.at(self.facts.set_up, "09:00"), by=by, **values)

    def on_shift(self, moment: datetime) -> list[m.Person]:
        """Who is there at a moment, those who came first first."""
        shifts = [row for row in self.rows[m.Shift] if isinstance(row, m.Shift)]
        return [row.person for row in shifts if row.starts <= moment < row.ends]


def entry_id(*, random: Random) -> UUID:
    """A random-looking id that is the same every time."""
    return UUID(int=random.getrandbits(128), version=4)


def write(*, world: World) -> None:
    """Put every row into the database, in the order in which they need each other."""
    for made in ORDER:
        made._default_manager.bulk_create(world.rows[made], batch_size=500)  # noqa: SLF001  # Django's own name
