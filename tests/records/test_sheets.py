"""Reading care sheet files: what comes from the disk, and what is refused in a sentence."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from roomops.husbandry.care_errors import CareSheetError
from roomops.records import sheets as shelf
from roomops.records.sheets import (
    FOLDER,
    TwoSheetsError,
    UnknownKindError,
    read_sheets,
    sheet_of,
    sheets,
    stage_at,
)


def test_the_project_s_own_sheets_are_read_once_a_kind_a_file():
    assert len(sheets()) == len(list(FOLDER.glob("*.toml")))
    assert {"bearded dragon", "corn snake", "Hermann's tortoise", "leopard gecko"} <= set(sheets())
    assert sheets() is sheets()


def test_two_files_for_one_kind_are_refused_with_both_names(tmp_path):
    text = (FOLDER / "corn-snake.toml").read_text(encoding="utf-8")
    for name in ("a.toml", "b.toml"):
        (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(TwoSheetsError, match=r"a\.toml and b\.toml are both for “corn snake”: keep one"):
        read_sheets(folder=tmp_path)


def test_a_file_in_another_encoding_is_refused_by_its_name(tmp_path):
    text = (FOLDER / "corn-snake.toml").read_text(encoding="utf-8") + "# °\n"
    (tmp_path / "latin.toml").write_bytes(text.encode("latin-1", errors="replace"))
    with pytest.raises(CareSheetError, match=r"latin\.toml.*UTF-8"):
        read_sheets(folder=tmp_path)


def test_an_unknown_kind_is_refused_with_those_that_are_known():
    with pytest.raises(UnknownKindError, match=r"“pocket dragon”: .*“bearded dragon”, .*“corn snake”"):
        sheet_of("pocket dragon")


@pytest.mark.parametrize(("age", "stage"), [(-1, "hatchling"), (0, "hatchling"), (None, "adult")])
def test_an_animal_of_no_age_yet_is_a_hatchling_and_one_of_unknown_age_grown(age, stage):
    assert stage_at(kind="bearded dragon", age_days=age) == stage


# ---------------------------------------------------------------- one broken sheet


@pytest.fixture
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of the project's sheets that a test may break."""
    folder = tmp_path / "care"
    shutil.copytree(FOLDER, folder)
    monkeypatch.setattr(shelf, "FOLDER", folder)
    for kept in (shelf._shelf, shelf._resolved):
        kept.cache_clear()
    yield folder
    for kept in (shelf._shelf, shelf._resolved):
        kept.cache_clear()


@pytest.mark.parametrize(
    ("broken", "sentence"),
    [
        ('[kind]\nkey = "boa"\n', r"^boa\.toml: .*: .*\.$"),
        ("no table at all", r"^boa\.toml: the text is .*\.$"),
        ("", r"^boa\.toml: "),
    ],
)
def test_a_broken_sheet_is_refused_for_its_own_kind_alone(own_folder: Path, broken: str, sentence: str):
    (own_folder / "boa.toml").write_text(broken, encoding="utf-8")
    assert sheet_of("corn snake").kind == "corn snake"
    assert "boa" not in sheets()
    assert set(sheets()) | {"boa"} == set(read_sheets(folder=Path(__file__).parents[2] / "fixtures" / "care"))
    with pytest.raises(CareSheetError, match=sentence):
        sheet_of("boa")
    with pytest.raises(CareSheetError, match=sentence):
        read_sheets(folder=own_folder)


def test_two_sheets_of_one_kind_stop_that_kind_alone(own_folder: Path):
    shutil.copy(own_folder / "boa.toml", own_folder / "boa-again.toml")
    assert sheet_of("corn snake").kind == "corn snake"
    with pytest.raises(TwoSheetsError, match=r"boa-again\.toml and boa\.toml are both for “boa”"):
        sheet_of("boa")


def test_a_mended_sheet_serves_again_without_a_new_start(own_folder: Path):
    whole = (own_folder / "boa.toml").read_bytes()
    (own_folder / "boa.toml").write_bytes(b"broken")
    with pytest.raises(CareSheetError):
        sheet_of("boa")
    (own_folder / "boa.toml").write_bytes(whole)
    assert sheet_of("boa").kind == "boa"
