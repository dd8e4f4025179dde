"""Facts and plan looked up by key, and which of it belongs to a shift's set."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from roomops.husbandry.care import StageCare
from roomops.papers.codes import WHOLE_DAY
from roomops.papers.view import Name, Store
from roomops.papers.words import STATUS, Reader, clock_words, count_words, plural, run_words, span_words
from roomops.planning.plan import Duty, Plan, Round, StepKind
from roomops.planning.room import FED, DutyKind, Food, Resident, Room, Shift, Status, Tank

OPENING, CLOSING = "opening", "closing"
_NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_SHAPES = {"dot": "dot", "dots": "dot", "bar": "bar", "bars": "bar", "ring": "ring", "rings": "ring"}
LONG_NAME = 18  # letters beyond which a name is set smaller
NAMES_MOST = 8  # tanks or animals that a line names; more are counted
NOON = 720


class Index:
    """One set's facts and plan, with the words that need both."""

    def __init__(self, *, facts: Room, plan: Plan, shift: str, store: Store) -> None:
        self.facts = facts
        self.plan = plan
        self.shift = shift
        self.store = store
        self.reader = Reader(units=store.units, day=facts.day, timezone=facts.timezone)
        self.residents: Mapping[str, Resident] = {r.key: r for r in facts.residents}
        self.tanks: Mapping[str, Tank] = {t.key: t for t in facts.tanks}
        self.foods: Mapping[str, Food] = {f.key: f for f in facts.foods}
        self.people: Mapping[str, str] = {p.key: p.name for p in facts.people}
        self.trays = {t.key: t for t in facts.trays}
        self.tubs = {t.key: t for t in facts.tubs}
        self.racks = {r.key: r for r in facts.racks}
        self.duties: Mapping[str, Duty] = {d.key: d for d in plan.duties}
        self.round_of: Mapping[str, Round] = {key: r for r in plan.rounds for key in r.duties}
        self.done = {d.duty: d for d in facts.done}
        self.gone = {g.key: g for g in store.gone}
        self.begun = {key: b for b in facts.begun for key in b.duties}
        self._care = {(c.kind, c.stage): c for c in facts.care}
        self._walk = {key: place for place, key in enumerate(self._walking_order())}

    # ------------------------------------------------------------ which shift

    @cached_property
    def sets(self) -> tuple[tuple[str, int], ...]:
        """The day's shifts by name with the minute at which each begins; a room without any has two."""
        begins: dict[str, int] = {}
        for shift in self.facts.shifts:
            name = self.shift_name(shift)
            begins[name] = min(shift.start, begins.get(name, shift.start))
        return tuple(sorted(begins.items(), key=lambda s: (s[1], s[0]))) or ((OPENING, 0), (CLOSING, NOON))

    def shift_name(self, shift: Shift) -> str:
        """As the rota says; else opening for one that begins before the first shift of the day ends."""
        for named in self.store.shifts:
            if (named.person, named.start) == (shift.person, shift.start):
                return named.name
        return OPENING if shift.start < min(s.end for s in self.facts.shifts) else CLOSING

    def here(self, duty: Duty) -> bool:
        """Whether a duty belongs to this set: by its round's person, else by when it was or would be done."""
        if self.shift == WHOLE_DAY:
            return True
        planned = self.round_of.get(duty.key)
        if planned is not None:
            return self.round_here(planned)
        return self.shift_at(self.minute_of(duty)) == self.shift

    def round_here(self, planned: Round) -> bool:
        if self.shift == WHOLE_DAY:
            return True
        for shift in self.facts.shifts:
            if shift.person == planned.person and shift.start <= planned.start < shift.end:
                return self.shift_name(shift) == self.shift
        return self.shift_at(planned.start) == self.shift

    def shift_at(self, minute: float) -> str:
        names = [name for name, begins in self.sets if begins <= minute]
        return names[-1] if names else self.sets[0][0]

    def minute_of(self, duty: Duty) -> int:
        """When a duty without a round was done, was begun, or could have begun."""
        if duty.key in self.done:
            return self.done[duty.key].minute
        if duty.key in self.begun:
            return self.begun[duty.key].start
        return duty.opens

    @cached_property
    def rounds(self) -> tuple[Round, ...]:
        """This set's rounds in the order of the day."""
        return tuple(
            sorted((r for r in self.plan.rounds if self.round_here(r)), key=lambda r: (r.start, r.number))
        )

    @cached_property
    def own_duties(self) -> tuple[Duty, ...]:
        return tuple(d for d in self.plan.duties if self.here(d))

    @cached_property
    def present(self) -> tuple[Shift, ...]:
        """The shifts that this set is for."""
        whole = self.shift == WHOLE_DAY
        return tuple(s for s in self.facts.shifts if whole or self.shift_name(s) == self.shift)

    def settled(self, duty: Duty) -> bool:
        """Nothing is left to write: it is done, or its animal has gone since the plan was made."""
        if duty.key in self.done or self.absent(duty):
            return True
        return duty.key in self.begun and duty.key not in self.round_of

    def absent(self, duty: Duty) -> str:
        """Why a planned feed finds nobody any more: 'at vet', 'gone home'; '' when the animal is here."""
        if duty.kind is not DutyKind.FEED:
            return ""
        resident = self.residents.get(duty.subject)
        if resident is None:
            return self.gone[duty.subject].status if duty.subject in self.gone else "not here any more"
        return "" if resident.status in FED else STATUS[resident.status]

    def open(self, duty: Duty) -> bool:
        """In a round, and with something to write."""
        return duty.key in self.round_of and not self.settled(duty)

    @cached_property
    def todo(self) -> tuple[Round, ...]:
        """This set's rounds in which something is left to write."""
        return tuple(r for r in self.rounds if any(self.open(self.duties[key]) for key in r.duties))

    # ------------------------------------------------------------ names

    def name(self, subject: str) -> Name:
        text = self.resident_name(subject)
        return Name(text=text, marks=marks(text), long=len(text) > LONG_NAME)

    def resident_name(self, key: str) -> str:
        if key in self.residents:
            return self.residents[key].name
        return self.gone[key].name if key in self.gone else key

    def tank_name(self, key: str) -> str:
        return self.tanks[key].name if key in self.tanks else key

    def subject_name(self, duty: Duty) -> str:
        """The animal of a feed, a dose or a weighing, else the tank or rack, else the room."""
        ordered = {order.key: order.resident for order in self.facts.medicines}
        subject = ordered.get(duty.subject, "") if duty.kind is DutyKind.MEDICINE else duty.subject
        if duty.kind is DutyKind.FEED or (duty.kind is not DutyKind.LAMP and subject in self.residents):
            return self.resident_name(subject)
        if duty.kind is DutyKind.HEAT_CHECK:
            return next((r.name for r in self.facts.racks if r.key == subject), subject)
        return self.tank_name(duty.tank) if duty.tank else self.facts.name

    def person(self, key: str) -> str:
        """A name; a plain list of duties promises nobody."""
        return self.people.get(key, key) or "anybody"

    def care(self, subject: str) -> StageCare | None:
        resident = self.residents.get(subject)
        return self._care.get((resident.kind, resident.stage)) if resident else None

    def living(self, tank: str) -> tuple[Resident, ...]:
        return tuple(r for r in self.facts.residents if r.tank == tank)

    def names_or_count(self, names: list[str], one: str) -> str:
        """'H1 to H7 and Marlow', '12 tanks'."""
        unique = list(dict.fromkeys(names))
        told = run_words(unique)
        return told if told.count(",") < NAMES_MOST else count_words(len(unique), one)

    def who_lives(self, tank: str) -> str:
        """'4 bearded dragons, hatchling', 'leopard gecko, adult', 'nobody'; with those that are not there."""
        told: list[str] = []
        by_kind: dict[tuple[str, str], int] = {}
        for resident in self.living(tank):
            if resident.status in AWAY:
                told.append(f"{resident.name} {AWAY[resident.status]}")
                continue
            care = self.care(resident.key)
            called = (kind_name(resident.kind), care.stage_name.lower() if care else resident.stage)
            by_kind[called] = by_kind.get(called, 0) + resident.heads
        lived = [
            ", ".join(filter(None, (kind if heads == 1 else f"{heads} {plural(kind)}", stage)))
            for (kind, stage), heads in by_kind.items()
        ]
        return "; ".join([*lived, *told]) or "nobody"

    def place(self, duty: Duty) -> tuple[int, str]:
        """Sorts by walking order."""
        return self._walk.get(duty.tank, len(self._walk)), duty.key

    def _walking_order(self) -> list[str]:
        order = {rack.key: (rack.order, rack.key) for rack in self.facts.racks}
        ranked = sorted(self.facts.tanks, key=lambda t: (order.get(t.rack, (0, t.rack)), t.order, t.key))
        return [tank.key for tank in ranked]

    # ------------------------------------------------------------ times

    def clock(self, minute: float, *, suffix: bool = True) -> str:
        return clock_words(minute=minute, day=self.facts.day, timezone=self.facts.timezone, suffix=suffix)

    def span(self, start: float, end: float) -> str:
        return span_words(start=start, end=end, day=self.facts.day, timezone=self.facts.timezone)

    @staticmethod
    def step(planned: Round, kind: StepKind) -> tuple[int, int] | None:
        found = [(s.start, s.end) for s in planned.steps if s.kind is kind]
        return (min(a for a, _ in found), max(b for _, b in found)) if found else None


AWAY = {Status.AT_VET: "at vet", Status.MISSING: "missing"}


def kind_name(kind: str) -> str:
    """A kind as it reads within a sentence: its key, which is written so."""
    return kind.replace("-", " ")


def marks(name: str) -> tuple[str, ...]:
    """The shapes to draw beside 'H3 · two dots': ('dot', 'dot'); none for a name without a known mark."""
    words = name.rpartition("·")[2].split()
    if not words or words[-1] not in _SHAPES or "·" not in name:
        return ()
    count = _NUMBERS.get(words[0], 1) if len(words) > 1 else 1
    return (_SHAPES[words[-1]],) * count
