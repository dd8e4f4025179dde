"""How tall words will be, estimated by their letters. The renderer measures; this only breaks pages well."""

from __future__ import annotations

LINE_IN = 0.175


def text_in(*, letters: int, per_line: int, pad_in: float = 0.05) -> float:
    """Height in inches of that many letters where ``per_line`` go on a line."""
    return pad_in + LINE_IN * (1 + letters // per_line)
