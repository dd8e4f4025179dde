"""The job table is the truth: a lease, attempts, progress, and a compare-and-set for every change of hands.

A worker that dies loses its lease by the clock, and the next one takes the job over. Nothing else is needed:
a broker only carries ids faster than a poll would find them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Q

from roomops.records.models import Job, JobState, PlanVersion, Room

ATTEMPTS_MOST = 3
LEASE = timedelta(minutes=2)
PAUSE = timedelta(seconds=20)  # before the next attempt, longer with each
ERROR_MOST = 400
IMPROVE, REPLAN, PAPERS = "improve", "replan", "papers"


def queue(*, room: Room, kind: str, key: str, data: Mapping[str, Any], now: datetime) -> Job:
    """Ask for work. Asking twice is asking once; asking again after a failure tries again from the start."""
    job, _ = Job.objects.get_or_create(
        room=room, kind=kind, key=key, defaults={"data": dict(data), "written_at": now}
    )
    if job.state == JobState.FAILED:
        Job.objects.filter(pk=job.pk, state=JobState.FAILED).update(
            state=JobState.WAITING, attempts=0, error="", lease_until=None, lease_by="", ended_at=None,
            done_steps=0, data=dict(data), written_at=now,
        )  # fmt: skip
        job.refresh_from_db()
    return job


def lease(*, now: datetime, worker: str, job: int | None = None) -> Job | None:
    """Take the oldest job that may be taken (or ``job``): waiting, or with a lease that has run out.

    None when there is nothing to take. Of two workers who reach for the same one, one gets it.
    """
    free = Job.objects.filter(_may_be_taken(now), attempts__lt=ATTEMPTS_MOST)
    if job is not None:
        free = free.filter(pk=job)
    for found in free.order_by("pk"):
        attempts = found.attempts + 1
        taken = Job.objects.filter(
            pk=found.pk, state=found.state, attempts=found.attempts, lease_until=found.lease_until
        ).update(
            state=JobState.RUNNING, lease_by=f"{worker}#{attempts}"[:64], lease_until=now + LEASE,
            attempts=attempts, written_at=now,
        )  # fmt: skip
        if taken:
            return Job.objects.select_related("room").get(pk=found.pk)
    return None


def _may_be_taken(now: datetime) -> Q:
    """A waiting job whose pause is over, or a running one whose lease is."""
    over = Q(lease_until__isnull=True) | Q(lease_until__lte=now)
    return Q(state__in=(JobState.WAITING, JobState.RUNNING)) & over


def progress(*, job: Job, done_steps: int, all_steps: int, now: datetime) -> bool:
    """Say how far it is, and hold the lease for longer. False: the lease is lost, stop."""
    return _if_held(job, lease_until=now + LEASE, done_steps=done_steps, all_steps=all_steps, written_at=now)


def finish(*, job: Job, result: Mapping[str, Any], now: datetime) -> bool:
    """The work is done. False: the lease is lost, and somebody else's word counts."""
    return _if_held(
        job,
        state=JobState.DONE,
        result=dict(result),
        error="",
        lease_until=None,
        ended_at=now,
        written_at=now,
    )


def fail(*, job: Job, error: str, now: datetime) -> bool:
    """It did not work, and why, in words. It waits for another attempt; after the last one it has failed.

    False: the lease is lost, and somebody else's word counts.
    """
    last = job.attempts >= ATTEMPTS_MOST
    return _if_held(
        job,
        state=JobState.FAILED if last else JobState.WAITING,
        error=error[:ERROR_MOST],
        lease_until=None if last else now + PAUSE * job.attempts,
        ended_at=now if last else None,
        written_at=now,
    )


def sweep(*, now: datetime) -> tuple[int, ...]:
    """Fail what stopped on its last attempt; return the ids of jobs that may be taken now, oldest first."""
    dead = Job.objects.filter(state=JobState.RUNNING, lease_until__lte=now, attempts__gte=ATTEMPTS_MOST)
    if dead.exists():  # looked at first: a poll every second must not be a writer every second
        dead.update(
            state=JobState.FAILED, error=f"It stopped {ATTEMPTS_MOST} times without a word: look at the log.",
            lease_until=None, ended_at=now, written_at=now,
        )  # fmt: skip
    free = Job.objects.filter(_may_be_taken(now), attempts__lt=ATTEMPTS_MOST)
    return tuple(free.order_by("pk").values_list("pk", flat=True))


def _if_held(job: Job, **values: Any) -> bool:
    held = Job.objects.filter(pk=job.pk, state=JobState.RUNNING, lease_by=job.lease_by)
    return bool(held.update(**values))


# ---------------------------------------------------------------- plans


def ask_for_plans(*, room: Room, row: PlanVersion, stale: Sequence[str], now: datetime) -> bool:
    """Ask for a better plan after the quick one, and for a new one when the facts have left it behind.

    Returns True while one of them is on its way. One query to ask, two more when something is new.
    """
    wanted = [IMPROVE] if row.method == "quick" and row.version == 1 else []
    wanted += [REPLAN] if stale else []
    key = f"{row.day.isoformat()}/{row.version}"
    known = dict(Job.objects.filter(room=room, key=key).values_list("kind", "state"))
    for kind in wanted:
        if kind not in known or (kind == REPLAN and known[kind] == JobState.FAILED):
            job = queue(room=room, kind=kind, key=key, data={"day": row.day.isoformat()}, now=now)
            known[kind] = job.state
    return any(known.get(kind) in {JobState.WAITING, JobState.RUNNING} for kind in wanted)
