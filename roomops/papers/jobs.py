"""A shift's set made and kept: what the job of the kind 'papers' and the command run."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from roomops.desk import papers_kept
from roomops.desk.day import Day, open_day
from roomops.papers import html, pdf
from roomops.papers.from_day import store_of
from roomops.papers.pdf import Report, silent
from roomops.papers.shift_set import WHOLE_DAY, build, digest, shifts_of
from roomops.papers.view import SetView
from roomops.records.models import PaperSet, Person, Room

TRIES = 5


def view_of(*, day: Day, shift: str, edition: int = 0) -> SetView:
    """Return what the set of a shift says. ``shift`` is one of ``shifts``, or 'day'."""
    return build(
        facts=day.facts,
        plan=day.plan,
        version=day.version,
        shift=shift,
        store=store_of(day=day),
        edition=edition,
    )


def shifts(*, day: Day) -> tuple[str, ...]:
    """Return the names of the day's shifts in order: their sets together hold the whole plan."""
    return shifts_of(facts=day.facts, plan=day.plan, store=store_of(day=day))


def page(*, day: Day, shift: str) -> str:
    """Return the set as HTML that a browser prints: where PDF cannot be made, and to look at it before."""
    view = view_of(day=day, shift=shift)
    edition = papers_kept.editions(room=day.room, day=day.day, shift=shift, version=day.version)
    kept = papers_kept.found(room=day.room, day=day.day, shift=shift, digest=_digest(view))
    return html.whole(view=view.coded(kept.code) if kept else view_of(day=day, shift=shift, edition=edition))


def render(
    *, room: Room, day: date, shift: str, now: datetime, report: Report = silent, by: Person | None = None
) -> PaperSet:
    """Make and keep the set of a shift, or return the kept one when nothing on it has changed.

    ``report(done, all)`` is called after each page. Raises pdf.UnavailableError without the system libraries,
    ValueError in one sentence when a name is too long for any page.
    """
    opened = open_day(room=room, day=day, now=now)
    stamp = _digest(view_of(day=opened, shift=shift))
    made = papers_kept.found(room=room, day=day, shift=shift, digest=stamp)
    edition = papers_kept.editions(room=room, day=day, shift=shift, version=opened.version)
    for later in range(TRIES if made is None else 0):
        view, data = pdf.render(view=view_of(day=opened, shift=shift, edition=edition + later), report=report)
        made = papers_kept.keep(
            room=room, day=day, shift=shift, code=view.code, plan_id=opened.plan_id, digest=stamp,
            pages=len(view.sheets), pdf=data, now=now, by=by,
        )  # fmt: skip
        if made is not None:
            break
    if made is None:
        raise ValueError(f"The papers of {day} were made by others {TRIES} times meanwhile: open theirs.")
    return made


def _digest(view: SetView) -> str:
    return digest(view=view, stamp=html.digest())


def run(*, room: Room, data: Mapping[str, Any], now: datetime, report: Report = silent) -> dict[str, Any]:
    """Do a job of the kind 'papers', ``data`` {"day": "2026-06-09", "shift": "opening"}; its result."""
    made = render(
        room=room,
        day=date.fromisoformat(data["day"]),
        shift=data.get("shift", WHOLE_DAY),
        now=now,
        report=report,
    )
    return {"papers": made.pk, "code": made.code, "pages": made.pages}
