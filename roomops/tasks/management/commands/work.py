"""Run the room's jobs: better plans, papers. Started beside the server."""

from __future__ import annotations

import logging
import signal
import threading
from datetime import datetime, timedelta
from types import FrameType
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser
from django.db import Error as DatabaseFault
from django.db import connections
from kombu.exceptions import OperationalError as BrokerFault

from roomops.desk import jobs
from roomops.tasks import celery_jobs, clock, runner

log = logging.getLogger(__name__)


class Command(BaseCommand):
    help = (
        "Take jobs from the table by lease and run them, until stopped. With REDIS_URL their ids are sent to "
        "the Celery workers instead, and sent again when nobody has taken them."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="run what there is, then end")
        parser.add_argument(
            "--every", type=float, default=1.0, metavar="SECONDS", help="look so often; 1 if not given"
        )
        parser.add_argument("--here", action="store_true", help="run jobs here even with REDIS_URL")

    def handle(self, *args: Any, once: bool, every: float, here: bool, **options: Any) -> None:
        stop = threading.Event()

        def asked(number: int, frame: FrameType | None) -> None:  # noqa: ARG001
            log.info("asked to stop: the job in hand is finished first")
            stop.set()

        if threading.current_thread() is threading.main_thread():
            signal.signal(signal.SIGTERM, asked)
            signal.signal(signal.SIGINT, asked)
        self.stdout.write("Waiting for jobs; SIGTERM or Ctrl-C stops after the job in hand.")
        self.stdout.flush()
        turn = _Sender() if settings.REDIS_URL and not here else _Runner()
        while not stop.is_set():
            _drop_dead_connections()
            busy = _tried(turn)
            if once and not busy:
                return
            if not busy:
                stop.wait(every)


class _Runner:
    """Runs jobs in this process, one after the other."""

    def __init__(self) -> None:
        self._name = runner.worker_name()

    def __call__(self) -> bool:
        jobs.sweep(now=clock.now(zone=runner.UTC))
        return runner.run_next(worker=self._name)


class _Sender:
    """Sends ids to the broker; the same id again only when it could have been taken and was not."""

    def __init__(self) -> None:
        self._sent: dict[int, datetime] = {}

    def __call__(self) -> bool:
        now = clock.now(zone=runner.UTC)
        free = jobs.sweep(now=now)
        self._sent = {job: at for job, at in self._sent.items() if job in free}
        due = [job for job in free if now - self._sent.get(job, now - jobs.LEASE) >= timedelta(seconds=60)]
        for job in due:
            celery_jobs.send(job=job)
            self._sent[job] = now
        return False


def _drop_dead_connections() -> None:
    """What Django does between requests: a connection that broke or is too old is opened anew."""
    for connection in connections.all(initialized_only=True):
        if not connection.in_atomic_block:
            connection.close_if_unusable_or_obsolete()


def _tried(turn: _Runner | _Sender) -> bool:
    """One turn. A database or broker that is away for a moment is waited for, not died of."""
    try:
        return turn()
    except (DatabaseFault, BrokerFault) as fault:
        log.warning("waiting: %s", fault)
        return False
