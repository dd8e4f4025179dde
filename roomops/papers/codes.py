"""The code on every page: which room, day, shift, plan and edition it belongs to, and which page it is.

'JS-260609-O2A-3' is page 3 of edition A of the opening set made from plan version 2 for June 9, 2026. Letters
and digits alone say everything; the square beside them says the same to a camera.
"""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from dataclasses import dataclass

import segno

WHOLE_DAY = "day"
_EDITIONS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # without I and O, which are read as digits
_SHAPE = re.compile(r"([A-Z]{1,2})-(\d{6})-([A-Z])(\d{1,3})([A-HJ-NP-Z]{1,2})(?:-(\d{1,3}))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A code taken apart. ``page`` is 0 for the whole set's."""

    initials: str
    day: dt.date
    shift: str  # its first letter
    version: int
    edition: int  # from 0
    page: int


def set_code(*, room: str, day: dt.date, shift: str, version: int, edition: int) -> str:
    """The set's code, 'JS-260609-O2A'. ``edition`` counts from 0. Raises ValueError over 599 editions."""
    if edition >= len(_EDITIONS) * (len(_EDITIONS) + 1):
        raise ValueError(f"edition {edition} of one plan is beyond what a code can name: plan the day anew")
    tens, ones = divmod(edition, len(_EDITIONS))
    letters = (_EDITIONS[tens - 1] if tens else "") + _EDITIONS[ones]
    return f"{_initials(room)}-{day:%y%m%d}-{_letter(shift)}{version}{letters}"


def page_code(*, code: str, page: int) -> str:
    """The code of one page of a set."""
    return f"{code}-{page}"


def read(text: str) -> Code | None:
    """Take a code apart as typed or scanned; None when it is none."""
    found = _SHAPE.fullmatch("".join(text.split()).upper())
    if found is None:
        return None
    initials, day, shift, version, letters, page = found.groups()
    try:
        date = dt.datetime.strptime(day, "%y%m%d").replace(tzinfo=dt.UTC).date()
    except ValueError:
        return None
    tens = _EDITIONS.index(letters[0]) + 1 if len(letters) > 1 else 0
    edition = tens * len(_EDITIONS) + _EDITIONS.index(letters[-1])
    return Code(
        initials=initials, day=date, shift=shift, version=int(version), edition=edition, page=int(page or 0)
    )


def _initials(room: str) -> str:
    """First letters of the first two words that begin with one: 'JS'."""
    plain = unicodedata.normalize("NFKD", room).upper()
    letters = [word[0] for word in plain.split() if word[0].isascii() and word[0].isalpha()]
    return "".join(letters[:2]) or "R"


def _letter(shift: str) -> str:
    first = unicodedata.normalize("NFKD", shift or WHOLE_DAY).upper()[0]
    return first if first.isascii() and first.isalpha() else "X"


def square(text: str) -> tuple[int, str]:
    """The QR code as (side in modules with its quiet zone, SVG path of the dark runs)."""
    quiet = 4  # modules of white on each side: ISO/IEC 18004
    matrix = segno.make_qr(text, error="m").matrix
    runs: list[str] = []
    for y, row in enumerate(matrix, start=quiet):
        x = 0
        while x < len(row):
            end = x
            while end < len(row) and row[end]:
                end += 1
            if end > x:
                runs.append(f"M{x + quiet} {y}h{end - x}v1h-{end - x}z")
            x = end + 1
    return len(matrix) + 2 * quiet, "".join(runs)
