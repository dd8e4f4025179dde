"""Last readings against the bands of those who live there, and the lamp and feeding windows. Pure."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from roomops.desk.day_types import LastReading, Period, Presence
from roomops.husbandry.care import Band
from roomops.husbandry.heat import Verdict, judge
from roomops.planning.plan import Duty
from roomops.planning.room import FED, DutyKind, Reading
from roomops.planning.room import Room as Facts
from roomops.records.moments import Span

OUT = {
    Verdict.ABOVE: "high",
    Verdict.ACT_ABOVE: "high",
    Verdict.BELOW: "low",
    Verdict.ACT_BELOW: "low",
}
ACT = frozenset({Verdict.ACT_ABOVE, Verdict.ACT_BELOW})
BANDS = {"basking": "basking_c", "cool": "cool_c", "night low": "night_c"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The band that serves all who live in a tank, and the limits to act at now, in °C. None: no such."""

    low: float | None = None
    high: float | None = None
    act_below: float | None = None
    act_above: float | None = None

    @property
    def edges_c(self) -> tuple[float, float] | None:
        """(low, high) as pages show it; None where nothing is wanted."""
        return None if self.low is None or self.high is None else (self.low, self.high)

    @property
    def band(self) -> Band | None:
        """The same as a care sheet's band; None where nothing is wanted."""
        if self.low is None or self.high is None:
            return None
        return Band(low=self.low, high=self.high, act_below=self.act_below, act_above=self.act_above)


NO_LIMITS = Limits()


def limits_of(*, facts: Facts) -> Mapping[tuple[str, str], Limits]:
    """Return the limits by (tank key, spot) of every tank that somebody lives in."""
    care = {(each.kind, each.stage): each for each in facts.care}
    living: dict[str, dict[tuple[str, str], None]] = defaultdict(dict)
    for resident in facts.residents:
        if resident.status in FED:
            living[resident.tank][resident.kind, resident.stage] = None
    company = {tuple(kinds) for kinds in living.values()}  # many tanks, few companies
    limits = {
        (kinds, spot): _narrowest(getattr(care[kind], name) for kind in kinds)
        for kinds in company
        for spot, name in BANDS.items()
    }
    return {(tank, spot): limits[tuple(kinds), spot] for tank, kinds in living.items() for spot in BANDS}


def _narrowest(bands: Iterable[Band | None]) -> Limits:
    found = [band for band in bands if band is not None]
    if not found:
        return NO_LIMITS
    low, high = max(band.low for band in found), min(band.high for band in found)
    if low > high:  # no temperature suits them all: the first one's band, so that something is shown
        low, high = found[0].low, found[0].high
    below = [band.act_below for band in found if band.act_below is not None]
    above = [band.act_above for band in found if band.act_above is not None]
    return Limits(low=low, high=high, act_below=max(below, default=None), act_above=min(above, default=None))


def last_readings(
    *, facts: Facts, span: Span, now: datetime, labels: Mapping[str, str]
) -> tuple[LastReading, ...]:
    """Return the last reading of each spot, tanks in walking order."""
    limits = limits_of(facts=facts)
    lights_on = {timer.key: timer.on for timer in facts.timers}
    tanks = {tank.key: tank for tank in facts.tanks}
    order = {tank.key: place for place, tank in enumerate(facts.tanks)}
    warm_up = facts.settings.reading_after_on_min
    found = []
    for reading in sorted(facts.readings, key=lambda r: (order.get(r.tank, len(order)), r.spot)):
        if reading.tank not in tanks:
            continue
        on = lights_on.get(tanks[reading.tank].timer)
        early = reading.spot == "basking" and _early(reading, on, warm_up)
        found.append(
            _last(
                reading=reading,
                limits=limits.get((reading.tank, reading.spot), NO_LIMITS),
                at=None if reading.minute is None else span.moment(reading.minute),
                now=now,
                name=labels.get(f"tank:{reading.tank}", reading.tank),
                early=early,
            )
        )
    return tuple(found)


def _early(reading: Reading, on: int | None, warm_up: int) -> bool:
    return reading.minute is not None and on is not None and on <= reading.minute < on + warm_up


def _last(
    *, reading: Reading, limits: Limits, at: datetime | None, now: datetime, name: str, early: bool
) -> LastReading:
    found = judge(value_c=reading.value_c, band=limits.band, warming=early)
    return LastReading(
        tank=reading.tank,
        tank_name=name,
        spot=reading.spot,
        value_c=reading.value_c,
        at=at,
        on=reading.on,
        age_min=None if at is None else max(0, int((now - at) / timedelta(minutes=1))),
        low_c=limits.low,
        high_c=limits.high,
        out=OUT.get(found, ""),
        act=found in ACT,
        too_early=early,
    )


# ---------------------------------------------------------------- the ribbon


def periods(*, facts: Facts, duties: Iterable[Duty], span: Span) -> tuple[Period, ...]:
    """Return the photoperiods: each timer, the kinds awake by day or night under it, when they are fed."""
    care = {(each.kind, each.stage): each for each in facts.care}
    timers = {tank.key: tank.timer for tank in facts.tanks}
    groups: dict[tuple[str, str], dict[str, str]] = defaultdict(dict)  # (timer, active): resident, kind name
    for resident in facts.residents:
        timer = timers.get(resident.tank, "")
        if resident.status in FED and timer:
            each = care[resident.kind, resident.stage]
            groups[timer, each.active.value][resident.key] = each.kind_name
    feeds = {d.key: d for d in duties if d.kind is DutyKind.FEED}
    by_subject: dict[str, list[Duty]] = defaultdict(list)
    for duty in feeds.values():
        by_subject[duty.subject].append(duty)
    on_off = {timer.key: (timer.on, timer.off) for timer in facts.timers}
    found = []
    for (timer, _), members in sorted(groups.items(), key=lambda g: (on_off[g[0][0]], g[0])):
        meals = [duty for subject in members for duty in by_subject[subject]]
        found.append(
            Period(
                timer=timer,
                kinds=tuple(sorted(set(members.values()))),
                on=span.moment(on_off[timer][0]),
                off=span.moment(on_off[timer][1]),
                food_from=span.moment(min(d.opens for d in meals)) if meals else None,
                food_to=span.moment(max(d.closes for d in meals)) if meals else None,
            )
        )
    return tuple(found)


def presences(*, facts: Facts, span: Span, labels: Mapping[str, str]) -> tuple[Presence, ...]:
    """Return today's shifts, in order of their start."""
    return tuple(
        Presence(
            person=shift.person,
            name=labels.get(f"person:{shift.person}", shift.person),
            starts=span.moment(shift.start),
            ends=span.moment(shift.end),
        )
        for shift in sorted(facts.shifts, key=lambda s: (s.start, s.person))
    )
