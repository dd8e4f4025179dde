"""The job table is the truth: whoever holds the lease works, whoever lost it is not believed."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from roomops.desk import jobs
from roomops.records import models as m
from tests import makers as mk

pytestmark = pytest.mark.django_db
NOW = mk.NOW
SECOND = timedelta(seconds=1)


@pytest.fixture
def room() -> m.Room:
    return mk.a_room()


def ask(room: m.Room, key: str = "2026-06-09/1", kind: str = "improve", **data: Any) -> m.Job:
    return jobs.queue(room=room, kind=kind, key=key, data=data or {"day": "2026-06-09"}, now=NOW)


def take(worker: str = "one", at: Any = NOW, job: int | None = None) -> m.Job:
    taken = jobs.lease(now=at, worker=worker, job=job)
    assert taken is not None
    return taken


def test_asking_twice_is_asking_once(room: m.Room) -> None:
    assert ask(room).pk == ask(room).pk
    assert ask(room, key="2026-06-10/1").pk != ask(room).pk


def test_the_table_itself_keeps_one_job_for_a_key(room: m.Room) -> None:
    ask(room)
    with pytest.raises(IntegrityError), transaction.atomic():
        m.Job.objects.create(room=room, kind="improve", key="2026-06-09/1", written_at=NOW)


def test_the_oldest_job_is_taken_first_and_each_once(room: m.Room) -> None:
    first, second = ask(room), ask(room, key="2")
    assert [take().pk, take("two").pk] == [first.pk, second.pk]
    assert jobs.lease(now=NOW, worker="three") is None


def test_of_two_workers_who_reach_for_one_job_one_gets_it(
    room: m.Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other worker takes it between this one's look and its own compare-and-set."""
    job = ask(room)
    real, raced = jobs.Job.objects.filter, []

    def late(*args: Any, **about: Any) -> Any:
        if "pk" in about and "attempts" in about and not raced:
            raced.append(1)
            real(pk=job.pk).update(
                state="running", attempts=1, lease_by="two#1", lease_until=NOW + jobs.LEASE
            )
        return real(*args, **about)

    monkeypatch.setattr(jobs.Job.objects, "filter", late)
    assert jobs.lease(now=NOW, worker="one") is None
    job.refresh_from_db()
    assert (job.lease_by, job.attempts) == ("two#1", 1)


@pytest.mark.parametrize(("after", "free"), [(-SECOND, False), (0 * SECOND, True), (SECOND, True)])
def test_a_lease_that_ran_out_is_taken_again(room: m.Room, after: timedelta, free: bool) -> None:
    """What a worker that was killed leaves behind: a running job whose lease nobody renews."""
    ask(room)
    first = take()
    again = jobs.lease(now=NOW + jobs.LEASE + after, worker="two")
    assert (again is not None) is free
    if again is not None:
        assert (again.pk, again.attempts) == (first.pk, 2)


def test_progress_holds_the_lease_for_longer(room: m.Room) -> None:
    ask(room)
    job = take()
    later = NOW + jobs.LEASE - SECOND
    assert jobs.progress(job=job, done_steps=3, all_steps=10, now=later)
    assert jobs.lease(now=NOW + jobs.LEASE + SECOND, worker="two") is None
    job.refresh_from_db()
    assert (job.done_steps, job.all_steps) == (3, 10)


def test_whoever_lost_the_lease_is_not_believed(room: m.Room) -> None:
    ask(room)
    slow = take()
    quick = take("one", at=NOW + jobs.LEASE)  # the same name: another attempt is another holder
    for said in (
        jobs.progress(job=slow, done_steps=1, all_steps=2, now=NOW),
        jobs.finish(job=slow, result={"version": 9}, now=NOW),
        jobs.fail(job=slow, error="late", now=NOW),
    ):
        assert said is False
    assert jobs.finish(job=quick, result={"version": 2}, now=NOW + jobs.LEASE)
    quick.refresh_from_db()
    assert (quick.state, quick.result, quick.error) == ("done", {"version": 2}, "")
    assert jobs.lease(now=NOW + timedelta(days=1), worker="three") is None


def test_a_failure_waits_and_is_tried_again_three_times_in_all(room: m.Room) -> None:
    ask(room)
    at = NOW
    for attempt in (1, 2, 3):
        job = take(at=at)
        assert job.attempts == attempt
        assert jobs.fail(job=job, error=f"no ink, try {attempt}", now=at)
        job.refresh_from_db()
        assert job.error == f"no ink, try {attempt}"
        assert jobs.lease(now=at, worker="two") is None
        at += jobs.PAUSE * attempt
    assert (job.state, job.ended_at is not None) == ("failed", True)
    assert jobs.lease(now=at + timedelta(days=1), worker="two") is None


def test_what_stops_three_times_without_a_word_has_failed_with_a_reason(room: m.Room) -> None:
    ask(room)
    at = NOW
    for _ in range(jobs.ATTEMPTS_MOST):
        job = take(at=at)
        at += jobs.LEASE
    assert jobs.lease(now=at, worker="two") is None
    assert jobs.sweep(now=at - SECOND) == ()
    job.refresh_from_db()
    assert job.state == "running"
    jobs.sweep(now=at)
    job.refresh_from_db()
    assert (job.state, job.error) == ("failed", "It stopped 3 times without a word: look at the log.")


def test_asking_again_after_a_failure_tries_again(room: m.Room) -> None:
    ask(room)
    m.Job.objects.update(state="failed", attempts=3, error="no ink", ended_at=NOW)
    job = ask(room, day="2026-06-09", shift="opening")
    assert (job.state, job.attempts, job.error, job.data["shift"]) == ("waiting", 0, "", "opening")


def test_a_job_that_is_done_is_not_done_again(room: m.Room) -> None:
    ask(room)
    jobs.finish(job=take(), result={}, now=NOW)
    assert ask(room).state == "done"
    assert jobs.lease(now=NOW, worker="two") is None


def test_a_sweep_names_what_nobody_holds(room: m.Room) -> None:
    held, waiting, dropped = ask(room), ask(room, key="2"), ask(room, key="3")
    take(job=dropped.pk)
    take(at=NOW + jobs.LEASE, job=held.pk)
    assert jobs.sweep(now=NOW + jobs.LEASE) == (waiting.pk, dropped.pk)


def test_an_error_of_any_length_fits(room: m.Room) -> None:
    ask(room)
    assert jobs.fail(job=take(), error="x" * 1000, now=NOW)
