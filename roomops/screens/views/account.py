"""Coming in, going out, and how light the page is."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods, require_POST

from roomops.desk import accounts
from roomops.desk.day import open_day
from roomops.papers import words
from roomops.records.models import Account
from roomops.screens.door import (
    LAMPS,
    LAMPS_COOKIE,
    ROOM_IN_SESSION,
    InRoom,
    may_come_in,
    open_to_all,
    without_room,
)
from roomops.tasks import clock

YEAR_S = 365 * 24 * 3600
CANNOT_BE_READ = "\x00"  # no name holds it, and a database may refuse it


@open_to_all
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Let an account in, or say in one sentence why not."""
    after = _ours(request, request.POST.get("next") or request.GET.get("next") or "")
    if request.method == "GET":
        return render(request, "sign_in.html", {"next": after})
    name = request.POST.get("name", "").replace(CANNOT_BE_READ, "").strip()[:150]
    password = request.POST.get("password", "").replace(CANNOT_BE_READ, "")
    account, why, status = _tried(request, name, password)
    if account is None:
        return render(request, "sign_in.html", {"next": after, "name": name, "why": why}, status=status)
    login(request, account)
    return redirect(after or reverse("today"))


def _tried(request: HttpRequest, name: str, password: str) -> tuple[Account | None, str, int]:
    """The account that may come in; else one sentence and the status of the answer."""
    now, address = clock.now(zone=ZoneInfo("UTC")), request.META.get("REMOTE_ADDR") or None
    if not name or not password:
        return None, "Name or password is empty: type both.", 422
    wait = accounts.wait_minutes(name=name, address=address, now=now)
    if wait:
        return (
            None,
            f"Too many wrong tries from this device: wait {words.minutes_words(wait)}, then try again.",
            429,
        )
    account = authenticate(request, username=name, password=password)
    if not isinstance(account, Account):
        accounts.refused(name=name, address=address, now=now)
        return None, f"No sign-in goes with “{name}” and this password: check both, then try again.", 422
    accounts.signed_in(name=name, address=address)
    if not may_come_in(account):
        return (
            None,
            f"“{name}” belongs to the invented room and opens no real one: use an account of your own.",
            403,
        )
    return account, "", 200


@without_room
@require_http_methods(["GET", "POST"])
def sign_out(request: InRoom) -> HttpResponse:
    """Ask once, and say which animals are in tubs; then go out."""
    if request.method == "POST":
        logout(request)
        return redirect("sign_in")
    if not hasattr(request, "room"):
        return render(request, "no_room.html", {"account": request.user})
    day = open_day(room=request.room, day=request.now.date(), now=request.now)
    trays = tuple(view for view in day.rounds if view.out)
    return render(request, "sign_out.html", {"trays": trays, "out": sum(view.out for view in trays)})


@require_POST
def change_room(request: InRoom) -> HttpResponse:
    """Go to another room that this account works in."""
    wanted = request.POST.get("room", "")
    if wanted in {room.key for room in request.rooms}:
        request.session[ROOM_IN_SESSION] = wanted
    return redirect("today")


@open_to_all
@require_POST
def lamps(request: HttpRequest) -> HttpResponse:
    """Keep on this device whether pages are light or dark."""
    answer = redirect(_ours(request, request.POST.get("back", "")) or "/")
    wanted = request.POST.get("lamps", "")
    if wanted in LAMPS:
        answer.set_cookie(
            LAMPS_COOKIE, wanted, max_age=YEAR_S, samesite="Lax", httponly=True, secure=request.is_secure()
        )
    else:
        answer.delete_cookie(LAMPS_COOKIE)
    return answer


def _ours(request: HttpRequest, address: str) -> str:
    """The address when it is one of this server's own; else ''."""
    ours = url_has_allowed_host_and_scheme(
        address, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return address if address and ours else ""
