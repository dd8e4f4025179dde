"""Rack sheets: one row a tank, with boxes for the walks, the readings and cleaning."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from roomops.husbandry.care import Band, StageCare
from roomops.papers.cautions import CLOSING, HEAD_SHORT, LAMPS, OUT_OF_BAND
from roomops.papers.heights import text_in
from roomops.papers.index import Index, kind_name
from roomops.papers.view import Block, Box, Column, Name, Saying, Sheet, TankRow
from roomops.papers.words import DASH, band_words, degree_unit, degrees
from roomops.planning.plan import Duty
from roomops.planning.room import FED, DutyKind, Status

ROW_IN = 0.57
NO_BREAK = "\N{NO-BREAK SPACE}"
WALKED = (DutyKind.OPENING, DutyKind.READING, DutyKind.CLEAN)
Due = dict[DutyKind, list[Duty]]  # of one tank
Below = Callable[[Index, str], str]


def expected_heads(at: Index, tank: str) -> str:
    """'of 4', 'of 4, 1 missing'."""
    living = at.living(tank)
    heads = sum(r.heads for r in living if r.status in FED)
    missing = sum(r.heads for r in living if r.status is Status.MISSING)
    return f"of {heads}" + (f", {missing} missing" if missing else "")


def _bands(at: Index, tank: str, topic: Callable[[StageCare], Band | None]) -> str:
    """The bands of everybody who lives there; two that differ are both printed."""
    cares = [at.care(r.key) for r in at.living(tank) if r.status in FED]
    told = [band_words(band=topic(care), units=at.reader.units) for care in cares if care]
    return " or ".join(dict.fromkeys(told)) or DASH


def _nothing(at: Index, tank: str) -> str:  # noqa: ARG001
    return ""


def _night(at: Index, tank: str) -> str:
    return _bands(at, tank, lambda care: care.night_c)


def _basking(at: Index, tank: str) -> str:
    return _bands(at, tank, lambda care: care.basking_c)


def _cool(at: Index, tank: str) -> str:
    return _bands(at, tank, lambda care: care.cool_c)


COLUMNS: dict[DutyKind, tuple[tuple[str, Below], ...]] = {
    DutyKind.OPENING: (
        ("Heads seen", expected_heads),
        ("Night low", _night),
        ("Lamps lit", _nothing),
        ("Water", _nothing),
        ("Droppings", _nothing),
    ),
    DutyKind.READING: (("Basking", _basking), ("Cool", _cool)),
    DutyKind.CLEAN: (("Cleaned", _nothing),),
    DutyKind.CLOSING: (
        ("Heads seen", expected_heads),
        ("Lids locked", _nothing),
        ("Tubs empty", _nothing),
        ("Lamps off", _nothing),
        ("Night heat", _nothing),
    ),
}


# ---------------------------------------------------------------- tables


def due_by_tank(*, at: Index, quarantine: bool) -> dict[str, Due]:
    """This set's open walk, reading and clean duties, by tank in walking order."""
    found: dict[str, Due] = {}
    mine = (d for d in at.own_duties if d.kind in COLUMNS and d.quarantine is quarantine and at.open(d))
    for duty in sorted(mine, key=at.place):
        found.setdefault(duty.tank, {}).setdefault(duty.kind, []).append(duty)
    return found


def tables(*, at: Index, due: dict[str, Due]) -> tuple[Block, ...]:
    """The opening table (walk, readings, cleaning) and the closing table, where something is due."""
    return tuple(
        filter(
            None,
            (
                _table(at=at, due=due, kinds=WALKED, again=0),
                *(_table(at=at, due=due, kinds=(DutyKind.READING,), again=n) for n in _again(due)),
                _table(at=at, due=due, kinds=(DutyKind.CLOSING,), again=0),
            ),
        )
    )


def _again(due: dict[str, Due]) -> range:
    """Second and later readings of a tank have tables of their own: cold tanks are read again."""
    return range(1, max((len(d.get(DutyKind.READING, ())) for d in due.values()), default=0))


def _table(*, at: Index, due: dict[str, Due], kinds: tuple[DutyKind, ...], again: int) -> Block | None:
    held = {tank: {k: ds[k][again] for k in kinds if len(ds.get(k, ())) > again} for tank, ds in due.items()}
    held = {tank: duties for tank, duties in held.items() if duties}
    kinds = tuple(k for k in kinds if any(k in duties for duties in held.values()))
    if not held:
        return None
    rows = tuple(_row(at, tank, duties, kinds) for tank, duties in held.items())
    return Block(
        kind="walk",
        title=_title(kinds, again),
        aside=_aside(at, kinds),
        rows=rows,
        columns=tuple(c for k in kinds for c in _columns(at, k, held)),
        head_in=0.8,
        row_in=tuple(_row_in(r) for r in rows),
    )


def _row_in(row: TankRow) -> float:
    """As tall as its boxes, or as the words in its first column."""
    words_in = 0.08 + 0.17 * (1 + len(row.name.text) // 16) + 0.155 * (1 + len(row.who) // 21)
    return max(ROW_IN, words_in)


def _aside(at: Index, kinds: tuple[DutyKind, ...]) -> str:
    measured = DutyKind.OPENING in kinds or DutyKind.READING in kinds
    return f"{degree_unit(at.reader.units)}; expected below each box" if measured else ""


def _title(kinds: tuple[DutyKind, ...], again: int) -> str:
    if again:
        return "Read again: last read too low"
    names = {
        DutyKind.OPENING: "opening walk",
        DutyKind.READING: "readings",
        DutyKind.CLEAN: "cleaning",
        DutyKind.CLOSING: "closing walk",
    }
    told = ", ".join(names[k] for k in kinds)
    return told[0].upper() + told[1:]


def _columns(at: Index, kind: DutyKind, held: dict[str, dict[DutyKind, Duty]]) -> tuple[Column, ...]:
    aside = ""
    if kind is DutyKind.READING:
        opens = {duties[kind].opens for duties in held.values() if kind in duties}
        aside = f"after {at.clock(opens.pop(), suffix=False)}" if len(opens) == 1 else ""
    return tuple(
        Column(title=title, aside=aside, rule=place == 0 and kind is not DutyKind.OPENING)
        for place, (title, _) in enumerate(COLUMNS[kind])
    )


def _row(at: Index, tank: str, duties: dict[DutyKind, Duty], kinds: tuple[DutyKind, ...]) -> TankRow:
    boxes: list[Box] = []
    for kind in kinds:
        duty = duties.get(kind)
        for place, (_, below) in enumerate(COLUMNS[kind]):
            if duty is None:
                boxes.append(Box(state="off", rule=place == 0 and kind is not kinds[0]))
            else:
                rule = place == 0 and kind is not kinds[0]
                boxes.append(Box(duty=duty.key, below=below(at, tank), lead=place == 0, rule=rule))
    name = at.tank_name(tank)
    return TankRow(name=Name(text=name, long=len(name) > 12), who=at.who_lives(tank), boxes=tuple(boxes))


# ---------------------------------------------------------------- sheets


def act_words(*, at: Index, tanks: Iterable[str]) -> tuple[Saying, ...]:
    """'Act at once: corn snake, adult: outside basking 77–97, …'; nothing where no limit is set."""
    told: dict[str, str] = {}
    for tank in tanks:
        for resident in at.living(tank):
            care = at.care(resident.key)
            limits = _limits(at, care) if care else ""
            if care and limits:
                told[f"{kind_name(care.kind)}, {care.stage_name.lower()}"] = limits
    by_limits: dict[str, list[str]] = {}
    for kind, limits in told.items():
        by_limits.setdefault(limits, []).append(kind)
    return tuple(
        Saying(lead="Act at once:", text=f"{'; '.join(kinds)}: {limits}.")
        for limits, kinds in by_limits.items()
    )


def _limits(at: Index, care: StageCare) -> str:
    """'outside basking 90–115, night 64–88 °F', with 'over' or 'under' where only one limit is set."""
    spots = (("basking", care.basking_c), ("cool side", care.cool_c), ("night", care.night_c))
    between: list[str] = []
    beyond: list[str] = []
    for spot, band in spots:
        low, high = (_degrees(at, limit) for limit in (band.act_below, band.act_above)) if band else ("", "")
        if low and high:
            between.append(f"{spot} {low}–{high}")
        elif low or high:
            beyond.append(f"{spot} {'under' if low else 'over'} {low or high}")
    told = [*(["outside " + ", ".join(between)] if between else []), *beyond]
    return f"{', '.join(told)}{NO_BREAK}{degree_unit(at.reader.units)}" if told else ""


def _degrees(at: Index, celsius: float | None) -> str:
    return "" if celsius is None else degrees(celsius=celsius, units=at.reader.units)


def who_walks(*, at: Index, due: dict[str, Due]) -> str:
    """'Opening walk: round 1, Tamsin, 7:30 to 8:15 am · Readings: round 5, …', as the plan has it."""
    keys = {d.key for kinds in due.values() for duties in kinds.values() for d in duties}
    mine = [r for r in at.rounds if keys.intersection(r.duties)]
    return " · ".join(f"Round {r.number} {at.person(r.person)} {at.span(r.start, r.end)}" for r in mine)


def notes(*, at: Index, due: dict[str, Due]) -> tuple[Block, ...]:
    """What to do when a number is out or a head is short; then lines to write on."""
    kinds = {kind for duties in due.values() for kind in duties}
    said = (
        *(CLOSING if DutyKind.CLOSING in kinds else ()),
        *(OUT_OF_BAND if kinds & {DutyKind.OPENING, DutyKind.READING} else ()),
        LAMPS,
        *act_words(at=at, tanks=due),
        *HEAD_SHORT,
    )
    return (
        Block(
            kind="words",
            title="If a number is out, or a head is short",
            rows=said,
            row_in=tuple(text_in(letters=len(s.lead) + len(s.text), per_line=102) for s in said),
            whole=True,
        ),
        Block(kind="lines", title="Seen", rows=(None,) * 2, row_in=(0.3,) * 2, whole=True),
        Block(
            kind="sign",
            rows=(("Walked by", 1.6), ("from", 0.7), ("to", 0.7)),
            row_in=(0.42, 0.0, 0.0),
            head_in=0.0,
        ),
    )


def sheets(*, at: Index) -> tuple[Sheet, ...]:
    """One sheet for each rack with something due in this set; animals that are apart are not on them."""
    due = due_by_tank(at=at, quarantine=False)
    by_rack: dict[str, dict[str, Due]] = {}
    for tank, kinds in due.items():
        by_rack.setdefault(at.tanks[tank].rack if tank in at.tanks else "", {})[tank] = kinds
    made: list[Sheet] = []
    for rack, tanks in by_rack.items():
        made.append(
            Sheet(
                kind="rack",
                title=at.racks[rack].name if rack in at.racks else rack or "Tanks",
                when="In walking order",
                lead=who_walks(at=at, due=tanks),
                blocks=(*tables(at=at, due=tanks), *notes(at=at, due=tanks)),
            )
        )
    return tuple(made)
