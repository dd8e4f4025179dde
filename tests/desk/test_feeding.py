"""A feed round from cups to the washed tray: what counts, what is refused, who said it and when."""

from uuid import UUID

import pytest

from roomops.desk.day import Status
from roomops.desk.entries import Outcome
from roomops.desk.refusals import No, Refused
from roomops.desk.tray_types import StepState, TubState
from roomops.records import models as m
from tests import makers as mk
from tests.desk.floor import Floor, form, on_hand

pytestmark = pytest.mark.django_db
H1 = "h1-two-dots"


@pytest.fixture
def floor() -> Floor:
    return Floor()


@pytest.fixture
def tray(floor: Floor) -> str:
    """The round of the eight marked hatchlings of H1 and H2, all of them in tubs since 8:50."""
    key = floor.round_of(H1)
    floor.all_in_tubs(key)
    return key


def steps(floor: Floor, key: str, clock: str) -> dict[str, StepState]:
    return {step.kind: step.state for step in floor.tray(key, clock).steps}


# ---------------------------------------------------------------- the tray as it stands


def test_a_tray_names_tub_animal_tank_and_prey(floor: Floor) -> None:
    view = floor.tray(floor.round_of(H1), "08:40")
    assert [tub.number for tub in view.tubs] == [1, 2, 3, 4, 5, 6, 7, 8]
    tub = next(tub for tub in view.tubs if tub.resident == H1)
    assert (tub.label, tub.mark, tub.tank_name, tub.state) == (
        "H1 · two dots",
        "two dots",
        "H1",
        TubState.PLANNED,
    )
    assert tub.prey is not None
    assert (tub.prey.kind, tub.prey.size_mm, tub.prey.most_mm, tub.prey.estimated) == (
        "cricket",
        3,
        8.0,
        False,
    )
    assert tub.offered == tub.prey.count > 0


def test_the_shelf_line_is_the_sum_of_the_cups(floor: Floor) -> None:
    view = floor.tray(floor.round_of(H1), "08:40")
    assert sum(line.count for line in view.shelf) == sum(tub.offered for tub in view.tubs)


def test_steps_follow_one_another_to_the_washed_tray(floor: Floor) -> None:
    key = floor.round_of(H1)
    route = []
    for act, clock in (("", "08:40"), ("cups_ready", "08:45"), ("to_tubs", "08:50"), ("all_eaten", "09:05"),
                       ("all_back", "09:10"), ("washed", "09:20")):  # fmt: skip
        if act:
            floor.press(act, clock, round_key=key)
        route.append(floor.tray(key, clock).step)
    assert route == ["prepare", "to tubs", "feed", "return", "wash", ""]
    assert floor.open("09:21").view(key).status is Status.DONE


def test_an_unknown_round_or_tub_is_named(floor: Floor) -> None:
    with pytest.raises(Refused) as no:
        floor.tray("feed-9-nobody", "08:40")
    assert (no.value.why, no.value.about) == (No.UNKNOWN_ROUND, {"value": "feed-9-nobody"})
    key = floor.round_of(H1)
    with pytest.raises(Refused) as no:
        floor.press("count", "08:50", round_key=key, duty=floor.feed("h2-bar"), head=7, left=0)
    assert no.value.why is No.UNKNOWN_SEAT


# ---------------------------------------------------------------- cups, to tubs


def test_no_animal_is_lifted_before_its_cups_are_ready(floor: Floor) -> None:
    key = floor.round_of(H1)
    with pytest.raises(Refused) as no:
        floor.press("to_tubs", "08:40", round_key=key)
    assert (no.value.why, no.value.about["step"]) == (No.NOT_BEGUN, "prepare")
    assert not m.Entry.objects.exists()


def test_no_animal_leaves_a_tank_whose_basking_side_last_read_low(floor: Floor) -> None:
    key = floor.round_of("h2-bar", clock="08:00")
    mk.a_reading(floor.m.tanks["h2"], "basking", 35.0, mk.at("08:35"))
    floor.press("cups_ready", "08:40", round_key=key)
    with pytest.raises(Refused) as no:
        floor.press("to_tubs", "08:50", round_key=key)
    assert no.value.why is No.BASKING_LOW
    assert (no.value.about["tank"], no.value.about["value_c"]) == ("H2", 35.0)
    assert no.value.about["low_c"] == pytest.approx(37.78, abs=0.01)


def test_those_of_a_warm_tank_may_go_while_the_cold_ones_stay(floor: Floor) -> None:
    key = floor.round_of(H1, clock="08:00")
    mk.a_reading(floor.m.tanks["h2"], "basking", 35.0, mk.at("08:35"))
    floor.press("cups_ready", "08:40", round_key=key)
    warm = [tub.key for tub in floor.tray(key, "08:45").tubs if tub.tank == "h1"]
    floor.press("to_tubs", "08:50", round_key=key, tubs=warm)
    assert {t.tank for t in floor.tray(key, "08:51").back_order} == {"h1"}


def test_a_reading_of_yesterday_gives_no_verdict_today(floor: Floor) -> None:
    mk.a_reading(floor.m.tanks["h2"], "basking", 35.0, mk.at("14:30", mk.DAY.replace(day=8)))
    key = floor.round_of("h2-bar")
    floor.all_in_tubs(key)
    assert floor.tray(key, "08:51").out == 8


# ---------------------------------------------------------------- counts


def test_all_eaten_fills_only_what_is_not_counted(floor: Floor, tray: str) -> None:
    floor.press("count", "09:00", **floor.head(tray, H1), left=2)
    floor.press("refused", "09:01", **floor.head(tray, "h2-bar"))
    floor.press("all_eaten", "09:05", round_key=tray)
    tubs = {tub.resident: tub for tub in floor.tray(tray, "09:06").tubs}
    assert (tubs[H1].left, tubs[H1].filled) == (2, False)
    assert tubs["h2-bar"].state is TubState.REFUSED
    others = [tub for key, tub in tubs.items() if key not in {H1, "h2-bar"}]
    assert {(tub.left, tub.filled, tub.state) for tub in others} == {(0, True, TubState.EATEN)}


def test_a_count_that_was_on_its_way_stands_over_the_whole_tray(floor: Floor, tray: str) -> None:
    """Both pages showed 'not counted': whoever is kept first, the count by hand holds."""
    early, late = floor.open("09:04"), floor.open("09:04")
    from roomops.desk import feeding

    feeding.count(day=early, by=floor.m.tamsin, form=form("tamsin"), **floor.head(tray, H1), left=3)
    feeding.all_eaten(day=late, by=floor.m.oskar, form=form("oskar"), round_key=tray)
    assert floor.tub(tray, "09:05", H1).left == 3
    assert not floor.tub(tray, "09:05", H1).others


def test_nothing_is_counted_before_animals_are_in_tubs(floor: Floor) -> None:
    key = floor.round_of(H1)
    floor.press("cups_ready", "08:40", round_key=key)
    for act, about in (("count", {**floor.head(key, H1), "left": 0}), ("all_eaten", {"round_key": key})):
        with pytest.raises(Refused) as no:
            floor.press(act, "08:41", **about)
        assert no.value.why is No.NOT_BEGUN


@pytest.mark.parametrize(("beyond", "stored"), [(-1, True), (0, True), (1, False)])
def test_no_more_is_left_than_was_offered(floor: Floor, tray: str, beyond: int, stored: bool) -> None:
    offered = floor.tub(tray, "08:55", H1).offered
    if stored:
        floor.press("count", "09:00", **floor.head(tray, H1), left=offered + beyond)
        assert floor.tub(tray, "09:01", H1).left == offered + beyond
        return
    with pytest.raises(Refused) as no:
        floor.press("count", "09:00", **floor.head(tray, H1), left=offered + beyond)
    assert (no.value.why, no.value.about) == (
        No.MORE_LEFT_THAN_OFFERED,
        {"left": offered + 1, "offered": offered},
    )
    assert floor.tub(tray, "09:01", H1).left is None


def test_a_later_count_corrects_the_earlier_and_both_are_kept(floor: Floor, tray: str) -> None:
    floor.press("count", "09:00", **floor.head(tray, H1), left=2)
    floor.press("count", "09:02", floor.m.tamsin, **floor.head(tray, H1), left=1)
    tub = floor.tub(tray, "09:03", H1)
    assert (tub.left, tub.counted_by, tub.counted_at, tub.others) == (1, "Tamsin", mk.at("09:02"), ())
    first, second = m.Entry.objects.filter(duty=floor.feed(H1), kind="count").order_by("at")
    assert second.corrects == first
    assert first.data["left"] == 2


def test_four_and_more_may_be_made_exact_later(floor: Floor, tray: str) -> None:
    floor.press("count", "09:00", **floor.head(tray, H1), left=4, at_least=True)
    assert floor.tub(tray, "09:01", H1).at_least
    floor.press("count", "09:02", **floor.head(tray, H1), left=5)
    tub = floor.tub(tray, "09:03", H1)
    assert (tub.left, tub.at_least) == (5, False)


def test_more_offered_in_the_same_feed_is_counted_with_the_rest(floor: Floor, tray: str) -> None:
    offered = floor.tub(tray, "08:55", H1).offered
    floor.press("count", "09:00", **floor.head(tray, H1), left=0)
    floor.press("more", "09:02", **floor.head(tray, H1), more=3, left=3)
    floor.press("count", "09:04", **floor.head(tray, H1), left=1)
    tub = floor.tub(tray, "09:05", H1)
    assert (tub.offered, tub.more, tub.left) == (offered, 3, 1)


def test_a_count_pressed_by_mistake_can_be_taken_back(floor: Floor, tray: str) -> None:
    floor.press("count", "09:00", **floor.head(tray, H1), left=0)
    floor.press("not_counted", "09:01", **floor.head(tray, H1))
    assert floor.tub(tray, "09:02", H1).state is TubState.OUT
    with pytest.raises(Refused) as no:
        floor.press("not_counted", "09:03", **floor.head(tray, H1))
    assert no.value.why is No.NOTHING_TO_UNDO


def test_two_counts_of_one_head_stand_until_somebody_agrees(floor: Floor, tray: str) -> None:
    day = floor.open("09:00")
    from roomops.desk import feeding

    feeding.count(day=day, by=floor.m.oskar, form=form("oskar"), **floor.head(tray, H1), left=2)
    feeding.count(day=day, by=floor.m.tamsin, form=form("tamsin"), **floor.head(tray, H1), left=3)
    assert floor.tub(tray, "09:01", H1).others != ()
    floor.press("agree", "09:05", **floor.head(tray, H1), left=2)
    tub = floor.tub(tray, "09:06", H1)
    assert (tub.left, tub.others) == (2, ())
    assert on_hand(floor.room, "c-117") == 400 - tub.offered


# ---------------------------------------------------------------- pressed twice


def test_a_form_pressed_twice_is_pressed_once(floor: Floor, tray: str) -> None:
    about = {**floor.head(tray, H1), "left": 2, "form": form("once")}
    first = floor.press("count", "09:00", **about)
    again = floor.press("count", "09:10", **about)
    assert [first[0].outcome, again[0].outcome] == [Outcome.STORED, Outcome.ALREADY]
    assert m.Entry.objects.filter(kind="count").count() == 1
    assert floor.tub(tray, "09:11", H1).counted_at == mk.at("09:00")


def test_the_same_form_with_another_number_is_kept_as_a_clash(floor: Floor, tray: str) -> None:
    floor.press("count", "09:00", **floor.head(tray, H1), left=2, form=form("once"))
    answers = floor.press("count", "09:01", floor.m.tamsin, **floor.head(tray, H1), left=5, form=form("once"))
    assert answers[0].outcome is Outcome.CLASH
    assert floor.tub(tray, "09:02", H1).left == 2
    clash = m.Clash.objects.get()
    assert (clash.content["data"]["left"], clash.content["by"], clash.written_by) == (
        5,
        "tamsin",
        floor.m.tamsin,
    )
    assert floor.open("09:02").clashes == 1


@pytest.mark.parametrize(
    ("act", "about"),
    [
        ("cups_ready", {}),
        ("to_tubs", {}),
        ("all_eaten", {}),
        ("all_back", {}),
        ("washed", {}),
        ("finish", {}),
    ],
)
def test_each_step_pressed_twice_is_one_step(floor: Floor, act: str, about: dict[str, object]) -> None:
    key = floor.round_of(H1)
    for step in ("cups_ready", "to_tubs", "all_eaten", "all_back", "washed", "finish"):
        floor.press(step, "09:00", round_key=key, form=form(step))
        if step == act:
            break
    before = m.Entry.objects.count()
    floor.press(act, "09:10", round_key=key, form=form(act), **about)
    assert m.Entry.objects.count() == before


# ---------------------------------------------------------------- back, wash, finish


def test_first_out_is_first_back(floor: Floor) -> None:
    key = floor.round_of(H1)
    floor.press("cups_ready", "08:40", round_key=key)
    tubs = [tub.key for tub in floor.tray(key, "08:41").tubs]
    for place, tub in enumerate(reversed(tubs)):
        floor.press("to_tubs", f"08:{50 + place}", round_key=key, tubs=[tub])
    view = floor.tray(key, "09:00")
    assert [tub.key for tub in view.back_order] == list(reversed(tubs))
    assert view.minutes_out == 10
    assert view.back_order[0].minutes_out == 10


def test_they_may_go_back_when_the_last_one_in_has_had_its_time(floor: Floor, tray: str) -> None:
    view = floor.tray(tray, "08:55")
    watch = next(step for step in view.view.round.steps if step.kind == "feed")
    assert view.back_from is not None
    assert (view.back_from - mk.at("08:50")).total_seconds() / 60 == watch.end - watch.start
    assert not view.time_up


def test_an_animal_goes_back_to_its_own_tank_only(floor: Floor, tray: str) -> None:
    with pytest.raises(Refused) as no:
        floor.press("back", "09:10", **floor.head(tray, H1), tank="h2")
    assert (no.value.why, no.value.about) == (No.OTHER_TANK, {"value": "H2", "tank": "H1"})
    floor.press("back", "09:10", **floor.head(tray, H1), tank="h1")
    tub = floor.tub(tray, "09:11", H1)
    assert (tub.state, tub.back_at, tub.back_by) == (TubState.BACK, mk.at("09:10"), "Oskar")


def test_what_is_in_no_tub_cannot_be_put_back(floor: Floor, tray: str) -> None:
    floor.press("back", "09:10", **floor.head(tray, H1), tank="h1")
    with pytest.raises(Refused) as no:
        floor.press("back", "09:11", **floor.head(tray, H1), tank="h1")
    assert no.value.why is No.NOT_OUT


def test_called_away_puts_all_back_and_counts_nothing(floor: Floor, tray: str) -> None:
    floor.press("count", "09:00", **floor.head(tray, H1), left=0)
    floor.press("all_back", "09:02", round_key=tray)
    view = floor.tray(tray, "09:03")
    assert (view.out, len(view.not_counted)) == (0, 7)
    assert {tub.back_at for tub in view.tubs} == {mk.at("09:02")}


def test_no_finish_and_no_wash_while_an_animal_is_in_a_tub(floor: Floor, tray: str) -> None:
    floor.press("all_eaten", "09:05", round_key=tray)
    for tub in floor.tray(tray, "09:06").tubs[:-1]:
        floor.press("back", "09:07", round_key=tray, duty=tub.duty, head=tub.head, tank=tub.tank)
    last = floor.tray(tray, "09:08").tubs[-1]
    for act in ("washed", "finish"):
        with pytest.raises(Refused) as no:
            floor.press(act, "09:08", round_key=tray)
        assert (no.value.why, no.value.about) == (No.ANIMALS_OUT, {"count": 1, "tubs": (last.number,)})
    floor.press("back", "09:09", round_key=tray, duty=last.duty, head=last.head, tank=last.tank)
    floor.press("washed", "09:15", round_key=tray)
    floor.press("finish", "09:16", round_key=tray)
    assert floor.open("09:17").view(tray).status is Status.DONE


def test_a_round_does_not_end_with_tubs_not_counted_or_not_washed(floor: Floor, tray: str) -> None:
    floor.press("all_back", "09:05", round_key=tray)
    with pytest.raises(Refused) as no:
        floor.press("finish", "09:06", round_key=tray)
    assert (no.value.why, no.value.about["count"]) == (No.NOT_COUNTED, 8)
    floor.press("all_eaten", "09:07", round_key=tray)
    with pytest.raises(Refused) as no:
        floor.press("finish", "09:08", round_key=tray)
    assert no.value.why is No.NOT_WASHED


def test_a_tub_that_is_not_clean_is_named(floor: Floor, tray: str) -> None:
    floor.press("all_eaten", "09:05", round_key=tray)
    floor.press("all_back", "09:10", round_key=tray)
    with pytest.raises(Refused) as no:
        floor.press("washed", "09:15", round_key=tray, not_clean=["q-1"])
    assert (no.value.why, no.value.about) == (No.UNKNOWN_SEAT, {"value": "q-1"})
    floor.press("washed", "09:15", round_key=tray, not_clean=["a-3"])
    assert [tub.key for tub in floor.tray(tray, "09:16").tubs if tub.not_clean] == ["a-3"]


def test_a_tub_serves_again_only_when_it_is_empty_and_washed(floor: Floor, tray: str) -> None:
    again = floor.round_of("h5-unmarked")
    assert floor.tray(again, "08:55").tray_name == "Tray A"
    floor.press("cups_ready", "08:55", round_key=again)
    with pytest.raises(Refused) as no:
        floor.press("to_tubs", "09:00", round_key=again)
    assert no.value.why is No.TUB_TAKEN
    floor.press("all_eaten", "09:05", round_key=tray)
    floor.press("all_back", "09:10", round_key=tray)
    with pytest.raises(Refused) as no:
        floor.press("to_tubs", "09:12", round_key=again)
    assert no.value.why is No.NOT_WASHED
    floor.press("washed", "09:15", round_key=tray)
    floor.press("to_tubs", "09:20", round_key=again)
    assert floor.tray(again, "09:21").out == 5


# ---------------------------------------------------------------- in the tank


def test_a_feed_in_the_tank_needs_no_tub_and_ends_with_its_counts(floor: Floor) -> None:
    key = floor.round_of("marlow")
    view = floor.tray(key, "08:40")
    assert (view.in_tubs, [step.kind for step in view.steps], view.tubs[0].key) == (False, ["feed"], "")
    with pytest.raises(Refused):
        floor.press("to_tubs", "08:40", round_key=key)
    floor.press("all_eaten", "09:00", round_key=key)
    assert floor.open("09:01").view(key).status is Status.DONE
    floor.press("finish", "09:02", round_key=key)


def test_greens_leave_nothing_on_the_ledger(floor: Floor) -> None:
    floor.press("all_eaten", "09:00", round_key=floor.round_of("marlow"))
    assert on_hand(floor.room, "g-9") == 1400


# ---------------------------------------------------------------- who and when


def test_every_press_says_who_and_when(floor: Floor, tray: str) -> None:
    floor.press("all_eaten", "09:05", floor.m.tamsin, round_key=tray)
    floor.press("all_back", "09:10", floor.m.tamsin, round_key=tray)
    floor.press("washed", "09:20", floor.m.oskar, round_key=tray)
    view = floor.open("09:21").view(tray)
    assert (view.done_by, view.done_at) == ("Tamsin, Oskar", mk.at("09:20"))
    for table in (m.Entry, m.LedgerLine):
        for row in table.objects.exclude(entry=None) if table is m.LedgerLine else table.objects.all():
            assert row.written_by is not None
            assert row.written_at.astimezone(mk.ZONE).date() == mk.DAY
    kept = m.Entry.objects.get(duty=f"{mk.DAY}/round/{tray}", kind="washed")
    assert (kept.written_by, kept.at) == (floor.m.oskar, mk.at("09:20"))
    assert isinstance(kept.id, UUID)
