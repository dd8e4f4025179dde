"""Care sheets from text: TOML with our own tables. See docs/care-sheets.md for how to write one."""

from __future__ import annotations

import hashlib
import tomllib
from difflib import get_close_matches
from typing import Any

from roomops.husbandry.care import (
    Active,
    CareSheet,
    Figure,
    FoodRule,
    Group,
    Place,
    PreyBasis,
    Stage,
    Words,
)
from roomops.husbandry.care_checks import check_sheet
from roomops.husbandry.care_claims import base_of, claim_from
from roomops.husbandry.care_errors import CareSheetError, Spot, keys_known, one_of, text_at
from roomops.husbandry.care_needs_text import companies_from, windings_from
from roomops.husbandry.care_tables import rows_at, stages_at, table_at, texts_at, truth_at
from roomops.husbandry.care_topics import (
    FOODS,
    PORTION,
    SIZED,
    TOPICS,
    Topic,
    category_of,
    is_alarm,
    topic_named,
)
from roomops.husbandry.units import Dimension

_TABLES = ("kind", "stage", "figure", "food", "prey", "company", "winding_down", "words")
_KIND = ("key", "name", "scientific", "active", "uv_with_day_lamp", "group", "egg_layers")
_GROUPS = tuple(str(group) for group in Group)
_STAGE = ("key", "name", "place", "from")
_FIGURE = ("topic", "stages", "claim")
_FOOD = ("stages", "feeds", "category", "kinds", "dusted", "powder", "days", "beside")
_WORDS = tuple(Words.__dataclass_fields__)
_FEEDS = ("first", "second", "third", "fourth")
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_FROM = Topic(dimension=Dimension.TIME, least=0.0, most=TOPICS["adult age"].most)
# What UTF-8 looks like when read in another encoding, the sign for a lost character, and NUL.
_BROKEN = ("Â°", "Ã", "â€", "Â½", "Â¼", "\ufffd", "\x00")


def parse(*, text: str, file: str) -> CareSheet:
    """Read a sheet. ``file`` is only named in errors.

    Raises CareSheetError (one sentence: file, field, value, remedy) for broken text, unknown keys, numbers
    without unit, standing or source, and sheets that contradict themselves.
    """
    whole = Spot(file=file, path="")
    table = _toml(text=text, at=Spot(file=file, path="the text"))
    keys_known(table=table, known=_TABLES, at=whole)
    kind = table_at(table=table, key="kind", at=whole)
    at = whole.under("kind")
    keys_known(table=kind, known=_KIND, at=at)
    stages = _stages(rows=rows_at(table=table, key="stage", at=whole), at=whole)
    keys = tuple(stage.key for stage in stages)
    words, stage_words = _all_words(table=table.get("words", {}), stages=keys, at=whole.under("words"))
    active = text_at(table=kind, key="active", at=at, remedy="write day or night")
    sheet = CareSheet(
        kind=text_at(table=kind, key="key", at=at, remedy="give the kind's name in lower case"),
        name=text_at(table=kind, key="name", at=at, remedy="give the kind's name"),
        scientific=text_at(table=kind, key="scientific", at=at, remedy="give the scientific name"),
        active=Active(one_of(value=active, known=("day", "night"), at=at.under("active"))),
        version=hashlib.sha256(text.encode()).hexdigest()[:8],
        stages=stages,
        figures=_figures(rows=rows_at(table=table, key="figure", at=whole), stages=keys, at=whole),
        foods=_foods(rows=rows_at(table=table, key="food", at=whole), stages=keys, at=whole),
        words=words,
        stage_words=stage_words,
        prey=_prey(table=table.get("prey", {}), at=whole.under("prey")),
        uv_with_day_lamp=truth_at(table=kind, key="uv_with_day_lamp", default=True, at=at),
        group=_group(kind=kind, at=at),
        egg_layers=texts_at(table=kind, key="egg_layers", at=at, known=keys),
        companies=companies_from(table=table, stages=keys, at=whole),
        windings=windings_from(table=table, stages=keys, at=whole),
    )
    check_sheet(sheet=sheet, file=file)
    return sheet


def _group(*, kind: dict[str, Any], at: Spot) -> Group | None:
    if "group" not in kind:
        return None
    remedy = f"write one of {', '.join(_GROUPS)}"
    return Group(
        one_of(
            value=text_at(table=kind, key="group", at=at, remedy=remedy), known=_GROUPS, at=at.under("group")
        )
    )


def _toml(*, text: str, at: Spot) -> dict[str, Any]:
    for mark in _BROKEN:
        if mark in text:
            line = text[: text.index(mark)].count("\n") + 1
            remedy = f"the file has lost its encoding in line {line}, so save it again as UTF-8"
            raise at.wrong(state="broken", remedy=remedy)
    if any("\ud800" <= char <= "\udfff" for char in text):
        raise at.wrong(state="broken", remedy="the file is not UTF-8, so save it again as UTF-8")
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except tomllib.TOMLDecodeError as error:
        remedy = f"mend this: {str(error).rstrip('.')}"
        raise at.wrong(state="not TOML", remedy=remedy) from error


def _stages(*, rows: list[dict[str, Any]], at: Spot) -> tuple[Stage, ...]:
    stages = tuple(
        _stage(row=row, at=at.under(f"stage {number}")) for number, row in enumerate(rows, start=1)
    )
    days = [stage.from_days for stage in stages]
    if days[0] != 0:
        raise at.under(f"stage “{stages[0].key}”").wrong(
            state=f"from {days[0]} days", remedy="begin with 0 days"
        )
    if days != sorted(set(days)):
        remedy = "give each stage a later beginning than the one before"
        raise at.under("stages").wrong(state=f"from {', '.join(map(str, days))} days", remedy=remedy)
    keys = [stage.key for stage in stages]
    if len(set(keys)) != len(keys):
        raise at.under("stages").refuse(value=", ".join(keys), remedy="give each stage its own key")
    return stages


def _stage(*, row: dict[str, Any], at: Spot) -> Stage:
    keys_known(table=row, known=_STAGE, at=at)
    key = text_at(table=row, key="key", at=at, remedy="give the stage a short name such as hatchling")
    place = text_at(table=row, key="place", at=at, remedy="write tub or tank, where it is fed")
    if "from" not in row:
        raise at.under("from").refuse(
            value=None, remedy="write {value, standing, source} of the age at which it begins"
        )
    claim = claim_from(table=row["from"], topic=_FROM, at=at.under("from"), key="from")
    return Stage(
        key=key,
        name=text_at(table=row, key="name", at=at, remedy="give the stage's name"),
        from_days=round(base_of(claim)[0] / 1440),
        place=Place(one_of(value=place, known=("tub", "tank"), at=at.under("place"))),
        from_claim=claim,
    )


def _figures(*, rows: list[dict[str, Any]], stages: tuple[str, ...], at: Spot) -> tuple[Figure, ...]:
    return tuple(
        _figure(row=row, stages=stages, at=at, number=number) for number, row in enumerate(rows, start=1)
    )


def _figure(*, row: dict[str, Any], stages: tuple[str, ...], at: Spot, number: int) -> Figure:
    name = text_at(
        table=row, key="topic", at=at.under(f"figure {number}"), remedy="name a topic such as basking"
    )
    at = at.under(f"figure “{name}”")
    keys_known(table=row, known=_FIGURE, at=at)
    topic = topic_named(name)
    if topic is None:
        raise _unknown_topic(name=name, at=at.under("topic"))
    chosen = stages_at(row=row, stages=stages, at=at)
    rows = row.get("claim")
    if not isinstance(rows, list) or not rows:
        raise at.under("claim").refuse(
            value=None, remedy="add a table [[figure.claim]] with value, standing, source"
        )
    claims = tuple(claim_from(table=claim, topic=topic, at=at) for claim in rows)
    keys = [claim.key for claim in claims]
    if len(set(keys)) != len(keys):
        raise at.under("claim keys").refuse(value=", ".join(keys), remedy="give each claim its own key")
    if is_alarm(name) and any(claim.low != claim.high for claim in claims):
        raise at.under("value").wrong(state="a span", remedy="a limit to act at is one number")
    return Figure(topic=name, stages=chosen, claims=claims)


def _unknown_topic(*, name: str, at: Spot) -> CareSheetError:
    """A kind of food is held against the foods alone, so that “portion zzz” is not near “portion rat”."""
    is_portion = name.startswith(PORTION)
    foods = (kind for category, kinds in FOODS.items() if category != "greens" for kind in kinds)
    known = tuple(foods) if is_portion else tuple(TOPICS)
    near = get_close_matches(name.removeprefix(PORTION), known, n=1)
    nearest = f"use “{PORTION if is_portion else ''}{near[0]}”" if near else ""
    return at.refuse(value=name, remedy=nearest or "use one of the topics in docs/care-sheets.md")


def _foods(*, rows: list[dict[str, Any]], stages: tuple[str, ...], at: Spot) -> tuple[FoodRule, ...]:
    return tuple(
        _food(row=row, stages=stages, at=at.under(f"food {number}"))
        for number, row in enumerate(rows, start=1)
    )


def _food(*, row: dict[str, Any], stages: tuple[str, ...], at: Spot) -> FoodRule:
    keys_known(table=row, known=_FOOD, at=at)
    category = text_at(table=row, key="category", at=at, remedy=f"write one of {', '.join(FOODS)}")
    category = one_of(value=category, known=tuple(FOODS), at=at.under("category"))
    kinds = texts_at(table=row, key="kinds", at=at, known=FOODS[category])
    feeds = texts_at(table=row, key="feeds", at=at, known=_FEEDS)
    if not kinds or not feeds:
        at = at.under("feeds" if kinds else "kinds")
        raise at.refuse(value=None, remedy="list at least one")
    days = texts_at(table=row, key="days", at=at, known=_DAYS)
    dusted = texts_at(table=row, key="dusted", at=at, known=feeds)
    powder = row.get("powder", "")
    if not isinstance(powder, str) or bool(dusted) != bool(powder):
        raise at.under("powder").refuse(
            value=str(powder) or None, remedy="name the powder where feeds are dusted"
        )
    return FoodRule(
        stages=stages_at(row=row, stages=stages, at=at),
        slots=tuple(_FEEDS.index(feed) + 1 for feed in feeds),
        category=category,
        kinds=kinds,
        dusted_slots=tuple(_FEEDS.index(feed) + 1 for feed in dusted),
        powder=powder,
        weekdays=tuple(sorted(_DAYS.index(day) + 1 for day in days)),
        beside=truth_at(table=row, key="beside", default=False, at=at),
    )


def _prey(*, table: Any, at: Spot) -> tuple[tuple[str, PreyBasis], ...]:
    if not isinstance(table, dict):
        raise at.refuse(value=str(table), remedy='write a table [prey] such as cricket = "length"')
    bases = tuple(str(basis) for basis in PreyBasis)
    found = []
    for kind, basis in table.items():
        if category_of(kind) not in SIZED:
            one_of(value=kind, known=FOODS["insect"] + FOODS["rodent"], at=at)
        found.append((kind, PreyBasis(one_of(value=str(basis), known=bases, at=at.under(kind)))))
    return tuple(found)


def _all_words(
    *, table: Any, stages: tuple[str, ...], at: Spot
) -> tuple[Words, tuple[tuple[str, Words], ...]]:
    if not isinstance(table, dict):
        raise at.refuse(value=str(table), remedy="write a table [words]")
    keys_known(table=table, known=_WORDS + stages, at=at)
    common = {key: value for key, value in table.items() if key in _WORDS}
    of_stages = ((stage, table[stage]) for stage in stages if stage in table)
    return _words(table=common, at=at), tuple(
        (stage, _words(table=own, at=at.under(stage))) for stage, own in of_stages
    )


def _words(*, table: Any, at: Spot) -> Words:
    if not isinstance(table, dict):
        raise at.refuse(value=str(table), remedy="write a table")
    keys_known(table=table, known=_WORDS, at=at)
    said = {key: texts_at(table=table, key=key, at=at) for key in table}
    for key, lines in said.items():
        for line in lines:
            if any(char.isdigit() for char in line):
                raise at.under(key).refuse(
                    value=line, remedy="put the number into a figure, with standing and source"
                )
    return Words(**said)


__all__ = ["CareSheetError", "parse"]
