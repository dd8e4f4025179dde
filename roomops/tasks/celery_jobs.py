"""The one Celery task: it carries the id of a row in the job table, and the row is the truth.

A message that is lost, doubled or late changes nothing: the lease decides who runs the job, and
`manage.py work` sends the ids of jobs again that nobody holds.
"""

from __future__ import annotations

from roomops.celery_app import app
from roomops.tasks import runner


@app.task(name="roomops.run_job", acks_late=True)  # type: ignore[untyped-decorator]
def run_job(job: int) -> bool:
    """Run a job unless somebody holds it. Returns whether it was taken."""
    return runner.run_next(worker=runner.worker_name(), job=job)


def send(*, job: int) -> None:
    """Put a job's id on the broker. Raises what the broker raises; the next sweep sends it again."""
    run_job.delay(job)
