"""A sheet's tables on company and on winding down by season: each a claim with its standing and source."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from roomops.husbandry.care import Alone, Company, Group, WindingDown
from roomops.husbandry.care_claims import note_of, source_of, standing_of
from roomops.husbandry.care_errors import Spot, keys_known
from roomops.husbandry.care_tables import rows_at, stages_at, texts_at, truth_at

_CLAIM = ("stages", "standing", "source", "note")
_COMPANY = (*_CLAIM, "alone", "eats", "sight_apart")
_WINDING = (*_CLAIM, "months", "cooled")
_ALONE = tuple(str(why) for why in Alone)
_GROUPS = tuple(str(group) for group in Group)
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip


def companies_from(
    *, table: dict[str, Any], stages: tuple[str, ...], at: Spot
) -> tuple[tuple[tuple[str, ...], Company], ...]:
    """Return what never works in company, by stages; () for a sheet that says nothing."""
    if "company" not in table:
        return ()
    found = []
    for number, row in enumerate(rows_at(table=table, key="company", at=at), start=1):
        spot = at.under(f"company {number}")
        keys_known(table=row, known=_COMPANY, at=spot)
        found.append((stages_at(row=row, stages=stages, at=spot), _company(row=row, at=spot)))
    _once(rows=tuple(named for named, _ in found), at=at.under("company"))
    return tuple(found)


def _company(*, row: dict[str, Any], at: Spot) -> Company:
    company = Company(
        alone=tuple(Alone(why) for why in texts_at(table=row, key="alone", at=at, known=_ALONE)),
        eats=tuple(Group(group) for group in texts_at(table=row, key="eats", at=at, known=_GROUPS)),
        sight_apart=truth_at(table=row, key="sight_apart", default=False, at=at),
        standing=(standing := standing_of(table=row, at=at)),
        source=source_of(table=row, standing=standing, at=at),
        note=note_of(table=row, at=at),
    )
    if not (company.alone or company.eats or company.sight_apart):
        raise at.wrong(state="empty", remedy="say why it lives alone, whom it eats or sight_apart = true")
    return company


def windings_from(
    *, table: dict[str, Any], stages: tuple[str, ...], at: Spot
) -> tuple[tuple[tuple[str, ...], WindingDown], ...]:
    """Return the seasons of rest, by stages. Only the last stage may be cooled: never the young."""
    if "winding_down" not in table:
        return ()
    found = []
    for number, row in enumerate(rows_at(table=table, key="winding_down", at=at), start=1):
        spot = at.under(f"winding_down {number}")
        keys_known(table=row, known=_WINDING, at=spot)
        named = stages_at(row=row, stages=stages, at=spot)
        winding = _winding(row=row, at=spot)
        young = [stage for stage in named if stage != stages[-1]]
        if winding.cooled and young:
            remedy = f"the young are never cooled, so leave only “{stages[-1]}”"
            raise spot.under("stages").refuse(value=", ".join(young), remedy=remedy)
        found.append((named, winding))
    _once(rows=tuple(named for named, _ in found), at=at.under("winding_down"))
    return tuple(found)


def _winding(*, row: dict[str, Any], at: Spot) -> WindingDown:
    months = tuple(
        MONTHS.index(month) + 1 for month in texts_at(table=row, key="months", at=at, known=MONTHS)
    )
    if not months:
        raise at.under("months").refuse(value=None, remedy="list the months in their order, as November")
    if any(after % 12 != (before + 1) % 12 for before, after in pairwise(months)):
        named = ", ".join(MONTHS[month - 1] for month in months)
        raise at.under("months").refuse(value=named, remedy="write one unbroken season in its order")
    return WindingDown(
        months=months,
        cooled=truth_at(table=row, key="cooled", default=False, at=at),
        standing=(standing := standing_of(table=row, at=at)),
        source=source_of(table=row, standing=standing, at=at),
        note=note_of(table=row, at=at),
    )


def _once(*, rows: tuple[tuple[str, ...], ...], at: Spot) -> None:
    named = [stage for row in rows for stage in row]
    twice = [stage for stage in named if named.count(stage) > 1]
    if twice:
        raise at.wrong(state=f"there twice for {twice[0]}", remedy="put it into one table")
