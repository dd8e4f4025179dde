"""A shift's set from facts and plan: pure values in, pure values out."""

from __future__ import annotations

import hashlib

from roomops.papers import cover, emergency, feeds, kitchen, quarantine, racks, trays, work
from roomops.papers.codes import WHOLE_DAY, set_code
from roomops.papers.index import CLOSING, OPENING, Index
from roomops.papers.pages import paginate
from roomops.papers.view import SetView, Sheet, Store
from roomops.papers.words import long_day_words, stamp_words
from roomops.planning.plan import Plan
from roomops.planning.room import Room

__all__ = ["CLOSING", "OPENING", "WHOLE_DAY", "build", "digest", "shifts_of"]


def build(
    *,
    facts: Room,
    plan: Plan,
    version: int,
    shift: str = WHOLE_DAY,
    store: Store | None = None,
    edition: int = 0,
) -> SetView:
    """Return a shift's set of pages for a day's plan; ``shift`` is a name of the rota, or 'day' for all.

    Every duty of the plan is in exactly one shift's set, once, with the plan's own numbers. ``version`` is
    the plan's, ``edition`` counts sets made from it (0 is A). 'As of' is ``facts.facts_changed``, not now.
    Raises KeyError for a plan whose rounds name a duty that it does not list.
    """
    store = store or Store()
    at = Index(facts=facts, plan=plan, shift=shift, store=store)
    parts = (
        cover.sheet(at=at),
        trays.sheet(at=at),
        kitchen.sheet(at=at),
        feeds.sheet(at=at),
        *racks.sheets(at=at),
        work.sheet(at=at),
        quarantine.sheet(at=at),
        emergency.sheet(at=at),
    )
    return SetView(
        room=facts.name,
        day=long_day_words(facts.day),
        shift="whole day" if shift == WHOLE_DAY else f"{shift} shift",
        code=set_code(room=facts.name, day=facts.day, shift=shift, version=version, edition=edition),
        version=version,
        as_of=stamp_words(at=facts.facts_changed, timezone=facts.timezone),
        care=_care(facts),
        vet=" ".join(filter(None, (store.vet, store.vet_phone))) or "the store's vet",
        paper=store.paper,
        sheets=tuple(page for part in parts if part for page in _pages(part, store.paper)),
    )


def _pages(sheet: Sheet, paper: str) -> tuple[Sheet, ...]:
    return paginate(sheet=sheet, paper=paper)


def _care(facts: Room) -> str:
    """'bearded dragon 1a2b3c4d, corn snake …': the care sheets and their versions that the day rests on."""
    versions = dict.fromkeys((care.kind_name, care.version) for care in facts.care)
    return ", ".join(f"{name} {version}" for name, version in sorted(versions)) or "none"


def shifts_of(*, facts: Room, plan: Plan, store: Store | None = None) -> tuple[str, ...]:
    """Names of the day's shifts in order: the sets that together hold the whole plan."""
    at = Index(facts=facts, plan=plan, shift=WHOLE_DAY, store=store or Store())
    return tuple(name for name, _ in at.sets)


def digest(*, view: SetView, stamp: str) -> str:
    """SHA-256 of all that is printed but the code; ``stamp`` is the digest of templates and fonts."""
    return hashlib.sha256(f"{stamp}\n{view.coded('')!r}".encode()).hexdigest()
