"""What must agree within a care sheet: nothing missing, nothing said twice, nothing upside down."""

from __future__ import annotations

from roomops.husbandry.care import Active, CareSheet, Claim, Figure, FoodRule, PreyBasis, Standing
from roomops.husbandry.care_claims import base_of
from roomops.husbandry.care_errors import Spot
from roomops.husbandry.care_needs_checks import check_needs
from roomops.husbandry.care_topics import (
    ACT_ABOVE,
    ACT_BELOW,
    BANDS,
    DAY_WINDOW,
    EVERY_STAGE,
    GAP_WITH,
    NIGHT_WINDOW,
    PORTION,
    SIZED,
    WATER,
    is_alarm,
)

_ALARM_STANDINGS = (Standing.PUBLISHED, Standing.HOUSE_CHOICE)
_WEEK = range(1, 8)
_DAY_MIN = 1440.0


def check_sheet(*, sheet: CareSheet, file: str) -> None:
    """Raise CareSheetError for the first thing that does not agree."""
    whole = Spot(file=file, path="")
    _once(sheet=sheet, at=whole)
    _alarms_rest_on_something(sheet=sheet, at=whole)
    for stage in sheet.stages:
        at = whole.under(f"stage “{stage.key}”")
        figures = figures_of(sheet=sheet, stage=stage.key)
        _complete(sheet=sheet, figures=figures, at=at)
        _order(figures=figures, at=at)
        _limits_outside(figures=figures, at=at)
        _feeds(sheet=sheet, stage=stage.key, figures=figures, at=at)
        check_needs(sheet=sheet, stage=stage.key, figures=figures, at=at)


def figures_of(*, sheet: CareSheet, stage: str) -> dict[str, Figure]:
    """Return the figures that hold for a stage, by topic."""
    return {figure.topic: figure for figure in sheet.figures if stage in figure.stages}


def out_of_order(*, low: Claim, high: Claim, strict: bool) -> bool:
    """Return True when the band of ``high`` does not lie above that of ``low``.

    ``strict`` compares both ends; otherwise the middles, since one source's night may reach into
    another's cool side.
    """
    (low_from, low_to), (high_from, high_to) = base_of(low), base_of(high)
    if strict:
        return high_from < low_from or high_to < low_to
    return high_from + high_to < low_from + low_to


def _once(*, sheet: CareSheet, at: Spot) -> None:
    seen: set[tuple[str, str]] = set()
    for figure in sheet.figures:
        for stage in figure.stages:
            if (figure.topic, stage) in seen:
                remedy = "put all claims on one topic and stage under one figure"
                raise at.under(f"figure “{figure.topic}”").wrong(
                    state=f"there twice for {stage}", remedy=remedy
                )
            seen.add((figure.topic, stage))


def _alarms_rest_on_something(*, sheet: CareSheet, at: Spot) -> None:
    for figure in sheet.figures:
        for claim in figure.claims:
            if is_alarm(figure.topic) and claim.standing not in _ALARM_STANDINGS:
                remedy = "a limit to act at has to be published or a house choice"
                raise at.under(f"figure “{figure.topic}”, standing").refuse(
                    value=str(claim.standing), remedy=remedy
                )


def _complete(*, sheet: CareSheet, figures: dict[str, Figure], at: Spot) -> None:
    windows = DAY_WINDOW if sheet.active is Active.DAY else (NIGHT_WINDOW,)
    for topic in (*EVERY_STAGE, *windows):
        in_water = topic == "humidity" and WATER in figures  # what lives in water asks for no humidity
        if topic not in figures and not in_water:
            remedy = "add a figure for this stage with value, standing and source"
            raise at.under(f"topic “{topic}”").refuse(value=None, remedy=remedy)
    for feeds in range(2, _most_feeds(figures) + 1):
        if GAP_WITH[feeds] not in figures:
            remedy = "say how far apart the feeds start"
            raise at.under(f"topic “{GAP_WITH[feeds]}”").refuse(value=None, remedy=remedy)


def _most_feeds(figures: dict[str, Figure]) -> int:
    return max(round(claim.high) for claim in figures["feeds a day"].claims)


def _limits_outside(*, figures: dict[str, Figure], at: Spot) -> None:
    for band in BANDS:
        for side, sign in ((ACT_BELOW, 1), (ACT_ABOVE, -1)):
            limit = figures.get(band + side)
            if limit is not None:
                _one_limit(
                    limit=limit, band=figures.get(band), sign=sign, at=at.under(f"figure “{band}{side}”")
                )


def _one_limit(*, limit: Figure, band: Figure | None, sign: int, at: Spot) -> None:
    if band is None:
        raise at.wrong(state="without its band", remedy="add the band that it belongs to")
    for claim in band.claims:
        edge = base_of(claim)[0 if sign > 0 else 1]
        for act in limit.claims:
            if (edge - base_of(act)[0]) * sign <= 0:
                span = f"{claim.low:g} to {claim.high:g} {claim.unit}"
                remedy = f"move it outside the band {span} (claim “{claim.key}”)"
                raise at.refuse(value=f"{act.low:g} {act.unit}", remedy=remedy)


def _order(*, figures: dict[str, Figure], at: Spot) -> None:
    for lower, upper in (("night", "cool side"), ("cool side", "basking")):
        if lower not in figures or upper not in figures:
            continue
        low, high = figures[lower].claims[0], figures[upper].claims[0]
        if out_of_order(low=low, high=high, strict=True):
            remedy = f"it has to lie above the {lower} band {low.low:g} to {low.high:g} {low.unit}"
            raise at.under(f"figure “{upper}”").refuse(
                value=f"{high.low:g} to {high.high:g} {high.unit}", remedy=remedy
            )


def _feeds(*, sheet: CareSheet, stage: str, figures: dict[str, Figure], at: Spot) -> None:
    """Each feed has one food a day; for each prey it is said how it is measured, how large and how many."""
    days: dict[int, set[int]] = {}
    for rule in (rule for rule in sheet.foods if stage in rule.stages):
        if rule.category in SIZED:
            _prey(rule=rule, bases=dict(sheet.prey), figures=figures, at=at)
        for slot in () if rule.beside else rule.slots:
            taken, own = days.setdefault(slot, set()), set(rule.weekdays or _WEEK)
            if taken & own:
                remedy = "one food to a feed, days of its own for each, or beside = true for what stands by"
                raise at.under("food").wrong(state=f"given twice for feed {slot}", remedy=remedy)
            taken |= own
    most = _most_feeds(figures)
    if set(days) != set(range(1, most + 1)):
        value = f"for feeds {', '.join(map(str, sorted(days))) or 'none'} while the day has {most}"
        raise at.under("food").wrong(state=value, remedy="give each feed of the day its food")
    _days_reached(days=days, figures=figures, at=at)


def _days_reached(*, days: dict[int, set[int]], figures: dict[str, Figure], at: Spot) -> None:
    """A feed that is not daily may fall on any weekday: a day without food would be a feed left out."""
    every = max(round(base_of(claim)[1] / _DAY_MIN) for claim in figures["feed every"].claims)
    for slot, named in days.items():
        if every > 1 and named != set(_WEEK):
            remedy = "give every weekday its food, since a feed that is not daily may fall on any"
            raise at.under("food").wrong(state=f"without food on some days for feed {slot}", remedy=remedy)


def _prey(*, rule: FoodRule, bases: dict[str, PreyBasis], figures: dict[str, Figure], at: Spot) -> None:
    for kind in rule.kinds:
        if kind not in bases:
            raise at.under(f"[prey], {kind}").refuse(value=None, remedy="say length, width or girth")
        share = "prey to widest part" if bases[kind] is PreyBasis.GIRTH else "prey to gap"
        for topic in (PORTION + rule.kinds[0], share):
            if topic not in figures:
                spot = at.under(f"topic “{topic}”")
                raise spot.refuse(value=None, remedy=f"the sheet feeds {kind}, so add it")
