"""The invented room's shelf: deliveries, what was fed from them, what died, what was counted last evening."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from roomops.desk.invented_facts import Delivery
from roomops.desk.invented_world import World
from roomops.records import models as m

CHECKED_AFTER = (3, 6)  # days after delivery on which the dead are picked out


@dataclass(slots=True, kw_only=True)
class Stock:
    """A batch and what its ledger sums up to so far."""

    delivery: Delivery
    batch: m.Batch
    left: float = 0

    def is_open(self, ago: int) -> bool:
        """Return True from the day of delivery until the day before it is thrown out."""
        return (self.delivery.closed or 0) < ago <= self.delivery.received


class EmptyShelfError(RuntimeError):
    """The invented deliveries do not cover the invented feeds: the file needs more of something."""


class Shelf:
    """All batches, day by day from the oldest. Every change is a ledger line: their sums are the shelf."""

    def __init__(self, *, world: World) -> None:
        self._world = world
        self._stocks = [self._stock(each) for each in world.facts.deliveries]
        for least in world.facts.least:
            values = {name: getattr(least, name) for name in least.__slots__}
            world.set_up(m.Minimum, **values)

    def morning(self, ago: int) -> None:
        """Put away what came before that day began, pick out the dead, throw out what is too old."""
        for stock in self._stocks:
            delivery = stock.delivery
            if delivery.received == ago or (
                ago == self._world.facts.history_days and delivery.received > ago
            ):
                self._line(stock, delivery.amount, "received", self._world.at(delivery.received, "07:35"))
            if delivery.received - ago in CHECKED_AFTER and delivery.dies and stock.left > 0:
                dead = -round(stock.left * delivery.dies / 100)
                self._line(stock, dead, "thrown", self._world.at(ago, "08:05"))
            if delivery.closed == ago:
                self._line(stock, -stock.left, "thrown", self._world.at(ago, "08:10"))

    def evening(self) -> None:
        """Count the shelf yesterday evening: today begins with the numbers of the file."""
        for stock in self._stocks:
            if stock.delivery.on_hand is not None:
                self._line(stock, stock.delivery.on_hand - stock.left, "counted", self._world.at(1, "19:50"))

    def feed(self, *, kind: str, amount: float, most_mm: float, entry: m.Entry, ago: int) -> str:
        """Take a portion from the largest size that fits, oldest batch first; return the batch's key.

        Raises EmptyShelfError when nothing fits or is left.
        """
        fitting = [
            stock
            for stock in self._stocks
            if stock.delivery.kind == kind
            and stock.is_open(ago)
            and (stock.delivery.size_mm or 0) <= most_mm
            and stock.left >= amount
        ]
        if not fitting:
            raise EmptyShelfError(f"no {amount:g} of {kind} up to {most_mm:.1f} mm, {ago} days before today")
        chosen = max(fitting, key=lambda s: (s.delivery.size_mm or 0, s.delivery.received))
        self._line(chosen, -amount, "fed", entry.at, entry)
        return chosen.delivery.key

    def _stock(self, delivery: Delivery) -> Stock:
        world = self._world
        batch = world.add(
            m.Batch,
            written_at=world.at(delivery.received, "07:35"),
            by=world.people["tamsin"],
            key=delivery.key,
            kind=delivery.kind,
            category=delivery.category,
            name=delivery.name,
            size_mm=delivery.size_mm,
            weight_g=delivery.weight_g,
            watts=delivery.watts,
            source=delivery.source,
            opened_on=None if delivery.opened is None else world.day(delivery.opened),
            unit=delivery.unit,
            received_on=world.day(delivery.received),
            closed_on=None if delivery.closed is None else world.day(delivery.closed),
        )
        return Stock(delivery=delivery, batch=batch)

    def _line(
        self, stock: Stock, change: float, reason: str, moment: datetime, entry: m.Entry | None = None
    ) -> None:
        if not change:
            return
        stock.left += change
        by = (
            entry.written_by
            if entry
            else next(iter(self._world.on_shift(moment)), self._world.people["tamsin"])
        )
        self._world.add(
            m.LedgerLine,
            written_at=moment,
            by=by,
            batch=stock.batch,
            change=change,
            reason=reason,
            at=moment,
            entry=entry,
        )
