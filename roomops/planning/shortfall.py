"""Why a duty did not fit, with the numbers, and what would make it fit. Sentences are worded on the top
floor.

Numbers by name: ``people`` on shift, ``opens`` and ``closes`` (minutes of the day), ``needed_min`` (one
round), ``window_min``, ``free_min`` (longest stretch that was left), ``short_min`` (what is missing),
``left_min`` (of the share of shifts that may be planned), ``heads``, ``tubs`` (that fit), ``tubs_short``,
``length_mm``, ``largest_mm``, ``read_c``, ``band_low_c``, ``read_at``, ``most_mm`` (prey), ``smallest_mm``
and ``on_hand`` (shelf), ``wanted``, ``gap_min``, ``first_at``, ``out_min``, ``most_out_min``, ``slot`` (of
the feed that is missing), ``began`` (of an outage), and, as 1 or 0, ``more_people_help`` and
``more_tubs_help``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from roomops.husbandry.feeding import fits, largest_prey
from roomops.planning.facts import GREENS, Facts, Low, low_tanks
from roomops.planning.jobs import Bench, Job, heads_within, longest_out
from roomops.planning.lanes import State
from roomops.planning.plan import Duty, Shortfall, Why
from roomops.planning.room import DutyKind, Food, Resident

Numbers = Mapping[str, float]


def shortfall(*, duty: str, why: Why, numbers: Numbers) -> Shortfall:
    return Shortfall(
        duty=duty, why=why, numbers=tuple((name, float(value)) for name, value in numbers.items())
    )


# ---------------------------------------------------------------- before anything is placed


def forbidden(*, facts: Facts, duties: Iterable[Duty], counters: tuple[Bench, ...]) -> dict[str, Shortfall]:
    """Return the open feeds that may not or cannot be given today, whatever the plan, by duty key.

    A later feed goes with an earlier one that is missing, except where only the shelf was empty for that one.
    """
    look = _Forbidden(facts=facts, counters=counters)
    found: dict[str, Shortfall] = {}
    for duty in duties:  # slot by slot: a first feed is judged before its second
        if duty.kind is not DutyKind.FEED or facts.settled(duty.key):
            continue
        why = look.why(duty) or look.missing_first(duty=duty, found=found)
        if why is not None:
            found[duty.key] = why
    return found


class _Forbidden:
    def __init__(self, *, facts: Facts, counters: tuple[Bench, ...]) -> None:
        self._facts = facts
        self._low = low_tanks(facts=facts)
        self._residents = {r.key: r for r in facts.fed}
        self._counters = counters
        self._known: dict[tuple[bool, float], tuple[float | None, int]] = {}
        self._most: dict[tuple[int, int], int] = {}

    def why(self, duty: Duty) -> Shortfall | None:
        outage = self._facts.room.outage
        if outage is not None:  # what lies cold digests nothing; hot ones are left in peace
            return shortfall(duty=duty.key, why=Why.HEAT_OR_POWER, numbers={"began": outage.began})
        resident = self._residents[duty.subject]
        low = self._low.get(duty.tank)
        if low is not None and self._facts.care_of(resident).basking_c is not None:
            return _basking(duty=duty, low=low)
        if duty.in_tub:
            return self._tubs(duty) or self._out(duty, resident) or self._food(duty, resident)
        return self._food(duty, resident)

    def missing_first(self, *, duty: Duty, found: Mapping[str, Shortfall]) -> Shortfall | None:
        stem = duty.key.rsplit("/", 1)[0]
        for slot in (m.slot for m in self._facts.meals[duty.subject] if m.slot < duty.slot):
            earlier = found.get(f"{stem}/{slot}")
            if earlier is not None and earlier.why is not Why.NO_FOOD:
                return shortfall(duty=duty.key, why=Why.FIRST_NOT_SERVED, numbers={"slot": slot})
        return None

    def _tubs(self, duty: Duty) -> Shortfall | None:
        length = duty.length_mm or 0.0
        largest, most = self._seats(quarantine=duty.quarantine, length=length)
        if largest is None:
            return shortfall(
                duty=duty.key,
                why=Why.NO_TUBS,
                numbers={"heads": duty.heads, "tubs": 0, "tubs_short": duty.heads},
            )
        if length > largest:
            return shortfall(
                duty=duty.key, why=Why.NO_TUB_FITS, numbers={"length_mm": length, "largest_mm": largest}
            )
        if duty.heads > most:
            watch_most = self._facts.room.settings.watch_most
            numbers = {
                "heads": duty.heads,
                "tubs": most,
                "tubs_short": duty.heads - most,
                "watch_most": watch_most,
            }
            return shortfall(duty=duty.key, why=Why.NO_TUBS, numbers=numbers)
        return None

    def _seats(self, *, quarantine: bool, length: float) -> tuple[float | None, int]:
        """Return the largest tub there is, and how many of one bench fit a length."""
        known = self._known.get((quarantine, length))
        if known is None:
            fits = [c.fits for c in self._counters if c.quarantine is quarantine]
            most = max((sum(fit >= length for fit in bench) for bench in fits), default=0)
            known = max((bench[0] for bench in fits), default=None), most
            self._known[quarantine, length] = known
        return known

    def _out(self, duty: Duty, resident: Resident) -> Shortfall | None:
        settings, feeding = self._facts.room.settings, self._facts.care_of(resident).feeding
        most_out = min(feeding.most_out_min, settings.most_out_min)
        limits = feeding.watch_min, most_out
        if limits not in self._most:
            self._most[limits] = heads_within(settings=settings, watch=limits[0], most_out=most_out)
        most = self._most[limits]
        if duty.heads <= most:
            return None
        out = longest_out(settings=settings, heads=duty.heads, watch=feeding.watch_min)
        numbers = {"heads": duty.heads, "most_heads": most, "out_min": out, "most_out_min": most_out}
        return shortfall(duty=duty.key, why=Why.OUT_TOO_LONG, numbers=numbers)

    def _food(self, duty: Duty, resident: Resident) -> Shortfall | None:
        """The shelf is kept as soon as one batch is on it; an empty list means that nobody keeps it here."""
        portion = duty.portion
        if portion is None or portion.food or not self._facts.room.foods:
            return None
        meal = next(m for m in self._facts.meals[duty.subject] if m.slot == duty.slot)
        here = [f for f in self._facts.room.foods if f.kind in meal.kinds and f.on_hand > 0]
        numbers: dict[str, float] = {"wanted": portion.count * duty.heads}
        if meal.category == GREENS or not meal.sized:
            return shortfall(duty=duty.key, why=Why.NO_FOOD, numbers=numbers)
        care = self._facts.care_of(resident)
        limits = {kind: largest_prey(animal=resident, care=care, kind=kind) for kind in meal.kinds}
        fitting = [f for f in here if fits(size_mm=f.size_mm, limit=limits[f.kind])]
        numbers["on_hand"] = max((f.on_hand for f in fitting), default=0.0)
        return shortfall(
            duty=duty.key, why=Why.NO_FOOD, numbers=numbers | _sizes(here=here, most_mm=portion.most_mm)
        )


def _basking(*, duty: Duty, low: Low) -> Shortfall:
    numbers = {
        "read_c": low.reading.value_c,
        "band_low_c": low.band_low,
        "read_at": float(low.reading.minute or 0),
        "short_c": round(low.band_low - low.reading.value_c, 2),
    }
    return shortfall(duty=duty.key, why=Why.BASKING_LOW, numbers=numbers)


def _sizes(*, here: Iterable[Food], most_mm: float | None) -> dict[str, float]:
    """Name the limit and the smallest on the shelf; an animal that was never measured has no limit."""
    if most_mm is None:
        return {"unmeasured": 1.0}
    sizes = [f.size_mm for f in here if f.size_mm is not None]
    return {"most_mm": most_mm, **({"smallest_mm": min(sizes)} if sizes else {})}


# ---------------------------------------------------------------- after everything is placed


def unplaced(*, facts: Facts, state: State, job: Job) -> tuple[Shortfall, ...]:
    """Return why duties of a round were left, asked of the finished plan; nothing when it serves all."""
    served = state.served(job) if facts.room.shifts else job.duties
    stands = {duty.key for duty in served}
    left = []
    for duty, needs in zip(job.duties, job.needs, strict=True):
        if duty.key not in stands:
            left.append(_first_missing(state=state, duty=duty, needs=needs))
    if state.spots[job.index] is None and served:
        why, numbers = _reason(facts=facts, state=state, job=job)
        left.extend(shortfall(duty=d.key, why=why, numbers=numbers) for d in served)
    return tuple(left)


def _first_missing(*, state: State, duty: Duty, needs: tuple[int, ...]) -> Shortfall:
    slots = [state.jobs[index].slot for index in needs if state.spots[index] is None]
    return shortfall(duty=duty.key, why=Why.FIRST_NOT_SERVED, numbers={"slot": min(slots)})


def _reason(*, facts: Facts, state: State, job: Job) -> tuple[Why, Numbers]:
    if not facts.room.shifts:
        window = {"opens": job.opens, "closes": job.closes}
        return Why.NOBODY_ON_SHIFT, {"people": 0, **window, "needed_min": job.total}
    if job.quarantine and not any(lane.may_quarantine for lane in state.lanes):
        return Why.NOT_ALLOWED, {"people": len(state.lanes)}
    room_for_it = job.closes - max(job.opens, job.earliest + job.prepare)
    if room_for_it < job.out:
        return _closed(facts=facts, job=job, room_for_it=room_for_it)
    bounds = state.bounds(job)
    if bounds is None:
        return _gap_too_short(facts=facts, job=job, state=state)
    return _crowded(state=state, job=job, low=bounds[0], high=bounds[1])


def _crowded(*, state: State, job: Job, low: int, high: int) -> tuple[Why, Numbers]:
    """Nobody is there long enough while it could be done, or all who are have other work."""
    present, others = (_present(state=state, job=job, low=low, high=high, allowed=a) for a in (True, False))
    if present >= job.total:
        return Why.NO_TIME, _no_time(state=state, job=job, low=low, high=high)
    if others >= job.total:
        return Why.NOT_ALLOWED, {"people": sum(not lane.may_quarantine for lane in state.lanes)}
    return Why.NOBODY_ON_SHIFT, {
        "people": 0,
        "opens": job.opens,
        "closes": job.closes,
        "needed_min": job.total,
        "present_min": max(present, 0),
        "short_min": job.total - present,
    }


def _closed(*, facts: Facts, job: Job, room_for_it: int) -> tuple[Why, Numbers]:
    """The window itself is too short, or what is left of it after now or after the feed before."""
    numbers = {
        "opens": job.opens,
        "closes": job.closes,
        "window_min": max(room_for_it, 0),
        "needed_min": job.out,
        "short_min": job.out - room_for_it,
    }
    if job.slot > 1 and job.earliest > max(facts.room.now_min, job.opens - job.prepare):
        gap = _gap(facts=facts, job=job)
        return Why.GAP_TOO_SHORT, {**numbers, "gap_min": gap, "first_at": job.earliest + job.bites - gap}
    return Why.WINDOW_CLOSED, numbers


def _gap(*, facts: Facts, job: Job) -> int:
    return max((facts.gaps[d.subject] for d in job.duties if d.kind is DutyKind.FEED), default=0)


def _gap_too_short(*, facts: Facts, job: Job, state: State) -> tuple[Why, Numbers]:
    """Neighbours leave no start: the feed before stands too late, or the one after too early."""
    last = job.closes - job.out - job.prepare
    low = max(job.opens - job.prepare, job.earliest)
    firsts = [
        spot.start + state.jobs[b.job].bites for b in job.before if (spot := state.spots[b.job]) is not None
    ]
    for before in job.before:
        spot = state.spots[before.job]
        if spot is not None:
            low = max(low, spot.start + before.lag)
    return Why.GAP_TOO_SHORT, {
        "gap_min": _gap(facts=facts, job=job),
        "first_at": max(firsts, default=0),
        "closes": job.closes,
        "needed_min": job.out,
        "short_min": max(low - last, 0),
    }


def _present(*, state: State, job: Job, low: int, high: int, allowed: bool) -> int:
    """Return the longest stretch of one shift in which the round could stand, planned or not."""
    stretches = [0]
    for lane in state.lanes:
        if job.quarantine and lane.may_quarantine is not allowed:
            continue
        stretches.extend(min(w.end, high + job.total) - max(w.start, low) for w in lane.windows)
    return max(stretches)


def _no_time(*, state: State, job: Job, low: int, high: int) -> Numbers:
    free, left = 0, 0
    for lane in state.lanes:
        if job.quarantine and not lane.may_quarantine:
            continue
        for a, b, window in lane.free:
            budget = lane.left[lane.windows[window].shift]
            stretch = min(b, high + job.total) - max(a, low)
            free = max(free, min(stretch, budget))
            left = max(left, budget if stretch > 0 else 0)
    tubs = state.tubs_free(job=job, low=low, high=high)
    return {
        "needed_min": job.total,
        "free_min": free,
        "short_min": max(job.total - free, 0),
        "left_min": left,
        "more_people_help": float(free < job.total and tubs),
        "more_tubs_help": float(not tubs),
        "tubs_short": float(0 if tubs else job.heads),
    }
