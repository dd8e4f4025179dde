"""Plans by version: made once, kept once, read by everybody."""

from __future__ import annotations

from datetime import date, datetime

from roomops.records.models import PlanVersion, Room


def plan_for(*, room: Room, day: date, now: datetime) -> PlanVersion:
    """Return the newest plan of the day; make version 1 when there is none. The loser of a race reads the winner."""
    raise NotImplementedError


def improve(*, room: Room, day: date, now: datetime) -> PlanVersion | None:
    """Work out the better plan; keep it as the next version if nothing has begun and the verifier passes it."""
    raise NotImplementedError


def replan(*, room: Room, day: date, now: datetime) -> PlanVersion:
    """Make the next version from the facts as they are now; what has begun stays as it is."""
    raise NotImplementedError
