"""Taking jobs by lease and running them: the same for `manage.py work` and for a Celery worker."""

from __future__ import annotations

import logging
import os
import socket
from collections.abc import Mapping
from zoneinfo import ZoneInfo

from roomops.desk import jobs
from roomops.records.models import Job
from roomops.tasks import clock
from roomops.tasks.kinds import KINDS, NotDoneError, Run

log = logging.getLogger(__name__)
UTC = ZoneInfo("UTC")


class LeaseLostError(Exception):
    """Somebody else has the job: this run was too slow or was thought dead, and must stop."""


def worker_name() -> str:
    """The name under which this process holds leases."""
    return f"{socket.gethostname()[:40]}:{os.getpid()}"


def run_next(*, worker: str, job: int | None = None, kinds: Mapping[str, Run] = KINDS) -> bool:
    """Take one job (the oldest, or ``job``) and run it. False when there was none to take."""
    taken = jobs.lease(now=clock.now(zone=UTC), worker=worker, job=job)
    if taken is None:
        return False
    log.info("%s %s: begun, attempt %s", taken.kind, taken.key, taken.attempts)
    try:
        _run(taken, kinds)
    except LeaseLostError:
        log.warning("%s %s: lease lost, stopped", taken.kind, taken.key)
    return True


def _run(job: Job, kinds: Mapping[str, Run]) -> None:
    """Run a job and write how it ended. Whatever goes wrong in it is its own failure and not the runner's."""

    def report(done: int, of: int) -> None:
        if not jobs.progress(job=job, done_steps=done, all_steps=of, now=clock.now(zone=UTC)):
            raise LeaseLostError

    try:
        result = _known(job, kinds)(job, report, clock.now(zone=ZoneInfo(job.room.timezone)))
    except LeaseLostError:
        raise
    except NotDoneError as why:
        _failed(job, str(why))
    except Exception as fault:
        log.exception("%s %s: failed", job.kind, job.key)
        _failed(job, f"{type(fault).__name__}: {fault}")
    else:
        jobs.finish(job=job, result=result, now=clock.now(zone=UTC))
        log.info("%s %s: done", job.kind, job.key)


def _known(job: Job, kinds: Mapping[str, Run]) -> Run:
    if job.kind not in kinds:
        raise NotDoneError(f"Nothing here knows how to do “{job.kind}”: is this an older release?")
    return kinds[job.kind]


def _failed(job: Job, error: str) -> None:
    log.warning("%s %s: attempt %s: %s", job.kind, job.key, job.attempts, error)
    jobs.fail(job=job, error=error, now=clock.now(zone=UTC))
