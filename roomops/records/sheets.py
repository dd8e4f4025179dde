"""Care sheets from their files, read once in a process, and what this room has chosen from them."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from roomops.husbandry.care import CareSheet, StageCare
from roomops.husbandry.care_errors import CareSheetError
from roomops.husbandry.care_resolve import resolve, stage_for
from roomops.husbandry.care_text import parse
from roomops.records.models import CareChoice, Room

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "care"


class UnknownKindError(LookupError):
    """A kind of animal without a care sheet. ``str`` is one sentence."""

    def __init__(self, *, kind: str) -> None:
        self.kind = kind
        super().__init__(f"There is no care sheet for “{kind}”: add one to fixtures/care or use {_known()}.")


class TwoSheetsError(ValueError):
    """Two files that claim the same kind. ``str`` is one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """Sheets that can be trusted, by kind; and the files of each kind that has none that can."""

    sheets: Mapping[str, CareSheet]
    refused: Mapping[str, tuple[Path, ...]]


def read_shelf(*, folder: Path) -> Shelf:
    """Read every TOML file of a folder, in the order of file names. A broken one is named, not raised.

    A room must not stop because of a sheet of a kind that nobody there is.
    """
    found: dict[str, CareSheet] = {}
    files: dict[str, list[Path]] = {}
    for path in sorted(folder.glob("*.toml")):
        try:
            sheet = _parsed(path)
            kind = sheet.kind
            found[kind] = sheet
        except CareSheetError:
            kind = _kind_meant(path)
        files.setdefault(kind, []).append(path)
    refused = {kind: tuple(paths) for kind, paths in files.items() if len(paths) > 1 or kind not in found}
    good = {kind: sheet for kind, sheet in found.items() if kind not in refused}
    return Shelf(sheets=MappingProxyType(good), refused=MappingProxyType(refused))


def read_sheets(*, folder: Path) -> Mapping[str, CareSheet]:
    """Parse every TOML file of a folder, by kind in the order of file names.

    Raises CareSheetError for a file that cannot be trusted, TwoSheetsError for a kind that two files claim.
    """
    shelf = read_shelf(folder=folder)
    for kind, paths in shelf.refused.items():
        _refuse(kind=kind, paths=paths)
    return shelf.sheets


def _parsed(path: Path) -> CareSheet:
    # What is no UTF-8 reaches the parser as lone surrogates: it says which file and what to do.
    return parse(text=path.read_bytes().decode(errors="surrogateescape"), file=path.name)


def _kind_meant(path: Path) -> str:
    """The kind that a broken file is for: its first key, else its own name."""
    named = re.search(rb'^\s*key\s*=\s*"([^"]+)"', path.read_bytes(), re.MULTILINE)
    return named[1].decode(errors="replace") if named else path.stem.replace("-", " ")


def _refuse(*, kind: str, paths: tuple[Path, ...]) -> CareSheet:
    """Raise what is wrong with a kind's files; a file that was mended meanwhile is its sheet again."""
    if len(paths) > 1:
        one, other = paths[0].name, paths[1].name
        raise TwoSheetsError(f"{one} and {other} are both for “{kind}”: keep one of them.")
    return _parsed(paths[0])


@cache
def _shelf() -> Shelf:
    """The project's own sheets, read at the first call of a process."""
    return read_shelf(folder=FOLDER)


def sheets() -> Mapping[str, CareSheet]:
    """Return the sheets that can be trusted, by kind."""
    return _shelf().sheets


def sheet_of(kind: str) -> CareSheet:
    """Return the sheet of a kind. Raises UnknownKindError, CareSheetError, TwoSheetsError of this kind."""
    found = sheets().get(kind)
    if found is not None:
        return found
    paths = _shelf().refused.get(kind)
    if paths is None:
        raise UnknownKindError(kind=kind)
    return _refuse(kind=kind, paths=paths)


def stage_at(*, kind: str, age_days: int | None) -> str:
    """Return the key of a kind's life stage at an age.

    An animal of unknown age is in its last stage, one that is written to hatch later in its first.
    Raises UnknownKindError.
    """
    sheet = sheet_of(kind)
    if age_days is None:
        return sheet.stages[-1].key
    return stage_for(sheet=sheet, age_days=max(age_days, 0)).key


def care_for(*, room: Room, kinds_stages: Iterable[tuple[str, str]]) -> tuple[StageCare, ...]:
    """Return the care of the kinds and stages by the room's choices, each once, sorted, in one query.

    Raises UnknownKindError, ChoiceError for a choice that its sheet cannot follow, and LookupError for an
    unknown stage.
    """
    choices: dict[str, dict[str, str]] = defaultdict(dict)
    for choice in CareChoice.objects.filter(room=room).order_by("kind", "topic"):
        choices[choice.kind][choice.topic] = choice.claim
    wanted = sorted(set(kinds_stages))
    return tuple(_resolved(kind, stage, tuple(choices[kind].items())) for kind, stage in wanted)


@cache
def _resolved(kind: str, stage: str, choices: tuple[tuple[str, str], ...]) -> StageCare:
    return resolve(sheet=sheet_of(kind), stage=stage, choices=dict(choices))


def _known() -> str:
    return ", ".join(f"“{kind}”" for kind in sheets())
