"""Care sheets from their files, read once in a process, and what this room has chosen from them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from roomops.husbandry.care import CareSheet, StageCare
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


def read_sheets(*, folder: Path) -> Mapping[str, CareSheet]:
    """Parse every TOML file of a folder, by kind in the order of file names.

    Raises CareSheetError for a file that cannot be trusted, TwoSheetsError for a kind that two files claim.
    """
    found: dict[str, CareSheet] = {}
    files: dict[str, str] = {}
    for path in sorted(folder.glob("*.toml")):
        # What is no UTF-8 reaches the parser as lone surrogates: it says which file and what to do.
        sheet = parse(text=path.read_bytes().decode(errors="surrogateescape"), file=path.name)
        if sheet.kind in found:
            raise TwoSheetsError(
                f"{files[sheet.kind]} and {path.name} are both for “{sheet.kind}”: keep one of them."
            )
        found[sheet.kind], files[sheet.kind] = sheet, path.name
    return MappingProxyType(found)


@cache
def sheets() -> Mapping[str, CareSheet]:
    """The project's own sheets, read at the first call of a process."""
    return read_sheets(folder=FOLDER)


def sheet_of(kind: str) -> CareSheet:
    """Return the sheet of a kind. Raises UnknownKindError."""
    found = sheets().get(kind)
    if found is None:
        raise UnknownKindError(kind=kind)
    return found


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
