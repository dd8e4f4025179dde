"""Reading care sheet files: what comes from the disk, and what is refused in a sentence."""

import pytest

from roomops.husbandry.care_errors import CareSheetError
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
