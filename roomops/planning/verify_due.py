"""The verifier's own idea of what falls due: worked out from the room alone, to be held against a plan's
duties.

Shares no code with the planner on purpose: a mistake made twice the same way would not be found.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from roomops.planning.plan import Breach, Duty, Plan
from roomops.planning.room import (
    FED,
    Active,
    DutyKind,
    Meal,
    Need,
    Place,
    Resident,
    Room,
    StageCare,
    Status,
    Tank,
    Timer,
)
from roomops.planning.verify_upkeep import Upkeep, people

_WEEK = range(1, 8)
_STAYS = ("greens", "powder meal")  # stands in the tank, whoever eats the rest of the day in a tub


def breach(rule: str, *, round: str = "", duty: str = "", **numbers: float) -> Breach:  # noqa: A002
    return Breach(rule=rule, round=round, duty=duty, numbers=tuple((n, float(v)) for n, v in numbers.items()))


class Eyes:
    """The room looked at by the verifier, and the duties that it must have."""

    def __init__(self, room: Room, plan: Plan) -> None:
        self.room, self.plan = room, plan
        self.tanks = {t.key: t for t in room.tanks}
        self.timers = {t.key: t for t in room.timers}
        self.tubs = {t.key: t for t in room.tubs}
        self.foods = {f.key: f for f in room.foods}
        self.residents = {r.key: r for r in room.residents}
        self.duties = {d.key: d for d in plan.duties}
        self.settled = {d.duty for d in room.done} | {k for b in room.begun for k in b.duties}
        self.in_round = {key: r for r in plan.rounds for key in r.duties}
        self.given = {d.duty: d.minute for d in room.done if d.outcome != "not here"}
        self.given |= {key: begun.start for begun in room.begun for key in begun.duties}
        self.left = {s.duty: s.why for s in plan.unplaced}
        self.chopped = max((r.end for r in plan.rounds if r.kind is DutyKind.CUPS), default=0)
        self._care = {(c.kind, c.stage): c for c in room.care}
        self._apart = {t.key for t in room.tanks if t.quarantine} | {
            r.tank for r in room.residents if r.status in (Status.QUARANTINE, Status.ISOLATED)
        }
        self._low = self._low_basking()
        self.first = min([s.start for s in room.shifts], default=0)
        self.last = max([s.end for s in room.shifts], default=room.day_length_min)
        self.expected = {d.key: d for d in self._expected()}

    def care(self, resident: Resident) -> StageCare:
        return self._care[resident.kind, resident.stage]

    def timer(self, tank: str) -> Timer | None:
        return self.timers.get(self.tanks[tank].timer)

    def apart(self, tank: str) -> bool:
        """Quarantine tanks, and those where a new or an unwell animal lives."""
        return tank in self._apart

    def meals(self, resident: Resident) -> dict[int, Meal]:
        """Today's meals by slot: of two in one slot the prey counts, its greens stand beside."""
        today = [
            m
            for m in self.care(resident).feeding.meals
            if self.room.day.isoweekday() in (m.weekdays or _WEEK)
        ]
        return {m.slot: m for prey in (False, True) for m in today if (m.category != "greens") is prey}

    def slots(self, resident: Resident) -> list[int]:
        return sorted(self.meals(resident))

    def gap(self, resident: Resident) -> int:
        """The least minutes from feed to feed: the figure for the day's number of feeds, else for the next
        fewer.
        """
        feeding = self.care(resident).feeding
        number = len(self.slots(resident))
        table = dict(feeding.gap_min)
        fewer = [n for n in table if n <= number]
        if number < 2 or not table:
            return 0
        return table[max(fewer)] if fewer else table[min(table)]

    def low_basking(self, tank: str) -> tuple[float, float, int] | None:
        """The last basking reading of today, if below the band of somebody living there: value, band,
        minute.
        """
        return self._low.get(tank)

    def _low_basking(self) -> dict[str, tuple[float, float, int]]:
        bands: dict[str, float] = {}
        for resident in self.room.residents:
            band = self.care(resident).basking_c if resident.status in (*FED, Status.MISSING) else None
            if band is not None:
                bands[resident.tank] = max(band.low, bands.get(resident.tank, band.low))
        last: dict[str, tuple[int, int, float]] = {}
        for place, read in enumerate(self.room.readings):
            if read.spot == "basking" and read.on == self.room.day and read.minute is not None:
                last[read.tank] = max(last.get(read.tank, (-1, 0, 0.0)), (read.minute, place, read.value_c))
        return {
            tank: (value, bands[tank], minute)
            for tank, (minute, _, value) in last.items()
            if tank in bands and value < bands[tank]
        }

    # ------------------------------------------------------------ what must be there

    def _key(self, kind: DutyKind, subject: str, slot: int) -> str:
        return f"{self.room.day.isoformat()}/{kind.value}/{subject}/{slot}"

    def _expected(self) -> Iterator[Duty]:
        fed = [r for r in self.room.residents if r.status in FED]
        homes = {r.tank for r in fed}
        sought = homes | {r.tank for r in self.room.residents if r.status is Status.MISSING}
        for tank in self.room.tanks:
            if tank.key in sought:
                yield from self._walks(tank)
            if tank.key in homes:
                yield from self._looks(tank)
        feeds = [d for r in fed for d in self._feeds(r)]
        yield from feeds
        yield from self._kitchen(feeds)
        yield from Upkeep(self, feeds).expected()

    def _of_tank(
        self, tank: Tank, kind: DutyKind, opens: int, closes: int, minutes: float, slot: int = 0
    ) -> Duty:
        need = Need.SHOULD if kind is DutyKind.CLEAN else Need.MUST
        return Duty(
            key=self._key(kind, tank.key, slot), kind=kind, subject=tank.key, slot=slot, need=need,
            opens=opens, closes=closes, minutes=minutes, tank=tank.key, quarantine=self.apart(tank.key),
        )  # fmt: skip

    def walk_windows(self, tank: Tank) -> dict[DutyKind, tuple[int, int]]:
        """When its opening and its closing walk are."""
        s, timer = self.room.settings, self.timer(tank.key)
        opens = self.first
        if timer and self.first < timer.on <= self.first + s.open_within_min // 2:
            opens = timer.on
        begins = self.last - s.close_within_min
        if timer and begins < timer.off <= self.last - s.close_within_min // 2:
            begins = timer.off
        return {
            DutyKind.OPENING: (opens, opens + s.open_within_min),
            DutyKind.CLOSING: (max(begins, 0), self.last),
        }

    def _walks(self, tank: Tank) -> Iterator[Duty]:
        s = self.room.settings
        minutes = {DutyKind.OPENING: s.open_walk_min, DutyKind.CLOSING: s.close_walk_min}
        for kind, window in self.walk_windows(tank).items():
            yield self._of_tank(tank, kind, *window, minutes[kind])

    def _looks(self, tank: Tank) -> Iterator[Duty]:
        s, timer = self.room.settings, self.timer(tank.key)
        opens = timer.on + s.reading_after_on_min if timer else self.first
        yield self._of_tank(tank, DutyKind.READING, opens, opens + s.reading_within_min, s.reading_min)
        low = self.low_basking(tank.key)
        if low:
            stem = self._key(DutyKind.READING, tank.key, 0)[:-1]
            again = [d for d in self.room.done if d.duty.startswith(stem) and d.duty != f"{stem}0"]
            slot = 1 + len({d.duty for d in again})
            opens, closes = low[2] + s.reread_after_min, self.room.day_length_min
            yield self._of_tank(tank, DutyKind.READING, opens, closes, s.reading_min, slot=slot)
        yield self._of_tank(tank, DutyKind.CLEAN, self.first, self.last, s.clean_min)

    def _kitchen(self, feeds: list[Duty]) -> Iterator[Duty]:
        s, name = self.room.settings, self.room.room
        closes = [d.closes for d in feeds if self._chopped_for(d)]
        rows = [(DutyKind.CUPS, Need.MUST, max(closes), s.cups_min)] if closes else []
        if any(f.category == "insect" for f in self.room.foods):
            rows.append((DutyKind.INSECTS, Need.SHOULD, self.last, s.insects_min))
        for kind, need, until, minutes in rows:
            yield Duty(
                key=self._key(kind, name, 0), kind=kind, subject=name, slot=0, need=need, opens=self.first,
                closes=until, minutes=minutes,
            )  # fmt: skip

    def meal(self, duty: Duty) -> Meal:
        return self.meals(self.residents[duty.subject])[duty.slot]

    def greens(self, duty: Duty) -> bool:
        """Whether a feed is greens alone: nothing that runs away shares its slot."""
        return duty.kind is DutyKind.FEED and self.meal(duty).category == "greens"

    def sized(self, duty: Duty) -> bool:
        """Whether what is offered is counted and held against the animal's limit."""
        return self.meal(duty).sized and not self.greens(duty)

    def watch(self, duty: Duty) -> int:
        """Minutes of watching: what stays in the tank needs none."""
        watched = duty.in_tub or self.meal(duty).watched
        return self.care(self.residents[duty.subject]).feeding.watch_min if watched else 0

    def _chopped_for(self, duty: Duty) -> bool:
        """Whether greens are the feed, or stand beside it today."""
        feeding = self.care(self.residents[duty.subject]).feeding
        served = [(d.slot, d.weekdays) for d in feeding.dishes]
        served += [(m.slot, m.weekdays) for m in feeding.meals if m.category == "greens"]
        day = self.room.day.isoweekday()
        return any(slot == duty.slot and day in (weekdays or _WEEK) for slot, weekdays in served)

    def _feeds(self, resident: Resident) -> Iterator[Duty]:
        s, care = self.room.settings, self.care(resident)
        if not self._fed_today(resident, care.feeding.every_days):
            return
        opens, closes = self._window(resident, care)
        meals = self.meals(resident)
        for place, slot in enumerate(sorted(meals)):
            in_tub = care.feeding.place is Place.TUB and meals[slot].category not in _STAYS
            carry = s.prepare_min + resident.heads * (s.to_tub_min + s.back_min) + s.hands_wash_min
            yield Duty(
                key=self._key(DutyKind.FEED, resident.key, slot), kind=DutyKind.FEED, subject=resident.key,
                slot=slot, need=meals[slot].need, opens=opens + place * self.gap(resident), closes=closes,
                minutes=carry if in_tub else s.tank_feed_min * resident.heads, tank=resident.tank,
                heads=resident.heads, length_mm=resident.length_mm, quarantine=self.apart(resident.tank),
                in_tub=in_tub, people=people(care, resident) if in_tub else 1,
            )  # fmt: skip

    def _fed_today(self, resident: Resident, every_days: int) -> bool:
        stem = self._key(DutyKind.FEED, resident.key, 0)[:-1]
        if every_days < 2 or resident.last_fed_on is None or any(k.startswith(stem) for k in self.settled):
            return True
        return (self.room.day - resident.last_fed_on).days >= every_days

    def _window(self, resident: Resident, care: StageCare) -> tuple[int, int]:
        timer, feeding, end = self.timer(resident.tank), care.feeding, self.room.day_length_min
        if timer is None:
            return 0, end
        if care.active is Active.NIGHT:
            until = end if feeding.closes_after_off_min is None else timer.off + feeding.closes_after_off_min
            return min(timer.off + (feeding.opens_after_off_min or 0), end), min(until, end)
        return timer.on + (feeding.opens_after_on_min or 0), timer.off - (feeding.closes_before_off_min or 0)


def duty_breaches(eyes: Eyes) -> Iterator[Breach]:
    """Every duty that must be there is, as it must be, and no other; each open one is planned once or
    explained.
    """
    counted = Counter(d.key for d in eyes.plan.duties)
    for name, duty in eyes.expected.items():
        if name not in counted:
            yield breach("missing duty", duty=name)
        elif not _same(duty, eyes.duties[name]):
            yield breach("duty changed", duty=name, opens=duty.opens, closes=duty.closes, heads=duty.heads)
    for name, times in counted.items():
        if name not in eyes.expected:
            yield breach("unknown duty", duty=name)
        elif times > 1:
            yield breach("duty listed twice", duty=name, times=times)
    yield from _answered(eyes)


def _answered(eyes: Eyes) -> Iterator[Breach]:
    planned = [(name, r.key) for r in eyes.plan.rounds for name in r.duties]
    left = [(s.duty, "") for s in eyes.plan.unplaced]
    for name, round_key in planned + left:
        if name not in eyes.expected:
            yield breach("unknown duty", round=round_key, duty=name)
        elif name in eyes.settled:
            yield breach("settled planned again", round=round_key, duty=name)
    times = Counter(name for name, _ in planned + left)
    for name in eyes.expected:
        if times[name] > 1:
            yield breach("planned twice", duty=name, times=times[name])
        if times[name] == 0 and name not in eyes.settled:
            yield breach("not planned", duty=name)


def _same(want: Duty, got: Duty) -> bool:
    names = ("kind", "subject", "slot", "need", "opens", "closes", "minutes", "tank", "heads", "length_mm",
             "quarantine", "in_tub", "people")  # fmt: skip
    return all(getattr(want, name) == getattr(got, name) for name in names)
