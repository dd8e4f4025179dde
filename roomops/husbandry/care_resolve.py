"""From a sheet with all its claims to one stage's care in base units: the chosen claims, else the first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields

from roomops.husbandry.care import (
    Active,
    Band,
    CareSheet,
    Cited,
    Claim,
    Dish,
    Feeding,
    FoodRule,
    Meal,
    Need,
    PreyBasis,
    Stage,
    StageCare,
    WindingDown,
    Words,
)
from roomops.husbandry.care_checks import figures_of, out_of_order
from roomops.husbandry.care_claims import base_of
from roomops.husbandry.care_needs_resolve import (
    band_of,
    company_of,
    days_of,
    hands_of,
    low_of,
    mist_of,
    sun_of,
    water_of,
    winding_of,
)
from roomops.husbandry.care_topics import DAY_WINDOW, GAP_WITH, NIGHT_WINDOW, PORTION, SIZED, STAYS


class ChoiceError(ValueError):
    """A room's choice that the sheet cannot follow. ``str`` is one sentence."""

    def __init__(self, *, kind: str, choice: str, value: str, remedy: str) -> None:
        self.kind = kind
        self.choice = choice
        self.value = value
        self.remedy = remedy
        super().__init__(f"The choice “{choice}” of {kind} is “{value}”: {remedy}.")


def stage_for(*, sheet: CareSheet, age_days: int) -> Stage:
    """Return the life stage at an age. Raises ValueError for an animal that hatches in the future."""
    if age_days < 0:
        raise ValueError(f"An age of {age_days} days is in the future: check the hatch date.")
    return next(stage for stage in reversed(sheet.stages) if stage.from_days <= age_days)


def resolve(*, sheet: CareSheet, stage: str, choices: Mapping[str, str]) -> StageCare:
    """Return the care of one stage.

    ``choices`` maps 'topic/stage' or 'topic' to the key of a claim; what is not chosen is the sheet's first
    claim. A choice by topic alone holds in the stages that have such a claim. Raises ChoiceError for a topic,
    stage or claim that the sheet does not have and for choices whose bands contradict each other, LookupError
    for an unknown stage.
    """
    found = next((known for known in sheet.stages if known.key == stage), None)
    if found is None:
        raise LookupError(
            f"{sheet.name} has no stage “{stage}”, only {', '.join(s.key for s in sheet.stages)}."
        )
    _check_choices(sheet=sheet, choices=choices)
    cited = _cited(sheet=sheet, stage=stage, choices=choices)
    by_topic = {one.topic: one.claim for one in cited}
    _check_order(sheet=sheet, by_topic=by_topic)
    return StageCare(
        kind=sheet.kind,
        stage=stage,
        kind_name=sheet.name,
        stage_name=found.name,
        scientific=sheet.scientific,
        active=sheet.active,
        version=sheet.version,
        basking_c=band_of(by_topic=by_topic, topic="basking"),
        cool_c=band_of(by_topic=by_topic, topic="cool side"),
        night_c=band_of(by_topic=by_topic, topic="night"),
        humidity_pct=band_of(by_topic=by_topic, topic="humidity"),
        uvi=band_of(by_topic=by_topic, topic="uv index"),
        uv_with_day_lamp=sheet.uv_with_day_lamp,
        photoperiod_h=_photoperiod(by_topic),
        feeding=_feeding(sheet=sheet, stage=found, by_topic=by_topic),
        group_most=round(by_topic["group most"].high),
        floor_cm2=low_of(by_topic=by_topic, topic="floor"),
        weigh_every_days=days_of(by_topic=by_topic, topic="weigh every"),
        vet_every_days=days_of(by_topic=by_topic, topic="vet every"),
        clean_every_days=days_of(by_topic=by_topic, topic="clean every"),
        gap_per_length=low_of(by_topic=by_topic, topic="gap of length"),
        quarantine_days=days_of(by_topic=by_topic, topic="quarantine"),
        cited=cited,
        words=_words(sheet=sheet, stage=stage),
        group=sheet.group,
        company=company_of(companies=sheet.companies, stage=stage),
        mist=mist_of(by_topic),
        water=water_of(by_topic),
        winding_down=winding_of(winding=_winding(sheet=sheet, stage=stage), by_topic=by_topic),
        egg_layer=stage in sheet.egg_layers,
        sun=sun_of(by_topic),
        handlers=round(by_topic["handlers"].high) if "handlers" in by_topic else 1,
        hands=hands_of(by_topic),
        height_mm=low_of(by_topic=by_topic, topic="home height"),
        humidity_night_pct=band_of(by_topic=by_topic, topic="night humidity"),
    )


def _check_choices(*, sheet: CareSheet, choices: Mapping[str, str]) -> None:
    for choice, key in choices.items():
        topic, _, stage = choice.partition("/")
        figures = [f for f in sheet.figures if f.topic == topic and (not stage or stage in f.stages)]
        if not figures:
            remedy = "the sheet says nothing on that, so take the choice away"
            raise ChoiceError(kind=sheet.name, choice=choice, value=key, remedy=remedy)
        keys = sorted({claim.key for figure in figures for claim in figure.claims})
        if key not in keys:
            remedy = f"the sheet knows no such claim, so choose one of {', '.join(keys)}"
            raise ChoiceError(kind=sheet.name, choice=choice, value=key, remedy=remedy)


def _cited(*, sheet: CareSheet, stage: str, choices: Mapping[str, str]) -> tuple[Cited, ...]:
    cited = []
    for topic, figure in figures_of(sheet=sheet, stage=stage).items():
        wanted = choices.get(f"{topic}/{stage}", choices.get(topic, ""))
        claim = next((c for c in figure.claims if c.key == wanted), figure.claims[0])
        others = tuple(other for other in figure.claims if other is not claim)
        cited.append(Cited(topic=topic, claim=claim, others=others))
    return tuple(cited)


def _check_order(*, sheet: CareSheet, by_topic: Mapping[str, Claim]) -> None:
    for lower, upper, strict in (("night", "cool side", False), ("cool side", "basking", True)):
        if lower not in by_topic or upper not in by_topic:
            continue
        low, high = by_topic[lower], by_topic[upper]
        if out_of_order(low=low, high=high, strict=strict):
            remedy = f"it does not lie above the {lower} band of claim “{low.key}”, so choose another"
            raise ChoiceError(kind=sheet.name, choice=upper, value=high.key, remedy=remedy)


def _minutes(*, by_topic: Mapping[str, Claim], topic: str, most: bool = False) -> int | None:
    return round(base_of(by_topic[topic])[1 if most else 0]) if topic in by_topic else None


def _photoperiod(by_topic: Mapping[str, Claim]) -> Band | None:
    if "photoperiod winter" not in by_topic or "photoperiod summer" not in by_topic:
        return None
    shortest, longest = base_of(by_topic["photoperiod winter"])[0], base_of(by_topic["photoperiod summer"])[1]
    return Band(low=shortest / 60, high=longest / 60)


def _feeding(*, sheet: CareSheet, stage: Stage, by_topic: Mapping[str, Claim]) -> Feeding:
    day = sheet.active is Active.DAY
    feeds = by_topic["feeds a day"]
    most = round(feeds.high)
    rules = tuple(rule for rule in sheet.foods if stage.key in rule.stages)
    watch = _minutes(by_topic=by_topic, topic="watch", most=True)
    out = _minutes(by_topic=by_topic, topic="most out of heat")
    return Feeding(
        place=stage.place,
        every_days=days_of(by_topic=by_topic, topic="feed every"),
        meals=_meals(rules=rules, by_topic=by_topic, must=round(feeds.low), most=most),
        opens_after_on_min=_minutes(by_topic=by_topic, topic=DAY_WINDOW[0]) if day else None,
        closes_before_off_min=_minutes(by_topic=by_topic, topic=DAY_WINDOW[1]) if day else None,
        opens_after_off_min=None if day else _minutes(by_topic=by_topic, topic=NIGHT_WINDOW),
        closes_after_off_min=None if day else _minutes(by_topic=by_topic, topic=NIGHT_WINDOW, most=True),
        gap_min=tuple(
            (count, round(base_of(by_topic[topic])[0]))
            for count, topic in GAP_WITH.items()
            if topic in by_topic
        ),
        watch_min=watch or 0,
        most_out_min=out or 0,
        prey_basis=_prey_basis(sheet=sheet, rules=rules),
        no_handling_after_h=(_minutes(by_topic=by_topic, topic="no handling after feed", most=True) or 0)
        // 60,
        dishes=_dishes(rules=rules, most=most),
        prey_share=_prey_share(by_topic),
    )


def _meals(
    *, rules: tuple[FoodRule, ...], by_topic: Mapping[str, Claim], must: int, most: int
) -> tuple[Meal, ...]:
    """One meal to a feed, or one for some of its weekdays; feeds up to the claim's lower number are must."""
    return tuple(
        _meal(rule=rule, slot=slot, by_topic=by_topic, need=Need.MUST if slot <= must else Need.SHOULD)
        for slot in range(1, most + 1)
        for rule in rules
        if slot in rule.slots and not rule.beside
    )


def _meal(*, rule: FoodRule, slot: int, by_topic: Mapping[str, Claim], need: Need) -> Meal:
    sized = rule.category in SIZED
    portions = tuple((kind, by_topic[PORTION + kind]) for kind in rule.kinds if PORTION + kind in by_topic)
    counts = tuple((kind, round(claim.low)) for kind, claim in portions if sized)
    dusted = slot in rule.dusted_slots
    return Meal(
        slot=slot,
        need=need,
        category=rule.category,
        kinds=rule.kinds,
        count=dict(counts).get(rule.kinds[0], 0),
        dusted=dusted,
        powder=rule.powder if dusted else "",
        counts=counts,
        weekdays=rule.weekdays,
        watched=rule.category not in STAYS,
        grams=tuple((kind, base_of(claim)[0]) for kind, claim in portions if not sized),
        sized=sized,
    )


def _dishes(*, rules: tuple[FoodRule, ...], most: int) -> tuple[Dish, ...]:
    return tuple(
        Dish(slot=slot, category=rule.category, kinds=rule.kinds, weekdays=rule.weekdays)
        for rule in rules
        for slot in rule.slots
        if rule.beside and slot <= most
    )


def _prey_basis(*, sheet: CareSheet, rules: tuple[FoodRule, ...]) -> tuple[tuple[str, PreyBasis], ...]:
    fed = {kind for rule in rules for kind in rule.kinds}
    return tuple((kind, basis) for kind, basis in sheet.prey if kind in fed)


def _prey_share(by_topic: Mapping[str, Claim]) -> float:
    shares = [by_topic[topic].high for topic in ("prey to gap", "prey to widest part") if topic in by_topic]
    return min(shares, default=1.0)


def _winding(*, sheet: CareSheet, stage: str) -> WindingDown | None:
    return next((winding for stages, winding in sheet.windings if stage in stages), None)


def _words(*, sheet: CareSheet, stage: str) -> Words:
    own = next((words for key, words in sheet.stage_words if key == stage), Words())
    return Words(**{f.name: getattr(own, f.name) + getattr(sheet.words, f.name) for f in fields(Words)})
