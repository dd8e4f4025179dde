"""Plan a day and keep the plan as a version, as opening its first page would."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandParser

from roomops.desk import plans
from roomops.desk.documents import plan_of
from roomops.records.models import PlanVersion
from roomops.tasks import clock
from roomops.tasks.choose import the_day, the_room


class Command(BaseCommand):
    help = "Make the day's plan if it has none, checked by the verifier, and say what it holds."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--date", metavar="DATE", help="as 2026-06-09; without: today")
        parser.add_argument("--room", metavar="KEY", help="where the database holds several rooms")
        parser.add_argument(
            "--improve", action="store_true", help="work out the better plan too, if nothing has begun"
        )
        parser.add_argument(
            "--again", action="store_true", help="plan what has not begun again from the facts as they are"
        )

    def handle(
        self, *args: Any, date: str | None, room: str | None, improve: bool, again: bool, **options: Any
    ) -> None:
        here = the_room(key=room)
        zone = ZoneInfo(here.timezone)
        day, now = the_day(text=date, zone=zone), clock.now(zone=zone)
        row = plans.plan_for(room=here, day=day, now=now)
        if again:
            row = plans.replan(room=here, day=day, now=now)
        if improve:
            row = plans.improve(room=here, day=day, now=now) or row
        self.stdout.write(f"{here.name}, {day}: {_words(row)}")


def _words(row: PlanVersion) -> str:
    plan = plan_of(row=row)
    kept = f"plan {row.version} ({row.method}), {len(plan.rounds)} rounds for {len(plan.duties)} duties"
    short = f", {len(plan.unplaced)} did not fit" if plan.unplaced else ""
    return f"{kept}{short}. {row.note}".strip() if row.note else f"{kept}{short}."
