"""The project's care sheets as text, and one small sheet of its own for what is refused."""

from functools import cache
from pathlib import Path

from roomops.husbandry.care import CareSheet, StageCare
from roomops.husbandry.care_resolve import resolve
from roomops.husbandry.care_text import parse

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "care"
FILES = tuple(sorted(path.name for path in FOLDER.glob("*.toml")))


@cache
def text_of(file: str) -> str:
    return (FOLDER / file).read_text(encoding="utf-8")


@cache
def sheet_of(file: str) -> CareSheet:
    return parse(text=text_of(file), file=file)


def care_of(file: str, stage: str, **choices: str) -> StageCare:
    return resolve(sheet=sheet_of(file), stage=stage, choices=choices)


def every_stage() -> list[tuple[str, str]]:
    return [(file, stage.key) for file in FILES for stage in sheet_of(file).stages]
