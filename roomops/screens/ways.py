"""The ways out on the floor of every page: only those that exist."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import NoReverseMatch, reverse

# name of the address, sign, word, names of the pages below it
WAYS: tuple[tuple[str, str, str, frozenset[str]], ...] = (
    ("today", "today", "Today", frozenset({"today", "day"})),
    ("feeding", "feeding", "Feeding", frozenset({"feeding", "feeding_round", "not_here"})),
    (
        "room",
        "room",
        "Room",
        frozenset(
            {
                "room",
                "room_rack",
                "tank",
                "tank_move",
                "tank_bring",
                "animals",
                "animal",
                "animal_new",
                "animal_act",
                "weigh",
                "weigh_tank",
                "medicine",
                "search",
                "searches",
                "arrivals",
                "lot_receive",
                "lot",
            }
        ),
    ),
    ("walks", "walks", "Walks", frozenset({"walks", "walk", "readings", "clean", "chores", "sun"})),
    (
        "insects",
        "cricket",
        "Insects",
        frozenset({"insects", "insects_order", "insects_least", "insects_receive", "insects_batch"}),
    ),
    ("lamps", "lamp", "Lamps", frozenset({"lamps", "lamps_new", "lamps_timers", "lamp"})),
    ("papers", "papers", "Papers", frozenset({"papers"})),
    ("sorting", "sorting", "Sorting out", frozenset({"sorting"})),
    ("wrong", "ask", "Wrong?", frozenset({"wrong"})),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    href: str
    sign: str
    word: str
    here: bool
    many: int = 0


def ways_out(*, here: str, to_sort: int = 0) -> tuple[Way, ...]:
    """The ways in their order; ``here`` is the name of the page's own address."""
    found = []
    for name, sign, word, below in WAYS:
        try:
            href = reverse(name)
        except NoReverseMatch:
            continue
        many = to_sort if name == "sorting" else 0
        found.append(Way(href=href, sign=sign, word=word, here=here in below, many=many))
    return tuple(found)
