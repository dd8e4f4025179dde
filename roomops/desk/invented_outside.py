"""The invented room's pens for sun, and the lot that comes tomorrow."""

from __future__ import annotations

from datetime import timedelta

from roomops.desk.invented_world import World
from roomops.records import models as m


def add_pens(*, world: World) -> None:
    """Pens, in the order of the file."""
    for order, pen in enumerate(world.facts.pens, start=1):
        world.set_up(m.Pen, key=pen.key, name=pen.name, order=order)


def add_arriving(*, world: World) -> None:
    """Lots that the manager said yes to yesterday, with the tanks that stand empty for them."""
    promises = m.Arrival.tanks.through
    for lot in world.facts.arriving:
        row = world.add(
            m.Arrival,
            written_at=world.at(1, "16:10"),
            by=world.people[world.facts.people[0].key],
            key=lot.key,
            kind=lot.kind,
            stage=lot.stage,
            heads=lot.heads,
            length_mm=lot.length_mm,
            expected_on=world.today + timedelta(days=lot.in_days),
            breeder=lot.breeder,
        )
        for name in lot.tanks:
            world.rows[promises].append(promises(arrival=row, tank=world.tanks[name.lower()]))
