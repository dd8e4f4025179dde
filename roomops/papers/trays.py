"""Tray sheets: tubs as they stand on the counter, one drawing for each fill of a tray."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from roomops.papers.cautions import LETTERS, TRAYS
from roomops.papers.cover import need_of
from roomops.papers.index import Index
from roomops.papers.view import Block, Box, Cell, FillLine, Saying, Sheet, TrayFill
from roomops.papers.words import DASH, exact_words, list_words, portion_words
from roomops.planning.plan import Duty, Portion, Round, Seat, StepKind

COLUMNS = 4
Who = tuple[str, int]  # resident and head


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """One feed of a fill: its round, its tray, and who sits in which tub by number."""

    planned: Round
    tray: str
    seats: Mapping[int, Seat]


@dataclass(slots=True, kw_only=True)
class Fill:
    """The same animals in the same places, in one or more feeds. The tray itself may differ by feed."""

    columns: int
    sittings: dict[int, Sitting] = field(default_factory=dict)  # by slot
    in_tub: dict[int, Who] = field(default_factory=dict)

    def takes(self, *, columns: int, sitting: Sitting) -> bool:
        """Whether another feed is of these animals, at least half of them, each in its own place again."""
        if columns != self.columns or sitting.planned.slot in self.sittings:
            return False
        common = [number for number in sitting.seats if number in self.in_tub]
        same = all(self.in_tub[number] == _who(sitting.seats[number]) for number in common)
        return same and 2 * len(common) >= max(len(sitting.seats), len(self.in_tub))

    def add(self, sitting: Sitting) -> None:
        self.sittings[sitting.planned.slot] = sitting
        self.in_tub.update({number: _who(seat) for number, seat in sitting.seats.items()})


def _who(seat: Seat) -> Who:
    return seat.duty.rsplit("/", 1)[0], seat.head


def fills(*, at: Index, rounds: tuple[Round, ...]) -> tuple[Fill, ...]:
    """The fills in the order of the day. A round with tubs of two trays has a part in each."""
    made: list[Fill] = []
    for planned in rounds:
        by_tray: dict[str, dict[int, Seat]] = {}
        for place, seat in enumerate(s for s in planned.seats if not at.absent(at.duties[s.duty])):
            tub = at.tubs.get(seat.tub)
            # A tub that the room file lacks has a place of its own, so that its animal is on paper.
            by_tray.setdefault(tub.tray if tub else "", {})[tub.number if tub else 1000 + place] = seat
        for tray, seats in by_tray.items():
            sitting = Sitting(planned=planned, tray=tray, seats=seats)
            columns = dict(at.store.tray_columns).get(tray, COLUMNS)
            fill = next((f for f in made if f.takes(columns=columns, sitting=sitting)), None)
            if fill is None:
                fill = Fill(columns=columns)
                made.append(fill)
            fill.add(sitting)
    return tuple(made)


def drawing(*, at: Index, fill: Fill) -> TrayFill:
    """The tray as it stands: whole rows of tubs in which somebody sits."""
    trays = {sitting.tray for sitting in fill.sittings.values()}
    numbers = sorted({t.number for t in at.facts.tubs if t.tray in trays} | set(fill.in_tub))
    rows = [numbers[i : i + fill.columns] for i in range(0, len(numbers), fill.columns)]
    shown = [number for row in rows if any(n in fill.in_tub for n in row) for number in row]
    alike = _alike(at, fill)
    return TrayFill(
        title=_title(at, fill),
        columns=fill.columns,
        offers=_offers(at, fill, alike),
        cells=tuple(_cell(at, fill, number, alike) for number in shown),
        lines=tuple(_line(at, sitting) for _, sitting in sorted(fill.sittings.items())),
    )


def tray_name(at: Index, tray: str) -> str:
    return at.trays[tray].name if tray in at.trays else tray or "Tubs"


def _title(at: Index, fill: Fill) -> str:
    """'Tray A', or where the feeds are on different trays 'Feed 1 on Tray A, feed 2 on Tray B'."""
    by_slot = [(slot, tray_name(at, sitting.tray)) for slot, sitting in sorted(fill.sittings.items())]
    if len({name for _, name in by_slot}) == 1:
        return by_slot[0][1]
    told = ", ".join(f"feed {slot} on {name}" for slot, name in by_slot)
    return told[0].upper() + told[1:]


def _cell(at: Index, fill: Fill, number: int, alike: Mapping[int, str]) -> Cell:
    if number not in fill.in_tub:
        return Cell(tub=number)
    seats = {slot: sitting.seats.get(number) for slot, sitting in sorted(fill.sittings.items())}
    duties = {slot: at.duties[seat.duty] for slot, seat in seats.items() if seat}
    first = next(iter(duties.values()))
    return Cell(
        tub=number,
        name=at.name(first.subject),
        who=_who_is(at, first),
        portions=portions(at=at, duties={slot: duty for slot, duty in duties.items() if slot not in alike}),
        limit=_limit_note(first.portion),
        boxes=tuple(_box(at, slot, seat) for slot, seat in seats.items()),
    )


def _box(at: Index, slot: int, seat: Seat | None) -> Box:
    if seat is None:
        return Box(label=str(slot), state="off")
    if at.settled(at.duties[seat.duty]):
        return Box(duty=seat.duty, head=seat.head, label="done", state="done")
    return Box(duty=seat.duty, head=seat.head, label=str(slot))


def _limit_note(portion: Portion | None) -> str:
    if portion is None or not portion.estimated:
        return ""
    return "gap not measured" if portion.most_mm is None else "gap estimated from length"


def _alike(at: Index, fill: Fill) -> dict[int, str]:
    """What everybody in a feed gets, where all get the same: told once above the tray."""
    told: dict[int, str] = {}
    for slot, sitting in sorted(fill.sittings.items()):
        words = {
            portion_words(portion=at.duties[seat.duty].portion, units=at.reader.units)
            for seat in sitting.seats.values()
        }
        if len(words) == 1:
            told[slot] = words.pop()
    return told


def _offers(at: Index, fill: Fill, alike: Mapping[int, str]) -> tuple[str, ...]:
    """'Each, feeds 1 and 2: 8 crickets …' and the limit of the smallest of them."""
    by_words: dict[str, list[str]] = {}
    for slot, words in alike.items():
        by_words.setdefault(words, []).append(str(slot))
    told = [
        f"Each, {'feed' if len(slots) == 1 else 'feeds'} {list_words(slots)}: {words}"
        for words, slots in by_words.items()
    ]
    limits = [
        portion.most_mm
        for sitting in fill.sittings.values()
        for seat in sitting.seats.values()
        if (portion := at.duties[seat.duty].portion) and portion.most_mm is not None
    ]
    if limits:
        most = exact_words(mm=min(limits), units=at.reader.units, limit=True)
        told.append(f"No prey larger than {most}, for the smallest here")
    return (" · ".join(told),) if told else ()


def _who_is(at: Index, duty: Duty) -> str:
    if duty.heads > 1:
        return f"one of {duty.heads}, counted for the tank"
    tank = at.tank_name(duty.tank)
    return "" if at.subject_name(duty).startswith(tank) else tank


def portions(*, at: Index, duties: dict[int, Duty]) -> tuple[tuple[str, str], ...]:
    """(('1, 2', '8 crickets ¼ in, calcium'), ('3', …)): feeds that offer the same share a line."""
    told: dict[str, list[str]] = {}
    for slot, duty in duties.items():
        words = portion_words(portion=duty.portion, units=at.reader.units, both=False)
        told.setdefault(words, []).append(str(slot))
    return tuple((", ".join(slots), words) for words, slots in told.items())


def _line(at: Index, sitting: Sitting) -> FillLine:
    planned = sitting.planned

    def clock(kind: StepKind) -> str:
        step = at.step(planned, kind)
        return at.clock(step[0], suffix=False) if step else DASH

    return FillLine(
        slot=planned.slot,
        round=planned.number,
        person=at.person(planned.person),
        need=need_of(at=at, planned=planned),
        cups=clock(StepKind.PREPARE),
        to_tubs=clock(StepKind.TO_TUBS),
        back=clock(StepKind.RETURN),
        ends=at.clock(planned.end),
    )


def tray_in(fill: TrayFill) -> float:
    """Height of a drawing in inches."""
    rows = -(-len(fill.cells) // fill.columns)
    boxes_in = 0.86 if len(fill.lines) == 1 else 1.14
    cell_in = boxes_in + 0.16 * max((_lines_in(cell) for cell in fill.cells), default=0)
    offers = sum(1 + len(offer) // 122 for offer in fill.offers)
    return 0.3 + 0.19 * offers + rows * cell_in + 0.23 * len(fill.lines)


def _lines_in(cell: Cell) -> int:
    words = [text for _, text in cell.portions] + [text for text in (cell.limit, cell.who) if text]
    extra = 1 if cell.name and len(cell.name.text) > 16 else 0
    return sum(1 + len(text) // 31 for text in words) + extra


def block(*, at: Index, drawn: tuple[Fill, ...]) -> Block:
    """The drawings as rows of a block."""
    rows = tuple(drawing(at=at, fill=fill) for fill in drawn)
    return Block(kind="trays", rows=rows, head_in=0.0, row_in=tuple(tray_in(row) for row in rows))


def sheet(*, at: Index) -> Sheet | None:
    """The tray sheets of all animals that are not apart; None when nobody is fed in tubs."""
    drawn = fills(at=at, rounds=tuple(r for r in at.todo if not r.quarantine))
    trays = block(at=at, drawn=drawn)
    if not trays.rows:
        return None
    names = list_words(list(dict.fromkeys(tray_name(at, s.tray) for f in drawn for s in f.sittings.values())))
    notes = Block(
        kind="words", title="Letters instead of a number", rows=(Saying(text=LETTERS),), row_in=(0.5,)
    )
    cautions = Block(kind="words", title="In tubs", rows=TRAYS, row_in=(0.34,) * len(TRAYS))
    most = min((c.feeding.most_out_min for c in at.facts.care), default=at.facts.settings.most_out_min)
    most = min(most, at.facts.settings.most_out_min)
    return Sheet(
        kind="trays",
        title=names if len(names) <= 30 else "Trays",
        when="Write what is LEFT: 0 means all eaten",
        lead="The numbers in the boxes are the feeds; R refused, W something is wrong, N not here. “Back” "
        f"when the animal is in its own tank. First out, first back; most minutes out of heat: {most}.",
        blocks=(trays, notes, cautions),
    )
