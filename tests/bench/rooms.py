"""A room of any size in the bench's own database: three in five are hatchlings in fours, the rest grown."""

from __future__ import annotations

from datetime import timedelta

from roomops.records import models as m
from tests import makers

SIZES = {30: (3, 2), 150: (6, 4), 500: (12, 8)}  # residents: trays of eight, people


def stored(*, residents: int) -> m.Room:
    """Make the room and return it. Everything hangs on fixed numbers: the same size, the same room."""
    trays, people = SIZES[residents]
    room = makers.a_room(key=f"bench-{residents}", name=f"Bench {residents}")
    for number in range(people):
        person = makers.a_person(room, f"P{number + 1}")
        hours = ("07:30", "15:30") if number % 2 == 0 else ("12:30", "20:30")
        makers.a_shift(person, makers.DAY, *hours)
        if number == 0:
            account = m.Account.objects.create(username=f"bench-{residents}")
            person.account = account
            person.save(update_fields=["account"])
    for number in range(trays):
        makers.a_tray(room, chr(ord("A") + number))
    _animals(room, residents)
    makers.a_batch(room, "c-1", "cricket", 20000, size_mm=3, name="Crickets ⅛ in")
    makers.a_batch(room, "g-1", "collard greens", 9000, unit="g", name="Collard greens")
    return room


def _animals(room: m.Room, residents: int) -> None:
    racks = [makers.a_rack(room, f"R{number + 1}") for number in range(residents // 25 + 1)]
    young, tanks = residents * 3 // 5, 0
    living = 0
    while living < residents:
        tanks += 1
        tank = makers.a_tank(room, f"T{tanks}", rack=racks[tanks % len(racks)])
        makers.a_reading(tank, "basking", 40.0)
        makers.a_lamp(
            tank, m.LampKind.UV, makers.DAY - timedelta(days=200), type="t5", watts=24, rated_watts=24
        )
        makers.a_lamp(tank, m.LampKind.DAY, type="halogen", watts=75, rated_watts=100)
        if living >= young:
            makers.an_adult(tank, f"Adult {tanks}")
            living += 1
            continue
        for mark in makers.MARKS[: min(4, young - living)]:
            one = makers.a_hatchling(tank, mark, length_mm=110, gap_mm=5.0, weight_g=6.0)
            makers.a_measurement(one, "weight_g", 5.6, makers.NOW - timedelta(days=8))
            living += 1
