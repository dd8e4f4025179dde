"""Today: what wants hands now, whether it will fit, and what somebody has to look at."""

from __future__ import annotations

from collections.abc import Sequence

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from roomops.desk.day import open_day
from roomops.desk.day_types import Day
from roomops.desk.early_word import beside_troubles, early_word
from roomops.papers import words
from roomops.planning.watch import Concern
from roomops.screens import concerns, notices
from roomops.screens.door import InRoom
from roomops.screens.reach import reach_of
from roomops.screens.ribbon import ribbon_of
from roomops.screens.rows import rows_of

MOST_EARLY = 3  # words before 'and 4 more in the room'


@require_GET
def today(request: InRoom) -> HttpResponse:
    """The page at the door of the room."""
    day = open_day(room=request.room, day=request.now.date(), now=request.now)
    early = beside_troubles(day=day, words=early_word(day=day))
    context = today_context(day, person=request.person.key, reader=request.reader, early=early)
    return render(request, "today.html", context)


def today_context(
    day: Day, *, person: str, reader: words.Reader, early: Sequence[Concern] = ()
) -> dict[str, object]:
    """All that the page shows, as one person sees it; ``early`` is what 'Wrong now' leaves out."""
    wrong = notices.notices_of(day, reader=reader)
    news = notices.news_of(day, person=person, reader=reader)
    return {
        "day": day,
        "reach": reach_of(day),
        "ribbon": ribbon_of(day, person=person, reader=reader),
        "rows": rows_of(day, person=person),
        "wrong": wrong[: notices.MOST_TROUBLE],
        "more_wrong": wrong[notices.MOST_TROUBLE :],
        "early": concerns.shown(day, early[:MOST_EARLY]),
        "more_early": max(0, len(early) - MOST_EARLY),
        "last_here": day.last_here.get(person),
        "news": news[: notices.MOST_CHANGES],
        "more_news": news[notices.MOST_CHANGES :],
        "fits": notices.fits_of(day, reader=reader),
        "as_of": words.stamp_words(at=day.facts.facts_changed, timezone=reader.timezone),
        "plain": plain_list(day, reader) if day.refusal else (),
        "to_sort": day.clashes + day.unmatched,
    }


def plain_list(day: Day, reader: words.Reader) -> tuple[tuple[str, str, str], ...]:
    """Duties still to do without any plan: from when, what, whose; one line for each kind, feed and tank."""
    lines: dict[tuple[int, str, str], list[str]] = {}
    for key in day.undone:
        duty = day.duties[key]
        what = words.duty_words(duty)
        where = day.label("tank", duty.tank) if duty.tank else ""
        name = day.label("resident", duty.subject)
        lines.setdefault((duty.opens, what, where), []).append(name)
    return tuple(
        (reader.clock(opens), what, where or words.list_words(names))
        for (opens, what, where), names in sorted(lines.items())
    )
