"""`manage.py migrate`: Django's own, with a backup before anything changes in a database that holds data."""

from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import CommandError
from django.core.management.commands import migrate
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from roomops.tasks import clock, copies


class Command(migrate.Command):
    def handle(self, *args: Any, **options: Any) -> None:
        if _changes_something(options) and copies.has_data():
            try:
                path = copies.back_up(now=clock.now(zone=ZoneInfo("UTC")))
            except copies.CopyRefused as refusal:
                raise CommandError(f"Nothing was migrated, for want of a backup. {refusal}") from refusal
            self.stdout.write(f"Backup before migrating: {path}")
        super().handle(*args, **options)


def _changes_something(options: dict[str, Any]) -> bool:
    """Whether migrations are pending, or a named app may go back; --plan and --check only look."""
    if options["plan"] or options["check_unapplied"]:
        return False
    executor = MigrationExecutor(connection)
    return bool(options["app_label"]) or bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))
