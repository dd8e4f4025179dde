"""Migrations go all the way down and up again, and none is pending."""

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

pytestmark = pytest.mark.django_db(transaction=True)


def tables() -> set[str]:
    return {name for name in connection.introspection.table_names() if name.startswith("records_")}


def go(*, to: str | None) -> None:
    """To nothing, or to the newest of records and of what stands on it."""
    executor = MigrationExecutor(connection)
    newest = [key for key in executor.loader.graph.leaf_nodes() if key[0] == "records"]
    executor.migrate([("records", None)] if to == "zero" else newest)


def test_every_table_can_be_taken_down_and_put_up_again():
    newest = tables()
    assert "records_entry" in newest
    try:
        go(to="zero")
        assert tables() == set()
    finally:
        go(to="newest")
    assert tables() == newest


def test_no_change_to_a_table_waits_for_its_migration():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)
