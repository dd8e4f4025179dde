"""The shelf: what comes, is counted, opened, thrown out; a ledger that balances whatever happens to it."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID, uuid5

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from roomops.desk import stock
from roomops.desk.day import open_day
from roomops.desk.refusals import No, Refused
from roomops.desk.stock import Coming, Keep
from roomops.desk.stock_views import batch_view, shelf_view
from roomops.planning.orders import Why
from roomops.records import models as m
from tests import makers as mk

pytestmark = pytest.mark.django_db
NAMES = UUID(int=31)


def form(name: object) -> UUID:
    return uuid5(NAMES, str(name))


CRICKETS = Coming(
    kind="cricket", name="Crickets ¼ in", amount=500, received_on=mk.DAY, size_mm=6.4, source="Lake Farm",
    farm_raised=True,
)  # fmt: skip


def changed(coming: Coming, **changes: object) -> Coming:
    return Coming(**{name: getattr(coming, name) for name in coming.__slots__} | changes)


@pytest.fixture
def room() -> m.Room:
    return mk.a_room()


def receive(room: m.Room, coming: Coming = CRICKETS, name: str = "came", **changes: object) -> m.Batch:
    return stock.receive(room=room, coming=changed(coming, **changes), form=form(name), now=mk.NOW, by=None)


def refused(act, *args: object, **about: object) -> Refused:
    with pytest.raises(Refused) as no:
        act(*args, **about)
    return no.value


# ---------------------------------------------------------------- something comes


def test_what_comes_is_on_the_shelf_once_however_often_the_form_is_pressed(room):
    first, again = receive(room), receive(room)
    assert first.pk == again.pk
    assert first.key == "c-1"
    assert stock.on_hand(batch=first) == 500
    assert m.LedgerLine.objects.count() == 1
    assert receive(room, name="another").key == "c-2"


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"farm_raised": False}, No.NOT_FARM_RAISED),
        ({"source": " "}, No.NOT_FARM_RAISED),
        ({"kind": "wild grasshopper"}, No.UNKNOWN_KIND),
        ({"amount": 0}, No.OUT_OF_RANGE),
        ({"amount": 100_001}, No.OUT_OF_RANGE),
        ({"size_mm": None}, No.MISSING),
        ({"size_mm": 900.0}, No.OUT_OF_RANGE),
        ({"received_on": mk.DAY + timedelta(days=1)}, No.FUTURE_DATE),
        ({"use_by": mk.DAY - timedelta(days=1)}, No.TOO_EARLY),
        ({"source": "x" * 121}, No.TOO_LONG),
        ({"kind": "mouse"}, No.MISSING),  # of rodents, what one weighs
        ({"kind": "halogen bulb"}, No.MISSING),  # watts
    ],
)
def test_what_cannot_come_leaves_nothing_behind(room, changes, why):
    assert refused(receive, room, **changes).why is why
    assert not m.Batch.objects.exists()
    assert not m.LedgerLine.objects.exists()


def test_rodents_come_by_weight_and_bulbs_by_watts(room):
    mouse = receive(room, kind="mouse", name="a", size_mm=26.0, weight_g=20.0)
    assert (mouse.category, mouse.weight_g, mouse.size_mm) == ("rodent", 20.0, 26.0)
    bulb = receive(room, kind="halogen bulb", name="b", watts=75, farm_raised=False, source="")
    assert (bulb.category, bulb.watts, bulb.size_mm) == ("bulb", 75, None)


# ---------------------------------------------------------------- counted, thrown out, opened


def test_a_count_writes_the_difference_and_one_that_agrees_is_a_line_too(room):
    batch = receive(room)
    hand = {"room": room, "batch": "c-1", "now": mk.NOW, "by": None}
    assert stock.count(amount=460, form=form(1), **hand) == -40
    assert stock.count(amount=460, form=form(1), **hand) == 0  # the same form, pressed again
    assert stock.count(amount=460, form=form(2), **hand) == 0
    lines = m.LedgerLine.objects.filter(batch=batch).order_by("pk")
    assert [(line.change, line.reason) for line in lines] == [
        (500, "received"), (-40, "counted"), (0, "counted"),
    ]  # fmt: skip


def test_no_more_is_thrown_out_than_is_there_and_an_empty_bin_leaves_the_shelf(room):
    batch = receive(room)
    hand = {"room": room, "batch": "c-1", "now": mk.NOW, "by": None}
    no = refused(stock.throw_out, amount=501, form=form(1), **hand)
    assert (no.why, no.about["most"]) == (No.MORE_THAN_THERE, "500")
    stock.throw_out(amount=20, why="dead", form=form(2), **hand)
    stock.throw_out(amount=20, why="dead", form=form(2), **hand)
    assert stock.on_hand(batch=batch) == 480
    stock.throw_out(amount=480, form=form(3), **hand)
    batch.refresh_from_db()
    assert batch.closed_on == mk.DAY


def test_a_jar_is_opened_once_and_not_before_it_came(room):
    jar = receive(room, kind="calcium, no D3", name="jar", received_on=mk.DAY - timedelta(days=3))
    hand = {"room": room, "batch": jar.key, "now": mk.NOW, "by": None}
    assert refused(stock.open_it, on=mk.DAY - timedelta(days=4), **hand).why is No.TOO_EARLY
    assert refused(stock.open_it, on=mk.DAY + timedelta(days=1), **hand).why is No.FUTURE_DATE
    stock.open_it(on=mk.DAY - timedelta(days=1), **hand)
    stock.open_it(on=mk.DAY, **hand)
    jar.refresh_from_db()
    assert jar.opened_on == mk.DAY - timedelta(days=1)
    receive(room, name="crickets")
    assert refused(stock.open_it, on=mk.DAY, **hand | {"batch": "c-2"}).why is No.UNKNOWN_KIND


def test_a_batch_of_another_room_is_unknown_here(room):
    receive(mk.a_room(key="other"), name="theirs")
    hand = {"batch": "c-1", "form": form(9), "now": mk.NOW, "by": None}
    assert refused(stock.count, room=room, amount=3, **hand).why is No.UNKNOWN_BATCH


# ---------------------------------------------------------------- the ledger's balance


MOVES = st.lists(
    st.tuples(
        st.sampled_from(["count", "throw", "receive", "again", "empty"]),
        st.integers(min_value=0, max_value=700),
    ),
    max_size=12,
)


@given(moves=MOVES)
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_ledger_balances_after_any_moves(room, moves):
    """An independent tally beside it: the sum of all lines is what a person with a pencil would have."""
    m.LedgerLine.objects.all().delete()
    m.Batch.objects.all().delete()
    batch = receive(room)
    tally, last = 500.0, None
    for number, (move, amount) in enumerate(moves):
        tally, last = moved(room, batch, tally, number, move, amount, last)
    assert stock.on_hand(batch=batch) == pytest.approx(tally)
    assert tally >= 0


def moved(room, batch, tally, number, move, amount, last):
    hand = {"room": room, "batch": batch.key, "now": mk.NOW, "by": None}
    if move == "count":
        stock.count(amount=amount, form=form(number), **hand)
        return float(amount), ("count", amount, number)
    if move == "throw":
        try:
            stock.throw_out(amount=amount, form=form(number), **hand)
        except Refused:
            return tally, last
        return tally - amount, ("throw", amount, number)
    if move == "empty":
        stock.close(form=form(number), **hand)
        return 0.0, None
    if move == "again" and last is not None:
        act = stock.count if last[0] == "count" else stock.throw_out
        act(amount=last[1], form=form(last[2]), **hand)
    if move == "receive":  # another batch: this one's sum does not move
        receive(room, name=f"other {number}", amount=amount + 1)
    return tally, last


# ---------------------------------------------------------------- the shelf as a page sees it


def test_what_is_short_stands_on_the_list_with_its_reasons():
    morning = mk.an_ordinary_morning()
    room = morning.room
    stock.keep_least(room=room, keep=Keep(kind="gloves", amount=2), now=mk.NOW, by=None)
    receive(room, kind="gloves", name="Gloves, nitrile M", amount=1, farm_raised=False)
    day = open_day(room=room, day=mk.DAY, now=mk.at("08:40"))
    view = shelf_view(day=day)
    wants = {want.thing.kind: want for want, _ in view.wants if want.thing.kind in {"gloves", "cricket"}}
    assert [reason.why for reason in wants["gloves"].reasons] == [Why.UNDER_LEAST]
    assert wants["gloves"].amount == 1
    assert view.insects.key.endswith("/insects/juniper-street/0")


def test_a_rodent_for_tomorrow_is_named_the_day_before_and_not_when_it_is_due_today():
    morning = mk.an_ordinary_morning()
    pilot = morning.residents["pilot"]
    every = next(
        c for c in open_day(room=morning.room, day=mk.DAY, now=mk.NOW).facts.care if c.kind == mk.CORN
    ).feeding.every_days
    found = []
    for ago in (every - 2, every - 1, every):
        pilot.last_fed_on = mk.DAY - timedelta(days=ago)
        pilot.save(update_fields=["last_fed_on"])
        view = shelf_view(day=open_day(room=morning.room, day=mk.DAY, now=mk.at("09:00")))
        found.append([(each.resident.key, each.count, each.portion.food) for each in view.thaw])
    assert found == [[], [("pilot", 1, "m-7")], []]


def test_a_number_is_as_old_as_its_last_count(room):
    batch = receive(room)
    person = mk.a_person(room, "Tamsin")
    stock.count(room=room, batch="c-1", amount=480, form=form(5), now=mk.at("08:20"), by=person)
    view, lines = batch_view(day=open_day(room=room, day=mk.DAY, now=mk.at("09:00")), key=batch.key)
    assert (view.on_hand, view.counted, view.told_at, view.told_by) == (480, True, mk.at("08:20"), "Tamsin")
    assert [(line.change, line.left) for line in lines] == [(-20, 480), (500, 500)]


def test_a_powder_open_for_more_than_half_a_year_is_no_stock(room):
    today = date(2026, 6, 9)
    for opened, usable in ((180, True), (181, False)):
        jar = receive(
            room, kind="vitamins", name=f"jar {opened}", received_on=today - timedelta(days=opened),
            opened_on=today - timedelta(days=opened),
        )  # fmt: skip
        view, _ = batch_view(day=open_day(room=room, day=mk.DAY, now=mk.at("09:00")), key=jar.key)
        assert view.usable is usable
