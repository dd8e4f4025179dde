"""The figures of the documentation, measured here: ``python3 do.py bench [PART ...]``.

Every figure stands beside a limit measured in the same run. Nothing here is a test: a slow machine
fails nothing.
"""

from __future__ import annotations

import importlib
import os
import platform
import sys
import tempfile
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(TOP))  # the script is started by its path
PARTS = ("planned", "pages", "shelf", "papers", "demo")
HEAD = "| what | here | limit in the same run | ratio | with it |\n|---|---|---|---|---|"


def main(wanted: list[str]) -> int:
    """Print a table a part. Returns 2 for a part that does not exist."""
    unknown = [part for part in wanted if part not in PARTS]
    if unknown:
        print(f"There is no part “{unknown[0]}”: the parts are {', '.join(PARTS)}.", file=sys.stderr)
        return 2
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores, {platform.machine()}")
    with tempfile.TemporaryDirectory(prefix="roomops-bench-") as folder:
        _settings(folder)
        for part in wanted or PARTS:
            print(f"\n### {part}\n\n{HEAD}", flush=True)
            for figure in importlib.import_module(f"tests.bench.{part}").figures():
                print(figure.row(), flush=True)
    return 0


def _settings(folder: str) -> None:
    """A database of the bench's own, never a real room's."""
    os.environ["ROOMOPS_VAR"] = folder
    os.environ["ROOMOPS_DEMO"] = "yes"
    os.environ["DATABASE_URL"] = f"sqlite:///{folder}/bench.sqlite3"
    os.environ["DJANGO_SETTINGS_MODULE"] = "roomops.settings"
    import django  # after the environment is set: importing settings reads it

    django.setup()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
