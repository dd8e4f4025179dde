"""Work on single animals that is no feed: the scale, the vet's medicine, natural sun, and looking for one
that is missing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from roomops.husbandry.care import Need
from roomops.planning.facts import Facts
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind, Resident, Status
from roomops.planning.ties import given
from roomops.planning.upkeep import people_for

WEIGH_SLOT = 1
SEARCHES = 3  # at opening, at midday, at closing: common practice, no source
MIDDAY_MIN = 60  # either side of the middle of the day

Feeds = Mapping[str, Duty]
Window = tuple[int, int]


def first_feeds(feeds: tuple[Duty, ...]) -> Feeds:
    """Return each resident's first feed of the day."""
    found: dict[str, Duty] = {}
    for duty in feeds:
        if duty.subject not in found or duty.slot < found[duty.subject].slot:
            found[duty.subject] = duty
    return found


def of_animals(*, facts: Facts, feeds: tuple[Duty, ...]) -> Iterator[Duty]:
    """Give the day's weighings, doses and sun sessions, in the order of the room's residents and orders."""
    firsts = first_feeds(feeds)
    for resident in facts.fed:
        if _weighed_today(facts=facts, resident=resident):
            yield _weigh(facts=facts, resident=resident, first=firsts.get(resident.key))
    yield from _doses(facts=facts)
    yield from _sun(facts=facts)


def searches(*, facts: Facts, opening: Mapping[str, Window], closing: Mapping[str, Window]) -> Iterator[Duty]:
    """Give the recounts for each missing animal, until it is found, with the walks' windows by tank."""
    middle = (facts.first + facts.last) // 2
    for resident in facts.room.residents:
        if resident.status is not Status.MISSING:
            continue
        windows = (
            opening[resident.tank],
            (middle - MIDDAY_MIN, middle + MIDDAY_MIN),
            closing[resident.tank],
        )
        for slot, window in enumerate(windows, start=1):
            yield _of_animal(
                facts=facts, resident=resident, kind=DutyKind.SEARCH, slot=slot, need=Need.MUST,
                window=window, minutes=facts.room.settings.search_min,
            )  # fmt: skip


def _of_animal(
    *,
    facts: Facts,
    resident: Resident,
    kind: DutyKind,
    need: Need,
    window: Window,
    minutes: float,
    slot: int,
    subject: str = "",
    people: int = 1,
) -> Duty:
    return Duty(
        key=facts.key(kind, subject or resident.key, slot), kind=kind, subject=subject or resident.key,
        slot=slot, need=need, opens=window[0], closes=window[1], minutes=minutes, tank=resident.tank,
        heads=resident.heads, length_mm=resident.length_mm, quarantine=resident.tank in facts.apart,
        people=people,
    )  # fmt: skip


# ---------------------------------------------------------------- the scale


def _weighed_today(*, facts: Facts, resident: Resident) -> bool:
    every = facts.care_of(resident).weigh_every_days
    if facts.settled(facts.key(DutyKind.WEIGH, resident.key, WEIGH_SLOT)):
        return True
    if every is None:
        return False
    return resident.weight_on is None or (facts.room.day - resident.weight_on).days >= every


def _weigh(*, facts: Facts, resident: Resident, first: Duty | None) -> Duty:
    """Before the day's first feed: what an animal has eaten is no weight of its own."""
    closes = facts.last
    if first is not None:
        fed = given(facts=facts, duty=first.key)
        closes = first.closes if fed is None else fed
    return _of_animal(
        facts=facts, resident=resident, kind=DutyKind.WEIGH, slot=WEIGH_SLOT, need=Need.SHOULD,
        window=(facts.first, closes), minutes=resident.heads * facts.room.settings.weigh_min,
        people=people_for(facts=facts, resident=resident),
    )  # fmt: skip


# ---------------------------------------------------------------- medicine


def _doses(*, facts: Facts) -> Iterator[Duty]:
    for order in facts.room.medicines:
        resident = facts.by_key.get(order.resident)
        if resident is None:
            continue
        windows = _spread(span=_lit(facts=facts, tank=resident.tank), times=order.times)
        for slot, window in enumerate(windows, start=1):
            yield _of_animal(
                facts=facts, resident=resident, kind=DutyKind.MEDICINE, slot=slot, subject=order.key,
                need=Need.MUST, window=window, minutes=resident.heads * facts.room.settings.medicine_min,
                people=people_for(facts=facts, resident=resident),
            )  # fmt: skip


def _lit(*, facts: Facts, tank: str) -> Window:
    """Return the hours when its lamps burn and somebody is here; without such hours, when somebody is."""
    timer = facts.timer_of(tank)
    if timer is None:
        return facts.first, facts.last
    opens, closes = max(timer.on, facts.first), min(timer.off, facts.last)
    return (opens, closes) if opens < closes else (facts.first, facts.last)


def _spread(*, span: Window, times: int) -> Iterator[Window]:
    """Give each dose the first half of its part of the span, so that no two are close; one has it all."""
    part = (span[1] - span[0]) / max(times, 1)
    for place in range(times):
        begin = span[0] + round(place * part)
        yield begin, span[1] if times == 1 else begin + round(part / 2)


# ---------------------------------------------------------------- sun


def _sun(*, facts: Facts) -> Iterator[Duty]:
    """A session for each that is owed one, where there is a pen and an hour that is fit."""
    out, s = facts.room.outdoors, facts.room.settings
    fit = bool(out.windows and out.pens)
    for key in out.owed:
        resident = facts.by_key.get(key)
        settled = facts.settled(facts.key(DutyKind.SUN, key, 0))
        if resident is None or not (fit or settled):
            continue
        opens = min((w.start for w in out.windows), default=facts.first)
        closes = max((w.end for w in out.windows), default=facts.last)
        yield _of_animal(
            facts=facts, resident=resident, kind=DutyKind.SUN, slot=0, need=Need.SHOULD,
            window=(opens, closes), minutes=resident.heads * (s.to_tub_min + s.back_min),
            people=people_for(facts=facts, resident=resident),
        )  # fmt: skip
