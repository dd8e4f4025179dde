"""Pages at 30 and 500 residents against their template with its values ready; a count's request."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from django.core.management import call_command
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.template import loader
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext, setup_test_environment, teardown_test_environment
from django.urls import path

from roomops.desk.day import open_day
from roomops.planning.room import DutyKind
from roomops.records import models as m
from roomops.screens import urls as real
from roomops.screens.door import open_to_all
from roomops.tasks import clock
from tests import makers
from tests.bench.measure import Figure, median
from tests.bench.rooms import stored

RUNS = 9


@dataclass(frozen=True, slots=True)
class Bench:
    room: m.Room
    client: Client
    feed: str


def figures() -> Iterator[Figure]:
    """Yield a line a page and size, then the count."""
    call_command("migrate", verbosity=0)
    call_command("collectstatic", interactive=False, verbosity=0)
    clock.now = lambda *, zone: makers.at("10:40").astimezone(zone)  # every page at the same moment
    with override_settings(ALLOWED_HOSTS=["*"], ROOT_URLCONF="tests.bench.pages"):
        for residents in (30, 500):
            bench = _bench(residents)
            pages = (
                ("Today", "/"), ("Feeding round", f"/feeding/{bench.feed}"), ("Insects", "/insects"),
                ("Lamps", "/lamps"),
            )  # fmt: skip
            for name, address in pages:
                yield _page(bench, f"{name}, {residents} residents", address)
            yield _count(bench, residents)


def _bench(residents: int) -> Bench:
    room = stored(residents=residents)
    day = open_day(room=room, day=makers.DAY, now=makers.at("10:40"))
    feed = next(v.key for v in day.rounds if v.round.kind is DutyKind.FEED and v.in_tubs)
    client = Client()
    client.force_login(m.Account.objects.get(username=f"bench-{residents}"))
    return Bench(room, client, feed)


def _page(bench: Bench, what: str, address: str) -> Figure:
    setup_test_environment()  # only while the page's values are taken: it slows every rendering
    with CaptureQueriesContext(connection) as asked:
        answer = bench.client.get(address)
    teardown_test_environment()
    queries = len(asked)
    assert answer.status_code == 200, (address, answer.status_code)
    name, context = answer.templates[0].name, answer.context[0].flatten()
    template = loader.get_template(name).template
    ready = median(lambda: template.render(_context(context)), runs=RUNS)
    taken = median(lambda: bench.client.get(address), runs=RUNS)
    return Figure(
        what=what,
        seconds=taken,
        limit_what="its template from ready values",
        limit_seconds=ready,
        note=f"{queries} queries, {len(answer.content) / 1000:.0f} kB",
    )


def _context(values: dict[str, Any]) -> Any:
    from django.template import Context  # the values, as a page's own context had them

    return Context(values)


# ---------------------------------------------------------------- a count against one insert


@open_to_all
def bare(request: HttpRequest) -> HttpResponse:
    """Answer a request that only inserts one row: what a count could not beat."""
    room = m.Room.objects.only("pk").get(key=request.POST["room"])
    m.Entry.objects.create(
        room_id=room.pk, day=makers.DAY, duty="bare", kind="done", at=makers.NOW, written_at=makers.NOW
    )
    return HttpResponse(status=204)


urlpatterns = [*real.urlpatterns, path("bare", bare)]


def _count(bench: Bench, residents: int) -> Figure:
    press, tubs = _presses(bench)
    taken = median(press, runs=min(RUNS, tubs - 1))
    least = median(lambda: bench.client.post("/bare", {"room": bench.room.key}), runs=RUNS)
    return Figure(
        what=f"one count, {residents} residents",
        seconds=taken,
        limit_what="a bare request with one insert",
        limit_seconds=least,
    )


def _presses(bench: Bench) -> tuple[Callable[[], None], int]:
    """Return a press that counts the next tub, and how many tubs there are. No tub is counted twice."""
    day = open_day(room=bench.room, day=makers.DAY, now=makers.at("10:40"))
    rounds = [v for v in day.rounds if v.round.kind is DutyKind.FEED and v.in_tubs and v.round.slot == 1]
    places: list[tuple[str, int]] = []
    # A tub holds one animal at a time: one round a tray, the fullest.
    for view in {v.round.tray: v for v in sorted(rounds, key=lambda v: len(v.seats))}.values():
        _post(bench, view.key, act="cups")
        _post(bench, view.key, act="tubs")
        places += [(view.key, number) for number in range(1, len(view.seats) + 1)]
        if len(places) > RUNS:
            break
    left = iter(places)

    def press() -> None:
        key, number = next(left)
        _post(bench, key, tub=number, left=number % 3)

    return press, len(places)


def _post(bench: Bench, key: str, **fields: Any) -> None:
    answer = bench.client.post(f"/feeding/{key}", {"form": str(uuid.uuid4()), **fields})
    assert answer.status_code in {302, 303}, (fields, answer.status_code)
