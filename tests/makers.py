"""Small named makers for tests with tables: Juniper Street in the morning of Tuesday, June 9, 2026.

Everything is fixed and made by hand: a test that needs another number says so at the call. Times are the
room's wall-clock times. Makers write with ``objects.create`` so that constraints speak; nothing is random.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import count
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils.text import slugify

from roomops.records import models as m

ZONE = ZoneInfo("America/Chicago")
DAY = date(2026, 6, 9)  # a Tuesday
MARKS = ("one dot", "two dots", "three dots", "bar")
DRAGON, GECKO, CORN, TORTOISE = "bearded dragon", "leopard gecko", "corn snake", "Hermann's tortoise"


def at(clock: str, day: date = DAY) -> datetime:
    """The moment of a wall-clock time at Juniper Street: ``at("13:10")``."""
    return datetime.combine(day, time.fromisoformat(clock), ZONE)


NOW = at("07:40")
WRITTEN = at("07:00", DAY - timedelta(days=40))  # when the room was set up
ids = (UUID(int=n) for n in count(1))  # entry ids, in the order they are asked for


def a_room(key: str = "juniper-street", **changes: Any) -> m.Room:
    facts = {
        "name": "Juniper Street",
        "place": "Madison, Wisconsin",
        "latitude": 43.07,
        "longitude": -89.40,
        "timezone": "America/Chicago",
        "vet": "Dr. Ana Whitcomb, Marsh Road Animal Clinic",
        "vet_phone": "(608) 555-0177",
        "invented": True,
        "facts_changed": WRITTEN,
    }
    return m.Room.objects.create(key=key, **(facts | changes))


def a_person(room: m.Room, name: str, **changes: Any) -> m.Person:
    return m.Person.objects.create(room=room, written_at=WRITTEN, key=slugify(name), name=name, **changes)


def an_account(person: m.Person, password: str = "twelve crickets", **changes: Any) -> m.Account:
    """A sign-in for a person, named like them in lower case; real unless ``invented=True``."""
    account = m.Account.objects.create_user(person.key, password=password, **changes)
    person.account = account
    person.save(update_fields=["account"])
    return account


def a_shift(person: m.Person, day: date, start: str, end: str, **changes: Any) -> m.Shift:
    """Presence from one wall-clock time to another; an end not after the start is on the next day."""
    starts, ends = at(start, day), at(end, day)
    ends = ends if ends > starts else at(end, day + timedelta(days=1))
    facts = {"name": "opening" if starts.hour < 12 else "closing"} | changes
    return m.Shift.objects.create(
        room=person.room, written_at=WRITTEN, person=person, starts=starts, ends=ends, **facts
    )


def a_peak(room: m.Room, weekday: int, start: str, end: str, why: str = "doors open") -> m.Peak:
    return m.Peak.objects.create(
        room=room, written_at=WRITTEN, weekday=weekday, start=time.fromisoformat(start),
        end=time.fromisoformat(end), why=why,
    )  # fmt: skip


def a_timer(room: m.Room, name: str = "Dragons", on: str = "07:30", off: str = "20:00") -> m.Timer:
    """The named timer of the room, made when it is not there yet."""
    made, _ = m.Timer.objects.get_or_create(
        room=room, key=slugify(name),
        defaults={"name": name, "on": time.fromisoformat(on), "off": time.fromisoformat(off),
                  "written_at": WRITTEN},
    )  # fmt: skip
    return made


def a_rack(room: m.Room, name: str = "A", order: int | None = None) -> m.Rack:
    """The named rack of the room, made when it is not there yet."""
    made, _ = m.Rack.objects.get_or_create(
        room=room, key=slugify(name),
        defaults={"name": f"Rack {name}", "written_at": WRITTEN,
                  "order": order or m.Rack.objects.filter(room=room).count() + 1},
    )  # fmt: skip
    return made


def a_tank(
    room: m.Room, name: str, *, rack: m.Rack | None = None, timer: m.Timer | None = None, **changes: Any
) -> m.Tank:
    """A 30 × 12 × 12 in tank, next in walking order; rack A and the dragons' timer unless said otherwise."""
    rack = rack or a_rack(room)
    facts = {
        "order": m.Tank.objects.filter(rack=rack).count() + 1,
        "length_mm": 762,
        "depth_mm": 305,
        "height_mm": 305,
    } | changes
    return m.Tank.objects.create(
        room=room, written_at=WRITTEN, key=slugify(name), name=name, rack=rack,
        timer=timer or a_timer(room), **facts,
    )  # fmt: skip


def a_lamp(
    tank: m.Tank, kind: m.LampKind = m.LampKind.UV, fitted: date | None = None, **changes: Any
) -> m.Lamp:
    """What burns in one fixture of a tank: 'h1-uv', with a number from the second of its kind on."""
    others = m.Lamp.objects.filter(tank=tank, kind=kind, removed_on=None).count()
    facts = {"name": kind.label, "key": f"{tank.key}-{kind}" + (f"-{others + 1}" if others else "")} | changes
    return m.Lamp.objects.create(
        room=tank.room, written_at=WRITTEN, tank=tank, kind=kind, fitted_on=fitted, **facts
    )


def a_resident(tank: m.Tank, key: str, **changes: Any) -> m.Resident:
    """A resident with its open stay and its spell, as the desk would have written them."""
    facts = {"identity": "named", "kind": DRAGON, "status": "here", "status_since": WRITTEN} | changes
    made = m.Resident.objects.create(room=tank.room, written_at=WRITTEN, key=key, tank=tank, **facts)
    m.Stay.objects.create(
        room=tank.room, written_at=WRITTEN, resident=made, tank=tank, heads=made.heads, since=WRITTEN
    )
    m.Spell.objects.create(
        room=tank.room, written_at=WRITTEN, resident=made, status=made.status, heads=made.heads, since=WRITTEN
    )
    return made


def a_hatchling(tank: m.Tank, mark: str, **changes: Any) -> m.Resident:
    """A marked bearded-dragon hatchling eight weeks old. ``length_mm=``, ``gap_mm=`` and ``weight_g=`` are
    measured the day before; without them nothing is."""
    measured = {k: changes.pop(k) for k in ("length_mm", "gap_mm", "weight_g") if k in changes}
    facts = {"identity": "marked", "mark": mark, "hatched_on": date(2026, 4, 14)} | changes
    made = a_resident(tank, slugify(f"{tank.name} {mark}"), **facts)
    for measure, value in measured.items():
        a_measurement(made, measure, value)
    return made


def a_lot(tank: m.Tank, heads: int, lot: m.Lot | None = None, **changes: Any) -> m.Resident:
    """The unmarked animals of a lot in one tank, five weeks old; the lot is made when it is not given."""
    lot = lot or m.Lot.objects.create(
        room=tank.room, written_at=WRITTEN, key="may-lot", name="May lot", kind=DRAGON,
        arrived_on=date(2026, 5, 20), breeder="Prairie Fork Dragons", heads_arrived=max(heads, 1),
    )  # fmt: skip
    facts = {"identity": "unmarked", "lot": lot, "heads": heads, "hatched_on": date(2026, 5, 5)} | changes
    return a_resident(tank, slugify(f"{tank.name} unmarked"), **facts)


def an_adult(tank: m.Tank, name: str, kind: str = DRAGON, **changes: Any) -> m.Resident:
    """A named store animal hatched in 2022."""
    facts = {"name": name, "kind": kind, "status": "store animal", "hatched_on": date(2022, 5, 1)} | changes
    return a_resident(tank, slugify(name), **facts)


def a_measurement(
    resident: m.Resident, measure: str, value: float, when: datetime | None = None
) -> m.Measurement:
    when = when or at("15:00", DAY - timedelta(days=1))
    return m.Measurement.objects.create(
        room=resident.room, written_at=when, resident=resident, measure=measure, value=value, at=when
    )


def a_reading(tank: m.Tank, spot: str, value_c: float, when: datetime | None = None) -> m.Reading:
    when = when or at("14:00", DAY - timedelta(days=1))
    return m.Reading.objects.create(
        room=tank.room, written_at=when, tank=tank, spot=spot, value_c=value_c, at=when
    )


def a_tray(room: m.Room, name: str, tubs: int = 8, *, fits_mm: float = 260, **changes: Any) -> m.Tray:
    """A tray with its tubs: 'a-1' to 'a-8' on tray A."""
    facts = {"order": m.Tray.objects.filter(room=room).count() + 1} | changes
    tray = m.Tray.objects.create(
        room=room, written_at=WRITTEN, key=slugify(name), name=f"Tray {name}", **facts
    )
    for number in range(1, tubs + 1):
        m.Tub.objects.create(
            room=room, written_at=WRITTEN, key=f"{tray.key}-{number}", tray=tray, number=number,
            fits_mm=fits_mm,
        )  # fmt: skip
    return tray


def a_batch(
    room: m.Room, key: str, kind: str, on_hand: float, *, size_mm: float | None = None, **changes: Any
) -> m.Batch:
    """A batch received the day before with one ledger line (none when nothing is on hand)."""
    category = {"collard greens": "greens", "mouse": "rodent", "calcium": "powder"}.get(kind, "insect")
    facts = {"category": category, "name": f"{kind} {key}", "received_on": DAY - timedelta(days=1)} | changes
    batch = m.Batch.objects.create(
        room=room, written_at=WRITTEN, key=key, kind=kind, size_mm=size_mm, **facts
    )
    if on_hand:
        a_ledger_line(batch, on_hand, "received")
    return batch


def a_ledger_line(
    batch: m.Batch, change: float, reason: str = "fed", when: datetime | None = None, **changes: Any
) -> m.LedgerLine:
    when = when or at("09:00", batch.received_on)
    return m.LedgerLine.objects.create(
        room=batch.room, written_at=when, batch=batch, change=change, reason=reason, at=when, **changes
    )


def an_entry(room: m.Room, duty: str, kind: str = "done", **changes: Any) -> m.Entry:
    """What somebody said at 9:00 of the duty's day. ``by=`` is the person; ids count up from 1."""
    day = date.fromisoformat(duty[:10]) if duty[:4].isdigit() else DAY
    when = changes.pop("at", at("09:00", day))
    facts = {"id": next(ids), "day": day, "written_by": changes.pop("by", None)} | changes
    return m.Entry.objects.create(room=room, duty=duty, kind=kind, at=when, written_at=when, **facts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Morning:
    """What ``an_ordinary_morning`` made, by name."""

    room: m.Room
    tamsin: m.Person
    oskar: m.Person
    lupe: m.Person
    tanks: dict[str, m.Tank]
    residents: dict[str, m.Resident]


def an_ordinary_morning() -> Morning:
    """A small whole room: eight marked hatchlings, a lot of five, an adult of each kind, one in quarantine,
    two openers and a closer, a clean tray of eight tubs, a quarantine tray of four, food for the day."""
    room = a_room()
    tamsin = a_person(room, "Tamsin", role="manager")
    oskar, lupe = a_person(room, "Oskar"), a_person(room, "Lupe")
    a_shift(tamsin, DAY, "07:30", "13:30")
    a_shift(oskar, DAY, "07:30", "13:30")
    a_shift(lupe, DAY, "13:30", "20:30")
    a_peak(room, DAY.weekday(), "10:00", "10:30")
    tanks = _tanks(room)
    residents = {each.key: each for each in _residents(tanks)}
    a_tray(room, "A", tubs=8)
    a_tray(room, "Q", tubs=4, quarantine=True)
    _foods(room)
    return Morning(room=room, tamsin=tamsin, oskar=oskar, lupe=lupe, tanks=tanks, residents=residents)


def _tanks(room: m.Room) -> dict[str, m.Tank]:
    a, b, q = a_rack(room, "A"), a_rack(room, "B"), a_rack(room, "Q")
    evening = a_timer(room, "Evening kinds", "08:30", "19:30")
    made = [a_tank(room, name, rack=a) for name in ("H1", "H2", "H5")]
    made += [
        a_tank(room, "Marlow", rack=b, length_mm=1219, depth_mm=610),
        a_tank(room, "Sorrel", rack=b, timer=evening),
        a_tank(room, "Pilot", rack=b, timer=evening, length_mm=1219),
        a_tank(room, "Clover", rack=b, length_mm=1829, depth_mm=914),
        a_tank(room, "Q1", rack=q, quarantine=True),
    ]
    tanks = {tank.key: tank for tank in made}
    for key in ("h1", "h2", "h5", "marlow", "q1"):
        a_reading(tanks[key], "basking", 40.0)
        a_reading(tanks[key], "cool", 28.0)
    return tanks


def _residents(tanks: dict[str, m.Tank]) -> list[m.Resident]:
    sizes = {"length_mm": 170, "gap_mm": 8.0, "weight_g": 16.4}
    made = [a_hatchling(tanks[key], mark, **sizes) for key in ("h1", "h2") for mark in MARKS]
    lot = a_lot(tanks["h5"], 5)
    marlow = an_adult(tanks["marlow"], "Marlow")
    sorrel = an_adult(tanks["sorrel"], "Sorrel", GECKO, last_fed_on=DAY - timedelta(days=2))
    pilot = an_adult(tanks["pilot"], "Pilot", CORN, last_fed_on=DAY - timedelta(days=7))
    clover = an_adult(tanks["clover"], "Clover", TORTOISE)
    new = a_hatchling(tanks["q1"], "one dot", status="quarantine", **sizes)
    for resident, measure, value in (
        (marlow, "length_mm", 480), (marlow, "weight_g", 420), (sorrel, "gap_mm", 12),
        (sorrel, "weight_g", 62), (pilot, "girth_mm", 22), (pilot, "weight_g", 410),
        (clover, "weight_g", 900),
    ):  # fmt: skip
        a_measurement(resident, measure, value)
    return [*made, lot, marlow, sorrel, pilot, clover, new]


def _foods(room: m.Room) -> None:
    a_batch(room, "c-118", "cricket", 600, size_mm=6, name="Crickets ¼ in")
    a_batch(room, "c-117", "cricket", 400, size_mm=3, name="Crickets ⅛ in")
    a_batch(room, "r-42", "roach", 300, size_mm=10, name="Roaches ⅜ in")
    a_batch(room, "g-9", "collard greens", 1400, unit="g", name="Collard greens")
    a_batch(room, "m-7", "mouse", 6, size_mm=20, name="Mice, adult")
    a_batch(room, "p-3", "calcium", 200, unit="g", name="Calcium, no D3")
