"""Sign-ins that failed, and how long the next one waits.

Locked by name and address together: one clumsy tablet does not lock the whole store, and a stranger elsewhere
cannot lock somebody out by typing their name. An address alone is held back only after many failures with any
names. Behind a proxy all addresses are the proxy's: then a name is locked for everybody.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from roomops.records.models import Account, Person, RefusedSignIn

COOL_OFF = timedelta(minutes=15)
MOST_BY_NAME = 5  # failures of one name from one address within the cool-off
MOST_BY_ADDRESS = 40  # failures of one address with any names within the cool-off
KEPT = timedelta(days=1)


def wait_minutes(*, name: str, address: str | None, now: datetime) -> int:
    """Minutes until this name may be tried again from this address; 0: it may be tried now."""
    recent = RefusedSignIn.objects.filter(at__gt=now - COOL_OFF, at__lte=now, address=address).order_by("-at")
    by_name = recent.filter(name=_plain(name))
    return max(_wait(by_name, MOST_BY_NAME, now), _wait(recent, MOST_BY_ADDRESS, now))


def refused(*, name: str, address: str | None, now: datetime) -> None:
    """Keep that a sign-in failed; what is older than a day goes."""
    RefusedSignIn.objects.filter(at__lt=now - KEPT).delete()
    RefusedSignIn.objects.create(name=_plain(name), address=address, at=now)


def signed_in(*, name: str, address: str | None) -> None:
    """A sign-in went well: its own failures from there count no more."""
    RefusedSignIn.objects.filter(name=_plain(name), address=address).delete()


def people_of(*, account: Account, now: datetime) -> tuple[Person, ...]:
    """The people that an account is, one a room, by the room's key; whoever has left a room is not in it."""
    found = Person.objects.filter(account=account).select_related("room").order_by("room__key")
    return tuple(person for person in found if not _has_left(person, now))


def _has_left(person: Person, now: datetime) -> bool:
    today = now.astimezone(ZoneInfo(person.room.timezone)).date()
    return person.left_on is not None and person.left_on < today


def _plain(name: str) -> str:
    return name.strip().lower()[:150]


def _wait(failures: QuerySet[RefusedSignIn], most: int, now: datetime) -> int:
    """Minutes, rounded up, until fewer than ``most`` failures (newest first) lie within the cool-off."""
    times = list(failures.values_list("at", flat=True)[:most])
    if len(times) < most:
        return 0
    left = times[-1] + COOL_OFF - now
    return max(1, -(-int(left.total_seconds()) // 60))
