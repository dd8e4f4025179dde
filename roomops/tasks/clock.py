"""The one clock. Only doors (screens, tasks, commands) look at it and hand `now` and `today` down."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils import timezone


def now(*, zone: ZoneInfo) -> datetime:
    """The moment in the room's own time zone.

    A demonstration with ROOMOPS_TODAY keeps the time of day and pretends that date; a real room never does.
    """
    moment = timezone.now().astimezone(zone)
    if settings.DEMO_TODAY is None:
        return moment
    return moment + timedelta(days=(settings.DEMO_TODAY - moment.date()).days)


def today(*, zone: ZoneInfo) -> date:
    """The date on the room's wall calendar."""
    return now(zone=zone).date()
