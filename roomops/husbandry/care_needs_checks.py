"""What must agree on mist, water, company, rest, eggs and sun: half of a need said is a need forgotten."""

from __future__ import annotations

from roomops.husbandry.care import CareSheet, Figure
from roomops.husbandry.care_errors import Spot
from roomops.husbandry.care_topics import MIST, MIST_WINDOWS, SUN, WATER, WITH_SUN, WITH_WATER

_AT_REST = ("weigh at rest every", "weight loss at rest act above")


def check_needs(*, sheet: CareSheet, stage: str, figures: dict[str, Figure], at: Spot) -> None:
    """Raise CareSheetError for the first need of a stage that is said only in part."""
    _all_or_none(lead=WATER, rest=WITH_WATER, figures=figures, at=at)
    _all_of(lead=SUN, rest=WITH_SUN, figures=figures, at=at)
    _mist(figures=figures, at=at)
    _alone(sheet=sheet, stage=stage, figures=figures, at=at)
    _rest(sheet=sheet, stage=stage, figures=figures, at=at)
    _eggs(sheet=sheet, stage=stage, at=at)


def _all_of(*, lead: str, rest: tuple[str, ...], figures: dict[str, Figure], at: Spot) -> None:
    for topic in rest if lead in figures else ():
        if topic not in figures:
            raise at.under(f"topic “{topic}”").refuse(value=None, remedy=f"it belongs to “{lead}”, so add it")


def _all_or_none(*, lead: str, rest: tuple[str, ...], figures: dict[str, Figure], at: Spot) -> None:
    _all_of(lead=lead, rest=rest, figures=figures, at=at)
    for topic in rest:
        if topic in figures and lead not in figures:
            remedy = f"add the band “{lead}” that it belongs to"
            raise at.under(f"figure “{topic}”").wrong(state=f"without “{lead}”", remedy=remedy)


def _mist(*, figures: dict[str, Figure], at: Spot) -> None:
    windows = [topic for topic in MIST_WINDOWS if topic in figures]
    if MIST not in figures:
        if windows:
            remedy = f"add a figure “{MIST}”"
            raise at.under(f"figure “{windows[0]}”").wrong(state="without a number of times", remedy=remedy)
        return
    _all_of(lead=MIST, rest=("mist time",), figures=figures, at=at)
    most = max(round(claim.high) for claim in figures[MIST].claims)
    if len(windows) < most:
        remedy = f"give each its window, from {', '.join(MIST_WINDOWS)}"
        raise at.under(f"figure “{MIST}”").wrong(state=f"{most} with {len(windows)} windows", remedy=remedy)


def _alone(*, sheet: CareSheet, stage: str, figures: dict[str, Figure], at: Spot) -> None:
    company = next((company for stages, company in sheet.companies if stage in stages), None)
    most = round(figures["group most"].claims[0].high)
    if company is not None and company.alone and most > 1:
        remedy = "give reasons only to stages whose “group most” is 1"
        raise at.under("company, alone").wrong(state=f"there for a group of {most}", remedy=remedy)


def _rest(*, sheet: CareSheet, stage: str, figures: dict[str, Figure], at: Spot) -> None:
    winding = next((winding for stages, winding in sheet.windings if stage in stages), None)
    for topic in _AT_REST if winding is not None and winding.cooled else ():
        if topic not in figures:
            remedy = "an animal at rest is weighed, so say how often and from which loss somebody acts"
            raise at.under(f"topic “{topic}”").refuse(value=None, remedy=remedy)


def _eggs(*, sheet: CareSheet, stage: str, at: Spot) -> None:
    own = next((words for key, words in sheet.stage_words if key == stage), None)
    if stage in sheet.egg_layers and not sheet.words.laying and not (own and own.laying):
        remedy = "say in words where she lays, what is seen before and when the vet is called"
        raise at.under("words, laying").refuse(value=None, remedy=remedy)
