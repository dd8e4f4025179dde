"""`manage.py restore FILE`: put a copy back."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from roomops.tasks import clock, copies


class Command(BaseCommand):
    help = "Put a copy made by `backup` back into the database that DATABASE_URL names."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE")
        parser.add_argument(
            "--over",
            action="store_true",
            help="replace a database that holds data; a backup of it is made first",
        )

    def handle(self, *, file: Path, over: bool, **options: Any) -> None:
        try:
            rows, saved = copies.restore(source=file, over=over, now=clock.now(zone=ZoneInfo("UTC")))
        except copies.CopyRefused as refusal:
            raise CommandError(str(refusal)) from refusal
        if saved:
            self.stdout.write(f"Backup of what was there: {saved}")
        self.stdout.write(f"Restored {rows} rows from {file}, every table counted against it.")
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            self.stdout.write("The copy is older than this program: run `manage.py migrate` next.")
