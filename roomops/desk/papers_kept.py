"""Printed sets as they were: kept once by their code, found again by what is on them."""

from __future__ import annotations

from datetime import date, datetime

from django.db import IntegrityError, transaction

from roomops.records.models import PaperSet, Person, Room


def found(*, room: Room, day: date, shift: str, digest: str) -> PaperSet | None:
    """Return the newest set with exactly this on it, so that it is not made again."""
    return PaperSet.objects.filter(room=room, day=day, shift=shift, digest=digest).order_by("-pk").first()


def editions(*, room: Room, day: date, shift: str, version: int) -> int:
    """Return how many sets were made for this shift from this version of the plan."""
    return PaperSet.objects.filter(room=room, day=day, shift=shift, plan__version=version).count()


def keep(
    *,
    room: Room,
    day: date,
    shift: str,
    code: str,
    plan_id: int | None,
    digest: str,
    pages: int,
    pdf: bytes,
    now: datetime,
    by: Person | None = None,
) -> PaperSet | None:
    """Keep a set under its code. None when another set took the code first: make it again under the next."""
    try:
        with transaction.atomic():
            return PaperSet.objects.create(
                room=room, day=day, shift=shift, code=code, plan_id=plan_id, digest=digest, pages=pages,
                pdf=pdf, written_at=now, written_by=by,
            )  # fmt: skip
    except IntegrityError:
        return PaperSet.objects.filter(room=room, code=code, digest=digest).first()


def of_day(*, room: Room, day: date) -> tuple[PaperSet, ...]:
    """Return the day's sets, newest first, without their bytes."""
    return tuple(PaperSet.objects.filter(room=room, day=day).defer("pdf").order_by("-pk"))


def coded(*, room: Room, code: str) -> PaperSet | None:
    """Return the set of a code."""
    return PaperSet.objects.filter(room=room, code=code).first()
