"""What a shelf may hold: every kind with its category, its unit, and what is asked when it comes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from roomops.husbandry.care_topics import FOODS
from roomops.records.models.places import LampType

INSECT, RODENT, GREENS, POWDER, BULB = "insect", "rodent", "greens", "powder", "bulb"
RAISED = frozenset({INSECT, RODENT, "soft prey", "fish"})  # only from a farm, and the farm is named
OPENED = frozenset({POWDER, "powder meal", "disinfectant"})  # loses its strength once it is open
BY_WEIGHT = frozenset({GREENS, POWDER, "powder meal", "pellets", "soft prey", "egg"})

BULBS: Mapping[str, str] = {
    LampType.HALOGEN: "halogen bulb",
    LampType.CERAMIC: "ceramic heater",
    LampType.T5: "T5 UV tube",
    LampType.T8: "T8 UV tube",
    LampType.COMPACT: "compact UV lamp",
    LampType.HALIDE: "metal halide lamp",
}
"""What serves as a spare for a lamp of a type. 'Other' has none: what fits it, only its maker knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of thing. ``unit`` is what it is counted in: 'each', 'g', 'jug', 'box'."""

    kind: str
    category: str
    unit: str = "each"

    @property
    def sized(self) -> bool:
        """Say whether a prey rule asks for its size: an insect's length, a rodent's width."""
        return self.category in {INSECT, RODENT}

    @property
    def weighed(self) -> bool:
        """Say whether one of it has a weight by which it is sold."""
        return self.category == RODENT

    @property
    def raised(self) -> bool:
        return self.category in RAISED

    @property
    def opened(self) -> bool:
        return self.category in OPENED


def _kinds() -> dict[str, Kind]:
    found = [
        Kind(kind=kind, category=category, unit="g" if category in BY_WEIGHT else "each")
        for category, kinds in FOODS.items()
        for kind in kinds
    ]
    found += [
        Kind(kind=kind, category=POWDER, unit="g")
        for kind in ("calcium, no D3", "calcium with D3", "vitamins")
    ]
    found.append(Kind(kind="disinfectant", category="disinfectant", unit="jug"))
    found.append(Kind(kind="gloves", category="gloves", unit="box"))
    found += [Kind(kind=kind, category=BULB) for kind in BULBS.values()]
    return {each.kind: each for each in found}


KINDS: Mapping[str, Kind] = _kinds()
