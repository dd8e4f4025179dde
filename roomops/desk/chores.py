"""Duties that are done or not: a clean, insects fed and watered, greens chopped. And what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from roomops.desk.day_types import Day, RoundView
from roomops.desk.entries import Answer, Said, id_from, kept, say_or_refuse
from roomops.desk.refusals import No, Refused
from roomops.desk.rooms import hold
from roomops.planning.room import DutyKind
from roomops.records.models import EntryKind, Note, Person

CHORES = {
    DutyKind.CLEAN, DutyKind.INSECTS, DutyKind.CUPS, DutyKind.THAW, DutyKind.MIST, DutyKind.WATER,
    DutyKind.WARM,
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoreRow:
    duty: str
    label: str  # tank or room name
    done_at: datetime | None
    done_by: str
    entry: UUID | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoresView:
    day: Day
    view: RoundView
    kind: str  # DutyKind value
    rows: tuple[ChoreRow, ...]
    left: int


def chores_view(*, day: Day, round_key: str) -> ChoresView:
    """Return a round of cleans, insects or cups. Raises Refused(UNKNOWN_ROUND), also for any other round."""
    view = day.view(round_key)
    if view.round.kind not in CHORES:
        raise Refused(No.UNKNOWN_ROUND, value=round_key)
    rows = tuple(_row(day=day, key=key) for key in view.duties)
    return ChoresView(
        day=day,
        view=view,
        kind=view.round.kind.value,
        rows=rows,
        left=sum(1 for row in rows if not row.done_at),
    )


def _row(*, day: Day, key: str) -> ChoreRow:
    duty, said = day.duties[key], day.state.duties.get(key)
    return ChoreRow(
        duty=key,
        label=day.label("tank", duty.tank) if duty.tank else day.room.name,
        done_at=said.word.at if said else None,
        done_by=said.word.by_name if said else "",
        entry=said.word.entry if said else None,
    )


def done(*, day: Day, duties: Sequence[str], by: Person, form: UUID) -> tuple[Answer, ...]:
    """These duties are done; what was done before stays as it was said. Refused: UNKNOWN_DUTY."""
    for key in duties:
        if key not in day.duties or day.duties[key].kind not in CHORES:
            raise Refused(No.UNKNOWN_DUTY, value=key)
    said = [
        Said(id=id_from(form=form, duty=key), duty=key, kind=EntryKind.DONE)
        for key in dict.fromkeys(duties)
        if key not in day.state.duties
    ]
    return say_or_refuse(day=day, by=by, said=said)


def not_done(*, day: Day, duty: str, by: Person, form: UUID) -> tuple[Answer, ...]:
    """Take 'done' back: it was pressed by mistake. Refused: NOTHING_TO_UNDO."""
    before = day.state.duties.get(duty)
    if before is None or before.kind != EntryKind.DONE:
        if kept(room=day.room, ids=[form]):
            return ()
        raise Refused(No.NOTHING_TO_UNDO)
    said = Said(id=form, duty=duty, kind=EntryKind.UNDONE, corrects=before.word.entry)
    return say_or_refuse(day=day, by=by, said=[said])


def wrong(
    *, day: Day, text: str, by: Person, form: UUID, duty: str = "", resident: str = "", tank: str = ""
) -> tuple[Answer, ...]:
    """Something is wrong with an animal, a tank or the room: a note that is shown until it is settled.

    Refused: MISSING or TOO_LONG text, UNKNOWN_RESIDENT, UNKNOWN_TANK, UNKNOWN_DUTY.
    """
    if resident and resident not in day.animals:
        raise Refused(No.UNKNOWN_RESIDENT, value=resident)
    if tank and tank not in {each.key for each in day.facts.tanks}:
        raise Refused(No.UNKNOWN_TANK, value=tank)
    if duty and duty not in day.duties:
        raise Refused(No.UNKNOWN_DUTY, value=duty)
    about = {"resident": resident, "tank": tank}
    said = Said(
        id=form,
        duty=duty or f"{day.day.isoformat()}/wrong/{resident or tank or day.room.key}",
        kind=EntryKind.WRONG,
        data={"text": text, **{name: key for name, key in about.items() if key}},
    )
    return say_or_refuse(day=day, by=by, said=[said])


def settle_wrong(*, day: Day, note: int, by: Person) -> None:
    """The note is settled. Refused: NOT_YOURS for a note that this room has not, ALREADY_SETTLED."""
    with transaction.atomic():
        hold(room=day.room)
        mine = Note.objects.filter(room=day.room, pk=note, wrong=True)
        settled = mine.filter(settled_at__isnull=True).update(
            settled_at=day.now, written_at=day.now, written_by=by
        )
        if not settled:
            raise Refused(No.ALREADY_SETTLED if mine.exists() else No.NOT_YOURS)
