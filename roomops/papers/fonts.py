"""The letters of paper: two font packages, and what to do with a letter that they do not have."""

from __future__ import annotations

import hashlib
import unicodedata
from functools import cache
from pathlib import Path

import font_source_sans_pro
import font_source_serif_pro

# Family in the style sheet, weight, style, file. Serif is for living names alone.
FACES: tuple[tuple[str, int, Path], ...] = (
    ("Room Sans", 400, Path(font_source_sans_pro.font_files_ttf["SourceSansPro"])),
    ("Room Sans", 700, Path(font_source_sans_pro.font_files_ttf["SourceSansProBold"])),
    ("Room Serif", 700, Path(font_source_serif_pro.font_files_ttf["SourceSerifProBold"])),
)
INTENDED = frozenset({"Room-Sans", "Room-Sans-Bold", "Room-Serif-Bold"})  # as they are called inside a PDF
INSTEAD = "?"


def face_rules() -> str:
    """@font-face rules that name the files of the packages."""
    return "".join(
        f'@font-face{{font-family:"{family}";font-weight:{weight};font-style:normal;src:url("{path.as_uri()}")}}'
        for family, weight, path in FACES
    )


@cache
def digest() -> str:
    """SHA-256 over the font files: another release of a package is another paper."""
    return hashlib.sha256(b"".join(path.read_bytes() for _, _, path in FACES)).hexdigest()


@cache
def letters() -> frozenset[str]:
    """Every letter that all faces have."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415 -- 60 ms that only printing pays

    found: list[set[str]] = []
    for _, _, path in FACES:
        with TTFont(path, lazy=True) as font:
            found.append({chr(code) for code in font.getBestCmap()})
    return frozenset(set.intersection(*found))


def printable(text: str) -> tuple[str, int]:
    """``text`` in letters that the fonts have, and how many had none: those read '?'.

    A letter is tried as it is, then without its accent, then as its plain form; what only steers
    the direction or joining of letters is left out.
    """
    have = letters()
    lost = 0
    parts: list[str] = []
    for letter in unicodedata.normalize("NFC", text):
        if letter in have or letter in "\n\t":
            parts.append(letter)
            continue
        plain = "".join(part for part in unicodedata.normalize("NFKD", letter) if part in have)
        if not plain and unicodedata.category(letter) not in {"Cf", "Cc", "Mn", "Me"}:
            plain = INSTEAD
            lost += 1
        parts.append(plain)
    return "".join(parts), lost
