"""Which lamp may hang where, and which spare fits a fixture. Pure: nothing here reads or writes a table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from roomops.desk.stock_kinds import BULBS
from roomops.husbandry.lamps import WattsVerdict, watts_check
from roomops.records.models.places import LampKind, LampType

TYPES: Mapping[str, tuple[LampType, ...]] = {
    LampKind.DAY: (LampType.HALOGEN, LampType.HALIDE, LampType.OTHER),
    LampKind.UV: (LampType.T5, LampType.T8, LampType.COMPACT, LampType.HALIDE),
    LampKind.NIGHT: (LampType.CERAMIC, LampType.OTHER),  # heat without light: nothing that glows
}
# A tube fits one length and its own ballast, a discharge lamp its own ballast: no other watts serve.
SAME_WATTS = frozenset({LampType.T5, LampType.T8, LampType.HALIDE})
HEATS = frozenset({LampKind.DAY, LampKind.NIGHT})  # each has a thermostat, and a probe that stays where it is


class Fit(StrEnum):
    """Why a spare serves in a fixture, or why not."""

    SAME = "same"
    WEAKER = "weaker"  # safe, and colder: the basking side is read again
    OTHER_TYPE = "other type"
    OTHER_WATTS = "other watts"
    OVER = "over"  # stronger than the fixture is made for
    NO_RATING = "no rating"
    NO_WATTS = "no watts"


FITS = frozenset({Fit.SAME, Fit.WEAKER})


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixture:
    """What hangs there. ``watts`` is the bulb's, ``rated_watts`` the most that the fixture is made for."""

    type: str
    watts: int | None
    rated_watts: int | None


def fit(*, fixture: Fixture, kind: str, watts: int | None) -> Fit:
    """Return whether a spare of a kind ('halogen bulb') and so many watts serves in a fixture.

    Never one above the rating, and none at all where the rating is not known: at the rating is within it. Nor
    one stronger than what hung there: a hotter basking place is a decision of its own.
    """
    if BULBS.get(LampType(fixture.type)) != kind:
        return Fit.OTHER_TYPE
    if watts is None:
        return Fit.NO_WATTS
    verdict = watts_check(watts=watts, rated_w=fixture.rated_watts).verdict
    if verdict is not WattsVerdict.FITS:
        return Fit.OVER if verdict is WattsVerdict.OVER else Fit.NO_RATING
    return _beside(watts=watts, before=fixture.watts, exact=fixture.type in SAME_WATTS)


def _beside(*, watts: int, before: int | None, exact: bool) -> Fit:
    """How a spare within the rating compares with what hung there."""
    if watts == before:
        return Fit.SAME
    stronger = before is not None and watts > before
    return Fit.OTHER_WATTS if exact or stronger else Fit.WEAKER


class Missing(StrEnum):
    """What is not as it must be with a lamp. All but the last two are warnings."""

    THERMOSTAT = "thermostat"
    PROBE = "probe"
    RATING = "rating"
    OVER = "over"  # it burns more watts than the fixture is made for
    FITTED = "fitted"  # nobody wrote when a UV lamp was fitted: no date can be worked out
    APART = "apart"  # UV and day lamp burn at other hours, and the sheet says together
    ASK = "ask"  # the sheet does not say: does UV burn with the day lamp?


def missing(
    *, kind: str, fixture: Fixture, thermostat: bool, probe: bool, fitted: bool
) -> tuple[Missing, ...]:
    """Return what of a lamp is missing, worst first."""
    found = []
    if fixture.rated_watts is None:
        found.append(Missing.RATING)
    elif fixture.watts is not None and fixture.watts > fixture.rated_watts:
        found.append(Missing.OVER)
    if kind in HEATS and not thermostat:
        found.append(Missing.THERMOSTAT)
    if kind in HEATS and not probe:
        found.append(Missing.PROBE)
    if kind == LampKind.UV and not fitted:
        found.append(Missing.FITTED)
    return tuple(found)


def together(*, says: Iterable[bool], own_timer: str, tank_timer: str) -> Missing | None:
    """Return what is to be said of a UV lamp's hours; None where all is well.

    ``says`` is, for each kind in the tank, whether its sheet lets UV burn with the day lamp. ``own_timer`` is
    '' where the lamp hangs on the tank's own timer and nobody chose.
    """
    said = tuple(says)
    if all(said):
        return Missing.APART if own_timer not in {"", tank_timer} else None
    return None if own_timer else Missing.ASK
