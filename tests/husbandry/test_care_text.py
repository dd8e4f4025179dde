"""A sheet that cannot be trusted is refused as a whole, in one sentence that says where and what to do."""

import pytest

from roomops.husbandry.care import Standing
from roomops.husbandry.care_errors import CareSheetError
from roomops.husbandry.care_text import parse
from tests.husbandry.sheets import FILES, sheet_of, text_of

DRAGON = "bearded-dragon.toml"
BASKING = 'value = "100 to 110 °F", standing = "common practice", source = "store practice, no source"'


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


def test_there_is_a_sheet_for_each_of_the_four_kinds():
    kinds = {sheet_of(file).kind for file in FILES}
    assert kinds == {"bearded dragon", "corn snake", "Hermann's tortoise", "leopard gecko"}


def test_a_changed_word_changes_the_version():
    assert parse(text=changed("Males fight", "Males brawl"), file=DRAGON).version != sheet_of(DRAGON).version


BAD = [
    # (what is changed, into what, words of the sentence)
    ("unknown unit", "100 to 110 °F", "100 to 110 °X", "“°X” is no unit that is known here"),
    ("no unit", "100 to 110 °F", "100 to 110", "add a unit, one of °C, °F"),
    ("wrong dimension", "100 to 110 °F", "100 to 110 mm", "mm measures a length and this is a temperature"),
    ("upside down", "100 to 110 °F", "110 to 100 °F", "write the lower number first"),
    ("out of all reason", "100 to 110 °F", "100 to 110 °C", "has to lie between -5 and 60 °C"),
    ("no number", "100 to 110 °F", "warm", "write it like “100 to 110 °F” or “25 min”"),
    ("a bare number", 'value = "100 to 110 °F"', "value = 105", "write number and unit as a text"),
    ("no value", 'value = "100 to 110 °F", ', "", "write number and unit as a text"),
    ("unknown standing", BASKING, BASKING.replace("common practice", "said online"), "use one of published"),
    (
        "misspelled standing",
        BASKING,
        BASKING.replace("common practice", "comon practice"),
        "use “common practice”",
    ),
    ("no standing", BASKING, BASKING.replace('standing = "common practice", ', ""), "add one of published"),
    ("no source", BASKING, BASKING.replace(', source = "store practice, no source"', ""), "or “no source”"),
    ("blank source", BASKING, BASKING.replace("store practice, no source", "  "), "say where it comes from"),
    ("unknown key", BASKING, BASKING.replace("source", "sauce", 1), "did you mean “source”"),
    ("unknown table", "[prey]", "[pray]", "did you mean “prey”"),
    ("unknown kind key", 'active = "day"', 'active = "day"\nactve = "day"', "did you mean “active”"),
    ("unknown activity", 'active = "day"', 'active = "noon"', "use one of day, night"),
    ("unknown stage", 'stages = ["hatchling"]', 'stages = ["hatchlng"]', "use “hatchling”"),
    ("no stages", 'stages = ["hatchling"]', "stages = []", "a list of hatchling, juvenile, adult"),
    ("unknown topic", 'topic = "basking"', 'topic = "baskin"', "use “basking”"),
    ("unknown food", 'topic = "portion cricket"', 'topic = "portion moth"', "is “portion moth”"),
    (
        "topic twice",
        'topic = "night"',
        'topic = "basking"',
        "put all claims on one topic and stage under one",
    ),
    (
        "claim twice",
        'key = "print", value = "38',
        'key = "practice", value = "38',
        "give each claim its own key",
    ),
    ("limit inside the band", 'value = "90 °F"', 'value = "104 °F"', "outside the band 100 to 110 °F"),
    (
        "limit on the edge of the band",
        'value = "90 °F"',
        'value = "100 °F"',
        "outside the band 100 to 110 °F",
    ),
    (
        "limit inside another claim's band",
        'value = "65 °F"',
        'value = "73 °F"',
        "outside the band 22 to 26 °C",
    ),
    ("limit as a span", 'value = "90 °F"', 'value = "88 to 90 °F"', "a limit to act at is one number"),
    (
        "basking under the cool side",
        "100 to 110 °F",
        "70 to 78 °F",
        "lie above the cool side band 80 to 89 °F",
    ),
    ("night over the cool side", "72 to 78 °F", "82 to 92 °F", "lie above the night band 82 to 92 °F"),
    (
        "stages out of order",
        'value = "90 days", s',
        'value = "400 days", s',
        "a later beginning than the one before",
    ),
    ("first stage late", 'value = "0 days"', 'value = "3 days"', "begin with 0 days"),
    ("unknown place", 'place = "tub"', 'place = "bowl"', "use one of tub, tank"),
    ("a topic missing", 'topic = "watch"', 'topic = "thaw"', "topic “watch” is missing"),
    ("a gap missing", 'topic = "gap with 3 feeds"', 'topic = "thaw"', "say how far apart the feeds start"),
    ("no prey rule", 'cricket = "length"\n', "", "say length, width or girth"),
    ("unknown basis", 'cricket = "length"', 'cricket = "size"', "use one of length, width, girth"),
    ("unknown prey", 'cricket = "length"', 'criket = "length"', "use “cricket”"),
    (
        "a feed without food",
        'feeds = ["first", "second", "third"]',
        'feeds = ["first", "second"]',
        "its food",
    ),
    ("two foods to a feed", "beside = true", "beside = false", "one food to a feed"),
    ("unknown day", '["Tuesday", "Friday"]', '["Tuesday", "Fryday"]', "use “Friday”"),
    ("powder without feeds", 'dusted = ["second"]\n', "", "name the powder where feeds are dusted"),
    ("dusted in another feed", 'dusted = ["second"]', 'dusted = ["first"]', "use one of second"),
    ("a number in words", "Fireflies kill.", "1 firefly kills.", "put the number into a figure"),
    ("words that are no list", 'hides = ["One', 'hides = "One', "mend this"),
    ("degree sign read wrongly", "100 to 110 °F", "100 to 110 Â°F", "lost its encoding in line"),
    ("a lost character", "100 to 110 °F", "100 to 110 \ufffdF", "save it again as UTF-8"),
    ("not UTF-8", "100 to 110 °F", "100 to 110 \udcb0F", "save it again as UTF-8"),
    ("not TOML", "[kind]", "[kind", "the text is “not TOML”: mend this"),
]


@pytest.mark.parametrize(("old", "new", "words"), [row[1:] for row in BAD], ids=[row[0] for row in BAD])
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
