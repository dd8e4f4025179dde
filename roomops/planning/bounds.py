"""Lower bounds: what no plan can beat. Shares no code with any planner, only the facts and the duties.

A plan whose aim equals its bound is proven best in that aim; otherwise the two numbers say how far it may be.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from roomops.planning.plan import Duty
from roomops.planning.room import Need, Room

LEAST = 1e-9


def load_bound(*, minutes: Sequence[int], people: int) -> int:
    """Return the least minute at which ``people`` can have ended rounds of these ``minutes``, begun together.

    The mean load, rounded up, or the longest round: whichever is more. Raises ValueError without people.
    """
    if people < 1:
        raise ValueError(f"{people} people can end nothing: give at least one.")
    return max(ceil(Fraction(sum(minutes), people)), max(minutes, default=0))


def listed_guarantee(*, people: int) -> Fraction:
    """Return how many times the best end a list schedule may take at most, whatever its order.

    Graham, Bounds for certain multiprocessing anomalies, Bell System Technical Journal 45 (1966): 2 - 1/m.
    """
    return 2 - Fraction(1, people)


def longest_first_guarantee(*, people: int) -> Fraction:
    """Return how many times the best end a list schedule, longest rounds first, may take at most.

    Graham, Bounds on multiprocessing timing anomalies, SIAM J. Appl. Math. 17 (1969): 4/3 - 1/(3m).
    """
    return Fraction(4, 3) - Fraction(1, 3 * people)


def unserved_must(*, room: Room, duties: Iterable[Duty]) -> int:
    """Return the least number of heads of must duties that every plan of ``room`` leaves unserved.

    ``duties`` are the open ones that may be given at all. For each stretch of the day that holds some of
    their windows, no more work fits than the people present have minutes, each head at its cheapest: a full
    round's preparing, watching and washing shared by all its heads. Feeds in tubs hold a tub each, watched
    and washed.
    """
    loads = [_load(room=room, duty=duty) for duty in duties if duty.need is Need.MUST]
    starts = sorted({load.opens for load in loads})
    ends = sorted({load.closes for load in loads})
    most = 0
    for start in starts:
        for end in ends:
            inside = [load for load in loads if start <= load.opens and load.closes <= end]
            if inside:
                most = max(most, *_left(room=room, inside=inside, start=start, end=end))
    return most


@dataclass(frozen=True, slots=True, kw_only=True)
class _Load:
    """What a duty takes at the very least. ``minutes`` and ``held`` are per head."""

    opens: int
    closes: int
    heads: int
    minutes: float
    held: float  # of a tub, 0 without
    quarantine: bool
    lead: int  # minutes of its round that may lie before it opens
    trail: int  # and after it closes


def _load(*, room: Room, duty: Duty) -> _Load:
    settings = room.settings
    change = settings.change_min if duty.quarantine else 0
    if not duty.in_tub:
        return _Load(
            opens=duty.opens,
            closes=duty.closes,
            heads=duty.heads,
            minutes=duty.minutes / duty.heads,
            held=0.0,
            quarantine=duty.quarantine,
            lead=0,
            trail=change,
        )
    watch = _watch(room=room, duty=duty)
    shared = settings.prepare_min + watch + settings.hands_wash_min + change
    return _Load(
        opens=duty.opens,
        closes=duty.closes,
        heads=duty.heads,
        minutes=shared / max(settings.watch_most, 1) + settings.to_tub_min + settings.back_min,
        held=watch + settings.wash_min,
        quarantine=duty.quarantine,
        lead=settings.prepare_min,
        trail=settings.hands_wash_min + change,
    )


def _watch(*, room: Room, duty: Duty) -> int:
    eater = next(r for r in room.residents if r.key == duty.subject)
    return room.care_of(eater).feeding.watch_min


def _left(*, room: Room, inside: Sequence[_Load], start: int, end: int) -> tuple[int, int, int]:
    """Return the heads that people's minutes, the clean tubs and quarantine's tubs leave over."""
    lead, trail = max(load.lead for load in inside), max(load.trail for load in inside)
    minutes = _present(room=room, start=start - lead, end=end + trail)
    by_people = _over(costs=[(load.minutes, load.heads) for load in inside], capacity=minutes)
    by_tubs = []
    for apart in (False, True):
        tubs = sum(1 for tub in room.tubs if tub.quarantine is apart)
        costs = [(load.held, load.heads) for load in inside if load.held and load.quarantine is apart]
        by_tubs.append(_over(costs=costs, capacity=tubs * (end - start + room.settings.wash_min)))
    return by_people, by_tubs[0], by_tubs[1]


def _present(*, room: Room, start: int, end: int) -> float:
    """Return the minutes that may be planned between two minutes of the day."""
    total = 0.0
    for shift in room.shifts:
        ahead = shift.end - max(shift.start, room.now_min)
        overlap = min(shift.end, end) - max(shift.start, start, room.now_min)
        total += max(min(overlap, floor(shift.share * ahead + LEAST)), 0)
    return total


def _over(*, costs: Sequence[tuple[float, int]], capacity: float) -> int:
    """Return how many heads are left when the cheapest are served first, parts of a head counted as
    served.
    """
    served = 0.0
    for each, heads in sorted(costs):
        can = heads if each <= 0 else min(heads, capacity / each)
        served += can
        capacity -= can * each
    return sum(heads for _, heads in costs) - floor(served + LEAST)
