"""Make the invented room in an empty database: for a demonstration, for pictures, for trying things out."""

from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser

from roomops.desk.invented import NotEmptyError, make, sign_ins
from roomops.desk.invented_facts import facts
from roomops.tasks.choose import the_day


class Command(BaseCommand):
    help = (
        "Make Juniper Street Reptile Room, all invented, in the empty database that DATABASE_URL names, and "
        "print who may sign in to a demonstration."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--today", metavar="DATE", help="the day that it is there, as 2026-06-09; without: today"
        )

    def handle(self, *args: Any, today: str | None, **options: Any) -> None:
        day = the_day(text=today, zone=ZoneInfo(facts().room["timezone"]))
        try:
            room = make(today=day)
        except NotEmptyError as error:
            raise CommandError(str(error)) from None
        self.stdout.write(f"{room.name}, {room.place}: invented. Sign in with a name and its words:")
        for each in sign_ins():
            self.stdout.write(f"  {each.name:<8} {each.password:<24} {each.role}")
        if not settings.DEMO:
            self.stderr.write("These accounts are refused until the server runs with ROOMOPS_DEMO=yes.")
