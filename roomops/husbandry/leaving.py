"""May this animal leave the store: the one rule of law that is the same in every American store.

21 CFR 1240.62 (a), (b): live turtles, tortoises and terrapins with a carapace under 4 inches, and viable
eggs, are not sold, held for sale or given out to the public in any other way; 78 FR 44878 took out how they
were destroyed (from January 16, 2014), the ban stands. Everything else is for local rules: states, cities,
protected kinds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import Group

SHELL_LEAST_MM = 4 * 25.4  # 4 inches; at it an animal may leave, under it not
SOURCE = "21 CFR 1240.62"
_CALLED = ("turtle", "tortoise", "terrapin")
_ROUNDING_MM = 1e-9


class MayLeave(StrEnum):
    """What the rule says. 'yes' is the word of this rule alone: local rules are asked besides."""

    YES = "yes"
    NO = "no"
    MEASURE = "measure the shell first"
    EXCEPTION = "only under an exception"
    ASK = "ask local rules"


class WhyNot(StrEnum):
    """What a refusal rests on."""

    SHELL_TOO_SHORT = "shell too short"
    EGGS = "viable eggs"
    NOT_MEASURED = "not measured"
    OTHER_REGION = "another region"
    UNKNOWN_GROUP = "not known whether it is a chelonian"


class LeaveException(StrEnum):
    """What 21 CFR 1240.62 (d) leaves open (from memory and from pages that quote it: read it before use)."""

    SCIENCE = "scientific, educational or exhibitional purposes, not as pets"
    NO_BUSINESS = "not in connection with a business"  # no store's
    EXPORT = "export only"


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """The verdict with its number. ``ask_local`` is always True: states and cities have rules too."""

    verdict: MayLeave
    kind: str
    why: WhyNot | None = None
    carapace_mm: float | None = None
    least_mm: float | None = None
    exception: LeaveException | None = None
    source: str = ""
    ask_local: bool = True


def may_leave(
    *,
    kind: str,
    carapace_mm: float | None,
    region: str,
    eggs: bool = False,
    group: Group | None = None,
    exception: LeaveException | None = None,
) -> Leaving:
    """Return whether an animal (or its eggs) may leave the store by the 4-inch rule.

    ``region`` is an ISO 3166 code ('US', 'US-WI', 'DE'). ``group`` is the care sheet's; without it a kind
    that is commonly called a turtle, tortoise or terrapin is one, as the rule has it, and of others nothing
    is known. The carapace is measured straight along the shell, in mm. Raises ValueError for a region that is
    empty and for a shell that cannot be.
    """
    if not region.strip():
        raise ValueError("The region is empty: write the country's two letters, such as US.")
    if carapace_mm is not None and not 0 < carapace_mm < math.inf:
        raise ValueError(f"A carapace of {carapace_mm:g} mm is no shell's: measure it again.")
    if region.strip().upper().split("-")[0] != "US":
        return Leaving(verdict=MayLeave.ASK, kind=kind, why=WhyNot.OTHER_REGION, carapace_mm=carapace_mm)
    chelonian = group is Group.CHELONIAN or (group is None and _is_called_one(kind))
    if group is None and not chelonian:
        return Leaving(verdict=MayLeave.ASK, kind=kind, why=WhyNot.UNKNOWN_GROUP, carapace_mm=carapace_mm)
    if not chelonian:
        return Leaving(verdict=MayLeave.YES, kind=kind, carapace_mm=carapace_mm)
    return _chelonian(kind=kind, carapace_mm=carapace_mm, eggs=eggs, exception=exception)


def _is_called_one(kind: str) -> bool:
    return any(name in kind.lower() for name in _CALLED)


def _chelonian(
    *, kind: str, carapace_mm: float | None, eggs: bool, exception: LeaveException | None
) -> Leaving:
    why = _why_not(carapace_mm=carapace_mm, eggs=eggs)
    if why is WhyNot.NOT_MEASURED and exception is None:
        verdict = MayLeave.MEASURE
    elif why is None:
        verdict = MayLeave.YES
    else:
        verdict = MayLeave.NO if exception is None else MayLeave.EXCEPTION
    return Leaving(
        verdict=verdict,
        kind=kind,
        why=why,
        carapace_mm=carapace_mm,
        least_mm=SHELL_LEAST_MM,
        exception=exception if verdict is MayLeave.EXCEPTION else None,
        source=SOURCE,
    )


def _why_not(*, carapace_mm: float | None, eggs: bool) -> WhyNot | None:
    if eggs:
        return WhyNot.EGGS
    if carapace_mm is None:
        return WhyNot.NOT_MEASURED
    return WhyNot.SHELL_TOO_SHORT if carapace_mm < SHELL_LEAST_MM - _ROUNDING_MM else None
