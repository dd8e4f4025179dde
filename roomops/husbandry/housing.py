"""Tanks by their trade names, floors that somebody asks for, and who may live with whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from roomops.husbandry.care import Standing
from roomops.husbandry.units import BY_NAME, to_base

_EACH_FURTHER = (
    0.15  # of the floor, for each animal beyond those it was meant for (Germany, expert report 1997)
)
_SIZES_APART = 1.5  # heaviest to lightest in a group (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class NominalTank:
    """A glass tank as the trade names it, by its outside inches."""

    name: str
    gallons: float
    length_in: float
    width_in: float
    height_in: float
    standing: Standing

    @property
    def floor_cm2(self) -> float:
        return to_base(number=self.length_in * self.width_in, unit=BY_NAME["in²"])

    @property
    def gallons_by_size(self) -> float:
        """US gallons of the outside measures; a US gallon is 231 cubic inches."""
        return self.length_in * self.width_in * self.height_in / 231


def _tank(
    name: str, gallons: float, length: float, width: float, height: float, standing: Standing
) -> NominalTank:
    return NominalTank(
        name=name, gallons=gallons, length_in=length, width_in=width, height_in=height, standing=standing
    )


# Outside inches as the trade has them; no standard stands behind them.
TANKS: tuple[NominalTank, ...] = (
    _tank("10", 10, 20, 10, 12, Standing.COMMON_PRACTICE),
    _tank("20 high", 20, 24, 12, 16, Standing.COMMON_PRACTICE),
    _tank("20 long", 20, 30, 12, 12, Standing.COMMON_PRACTICE),
    _tank("29", 29, 30, 12, 18, Standing.FROM_MEMORY),
    _tank("40 breeder", 40, 36, 18, 16, Standing.FROM_MEMORY),
    _tank("55", 55, 48, 13, 21, Standing.COMMON_PRACTICE),
    _tank("75", 75, 48, 18, 21, Standing.FROM_MEMORY),
    _tank("120", 120, 48, 24, 24, Standing.FROM_MEMORY),
    _tank("180", 180, 72, 24, 25, Standing.COMMON_PRACTICE),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Home:
    """A smallest home that somebody asks for, inside measures in mm."""

    length_mm: float
    width_mm: float
    height_mm: float
    source: str

    @property
    def floor_cm2(self) -> float:
        return self.length_mm * self.width_mm / 100


def dragon_pair_home(*, svl_mm: float) -> Home:
    """Return the home for two bearded dragons: 5 × 4 × 3 snout-to-vent lengths of the larger one.

    Source: German agriculture ministry, expert report on reptile keeping, 10 January 1997.
    """
    source = "German agriculture ministry, expert report of 10 January 1997"
    return Home(length_mm=5 * svl_mm, width_mm=4 * svl_mm, height_mm=3 * svl_mm, source=source)


def dragon_home() -> Home:
    """Return the home of one adult bearded dragon, 120 × 60 × 60 cm. Source: RSPCA (UK)."""
    return Home(
        length_mm=1200, width_mm=600, height_mm=600, source="RSPCA (UK), Caring for your bearded dragon"
    )


def snake_home(*, length_mm: float) -> Home:
    """Return one ground snake's home: its length × a third × a third. Source: RSPCA (UK), corn snake page."""
    third = length_mm / 3
    return Home(length_mm=length_mm, width_mm=third, height_mm=third, source="RSPCA (UK), corn snake page")


def tortoise_floor_cm2(*, shell_mm: float) -> float:
    """Return the floor for a European tortoise: 8 × 4 shell lengths.

    Source: Tierärztliche Vereinigung für Tierschutz, Europäische Landschildkröten.
    """
    return 8 * shell_mm * 4 * shell_mm / 100


# Ground snakes, one or two: up to this length in mm, this floor in cm².
# Source: Austria, 2. Tierhaltungsverordnung, annex 3 (BGBl. II 486/2004).
_AUSTRIA_SNAKES = ((200, 1000), (500, 2000), (1000, 5000), (1500, 9000), (2000, 12_000))


def austrian_snake_floor_cm2(*, length_mm: float) -> float | None:
    """Return the legal floor for one or two ground snakes in Austria, None beyond the table (2 m)."""
    return next((floor for most, floor in _AUSTRIA_SNAKES if length_mm <= most), None)


def floor_needed_cm2(*, floor_for_one_cm2: float, heads: int) -> float:
    """Return the floor for ``heads`` animals: each further one adds 15 %.

    Source: German expert report of 1997, where the floor is meant for two and a further one adds 15 %;
    taking it from one animal's floor on is this house's choice.
    """
    return floor_for_one_cm2 * (1 + _EACH_FURTHER * (heads - 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Companion:
    """Animals that would share a tank. ``group_most`` is their care sheet's."""

    key: str
    kind: str
    heads: int
    group_most: int
    weight_g: float | None = None


class Clash(StrEnum):
    """Why animals do not share a tank."""

    KINDS_MIXED = "kinds mixed"
    TOO_MANY = "too many"
    SIZES_APART = "sizes apart"  # a reason to look, common practice


@dataclass(frozen=True, slots=True, kw_only=True)
class CompanyProblem:
    """One clash with its numbers: heads against the most, or heaviest to lightest against the most."""

    clash: Clash
    keys: tuple[str, ...]
    value: float = 0.0
    most: float = 0.0


def company_problems(companions: Sequence[Companion], /) -> tuple[CompanyProblem, ...]:
    """Return everything that speaks against these animals sharing one tank; none when they may."""
    keys = tuple(companion.key for companion in companions)
    heads = sum(companion.heads for companion in companions)
    most = min((companion.group_most for companion in companions), default=heads)
    weights = [companion.weight_g for companion in companions if companion.weight_g]
    found = []
    if len({companion.kind for companion in companions}) > 1:
        found.append(CompanyProblem(clash=Clash.KINDS_MIXED, keys=keys))
    if heads > most:
        found.append(CompanyProblem(clash=Clash.TOO_MANY, keys=keys, value=heads, most=most))
    if weights and max(weights) > _SIZES_APART * min(weights):
        ratio = max(weights) / min(weights)
        found.append(CompanyProblem(clash=Clash.SIZES_APART, keys=keys, value=ratio, most=_SIZES_APART))
    return tuple(found)
