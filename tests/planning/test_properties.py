"""What holds for every room: each plan passes the verifier, same facts, same plan, better is never worse."""

from __future__ import annotations

import json
from dataclasses import replace

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from roomops.planning import bounds, codec, first_fit, improve, verify
from roomops.planning.plan import Plan, StepKind
from roomops.planning.room import Begun, Done, DutyKind, Outage, Room
from roomops.planning.scores import in_order
from tests.planning.planted import clean
from tests.rooms import everything, generated

rooms = st.builds(
    generated,
    residents=st.integers(1, 70),
    people=st.integers(0, 5),
    tubs=st.integers(1, 30),
    seed=st.integers(0, 10_000),
)
full_rooms = st.builds(
    everything,
    residents=st.integers(1, 70),
    people=st.integers(0, 5),
    tubs=st.integers(1, 30),
    seed=st.integers(0, 10_000),
)
some = settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])


@st.composite
def chosen_rooms(draw: st.DrawFn) -> Room:
    """Return a room with other choices than the makers': watching, washing, shares, out of heat."""
    facts = draw(rooms)
    chosen = replace(
        facts.settings,
        watch_most=draw(st.integers(1, 12)),
        most_out_min=draw(st.integers(10, 40)),
        wash_min=draw(st.integers(0, 30)),
        to_tub_min=draw(st.sampled_from((0.3, 0.5, 1.0, 1.7))),
        back_min=draw(st.sampled_from((0.1, 0.5, 1.3))),
        round_most_min=draw(st.integers(5, 90)),
    )
    share = draw(st.sampled_from((0.3, 0.7, 0.85, 1.0)))
    shifts = tuple(replace(s, share=share) for s in facts.shifts)
    length = draw(st.sampled_from((1380, 1440, 1500)))
    return replace(facts, settings=chosen, shifts=shifts, day_length_min=length)


@given(facts=chosen_rooms())
@some
def test_the_verifier_passes_the_plan_of_any_room(facts: Room) -> None:
    assert verify.breaches(room=facts, plan=first_fit.plan_day(room=facts)) == ()


@given(facts=full_rooms, began=st.integers(-1, 1300), now=st.integers(0, 1300))
@some
def test_the_verifier_passes_a_day_with_every_duty_in_it(facts: Room, began: int, now: int) -> None:
    outage = Outage(kind="heat", began=began) if began >= 1000 else None
    facts = replace(facts, outage=outage, now_min=now if now > 400 else 0)
    assert codec.parse_room(codec.room_text(facts)) == facts
    quick = first_fit.plan_day(room=facts)
    assert verify.breaches(room=facts, plan=quick) == ()
    better = improve.plan_day(room=facts, start=quick, iterations=15, seed=1)
    assert verify.breaches(room=facts, plan=better) == ()
    again = first_fit.plan_day(room=replace(facts, now_min=facts.now_min + 45), previous=quick)
    assert verify.breaches(room=replace(facts, now_min=facts.now_min + 45), plan=again) == ()


@given(facts=rooms)
@some
def test_the_same_facts_give_the_same_plan(facts: Room) -> None:
    again = codec.parse_room(codec.room_text(facts))
    assert again == facts
    assert first_fit.plan_day(room=again) == first_fit.plan_day(room=facts)


@given(facts=chosen_rooms(), seed=st.integers(0, 99))
@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])
def test_a_bettered_plan_is_never_worse_and_passes(facts: Room, seed: int) -> None:
    quick = first_fit.plan_day(room=facts)
    better = improve.plan_day(room=facts, start=quick, iterations=25, seed=seed)
    assert in_order(better.scores) <= in_order(quick.scores)
    assert verify.breaches(room=facts, plan=better) == ()
    assert improve.plan_day(room=facts, start=quick, iterations=25, seed=seed) == better


@given(facts=rooms)
@some
def test_no_plan_beats_the_bound(facts: Room) -> None:
    task = first_fit.prepare(room=facts)
    open_ones = [d for job in task.jobs for d in job.duties]
    bound = bounds.unserved_must(room=facts, duties=open_ones)
    assert first_fit.plan_day(room=facts).scores.must >= bound


@given(facts=rooms, cut=st.integers(0, 1320))
@some
def test_a_day_under_way_is_planned_around_what_was_done(facts: Room, cut: int) -> None:
    """Rounds that ended before ``cut`` are done, those that stand across it are under way."""
    first = first_fit.plan_day(room=facts)
    later = replace(facts, now_min=cut, **under_way(facts, first, cut))
    plan = first_fit.plan_day(room=later, previous=first)
    assert verify.breaches(room=later, plan=plan) == ()
    better = improve.plan_day(room=later, start=plan, iterations=10, seed=1, previous=first)
    assert verify.breaches(room=later, plan=better) == ()


def under_way(facts: Room, plan: Plan, cut: int) -> dict:
    done, begun = [], []
    for round_ in plan.rounds:
        ate = next((s.start for s in round_.steps if s.kind in {StepKind.FEED, StepKind.WORK}), round_.start)
        if round_.end <= cut:
            outcome = "ate" if round_.kind is DutyKind.FEED else "done"
            done += [Done(duty=k, person=round_.person, minute=ate, outcome=outcome) for k in round_.duties]
        elif round_.start < cut:
            begun.append(
                Begun(
                    person=round_.person,
                    duties=round_.duties,
                    start=ate,
                    person_free=round_.end,
                    tubs=tuple(s.tub for s in round_.seats),
                    tubs_free=round_.end + facts.settings.wash_min if round_.seats else 0,
                )
            )
    return {"done": tuple(done), "begun": tuple(begun)}


@given(facts=rooms)
@some
def test_room_and_plan_files_read_back_as_they_were(facts: Room) -> None:
    plan = first_fit.plan_day(room=facts)
    assert codec.parse_plan(codec.plan_text(plan)) == plan
    assert codec.plan_from_document(json.loads(json.dumps(codec.plan_to_document(plan)))) == plan
    assert codec.digest(codec.parse_room(codec.room_text(facts))) == plan.facts


def leaves(value: object, path: tuple = ()) -> list[tuple]:
    """Return the paths of all plain values in a document."""
    if isinstance(value, dict):
        return [leaf for key, each in value.items() for leaf in leaves(each, (*path, key))]
    if isinstance(value, list):
        return [leaf for n, each in enumerate(value) for leaf in leaves(each, (*path, n))]
    return [path]


@given(data=st.data())
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
def test_no_plan_however_wrong_breaks_the_verifier(data: st.DataObject) -> None:
    """Values are put in place of others, rows are dropped and moved: breaches, never an error."""
    facts, plan = clean()
    document = codec.plan_to_document(plan)
    paths = leaves(document)
    for _ in range(data.draw(st.integers(1, 4))):
        path, other = data.draw(st.sampled_from(paths)), data.draw(st.sampled_from(paths))
        put(document, path, at(document, other))
    for name in ("rounds", "duties", "unplaced"):
        rows = document[name]
        if rows and data.draw(st.booleans()):
            rows.append(rows.pop(data.draw(st.integers(0, len(rows) - 1))))
        if rows and data.draw(st.booleans()):
            rows.pop()
    try:
        wrong = codec.plan_from_document(document)
    except codec.RoomFileError:
        return
    assert isinstance(verify.breaches(room=facts, plan=wrong), tuple)


def at(document: object, path: tuple) -> object:
    for key in path:
        document = document[key]  # type: ignore[index]
    return document


def put(document: object, path: tuple, value: object) -> None:
    *way, last = path
    at(document, tuple(way))[last] = value  # type: ignore[index]
