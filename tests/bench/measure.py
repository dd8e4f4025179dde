"""How a figure is taken: the median of repeated runs, and always against a limit measured in the same run."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A line of the table. ``limit`` is what the work could not beat here: ratios travel, seconds do not."""

    what: str
    seconds: float
    limit_what: str = ""
    limit_seconds: float | None = None
    note: str = ""

    @property
    def ratio(self) -> str:
        """Return how many times the limit it took, '–' where there is none."""
        return "–" if not self.limit_seconds else f"{self.seconds / self.limit_seconds:.2f} ×"

    def row(self) -> str:
        """Return the Markdown table row."""
        limit = f"{self.limit_what}: {spoken(self.limit_seconds)}" if self.limit_seconds else "–"
        return f"| {self.what} | {spoken(self.seconds)} | {limit} | {self.ratio} | {self.note or '–'} |"


def spoken(seconds: float | None) -> str:
    """Return a duration as people read it: '12.3 ms', '1.42 s', 'not measured'."""
    if seconds is None:
        return "not measured"
    return f"{seconds * 1000:.1f} ms" if seconds < 1 else f"{seconds:.2f} s"


def median(work: Callable[[], object], *, runs: int) -> float:
    """Return the median seconds of ``runs`` calls, after one that warms up."""
    work()
    taken = []
    gc.collect()
    for _ in range(runs):
        since = time.perf_counter()
        work()
        taken.append(time.perf_counter() - since)
    return statistics.median(taken)
