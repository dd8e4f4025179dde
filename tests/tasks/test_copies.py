"""Backups and what comes back of them, on whichever database the tests run."""

import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime
from io import StringIO
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from pytest_django import Settings

from roomops.records.models import Account
from roomops.tasks import clock, copies

NOW = datetime(2026, 7, 1, 6, 45, 12, tzinfo=UTC)
pytestmark = pytest.mark.django_db(transaction=True)  # a copy holds what is committed

# Tabs, line ends and backslashes are what a text format of rows must keep apart.
ODD_NAMES = {"robin", "tab\tand\nline", "back\\slash", "\\.", "ünï"}


@pytest.fixture(autouse=True)
def folder(settings: Settings, tmp_path: Path) -> Path:
    settings.VAR = tmp_path
    return tmp_path


@pytest.fixture
def people() -> set[str]:
    for name in sorted(ODD_NAMES):
        Account.objects.create(username=name)
    return ODD_NAMES


def names() -> set[str]:
    return set(Account.objects.values_list("username", flat=True))


def told(*words: object) -> str:
    out = StringIO()
    call_command(*map(str, words), stdout=out)
    return out.getvalue()


def emptied() -> None:
    call_command("flush", interactive=False, verbosity=0)
    assert not copies.has_data()


# ---------------------------------------------------------------- there and back


def test_what_was_backed_up_comes_back_row_by_row(people: set[str], folder: Path) -> None:
    told("backup", "--into", folder / "copy")
    emptied()
    assert "every table counted against it" in told("restore", folder / "copy")
    assert names() == people


def test_ids_go_on_after_the_last_one_that_came_back(people: set[str], folder: Path) -> None:
    told("backup", "--into", folder / "copy")
    emptied()
    told("restore", folder / "copy")
    assert Account.objects.create(username="new").pk > max(
        Account.objects.exclude(username="new").values_list("pk", flat=True)
    )


def test_a_backup_is_readable_by_its_owner_alone(people: set[str]) -> None:
    path = copies.back_up(now=NOW)
    assert path.name.startswith("room-2026-07-01-064512-")
    assert path.parent.name == "backups"
    assert path.stat().st_mode & 0o077 == 0


def test_a_backup_never_writes_over_a_file(people: set[str], folder: Path) -> None:
    (folder / "copy").write_text("somebody's holiday pictures", encoding="utf-8")
    with pytest.raises(CommandError, match=r"copy exists already: name a new file"):
        told("backup", "--into", folder / "copy")
    assert (folder / "copy").read_text(encoding="utf-8") == "somebody's holiday pictures"


def test_a_backup_that_fails_leaves_no_half_file(
    people: set[str], folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def breaks(path: Path) -> None:
        raise copies.CopyRefused("the disk is full")

    for name in ("_sqlite_back_up", "_postgres_back_up"):
        monkeypatch.setattr(copies, name, breaks)
    with pytest.raises(CommandError, match="the disk is full"):
        told("backup", "--into", folder / "copy")
    assert list(folder.iterdir()) == []


# ---------------------------------------------------------------- refusals


def test_a_database_with_data_is_replaced_only_when_told_so_and_saved_first(
    people: set[str], folder: Path
) -> None:
    told("backup", "--into", folder / "copy")
    Account.objects.create(username="after")
    with pytest.raises(CommandError, match=r"holds data: nothing was changed. Add --over"):
        told("restore", folder / "copy")
    assert "after" in names()
    assert "Backup of what was there: " in told("restore", folder / "copy", "--over")
    assert names() == people
    (saved,) = (folder / "backups").iterdir()
    told("restore", saved, "--over")
    assert "after" in names()


def test_a_file_that_is_not_there_is_named(folder: Path) -> None:
    with pytest.raises(CommandError, match=r"There is no file .*nowhere: give the path of a backup"):
        told("restore", folder / "nowhere")


def test_a_file_of_another_kind_is_refused(folder: Path) -> None:
    (folder / "letter").write_text("Dear all", encoding="utf-8")
    with pytest.raises(CommandError, match=r"is no backup"):
        told("restore", folder / "letter")


def test_a_copy_of_the_other_database_is_refused(folder: Path) -> None:
    other = next(start for vendor, start in copies.MAGIC.items() if vendor != connection.vendor)
    (folder / "copy").write_bytes(other + b"\0" * 100)
    with pytest.raises(CommandError, match=f"DATABASE_URL names {connection.vendor}: change one"):
        told("restore", folder / "copy")


def test_a_damaged_copy_changes_nothing(people: set[str], folder: Path) -> None:
    whole = copies.back_up(now=NOW)
    damaged = folder / "damaged"
    damaged.write_bytes(whole.read_bytes()[: whole.stat().st_size // 2])
    with pytest.raises(CommandError, match=r"damaged|did not succeed, and nothing was changed"):
        told("restore", damaged, "--over")
    assert names() == people


def test_a_copy_by_a_newer_program_is_refused(people: set[str], folder: Path) -> None:
    recorder = MigrationRecorder(connection)
    recorder.record_applied("records", "9999_from_the_future")
    told("backup", "--into", folder / "copy")
    recorder.record_unapplied("records", "9999_from_the_future")
    with pytest.raises(
        CommandError, match=r"made by a newer Roomops \(records\.9999_from_the_future\): update"
    ):
        told("restore", folder / "copy", "--over")
    assert names() == people


def test_a_database_that_is_no_room_is_refused(folder: Path) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("only SQLite has files of other programs that look alike")
    with closing(sqlite3.connect(folder / "other")) as other:
        other.execute("CREATE TABLE songs (name TEXT)")
    with pytest.raises(CommandError, match="is not a room's database"):
        told("restore", folder / "other")


# ---------------------------------------------------------------- before a migration


def pending() -> MigrationRecorder:
    """One migration that the database has not seen: the last one of the sessions, said to be unapplied."""
    recorder = MigrationRecorder(connection)
    recorder.record_unapplied("sessions", "0001_initial")
    return recorder


def test_a_migration_of_a_database_with_data_begins_with_a_backup(people: set[str], folder: Path) -> None:
    pending()
    assert "Backup before migrating: " in told("migrate", "--fake", "--no-input")
    (saved,) = (folder / "backups").iterdir()
    emptied()
    told("restore", saved)
    assert names() == people
    told("migrate", "--fake", "--no-input")


def test_nothing_pending_or_nothing_to_lose_needs_no_backup(folder: Path) -> None:
    assert "Backup" not in told("migrate", "--no-input")
    pending()
    assert "Backup" not in told("migrate", "--fake", "--no-input")
    assert not (folder / "backups").exists()


def test_looking_at_what_is_pending_needs_no_backup(people: set[str], folder: Path) -> None:
    recorder = pending()
    assert "Backup" not in told("migrate", "--plan")
    recorder.record_applied("sessions", "0001_initial")
    assert not (folder / "backups").exists()


def test_without_a_backup_nothing_is_migrated(people: set[str], monkeypatch: pytest.MonkeyPatch) -> None:
    recorder = pending()

    def breaks(*, now: datetime) -> Path:
        raise copies.CopyRefused("the disk is full.")

    monkeypatch.setattr(copies, "back_up", breaks)
    with pytest.raises(CommandError, match=r"Nothing was migrated, for want of a backup. the disk is full"):
        told("migrate", "--fake", "--no-input")
    assert ("sessions", "0001_initial") not in recorder.applied_migrations()
    recorder.record_applied("sessions", "0001_initial")


# ---------------------------------------------------------------- the one clock


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        ("2026-07-01T04:59:59Z", date(2026, 6, 30)),  # one second before midnight in Madison
        ("2026-07-01T05:00:00Z", date(2026, 7, 1)),
        ("2026-07-01T05:00:01Z", date(2026, 7, 1)),
    ],
)
def test_today_is_the_rooms_own_day(moment: str, day: date) -> None:
    with time_machine.travel(moment, tick=False):
        assert clock.today(zone=ZoneInfo("America/Chicago")) == day


def test_a_demonstration_may_pretend_a_day_and_keeps_the_time_of_day(settings: Settings) -> None:
    zone = ZoneInfo("America/Chicago")
    settings.DEMO_TODAY = date(2026, 1, 15)
    with time_machine.travel("2026-07-01T18:30:00Z", tick=False):
        assert clock.now(zone=zone) == datetime(2026, 1, 15, 13, 30, tzinfo=zone)
        assert clock.today(zone=zone) == date(2026, 1, 15)
