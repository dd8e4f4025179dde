"""Tanks by their trade names, floors that somebody asks for, and who may live with whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from roomops.husbandry.care import Alone, Group, StageCare, Standing
from roomops.husbandry.units import BY_NAME, to_base

_EACH_FURTHER = (
    0.15  # of the floor, for each animal beyond those it was meant for (Germany, expert report 1997)
)
_NOMINAL = 0.98  # a nominal inch rounds: 24 in for 61 cm (our own)
_ROUNDING_G = 1e-6
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


def _cage(length: float, width: float, height: float, standing: Standing, *, screen: bool) -> NominalCage:
    return NominalCage(length_in=length, width_in=width, height_in=height, standing=standing, screen=screen)


@dataclass(frozen=True, slots=True, kw_only=True)
class NominalCage:
    """A home with doors in front, as the trade names it: by its outside inches."""

    length_in: float
    width_in: float
    height_in: float
    standing: Standing
    screen: bool  # walls of mesh: for chameleons; holds neither heat nor damp

    @property
    def name(self) -> str:
        return " × ".join(f"{inches:g}" for inches in (self.length_in, self.width_in, self.height_in))

    @property
    def floor_cm2(self) -> float:
        return to_base(number=self.length_in * self.width_in, unit=BY_NAME["in²"])

    @property
    def height_mm(self) -> float:
        return to_base(number=self.height_in, unit=BY_NAME["in"])


# Nominal inches; those of screen are the ones that veterinary practices' chameleon sheets ask for.
CAGES: tuple[NominalCage, ...] = (
    _cage(12, 12, 18, Standing.FROM_MEMORY, screen=False),
    _cage(18, 18, 18, Standing.FROM_MEMORY, screen=False),
    _cage(18, 18, 24, Standing.FROM_MEMORY, screen=False),
    _cage(24, 18, 36, Standing.FROM_MEMORY, screen=False),
    _cage(36, 18, 18, Standing.FROM_MEMORY, screen=False),
    _cage(48, 24, 24, Standing.FROM_MEMORY, screen=False),
    _cage(72, 24, 24, Standing.FROM_MEMORY, screen=False),
    _cage(72, 36, 72, Standing.COMMON_PRACTICE, screen=False),
    _cage(96, 48, 48, Standing.FROM_MEMORY, screen=False),
    _cage(16, 16, 30, Standing.COMMON_PRACTICE, screen=True),
    _cage(18, 18, 36, Standing.COMMON_PRACTICE, screen=True),
    _cage(24, 24, 36, Standing.COMMON_PRACTICE, screen=True),
    _cage(24, 24, 48, Standing.COMMON_PRACTICE, screen=True),
)


def cages_for(*, care: StageCare, screen: bool | None = None) -> tuple[NominalCage, ...]:
    """Return the nominal cages with the floor and the height that a stage's sheet asks for, smallest first.

    ``screen`` picks mesh or closed walls, None takes both. Outside measures: the inside is a little less.
    """
    fitting = [
        cage
        for cage in CAGES
        if (screen is None or cage.screen is screen)
        and cage.floor_cm2 >= (care.floor_cm2 or 0.0) * _NOMINAL
        and cage.height_mm >= (care.height_mm or 0.0) * _NOMINAL
    ]
    return tuple(sorted(fitting, key=lambda cage: cage.floor_cm2 * cage.height_mm))


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


def floor_needed_cm2(*, floor_for_one_cm2: float, heads: int) -> float:
    """Return the floor for ``heads`` animals: each further one adds 15 %.

    Source: German expert report of 1997, where the floor is meant for two and a further one adds 15 %;
    taking it from one animal's floor on is this house's choice.
    """
    return floor_for_one_cm2 * (1 + _EACH_FURTHER * (heads - 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Companion:
    """Animals that would share a tank, or a tub or a bag for a minute. What is not given bars nothing."""

    key: str
    kind: str
    heads: int
    group_most: int
    weight_g: float | None = None
    group: Group | None = None
    eats: tuple[Group, ...] = ()
    sight_apart: bool = False
    alone: tuple[Alone, ...] = ()


def companion_of(*, care: StageCare, key: str, heads: int = 1, weight_g: float | None = None) -> Companion:
    """Return an animal as company sees it, with what its care sheet says."""
    company = care.company
    return Companion(
        key=key,
        kind=care.kind,
        heads=heads,
        group_most=care.group_most,
        weight_g=weight_g,
        group=care.group,
        eats=company.eats if company else (),
        sight_apart=company.sight_apart if company else False,
        alone=company.alone if company else (),
    )


class Clash(StrEnum):
    """Why animals do not share a tank."""

    KINDS_MIXED = "kinds mixed"
    TOO_MANY = "too many"
    SIZES_APART = "sizes apart"  # a reason to look, common practice
    EATS = "one eats the other"
    IN_SIGHT = "in sight of each other"  # in tanks that see each other


@dataclass(frozen=True, slots=True, kw_only=True)
class CompanyProblem:
    """One clash with its numbers: heads against the most, or heaviest to lightest against the most.

    ``reasons`` says why a kind lives alone, where its sheet does; of an eater and whom it eats the eater's
    key comes first.
    """

    clash: Clash
    keys: tuple[str, ...]
    value: float = 0.0
    most: float = 0.0
    reasons: tuple[Alone, ...] = ()


def company_problems(companions: Sequence[Companion], /) -> tuple[CompanyProblem, ...]:
    """Return everything that speaks against these animals sharing one tank; none when they may.

    Ask it too before two animals share a tub, a bag or a scale: who eats whom holds there as well.
    """
    keys = tuple(companion.key for companion in companions)
    heads = sum(companion.heads for companion in companions)
    most = min((companion.group_most for companion in companions), default=heads)
    found = []
    if len({companion.kind for companion in companions}) > 1:
        found.append(CompanyProblem(clash=Clash.KINDS_MIXED, keys=keys))
    if heads > most:
        reasons = tuple(dict.fromkeys(why for companion in companions for why in companion.alone))
        found.append(CompanyProblem(clash=Clash.TOO_MANY, keys=keys, value=heads, most=most, reasons=reasons))
    return (*found, *_eaten(companions), *_sizes(companions))


def _eaten(companions: Sequence[Companion], /) -> tuple[CompanyProblem, ...]:
    return tuple(
        CompanyProblem(clash=Clash.EATS, keys=(eater.key, other.key))
        for eater in companions
        for other in companions
        if other.group in eater.eats and (other is not eater or eater.heads > 1)
    )


def _sizes(companions: Sequence[Companion], /) -> tuple[CompanyProblem, ...]:
    weights = [companion.weight_g for companion in companions if companion.weight_g]
    if not weights or max(weights) <= _SIZES_APART * min(weights) + _ROUNDING_G:
        return ()
    keys = tuple(companion.key for companion in companions)
    ratio = max(weights) / min(weights)
    return (CompanyProblem(clash=Clash.SIZES_APART, keys=keys, value=ratio, most=_SIZES_APART),)


def sight_problems(tanks: Sequence[Sequence[Companion]], /) -> tuple[CompanyProblem, ...]:
    """Return the pairs of one kind that see each other from tank to tank and must not.

    ``tanks`` are those that stand in sight of each other with nothing between them.
    """
    return tuple(
        CompanyProblem(clash=Clash.IN_SIGHT, keys=(here.key, there.key))
        for first, second in combinations(tanks, 2)
        for here in first
        for there in second
        if here.kind == there.kind and (here.sight_apart or there.sight_apart)
    )
