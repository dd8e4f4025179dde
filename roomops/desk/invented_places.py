"""The invented room's people and places: who works when, racks and tanks, lamps, trays."""

from __future__ import annotations

from datetime import date, time, timedelta

from django.contrib.auth.hashers import make_password

from roomops.desk.invented_facts import Staff, Tanks, facts
from roomops.desk.invented_world import World
from roomops.records import models as m


def new_world(*, today: date) -> World:
    """Return a world that holds nothing but its room, last changed when yesterday's people went home."""
    all_facts = facts()
    room = m.Room(**all_facts.room, invented=True)
    world = World(today=today, facts=all_facts, room=room)
    room.facts_changed = world.at(1, "20:25")
    world.rows[m.Room].append(room)
    return world


def add_people(*, world: World) -> None:
    """People with accounts that only a demonstration lets in, their rota, and the shop's peaks."""
    for staff in world.facts.people:
        world.people[staff.key] = _person(world, staff)
    for ago in range(world.facts.history_days, -world.facts.rota_days - 1, -1):
        for name, hours in world.facts.shifts.items():
            _shifts(world, ago, name, hours)
    for peak in world.facts.peaks:
        for weekday in peak.days:
            start, end = time.fromisoformat(peak.start), time.fromisoformat(peak.end)
            world.set_up(m.Peak, weekday=weekday, start=start, end=end, why=peak.why)
    for choice in world.facts.choices:
        world.set_up(m.CareChoice, **choice)


def _person(world: World, staff: Staff) -> m.Person:
    account = m.Account(
        username=staff.key,
        first_name=staff.name,
        password=make_password(staff.password),
        invented=True,
        date_joined=world.at(world.facts.set_up, "09:00"),
    )
    world.rows[m.Account].append(account)
    return world.add(
        m.Person,
        written_at=account.date_joined,
        by=None,  # the first people of a room have nobody before them
        key=staff.key,
        name=staff.name,
        role=staff.role,
        account=account,
        may_quarantine=staff.may_quarantine,
    )


def _shifts(world: World, ago: int, name: str, hours: tuple[str, str]) -> None:
    for key in world.facts.rota[name][world.day(ago).weekday()]:
        world.set_up(
            m.Shift,
            person=world.people[key],
            starts=world.at(ago, hours[0]),
            ends=world.at(ago, hours[1]),
            name=name,
        )


def add_places(*, world: World) -> None:
    """Timers, racks and tanks in walking order with their lamps, trays with their tubs."""
    timers = {
        timer.key: world.set_up(
            m.Timer,
            key=timer.key,
            name=timer.name,
            on=time.fromisoformat(timer.on),
            off=time.fromisoformat(timer.off),
        )
        for timer in world.facts.timers
    }
    for season in world.facts.seasons:
        world.set_up(
            m.TimerSeason,
            timer=timers[season.timer],
            from_month=season.begins[0],
            from_day=season.begins[1],
            on=time.fromisoformat(season.on),
            off=time.fromisoformat(season.off),
        )
    racks = {
        rack.key: world.set_up(m.Rack, key=rack.key, name=rack.name, order=order)
        for order, rack in enumerate(world.facts.racks, start=1)
    }
    for tanks in world.facts.tanks:
        for name in tanks.names:
            _tank(world, name, tanks, racks[tanks.rack], timers[tanks.timer])
    for order, tray in enumerate(world.facts.trays, start=1):
        made = world.set_up(m.Tray, key=tray.key, name=tray.name, order=order, quarantine=tray.quarantine)
        for number in range(1, tray.tubs + 1):
            world.set_up(m.Tub, key=f"{tray.key}-{number}", tray=made, number=number, fits_mm=tray.fits_mm)


def _tank(world: World, name: str, tanks: Tanks, rack: m.Rack, timer: m.Timer) -> None:
    length_mm, depth_mm, height_mm = world.facts.sizes[tanks.size]
    key = name.lower()
    order = 1 + sum(1 for each in world.tanks.values() if each.rack is rack)
    world.tanks[key] = world.set_up(
        m.Tank,
        key=key,
        name=name,
        rack=rack,
        order=order,
        timer=timer,
        length_mm=length_mm,
        depth_mm=depth_mm,
        height_mm=height_mm,
        quarantine=tanks.quarantine,
    )
    _lamps(world, world.tanks[key], uv=tanks.uv)


def _lamps(world: World, tank: m.Tank, *, uv: bool) -> None:
    lamps, wrong = world.facts.lamps, world.facts.wrong
    for kind in (m.LampKind.DAY, m.LampKind.UV, m.LampKind.NIGHT):
        if kind is m.LampKind.UV and not uv:
            continue
        fitted = world.random(f"lamp {tank.key} {kind}").randint(*lamps["fitted"])
        for odd in ("uv_overdue", "uv_soon"):
            if kind is m.LampKind.UV and tank.key == wrong[odd]:
                fitted = wrong[f"{odd}_fitted"]
        world.set_up(
            m.Lamp,
            tank=tank,
            key=f"{tank.key}-{kind.value}",
            kind=kind.value,
            type=lamps[f"{kind}_type"],
            name=lamps[f"{kind}_name"],
            watts=lamps[f"{kind}_watts"],
            rated_watts=lamps[f"{kind}_rated"],
            thermostat=kind is not m.LampKind.UV,
            probe=kind is not m.LampKind.UV
            and (kind is not m.LampKind.NIGHT or tank.key != wrong["no_probe"]),
            fitted_on=world.today - timedelta(days=fitted),
        )
