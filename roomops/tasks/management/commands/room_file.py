"""`manage.py room_file`: a day's facts as a file that planning reads without this program's database."""

from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandError, CommandParser

from roomops.planning.codec import room_text
from roomops.records.pseudonyms import without_names
from roomops.records.snapshot import take
from roomops.tasks import clock
from roomops.tasks.choose import the_day, the_room


class Command(BaseCommand):
    help = "Write a room file: everything that planning knows of a day, people as p1, p2 and so on."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--date", metavar="DATE", help="the day, as 2026-06-09; without: today")
        parser.add_argument("--room", metavar="KEY", help="which room, where there are several")
        parser.add_argument("--names", action="store_true", help="keep people's own names and keys")
        parser.add_argument("--into", type=Path, metavar="FILE", help="a new file; without: standard output")

    def handle(
        self, *, date: str | None, room: str | None, names: bool, into: Path | None, **options: Any
    ) -> None:
        row = the_room(key=room)
        zone = ZoneInfo(row.timezone)
        try:
            facts = take(room=row, day=the_day(text=date, zone=zone), now=clock.now(zone=zone))
        except (ValueError, LookupError) as error:
            raise CommandError(str(error)) from error
        text = room_text(facts if names else without_names(room=facts))
        if into is None:
            self.stdout.write(text, ending="")
            return
        try:
            with into.open("x", encoding="utf-8") as new:
                new.write(text)
        except OSError as error:
            raise CommandError(f"{into} cannot be written ({error.strerror}): name a new file.") from error
