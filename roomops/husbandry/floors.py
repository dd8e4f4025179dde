"""Floors, heights and water that published rules ask for, each a law's or a charity's own table.

A law's floor is the least that is allowed there, a laboratory's the least for laboratories: neither is what
is good for the animal, and every answer names its source.
"""

from __future__ import annotations

from dataclasses import dataclass

from roomops.husbandry.housing import Home


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """What a rule asks for. None: the rule says nothing on it. ``laboratory``: not meant for pets."""

    floor_cm2: float
    source: str
    height_mm: float | None = None
    depth_mm: float | None = None  # of water; the floor is then its surface
    laboratory: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """Up to this length, this floor for those that it is meant for, and so much for each further one."""

    most_mm: float
    floor_cm2: float
    further_cm2: float
    height_mm: float | None = None
    depth_mm: float | None = None


_ENDLESS = float("inf")


def _step(*, steps: tuple[_Step, ...], size_mm: float) -> _Step | None:
    """Return the first step that holds an animal of this size, or None beyond the table."""
    if size_mm <= 0:
        raise ValueError(f"A length of {size_mm:g} mm is no animal's: measure it again.")
    return next((step for step in steps if size_mm <= step.most_mm), None)


def _space(*, step: _Step, further: int, source: str, laboratory: bool = False) -> Space:
    return Space(
        floor_cm2=step.floor_cm2 + max(further, 0) * step.further_cm2,
        height_mm=step.height_mm,
        depth_mm=step.depth_mm,
        source=source,
        laboratory=laboratory,
    )


# ---------------------------------------------------------------- chelonians

# Directive 2010/63/EU, annex III, table 10.1 (the same numbers: Commission Recommendation 2007/526/EC, table
# J.2): shell length, water surface, for each further animal, depth.
_EU_WATER = (
    _Step(most_mm=50, floor_cm2=600, further_cm2=100, depth_mm=100),
    _Step(most_mm=100, floor_cm2=1600, further_cm2=300, depth_mm=150),
    _Step(most_mm=150, floor_cm2=3500, further_cm2=600, depth_mm=200),
    _Step(most_mm=200, floor_cm2=6000, further_cm2=1200, depth_mm=300),
    _Step(most_mm=300, floor_cm2=10_000, further_cm2=2000, depth_mm=350),
    _Step(most_mm=_ENDLESS, floor_cm2=20_000, further_cm2=5000, depth_mm=400),
)


def laboratory_water(*, shell_mm: float, heads: int = 1) -> Space:
    """Return the least water surface and depth for aquatic chelonians in a laboratory.

    Source: Directive 2010/63/EU, annex III, table 10.1. Raises ValueError for a shell of no length.
    """
    source = "Directive 2010/63/EU, annex III, table 10.1"
    step = _step(steps=_EU_WATER, size_mm=shell_mm) or _EU_WATER[-1]
    return _space(step=step, further=heads - 1, source=source, laboratory=True)


# Austria, 2. Tierhaltungsverordnung, annex 3, 1.2.1: one or two animals, each further one.
_AUSTRIA_TORTOISE = (
    _Step(most_mm=60, floor_cm2=5000, further_cm2=2000),
    _Step(most_mm=120, floor_cm2=10_000, further_cm2=4000),
    _Step(most_mm=_ENDLESS, floor_cm2=20_000, further_cm2=5000),
)


def austrian_tortoise_space(*, shell_mm: float, heads: int = 1) -> Space:
    """Return the legal floor for one or two small Mediterranean tortoises in Austria and for each further.

    The row was read for the Egyptian tortoise (Testudo kleinmanni); other kinds have rows of their own, so
    here it is a measure to compare with. Raises ValueError for a shell of no length.
    """
    source = "Austria, 2. Tierhaltungsverordnung, annex 3 (BGBl. II 486/2004), Testudo kleinmanni"
    step = _step(steps=_AUSTRIA_TORTOISE, size_mm=shell_mm) or _AUSTRIA_TORTOISE[-1]
    return _space(step=step, further=heads - 2, source=source)


def turtle_water_l(*, shell_mm: float) -> float:
    """Return the liters for one pond turtle: 80 for each 5 cm of shell. Source: SPCA New Zealand, Turtles."""
    return 80 * shell_mm / 50


def turtle_home(*, shell_mm: float) -> Home:
    """Return the tank for two sliders: 5 × 2.5 shell lengths, and twice the length deep.

    Source: German agriculture ministry, expert report of 10 January 1997, as quoted elsewhere; the depth is
    from general veterinary texts, from memory.
    """
    source = "German agriculture ministry, expert report of 10 January 1997 (as quoted)"
    return Home(length_mm=5 * shell_mm, width_mm=2.5 * shell_mm, height_mm=2 * shell_mm, source=source)


# ---------------------------------------------------------------- snakes

_LAW = "Austria, 2. Tierhaltungsverordnung, annex 3 (BGBl. II 486/2004)"
# Ground snakes up to 2.5 m, one or two; the last row is for adults.
_AUSTRIA_GROUND = (
    _Step(most_mm=200, floor_cm2=1000, further_cm2=150, height_mm=200),
    _Step(most_mm=500, floor_cm2=2000, further_cm2=500, height_mm=300),
    _Step(most_mm=1000, floor_cm2=5000, further_cm2=1500, height_mm=400),
    _Step(most_mm=1500, floor_cm2=9000, further_cm2=2000, height_mm=600),
    _Step(most_mm=2000, floor_cm2=12_000, further_cm2=4000, height_mm=800),
    _Step(most_mm=2500, floor_cm2=15_000, further_cm2=6000, height_mm=1200),
)
# Ball pythons, one or two; the last row is for adults of any length.
_AUSTRIA_BALL_PYTHON = (
    _Step(most_mm=500, floor_cm2=2000, further_cm2=1000, height_mm=400),
    _Step(most_mm=1000, floor_cm2=5000, further_cm2=1000, height_mm=600),
    _Step(most_mm=_ENDLESS, floor_cm2=9000, further_cm2=2000, height_mm=700),
)


def austrian_snake_space(*, length_mm: float, heads: int = 1) -> Space | None:
    """Return the legal floor and height for ground snakes in Austria, None beyond the table (2.5 m).

    Raises ValueError for a snake of no length.
    """
    step = _step(steps=_AUSTRIA_GROUND, size_mm=length_mm)
    return None if step is None else _space(step=step, further=heads - 2, source=f"{_LAW}, ground snakes")


def austrian_ball_python_space(*, length_mm: float, heads: int = 1) -> Space:
    """Return the legal floor and height for ball pythons in Austria. Raises ValueError for no length."""
    step = _step(steps=_AUSTRIA_BALL_PYTHON, size_mm=length_mm) or _AUSTRIA_BALL_PYTHON[-1]
    return _space(step=step, further=heads - 2, source=f"{_LAW}, Python regius")


def swiss_snake_home(*, length_mm: float) -> Home:
    """Return a ground snake's home by Swiss law: its length × half × half.

    Source: Canton Graubünden, Sie halten Schlangen?, on annex 2 of the Swiss animal protection ordinance.
    """
    half = length_mm / 2
    source = "Canton Graubünden, Sie halten Schlangen? (Swiss animal protection ordinance, annex 2)"
    return Home(length_mm=length_mm, width_mm=half, height_mm=half, source=source)
