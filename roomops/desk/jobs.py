"""The job table is the truth: a lease, attempts, progress, and a compare-and-set for every change of hands."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from roomops.records.models import Job, Room

ATTEMPTS_MOST = 3
LEASE_S = 120


def queue(*, room: Room, kind: str, key: str, data: Mapping[str, Any], now: datetime) -> Job:
    """Ask for work. Asking twice is asking once; asking again after a failure tries again."""
    raise NotImplementedError


def lease(*, now: datetime, worker: str, job: int | None = None) -> Job | None:
    """Take the next waiting job (or ``job``), or one whose lease ran out. None when there is nothing to take."""
    raise NotImplementedError


def progress(*, job: Job, done_steps: int, all_steps: int, now: datetime) -> bool:
    """Say how far it is and hold the lease for longer. False: the lease was lost, stop."""
    raise NotImplementedError


def finish(*, job: Job, result: Mapping[str, Any], now: datetime) -> bool:
    """The work is done. False: the lease was lost and somebody else's word counts."""
    raise NotImplementedError


def fail(*, job: Job, error: str, now: datetime) -> bool:
    """It did not work, in words. It waits for another attempt, or after the last is failed. False: lease lost."""
    raise NotImplementedError


def sweep(*, now: datetime) -> tuple[int, ...]:
    """Return ids of jobs that nobody holds; those whose last attempt ran out are failed with the reason."""
    raise NotImplementedError
