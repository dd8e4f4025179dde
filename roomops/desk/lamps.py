"""The lamps' hand: blown, replaced from the shelf, written down as it hangs, taken off.

A fixture keeps its name; what burns in it comes and goes, each with the day it was fitted. No more watts than
a fixture is made for ever go into it, whatever a page sends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.utils.text import slugify

from roomops.desk import stock
from roomops.desk.day_types import Day
from roomops.desk.entries import Said, id_from, say_or_refuse
from roomops.desk.lamp_rules import FITS, TYPES, Fit, Fixture, fit
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.husbandry.lamps import WattsVerdict, watts_check
from roomops.planning.room import DutyKind
from roomops.records.models import Batch, EntryKind, Lamp, LampKind, LedgerLine, Person, Room, Tank, Timer

KEY_MOST = 40
WATTS_MOST = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging:
    """A lamp as somebody writes it down. ``tanks`` are those that the page named: a lamp hangs on one."""

    tanks: Sequence[str]
    kind: str
    type: str
    name: str
    watts: int | None
    rated_watts: int | None
    thermostat: bool
    probe: bool
    fitted_on: date | None
    key: str = ""  # what is written on the fixture; made from tank and kind where it is empty


def hang(*, room: Room, hanging: Hanging, now: datetime, by: Person | None) -> Lamp:
    """A fixture hangs on a tank from now on.

    Refused: LAMP_TAKEN (on two tanks), UNKNOWN_TANK, WRONG_LAMP, OVER_RATING, FUTURE_DATE, MISSING,
    OUT_OF_RANGE.
    """
    _checked(hanging=hanging, today=now.date())
    with transaction.atomic():
        hold(room=room)
        tank = _one_tank(room=room, tanks=hanging.tanks, key=hanging.key)
        row = Lamp.objects.create(
            room=room, tank=tank, key=_key(room=room, tank=tank, hanging=hanging), kind=hanging.kind,
            written_at=now, written_by=by, **_as_written(hanging),
        )  # fmt: skip
        facts_changed(room=room, now=now)
    return row


def write_down(*, room: Room, lamp: str, hanging: Hanging, now: datetime, by: Person | None) -> Lamp:
    """Mend what is written of a fixture and what burns in it; ``hanging.tanks`` may name another tank.

    Refused: as ``hang``, and UNKNOWN_LAMP.
    """
    _checked(hanging=hanging, today=now.date())
    with transaction.atomic():
        hold(room=room)
        row = _lamp(room=room, key=lamp)
        row.tank = _one_tank(room=room, tanks=hanging.tanks, key=row.key)
        row.kind = hanging.kind
        for name, value in _as_written(hanging).items():
            setattr(row, name, value)
        _keep(row, now=now, by=by)
        facts_changed(room=room, now=now)
    return row


def blown(*, room: Room, lamp: str, now: datetime, by: Person | None) -> None:
    """It has blown: what it heats is cold from now on. The first word stands. Refused: UNKNOWN_LAMP."""
    with transaction.atomic():
        hold(room=room)
        row = _lamp(room=room, key=lamp)
        if row.blown_at is None:
            row.blown_at = now
            _keep(row, now=now, by=by)
            facts_changed(room=room, now=now)


def not_blown(*, room: Room, lamp: str, now: datetime, by: Person | None) -> None:
    """It burns after all: a loose plug, a timer. Refused: UNKNOWN_LAMP."""
    with transaction.atomic():
        hold(room=room)
        row = _lamp(room=room, key=lamp)
        row.blown_at = None
        _keep(row, now=now, by=by)
        facts_changed(room=room, now=now)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A lamp is changed for a spare off the shelf. ``seen`` is the row id of what hung there on the page."""

    lamp: str
    spare: str  # key of its batch
    seen: int


def replace(*, day: Day, change: Change, form: UUID, by: Person) -> Lamp:
    """Put a spare in: one leaves the shelf, the old one is off, and today's duty to replace it is done.

    Refused: UNKNOWN_LAMP (also: somebody changed it first), UNKNOWN_BATCH, NO_RATING, OVER_RATING, NO_FIT,
    MORE_THAN_THERE.
    """
    room, now = day.room, day.now
    with transaction.atomic():
        hold(room=room)
        old = _lamp(room=room, key=change.lamp)
        if LedgerLine.objects.filter(room=room, form=form).exists():
            return old  # pressed twice: what hangs there is the new one already
        if old.pk != change.seen:
            raise Refused(No.UNKNOWN_LAMP, value=change.lamp)
        spare = Batch.objects.filter(room=room, key=change.spare).first()
        if spare is None:
            raise Refused(No.UNKNOWN_BATCH, value=change.spare)
        _fits(old=old, spare=spare)
        stock.use_one(batch=spare, form=form, now=now, by=by, note=f"into {old.key}")
        new = _swap(old=old, spare=spare, now=now, by=by)
        facts_changed(room=room, now=now)
        _duty_done(day=day, lamp=change.lamp, by=by, form=form)
    return new


def take_off(*, room: Room, lamp: str, now: datetime, by: Person | None) -> None:
    """The fixture hangs there no more. Refused: UNKNOWN_LAMP."""
    with transaction.atomic():
        hold(room=room)
        row = _lamp(room=room, key=lamp)
        row.removed_on = now.date()
        _keep(row, now=now, by=by)
        facts_changed(room=room, now=now)


def burns_with(*, room: Room, lamp: str, timer: str, now: datetime, by: Person | None) -> None:
    """A UV lamp burns by that timer: the tank's own, or another. Refused: UNKNOWN_LAMP, UNKNOWN_TIMER."""
    with transaction.atomic():
        hold(room=room)
        row = _lamp(room=room, key=lamp)
        found = Timer.objects.filter(room=room, key=timer).first()
        if found is None:
            raise Refused(No.UNKNOWN_TIMER, value=timer)
        row.timer = found
        _keep(row, now=now, by=by)
        facts_changed(room=room, now=now)


# ---------------------------------------------------------------- what cannot be


def _checked(*, hanging: Hanging, today: date) -> None:
    kinds = dict(LampKind.choices)
    if hanging.kind not in kinds:
        raise Refused(No.MISSING, name="kind of lamp")
    allowed = TYPES[hanging.kind]
    if hanging.type not in set(allowed):
        names = tuple(each.label for each in allowed)
        raise Refused(No.WRONG_LAMP, value=hanging.type, what=kinds[hanging.kind], allowed=names)
    for name, watts in (("watts", hanging.watts), ("watts of the fixture", hanging.rated_watts)):
        if watts is not None and not 1 <= watts <= WATTS_MOST:
            raise Refused(No.OUT_OF_RANGE, name=name, value=watts, least=1, most=WATTS_MOST)
    if hanging.watts is not None:
        check = watts_check(watts=hanging.watts, rated_w=hanging.rated_watts)
        if check.verdict is WattsVerdict.OVER:
            raise Refused(No.OVER_RATING, value=hanging.watts, most=hanging.rated_watts)
    if hanging.fitted_on is not None and hanging.fitted_on > today:
        raise Refused(No.FUTURE_DATE, name="day it was fitted", value=hanging.fitted_on)


def _one_tank(*, room: Room, tanks: Sequence[str], key: str) -> Tank:
    named = list(dict.fromkeys(tanks))
    if not named:
        raise Refused(No.MISSING, name="tank")
    rows = {tank.key: tank for tank in Tank.objects.filter(room=room, key__in=named, removed_on__isnull=True)}
    for name in named:
        if name not in rows:
            raise Refused(No.UNKNOWN_TANK, value=name)
    if len(named) > 1:
        raise Refused(No.LAMP_TAKEN, value=key or "new", tank=rows[named[0]].name)
    return rows[named[0]]


def _key(*, room: Room, tank: Tank, hanging: Hanging) -> str:
    live = Lamp.objects.filter(room=room, removed_on__isnull=True).select_related("tank")
    taken = {lamp.key: lamp.tank.name for lamp in live}
    wanted = slugify(hanging.key)[:KEY_MOST]
    if wanted in taken:
        raise Refused(No.LAMP_TAKEN, value=wanted, tank=taken[wanted])
    stem = f"{tank.key[: KEY_MOST - 10]}-{hanging.kind}"
    numbered = (stem if n == 1 else f"{stem}-{n}" for n in range(1, len(taken) + 2))
    return wanted or next(key for key in numbered if key not in taken)


def _fits(*, old: Lamp, spare: Batch) -> None:
    fixture = Fixture(type=old.type, watts=old.watts, rated_watts=old.rated_watts)
    found = fit(fixture=fixture, kind=spare.kind, watts=spare.watts)
    if found in FITS:
        return
    if found is Fit.NO_RATING:
        raise Refused(No.NO_RATING)
    if found is Fit.OVER:
        raise Refused(No.OVER_RATING, value=spare.watts, most=old.rated_watts)
    raise Refused(No.NO_FIT, value=spare.name, allowed=f"{old.name} hangs there")


# ---------------------------------------------------------------- rows


def _lamp(*, room: Room, key: str) -> Lamp:
    row = Lamp.objects.filter(room=room, key=key, removed_on__isnull=True).select_related("tank").first()
    if row is None:
        raise Refused(No.UNKNOWN_LAMP, value=key)
    return row


def _as_written(hanging: Hanging) -> dict[str, object]:
    return {
        "type": hanging.type,
        "name": hanging.name,
        "watts": hanging.watts,
        "rated_watts": hanging.rated_watts,
        "thermostat": hanging.thermostat,
        "probe": hanging.probe,
        "fitted_on": hanging.fitted_on,
    }


def _swap(*, old: Lamp, spare: Batch, now: datetime, by: Person | None) -> Lamp:
    """The old row ends today, a new one of the same fixture begins."""
    old.removed_on = now.date()
    _keep(old, now=now, by=by)
    return Lamp.objects.create(
        room=old.room, tank=old.tank, key=old.key, kind=old.kind, type=old.type, name=spare.name,
        timer=old.timer, watts=spare.watts, rated_watts=old.rated_watts, thermostat=old.thermostat,
        probe=old.probe, fitted_on=now.date(), written_at=now, written_by=by,
    )  # fmt: skip


def _keep(row: Lamp, *, now: datetime, by: Person | None) -> None:
    row.written_at, row.written_by = now, by
    row.save()


def _duty_done(*, day: Day, lamp: str, by: Person, form: UUID) -> None:
    """Say that today's duty is done where there is one: replaced is replaced, planned or not."""
    due = [
        key
        for key, duty in day.duties.items()
        if duty.kind is DutyKind.LAMP and duty.subject == lamp and key not in day.state.duties
    ]
    said = [Said(id=id_from(form=form, duty=key), duty=key, kind=EntryKind.DONE) for key in due]
    if said:
        say_or_refuse(day=day, by=by, said=said)
