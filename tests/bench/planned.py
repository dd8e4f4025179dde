"""How long a quick plan takes, from rooms of every size, against reading the same room from its file."""

from __future__ import annotations

import sys
from collections.abc import Iterator

from roomops.planning import codec, first_fit, verify
from tests.bench.measure import Figure, median, spoken
from tests.rooms import SIZES, everything, generated

TARGET_S = 0.2
SOLVERS = ("ortools", "highspy", "scipy", "numpy")


def figures() -> Iterator[Figure]:
    """Yield a line a size. The target is 0.2 s for any size, with no solver in the process."""
    plain = [(name, size, generated(**size)) for name, size in SIZES.items()]
    full = [(f"{name}, every duty in it", size, everything(**size)) for name, size in SIZES.items()]
    for name, size, room in [*plain, *full]:
        text = codec.room_text(room)
        plan = first_fit.plan_day(room=room)
        taken = median(lambda room=room: first_fit.plan_day(room=room), runs=7)
        checked = median(lambda room=room, plan=plan: verify.breaches(room=room, plan=plan), runs=3)
        loaded = [solver for solver in SOLVERS if solver in sys.modules]
        breaches = len(verify.breaches(room=room, plan=plan))
        yield Figure(
            what=f"quick plan, {name}: {size['residents']} residents, {size['tubs']} tubs, "
            f"{size['people']} people",
            seconds=taken,
            limit_what="reading the room file",
            limit_seconds=median(lambda text=text: codec.parse_room(text), runs=5),
            note=(
                f"{'within' if taken <= TARGET_S else 'OVER'} the target of {spoken(TARGET_S)}; "
                f"{len(plan.rounds)} rounds, unserved: {plan.scores.must} must, {plan.scores.should} should; "
                f"{breaches} breaches in {spoken(checked)}; solver loaded: {', '.join(loaded) or 'none'}"
            ),
        )
