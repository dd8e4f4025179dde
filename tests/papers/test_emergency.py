"""Card E prints with every set: one page, who comes first in the cold and in the heat, and who to call."""

from __future__ import annotations

from dataclasses import replace

import pytest

from roomops.papers.html import pages
from roomops.papers.shift_set import CLOSING, OPENING, WHOLE_DAY, build
from roomops.papers.view import SetView, Sheet, Store, boxes
from roomops.planning.first_fit import plan_day
from roomops.planning.room import Status
from tests.papers import juniper
from tests.rooms import SIZES, generated


def a_set(shift: str = WHOLE_DAY, store: Store = juniper.STORE, **changes) -> SetView:
    facts = juniper.room(**changes)
    return build(facts=facts, plan=plan_day(room=facts), version=1, shift=shift, store=store)


def cards(view: SetView) -> list[Sheet]:
    return [sheet for sheet in view.sheets if sheet.kind == "emergency"]


def order(card: Sheet, title: str) -> list[str]:
    return [row for block in card.blocks if block.title == title for row in block.rows]


COLD, HOT = "Who comes first in the cold", "Too hot instead: who comes first"


@pytest.mark.parametrize("shift", [WHOLE_DAY, OPENING, CLOSING])
def test_every_set_ends_with_the_card_on_one_page_and_its_page_numbers_are_right(shift: str) -> None:
    view = a_set(shift)
    assert len(cards(view)) == 1
    assert view.sheets[-1].kind == "emergency"
    made = pages(view)
    assert [page.number for page in made] == list(range(1, len(made) + 1))
    assert {page.of for page in made} == {len(made)}
    assert len({page.code for page in made}) == len(made)


@pytest.mark.parametrize("size", list(SIZES))
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_room_of_any_size_has_a_card_of_one_page(size: str, paper: str) -> None:
    facts = generated(**SIZES[size])
    store = replace(juniper.STORE, paper=paper)
    plan = plan_day(room=replace(facts, residents=facts.residents[:1]))
    view = build(facts=facts, plan=plan, version=1, store=store)
    assert len(cards(view)) == 1


def test_hatchlings_come_first_in_the_cold_with_their_limit_and_their_tanks_in_a_run() -> None:
    [card] = cards(a_set())
    assert order(card, COLD)[0] == (
        "H1 to H14 and Q1: bearded dragons, hatchling. Smallest bodies: they cool first. Act under 64 °F."
    )
    assert "Hermann's tortoises" in order(card, COLD)[-1]


def test_limits_are_in_the_units_of_the_room() -> None:
    [card] = cards(a_set(store=replace(juniper.STORE, units="metric")))
    assert "Act under 17.8 °C." in order(card, COLD)[0]


def test_in_a_hot_room_the_order_is_by_the_limit_of_the_cool_side() -> None:
    [card] = cards(a_set())
    assert "Act over 86 °F." in order(card, HOT)[0]
    assert order(card, HOT) != order(card, COLD)


def test_there_are_lines_to_write_on_and_nothing_on_the_card_stands_for_a_duty() -> None:
    [card] = cards(a_set())
    assert next(len(block.rows) for block in card.blocks if block.kind == "lines") >= 1
    assert not [box for box in boxes(card) if box.duty]


def test_kinds_beyond_the_lines_of_the_card_are_named_as_later() -> None:
    [card] = cards(a_set())
    assert len(order(card, HOT)) == 4
    assert order(card, HOT)[-1] == "Later: bearded dragons, hatchling and bearded dragons, adult."


def test_the_card_says_what_not_to_do_and_whom_to_call() -> None:
    told = repr(cards(a_set()))
    for words in (
        "No candle, grill or fuel heater",
        "against skin they burn",
        "Dr. Ana Whitcomb",
        "common practice",
    ):
        assert words in told
    assert "Vet: none is written down" in repr(cards(a_set(store=Store())))


def test_who_is_at_the_vet_or_missing_is_not_on_the_card() -> None:
    away = tuple(replace(r, status=Status.AT_VET) if r.key == "pilot" else r for r in juniper.residents())
    assert "corn snakes" in repr(cards(a_set()))
    assert "corn snakes" not in repr(cards(a_set(residents=away)))


def test_a_room_without_animals_has_no_card() -> None:
    assert cards(a_set(residents=())) == []
