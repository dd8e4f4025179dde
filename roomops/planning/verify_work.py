"""The verifier's rules for work beside walks and feeds: the scale before food, sun with its limits, no food
while heat or power is out.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from roomops.planning.plan import Breach, Round, StepKind
from roomops.planning.room import DutyKind
from roomops.planning.verify_due import Eyes, breach
from roomops.planning.verify_feeds import ate_at, step


def work_breaches(eyes: Eyes) -> Iterator[Breach]:
    """Return what weighings, sessions in the sun and an outage ask for and the plan does not keep."""
    feeds = _feeds(eyes)
    for round_ in eyes.plan.rounds:
        if round_.kind is DutyKind.WEIGH:
            yield from _before_food(eyes, round_, feeds)
        if round_.kind is DutyKind.SUN:
            yield from _in_the_sun(eyes, round_)
            yield from _not_after_food(eyes, round_, feeds)
        if round_.kind is DutyKind.FEED and eyes.room.outage is not None:
            yield breach("no feed while heat or power is out", round=round_.key)
    sunny = [r for r in eyes.plan.rounds if r.kind is DutyKind.SUN]
    for one, other in combinations(sunny, 2):
        if one.start < other.end and other.start < one.end:
            yield breach("one session at a time", round=other.key, start=other.start, free=one.end)


def _feeds(eyes: Eyes) -> dict[str, list[Round]]:
    found: dict[str, list[Round]] = {}
    for key, round_ in eyes.in_round.items():
        if key in eyes.expected and round_.kind is DutyKind.FEED:
            found.setdefault(eyes.expected[key].subject, []).append(round_)
    return found


def _out(round_: Round) -> tuple[int, int]:
    """When the first animal is taken or fed, and when the last is back."""
    begin, back = step(round_, StepKind.TO_TUBS), step(round_, StepKind.RETURN)
    work = step(round_, StepKind.WORK)
    if begin and back:
        return begin.start, back.end
    return (work.start, work.end) if work else (round_.start, round_.end)


def _subjects(eyes: Eyes, round_: Round) -> Iterator[tuple[str, str]]:
    for key in round_.duties:
        if key in eyes.expected:
            yield key, eyes.expected[key].subject


def _before_food(eyes: Eyes, scale: Round, feeds: dict[str, list[Round]]) -> Iterator[Breach]:
    for key, subject in _subjects(eyes, scale):
        for fed in feeds.get(subject, ()):
            if _out(fed)[0] < scale.end:
                yield breach(
                    "weighed before feeding", round=scale.key, duty=key, end=scale.end, fed=ate_at(fed)
                )


def _in_the_sun(eyes: Eyes, round_: Round) -> Iterator[Breach]:
    """Within one stretch of fit hours, and a pen for each animal."""
    out, begin = eyes.room.outdoors, _out(round_)
    if not any(w.start <= begin[0] and begin[1] <= w.end for w in out.windows):
        yield breach("out of the fit hours", round=round_.key, start=begin[0], end=begin[1])
    heads = sum(eyes.expected[key].heads for key, _ in _subjects(eyes, round_))
    if heads > len(out.pens) and len(round_.duties) > 1:
        yield breach("a pen for each", round=round_.key, heads=heads, pens=len(out.pens))


def _not_after_food(eyes: Eyes, sun: Round, feeds: dict[str, list[Round]]) -> Iterator[Breach]:
    least = eyes.room.settings.sun_after_feed_min
    begins, ends = _out(sun)
    for key, subject in _subjects(eyes, sun):
        spans = [_out(fed) for fed in feeds.get(subject, ())]
        stem = f"{eyes.room.day.isoformat()}/{DutyKind.FEED.value}/{subject}/"
        spans += [(at, at) for name, at in eyes.given.items() if name.startswith(stem)]
        for start, end in spans:
            if begins < end + least and start < ends:
                yield breach("sun after a feed", round=sun.key, duty=key, start=begins, fed=end, least=least)
