"""Sun outdoors for store animals: the weather in ten seconds, who is owed, out into a pen, in again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils.text import slugify

from roomops.desk.day_types import Day
from roomops.desk.entries import Said, say
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import facts_changed, hold
from roomops.desk.sun_view import STALE_H, fed_wait_min, weather_of
from roomops.husbandry import outdoors as husbandry
from roomops.husbandry.outdoors import Reason, fit_for_sun
from roomops.planning.room import DutyKind, Status
from roomops.planning.room import Resident as Animal
from roomops.records.models import Entry, EntryKind, Pen, Person, Resident, Room, SunSession, Weather, Wind
from roomops.records.models import Sky as SkySeen
from roomops.records.snapshot_outside import outside

LOOKED = ("watched", "shade", "hide", "lid", "water", "floor_felt", "no_glass")
"""What is looked at before an animal goes out, each pressed by hand."""


def say_weather(*, room: Room, temp_c: float, sky: str, wind: str, now: datetime, by: Person) -> Weather:
    """Keep what somebody saw outdoors. Refused: OUT_OF_RANGE, MISSING."""
    if not -60 <= temp_c <= 60:
        raise Refused(No.OUT_OF_RANGE, name="outdoor temperature", value=temp_c, least=-60, most=60)
    if sky not in SkySeen.values:
        raise Refused(No.MISSING, name="sky")
    if wind not in Wind.values:
        raise Refused(No.MISSING, name="wind")
    with transaction.atomic():
        hold(room=room)
        row = Weather.objects.create(
            room=room, at=now, temp_c=temp_c, sky=sky, wind=wind, written_at=now, written_by=by
        )
        facts_changed(room=room, now=now)
    return row


@dataclass(frozen=True, slots=True, kw_only=True)
class Going:
    """An animal on its way out. ``looked`` are the words of ``LOOKED`` that were pressed."""

    resident: str
    pen: str
    looked: Sequence[str]
    floor_c: float | None = None


def go_out(*, day: Day, going: Going, by: Person) -> SunSession:
    """A session begins now. Nothing is kept unless weather, animal, pen and everything looked at allow it.

    Refused: UNKNOWN_RESIDENT, OUTDOORS_NOW, UNKNOWN_PEN, PEN_TAKEN, NO_WEATHER, JUST_FED, NOT_FIT with every
    reason (winter, wind, a floor not felt, nobody who watches, behind glass …).
    """
    with transaction.atomic():
        hold(room=day.room)
        animal = next((each for each in day.facts.residents if each.key == going.resident), None)
        row = Resident.objects.filter(room=day.room, key=going.resident).first()
        if animal is None or row is None:
            raise Refused(No.UNKNOWN_RESIDENT, value=going.resident)
        open_ones = list(SunSession.objects.filter(room=day.room, ends=None).select_related("resident__tank"))
        if any(each.resident_id == row.pk for each in open_ones):
            raise Refused(No.OUTDOORS_NOW, value=animal.name)
        pen = _free_pen(day=day, key=going.pen, open_ones=open_ones)
        _may_go(day=day, animal=animal, going=going)
        return SunSession.objects.create(
            room=day.room, resident=row, pen=pen, starts=day.now, written_at=day.now, written_by=by
        )


def _free_pen(*, day: Day, key: str, open_ones: Sequence[SunSession]) -> Pen:
    pen = Pen.objects.filter(room=day.room, key=key, out_of_use=False).first()
    if pen is None:
        raise Refused(No.UNKNOWN_PEN, value=key)
    for each in open_ones:
        if each.pen_id == pen.pk:
            raise Refused(No.PEN_TAKEN, value=pen.name, who=day.label("resident", each.resident.key))
    return pen


def _may_go(*, day: Day, animal: Animal, going: Going) -> None:
    weather = weather_of(day)
    if weather is None or day.now - weather.at > timedelta(hours=STALE_H):
        raise Refused(No.NO_WEATHER, hours=STALE_H)
    wait = fed_wait_min(day=day, resident=animal.key)
    if wait:
        raise Refused(No.JUST_FED, value=animal.name, minutes=wait)
    care = next(each for each in day.facts.care if (each.kind, each.stage) == (animal.kind, animal.stage))
    verdict = fit_for_sun(
        care=care,
        outside=outside(room=day.room, weather=weather, moment=day.now),
        pen=_pen_as_seen(going),
        store_animal=animal.status is Status.STORE,
    )
    if not verdict.fit:
        raise Refused(No.NOT_FIT, value=animal.name, reasons=verdict.reasons)


def _pen_as_seen(going: Going) -> husbandry.Pen:
    looked: Mapping[str, bool] = {name: name in going.looked for name in LOOKED}
    return husbandry.Pen(
        watched=looked["watched"],
        shade=looked["shade"],
        hide=looked["hide"],
        lid=looked["lid"],
        water=looked["water"],
        floor_felt=looked["floor_felt"],
        floor_c=going.floor_c,
        behind_glass=not looked["no_glass"],
    )


def come_in(*, day: Day, session: int, by: Person, form: UUID, note: str = "") -> SunSession:
    """The session ends now, and its duty is done. A second press changes nothing. Refused: NOT_OUTDOORS."""
    with transaction.atomic():
        hold(room=day.room)
        row = SunSession.objects.filter(room=day.room, pk=session).select_related("resident").first()
        if row is None:
            raise Refused(No.NOT_OUTDOORS, value=str(session))
        if row.ends is not None:
            return row
        key = f"{day.day.isoformat()}/{DutyKind.SUN.value}/{row.resident.key}/0"
        said = Said(id=form, duty=key, kind=EntryKind.DONE, data={"session": row.pk})
        if row.starts >= day.midnight:
            say(room=day.room, by=by, said=[said], now=day.now)
        row.ends, row.note = day.now, note
        row.entry = Entry.objects.filter(room=day.room, id=form).first()
        row.written_at, row.written_by = day.now, by
        row.save(update_fields=["ends", "note", "entry", "written_at", "written_by"])
        facts_changed(room=day.room, now=day.now)
    return row


# ---------------------------------------------------------------- pens


def add_pen(*, room: Room, name: str, now: datetime, by: Person) -> Pen:
    """Write down a pen with lid, shade and hide. One that was put away comes back. Refused: MISSING."""
    if not name:
        raise Refused(No.MISSING, name="name of the pen")
    key = slugify(name)[:50] or "pen"
    with transaction.atomic():
        hold(room=room)
        there = Pen.objects.filter(room=room, key=key).first()
        if there is not None:
            there.out_of_use, there.written_at, there.written_by = False, now, by
            there.save(update_fields=["out_of_use", "written_at", "written_by"])
            facts_changed(room=room, now=now)
            return there
        order = Pen.objects.filter(room=room).count() + 1
        made = Pen.objects.create(room=room, key=key, name=name, order=order, written_at=now, written_by=by)
        facts_changed(room=room, now=now)
    return made


def pen_out_of_use(*, room: Room, key: str, now: datetime, by: Person) -> None:
    """A pen is broken or put away. Refused: UNKNOWN_PEN, PEN_TAKEN while an animal is in it."""
    with transaction.atomic():
        hold(room=room)
        pen = Pen.objects.filter(room=room, key=key, out_of_use=False).first()
        if pen is None:
            raise Refused(No.UNKNOWN_PEN, value=key)
        if SunSession.objects.filter(pen=pen, ends=None).exists():
            raise Refused(No.PEN_TAKEN, value=pen.name, who="An animal")
        pen.out_of_use, pen.written_at, pen.written_by = True, now, by
        pen.save(update_fields=["out_of_use", "written_at", "written_by"])
        facts_changed(room=room, now=now)


def no_reasons(no: Refused, /) -> tuple[Reason, ...]:
    """Return the typed reasons of a refusal NOT_FIT; () for another."""
    reasons = no.about.get("reasons", ())
    return tuple(r for r in reasons if isinstance(r, Reason)) if isinstance(reasons, tuple) else ()
