"""Copies of the whole database: made, checked and put back, for SQLite and for PostgreSQL.

A copy is one file. SQLite's is a database made by its online backup, so a room may go on working meanwhile;
PostgreSQL's is the custom format of `pg_dump`. Both are checked by reading them back before they count.
"""

import os
import re
import shutil
import sqlite3
import subprocess
import tempfile
from collections import Counter
from contextlib import closing
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.db.migrations.loader import MigrationLoader

SUFFIX = {"sqlite": ".sqlite3", "postgresql": ".pgdump"}
MAGIC = {"sqlite": b"SQLite format 3", "postgresql": b"PGDMP"}  # first bytes, as both formats document them
MADE_BY_MIGRATE = {"django_migrations", "django_content_type", "auth_permission"}

Held = tuple[Counter[str], set[tuple[str, str]]]  # rows by table, and the migrations applied


class CopyRefused(Exception):  # noqa: N818 -- worded for the person who asked: what, which file, what to do
    """A copy was not made or not put back; nothing half done is left."""


def has_data() -> bool:
    """Whether the database holds a row that nobody could make again by migrating."""
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            if table in MADE_BY_MIGRATE:
                continue
            cursor.execute(f"SELECT 1 FROM {connection.ops.quote_name(table)} LIMIT 1")  # noqa: S608 -- own names
            if cursor.fetchone():
                return True
    return False


def back_up(*, now: datetime, into: Path | None = None) -> Path:
    """Write one checked copy and answer its path; by default a dated file in the backups folder.

    An existing file is never written over. The copy appears under its name only once it is whole.
    """
    vendor = connection.vendor
    path = into or settings.VAR / "backups" / f"room-{now:%Y-%m-%d-%H%M%S-%f}{SUFFIX[vendor]}"
    if path.exists():
        raise CopyRefused(f"{path} exists already: name a new file, or move this one away.")
    path.parent.mkdir(parents=True, exist_ok=True)
    half = path.with_name(path.name + ".half")
    half.unlink(missing_ok=True)
    os.close(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))  # people's names are in it
    try:
        {"sqlite": _sqlite_back_up, "postgresql": _postgres_back_up}[vendor](half)
        half.rename(path)
    finally:
        half.unlink(missing_ok=True)
    return path


def restore(*, source: Path, over: bool, now: datetime) -> tuple[int, Path | None]:
    """Put a copy back; answer how many rows came back, and where the former content (if any) was saved.

    Refuses a database with data unless `over`, a file of another kind, a broken one, and one made by a newer
    Roomops than this. Afterwards every table's rows are counted against the copy.
    """
    if not source.is_file():
        raise CopyRefused(f"There is no file {source}: give the path of a backup.")
    _refuse_other_kind(source)
    if has_data() and not over:
        raise CopyRefused(
            "This database holds data: nothing was changed. Add --over to put the copy in its place."
        )
    read, put_back = {
        "sqlite": (_sqlite_read, _sqlite_put_back),
        "postgresql": (_postgres_read, _postgres_put_back),
    }[connection.vendor]
    with tempfile.TemporaryDirectory() as folder:
        expected, applied = read(source, Path(folder))
        _refuse_unknown_migrations(source, applied)
        saved = back_up(now=now) if has_data() else None
        put_back(source, Path(folder))
    found = _row_counts(expected)
    wrong = sorted(table for table in expected if expected[table] != found[table])
    if wrong:
        raise CopyRefused(
            f"The database differs from {source} in {', '.join(wrong)}: do not work with it"
            + (f"; what it held before is in {saved}." if saved else ".")
        )
    return sum(expected.values()), saved


def _refuse_other_kind(source: Path) -> None:
    with source.open("rb") as file:
        start = file.read(16)
    kinds = [kind for kind, magic in MAGIC.items() if start.startswith(magic)]
    if not kinds:
        raise CopyRefused(f"{source} is no backup that `manage.py backup` makes: choose another file.")
    if kinds != [connection.vendor]:
        raise CopyRefused(
            f"{source} is a copy of {kinds[0]}, and DATABASE_URL names {connection.vendor}: change one."
        )


def _refuse_unknown_migrations(source: Path, applied: set[tuple[str, str]]) -> None:
    if not applied:
        raise CopyRefused(f"{source} is not a room's database: it knows of no migration.")
    loader = MigrationLoader(None)
    unknown = sorted(
        ".".join(each)
        for each in applied
        if each[0] in loader.migrated_apps and each not in loader.disk_migrations
    )
    if unknown:
        raise CopyRefused(f"{source} was made by a newer Roomops ({unknown[-1]}): update the program first.")


def _row_counts(tables: Counter[str]) -> Counter[str]:
    with connection.cursor() as cursor:
        present = set(connection.introspection.table_names(cursor))
        counts: Counter[str] = Counter()
        for table in present & set(tables):
            cursor.execute(f"SELECT count(*) FROM {connection.ops.quote_name(table)}")  # noqa: S608 -- own names
            counts[table] = cursor.fetchone()[0]
        return counts


# ---------------------------------------------------------------- SQLite


def _sqlite_back_up(path: Path) -> None:
    connection.ensure_connection()
    with closing(sqlite3.connect(path)) as copy:
        connection.connection.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")  # one file, whatever the room's own mode
        _sqlite_check(copy, path)


def _sqlite_check(copy: sqlite3.Connection, path: Path) -> None:
    try:
        (answer,) = copy.execute("PRAGMA integrity_check").fetchone()
    except sqlite3.DatabaseError as problem:
        answer = str(problem)
    if answer != "ok":
        raise CopyRefused(f"{path} is damaged ({answer.splitlines()[0]}): choose another backup.")


def _sqlite_open(source: Path) -> sqlite3.Connection:
    # Read-only and immutable: a backup is not changed by looking at it, and may lie on a locked medium.
    return sqlite3.connect(f"{source.resolve().as_uri()}?mode=ro&immutable=1", uri=True)


def _sqlite_read(source: Path, _folder: Path) -> Held:
    with closing(_sqlite_open(source)) as copy:
        _sqlite_check(copy, source)
        names = [name for (name,) in copy.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        known = "django_migrations" in names
        applied = set(copy.execute("SELECT app, name FROM django_migrations")) if known else set()
        counts: Counter[str] = Counter()
        for table in (name for name in names if not name.startswith("sqlite_")):
            (counts[table],) = copy.execute(f'SELECT count(*) FROM "{table}"').fetchone()  # noqa: S608 -- its names
    return counts, applied


def _sqlite_put_back(source: Path, _folder: Path) -> None:
    connection.ensure_connection()
    with closing(_sqlite_open(source)) as copy:
        copy.backup(connection.connection)  # one transaction: all of it or nothing
    connection.close()  # the next look opens the new pages, in WAL mode again


# ---------------------------------------------------------------- PostgreSQL


def _postgres(program: str, *arguments: str) -> str:
    """What one of PostgreSQL's own programs printed; the address and the password travel by environment."""
    found = shutil.which(program)
    if not found:
        raise CopyRefused(
            f"{program} is missing: install PostgreSQL's client programs (postgresql-client) and try again."
        )
    facts = connection.get_connection_params()
    env = {
        "PGHOST": "host",
        "PGPORT": "port",
        "PGUSER": "user",
        "PGPASSWORD": "password",
        "PGDATABASE": "dbname",
    }
    env = {name: str(facts[key]) for name, key in env.items() if facts.get(key)}
    env |= {f"PG{key.upper()}": str(facts[key]) for key in ("sslmode", "sslrootcert") if facts.get(key)}
    done = subprocess.run(  # noqa: S603 -- a fixed program with paths of our own
        [found, *arguments],
        env=dict(os.environ) | env,
        capture_output=True,
        text=True,
        check=False,
        encoding="utf-8",
    )
    if done.returncode != 0:
        lines = [line for line in done.stderr.splitlines() if line.strip()] or ["no reason given"]
        raise CopyRefused(f"{program} did not succeed, and nothing was changed: {lines[0]}")
    return done.stdout


def _postgres_back_up(path: Path) -> None:
    _postgres("pg_dump", "--format=custom", "--no-owner", "--no-privileges", "--file", str(path))
    _postgres("pg_restore", "--list", str(path))


def _postgres_read(source: Path, folder: Path) -> Held:
    script = folder / "rows.sql"
    _postgres("pg_restore", "--no-owner", "--no-privileges", "--file", str(script), str(source))
    return _read_script(script)


def _postgres_put_back(_source: Path, folder: Path) -> None:
    with connection.cursor() as cursor:
        names = [connection.ops.quote_name(table) for table in connection.introspection.table_names(cursor)]
    connection.close()
    drops = folder / "drops.sql"
    drops.write_text("".join(f"DROP TABLE {name} CASCADE;\n" for name in names), encoding="utf-8")
    files = ("-f", str(drops), "-f", str(folder / "rows.sql"))
    # One transaction: where a line fails, the database stays as it was.
    _postgres("psql", "-X", "-q", "-1", "-v", "ON_ERROR_STOP=1", *files)


def _read_script(script: Path) -> Held:
    """Rows per table, and the migrations applied, as the copy's own text holds them (one line a row)."""
    counts: Counter[str] = Counter()
    applied: set[tuple[str, str]] = set()
    table = None
    columns: list[str] = []
    with script.open(encoding="utf-8", newline="\n") as lines:
        for line in lines:
            if table is None:
                head = re.match(r'COPY (?:\w+|"[^"]+")\."?([^"\s]+)"? \((.*)\) FROM stdin;$', line)
                if head:
                    table, columns = head[1], head[2].split(", ")
                    counts[table] = 0
            elif line == "\\.\n":
                table = None
            else:
                counts[table] += 1
                if table == "django_migrations":
                    row = dict(zip(columns, line.rstrip("\n").split("\t"), strict=True))
                    applied.add((row["app"], row["name"]))
    return counts, applied
