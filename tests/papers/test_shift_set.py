"""A shift's set says what the plan says: every duty once, with its numbers, each where it belongs."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomops.desk.plain_list import plain_list
from roomops.papers.cover import PLAIN
from roomops.papers.shift_set import CLOSING, OPENING, WHOLE_DAY, build, digest, shifts_of
from roomops.papers.view import (
    CupLine,
    DutyLine,
    FeedRow,
    Gone,
    NamedShift,
    RoundLine,
    SetView,
    Sheet,
    Store,
    TankRow,
    TrayFill,
    boxes,
    printed,
)
from roomops.planning import duties
from roomops.planning.first_fit import plan_day
from roomops.planning.plan import Plan
from roomops.planning.room import Begun, Done, DutyKind, Room, Status
from tests.papers import juniper
from tests.rooms import SIZES, generated


def a_set(facts: Room, plan: Plan, shift: str = WHOLE_DAY, store: Store = juniper.STORE) -> SetView:
    return build(facts=facts, plan=plan, version=1, shift=shift, store=store)


def wanted(plan: Plan, spared: frozenset[str] = frozenset()) -> Counter[tuple[str, int]]:
    """(duty, head) of everything that the plan holds: heads with a tub one by one, all else whole."""
    found: Counter[tuple[str, int]] = Counter()
    for planned in plan.rounds:
        seated = {seat.duty for seat in planned.seats}
        found.update((seat.duty, seat.head) for seat in planned.seats if seat.duty not in spared)
        found.update((key, 0) for key in planned.duties if key not in seated and key not in spared)
    found.update((short.duty, 0) for short in plan.unplaced if short.duty not in spared)
    found.update((key, 0) for key in spared)
    return found


def rows(view: SetView, kind: type) -> list:
    return [
        row for sheet in view.sheets for block in sheet.blocks for row in block.rows if isinstance(row, kind)
    ]


def told(sheet: Sheet) -> str:
    return repr(sheet)


# ---------------------------------------------------------------- every duty once


def test_every_duty_of_the_plan_is_printed_exactly_once_in_the_whole_days_set() -> None:
    facts, plan = juniper.day()
    assert Counter(printed(a_set(facts, plan))) == wanted(plan)


def test_the_sets_of_all_shifts_together_hold_every_duty_exactly_once() -> None:
    facts, plan = juniper.day()
    found = Counter(box for shift in (OPENING, CLOSING) for box in printed(a_set(facts, plan, shift)))
    assert found == wanted(plan)


@pytest.mark.parametrize("size", list(SIZES))
def test_rooms_of_any_size_are_printed_whole(size: str) -> None:
    facts = generated(**SIZES[size])
    plan = plan_day(room=facts)
    assert Counter(printed(a_set(facts, plan))) == wanted(plan)
    by_shift = [printed(a_set(facts, plan, shift)) for shift in shifts_of(facts=facts, plan=plan)]
    assert Counter(box for some in by_shift for box in some) == wanted(plan)


def test_a_round_belongs_to_the_shift_that_the_rota_names_for_its_person() -> None:
    facts, plan = juniper.day()
    named = tuple(
        NamedShift(person=s.person, start=s.start, name="middle" if s.person == "oskar" else "rest")
        for s in facts.shifts
    )
    store = replace(juniper.STORE, shifts=named)
    assert set(shifts_of(facts=facts, plan=plan, store=store)) == {"middle", "rest"}
    view = a_set(facts, plan, "middle", store)
    assert {row.person for row in rows(view, RoundLine)} == {"Oskar"}
    both = Counter(printed(view)) + Counter(printed(a_set(facts, plan, "rest", store)))
    assert both == wanted(plan)


def test_rounds_stand_on_the_cover_in_the_order_of_the_day_with_the_plans_numbers() -> None:
    facts, plan = juniper.day()
    lines = rows(a_set(facts, plan), RoundLine)
    assert [line.number for line in lines] == [r.number for r in sorted(plan.rounds, key=lambda r: r.start)]
    assert {line.need for line in lines} <= {"must", "should", "could"}


# ---------------------------------------------------------------- the plan's own numbers


def test_a_box_for_what_is_left_says_of_how_many() -> None:
    facts, plan = juniper.day()
    by_key = {d.key: d for d in plan.duties}
    lines = [line for line in rows(a_set(facts, plan), FeedRow) if line.box.label]
    assert lines
    for line in lines:
        duty = by_key[line.box.duty]
        assert line.box.label == f"of {duty.portion.count * duty.heads}"


def test_cups_hold_what_the_rounds_animals_are_offered_and_nothing_else() -> None:
    facts, plan = juniper.day()
    by_key = {d.key: d for d in plan.duties}
    offered = {r.number: sum(by_key[k].portion.count * by_key[k].heads for k in r.duties)
               for r in plan.rounds if r.kind is DutyKind.FEED}  # fmt: skip
    found = juniper.cups_of(a_set(facts, plan))
    assert set(found) == set(offered)
    for number, amounts in found.items():
        assert juniper.counted([a for a in amounts if "×" not in a]) == offered[number]  # × is cups of greens


def test_heads_to_count_are_those_that_live_in_the_tank() -> None:
    facts, plan = juniper.day()
    walked = [row for row in rows(a_set(facts, plan), TankRow) if row.boxes[0].below.startswith("of ")]
    heads = Counter()
    for resident in facts.residents:
        heads[next(t.name for t in facts.tanks if t.key == resident.tank)] += resident.heads
    assert {row.name.text: row.boxes[0].below for row in walked} == {n: f"of {h}" for n, h in heads.items()}


def test_an_estimated_gap_is_said_on_the_tub_and_a_measured_one_is_not() -> None:
    facts, plan = juniper.day()
    by_key = {d.key: d for d in plan.duties}
    seen = set()
    for fill in rows(a_set(facts, plan), TrayFill):
        for cell in (c for c in fill.cells if c.name):
            estimated = by_key[cell.boxes[0].duty].portion.estimated
            seen.add(estimated)
            assert (cell.limit == "gap estimated from length") is estimated
    assert seen == {True, False}


def test_the_same_animals_in_the_same_tubs_share_a_drawing_with_one_box_a_feed() -> None:
    facts, plan = juniper.day()
    fills = rows(a_set(facts, plan), TrayFill)
    assert any(len(fill.lines) > 1 for fill in fills)
    for fill in fills:
        for cell in (c for c in fill.cells if c.name):
            keys = {box.duty.rsplit("/", 1)[0] for box in cell.boxes if box.duty}
            assert len(keys) == 1  # one animal a tub, in every feed of the drawing
            assert [box.label for box in cell.boxes] == [str(line.slot) for line in fill.lines]


def test_tubs_stand_as_on_the_counter_in_the_rooms_own_columns() -> None:
    facts, plan = juniper.day()
    store = replace(juniper.STORE, tray_columns=(("a", 2), ("b", 2), ("q", 2)))
    for fill in rows(a_set(facts, plan, WHOLE_DAY, store), TrayFill):
        assert fill.columns == 2
        numbers = [cell.tub for cell in fill.cells]
        assert numbers == sorted(numbers)
        assert all(len(line) == 2 for line in fill.grid)


# ---------------------------------------------------------------- each where it belongs


def test_what_is_quarantine_is_only_on_the_quarantine_sheet_and_all_of_it() -> None:
    facts, plan = juniper.day()
    apart = {d.key for d in plan.duties if d.quarantine}
    for sheet in a_set(facts, plan).sheets:
        found = {box.duty for box in boxes(sheet) if box.duty}
        assert (found <= apart) if sheet.kind == "quarantine" else not (found & apart), sheet.title
    names = {r.name for r in facts.residents if r.status is Status.QUARANTINE}
    others = [s for s in a_set(facts, plan).sheets if s.kind not in {"quarantine", "cover"}]
    assert names
    assert not [s.title for s in others if any(name in told(s) for name in names)]


def test_an_isolated_animal_moves_to_the_sheet_that_stays_apart() -> None:
    facts = juniper.room(
        residents=tuple(
            replace(r, status=Status.ISOLATED) if r.key == "marlow" else r for r in juniper.residents()
        )
    )
    view = a_set(facts, plan_day(room=facts))
    assert "Marlow" in "".join(told(s) for s in view.sheets if s.kind == "quarantine")
    assert "Marlow" not in "".join(told(s) for s in view.sheets if s.kind in {"rack", "feeds", "trays"})


def test_what_did_not_fit_is_on_the_cover_with_its_reason() -> None:
    facts, plan = juniper.day()
    lines = [row for row in rows(a_set(facts, plan), DutyLine) if row.need]
    assert sorted(key for line in lines for key in line.duties) == sorted(s.duty for s in plan.unplaced)
    assert any("under 100 °F: no feed until it is warm" in line.why for line in lines)
    assert all(len(line.names) == len(line.duties) for line in lines)


def test_no_feed_is_printed_for_a_tank_that_last_read_cold() -> None:
    facts, plan = juniper.day()
    feeds = {box.duty for sheet in a_set(facts, plan).sheets for box in boxes(sheet) if "/feed/" in box.duty}
    assert not [key for key in feeds if "/h3-" in key]


# ---------------------------------------------------------------- days unlike the ordinary one


def test_with_nobody_on_shift_the_set_says_so_and_lists_everything_that_waits() -> None:
    facts = juniper.room(shifts=())
    plan = plan_day(room=facts)
    view = a_set(facts, plan)
    assert view.sheets[0].when == "Nobody is on shift: everything below waits for somebody"
    assert Counter(printed(view)) == wanted(plan)
    assert {s.kind for s in view.sheets} == {"cover", "emergency"}
    why = {row.why for row in rows(view, DutyLine) if row.need}
    assert any(reason.startswith("nobody is on shift today") for reason in why)
    assert not [
        each for each in why if "nobody" not in each and "basking" not in each and "shelf" not in each
    ]


def test_an_empty_room_prints_a_cover_and_nothing_else() -> None:
    facts = juniper.room(residents=(), tanks=(), trays=(), tubs=(), foods=(), readings=())
    view = a_set(facts, plan_day(room=facts))
    assert [sheet.kind for sheet in view.sheets] == ["cover"]
    assert printed(view) == ()


def test_a_room_without_tubs_says_that_there_are_none() -> None:
    facts = juniper.room(trays=(), tubs=())
    view = a_set(facts, plan_day(room=facts))
    assert not [s for s in view.sheets if s.kind == "trays"]
    assert any(row.why == "there is no tub for it" for row in rows(view, DutyLine))


def test_what_was_done_before_printing_has_no_box_and_is_listed_with_who_and_when() -> None:
    facts, plan = juniper.day()
    first = min((r for r in plan.rounds if r.seats), key=lambda r: r.start)
    done = tuple(Done(duty=k, person="oskar", minute=560, outcome="ate") for k in first.duties)
    later = replace(facts, done=done)
    view = a_set(later, plan)
    assert Counter(printed(view)) == wanted(plan, frozenset(first.duties))
    lines = [row for row in rows(view, DutyLine) if set(row.duties) & set(first.duties)]
    assert {line.why for line in lines} == {"ate 9:20 am Oskar"}
    assert next(r for r in rows(view, RoundLine) if r.number == first.number).done


def test_an_animal_sold_since_the_plan_has_no_box_and_is_listed_as_gone_home() -> None:
    facts, plan = juniper.day()
    seat = next(s for r in plan.rounds for s in r.seats if s.duty.endswith("/1"))
    subject = seat.duty.split("/")[2]
    gone = frozenset(d.key for d in plan.duties if d.subject == subject)
    left = replace(facts, residents=tuple(r for r in facts.residents if r.key != subject))
    store = replace(juniper.STORE, gone=(Gone(key=subject, name="H1 · bar", status="gone home"),))
    view = a_set(left, plan, WHOLE_DAY, store)
    assert Counter(printed(view)) == wanted(plan, gone)
    lines = [row for row in rows(view, DutyLine) if set(row.duties) & gone]
    assert {line.why for line in lines} == {"gone home: nobody to feed"}


def test_what_is_under_way_outside_of_the_plan_is_listed_with_since_when() -> None:
    facts, plan = juniper.day()
    key = next(d.key for d in plan.duties if d.kind is DutyKind.FEED)
    bare = replace(plan, rounds=(), unplaced=())
    busy = replace(facts, begun=(Begun(person="oskar", duties=(key,), start=560, person_free=590),))
    lines = [row for row in rows(a_set(busy, bare), DutyLine) if key in row.duties]
    assert [line.why for line in lines] == ["under way since 9:20 am, Oskar"]


def test_a_plain_list_of_duties_says_that_it_is_no_plan_and_promises_nobody() -> None:
    facts = juniper.room()
    plan = plain_list(facts=facts, due=duties.due(room=facts))
    view = a_set(facts, plan)
    assert plan.method == PLAIN
    assert Counter(printed(view)) == wanted(plan)
    assert "There is no plan today" in told(view.sheets[0])
    assert {row.person for row in rows(view, RoundLine)} == {"anybody"}
    assert not [s for s in view.sheets if s.kind == "trays"]


def test_as_of_is_when_the_facts_changed() -> None:
    facts, plan = juniper.day()
    assert a_set(facts, plan).as_of == "Tue June 9, 7:05 am"
    assert a_set(replace(facts, facts_changed=""), plan).as_of == "–"


# ---------------------------------------------------------------- the same set again


def test_the_digest_knows_what_is_printed_and_not_the_code() -> None:
    facts, plan = juniper.day()
    view = a_set(facts, plan)
    other = build(facts=facts, plan=plan, version=1, store=juniper.STORE, edition=3)
    assert other.code != view.code
    assert digest(view=other, stamp="s") == digest(view=view, stamp="s")
    assert digest(view=view, stamp="t") != digest(view=view, stamp="s")
    warmer = replace(facts, readings=())
    assert digest(view=a_set(warmer, plan), stamp="s") != digest(view=view, stamp="s")


def test_work_of_any_other_kind_has_a_line_with_a_box() -> None:
    facts, plan = juniper.day()
    other = {DutyKind.CLEAN: DutyKind.WEIGH, DutyKind.INSECTS: DutyKind.SUN}
    changed = replace(
        plan,
        duties=tuple(replace(d, kind=other.get(d.kind, d.kind)) for d in plan.duties),
        rounds=tuple(replace(r, kind=other.get(r.kind, r.kind)) for r in plan.rounds),
    )
    view = a_set(facts, changed)
    assert Counter(printed(view)) == wanted(changed)
    found = rows(replace(view, sheets=tuple(s for s in view.sheets if s.kind == "work")), CupLine)
    assert {row.what for row in found} == {"Weigh", "Sun"}
    assert "Weigh" in "".join(told(s) for s in view.sheets if s.kind == "quarantine")


@given(
    st.permutations([DutyKind.OPENING, DutyKind.READING, DutyKind.CLEAN, DutyKind.CLOSING]), st.integers(0, 4)
)
def test_a_plan_with_any_of_its_rounds_taken_away_prints_the_rest_once(
    order: list[DutyKind], kept: int
) -> None:
    facts, plan = juniper.day()
    some = replace(plan, rounds=tuple(r for r in plan.rounds if r.kind not in order[kept:]))
    assert Counter(printed(a_set(facts, some))) == wanted(some)
