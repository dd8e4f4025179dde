"""The verifier's own idea of work beside walks and feeds: what falls due of it, and what holds for it.

Shares no code with the planner on purpose, as ``verify_due``.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from roomops.planning.plan import Duty
from roomops.planning.room import FED, DutyKind, Meal, Need, PreyBasis, Resident, StageCare, Status

if TYPE_CHECKING:
    from roomops.planning.verify_due import Eyes

RODENT = "rodent"
NOTICE = dt.timedelta(days=14)


def people(care: StageCare, resident: Resident) -> int:
    """How many hold it: as many as the sheet says, one more for each stretch of its length, two if long."""
    length, hands = resident.length_mm or 0.0, care.hands
    asked = [care.handlers]
    if hands is not None and hands.mm_each:
        asked.append(int(length / hands.mm_each) + (length % hands.mm_each > 0))
    if hands is not None and hands.never_alone_mm is not None and 0 < hands.never_alone_mm <= length:
        asked.append(2)
    return max(asked)


class Upkeep:
    """The duties that must be there beside those of ``verify_due``."""

    def __init__(self, eyes: Eyes, feeds: list[Duty]) -> None:
        self.eyes, self.room, self.s = eyes, eyes.room, eyes.room.settings
        self.fed = [r for r in self.room.residents if r.status in FED]
        self.homes: dict[str, list[Resident]] = {}
        for resident in self.fed:
            self.homes.setdefault(resident.tank, []).append(resident)
        self.first_feed = {d.subject: d for d in sorted(feeds, key=lambda d: -d.slot)}
        self.shift = (eyes.first, eyes.last)

    def expected(self) -> Iterator[Duty]:
        for resident in self.fed:
            yield from self._weigh(resident)
        for resident in self.room.residents:
            if resident.status is Status.MISSING:
                yield from self._search(resident)
        for tank in self.homes:
            yield from self._mist(tank)
            yield from self._water(tank)
        yield from self._medicine()
        yield from self._sun()
        yield from self._lamps()
        yield from self._warm()
        yield from self._thaw()
        yield from self._heat()

    def _key(self, kind: DutyKind, subject: str, slot: int) -> str:
        return f"{self.room.day.isoformat()}/{kind.value}/{subject}/{slot}"

    def _settled(self, kind: DutyKind, subject: str, slot: int) -> bool:
        return self._key(kind, subject, slot) in self.eyes.settled

    def _make(
        self, kind: DutyKind, subject: str, slot: int, need: Need, window: tuple[int, int], minutes: float,
        *, tank: str = "", of: Resident | None = None, held: bool = True,
    ) -> Duty:  # fmt: skip
        tank = of.tank if of else tank
        return Duty(
            key=self._key(kind, subject, slot), kind=kind, subject=subject, slot=slot, need=need,
            opens=window[0], closes=window[1], minutes=minutes, tank=tank, heads=of.heads if of else 1,
            length_mm=of.length_mm if of else None, quarantine=self.eyes.apart(tank),
            people=people(self.eyes.care(of), of) if of and held else 1,
        )  # fmt: skip

    # ------------------------------------------------------------ animals

    def _weigh(self, one: Resident) -> Iterator[Duty]:
        every = self.eyes.care(one).weigh_every_days
        known = one.weight_on
        fresh = every is None or (known is not None and known > self.room.day - dt.timedelta(days=every))
        if fresh and not self._settled(DutyKind.WEIGH, one.key, 1):
            return
        until, first = self.eyes.last, self.first_feed.get(one.key)
        if first is not None:
            until = self.eyes.given.get(first.key, first.closes)
        minutes = one.heads * self.s.weigh_min
        window = (self.eyes.first, until)
        yield self._make(DutyKind.WEIGH, one.key, 1, Need.SHOULD, window, minutes, of=one)

    def _search(self, lost: Resident) -> Iterator[Duty]:
        noon = (self.eyes.first + self.eyes.last) // 2
        walks = self.eyes.walk_windows(self.eyes.tanks[lost.tank])
        windows = (walks[DutyKind.OPENING], (noon - 60, noon + 60), walks[DutyKind.CLOSING])
        for slot, window in enumerate(windows, start=1):
            yield self._make(
                DutyKind.SEARCH, lost.key, slot, Need.MUST, window, self.s.search_min, of=lost, held=False
            )

    def _medicine(self) -> Iterator[Duty]:
        here = {r.key: r for r in self.fed}
        for order in self.room.medicines:
            one = here.get(order.resident)
            timer = self.eyes.timer(one.tank) if one else None
            if one is None:
                continue
            a, b = self.shift
            if timer is not None and max(a, timer.on) < min(b, timer.off):
                a, b = max(a, timer.on), min(b, timer.off)
            minutes, part = one.heads * self.s.medicine_min, (b - a) / max(order.times, 1)
            for n in range(order.times):
                begin = a + round(n * part)
                window = (begin, b if order.times == 1 else begin + round(part / 2))
                yield self._make(DutyKind.MEDICINE, order.key, n + 1, Need.MUST, window, minutes, of=one)

    def _sun(self) -> Iterator[Duty]:
        out, here = self.room.outdoors, {r.key: r for r in self.fed}
        for key in out.owed:
            if key not in here or not ((out.windows and out.pens) or self._settled(DutyKind.SUN, key, 0)):
                continue
            starts, ends = [w.start for w in out.windows], [w.end for w in out.windows]
            window = (min(starts), max(ends)) if starts else self.shift
            minutes = here[key].heads * (self.s.to_tub_min + self.s.back_min)
            yield self._make(DutyKind.SUN, key, 0, Need.SHOULD, window, minutes, of=here[key])

    # ------------------------------------------------------------ tanks

    def _mist(self, tank: str) -> Iterator[Duty]:
        mists = [m for r in self.homes[tank] if (m := self.eyes.care(r).mist) is not None]
        for slot, window in enumerate(mists[0].windows if mists else (), start=1):
            need = Need.MUST if window.must else Need.SHOULD
            span = self._mist_span(tank, window.edge.value, window.from_min, window.to_min, mists[0].minutes)
            yield self._make(DutyKind.MIST, tank, slot, need, span, mists[0].minutes, tank=tank)

    def _mist_span(self, tank: str, edge: str, a: int, b: int, minutes: int) -> tuple[int, int]:
        """Around the edge of the lamps; where nobody is here then, as near to it as somebody is."""
        timer = self.eyes.timer(tank)
        if timer is None:
            return self.shift
        spans = {
            "after lights on": (timer.on + a, timer.on + b + minutes),
            "before lights out": (timer.off - b, timer.off - a),
            "after lights out": (timer.off + a, timer.off + b + minutes),
        }
        begin, end = spans[edge]
        long = end - begin
        begin = max(begin, self.eyes.first)
        end = begin + long
        return (begin, end) if end <= self.eyes.last else (max(self.eyes.last - long, 0), self.eyes.last)

    def _water(self, tank: str) -> Iterator[Duty]:
        waters = [w for r in self.homes[tank] if (w := self.eyes.care(r).water) is not None]
        if not waters:
            return
        change, every = waters[0].change_every_days, waters[0].filter_every_days
        tests = self._due(tank, 1, change)
        part = self._due(tank, 2, change)
        works = (
            (1, tests, self.s.water_test_min),
            (2, part, self.s.water_change_min),
            (3, self._due(tank, 3, every) and not part, self.s.filter_min),  # never both on one day
        )
        for slot, falls_due, minutes in works:
            if falls_due or self._settled(DutyKind.WATER, tank, slot):
                yield self._make(DutyKind.WATER, tank, slot, Need.SHOULD, self.shift, minutes, tank=tank)

    def _due(self, tank: str, slot: int, every: int) -> bool:
        own = [
            u.on for u in self.room.upkeep
            if (u.kind, u.subject, u.slot) == (DutyKind.WATER, tank, slot)
        ]  # fmt: skip
        return not own or self.room.day >= max(own) + dt.timedelta(days=every)

    def _lamps(self) -> Iterator[Duty]:
        for lamp in self.room.lamps:
            past = lamp.due is not None and lamp.due < self.room.day
            soon = lamp.due is not None and lamp.due - NOTICE <= self.room.day
            must = lamp.blown or past
            if lamp.tank not in self.eyes.tanks:
                continue
            if not (must or soon or self._settled(DutyKind.LAMP, lamp.key, 0)):
                continue
            living = self.homes.get(lamp.tank, [])
            carried = sum(r.heads for r in living) * (self.s.to_tub_min + self.s.back_min)
            need = Need.MUST if must else Need.SHOULD
            minutes = self.s.lamp_min + carried
            made = self._make(DutyKind.LAMP, lamp.key, 0, need, self.shift, minutes, tank=lamp.tank)
            hands = max([1, *(people(self.eyes.care(r), r) for r in living)])
            yield Duty(**{n: getattr(made, n) for n in made.__slots__} | {"people": hands})

    def _warm(self) -> Iterator[Duty]:
        seen: set[str] = set()
        for lot in self.room.arriving:
            for tank in lot.tanks if lot.on - self.room.day == dt.timedelta(days=1) else ():
                if tank in self.eyes.tanks and tank not in seen:
                    seen.add(tank)
                    yield self._make(
                        DutyKind.WARM, tank, 0, Need.SHOULD, self.shift, self.s.warm_min, tank=tank
                    )

    # ------------------------------------------------------------ the room

    def _thaw(self) -> Iterator[Duty]:
        room = self.room.room
        if self._settled(DutyKind.THAW, room, 0) or any(self._rodent_tomorrow(r) for r in self.fed):
            window = (max(self.eyes.first, self.eyes.last - self.s.thaw_within_min), self.eyes.last)
            yield self._make(DutyKind.THAW, room, 0, Need.MUST, window, self.s.thaw_min)

    def _rodent_tomorrow(self, one: Resident) -> bool:
        feeding, today = self.eyes.care(one).feeding, self.room.day
        meals = self._meals_on(one, today + dt.timedelta(days=1))
        if one.key in self.first_feed and any(m.category == RODENT for m in self._meals_on(one, today)):
            return False
        fed = one.last_fed_on if feeding.every_days > 1 else None
        if fed is not None and today + dt.timedelta(days=1) < fed + dt.timedelta(days=feeding.every_days):
            return False
        return any(m.category == RODENT and self._on_shelf(one, m) for m in meals)

    def _meals_on(self, one: Resident, day: dt.date) -> list[Meal]:
        """One a slot: prey before greens, else the one that the sheet names first."""
        found: dict[int, Meal] = {}
        for meal in self.eyes.care(one).feeding.meals:
            if meal.weekdays and day.isoweekday() not in meal.weekdays:
                continue
            had = found.get(meal.slot)
            if had is None or (had.category == "greens" and meal.category != "greens"):
                found[meal.slot] = meal
        return list(found.values())

    def _on_shelf(self, one: Resident, meal: Meal) -> bool:
        care = self.eyes.care(one)
        for food in self.room.foods:
            wanted = dict(meal.counts).get(food.kind, meal.count) * one.heads
            girth = dict(care.feeding.prey_basis).get(food.kind) is PreyBasis.GIRTH
            gap = one.gap_mm
            if gap is None and one.length_mm is not None and care.gap_per_length is not None:
                gap = round(one.length_mm * care.gap_per_length, 1)
            most = (one.girth_mm if girth else gap) or 0.0
            fits = food.size_mm is not None and food.size_mm <= most * care.feeding.prey_share + 1e-6
            if food.kind in meal.kinds and food.on_hand > 0 and food.on_hand >= wanted and fits:
                return True
        return not self.room.foods

    def _heat(self) -> Iterator[Duty]:
        outage, every = self.room.outage, max(self.s.heat_check_every_min, 1)
        racks: dict[str, list[str]] = {}
        for tank in self.homes:
            racks.setdefault(self.eyes.tanks[tank].rack, []).append(tank)
        slot, begin = 1, outage.began if outage else self.eyes.last
        while begin < self.eyes.last:
            for rack, tanks in racks.items() if begin + every > self.eyes.first else ():
                made = self._make(
                    DutyKind.HEAT_CHECK, rack, slot, Need.MUST, (begin, begin + every),
                    len(tanks) * self.s.heat_check_min,
                )  # fmt: skip
                apart = all(self.eyes.apart(t) for t in tanks)
                yield Duty(**{n: getattr(made, n) for n in made.__slots__} | {"quarantine": apart})
            slot, begin = slot + 1, begin + every
