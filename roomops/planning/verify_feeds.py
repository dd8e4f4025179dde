"""The verifier's rules for feeding: tubs, minutes out of heat, gaps, quarantine last, heat before food,
prey.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from roomops.planning.plan import Breach, Duty, Portion, Round, Step, StepKind, Why
from roomops.planning.room import DutyKind, Food, Need, PreyBasis, Tub
from roomops.planning.verify_due import Eyes, breach

SMALL = 1e-6


def step(round_: Round, kind: StepKind) -> Step | None:
    return next((s for s in round_.steps if s.kind is kind), None)


def ate_at(round_: Round) -> int:
    """When its animals are offered food: gaps are counted from there."""
    found = step(round_, StepKind.FEED) or step(round_, StepKind.WORK)
    return found.start if found else round_.start


def feed_breaches(eyes: Eyes) -> Iterator[Breach]:
    for round_ in eyes.plan.rounds:
        duties = [eyes.expected[k] for k in round_.duties if k in eyes.expected]
        if duties and duties[0].in_tub:
            yield from _seating(eyes, round_, duties)
            yield from _out_of_heat(eyes, round_, duties)
        elif round_.seats:
            yield breach("seat without a feed", round=round_.key)
    yield from _tubs_in_time(eyes)
    yield from _each_feed(eyes)
    yield from _shelf(eyes)


# ---------------------------------------------------------------- tubs


def _seating(eyes: Eyes, round_: Round, duties: list[Duty]) -> Iterator[Breach]:
    seats = [(s.duty, s.head) for s in round_.seats]
    heads = [(d.key, head) for d in duties for head in range(1, d.heads + 1)]
    if sorted(seats) != sorted(heads):
        yield breach("each head one seat", round=round_.key, seats=len(seats), heads=len(heads))
    elif seats != heads:
        yield breach("first in first out", round=round_.key)
    if len(seats) > eyes.room.settings.watch_most:
        yield breach(
            "watched at once", round=round_.key, heads=len(seats), most=eyes.room.settings.watch_most
        )
    used = [s.tub for s in round_.seats]
    if len(set(used)) < len(used):
        yield breach("alone in its tub", round=round_.key, heads=len(used), tubs=len(set(used)))
    largest = max(
        (t.fits_mm for t in eyes.tubs.values() if t.quarantine is duties[0].quarantine), default=0.0
    )
    for seat in round_.seats:
        tub = eyes.tubs.get(seat.tub)
        if tub is None or seat.duty not in eyes.expected:
            yield breach("unknown tub", round=round_.key, duty=seat.duty)
            continue
        yield from _tub_suits(round_, eyes.expected[seat.duty], tub, largest)


def _tub_suits(round_: Round, duty: Duty, tub: Tub, largest: float) -> Iterator[Breach]:
    length = largest if duty.length_mm is None else duty.length_mm
    if length > tub.fits_mm:
        yield breach("tub too small", round=round_.key, duty=duty.key, length_mm=length, fits_mm=tub.fits_mm)
    if tub.quarantine is not duty.quarantine:
        yield breach("quarantine has its own tubs", round=round_.key, duty=duty.key)
    if tub.tray != round_.tray:
        yield breach("one tray", round=round_.key, duty=duty.key)


def _out_of_heat(eyes: Eyes, round_: Round, duties: list[Duty]) -> Iterator[Breach]:
    """First in, first out: the n-th animal leaves n - 1 carries after the first and is put back n-th."""
    out, back = step(round_, StepKind.TO_TUBS), step(round_, StepKind.RETURN)
    if out is None or back is None:
        return
    s = eyes.room.settings
    limits = [eyes.care(eyes.residents[d.subject]).feeding.most_out_min for d in duties]
    most = min([s.most_out_min, *limits])
    apart = back.start - out.start
    spans = [apart + n * s.back_min - (n - 1) * s.to_tub_min for n in range(1, len(round_.seats) + 1)]
    longest = max(spans, default=0.0)
    if longest > most + SMALL:
        yield breach("out of heat", round=round_.key, minutes=longest, most=most)


def _tubs_in_time(eyes: Eyes) -> Iterator[Breach]:
    """A tub serves again when it is washed and dry."""
    uses: dict[str, list[tuple[int, int, str]]] = {}
    for tub, use in _uses(eyes):
        uses.setdefault(tub, []).append(use)
    for tub in sorted(uses):
        for (_, free, _), (start, _, key) in pairwise(sorted(uses[tub])):
            if start < free:
                yield breach("tub washed first", round=key, start=start, washed=free)


def _uses(eyes: Eyes) -> Iterator[tuple[str, tuple[int, int, str]]]:
    """Each tub with when it is taken, when it is washed, and for which round."""
    free: dict[str, int] = {}
    for begun in eyes.room.begun:
        for tub in begun.tubs:
            free[tub] = max(begun.tubs_free, free.get(tub, 0))
    yield from ((tub, (0, until, "")) for tub, until in free.items())
    for round_ in eyes.plan.rounds:
        out, wash = step(round_, StepKind.TO_TUBS), step(round_, StepKind.WASH)
        if out is not None and wash is not None:
            for tub in sorted({s.tub for s in round_.seats}):
                yield tub, (out.start, wash.start + eyes.room.settings.wash_min, round_.key)


# ---------------------------------------------------------------- each feed


def _each_feed(eyes: Eyes) -> Iterator[Breach]:
    for name, round_ in eyes.in_round.items():
        duty = eyes.expected.get(name)
        if duty is None or duty.kind is not DutyKind.FEED:
            continue
        yield from _after_the_first(eyes, round_, duty)
        yield from _warm_enough(eyes, round_, duty)
        yield from _greens_chopped(eyes, round_, duty)
        yield from _fitting_prey(eyes, round_, duty)


def _after_the_first(eyes: Eyes, round_: Round, duty: Duty) -> Iterator[Breach]:
    """A later feed only with the earlier ones, and not before the gap has passed, start to start."""
    gap = eyes.gap(eyes.residents[duty.subject])
    stem = duty.key.rsplit("/", 1)[0]
    slots = [slot for slot in eyes.slots(eyes.residents[duty.subject]) if slot < duty.slot]
    for place, slot in enumerate(slots):
        earlier = f"{stem}/{slot}"
        if earlier in eyes.in_round:
            start = ate_at(eyes.in_round[earlier])
        elif earlier in eyes.given:
            start = eyes.given[earlier]
        else:
            if earlier not in eyes.settled and eyes.left.get(earlier) is not Why.NO_FOOD:
                yield breach("second only with a first", round=round_.key, duty=duty.key, slot=slot)
            continue
        least = gap * (len(slots) - place)
        if ate_at(round_) - start < least:
            yield breach("gap", round=round_.key, duty=duty.key, minutes=ate_at(round_) - start, least=least)


def _warm_enough(eyes: Eyes, round_: Round, duty: Duty) -> Iterator[Breach]:
    low = eyes.low_basking(duty.tank)
    if low is not None and eyes.care(eyes.residents[duty.subject]).basking_c is not None:
        yield breach("basking low", round=round_.key, duty=duty.key, read_c=low[0], band_low_c=low[1])


def _greens_chopped(eyes: Eyes, round_: Round, duty: Duty) -> Iterator[Breach]:
    if eyes.greens(duty) and round_.start < eyes.chopped:
        yield breach(
            "greens chopped first", round=round_.key, duty=duty.key, start=round_.start, end=eyes.chopped
        )


# ---------------------------------------------------------------- prey


def _limit(eyes: Eyes, duty: Duty, kind: str) -> tuple[float | None, bool]:
    """The largest prey of a kind in mm, and whether it is an estimate; None where nothing is known."""
    resident = eyes.residents[duty.subject]
    care = eyes.care(resident)
    share = care.feeding.prey_share
    if dict(care.feeding.prey_basis).get(kind, PreyBasis.LENGTH) is PreyBasis.GIRTH:
        return None if resident.girth_mm is None else resident.girth_mm * share, False
    if resident.gap_mm is not None:
        return resident.gap_mm * share, False
    if resident.length_mm is None or care.gap_per_length is None:
        return None, False
    return round(resident.length_mm * care.gap_per_length, 1) * share, True


def _fits(eyes: Eyes, duty: Duty, food: Food) -> bool:
    if not eyes.sized(duty):
        return True
    most, _ = _limit(eyes, duty, food.kind)
    return most is not None and food.size_mm is not None and food.size_mm <= most + SMALL


def _count(eyes: Eyes, duty: Duty, kind: str) -> int:
    meal = eyes.meal(duty)
    if not eyes.sized(duty):
        return 0
    return next((n for k, n in meal.counts if k == kind), meal.count)


def _fitting_prey(eyes: Eyes, round_: Round, duty: Duty) -> Iterator[Breach]:
    """Kind, size and count are named, and no prey is larger than the animal's limit."""
    portion = eyes.duties[duty.key].portion if duty.key in eyes.duties else None
    food = eyes.foods.get(portion.food) if portion is not None else None
    if portion is None or (eyes.room.foods and food is None):
        yield breach("portion named", round=round_.key, duty=duty.key)
        return
    if food is None:
        return
    if portion.kind != food.kind or food.kind not in eyes.meal(duty).kinds:
        yield breach("food of the sheet", round=round_.key, duty=duty.key)
    if not _fits(eyes, duty, food):
        most, _ = _limit(eyes, duty, food.kind)
        yield breach(
            "prey too large",
            round=round_.key,
            duty=duty.key,
            size_mm=food.size_mm or 0.0,
            most_mm=most or 0.0,
        )
    meal = eyes.meal(duty)
    limit = _limit(eyes, duty, food.kind) if eyes.sized(duty) else (None, False)
    weighed = next((grams for kind, grams in meal.grams if kind == food.kind), 0.0)
    wanted = (food.size_mm, *limit, meal.dusted, meal.powder if meal.dusted else "", weighed)
    if _told(portion) != wanted:
        yield breach("portion as it is", round=round_.key, duty=duty.key)
    if portion.count != _count(eyes, duty, food.kind):
        yield breach("count of the sheet", round=round_.key, duty=duty.key, count=portion.count)


def _told(p: Portion) -> tuple[float | None, float | None, bool, bool, str, float]:
    return p.size_mm, p.most_mm, p.estimated, p.dusted, p.powder, p.grams


def _shelf(eyes: Eyes) -> Iterator[Breach]:
    """No more is offered than is there; nothing that fits is called missing; the oldest batch goes first."""
    left = {f.key: f.on_hand for f in eyes.room.foods}
    held = [d for d in eyes.plan.duties if d.key not in eyes.settled and d.portion and d.portion.food in left]
    offered = [d for d in held if d.key in eyes.in_round]
    yield from _taken(offered, left)
    for duty in (d for d in held if d.key not in eyes.in_round):  # promised to it, should a time be found
        left[_portion(duty).food] -= _portion(duty).count * duty.heads
    for duty in (d for d in offered if d.key in eyes.expected):
        yield from _oldest_first(eyes, duty, left)
    for name, why in eyes.left.items():
        if why is Why.NO_FOOD and (name not in eyes.expected or _enough(eyes, eyes.expected[name], left)):
            yield breach("food was there", duty=name)


def _taken(duties: list[Duty], left: dict[str, float]) -> list[Breach]:
    """Take portions off the shelf; return the batches that hold less than was taken."""
    for duty in duties:
        left[_portion(duty).food] -= _portion(duty).count * duty.heads
    return [breach("shelf empty", duty=key, short=-rest) for key, rest in left.items() if rest < -SMALL]


def _oldest_first(eyes: Eyes, duty: Duty, left: dict[str, float]) -> Iterator[Breach]:
    chosen = eyes.foods[_portion(duty).food]
    for food in _enough(eyes, eyes.expected[duty.key], left):
        if food.kind == chosen.kind and food.received < chosen.received:
            yield breach("oldest first", duty=duty.key, days=(chosen.received - food.received).days)


def _portion(duty: Duty) -> Portion:
    assert duty.portion is not None  # noqa: S101
    return duty.portion


def _enough(eyes: Eyes, duty: Duty, left: dict[str, float]) -> list[Food]:
    if duty.kind is not DutyKind.FEED:
        return []
    kinds = eyes.meal(duty).kinds
    return [
        f for f in eyes.room.foods
        if f.kind in kinds and left[f.key] > 0 and left[f.key] >= _count(eyes, duty, f.kind) * duty.heads
        and _fits(eyes, duty, f)
    ]  # fmt: skip


def missed_heads(eyes: Eyes, need: Need) -> int:
    return sum(eyes.expected[s.duty].heads for s in eyes.plan.unplaced if _is(eyes, s.duty, need))


def _is(eyes: Eyes, duty: str, need: Need) -> bool:
    return duty in eyes.expected and eyes.expected[duty].need is need
