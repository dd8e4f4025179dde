"""What commands have in common: which room is meant, and which day."""

from datetime import date
from zoneinfo import ZoneInfo

from django.core.management.base import CommandError

from roomops.records.models import Room
from roomops.tasks import clock


def the_room(*, key: str | None) -> Room:
    """Return the room of a key, or the only one there is. Raises CommandError in one sentence."""
    rooms = {room.key: room for room in Room.objects.order_by("key")}
    known = ", ".join(rooms)
    if not rooms:
        raise CommandError("This database holds no room yet: make one first.")
    if key is None and len(rooms) > 1:
        raise CommandError(f"This database holds several rooms: say which with --room, one of {known}.")
    if key is not None and key not in rooms:
        raise CommandError(f"There is no room “{key}” in this database, only {known}.")
    return rooms[key] if key else next(iter(rooms.values()))


def the_day(*, text: str | None, zone: ZoneInfo) -> date:
    """Return the day that is meant: today in the zone when nothing is said. Raises CommandError."""
    if text is None:
        return clock.today(zone=zone)
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise CommandError(f"“{text}” is no date: write it as 2026-06-09.") from None
