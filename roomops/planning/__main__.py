"""Plan a day from a room file, or check a plan file: no database, no web server, no framework."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from roomops.planning import codec, first_fit, improve, verify
from roomops.planning.plan import Breach, Plan
from roomops.planning.room import Room

CLEAN, WRONG_PLAN, WRONG_FILE = 0, 1, 2


def main(arguments: Sequence[str]) -> int:
    """Run one command. Returns 0; 1 when a plan breaks a rule; 2 when a file cannot be read."""
    told = _parser().parse_args(arguments)
    try:
        return int(told.run(told))
    except codec.RoomFileError as wrong:
        for sentence in wrong.sentences:
            print(sentence, file=sys.stderr)
    except OSError as wrong:
        print(f"{wrong.filename} cannot be read ({wrong.strerror}): name another file.", file=sys.stderr)
    return WRONG_FILE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m roomops.planning", description=__doc__)
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    day = commands.add_parser(
        "day", help="print a plan of the room's day (JSON; a summary on standard error)"
    )
    day.add_argument("room", type=Path, metavar="ROOM.json")
    day.add_argument(
        "--previous", type=Path, metavar="PLAN.json", help="change this plan as little as possible"
    )
    day.add_argument(
        "--iterations", type=int, default=0, metavar="N", help="better the plan in N steps (0: none)"
    )
    day.add_argument("--seed", type=int, default=None, metavar="S", help="of the steps; else the room's own")
    day.set_defaults(run=_day)
    check = commands.add_parser("verify", help="list every rule that a plan breaks; exit 1 if there is one")
    check.add_argument("room", type=Path, metavar="ROOM.json")
    check.add_argument("plan", type=Path, metavar="PLAN.json")
    check.set_defaults(run=_verify)
    return parser


def _day(told: argparse.Namespace) -> int:
    room = codec.read_room(told.room)
    previous = codec.read_plan(told.previous) if told.previous else None
    plan = first_fit.plan_day(room=room, previous=previous)
    if told.iterations > 0:
        seed = room.settings.seed if told.seed is None else told.seed
        plan = improve.plan_day(
            room=room, start=plan, iterations=told.iterations, seed=seed, previous=previous
        )
    found = verify.breaches(room=room, plan=plan)
    print(codec.plan_text(plan), end="")
    for line in (*_summary(room=room, plan=plan), *map(_breach, found)):
        print(line, file=sys.stderr)
    return WRONG_PLAN if found else CLEAN


def _verify(told: argparse.Namespace) -> int:
    room, plan = codec.read_room(told.room), codec.read_plan(told.plan)
    found = verify.breaches(room=room, plan=plan)
    if plan.facts != codec.digest(room):
        room_then = "The plan answers other facts than this room file holds (its digest differs)."
        print(room_then, file=sys.stderr)
    for each in found:
        print(_breach(each))
    print(f"{len(found)} breaches in {len(plan.rounds)} rounds.", file=sys.stderr)
    return WRONG_PLAN if found else CLEAN


def _breach(found: Breach) -> str:
    numbers = ", ".join(f"{name} {value:g}" for name, value in found.numbers)
    about = " ".join(part for part in (found.round, found.duty) if part)
    return f"breach: {found.rule}: {about}" + (f" ({numbers})" if numbers else "")


def _summary(*, room: Room, plan: Plan) -> list[str]:
    named = {p.key: p.name for p in room.people}
    heads = {d.key: d.heads for d in plan.duties}
    lines = [
        f"{room.name}, {plan.day}: {len(plan.rounds)} rounds, {len(plan.unplaced)} duties without a place."
    ]
    for each in plan.rounds:
        count = sum(heads[k] for k in each.duties)
        what = f"{each.kind.value} {each.slot}" if each.slot else each.kind.value
        apart = ", quarantine" if each.quarantine else ""
        tray = f", tray {each.tray}" if each.tray else ""
        who = named.get(each.person, each.person)
        lines.append(
            f"{each.number:3} {_clock(each.start)}-{_clock(each.end)} {who}: {what}, {count}{tray}{apart}"
        )
    for short in plan.unplaced:
        numbers = ", ".join(f"{name} {value:g}" for name, value in short.numbers)
        lines.append(f"left: {short.duty}: {short.why.value} ({numbers})")
    return lines


def _clock(minute: int) -> str:
    """Minutes since midnight as hours and minutes; on the day of a clock change they are hours passed."""
    return f"{minute // 60}:{minute % 60:02}"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
