"""Who is free when: people's lanes and benches of tubs, with rounds put in and taken out."""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable
from dataclasses import dataclass

from roomops.planning.facts import Facts
from roomops.planning.jobs import Bench, Job
from roomops.planning.plan import Duty

Group = tuple[str, int, str]
"""Kind, slot and part of the day: within it quarantine comes last for each person."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a round stands: whose lane, from which minute, on which bench (-1: none), from which window."""

    lane: int
    start: int
    bench: int
    window: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A stretch of a shift without absences. Windows of one shift share its budget."""

    start: int
    end: int
    shift: int


class Lane:
    """One person's day: free stretches in order, and minutes left of each shift's share."""

    def __init__(
        self, *, person: str, may_quarantine: bool, windows: list[Window], budgets: list[int]
    ) -> None:
        self.person = person
        self.may_quarantine = may_quarantine
        self.capacity = sum(budgets)
        self.used = 0
        self.load = 0.0  # part of the capacity that is used
        self.left = budgets
        self.windows = windows
        self.free: list[tuple[int, int, int]] = [(w.start, w.end, i) for i, w in enumerate(windows)]
        self.groups: dict[Group, list[tuple[int, int, bool]]] = {}  # start, end, quarantine

    def serves_apart(self, job: Job) -> bool:
        """Say whether this person already does quarantine in the job's slot."""
        return any(quarantine for _, _, quarantine in self.groups.get(job.group, ()))

    def take(self, *, start: int, end: int, window: int) -> None:
        for place, (a, b, w) in enumerate(self.free):
            if w == window and a <= start and end <= b:
                parts = [(x, y, w) for x, y in ((a, start), (end, b)) if x < y]
                self.free[place : place + 1] = parts
                break
        self._spend(window=window, minutes=end - start)

    def _spend(self, *, window: int, minutes: int) -> None:
        self.left[self.windows[window].shift] -= minutes
        self.used += minutes
        self.load = self.used / max(self.capacity, 1)

    def give_back(self, *, start: int, end: int, window: int) -> None:
        self._spend(window=window, minutes=start - end)
        for place in range(len(self.free) - 1, -1, -1):
            a, b, w = self.free[place]
            if w == window and (b == start or a == end):
                start, end = min(a, start), max(b, end)
                del self.free[place]
        insort(self.free, (start, end, window))


class State:
    """A plan in the making. Every method is deterministic; nothing reads a clock."""

    def __init__(self, *, facts: Facts, jobs: tuple[Job, ...], counters: tuple[Bench, ...]) -> None:
        self.jobs = jobs
        self.after: list[list[tuple[int, int, bool]]] = [[] for _ in jobs]
        for job in jobs:
            for before in job.before:
                self.after[before.job].append((job.index, before.lag, before.required))
        self.lanes = lanes(facts=facts)
        self.tubs: list[list[tuple[int, int]]] = [_taken(facts=facts, bench=bench) for bench in counters]
        self.spots: list[Spot | None] = [None] * len(jobs)
        self._peaks = sorted((p.start, p.end) for p in facts.room.peaks if not p.person)
        self._apart = {job.group for job in jobs if job.quarantine}

    # ------------------------------------------------------------ asking

    def bounds(self, job: Job) -> tuple[int, int] | None:
        """Return the first and last start that the job's window and its neighbours allow, or None.

        A round may stand as soon as one of its duties may be: the others wait for an earlier feed.
        """
        low = max(job.opens - job.prepare, job.earliest)
        high = job.closes - job.out - job.prepare
        for before in job.before:
            spot = self.spots[before.job]
            if spot is not None:
                low = max(low, spot.start + before.lag)
            elif before.required and not self.served(job):
                return None
        for index, lag, _ in self.after[job.index]:
            later = self.spots[index]
            if later is not None:
                high = min(high, later.start - lag)
        return (low, high) if low <= high else None

    def served(self, job: Job) -> tuple[Duty, ...]:
        """Return the duties that the round serves where it stands: those whose earlier feeds stand too."""
        stands = self.spots
        return tuple(
            duty
            for duty, needs in zip(job.duties, job.needs, strict=True)
            if all(stands[index] is not None for index in needs)
        )

    def earliest(self, job: Job, lane: int, low: int, high: int, keep_peaks: bool) -> Spot | None:  # noqa: FBT001
        """Return the earliest spot of ``job`` in a lane that starts between ``low`` and ``high``."""
        person = self.lanes[lane]
        if job.quarantine and not person.may_quarantine:
            return None
        group = job.group
        if group in self._apart:
            low, high = _last_in_group(job, person.groups.get(group, ()), low, high)
        total = job.total
        for a, b, window in person.free:
            if a > high:
                break
            start = max(a, low)
            if start + total > b or person.left[person.windows[window].shift] < total:
                continue
            found = self._within(job, start, min(high, b - total), keep_peaks)
            if found is not None:
                return Spot(lane, found[0], found[1], window)
        return None

    def latest(self, job: Job, lane: int, low: int, high: int) -> Spot | None:
        """Return the latest spot of a walk in a lane that starts between ``low`` and ``high``, out of
        peaks.
        """
        person, total = self.lanes[lane], job.total
        if job.quarantine and not person.may_quarantine:
            return None
        if job.group in self._apart:
            low, high = _last_in_group(job, person.groups.get(job.group, ()), low, high)
        for a, b, window in reversed(person.free):
            start = min(b - total, high)
            for peak_start, peak_end in reversed(self._peaks):
                if start < peak_end and start + total > peak_start:
                    start = peak_start - total
            if start >= max(a, low) and person.left[person.windows[window].shift] >= total:
                return Spot(lane, start, -1, window)
        return None

    def _within(self, job: Job, start: int, last: int, keep_peaks: bool) -> tuple[int, int] | None:  # noqa: FBT001
        """Return (start, bench) at or after ``start``: past the shop's peaks, with tubs washed in time."""
        total, bench = job.total, -1
        while start <= last:
            moved = start
            if keep_peaks:
                for a, b in self._peaks:
                    if start < b and start + total > a:
                        start = b
            if job.clear:
                start = self._past(job, start)
            if job.held:
                tubs_at, bench = self._tubs(job, start + job.prepare)
                start = tubs_at - job.prepare
            if start == moved:
                return start, bench
        return None

    def _past(self, job: Job, start: int) -> int:
        """Return ``start``, or the minute at which the round is clear of the one that it would meet."""
        for clear in job.clear:
            spot, other = self.spots[clear.job], self.jobs[clear.job]
            if spot is None:
                continue
            mine, begins = start + job.prepare, spot.start + other.prepare
            ends = begins + other.out + clear.after
            if mine < ends and mine + job.out > begins - clear.before:
                start = ends - job.prepare
        return start

    def _tubs(self, job: Job, at: int) -> tuple[int, int]:
        """Return (minute, bench) of the earliest washed tubs at or after ``at``, least waste first."""
        best = (1 << 30, -1)
        for bench in job.benches:
            minute = at
            for a, b in self.tubs[bench]:
                if minute < b and minute + job.held > a:
                    minute = b
            if minute == at:
                return at, bench
            if minute < best[0]:
                best = (minute, bench)
        return best

    def tubs_free(self, *, job: Job, low: int, high: int) -> bool:
        """Say whether tubs alone would let the round start between ``low`` and ``high``, people aside."""
        return job.held == 0 or self._tubs(job, low + job.prepare)[0] - job.prepare <= high

    def washed(self, *, job: Job, start: int, bench: int) -> bool:
        """Say whether a bench can seat the round and its tubs are free for it."""
        at = start + job.prepare
        return bench in job.benches and all(b <= at or at + job.held <= a for a, b in self.tubs[bench])

    # ------------------------------------------------------------ moving

    def put(self, job: Job, spot: Spot) -> None:
        self.spots[job.index] = spot
        lane = self.lanes[spot.lane]
        lane.take(start=spot.start, end=spot.start + job.total, window=spot.window)
        lane.groups.setdefault(job.group, []).append((spot.start, spot.start + job.total, job.quarantine))
        if job.held:
            at = spot.start + job.prepare
            insort(self.tubs[spot.bench], (at, at + job.held))

    def pull(self, job: Job) -> None:
        spot = self.spots[job.index]
        if spot is None:
            return
        self.spots[job.index] = None
        lane, end = self.lanes[spot.lane], spot.start + job.total
        lane.give_back(start=spot.start, end=end, window=spot.window)
        lane.groups[job.group].remove((spot.start, end, job.quarantine))
        if job.held:
            at = spot.start + job.prepare
            self.tubs[spot.bench].remove((at, at + job.held))

    def reset(self, spots: list[Spot | None]) -> None:
        """Put every round back to where ``spots`` has it."""
        changed = [job for job in self.jobs if self.spots[job.index] != spots[job.index]]
        for job in changed:
            self.pull(job)
        for job in changed:
            spot = spots[job.index]
            if spot is not None:
                self.put(job, spot)

    def pull_chain(self, job: Job) -> list[Job]:
        """Take a round out with the later feeds that may not be without it; return all that were taken."""
        if self.spots[job.index] is None:
            return []
        out = [job]
        for later in list(self.dependents(job.index)):
            out += self.pull_chain(self.jobs[later])
        self.pull(job)
        return out

    def dependents(self, index: int) -> Iterable[int]:
        """Give the placed rounds that may not be without this one, nearest first."""
        for later, _, required in self.after[index]:
            if required and self.spots[later] is not None:
                yield later


def _last_in_group(job: Job, placed: Iterable[tuple[int, int, bool]], low: int, high: int) -> tuple[int, int]:
    """Narrow a start to before this person's quarantine rounds of the group, or to after the clean ones."""
    for start, end, quarantine in placed:
        if job.quarantine and not quarantine:
            low = max(low, end)
        elif quarantine and not job.quarantine:
            high = min(high, start - job.total)
    return low, high


def _taken(*, facts: Facts, bench: Bench) -> list[tuple[int, int]]:
    """Return when tubs of a bench are in use by rounds under way."""
    own = {tub.key for tub in bench.tubs}
    return sorted((0, b.tubs_free) for b in facts.room.begun if own.intersection(b.tubs) and b.tubs_free > 0)


# ---------------------------------------------------------------- lanes from shifts


def lanes(*, facts: Facts) -> list[Lane]:
    """Return the lanes of the people on shift, in the room's order. Each shift has a budget of its share."""
    made: list[Lane] = []
    for person in facts.room.people:
        shifts = [s for s in facts.room.shifts if s.person == person.key]
        if not shifts:
            continue
        begins = max(
            [facts.room.now_min, *(b.person_free for b in facts.room.begun if b.person == person.key)]
        )
        away = sorted((s.start, s.end) for s in facts.room.peaks if s.person == person.key)
        windows: list[Window] = []
        budgets: list[int] = []
        for number, shift in enumerate(sorted(shifts, key=lambda s: s.start)):
            present = max(shift.end - max(shift.start, facts.room.now_min), 0)
            budgets.append(int(shift.share * present + 1e-9))
            windows.extend(
                Window(start=a, end=b, shift=number)
                for a, b in _without(start=max(shift.start, begins), end=shift.end, away=away)
            )
        made.append(
            Lane(person=person.key, may_quarantine=person.may_quarantine, windows=windows, budgets=budgets)
        )
    return made


def _without(*, start: int, end: int, away: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return what is left of a stretch without absences, which may overlap one another."""
    left: list[tuple[int, int]] = []
    for a, b in away:
        if b <= start or a >= end:
            continue
        if a > start:
            left.append((start, a))
        start = max(start, b)
    if start < end:
        left.append((start, end))
    return left
