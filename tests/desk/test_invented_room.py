"""The invented room: one data set that agrees with itself, and with what is said of it."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

import makers
import pytest
from django.core.management import CommandError, call_command

from roomops.desk.day import open_day
from roomops.desk.invented import NotEmptyError, imagine, make, sign_ins
from roomops.desk.invented_facts import facts
from roomops.desk.invented_world import World
from roomops.desk.lamp_rules import Missing
from roomops.desk.lamp_views import lamps_view
from roomops.desk.stock_views import shelf_view
from roomops.planning.first_fit import plan_day
from roomops.planning.orders import Why
from roomops.planning.plan import Plan
from roomops.planning.room import FED, DutyKind, Need, Room
from roomops.planning.verify import breaches
from roomops.records import models as m
from roomops.records.snapshot import take

TUESDAY = date(2026, 6, 9)
WRONG = facts().wrong


@pytest.fixture(scope="module")
def world() -> World:
    """The room's rows as they would be written: nothing here changes them."""
    return imagine(today=TUESDAY)


@pytest.fixture
def room(db) -> m.Room:
    return make(today=TUESDAY)


def here(world: World) -> list[m.Resident]:
    return [row for row in world.rows[m.Resident] if row.status in FED or row.status == "at vet"]


def feeds(world: World, day: date) -> Iterator[m.Entry]:
    part = f"/{DutyKind.FEED}/"
    return (row for row in world.rows[m.Entry] if row.day == day and part in row.duty)


def snapshot(room: m.Room, day: date = TUESDAY) -> Room:
    return take(room=room, day=day, now=makers.at("07:40", TUESDAY))


# ---------------------------------------------------------------- who and what is there


def test_sixty_hatchlings_forty_of_them_marked_and_twenty_in_a_lot(world):
    young = [
        row for row in here(world) if row.kind == makers.DRAGON and not row.tank.quarantine and not adult(row)
    ]
    assert sum(row.heads for row in young) == 60
    assert Counter(row.identity for row in young) == {"marked": 40, "unmarked": 4}
    assert [row.heads for row in young if row.identity == "unmarked"] == [5, 5, 5, 5]
    groups = Counter(row.tank.key for row in young if row.identity == "marked")
    assert len(groups) == 10
    assert set(groups.values()) == {4}


def adult(row: m.Resident) -> bool:
    return (TUESDAY - row.hatched_on).days >= 365


def test_store_adults_of_all_four_kinds_and_two_quarantine_tanks(world):
    grown = {row.name: row.kind for row in here(world) if adult(row) and not row.tank.quarantine}
    assert grown == {
        "Marlow": makers.DRAGON,
        "Fennel": makers.DRAGON,
        "Sorrel": makers.GECKO,
        "Pilot": makers.CORN,
        "Clover": makers.TORTOISE,
    }
    apart = Counter((row.tank.name, row.kind) for row in here(world) if row.tank.quarantine)
    assert apart == {("Q1", makers.GECKO): 1, ("Q2", makers.DRAGON): 3}


def test_sixteen_tubs_in_two_trays_and_a_quarantine_tray_of_its_own(world):
    tubs = Counter((tub.tray.key, tub.tray.quarantine) for tub in world.rows[m.Tub])
    assert tubs == {("a", False): 8, ("b", False): 8, ("q", True): 4}


def test_every_tank_is_lived_in_or_promised_to_a_lot_and_has_its_lamps(world):
    lived_in = {row.tank.key for row in here(world)}
    promised = {row.tank.key for row in world.rows[m.Arrival.tanks.through]}
    assert not lived_in & promised
    assert lived_in | promised == set(world.tanks) == {lamp.tank.key for lamp in world.rows[m.Lamp]}


def test_a_lot_comes_tomorrow_into_two_quarantine_tanks_and_there_are_two_pens(world):
    [lot] = world.rows[m.Arrival]
    assert (lot.heads, lot.state, lot.expected_on - TUESDAY) == (8, "expected", timedelta(days=1))
    assert all(row.tank.quarantine for row in world.rows[m.Arrival.tanks.through])
    assert [pen.name for pen in world.rows[m.Pen]] == ["Yard pen, left", "Yard pen, right"]


def test_five_people_with_a_rota_of_two_weeks_to_either_side(world):
    assert Counter(person.role for person in world.rows[m.Person]) == {"manager": 1, "staff": 3, "writer": 1}
    days = defaultdict(Counter)
    for shift in world.rows[m.Shift]:
        days[shift.starts.date()][shift.name] += 1
    for offset in range(-14, 15):
        there = days[TUESDAY + timedelta(days=offset)]
        assert there["opening"] in {2, 3}
        assert there["closing"] in {2, 3}


def test_nobody_works_two_shifts_at_once(world):
    shifts = sorted(world.rows[m.Shift], key=lambda shift: (shift.person.key, shift.starts))
    for one, next_one in pairwise(shifts):
        assert one.person is not next_one.person or one.ends <= next_one.starts


# ---------------------------------------------------------------- it agrees with itself


def test_the_ledger_sums_up_to_the_shelf_and_never_goes_below_nothing(world):
    left = Counter()
    for line in sorted(world.rows[m.LedgerLine], key=lambda line: line.at):
        left[line.batch.key] += line.change
        assert left[line.batch.key] >= 0, (line.batch.key, line.at)
    assert left == Counter({each.key: each.on_hand or 0 for each in facts().deliveries})


def test_each_portion_of_the_history_left_the_shelf_with_its_count(world):
    fed = Counter()
    for line in world.rows[m.LedgerLine]:
        if line.entry and line.reason == "fed":
            fed[line.entry.id, line.batch.key] -= line.change
    counted = {(e.id, e.data["food"]): e.data["offered"] for e in world.rows[m.Entry] if "food" in e.data}
    assert counted
    assert counted.items() <= fed.items()


def test_heads_on_each_walk_are_the_heads_that_stays_and_spells_say(world):
    vet = next(row for row in world.rows[m.Resident] if row.key == WRONG["at_vet"])
    for entry in world.rows[m.Entry]:
        if entry.kind != "walk":
            continue
        tank = entry.duty.split("/")[2]
        stays = [stay for stay in world.rows[m.Stay] if stay.tank.key == tank]
        there = sum(s.heads for s in stays if s.since <= entry.at and (s.until is None or s.until > entry.at))
        away = vet.tank.key == tank and vet.status_since <= entry.at
        assert entry.data["heads"] == there - away, entry.duty


def test_what_was_said_was_said_by_somebody_on_shift_who_may_go_there(world):
    on = defaultdict(list)
    for shift in world.rows[m.Shift]:
        on[shift.person.key].append((shift.starts, shift.ends))
    apart = {tank.key for tank in world.tanks.values() if tank.quarantine}
    for entry in world.rows[m.Entry]:
        assert any(starts <= entry.at < ends for starts, ends in on[entry.written_by.key]), entry.duty
        subject = entry.duty.split("/")[2]
        assert entry.written_by.may_quarantine or subject.split("-")[0] not in apart


def test_no_prey_of_the_history_was_larger_than_the_gap_that_was_measured_next(world):
    """The care sheet's rule, one to one. Gaps only grow here: the next one is the least that can be held."""
    size = {batch.key: batch.size_mm for batch in world.rows[m.Batch]}
    gaps = defaultdict(list)
    for row in world.rows[m.Measurement]:
        if row.measure == "gap_mm":
            gaps[row.resident.key].append((row.at, row.value))
    checked = 0
    for entry in world.rows[m.Entry]:
        after = [gap for at, gap in gaps[entry.duty.split("/")[2]] if at >= entry.at]
        if "food" in entry.data and after:
            assert size[entry.data["food"]] <= min(after)
            checked += 1
    assert checked > 500


def test_nothing_of_today_has_happened_yet(world):
    morning = makers.at("00:00", TUESDAY)
    for model in (m.Entry, m.Reading, m.LedgerLine, m.Measurement, m.Note):
        assert max(row.at for row in world.rows[model]) < morning
    assert min(row.day for row in world.rows[m.Entry]) == TUESDAY - timedelta(days=21)


def test_the_same_day_gives_the_same_room_and_another_day_the_same_story(world):
    def told(of: World) -> list[tuple[object, ...]]:
        return [
            (
                (of.today - e.day).days,
                e.duty[11:],
                e.kind,
                e.head,
                e.data,
                e.id,
                e.at.timetz().replace(tzinfo=None),
            )
            for e in of.rows[m.Entry]
            if e.duty.split("/")[2] not in {"marlow", "fennel"}  # their insects hang on weekdays
        ]

    again, wednesday = imagine(today=TUESDAY), imagine(today=TUESDAY + timedelta(days=1))
    assert told(again) == told(world)
    assert [each[:5] for each in told(wednesday)] == [each[:5] for each in told(world)]


# ---------------------------------------------------------------- what is wrong on purpose


def test_one_hatchling_refused_both_feeds_of_yesterday_and_asks_for_a_first_look(room):
    found = snapshot(room)
    first = {each.key for each in found.residents if each.first_word}
    assert {WRONG["refused_twice"], WRONG["losing"]} <= first
    entries = m.Entry.objects.filter(
        day=TUESDAY - timedelta(days=1), duty__contains=f"/{WRONG['refused_twice']}/"
    )
    assert list(entries.values_list("kind", flat=True)) == ["refused", "refused"]


def test_one_tank_s_basking_side_last_read_low_yesterday(room):
    found = snapshot(room)
    (reading,) = (r for r in found.readings if r.tank == WRONG["basking_low"] and r.spot == "basking")
    (other, *_) = (r for r in found.residents if r.tank == WRONG["basking_low"])
    assert reading.value_c < found.care_of(other).basking_c.low
    assert (reading.on, reading.minute) == (TUESDAY - timedelta(days=1), None)


def test_after_the_low_reading_nobody_was_fed_from_that_tank(world):
    fed = {e.duty.split("/", 2)[2] for e in feeds(world, TUESDAY - timedelta(days=1)) if "/h2-" in e.duty}
    assert {duty[-1] for duty in fed} == {"1"}
    assert len(fed) == 4


def test_a_lamp_is_over_its_date_an_animal_is_at_the_vet_one_is_on_hold(world):
    oldest = min((lamp for lamp in world.rows[m.Lamp] if lamp.kind == "uv"), key=lambda lamp: lamp.fitted_on)
    assert oldest.tank.key == WRONG["uv_overdue"]
    assert (TUESDAY - oldest.fitted_on).days > 365
    status = {row.key: row.status for row in world.rows[m.Resident]}
    assert status[WRONG["at_vet"]] == "at vet"
    assert status[WRONG["on_hold"]] == "on hold"


def test_lamps_are_within_their_fixtures_and_three_of_them_ask_for_a_look(room):
    view = lamps_view(day=open_day(room=room, day=TUESDAY, now=makers.at("07:40", TUESDAY)))
    states = {lamp.key: lamp.state for lamp in view.lamps if lamp.state}
    assert states == {f"{WRONG['uv_overdue']}-uv": "late", f"{WRONG['uv_soon']}-uv": "next"}
    assert {lamp.key: lamp.missing for lamp in view.lamps if lamp.missing} == {
        f"{WRONG['no_probe']}-night": (Missing.PROBE,)
    }
    assert {spare.watts for lamp in view.lamps for spare in lamp.spares} == {24, 75}


def test_what_is_short_stands_on_the_list_with_its_reason_and_all_prey_is_farm_raised(room):
    view = shelf_view(day=open_day(room=room, day=TUESDAY, now=makers.at("07:40", TUESDAY)))
    whys = {(want.thing.kind, want.thing.size_mm): want.reasons[0].why for want, _ in view.wants}
    assert whys[("ceramic heater", None)] is Why.NONE_LEFT
    assert whys[("mouse", 26)] is Why.UNDER_LEAST
    prey = m.Batch.objects.filter(category__in=("insect", "rodent"))
    assert not prey.filter(source="").exists()


def test_one_lot_tank_s_gap_was_never_measured_and_its_prey_is_estimated_small(room):
    found = snapshot(room)
    (lot,) = (each for each in found.residents if each.tank == WRONG["not_measured"])
    assert lot.gap_mm is None
    feeds = (d for d in planned(found).duties if d.kind is DutyKind.FEED and d.subject == lot.key)
    portions = {d.portion for d in feeds}
    assert portions
    assert all(portion.estimated and portion.size_mm <= portion.most_mm < 6 for portion in portions)


def test_one_batch_is_nearly_out(room):
    crickets = [food.on_hand for food in snapshot(room).foods if food.kind == "cricket"]
    least, next_least, *_ = sorted(crickets)
    assert least < 50
    assert next_least > 100


# ---------------------------------------------------------------- the day fits, but not quite


def planned(found: Room) -> Plan:
    plan = plan_day(room=found)
    assert breaches(room=found, plan=plan) == ()
    return plan


def test_on_every_weekday_all_must_duties_fit_and_some_third_feeds_do_not(room):
    for offset in range(7):
        found = snapshot(room, TUESDAY + timedelta(days=offset))
        plan = planned(found)
        duties = {duty.key: duty for duty in plan.duties}
        left = [duties[each.duty] for each in plan.unplaced]
        assert plan.scores.must == 0
        assert {(duty.kind, duty.slot, duty.need) for duty in left} == {(DutyKind.FEED, 3, Need.SHOULD)}
        thirds = sum(1 for duty in plan.duties if duty.kind is DutyKind.FEED and duty.slot == 3)
        assert 0 < len(left) < thirds


def test_each_tray_is_filled_at_least_twice(room):
    trays = Counter(each.tray for each in planned(snapshot(room)).rounds if each.tray)
    assert min(trays.values()) >= 2


@pytest.mark.django_db
@pytest.mark.parametrize("today", [date(2026, 3, 8), date(2026, 11, 1)])
def test_it_can_be_made_for_a_day_on_which_clocks_change(today):
    found = take(room=make(today=today), day=today, now=makers.at("07:40", today))
    assert planned(found).scores.must == 0


# ---------------------------------------------------------------- an empty database, and nothing else


def test_it_refuses_a_database_that_holds_a_room(room):
    with pytest.raises(NotEmptyError, match="already holds the room “Juniper Street Reptile Room”"):
        make(today=TUESDAY)
    assert m.Room.objects.count() == 1


@pytest.mark.django_db
def test_it_refuses_a_database_that_holds_an_account():
    m.Account.objects.create_user("owner")
    with pytest.raises(NotEmptyError, match="already holds accounts"):
        make(today=TUESDAY)
    assert not m.Room.objects.exists()


def test_its_accounts_are_marked_as_invented(room):
    accounts = m.Account.objects.all()
    assert all(account.invented for account in accounts)
    assert {each.name for each in sign_ins()} == {account.username for account in accounts}
    assert all(accounts.get(username=each.name).check_password(each.password) for each in sign_ins())
    assert room.invented


@pytest.mark.django_db
def test_the_command_prints_the_sign_ins_and_says_when_they_will_be_refused(capsys):
    call_command("invented_room", today="2026-06-09")
    told = capsys.readouterr()
    assert all(f"{each.name} " in told.out and each.password in told.out for each in sign_ins())
    assert "refused until the server runs with ROOMOPS_DEMO=yes" in told.err


@pytest.mark.django_db
@pytest.mark.parametrize("text", ["2026-02-30", "June 9", ""])
def test_the_command_refuses_what_is_no_date_and_makes_nothing(text):
    with pytest.raises(CommandError, match=f"“{text}” is no date: write it as 2026-06-09"):
        call_command("invented_room", today=text)
    assert not m.Room.objects.exists()
