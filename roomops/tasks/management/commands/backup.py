"""`manage.py backup`: one checked copy of the room's database."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandError

from roomops.tasks import clock, copies


class Command(BaseCommand):
    help = "Write one checked copy of the room's database. The room may go on working meanwhile."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--into", type=Path, metavar="FILE", help="a new file; a dated one if left out")

    def handle(self, *, into: Path | None, **options: Any) -> None:
        try:
            path = copies.back_up(now=clock.now(zone=ZoneInfo("UTC")), into=into)
        except copies.CopyRefused as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(f"Backup: {path} ({path.stat().st_size / 1e6:.1f} MB, read back and whole)")
