"""What each kind of job runs. A function takes the job, a report of its progress and the moment it began."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any

from roomops.desk import jobs, plans
from roomops.papers import jobs as paper_jobs
from roomops.papers.pdf import UnavailableError
from roomops.records.models import Job

Report = Callable[[int, int], None]
Run = Callable[[Job, Report, datetime], Mapping[str, Any]]


class NotDoneError(Exception):
    """The job could not be done this time. ``str`` says why, in a sentence."""


def improve(job: Job, report: Report, now: datetime) -> Mapping[str, Any]:
    """The better plan of a day, kept if nothing has begun yet."""
    row = plans.improve(room=job.room, day=_day(job), now=now, report=report)
    return {"version": row.version if row else None}


def replan(job: Job, report: Report, now: datetime) -> Mapping[str, Any]:
    """The rest of a day planned again, after the facts have left its plan behind."""
    before = plans.plan_for(room=job.room, day=_day(job), now=now)
    report(0, 1)
    row = plans.replan(room=job.room, day=_day(job), now=now)
    if row.version == before.version:
        raise NotDoneError("Rounds kept beginning while the rest of the day was planned.")
    return {"version": row.version}


def papers(job: Job, report: Report, now: datetime) -> Mapping[str, Any]:
    """A shift's printed set, drawn page by page and kept."""
    try:
        return paper_jobs.run(room=job.room, data=job.data, now=now, report=report)
    except (UnavailableError, ValueError) as why:
        raise NotDoneError(str(why)) from why


KINDS: Mapping[str, Run] = {jobs.IMPROVE: improve, jobs.REPLAN: replan, jobs.PAPERS: papers}


def _day(job: Job) -> date:
    return date.fromisoformat(job.data["day"])
