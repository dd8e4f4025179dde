"""An ordinary morning at Juniper Street as the desk sees it: open the day at a clock time, press, look."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID, uuid5

from roomops.desk import feeding
from roomops.desk.day import Day, open_day
from roomops.desk.entries import Answer
from roomops.desk.tray import tray_view
from roomops.desk.tray_types import TrayView, TubView
from roomops.records import models as m
from tests import makers as mk

NAMES = UUID(int=2026)


def form(name: str) -> UUID:
    """The id that a page's form carries: the same name is the same form, pressed again."""
    return uuid5(NAMES, name)


class Floor:
    """A room, and whoever stands in it. Every press opens the day at its own clock time, as a page does."""

    def __init__(self, morning: mk.Morning | None = None, day: date = mk.DAY) -> None:
        self.m = morning or a_measured_morning()
        self.room, self.day = self.m.room, day
        self.presses = 0

    def open(self, clock: str = "08:40") -> Day:
        self.room.refresh_from_db()
        return open_day(room=self.room, day=self.day, now=mk.at(clock, self.day))

    def round_of(self, resident: str, slot: int = 1, clock: str = "08:40") -> str:
        """Key of the round that feeds somebody."""
        duty = self.feed(resident, slot)
        return next(v.key for v in self.open(clock).rounds if duty in v.round.duties)

    def feed(self, resident: str, slot: int = 1) -> str:
        return f"{self.day.isoformat()}/feed/{resident}/{slot}"

    def press(self, act: str, clock: str, by: m.Person | None = None, **about: Any) -> tuple[Answer, ...]:
        """``press("count", "08:55", round_key=…, duty=…, head=1, left=2)``: each press is a new form."""
        self.presses += 1
        about.setdefault("form", form(f"press {self.presses}"))
        use = getattr(feeding, act)
        done: tuple[Answer, ...] = use(day=self.open(clock), by=by or self.m.oskar, **about)
        return done

    def tray(self, round_key: str, clock: str) -> TrayView:
        return tray_view(day=self.open(clock), round_key=round_key)

    def tub(self, round_key: str, clock: str, resident: str, head: int = 1) -> TubView:
        tubs = self.tray(round_key, clock).tubs
        return next(t for t in tubs if t.resident == resident and t.head == head)

    def all_in_tubs(self, round_key: str, cups: str = "08:40", tubs: str = "08:50") -> None:
        self.press("cups_ready", cups, round_key=round_key)
        self.press("to_tubs", tubs, round_key=round_key)

    def head(self, round_key: str, resident: str, slot: int = 1, head: int = 1) -> dict[str, Any]:
        return {"round_key": round_key, "duty": self.feed(resident, slot), "head": head}

    def whole_round(self, round_key: str, times: tuple[str, str, str, str, str]) -> None:
        """Cups, to tubs, all eaten, all back, washed, each at its time."""
        self.all_in_tubs(round_key, times[0], times[1])
        for act, clock in zip(("all_eaten", "all_back", "washed"), times[2:], strict=True):
            self.press(act, clock, round_key=round_key)


def a_measured_morning() -> mk.Morning:
    """The ordinary morning with its lot measured, so that prey can be named for every hatchling."""
    made = mk.an_ordinary_morning()
    lot = made.residents["h5-unmarked"]
    mk.a_measurement(lot, "length_mm", 120)
    mk.a_measurement(lot, "gap_mm", 6.5)
    return made


def on_hand(room: m.Room, batch: str) -> float:
    """What the ledger of a batch sums to."""
    lines = m.LedgerLine.objects.filter(room=room, batch__key=batch)
    return sum(lines.values_list("change", flat=True))
