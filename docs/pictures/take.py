"""Pictures of all pages, taken from the invented room with a real browser: `python3 do.py pictures`.

    --into FOLDER   all pages, both schemes, three sizes (var/pictures)
    --only NAME     one page
    --keep          leave docs/pictures and the README as they are

The room is Juniper Street on Tuesday, June 9, 2026, played until late in the morning a tray is half counted:
the same every time.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, time
from itertools import product
from pathlib import Path
from zoneinfo import ZoneInfo

TOP = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(TOP))
VAR = Path(tempfile.mkdtemp(prefix="roomops-pictures-"))
DAY, ABOUT = date(2026, 6, 9), time(11, 15)
os.environ.update(
    DJANGO_SETTINGS_MODULE="roomops.settings",
    ROOMOPS_DEMO="yes",
    ROOMOPS_VAR=str(VAR),
    ROOMOPS_TODAY=str(DAY),
    DATABASE_URL=f"sqlite:///{VAR / 'pictures.sqlite3'}",
    ROOMOPS_HOSTS="127.0.0.1",
)

import django  # noqa: E402 -- the settings above come first

django.setup()

from django.contrib.staticfiles.handlers import StaticFilesHandler  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.core.servers.basehttp import ThreadedWSGIServer, WSGIRequestHandler  # noqa: E402
from django.core.wsgi import get_wsgi_application  # noqa: E402
from django.db import connections  # noqa: E402
from django.test import override_settings  # noqa: E402
from django.urls import NoReverseMatch, reverse  # noqa: E402
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright  # noqa: E402

from roomops.desk.day import open_day  # noqa: E402
from roomops.desk.day_types import Day, Status  # noqa: E402
from roomops.desk.invented import sign_ins  # noqa: E402
from roomops.planning.room import DutyKind  # noqa: E402
from roomops.records.models import Room  # noqa: E402
from roomops.screens.addresses import round_address  # noqa: E402
from roomops.tasks import clock  # noqa: E402
from tests.conftest import CHROMIUM_ARGS, chromium  # noqa: E402
from tests.playing import play  # noqa: E402

SIZES = {"tablet": (800, 1280), "wide": (1280, 800), "phone": (320, 720)}
SCHEMES = {"light": "on", "dark": "off"}
# (page, size, scheme): what the README says of it
FOR_README = {
    (
        "today",
        "tablet",
        "light",
    ): "Today on the counter’s tablet: what is late, under way and next, and what did not fit",
    (
        "round-feed",
        "tablet",
        "light",
    ): "A tray as it stands on the counter: one press for the whole tray, then the exceptions",
    ("today", "wide", "dark"): "The same Today with the lamps off",
}
README, BEGIN, END = TOP / "README.md", "<!-- pictures: begin -->", "<!-- pictures: end -->"
PLAIN_STATIC = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}


class Quiet(WSGIRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing of each request."""


def the_room() -> tuple[Room, datetime]:
    """The invented room, played to the pictures' minute; the clock of all pages stands still there."""
    call_command("migrate", verbosity=0)
    call_command("invented_room", today=str(DAY), verbosity=0, stdout=open(os.devnull, "w"))  # noqa: SIM115, PTH123
    room = Room.objects.get()
    zone = ZoneInfo(room.timezone)
    now = half_way(room, zone)
    play(room=room, morning=datetime.combine(DAY, time(7, 0), zone), until=now)
    clock.now = lambda *, zone: now.astimezone(zone)
    return room, now


def half_way(room: Room, zone: ZoneInfo) -> datetime:
    """The middle of the tray round that is nearest to a quarter past eleven."""
    morning, about = (datetime.combine(DAY, at, zone) for at in (time(7, 0), ABOUT))
    trays = [
        v for v in open_day(room=room, day=DAY, now=morning).rounds if v.in_tubs and not v.round.quarantine
    ]
    middles = [view.starts + (view.ends - view.starts) * 0.5 for view in trays]
    return min(middles, key=lambda middle: abs(middle - about)).replace(second=0, microsecond=0)


@contextmanager
def served() -> Iterator[str]:
    """Address of a server in this process."""
    server = ThreadedWSGIServer(("127.0.0.1", 0), Quiet)
    server.daemon_threads = True
    server.set_app(StaticFilesHandler(get_wsgi_application()))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()


def pages(day: Day) -> dict[str, str]:
    """Name of each page with its path: one of each kind, in the state that shows most."""
    found = {}
    plain = ("today", "feeding", "walks", "papers", "sorting", "wrong", "sign_out")
    shelf = ("insects", "insects_order", "insects_least", "insects_receive")
    for name in (*plain, *shelf, "lamps", "lamps_new", "lamps_timers", "arrivals", "sun", "power"):
        try:
            found[name] = reverse(name)
        except NoReverseMatch:
            continue
    for kind in DutyKind:
        views = [view for view in day.rounds if view.round.kind is kind]
        order = {Status.UNDER_WAY: 0, Status.LATE: 1, Status.NEXT: 2, Status.LATER: 3, Status.DONE: 4}
        views.sort(key=lambda v: (not v.out, not v.begun or v.status is Status.DONE, order[v.status]))
        if views:
            found[f"round-{kind}"] = round_address(views[0])
    return found


def sign_in(context: BrowserContext, address: str) -> None:
    oskar = next(each for each in sign_ins() if each.name == "oskar")
    page = context.new_page()
    page.goto(f"{address}/sign-in")
    page.fill("#name", oskar.name)
    page.fill("#password", oskar.password)
    page.click("button:has-text('Sign in')")
    page.close()


def take(page: Page, *, address: str, path: str, into: Path) -> None:
    """One picture of the whole page; the floor stands at its end, not across its middle."""
    page.goto(address + path)
    page.add_style_tag(content=".floor, .lid { position: static !important }")
    page.screenshot(path=into, full_page=True)


def take_for_readme(page: Page, *, address: str, path: str, name: str) -> None:
    """What the glass shows, without scrolling."""
    page.goto(address + path)
    page.screenshot(path=TOP / "docs" / "pictures" / f"{name}.png")


def write_readme() -> None:
    """The pictures between the README's two marks, each with its words."""
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN, 1)
    widths = {"tablet": 270, "wide": 560}
    lines = [
        f'<img src="docs/pictures/{"-".join(key)}.png" width="{widths[key[1]]}" alt="{words}">'
        for key, words in FOR_README.items()
    ]
    README.write_text(
        f"{before}{BEGIN}\n" + "\n".join(lines) + f"\n{END}{rest.split(END, 1)[1]}", encoding="utf-8"
    )


def take_all(browser: Browser, *, address: str, chosen: dict[str, str], asked: argparse.Namespace) -> None:
    """Every page in every size and scheme."""
    for size, scheme in product(SIZES, SCHEMES):
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, bypass_csp=True)
        sign_in(context, address)
        context.add_cookies([{"name": "lamps", "value": SCHEMES[scheme], "url": address}])
        page = context.new_page()
        for name, path in chosen.items():
            take(page, address=address, path=path, into=asked.into / f"{name}-{size}-{scheme}.png")
            if (name, size, scheme) in FOR_README and not asked.keep:
                take_for_readme(page, address=address, path=path, name=f"{name}-{size}-{scheme}")
        context.close()


def main() -> None:
    parser = argparse.ArgumentParser(description="Pictures of all pages.")
    parser.add_argument("--into", type=Path, default=TOP / "var" / "pictures")
    parser.add_argument("--only", default="")
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args()
    asked.into.mkdir(parents=True, exist_ok=True)
    room, now = the_room()
    found = {"sign_in": "/sign-in"} | pages(open_day(room=room, day=DAY, now=now))
    chosen = {name: path for name, path in found.items() if asked.only in {"", name}}
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with override_settings(STORAGES=PLAIN_STATIC), served() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=CHROMIUM_ARGS)
        take_all(browser, address=address, chosen=chosen, asked=asked)
        browser.close()
    if not asked.keep:
        write_readme()
    connections.close_all()
    shutil.rmtree(VAR)
    print(f"{len(chosen)} pages, {len(SIZES)} sizes, {len(SCHEMES)} schemes: {asked.into}")


if __name__ == "__main__":
    main()
