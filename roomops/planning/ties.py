"""What goes before what: gaps between feeds, greens after the chopping, animals at home for head counts."""

from __future__ import annotations

from dataclasses import replace

from roomops.planning.facts import GREENS, Facts
from roomops.planning.jobs import Before, Clear, Job
from roomops.planning.plan import Duty
from roomops.planning.room import DutyKind

NOT_HERE = "not here"
"""The outcome of a feed that found nobody: it gives no start to count a gap from."""


def tied(*, facts: Facts, made: list[Job]) -> tuple[Job, ...]:
    """Return the rounds with what must go before each, and the minute before which none may begin."""
    ties = _Ties(facts=facts, made=made)
    return tuple(ties.tie(job) for job in made)


def given(*, facts: Facts, duty: str) -> int | None:
    """Return the minute at which a settled feed counts as begun, or None for one that is open or found
    nobody.
    """
    if duty in facts.begun:
        return facts.begun[duty]
    done = facts.done.get(duty)
    return None if done is None or done.outcome == NOT_HERE else done.minute


class _Ties:
    def __init__(self, *, facts: Facts, made: list[Job]) -> None:
        self._facts = facts
        self._made = made
        self._holder = {duty.key: job for job in made for duty in job.duties}
        self._opening = {d.tank: job for job in made if job.kind is DutyKind.OPENING for d in job.duties}
        self._chopping = [job for job in made if job.kind is DutyKind.CUPS]
        self._weighed = {d.subject: job for job in made if job.kind is DutyKind.WEIGH for d in job.duties}
        self._sun = [job for job in made if job.kind is DutyKind.SUN]
        self._feeds_of: dict[str, list[Job]] = {}
        for job in made if self._sun else ():
            for duty in job.duties if job.kind is DutyKind.FEED else ():
                self._feeds_of.setdefault(duty.subject, []).append(job)
        self._in_tubs: dict[str, list[Job]] = {}
        for job in made:
            for tank in sorted({d.tank for d in job.duties}) if job.in_tubs else ():
                self._in_tubs.setdefault(tank, []).append(job)

    def tie(self, job: Job) -> Job:
        before: dict[int, Before] = {}
        earliest = self._facts.room.now_min
        for duty in job.duties:
            if duty.kind is DutyKind.FEED:
                earliest = max(earliest, self._after_feeds(job=job, duty=duty, before=before))
                self._after_kitchen_and_walk(job=job, duty=duty, before=before)
                self._after_scale(job=job, duty=duty, before=before)
            elif duty.kind is DutyKind.SUN:
                earliest = max(earliest, self._after_given(duty))
            elif duty.kind is DutyKind.CLOSING:
                for out in self._in_tubs.get(duty.tank, ()):
                    _add(before, job=out.index, lag=out.prepare + out.out, required=False)
        needs = tuple(self._earlier(duty) for duty in job.duties)
        return replace(
            job,
            before=tuple(before.values()),
            clear=self._clear(job),
            during=self._during(job),
            earliest=earliest,
            needs=needs,
        )

    def _is_greens(self, duty: Duty) -> bool:
        meals = self._facts.meals[duty.subject]
        return any(m.slot == duty.slot and m.category == GREENS for m in meals)

    def _earlier(self, duty: Duty) -> tuple[int, ...]:
        """Return the rounds that hold a feed's earlier feeds, as far as those are still to be given."""
        if duty.kind is not DutyKind.FEED:
            return ()
        stem = duty.key.rsplit("/", 1)[0]
        keys = [f"{stem}/{m.slot}" for m in self._facts.meals[duty.subject] if m.slot < duty.slot]
        return tuple(self._holder[key].index for key in keys if key in self._holder)

    def _after_scale(self, *, job: Job, duty: Duty, before: dict[int, Before]) -> None:
        """Whoever is weighed today is weighed before it eats."""
        scale = self._weighed.get(duty.subject)
        if scale is not None:
            _add(before, job=scale.index, lag=scale.total - job.prepare, required=False)

    def _after_given(self, duty: Duty) -> int:
        """Return when the last feed that it was given today is long enough ago for the sun."""
        stem = self._facts.key(DutyKind.FEED, duty.subject, 0)[:-1]
        starts = [given(facts=self._facts, duty=f"{stem}{m.slot}") for m in self._facts.meals[duty.subject]]
        last = max((start for start in starts if start is not None), default=None)
        return 0 if last is None else last + self._facts.room.settings.sun_after_feed_min

    def _clear(self, job: Job) -> tuple[Clear, ...]:
        """Keep sessions in the sun apart from one another (the pens are taken) and from what was eaten."""
        gap = self._facts.room.settings.sun_after_feed_min
        if job.kind is DutyKind.SUN:
            feeds = {j.index: j for d in job.duties for j in self._feeds_of.get(d.subject, ())}
            others = [j for j in self._sun if j.index != job.index]
            return (
                *(Clear(job=j.index) for j in others),
                *(Clear(job=index, after=gap) for index in sorted(feeds)),
            )
        if job.kind is not DutyKind.FEED or not self._sun:
            return ()
        mine = {d.subject for d in job.duties}
        meet = (j for j in self._sun if any(d.subject in mine for d in j.duties))
        return tuple(Clear(job=j.index, before=gap) for j in meet)

    def _during(self, job: Job) -> tuple[int, ...]:
        """Return the rounds in tubs that take everybody out of the tank of a lamp to be replaced."""
        if job.kind is not DutyKind.LAMP:
            return ()
        tank = job.duties[0].tank
        heads = sum(r.heads for r in self._facts.fed if r.tank == tank)
        rounds = self._in_tubs.get(tank, ())
        return tuple(j.index for j in rounds if sum(d.heads for d in j.duties if d.tank == tank) == heads)

    def _after_feeds(self, *, job: Job, duty: Duty, before: dict[int, Before]) -> int:
        """Tie a feed to the day's feeds before it; return the earliest start after those already given."""
        earliest = 0
        stem = duty.key.rsplit("/", 1)[0]
        earlier = [m.slot for m in self._facts.meals[duty.subject] if m.slot < duty.slot]
        for place, slot in enumerate(earlier):
            gap = self._facts.gaps[duty.subject] * (len(earlier) - place)
            start = given(facts=self._facts, duty=f"{stem}/{slot}")
            if start is not None:
                earliest = max(earliest, start + gap - job.bites)
            other = self._holder.get(f"{stem}/{slot}")
            if other is not None:
                _add(before, job=other.index, lag=other.bites + gap - job.bites, required=True)
        return earliest

    def _after_kitchen_and_walk(self, *, job: Job, duty: Duty, before: dict[int, Before]) -> None:
        if self._is_greens(duty):
            for chopping in self._chopping:
                _add(before, job=chopping.index, lag=chopping.total, required=False)
        opening = self._opening.get(duty.tank)
        if duty.in_tub and opening is not None:
            _add(before, job=opening.index, lag=opening.total - job.prepare, required=False)


def _add(before: dict[int, Before], *, job: int, lag: int, required: bool) -> None:
    old = before.get(job)
    if old is not None:
        lag, required = max(lag, old.lag), required or old.required
    before[job] = Before(job=job, lag=lag, required=required)
