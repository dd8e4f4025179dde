"""Write the day's papers into a folder: PDF where it can be made, else HTML that a browser prints."""

from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandError, CommandParser

from roomops.desk.day import Day, open_day
from roomops.papers import jobs, pdf
from roomops.tasks import clock
from roomops.tasks.choose import the_day, the_room

WHOLE_DAY = "day"


class Command(BaseCommand):
    help = "Write the shift's papers of a day into a folder, one file for each shift."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--into", metavar="FOLDER", required=True, help="made when it is not there")
        parser.add_argument("--date", metavar="DATE", help="the day, as 2026-06-09; without: today")
        parser.add_argument("--shift", metavar="NAME", help="one shift of the rota, or 'day' for all in one")
        parser.add_argument("--room", metavar="KEY", help="which room, where there are several")
        parser.add_argument("--html", action="store_true", help="write HTML for a browser to print, not PDF")

    def handle(self, *args: Any, **options: Any) -> None:
        room = the_room(key=options["room"])
        zone = ZoneInfo(room.timezone)
        day = open_day(room=room, day=the_day(text=options["date"], zone=zone), now=clock.now(zone=zone))
        folder = Path(options["into"])
        folder.mkdir(parents=True, exist_ok=True)
        as_html = options["html"] or not pdf.available()
        if as_html and not options["html"]:
            self.stderr.write("PDF cannot be made here, so these are HTML pages: print them from a browser.")
        for shift in self._shifts(day, options["shift"]):
            made = self._html(day, shift, folder) if as_html else self._pdf(day, shift, folder)
            self.stdout.write(str(made))

    @staticmethod
    def _shifts(day: Day, wanted: str | None) -> tuple[str, ...]:
        known = (*jobs.shifts(day=day), WHOLE_DAY)
        if wanted is None:
            return known[:-1]
        if wanted not in known:
            raise CommandError(f"There is no shift “{wanted}” on {day.day}, only {', '.join(known)}.")
        return (wanted,)

    @staticmethod
    def _html(day: Day, shift: str, folder: Path) -> Path:
        file = folder / f"{day.day}-{shift}.html"
        file.write_text(jobs.page(day=day, shift=shift), encoding="utf-8")
        return file

    def _pdf(self, day: Day, shift: str, folder: Path) -> Path:
        try:
            made = jobs.render(room=day.room, day=day.day, shift=shift, now=day.now, report=self._report)
        except ValueError as error:
            raise CommandError(str(error)) from None
        file = folder / f"{day.day}-{shift}-{made.code}.pdf"
        file.write_bytes(bytes(made.pdf))
        return file

    def _report(self, done: int, all_: int) -> None:
        if self.stderr.isatty():
            self.stderr.write(f"\rpage {done} of {all_}", ending="\n" if done == all_ else "")
