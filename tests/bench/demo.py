"""``make demo`` from a bare clone, first and second time, against installing the same packages alone."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.bench.measure import Figure

TOP = Path(__file__).resolve().parents[2]


def figures() -> Iterator[Figure]:
    """Yield the first run, then the second. Both make everything and do not serve."""
    with tempfile.TemporaryDirectory(prefix="roomops-clone-") as folder:
        clone, venv = Path(folder, "clone"), Path(folder, "packages")
        _quiet(["git", "clone", "--quiet", str(TOP), str(clone)])
        limit = _seconds([sys.executable, "-m", "venv", str(venv)])
        pip = [str(venv / "bin" / "python"), "-m", "pip", "install", "--quiet", "--require-hashes", "-r"]
        limit += _seconds([*pip, str(clone / "locks" / "core.txt")])
        demo = [sys.executable, "do.py", "demo", "SERVE=no", "TODAY=2026-06-09"]
        for what in ("make demo, bare clone", "make demo, second run"):
            yield Figure(
                what=what,
                seconds=_seconds(demo, cwd=clone),
                limit_what="its packages into an empty environment",
                limit_seconds=limit,
            )


def _seconds(command: list[str], *, cwd: Path = TOP) -> float:
    since = time.perf_counter()
    _quiet(command, cwd=cwd)
    return time.perf_counter() - since


def _quiet(command: list[str], *, cwd: Path = TOP) -> None:
    ours = ("ROOMOPS_VAR", "ROOMOPS_DEMO", "DATABASE_URL", "DJANGO_SETTINGS_MODULE", "VENV")
    clean = {name: value for name, value in os.environ.items() if name not in ours}
    subprocess.run(command, cwd=cwd, env=clean, check=True, stdout=subprocess.DEVNULL)
