"""A sheet that cannot be trusted is refused as a whole, in one sentence that says where and what to do."""

import pytest

from roomops.husbandry.care import Standing
from roomops.husbandry.care_errors import CareSheetError
from roomops.husbandry.care_text import parse
from tests.husbandry.sheets import FILES, sheet_of, text_of
from tests.husbandry.slips import SLIPS

DRAGON = "bearded-dragon.toml"


def changed(old: str, new: str, file: str = DRAGON) -> str:
    text = text_of(file)
    assert old in text, f"the sheet no longer says {old}"
    return text.replace(old, new, 1)


def refusal(text: str) -> CareSheetError:
    with pytest.raises(CareSheetError) as caught:
        parse(text=text, file=DRAGON)
    return caught.value


@pytest.mark.parametrize("file", FILES)
def test_the_projects_sheets_are_read(file: str):
    sheet = sheet_of(file)
    assert sheet.stages[0].from_days == 0
    assert len(sheet.version) == 8
    assert sheet.words.cautions
    assert sheet.words.first_checks


def test_there_is_a_sheet_for_each_of_the_fourteen_kinds():
    kinds = {sheet_of(file).kind for file in FILES}
    assert kinds == {
        "ball python", "bearded dragon", "blue-tongued skink", "boa", "corn snake", "crested gecko",
        "green iguana", "Hermann's tortoise", "king snake", "leopard gecko", "red-footed tortoise",
        "slider turtle", "tegu", "veiled chameleon",
    }  # fmt: skip


def test_a_changed_word_changes_the_version():
    assert parse(text=changed("Males fight", "Males brawl"), file=DRAGON).version != sheet_of(DRAGON).version


@pytest.mark.parametrize(("old", "new", "words"), [row[1:] for row in SLIPS], ids=[row[0] for row in SLIPS])
def test_a_sheet_with_one_slip_is_refused_in_one_sentence(old: str, new: str, words: str):
    refused = refusal(changed(old, new))
    sentence = str(refused)
    assert words in sentence
    assert sentence.startswith(f"{DRAGON}: ")
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert refused.field
    assert refused.value
    assert refused.remedy


@pytest.mark.parametrize("source", ["no source", "none", "unknown", "from memory", "No source."])
def test_a_published_number_has_to_name_its_publication(source: str):
    old = 'standing = "published", source = "RSPCA (UK), Caring for your bearded dragon"'
    refused = refusal(changed(old, f'standing = "published", source = "{source}"'))
    assert "name the publication, or use another standing" in str(refused)


@pytest.mark.parametrize("standing", ["common practice", "from memory"])
def test_a_limit_to_act_at_rests_on_print_or_on_the_house(standing: str):
    old = 'value = "90 °F", standing = "house choice"'
    refused = refusal(changed(old, f'value = "90 °F", standing = "{standing}"'))
    assert "a limit to act at has to be published or a house choice" in str(refused)


def test_the_sentence_names_figure_claim_and_value():
    sentence = str(refusal(changed("100 to 110 °F", "110 to 100 °F")))
    assert sentence == (
        "bearded-dragon.toml: figure “basking”, claim “practice”, value is “110 to 100 °F”: "
        "write the lower number first."
    )


def test_a_limit_needs_the_band_that_it_belongs_to():
    text = text_of("leopard-gecko.toml")
    start = text.index('[[figure]]\ntopic = "uv index"\n')
    end = text.index("[[figure]]", start + 5)
    assert "figure “uv index act above” is without its band" in str(refusal(text[:start] + text[end:]))


def test_live_prey_needs_its_portion_and_its_rule():
    text = text_of("leopard-gecko.toml")
    for topic in ("portion cricket", "prey to gap"):
        start = text.index(f'[[figure]]\ntopic = "{topic}"\n')
        end = text.index("[[figure]]", start + 5)
        assert f"topic “{topic}” is missing" in str(refusal(text[:start] + text[end:]))


@pytest.mark.parametrize("name", ["prey", "words"])
def test_what_should_be_a_table_and_is_not_is_refused(name: str):
    text = text_of("hermanns-tortoise.toml")
    whole = text[: text.index("[words]")]
    assert "write a table" in str(refusal(f"{name} = 3\n" + whole))
    if name == "words":
        assert "write a table" in str(refusal(f"{name} = {{ adult = 3 }}\n" + whole))


@pytest.mark.parametrize("text", ["", "# nothing", "[kind]\nkey = 1", "stage = 3", "kind = 4", "words = 5"])
def test_a_text_that_is_no_sheet_is_refused(text: str):
    assert str(refusal(text)).startswith(f"{DRAGON}: ")


def test_windows_line_ends_and_a_byte_order_mark_are_no_reason_to_refuse():
    text = "\ufeff" + text_of(DRAGON).replace("\n", "\r\n")
    assert parse(text=text, file=DRAGON).figures == sheet_of(DRAGON).figures


@pytest.mark.parametrize("file", FILES)
def test_every_number_has_unit_standing_and_source(file: str):
    sheet = sheet_of(file)
    claims = [claim for figure in sheet.figures for claim in figure.claims]
    claims += [stage.from_claim for stage in sheet.stages if stage.from_claim]
    assert len(claims) > 40
    for claim in claims:
        assert claim.unit
        assert isinstance(claim.standing, Standing)
        assert claim.source


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("part", ["standing", "source"])
def test_taking_standing_or_source_from_any_number_is_refused(file: str, part: str):
    """Each claim of each file in turn: there is no number that slips through without."""
    lines = text_of(file).splitlines()
    claims = [number for number, line in enumerate(lines) if "value = " in line]
    assert len(claims) > 40
    for number in claims:
        cut = lines[number].replace(f"{part} = ", f'note = "x", x{part} = ', 1)
        with pytest.raises(CareSheetError):
            parse(text="\n".join([*lines[:number], cut, *lines[number + 1 :]]), file=file)
