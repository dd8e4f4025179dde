"""The invented room as it is written in ``fixtures/invented_room.toml``: frozen values, dates as days ago."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

FILE = Path(__file__).resolve().parents[2] / "fixtures" / "invented_room.toml"
Row = TypeVar("Row")


@dataclass(frozen=True, slots=True, kw_only=True)
class Staff:
    key: str
    name: str
    role: str
    password: str
    may_quarantine: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    days: tuple[int, ...]  # Monday is 0
    start: str
    end: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Timer:
    key: str
    name: str
    on: str
    off: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """Other hours of a timer, from (month, day) on."""

    timer: str
    begins: tuple[int, int]
    on: str
    off: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    key: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tanks:
    """Like tanks that stand side by side."""

    names: tuple[str, ...]
    rack: str
    size: str
    timer: str = "day-kinds"
    uv: bool = True
    quarantine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    key: str
    name: str
    tubs: int
    fits_mm: float
    quarantine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    key: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Arriving:
    """A lot that somebody said yes to yesterday."""

    key: str
    kind: str
    stage: str
    heads: int
    length_mm: float
    in_days: int
    breeder: str
    tanks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """Total length in a straight line of age, weight by its cube."""

    hatch_length_mm: float
    mm_a_day: float
    hatch_weight_g: float
    gap_share: float
    spread: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Clutch:
    """Marked young of one hatch day: one of each mark in each tank."""

    key: str
    kind: str
    hatched: int
    arrived: int
    tanks: tuple[str, ...]
    marks: tuple[str, ...]
    quarantine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class UnmarkedLot:
    key: str
    name: str
    kind: str
    breeder: str
    hatched: int
    arrived: int
    tanks: tuple[str, ...]
    heads: int  # in each tank


@dataclass(frozen=True, slots=True, kw_only=True)
class Adult:
    name: str
    kind: str
    hatched: int
    arrived: int
    weight_g: float
    length_mm: float
    gap_mm: float | None = None
    girth_mm: float | None = None
    sex: str = ""
    tank: str = ""  # empty: the tank of the same name
    quarantine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone:
    """One of a clutch that went home."""

    tank: str
    mark: str
    clutch: str
    left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class VetOrder:
    """What the vet ordered, in the vet's words. Days ago: below 0 is still to come."""

    resident: str
    as_ordered: str
    times: int
    first: int
    last: int
    said: tuple[str, ...] = ()  # by day from the first: 'given' each time, or why it was not


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    key: str
    kind: str
    name: str
    received: int
    amount: float
    category: str = "insect"
    size_mm: float | None = None
    weight_g: float | None = None
    watts: int | None = None
    source: str = ""
    opened: int | None = None
    unit: str = "each"
    dies: int = 0  # of a hundred, on the third and the sixth day
    closed: int | None = None
    on_hand: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Least:
    """The least that is kept of a thing."""

    kind: str
    category: str
    amount: float
    size_mm: float | None = None
    watts: int | None = None
    unit: str = "each"


@dataclass(frozen=True, slots=True, kw_only=True)
class InventedFacts:
    """The whole file. Tables that are read once stay mappings, under the names that they have there."""

    seed: int
    history_days: int
    rota_days: int
    set_up: int
    room: Mapping[str, Any]
    choices: tuple[Mapping[str, str], ...]
    people: tuple[Staff, ...]
    shifts: Mapping[str, tuple[str, str]]  # 'opening': ('07:30', '13:30')
    rota: Mapping[str, tuple[tuple[str, ...], ...]]  # 'opening': who, Monday first
    peaks: tuple[Peak, ...]
    timers: tuple[Timer, ...]
    seasons: tuple[Season, ...]
    racks: tuple[Rack, ...]
    sizes: Mapping[str, tuple[float, float, float]]
    tanks: tuple[Tanks, ...]
    warmth: Mapping[str, tuple[float, float, float]]  # by kind: basking, cool side, night low
    lamps: Mapping[str, Any]
    trays: tuple[Tray, ...]
    pens: tuple[Pen, ...]
    arriving: tuple[Arriving, ...]
    growth: Growth
    clutches: tuple[Clutch, ...]
    lots: tuple[UnmarkedLot, ...]
    adults: tuple[Adult, ...]
    gone: tuple[Gone, ...]
    medicines: tuple[VetOrder, ...]
    wrong: Mapping[str, Any]
    feeds: Mapping[str, Any]
    deliveries: tuple[Delivery, ...]
    least: tuple[Least, ...]


@cache
def facts() -> InventedFacts:
    """Read the file, once in a process. Raises TypeError for a name in it that nothing reads."""
    table = _frozen(tomllib.loads(FILE.read_text(encoding="utf-8")))
    return InventedFacts(
        **{
            name: table[name]
            for name in ("seed", "history_days", "rota_days", "set_up", "room", "rota", "warmth")
        },
        **{name: table[name] for name in ("lamps", "wrong", "feeds")},
        choices=table["choice"],
        people=_rows(Staff, table["person"]),
        shifts=table["shift"],
        peaks=_rows(Peak, table["peak"]),
        timers=_rows(Timer, table["timer"]),
        seasons=_rows(Season, table["season"]),
        racks=_rows(Rack, table["rack"]),
        sizes=table["size"],
        tanks=_rows(Tanks, table["tanks"]),
        trays=_rows(Tray, table["tray"]),
        pens=_rows(Pen, table["pen"]),
        arriving=_rows(Arriving, table["arriving"]),
        growth=Growth(**table["growth"]),
        clutches=_rows(Clutch, table["clutch"]),
        lots=_rows(UnmarkedLot, table["lot"]),
        adults=_rows(Adult, table["adult"]),
        gone=_rows(Gone, table["gone"]),
        medicines=_rows(VetOrder, table["medicine"]),
        deliveries=_rows(Delivery, table["batch"]),
        least=_rows(Least, table["least"]),
    )


def _rows(made: type[Row], rows: Iterable[Mapping[str, Any]]) -> tuple[Row, ...]:
    return tuple(made(**row) for row in rows)


def _frozen(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _frozen(each) for key, each in value.items()}
    return tuple(_frozen(each) for each in value) if isinstance(value, list) else value
