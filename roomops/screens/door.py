"""The door: every page is closed until somebody signs in, and says who they are and in which room.

A page that is open to all says so with ``@open_to_all``. One without the mark gets ``request.room``,
``request.person``, ``request.now`` in the room's time zone, and ``request.reader``, for whom words are made.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import datetime
from typing import Any, TypeVar
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from django.conf import settings
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from roomops.desk.accounts import people_of
from roomops.husbandry.care_errors import CareSheetError
from roomops.husbandry.care_resolve import ChoiceError
from roomops.papers.words import Reader
from roomops.records.models import Account, Person, Room
from roomops.records.sheets import TwoSheetsError, UnknownKindError
from roomops.records.snapshot import RoomSettingError
from roomops.tasks import clock

log = logging.getLogger(__name__)
View = TypeVar("View", bound=Callable[..., HttpResponse])
Answer = Callable[[HttpRequest], HttpResponse]

ROOM_IN_SESSION = "room"
LAMPS_COOKIE = "lamps"
LAMPS = ("on", "off")  # without the cookie the device's own scheme is followed

# What the room's own files and settings say wrong: each is one sentence that names what to mend.
STOPS = (CareSheetError, TwoSheetsError, UnknownKindError, ChoiceError, RoomSettingError)

# No script runs, and no style element. Style attributes are allowed: the ribbon's places and a tray's columns
# are numbers of the day, which our own code formats; nobody's text reaches one.
POLICY = (
    "default-src 'none'; style-src 'self'; style-src-attr 'unsafe-inline'; img-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)


class InRoom(HttpRequest):
    """What a closed page receives: a request with its room and person. For type hints alone."""

    room: Room
    person: Person
    now: datetime
    reader: Reader
    lamps: str
    rooms: tuple[Room, ...]


def open_to_all(view: View) -> View:
    """Mark a page that needs nobody signed in."""
    view.open_to_all = True  # type: ignore[attr-defined]
    return view


def without_room(view: View) -> View:
    """Mark a page for whoever is signed in, in a room or not."""
    view.without_room = True  # type: ignore[attr-defined]
    return view


class Door:
    """Middleware: who comes in, and the headers that every answer carries."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        lamps = request.COOKIES.get(LAMPS_COOKIE, "")
        request.lamps = lamps if lamps in LAMPS else ""  # type: ignore[attr-defined]
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        response.headers.setdefault("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
        # A shared tablet: nobody reads the last person's pages with the back key.
        response.headers.setdefault("Cache-Control", "no-store")
        return response

    def process_view(
        self,
        request: HttpRequest,
        view: Callable[..., HttpResponse],
        args: tuple[Any, ...],
        kwargs: dict[str, Any],
    ) -> HttpResponse | None:
        """Let in, or answer with the way to the door."""
        del args, kwargs
        if getattr(view, "open_to_all", False):
            return None
        account = request.user
        if not isinstance(account, Account):
            return _to_the_door(request)
        if not may_come_in(account):
            logout(request)
            return _to_the_door(request)
        if _let_in(request, account) or getattr(view, "without_room", False):
            return None
        return render(request, "no_room.html", {"account": account}, status=403)

    def process_exception(self, request: HttpRequest, problem: Exception) -> HttpResponse | None:
        """Say what stops the room where its own files or settings do; all else is a fault of ours."""
        if not isinstance(problem, STOPS):
            return None
        log.error("%s: %s", request.path, problem)
        return render(request, "stopped.html", {"said": str(problem)}, status=503)


def may_come_in(account: Account) -> bool:
    """Whether an account may open this database: invented ones only where the demonstration runs."""
    return settings.DEMO or not account.invented


def _to_the_door(request: HttpRequest) -> HttpResponse:
    after = {"next": request.get_full_path()} if request.method == "GET" and request.path != "/" else {}
    return redirect(reverse("sign_in") + ("?" + urlencode(after) if after else ""))


def _let_in(request: HttpRequest, account: Account) -> bool:
    """Put the room on the request; False where the account is nobody's in any room."""
    people = people_of(account=account, now=clock.now(zone=ZoneInfo("UTC")))
    if not people:
        return False
    chosen = request.session.get(ROOM_IN_SESSION, "")
    person = next((each for each in people if each.room.key == chosen), people[0])
    place(request, person, rooms=tuple(each.room for each in people))
    return True


def place(request: HttpRequest, person: Person, *, rooms: tuple[Room, ...]) -> None:
    """Put room, person and moment on the request."""
    now = clock.now(zone=ZoneInfo(person.room.timezone))
    reader = Reader(units=person.room.units, day=now.date(), timezone=person.room.timezone)
    for name, value in (
        ("room", person.room), ("person", person), ("now", now), ("reader", reader), ("rooms", rooms),
    ):  # fmt: skip
        setattr(request, name, value)
