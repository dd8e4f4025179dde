"""The job runner and the day's plan as commands: jobs are run, failures told in words, a stop is a stop."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from datetime import datetime
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import override_settings

from roomops.desk import jobs, plans
from roomops.records import models as m
from roomops.tasks import celery_jobs, clock, kinds, runner
from tests import makers as mk

TOP = Path(__file__).resolve().parents[2]


@pytest.fixture
def morning(db: None, monkeypatch: pytest.MonkeyPatch) -> mk.Morning:
    monkeypatch.setattr(clock, "now", lambda *, zone: mk.NOW.astimezone(zone))
    return mk.an_ordinary_morning()


def ask(room: m.Room, kind: str = "improve", key: str = "2026-06-09/1", **data: Any) -> m.Job:
    data = {"day": "2026-06-09"} | data
    return jobs.queue(room=room, kind=kind, key=key, data=data, now=mk.NOW)


def work(*arguments: str) -> None:
    call_command("work", "--once", *arguments)


def test_the_runner_does_what_the_first_page_asked_for(morning: mk.Morning) -> None:
    row = plans.plan_for(room=morning.room, day=mk.DAY, now=mk.NOW)
    jobs.ask_for_plans(room=morning.room, row=row, stale=(), now=mk.NOW)
    work()
    job = m.Job.objects.get()
    assert (job.state, job.attempts, job.error) == ("done", 1, "")
    assert job.done_steps == job.all_steps > 0
    versions = list(m.PlanVersion.objects.order_by("version").values_list("version", "method"))
    assert versions[0] == (1, "quick")
    assert versions[1:] == ([(2, "improved")] if job.result["version"] == 2 else [])


def test_a_day_whose_facts_changed_is_planned_again(morning: mk.Morning) -> None:
    plans.plan_for(room=morning.room, day=mk.DAY, now=mk.NOW)
    ask(morning.room, "replan")
    work()
    assert m.Job.objects.get().result == {"version": 2}


def test_what_goes_wrong_in_a_job_is_its_own_failure(
    morning: mk.Morning, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(job: m.Job, report: kinds.Report, now: datetime) -> dict[str, Any]:
        raise ZeroDivisionError("by nobody")

    good, bad = ask(morning.room, key="2"), ask(morning.room, "broken", key="1")
    table = {"improve": lambda job, report, now: {}, "broken": broken}
    assert runner.run_next(worker="w", kinds=table)
    assert runner.run_next(worker="w", kinds=table)
    good.refresh_from_db()
    bad.refresh_from_db()
    assert good.state == "done"
    assert (bad.state, bad.error, bad.attempts) == ("waiting", "ZeroDivisionError: by nobody", 1)
    assert not runner.run_next(worker="w", kinds=table)  # it waits for its next attempt


def test_a_kind_that_nobody_knows_says_so(morning: mk.Morning) -> None:
    ask(morning.room, "knit")
    work()
    assert m.Job.objects.get().error == "Nothing here knows how to do “knit”: is this an older release?"


def test_a_worker_that_loses_its_lease_stops_and_changes_nothing(morning: mk.Morning) -> None:
    job = ask(morning.room)

    def slow(taken: m.Job, report: kinds.Report, now: datetime) -> dict[str, Any]:
        m.Job.objects.filter(pk=job.pk).update(lease_by="another#2", attempts=2)
        report(1, 2)
        raise AssertionError("it should have stopped")

    assert runner.run_next(worker="w", kinds={"improve": slow})
    job.refresh_from_db()
    assert (job.state, job.lease_by, job.error, job.done_steps) == ("running", "another#2", "", 0)


def test_progress_is_told_while_a_job_runs(morning: mk.Morning) -> None:
    job = ask(morning.room)
    seen = []

    def steps(taken: m.Job, report: kinds.Report, now: datetime) -> dict[str, Any]:
        for done in (1, 2, 3):
            report(done, 3)
            seen.append(m.Job.objects.get(pk=job.pk).done_steps)
        return {"ok": True}

    runner.run_next(worker="w", kinds={"improve": steps})
    assert seen == [1, 2, 3]


def test_papers_without_their_libraries_say_what_is_missing(
    morning: mk.Morning, monkeypatch: pytest.MonkeyPatch
) -> None:
    from roomops.papers import jobs as printed
    from roomops.papers.pdf import UnavailableError

    def none(**about: Any) -> None:
        raise UnavailableError("PDF cannot be made here: install libpango.")

    monkeypatch.setattr(printed, "render", none)
    ask(morning.room, "papers", shift="opening")
    work()
    assert m.Job.objects.get().error == "PDF cannot be made here: install libpango."


# ---------------------------------------------------------------- Celery


def test_celery_carries_the_id_alone_and_runs_the_same_function(morning: mk.Morning) -> None:
    job = ask(morning.room, "replan")
    assert celery_jobs.run_job(job.pk) is True
    job.refresh_from_db()
    assert job.state == "done"
    assert celery_jobs.run_job(job.pk) is False  # a doubled message changes nothing


def test_with_a_broker_the_ids_are_sent_once_and_sent_again_when_nobody_took_them(
    morning: mk.Morning, monkeypatch: pytest.MonkeyPatch
) -> None:
    from roomops.tasks.management.commands import work as command

    sent: list[int] = []
    monkeypatch.setattr(celery_jobs, "send", lambda *, job: sent.append(job))
    job, times = ask(morning.room), iter([0, 1, 59, 60, 61])
    sender = command._Sender()
    for second in times:
        moment = mk.NOW.replace(second=0).timestamp() + second
        monkeypatch.setattr(clock, "now", lambda *, zone, at=moment: datetime.fromtimestamp(at, zone))
        sender()
    assert sent == [job.pk, job.pk]


def test_the_runner_sends_instead_of_running_where_a_broker_is_named(
    morning: mk.Morning, monkeypatch: pytest.MonkeyPatch
) -> None:
    sent: list[int] = []
    monkeypatch.setattr(celery_jobs, "send", lambda *, job: sent.append(job))
    job = ask(morning.room, "replan")
    with override_settings(REDIS_URL="redis://nowhere"):
        work()
        job.refresh_from_db()
        assert (sent, job.state) == ([job.pk], "waiting")
        work("--here")
    job.refresh_from_db()
    assert job.state == "done"


# ---------------------------------------------------------------- commands


def test_a_day_is_planned_from_the_command_line(morning: mk.Morning) -> None:
    out = StringIO()
    call_command("plan_day", "--date", "2026-06-10", stdout=out)
    row = m.PlanVersion.objects.get()
    assert (row.day.isoformat(), row.version) == ("2026-06-10", 1)
    assert out.getvalue().startswith("Juniper Street, 2026-06-10: plan 1 (quick), ")
    call_command("plan_day", "--date", "2026-06-10", "--again", stdout=out)
    assert m.PlanVersion.objects.count() == 2


def test_a_date_that_is_none_is_said_in_a_sentence(morning: mk.Morning) -> None:
    with pytest.raises(CommandError, match="“tomorrow” is no date: write it as 2026-06-09"):
        call_command("plan_day", "--date", "tomorrow")


def test_the_runner_ends_when_it_is_asked_to(tmp_path: Path) -> None:
    """SIGTERM, as a service manager sends it: the process ends by itself and with success."""
    env = os.environ | {
        "DATABASE_URL": f"sqlite:///{tmp_path / 'room.sqlite3'}",
        "ROOMOPS_VAR": str(tmp_path),
    }
    line = [sys.executable, "manage.py"]
    subprocess.run([*line, "migrate", "--no-input"], cwd=TOP, env=env, check=True, capture_output=True)
    runs = subprocess.Popen(
        [*line, "work", "--every", "0.2"], cwd=TOP, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )
    try:
        assert runs.stdout is not None
        assert runs.stdout.readline().startswith(b"Waiting for jobs")
        runs.send_signal(signal.SIGTERM)
        said, _ = runs.communicate(timeout=20)
    finally:
        runs.kill()
    assert runs.returncode == 0, said.decode()
