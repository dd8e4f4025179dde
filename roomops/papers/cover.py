"""The cover: rounds in order, what to look at first, what did not fit, and the handover."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from roomops.papers.codes import WHOLE_DAY
from roomops.papers.heights import text_in
from roomops.papers.index import NAMES_MOST, Index, kind_name
from roomops.papers.view import Block, DutyLine, Name, RoundLine, Saying, Sheet
from roomops.papers.words import (
    NEED,
    count_words,
    duty_words,
    kind_words,
    list_words,
    plural,
    temperature_words,
    why_words,
)
from roomops.planning.facts import look, low_tanks
from roomops.planning.plan import Duty, Round
from roomops.planning.room import DutyKind, Status

PLAIN = "plain"  # the method of a list of duties that stands in for a plan
_ABOUT: dict[DutyKind, str] = {
    DutyKind.CUPS: "greens chopped fine, piles kept apart",
    DutyKind.CLEAN: "droppings out, fresh water",
    DutyKind.INSECTS: "feed and water for the insects; dead ones out",
}


def sheet(*, at: Index) -> Sheet:
    """The cover with every block at its full length; ``pages`` breaks it."""
    blocks = (
        _looks(at),
        _rounds(at),
        _short(at),
        _settled(at),
        Block(
            kind="lines",
            title="To the next shift",
            aside="refused, cold tanks, moved, gone home, at vet, lids found open",
            rows=(None,) * 5,
            row_in=(0.3,) * 5,
            whole=True,
        ),
        _end(at),
    )
    return Sheet(
        kind="cover",
        title="Cover: rounds and handover",
        when=_people(at),
        lead=_lights(at),
        blocks=tuple(block for block in blocks if block.rows),
    )


# ---------------------------------------------------------------- head of the page


def _people(at: Index) -> str:
    if not at.present:
        return "Nobody is on shift: everything below waits for somebody"
    by_span: dict[tuple[int, int], list[str]] = {}
    for shift in sorted(at.present, key=lambda s: (s.start, s.end, s.person)):
        by_span.setdefault((shift.start, shift.end), []).append(at.person(shift.person))
    told = [f"{at.span(*span)} {list_words(names)}" for span, names in by_span.items()]
    apart = list(dict.fromkeys(at.person(r.person) for r in at.rounds if r.quarantine))
    if apart:
        told.append(f"quarantine: {list_words(apart)}")
    return " · ".join(told)


def _lights(at: Index) -> str:
    """Lamp times by kind, and when each kind may be fed, as the plan's own duties have it."""
    lights = [
        f"Lights on {at.clock(on)}, out {at.clock(off)}: {list_words(kinds)}."
        for (on, off), kinds in _kinds_by_lamps(at).items()
    ]
    spans: dict[tuple[int, int], list[str]] = {}
    for kind, span in _windows(at).items():
        spans.setdefault(span, []).append(kind)
    meals = [f"{list_words(kinds)} {at.span(*span)}" for span, kinds in spans.items()]
    return " ".join([*lights, *([f"May be fed: {'; '.join(meals)}."] if meals else [])])


def _kinds_by_lamps(at: Index) -> dict[tuple[int, int], list[str]]:
    timers = {t.key: (t.on, t.off) for t in at.facts.timers}
    found: dict[tuple[int, int], list[str]] = {}
    for resident in at.facts.residents:
        tank = at.tanks.get(resident.tank)
        care = at.care(resident.key)
        if tank and care and tank.timer in timers:
            kinds = found.setdefault(timers[tank.timer], [])
            if plural(kind_name(care.kind)) not in kinds:
                kinds.append(plural(kind_name(care.kind)))
    return dict(sorted(found.items()))


def _windows(at: Index) -> dict[str, tuple[int, int]]:
    found: dict[str, tuple[int, int]] = {}
    for duty in at.plan.duties:
        care = at.care(duty.subject)
        if duty.kind is DutyKind.FEED and care:
            name = plural(kind_name(care.kind))
            opens, closes = found.get(name, (duty.opens, duty.closes))
            found[name] = (min(opens, duty.opens), max(closes, duty.closes))
    return found


# ---------------------------------------------------------------- rounds


def what(*, at: Index, planned: Round) -> str:
    """'Feed 1, Tray A', 'Opening walk, Rack B', 'Quarantine: feed 1 in tanks'."""
    words = kind_words(kind=planned.kind, slot=planned.slot if planned.kind is DutyKind.FEED else 0)
    if planned.kind is DutyKind.FEED:
        in_tub = " in tubs" if at.duties[planned.duties[0]].in_tub else " in tanks"
        words += f", {_trays(at, planned)}" if planned.seats else in_tub
    elif at.duties[planned.duties[0]].tank and not planned.quarantine:
        words += f", {_racks(at, planned)}"
    return f"Quarantine: {words[0].lower()}{words[1:]}" if planned.quarantine else words


def _trays(at: Index, planned: Round) -> str:
    trays = dict.fromkeys(at.tubs[s.tub].tray for s in planned.seats if s.tub in at.tubs)
    names = [at.trays[key].name if key in at.trays else key for key in trays]
    if planned.quarantine:  # the line says it already
        names = [name.partition(",")[0] for name in names]
    return list_words(names) or planned.tray


def _racks(at: Index, planned: Round) -> str:
    tanks = (at.tanks.get(at.duties[key].tank) for key in planned.duties)
    racks = dict.fromkeys(tank.rack for tank in tanks if tank)
    return list_words([at.racks[key].name if key in at.racks else key for key in racks])


def about(*, at: Index, planned: Round) -> str:
    """What the round holds: tanks or animals by name, and what is done."""
    duties = [at.duties[key] for key in planned.duties]
    if planned.kind is DutyKind.FEED:
        told = _feed_about(at, planned, duties)
    else:
        told = [
            at.names_or_count([at.tank_name(d.tank) for d in duties if d.tank], "tank"),
            _ABOUT.get(planned.kind, ""),
        ]
    if planned.quarantine:
        told.append("wash and change after")
    return "; ".join(filter(None, told))


def _feed_about(at: Index, planned: Round, duties: list[Duty]) -> list[str]:
    heads = sum(d.heads for d in duties)
    if not planned.seats:
        names = at.names_or_count([at.subject_name(d) for d in duties], "animal")
        return [names] if heads == len(duties) else [f"{names} ({count_words(heads, 'animal')})"]
    tanks = at.names_or_count([at.tank_name(d.tank) for d in duties], "tank")
    return [tanks, count_words(heads, "animal")]


def need_of(*, at: Index, planned: Round) -> str:
    """The highest need among the round's duties."""
    needs = {at.duties[key].need for key in planned.duties}
    return next((word for need, word in NEED.items() if need in needs), "")


def _rounds(at: Index) -> Block:
    rows = tuple(
        RoundLine(
            number=r.number,
            what=what(at=at, planned=r),
            about=about(at=at, planned=r),
            need=need_of(at=at, planned=r),
            when=at.span(r.start, r.end),
            person=at.person(r.person),
            done=r not in at.todo,
        )
        for r in at.rounds
    )
    return Block(
        kind="rounds",
        title="Rounds, in order",
        aside="box when done, initials beside it",
        rows=rows,
        row_in=tuple(
            text_in(letters=max(len(r.what) + len(r.about), 3 * len(r.person)), per_line=40, pad_in=0.09)
            for r in rows
        ),
    )


# ---------------------------------------------------------------- from the last shift


def _looks(at: Index) -> Block:
    rows = tuple(dict.fromkeys((*_no_plan(at), *_said(at), *_first_words(at), *_cold(at), *_apart(at))))
    return Block(
        kind="looks",
        title="From the last shift",
        aside="look at these first",
        rows=rows,
        row_in=tuple(text_in(letters=len(r.lead) + len(r.text), per_line=86) for r in rows),
    )


def _no_plan(at: Index) -> Iterator[Saying]:
    if at.plan.method == PLAIN:
        text = "below is the list of what is due, with from and until. No person, tub or minute is promised."
        yield Saying(lead="There is no plan today:", text=text)


def _said(at: Index) -> Iterator[Saying]:
    for word in at.store.last_words:
        yield Saying(lead=word.about, text=word.text, alive=True)


def _first_words(at: Index) -> Iterator[Saying]:
    told = {word.about for word in at.store.last_words}
    for resident in at.facts.residents:
        if resident.first_word and resident.name not in told:
            text = "refused its last feed or is lighter than before: read its basking side, then feed."
            yield Saying(lead=resident.name, text=text, alive=True)


def _cold(at: Index) -> Iterator[Saying]:
    for tank, low in low_tanks(facts=look(room=at.facts)).items():
        read, wanted = (
            temperature_words(celsius=c, units=at.reader.units) for c in (low.reading.value_c, low.band_low)
        )
        when = at.clock(low.reading.minute or 0)
        yield Saying(
            lead=at.tank_name(tank),
            text=f"basking side read {read} at {when}, under {wanted}: no feed there until it is warm.",
            alive=True,
        )


def _apart(at: Index) -> Iterator[Saying]:
    for status, words in (
        (Status.ISOLATED, "isolated (unwell)"),
        (Status.AT_VET, "at vet"),
        (Status.MISSING, "missing: look for it on every walk"),
        (Status.ON_HOLD, "on hold"),
    ):
        names = [r.name for r in at.facts.residents if r.status is status]
        if names:
            yield Saying(lead=list_words(names), text=f"{words}.", alive=True)


# ---------------------------------------------------------------- what did not fit, what is done


def _short(at: Index) -> Block:
    alike: dict[tuple[str, str, str], list[Duty]] = {}
    for shortfall in at.plan.unplaced:
        duty = at.duties[shortfall.duty]
        if at.here(duty) and not at.settled(duty):
            why = why_words(shortfall=shortfall, reader=at.reader)
            alike.setdefault((duty_words(duty), NEED[duty.need], why), []).append(duty)
    rows = tuple(
        DutyLine(names=_names(at, some), what=what, need=need, why=why, duties=tuple(d.key for d in some))
        for (what, need, why), duties in alike.items()
        for some in batched(duties, NAMES_MOST)
    )
    return Block(
        kind="short",
        title="Did not fit, and why",
        aside="box if somebody does it all the same",
        rows=rows,
        row_in=tuple(text_in(letters=r.letters + 16, per_line=80) for r in rows),
    )


def _settled(at: Index) -> Block:
    alike: dict[tuple[str, str, str], list[Duty]] = {}
    for duty in at.own_duties:
        if at.settled(duty):
            alike.setdefault((duty_words(duty), NEED[duty.need], _settled_words(at, duty)), []).append(duty)
    rows = tuple(
        DutyLine(names=_names(at, some), what=what, need=need, why=why, duties=tuple(d.key for d in some))
        for (what, need, why), duties in alike.items()
        for some in batched(duties, NAMES_MOST)
    )
    return Block(
        kind="settled",
        title="Settled when this was made",
        rows=rows,
        row_in=tuple(text_in(letters=r.letters + 8, per_line=84) for r in rows),
    )


def _settled_words(at: Index, duty: Duty) -> str:
    """'ate 8:52 am Oskar', 'under way since 8:52 am, Oskar', 'at vet: nobody to feed'."""
    if at.absent(duty):
        return f"{at.absent(duty)}: nobody to feed"
    if duty.key in at.done:
        done = at.done[duty.key]
        return " ".join(filter(None, (done.outcome, at.clock(done.minute), at.person(done.person))))
    begun = at.begun[duty.key]
    return f"under way since {at.clock(begun.start)}, {at.person(begun.person)}"


def _names(at: Index, duties: Iterable[Duty]) -> tuple[Name, ...]:
    return tuple(Name(text=at.subject_name(duty)) for duty in duties)


def batched(duties: Sequence[Duty], most: int) -> Iterator[Sequence[Duty]]:
    """Duties by ``most``, so that a row of names stays within a page."""
    for begin in range(0, len(duties), most):
        yield duties[begin : begin + most]


def _end(at: Index) -> Block:
    """'Nobody in tubs': how many animals were to be in tubs in this set, all feeds together counted once."""
    seats = (s for r in at.rounds for s in r.seats if not at.absent(at.duties[s.duty]))
    heads = {(s.duty.rsplit("/", 1)[0], s.head) for s in seats}
    text = (
        f"Nobody. All {count_words(len(heads), 'animal')} fed in tubs are back, counted at"
        if heads
        else "Nobody. Looked at"
    )
    whose = "the day" if at.shift == WHOLE_DAY else "the shift"
    return Block(kind="end", title=f"In tubs at the end of {whose}", rows=(text,), row_in=(1.05,), whole=True)
