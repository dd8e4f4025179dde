"""The shelf under a thousand random movements: does the ledger balance, and what does one movement cost?"""

from __future__ import annotations

import time
from collections.abc import Iterator
from random import Random
from uuid import UUID

from django.core.management import call_command
from django.db import transaction

from roomops.desk import stock
from roomops.desk.entries import Said, say
from roomops.desk.refusals import Refused
from roomops.records import models as m
from tests import makers
from tests.bench.measure import Figure

MOVES = 1000
SEED = 31
START = 30_000
FEED = "2026-06-09/feed/h1-two-dots/1"


def figures() -> Iterator[Figure]:
    """Yield one line: a movement against a bare line of the ledger, and whether the sum is right."""
    call_command("migrate", verbosity=0)
    morning = makers.an_ordinary_morning()
    batch = makers.a_batch(morning.room, "c-500", "cricket", START, size_mm=6)
    say(room=morning.room, by=morning.oskar, said=[], now=makers.NOW)  # the day's plan is made before
    since = time.perf_counter()
    tally, refused = _moved(morning, batch)
    taken = (time.perf_counter() - since) / MOVES
    found = stock.on_hand(batch=batch)
    lines = m.LedgerLine.objects.filter(batch=batch).count()
    yield Figure(
        what=f"one of {MOVES} random movements: counted, thrown out, fed, corrected, pressed twice",
        seconds=taken,
        limit_what="a bare line of the ledger",
        limit_seconds=_bare(batch),
        note=f"{'balances' if abs(found - tally) < 1e-6 else 'OFF'}: {found:g} on hand by {lines} lines, "
        f"{tally:g} by a pencil beside it; {refused} refused",
    )


def _moved(morning: makers.Morning, batch: m.Batch) -> tuple[float, int]:
    """Move at random; return what a person with a pencil would have, and how many were refused."""
    random, tally, fed, refused = Random(SEED), float(START), 0.0, 0
    hand = {"room": morning.room, "batch": batch.key, "now": makers.at("09:00"), "by": morning.oskar}
    for _ in range(MOVES):
        form = UUID(int=random.getrandbits(128), version=4)
        move = random.choice(("count", "throw", "feed", "twice"))
        if move == "feed":  # a second word about one meal: the first one's food comes back
            offered = float(random.randint(0, 8))
            _feed(morning, batch, form, offered)
            tally, fed = tally + fed - offered, offered
        elif move == "throw":
            amount = random.randint(1, 400)
            try:
                stock.throw_out(amount=amount, form=form, **hand)
                tally -= amount
            except Refused:
                refused += 1
        else:
            tally = float(max(tally + random.randint(-50, 50), 0))
            for _ in range(1 + (move == "twice")):
                stock.count(amount=tally, form=form, **hand)
    return tally, refused


def _feed(morning: makers.Morning, batch: m.Batch, form: UUID, offered: float) -> None:
    last = m.Entry.objects.filter(duty=FEED, corrections=None).first()
    data = {"offered": int(offered), "left": 0, "food": batch.key}
    said = Said(id=form, duty=FEED, kind="count", head=1, data=data, corrects=last.id if last else None)
    say(room=morning.room, by=morning.oskar, said=[said], now=makers.at("09:00"))


def _bare(batch: m.Batch) -> float:
    since = time.perf_counter()
    for _ in range(200):
        with transaction.atomic():
            makers.a_ledger_line(batch, 1, "counted")
    return (time.perf_counter() - since) / 200
