"""A shift's papers as their page shows them: the kept set, whether it still holds, how far a new one is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from roomops.desk.day_types import Day
from roomops.papers import html, jobs, words
from roomops.papers.shift_set import WHOLE_DAY, digest
from roomops.records.models import Job, JobState, PaperSet

PATIENCE = timedelta(seconds=30)  # after which a waiting job makes one ask whether anybody takes jobs


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    shift: str  # as the rota names it, or 'day'
    title: str
    digest: str
    kept: PaperSet | None  # the newest
    holds: bool  # it says what would be printed now
    older: tuple[PaperSet, ...]
    coming: str  # 'page 3 of 7', '' when none is being made
    stuck: bool  # nobody has taken the job for a while
    failed: str  # why the last try did not work, in a sentence
    main: bool = False  # the one dark button is here


def cards_of(
    day: Day, *, sets: Iterable[PaperSet], waiting: Iterable[Job], now: datetime
) -> tuple[Card, ...]:
    """One card a shift, in the order of the day, and one for the whole day in one set."""
    by_shift: dict[str, list[PaperSet]] = {}
    for each in sets:
        by_shift.setdefault(each.shift, []).append(each)
    by_key = {job.key: job for job in waiting}
    cards = [
        _card(day, shift, by_shift.get(shift, []), by_key, now)
        for shift in (*jobs.shifts(day=day), WHOLE_DAY)
    ]
    asked = next((card for card in cards if not card.holds and not card.coming), cards[0])
    return tuple(replace(card, main=card is asked) for card in cards)


def key_of(*, day: Day, shift: str, digest: str) -> str:
    """Key of the job that makes a set: asking twice for the same papers is asking once."""
    return f"{day.day}/{shift}/{digest[:16]}"


def digest_of(day: Day, shift: str) -> str:
    """What the papers of a shift would say now, in short."""
    return digest(view=jobs.view_of(day=day, shift=shift), stamp=html.digest())


def _card(day: Day, shift: str, sets: list[PaperSet], by_key: dict[str, Job], now: datetime) -> Card:
    stamp = digest_of(day, shift)
    kept = sets[0] if sets else None
    holds = kept is not None and kept.digest == stamp
    job = None if holds else by_key.get(key_of(day=day, shift=shift, digest=stamp))
    return Card(
        shift=shift,
        title="The whole day in one set" if shift == WHOLE_DAY else f"{shift[:1].upper()}{shift[1:]} shift",
        digest=stamp,
        kept=kept,
        holds=holds,
        older=tuple(sets[1:]),
        coming=_coming(job),
        stuck=job is not None and job.state == JobState.WAITING and now - job.written_at > PATIENCE,
        failed=job.error if job is not None and job.state == JobState.FAILED else "",
    )


def _coming(job: Job | None) -> str:
    if job is None or job.state in {JobState.DONE, JobState.FAILED}:
        return ""
    if job.state == JobState.WAITING:
        return "waits for its turn"
    done = f"page {job.done_steps} of {job.all_steps}" if job.all_steps else "begun"
    return (
        done if not job.all_steps else f"{words.count_words(job.done_steps, 'page')} of {job.all_steps} drawn"
    )
