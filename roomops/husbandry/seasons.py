"""Rest by season and eggs: when eating nothing is no alarm, who may be cooled, and when the vet is called."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import StageCare, WindingDown


class NoRest(StrEnum):
    """Why an animal is not let wind down. The young, the sick and the thin never are."""

    NOT_FOR_IT = "this kind or stage is never cooled"
    OUT_OF_SEASON = "out of season"
    SICK = "sick"
    THIN = "thin"
    NO_VET = "no vet's word"


@dataclass(frozen=True, slots=True, kw_only=True)
class RestVerdict:
    """Whether an animal may be cooled, and everything that speaks against it."""

    may: bool
    reasons: tuple[NoRest, ...]
    winding: WindingDown | None = None


def in_season(*, winding: WindingDown, on: dt.date, south: bool) -> bool:
    """Return True within the season; the sheet's months are northern ones, half a year on in the south."""
    month = (on.month + 5) % 12 + 1 if south else on.month
    return month in winding.months


def may_wind_down(
    *, care: StageCare, on: dt.date, sick: bool, thin: bool, vet_agreed: bool, south: bool = False
) -> RestVerdict:
    """Return whether an animal may be let rest cooler on a day.

    Only a stage whose sheet says so, in its season, sound, heavy enough, and with a vet's word.
    """
    winding = care.winding_down
    if winding is None or not winding.cooled:
        return RestVerdict(may=False, reasons=(NoRest.NOT_FOR_IT,), winding=winding)
    checks = (
        (not in_season(winding=winding, on=on, south=south), NoRest.OUT_OF_SEASON),
        (sick, NoRest.SICK),
        (thin, NoRest.THIN),
        (not vet_agreed, NoRest.NO_VET),
    )
    reasons = tuple(why for wrong, why in checks if wrong)
    return RestVerdict(may=not reasons, reasons=reasons, winding=winding)


class Fast(StrEnum):
    """What a refused feed means in this season."""

    EXPECTED = "expected"
    WEIGH = "expected, but weigh it"
    NOT_EXPECTED = "not expected"
    LOST_TOO_MUCH = "lost too much"  # the vet, and no more waiting


@dataclass(frozen=True, slots=True, kw_only=True)
class FastVerdict:
    """What a refused feed means, with the loss and its limit in percent of the weight at the beginning."""

    fast: Fast
    lost_pct: float | None = None
    most_pct: float | None = None


def fast_expected(
    *,
    care: StageCare,
    on: dt.date,
    sick: bool,
    lost_pct: float | None,
    days_since_weighed: int | None,
    south: bool = False,
) -> FastVerdict:
    """Return whether a refused feed is expected, so that no alarm is raised that is none.

    A sick animal's fast never is, nor is one out of season; in season it is as long as the weight holds and
    was taken lately. ``lost_pct`` is what it lost since the season began, None when that is not known.
    """
    winding = care.winding_down
    if winding is None or sick or not in_season(winding=winding, on=on, south=south):
        return FastVerdict(fast=Fast.NOT_EXPECTED, lost_pct=lost_pct)
    most = winding.loss_most_pct
    if lost_pct is not None and most is not None and lost_pct >= most:
        return FastVerdict(fast=Fast.LOST_TOO_MUCH, lost_pct=lost_pct, most_pct=most)
    every = winding.weigh_every_days or care.weigh_every_days
    stale = days_since_weighed is None or (every is not None and days_since_weighed > every)
    fast = Fast.WEIGH if stale or lost_pct is None else Fast.EXPECTED
    return FastVerdict(fast=fast, lost_pct=lost_pct, most_pct=most)


# ---------------------------------------------------------------- eggs


class LaySign(StrEnum):
    """What is seen of a female."""

    ROUND = "grows round"
    RESTLESS = "restless, walks the walls"
    DIGGING = "digs"
    NOT_EATING = "eats nothing"
    STRAINING = "strains"
    WEAK = "weak"


class LayCall(StrEnum):
    """What is done."""

    NOTHING = "nothing"
    LAY_BOX = "lay box ready and left in peace"
    VET_TODAY = "vet the same day"


_URGENT = frozenset({LaySign.STRAINING, LaySign.WEAK})
_SOON = frozenset({LaySign.DIGGING, LaySign.RESTLESS, LaySign.ROUND})
DIGS_MOST_DAYS = 1  # digging without eggs for longer is for the vet (house choice)


def lay_call(
    *, care: StageCare, female: bool | None, signs: frozenset[LaySign], days_digging: int = 0
) -> LayCall:
    """Return what signs of laying ask for; an animal of unknown sex counts as one that may lay.

    Straining and weakness are for the vet the same day whatever lives there. A round female that eats
    nothing, and one that digs into a second day without eggs, may be egg-bound: the vet the same day, with
    the box left in.
    """
    if signs & _URGENT:
        return LayCall.VET_TODAY
    if not care.egg_layer or female is False:
        return LayCall.NOTHING
    bound = {LaySign.ROUND, LaySign.NOT_EATING} <= signs
    if bound or (LaySign.DIGGING in signs and days_digging > DIGS_MOST_DAYS):
        return LayCall.VET_TODAY
    return LayCall.LAY_BOX if signs & _SOON else LayCall.NOTHING
