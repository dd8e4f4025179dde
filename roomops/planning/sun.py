"""When today is fit for sun, and for whom: the opener's weather held against the sun's path, step by step.

The weather is what somebody saw last and is taken to hold for the rest of the day: it is said again when it
changes. Heights of the sun come from outside (``husbandry.sun``), so that this stays plain arithmetic.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from roomops.husbandry.care import StageCare
from roomops.husbandry.outdoors import NoSun, Outside, Reason, SunVerdict, fit_for_sun
from roomops.planning.room import Outdoors, Span

STEP_MIN = 10  # how finely the day is looked at: the sun moves 2.5° in it
Stage = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wants:
    """A store animal that is owed a session, by its resident's key."""

    resident: str
    care: StageCare

    @property
    def stage(self) -> Stage:
        return self.care.kind, self.care.stage


@dataclass(frozen=True, slots=True, kw_only=True)
class Sky:
    """The day's weather as last seen: ``at`` makes the outside of a minute of the day. None: nothing said."""

    at: Callable[[int], Outside]
    since: int  # the minute it was said: earlier minutes are past


def fit_minutes(*, care: StageCare, sky: Sky, minutes: Sequence[int]) -> tuple[int, ...]:
    """Return those of the minutes at which a store animal of this stage could be outdoors."""
    return tuple(m for m in minutes if _verdict(care=care, outside=sky.at(m)).fit)


def _verdict(*, care: StageCare, outside: Outside) -> SunVerdict:
    return fit_for_sun(care=care, outside=outside, pen=None, store_animal=True)


def why_not(*, care: StageCare, sky: Sky, minutes: Sequence[int]) -> tuple[Reason, ...]:
    """Return the reasons of the minute with the fewest against it (the earliest of those); () when fit."""
    found = [_verdict(care=care, outside=sky.at(m)).reasons for m in minutes]
    return min(found, key=len, default=(Reason(why=NoSun.SUN_LOW),))


def outdoors(
    *, wants: Sequence[Wants], pens: Sequence[str], sky: Sky | None, day_length_min: int
) -> Outdoors:
    """Return today's chance of sun: windows that suit everybody in ``owed``, for as many as can be.

    Stages are taken in, those with most animals owed first, as long as a window of a whole session stays.
    Who is left out is not owed today. Without weather, pens or anybody owed there is no window.
    """
    if sky is None or not pens or not wants:
        return Outdoors(pens=tuple(pens))
    chosen, shared, length = _shared(wants=wants, sky=sky, minutes=range(sky.since, day_length_min, STEP_MIN))
    if not chosen:
        return Outdoors(pens=tuple(pens))
    return Outdoors(
        windows=_spans(shared, least=length, most=day_length_min),
        pens=tuple(pens),
        owed=tuple(each.resident for each in wants if each.stage in chosen),
        session_min=length,
    )


def _shared(
    *, wants: Sequence[Wants], sky: Sky, minutes: Sequence[int]
) -> tuple[frozenset[Stage], tuple[int, ...], int]:
    care: Mapping[Stage, StageCare] = {each.stage: each.care for each in wants}
    chosen: set[Stage] = set()
    shared, length = tuple(minutes), 0
    for stage, _ in sorted(Counter(each.stage for each in wants).items(), key=lambda s: (-s[1], s[0])):
        sun = care[stage].sun
        if sun is None:
            continue
        both = fit_minutes(care=care[stage], sky=sky, minutes=shared)
        longest = min(sun.session_most_min, length or sun.session_most_min)
        if _spans(both, least=longest, most=max(minutes, default=0) + STEP_MIN):
            chosen.add(stage)
            shared, length = both, longest
    return frozenset(chosen), shared, length


def _spans(minutes: Sequence[int], *, least: int, most: int) -> tuple[Span, ...]:
    """Runs of steps as spans, each at least as long as a session."""
    spans: list[Span] = []
    for minute in minutes:
        end = min(minute + STEP_MIN, most)
        if spans and spans[-1].end == minute:
            spans[-1] = Span(start=spans[-1].start, end=end, why="fit for sun")
        else:
            spans.append(Span(start=minute, end=end, why="fit for sun"))
    return tuple(span for span in spans if span.end - span.start >= least)
