"""Early word: concerns across shifts from plain numbers, worst first. Pure: no clock, no table.

A concern is a reason to look, never a finding: what follows is a person's, and a vet's, to say.

Source of the two limits of loss: nutrition support is considered after a rapid loss of more than 10 % or a
slow loss of more than 20 % of body mass (https://www.anapsid.org/bmr.html, read). What counts as rapid is not
said there: 30 days is this house's choice. All else is common practice and has no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

RAPID_LOSS = 0.10  # of the weight within RAPID_DAYS: more than that
SLOW_LOSS = 0.20  # of the heaviest weight within SLOW_DAYS: more than that
RAPID_DAYS = 30
SLOW_DAYS = 365
ADULT_LOSS = 0.05  # since the last weighing; common practice. A young animal that lost anything is a word.
NO_GAIN_DAYS = 7  # of a hatchling; common practice
REFUSALS = 2  # feeds in a row; common practice
MANY_REFUSALS = 3


class ConcernKind(StrEnum):
    """What the word is about. The numbers that come with each are named behind it."""

    NOT_SEEN = "not seen"  # at a head count: seen, of
    MISSING = "missing"  # days
    RAPID_LOSS = "rapid loss"  # now_g, before_g, loss_pct, days
    SLOW_LOSS = "slow loss"  # now_g, before_g, loss_pct, days
    WEIGHT_DOWN = "weight down"  # now_g, before_g, loss_pct, days
    NO_GAIN = "no gain"  # a hatchling: now_g, before_g, days
    REFUSED = "refused"  # times in a row
    HOLD_OVER = "hold over"  # days since its end


class Basis(StrEnum):
    """What a limit rests on."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"


BASIS: Mapping[ConcernKind, Basis] = {
    kind: Basis.PUBLISHED
    if kind in {ConcernKind.RAPID_LOSS, ConcernKind.SLOW_LOSS}
    else Basis.COMMON_PRACTICE
    for kind in ConcernKind
}
SOURCE = "anapsid.org, nutrition support: rapid loss over 10 %, slow loss over 20 % of body mass"


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    on: date
    weight_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """What is known of one animal. ``weights`` in the order of their days, oldest first.

    ``refused_in_a_row`` counts feeds from the last one back, whoever was on shift. ``resting``: its sheet
    says that it eats little or nothing in this season, so that a refusal is no word.
    """

    key: str
    young: bool = False  # it grows: any loss is a word
    hatchling: bool = False  # no gain in seven days is a word too
    resting: bool = False
    weights: tuple[Weighed, ...] = ()
    refused_in_a_row: int = 0
    refused_on: date | None = None
    missing_since: date | None = None
    hold_until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadCount:
    """A head count that came out short and that no later one made good. ``of`` should be there."""

    tank: str
    seen: int
    of: int
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Concern:
    """One word. ``subject`` is a resident's key, or a tank's where ``tank`` is true. ``on`` is its age."""

    kind: ConcernKind
    subject: str
    on: date
    numbers: Mapping[str, float] = field(default_factory=dict)
    tank: bool = False

    @property
    def basis(self) -> Basis:
        return BASIS[self.kind]


def concerns(
    *, day: date, watched: Iterable[Watched], counts: Sequence[HeadCount] = ()
) -> tuple[Concern, ...]:
    """Return every concern of a day, worst first; of an animal's weight only the worst."""
    found = [*(_not_seen(count) for count in counts)]
    for animal in watched:
        found += [each for each in _of(day=day, animal=animal) if each is not None]
    return tuple(sorted(found, key=_worst_first))


_ORDER = (
    (ConcernKind.NOT_SEEN, ConcernKind.MISSING),
    (ConcernKind.RAPID_LOSS, ConcernKind.SLOW_LOSS),
    (ConcernKind.REFUSED, ConcernKind.WEIGHT_DOWN, ConcernKind.NO_GAIN),
    (ConcernKind.HOLD_OVER,),
)


def _worst_first(concern: Concern) -> tuple[int, float, int, str]:
    rank = next(place for place, kinds in enumerate(_ORDER) if concern.kind in kinds)
    numbers = concern.numbers
    if concern.kind is ConcernKind.REFUSED:
        weight = 100.0 if numbers["times"] >= MANY_REFUSALS else 5.0
    else:
        weight = numbers.get("loss_pct", numbers.get("of", 0) - numbers.get("seen", 0))
    return rank, -weight, -concern.on.toordinal(), concern.subject


def _not_seen(count: HeadCount) -> Concern:
    numbers = {"seen": float(count.seen), "of": float(count.of)}
    return Concern(kind=ConcernKind.NOT_SEEN, subject=count.tank, on=count.on, numbers=numbers, tank=True)


def _of(*, day: date, animal: Watched) -> tuple[Concern | None, ...]:
    if animal.missing_since is not None:
        days = float((day - animal.missing_since).days)
        return (
            Concern(
                kind=ConcernKind.MISSING,
                subject=animal.key,
                on=animal.missing_since,
                numbers={"days": days},
            ),
        )
    return (_weight(day=day, animal=animal), _refused(animal), _hold(day=day, animal=animal))


def _refused(animal: Watched) -> Concern | None:
    if animal.refused_in_a_row < REFUSALS or animal.refused_on is None or animal.resting:
        return None
    numbers = {"times": float(animal.refused_in_a_row)}
    return Concern(kind=ConcernKind.REFUSED, subject=animal.key, on=animal.refused_on, numbers=numbers)


def _hold(*, day: date, animal: Watched) -> Concern | None:
    if animal.hold_until is None or animal.hold_until >= day:
        return None
    numbers = {"days": float((day - animal.hold_until).days)}
    return Concern(kind=ConcernKind.HOLD_OVER, subject=animal.key, on=animal.hold_until, numbers=numbers)


# ---------------------------------------------------------------- weight


def _weight(*, day: date, animal: Watched) -> Concern | None:
    """Return the worst word about a weight: the two published limits first."""
    known = [each for each in animal.weights if (day - each.on).days <= SLOW_DAYS]
    if len(known) < 2:
        return None
    last, before = known[-1], known[-2]
    month = [each for each in known[:-1] if (last.on - each.on).days <= RAPID_DAYS]
    for kind, among, limit in (
        (ConcernKind.RAPID_LOSS, month, RAPID_LOSS),
        (ConcernKind.SLOW_LOSS, known[:-1], SLOW_LOSS),
        (ConcernKind.WEIGHT_DOWN, [before], 0.0 if animal.young else ADULT_LOSS),
    ):
        heaviest = max(among, key=lambda each: each.weight_g, default=None)
        if heaviest is not None and _loss(last, heaviest) > limit + _ROUNDING:
            return _lost(kind=kind, key=animal.key, last=last, before=heaviest)
    return _no_gain(key=animal.key, known=known) if animal.hatchling else None


_ROUNDING = 1e-9


def _loss(last: Weighed, before: Weighed) -> float:
    return 1 - last.weight_g / before.weight_g


def _lost(*, kind: ConcernKind, key: str, last: Weighed, before: Weighed) -> Concern:
    numbers = {
        "now_g": last.weight_g,
        "before_g": before.weight_g,
        "loss_pct": round(100 * _loss(last, before), 1),
        "days": float((last.on - before.on).days),
    }
    return Concern(kind=kind, subject=key, on=last.on, numbers=numbers)


def _no_gain(*, key: str, known: Sequence[Weighed]) -> Concern | None:
    """A hatchling that weighs no more than it did at the newest weighing seven days or longer before."""
    last = known[-1]
    earlier = [each for each in known[:-1] if (last.on - each.on).days >= NO_GAIN_DAYS]
    if not earlier or last.weight_g > earlier[-1].weight_g:
        return None
    before = earlier[-1]
    numbers = {
        "now_g": last.weight_g,
        "before_g": before.weight_g,
        "days": float((last.on - before.on).days),
    }
    return Concern(kind=ConcernKind.NO_GAIN, subject=key, on=last.on, numbers=numbers)
