"""Prey that fits: the gap between the eyes or the widest part, the largest prey, and what the shelf gives."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from roomops.husbandry.care import Meal, PreyBasis, StageCare
from roomops.husbandry.care_claims import base_of

_ROUNDING_MM = 1e-6
# A head is about a quarter of snout to vent across (from memory), and a gap is less than the head: above an
# eighth of the total length it is a slip of the pen. Our own sanity limit.
_GAP_OF_LENGTH_MOST = 0.125
_LENGTH_OF_ADULT_MOST = 1.25  # of the longest adult length on the care sheet: our own sanity limit


class Measured(Protocol):
    """What of an animal the prey rules look at. Millimeters; None where it was never measured."""

    @property
    def length_mm(self) -> float | None: ...
    @property
    def gap_mm(self) -> float | None: ...
    @property
    def girth_mm(self) -> float | None: ...


class Batch(Protocol):
    """One batch on the shelf, as the choice looks at it."""

    @property
    def key(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def size_mm(self) -> float | None: ...
    @property
    def received(self) -> dt.date: ...
    @property
    def on_hand(self) -> float: ...


class Basis(StrEnum):
    """What a gap rests on."""

    MEASURED = "measured"
    LENGTH = "from length"  # a cautious house share of the total length: no published figure exists


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """The gap between the eyes in mm. ``estimated`` is said wherever it is shown."""

    mm: float
    estimated: bool
    basis: Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The largest prey of a kind in mm. None: nothing is known to hold it against."""

    mm: float | None
    basis: PreyBasis
    estimated: bool = False


class NoPrey(StrEnum):
    """Why nothing is offered."""

    NOT_MEASURED = "not measured"
    NONE_ON_HAND = "none on hand"
    NOTHING_FITS = "nothing fits"
    NOT_ENOUGH = "not enough"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What each head gets. ``batch`` is '' when nothing is offered, and then ``why`` says why.

    ``smallest_mm`` is the smallest prey on the shelf where nothing fits, ``most_on_hand`` the fullest fitting
    batch where none is enough.
    """

    kind: str
    count: int
    batch: str = ""
    size_mm: float | None = None
    dusted: bool = False
    powder: str = ""
    limit: Limit | None = None
    why: NoPrey | None = None
    smallest_mm: float | None = None
    most_on_hand: float | None = None


def eye_gap(*, animal: Measured, care: StageCare) -> Gap | None:
    """Return the gap between the eyes: as last measured, else a cautious share of the length, else None.

    It holds at what was last measured: a longer animal gets no larger prey before its gap is measured again.
    """
    if animal.gap_mm is not None:
        return Gap(mm=animal.gap_mm, estimated=False, basis=Basis.MEASURED)
    if animal.length_mm is None or care.gap_per_length is None:
        return None
    return Gap(mm=round(animal.length_mm * care.gap_per_length, 1), estimated=True, basis=Basis.LENGTH)


def largest_prey(*, animal: Measured, care: StageCare, kind: str) -> Limit:
    """Return the largest prey of ``kind``.

    Insects are held against the gap between the eyes (length for crickets and roaches, width for soft
    larvae), rodents against the widest part of the snake, measured across. A kind without a rule is held by
    its length.
    """
    basis = dict(care.feeding.prey_basis).get(kind, PreyBasis.LENGTH)
    share = care.feeding.prey_share
    if basis is PreyBasis.GIRTH:
        return Limit(mm=None if animal.girth_mm is None else animal.girth_mm * share, basis=basis)
    gap = eye_gap(animal=animal, care=care)
    if gap is None:
        return Limit(mm=None, basis=basis)
    return Limit(mm=gap.mm * share, basis=basis, estimated=gap.estimated)


def fits(*, size_mm: float | None, limit: Limit) -> bool:
    """Return True for prey up to the limit. What is not measured does not fit."""
    return size_mm is not None and limit.mm is not None and size_mm <= limit.mm + _ROUNDING_MM


def count_of(*, meal: Meal, kind: str) -> int:
    """Return how many of ``kind`` a head gets."""
    return dict(meal.counts).get(kind, meal.count)


def choose(
    *, meal: Meal, care: StageCare, animal: Measured, batches: Sequence[Batch], heads: int = 1
) -> Offer:
    """Return what is offered: the sheet's kinds best first, of each the oldest batch that fits and is enough.

    ``heads`` animals are fed from one batch. Greens, powder and what else is not ``sized`` have no count.
    """
    offers = [
        _of_kind(kind=kind, meal=meal, care=care, animal=animal, batches=batches, heads=heads)
        for kind in meal.kinds
    ]
    return next((offer for offer in offers if offer.why is None), max(offers, key=_nearness))


def _nearness(offer: Offer) -> int:
    """How near a refusal came to an offer: the nearest one is what people are told."""
    order = (NoPrey.NONE_ON_HAND, NoPrey.NOT_MEASURED, NoPrey.NOTHING_FITS, NoPrey.NOT_ENOUGH)
    return order.index(offer.why) if offer.why else len(order)


def _of_kind(
    *, kind: str, meal: Meal, care: StageCare, animal: Measured, batches: Sequence[Batch], heads: int
) -> Offer:
    count = count_of(meal=meal, kind=kind)
    here = sorted((b for b in batches if b.kind == kind and b.on_hand > 0), key=lambda b: (b.received, b.key))
    if not here:
        return Offer(kind=kind, count=count, why=NoPrey.NONE_ON_HAND)
    if meal.category == "greens" or not meal.sized:
        return _offer(kind=kind, count=0, batch=here[0], meal=meal, limit=None)
    limit = largest_prey(animal=animal, care=care, kind=kind)
    if limit.mm is None:
        return Offer(kind=kind, count=count, limit=limit, why=NoPrey.NOT_MEASURED)
    fitting = [batch for batch in here if fits(size_mm=batch.size_mm, limit=limit)]
    if not fitting:
        smallest = min((batch.size_mm for batch in here if batch.size_mm is not None), default=None)
        return Offer(kind=kind, count=count, limit=limit, why=NoPrey.NOTHING_FITS, smallest_mm=smallest)
    enough = next((batch for batch in fitting if batch.on_hand >= count * heads), None)
    if enough is None:
        most = max(batch.on_hand for batch in fitting)
        return Offer(kind=kind, count=count, limit=limit, why=NoPrey.NOT_ENOUGH, most_on_hand=most)
    return _offer(kind=kind, count=count, batch=enough, meal=meal, limit=limit)


def _offer(*, kind: str, count: int, batch: Batch, meal: Meal, limit: Limit | None) -> Offer:
    return Offer(
        kind=kind,
        count=count,
        batch=batch.key,
        size_mm=batch.size_mm,
        dusted=meal.dusted,
        powder=meal.powder if meal.dusted else "",
        limit=limit,
    )


class MeasureError(ValueError):
    """A measure that the animal cannot have. ``str`` is one sentence, in millimeters."""

    def __init__(self, *, what: str, value_mm: float, most_mm: float, than: str) -> None:
        self.what = what
        self.value_mm = value_mm
        self.most_mm = most_mm
        self.than = than
        super().__init__(
            f"A {what} of {value_mm:g} mm is more than {than} ({most_mm:g} mm): measure it again."
        )


def check_gap(*, gap_mm: float, length_mm: float | None, head_mm: float | None) -> None:
    """Raise MeasureError for a gap wider than the head, or than any animal of that length can have."""
    if head_mm is not None and gap_mm > head_mm:
        raise MeasureError(
            what="gap between the eyes", value_mm=gap_mm, most_mm=head_mm, than="the head is wide"
        )
    if length_mm is not None and gap_mm > length_mm * _GAP_OF_LENGTH_MOST:
        most = round(length_mm * _GAP_OF_LENGTH_MOST, 1)
        than = f"an animal of {length_mm:g} mm can have"
        raise MeasureError(what="gap between the eyes", value_mm=gap_mm, most_mm=most, than=than)


def check_length(*, length_mm: float, care: StageCare) -> None:
    """Raise MeasureError for a length well above the longest adult on the care sheet, if it names one."""
    cited = care.cite("adult length")
    if cited is None:
        return
    longest = max(base_of(claim)[1] for claim in (cited.claim, *cited.others))
    most = round(longest * _LENGTH_OF_ADULT_MOST)
    if length_mm > most:
        raise MeasureError(
            what="length", value_mm=length_mm, most_mm=most, than=f"a {care.kind_name} reaches"
        )
