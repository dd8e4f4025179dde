"""Coming in and going out: closed by default, throttled by name and address, invented accounts kept out."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.conf import settings
from django.test import Client, override_settings
from django.urls import URLPattern, get_resolver, reverse

from roomops.desk import accounts
from roomops.desk.day import open_day
from roomops.records import models as m
from tests import playing
from tests.makers import DAY, NOW, a_person, a_room, an_account, an_ordinary_morning, at
from tests.screens.pages import Visitor

pytestmark = pytest.mark.django_db

PASSWORD = "twelve crickets"
OPEN = {"sign_in", "light"}
VALUES = {"str": "x", "int": "1", "slug": "x", "uuid": "00000000-0000-0000-0000-000000000001", "path": "x"}


def sign_in(client: Client, name: str = "oskar", password: str = PASSWORD, **more: str):
    return client.post(reverse("sign_in"), {"name": name, "password": password, **more})


@pytest.fixture
def oskar() -> m.Person:
    person = a_person(a_room(), "Oskar")
    an_account(person)
    return person


def addresses() -> list[tuple[str, str]]:
    """(name, path) of every page, with something in each place."""
    found = []
    for pattern in get_resolver().url_patterns[0].url_patterns:
        assert isinstance(pattern, URLPattern), "pages are listed flat, each by its own name"
        assert pattern.name, "every page has a name"
        kinds = {
            key: VALUES[type(c).__name__.removesuffix("Converter").lower().replace("string", "str")]
            for key, c in pattern.pattern.converters.items()
        }
        found.append((pattern.name, reverse(pattern.name, kwargs=kinds)))
    return found


# ---------------------------------------------------------------- closed by default


@pytest.mark.parametrize(("name", "path"), addresses())
def test_a_page_is_closed_until_somebody_signs_in(client: Client, name: str, path: str) -> None:
    for answer in (client.get(path), client.post(path)):
        if name in OPEN:
            assert answer.status_code in {200, 302, 405, 422}
            assert not m.Entry.objects.exists()
        else:
            assert answer.status_code == 302
            assert answer["Location"].startswith(reverse("sign_in"))


def test_nothing_but_the_door_is_open() -> None:
    assert {name for name, _ in addresses()} >= OPEN
    marked = {
        pattern.name
        for pattern in get_resolver().url_patterns[0].url_patterns
        if getattr(pattern.callback, "open_to_all", False)
    }
    assert marked == OPEN


def test_a_press_from_elsewhere_is_not_taken() -> None:
    strict = Client(enforce_csrf_checks=True)
    answer = sign_in(strict)
    assert answer.status_code == 403
    assert "press once more" in answer.content.decode()


# ---------------------------------------------------------------- in and out


def test_somebody_comes_in_and_is_where_they_wanted_to_be(client: Client, oskar: m.Person) -> None:
    answer = sign_in(client, next="/lamps-of-rack-a?tank=h1")
    assert answer.status_code == 302
    assert answer["Location"] == "/lamps-of-rack-a?tank=h1"


@pytest.mark.parametrize(
    "away", ["https://example.org/", "//example.org", "javascript:alert(1)", "\\\\example.org"]
)
def test_signing_in_leads_nowhere_else(client: Client, oskar: m.Person, away: str) -> None:
    assert sign_in(client, next=away)["Location"] == "/"


def test_a_wrong_password_is_one_sentence_and_keeps_the_name(client: Client, oskar: m.Person) -> None:
    answer = sign_in(client, password="eleven crickets")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "No sign-in goes with “oskar” and this password: check both, then try again." in page
    assert 'value="oskar"' in page
    assert "eleven crickets" not in page


@pytest.mark.parametrize("name", ["", "   ", "\x00", "oskar\x00"])
def test_what_is_no_name_is_said_so(client: Client, oskar: m.Person, name: str) -> None:
    answer = sign_in(client, name=name, password="x" * 300)
    assert answer.status_code == 422


def test_signing_out_is_a_press_not_a_link(client: Client, oskar: m.Person) -> None:
    sign_in(client)
    client.post(reverse("sign_out"))
    assert "_auth_user_id" not in client.session


def test_an_account_of_nobody_in_any_room_is_told_so_and_may_leave(client: Client) -> None:
    m.Account.objects.create_user("stray", password=PASSWORD)
    sign_in(client, name="stray")
    answer = client.get("/")
    assert answer.status_code == 403
    assert "no room lists you among its people" in answer.content.decode()
    client.post(reverse("sign_out"))
    assert "_auth_user_id" not in client.session


def test_who_left_the_room_comes_in_no_more(client: Client, oskar: m.Person) -> None:
    oskar.left_on = NOW.date() - timedelta(days=1)
    oskar.save(update_fields=["left_on"])
    account = m.Account.objects.get(username="oskar")
    assert accounts.people_of(account=account, now=NOW) == ()
    assert accounts.people_of(account=account, now=NOW - timedelta(days=1)) == (oskar,)


def test_somebody_of_two_rooms_goes_from_one_to_the_other_and_nowhere_else(
    client: Client, oskar: m.Person
) -> None:
    second = a_person(a_room("oak-street", name="Oak Street"), "Oskar")
    second.account = oskar.account
    second.save(update_fields=["account"])
    a_room("elm-street", name="Elm Street")
    sign_in(client)
    assert "<title>Today · Juniper Street</title>" in client.get("/").content.decode()
    assert "Go to Oak Street" in client.get(reverse("sign_out")).content.decode()
    for wanted, found in (("oak-street", "Oak Street"), ("elm-street", "Oak Street")):
        client.post(reverse("change_room"), {"room": wanted})
        assert f"<title>Today · {found}</title>" in client.get("/").content.decode()


def test_who_leaves_is_told_which_animals_are_still_in_tubs(client: Client) -> None:
    made = an_ordinary_morning()
    day = open_day(room=made.room, day=DAY, now=at("07:00"))
    tray = next(view for view in day.rounds if view.in_tubs)
    until = tray.starts + (tray.ends - tray.starts) / 2
    playing.play(room=made.room, morning=at("07:00"), until=until)
    out = sum(view.out for view in open_day(room=made.room, day=DAY, now=until).rounds)
    assert out
    page = Visitor(client, made.oskar, clock=f"{until:%H:%M}").open(reverse("sign_out"))
    assert f"{out} animals in tubs" in page.text
    assert "Sign out" in page.names()


def test_every_address_of_the_server_is_its_own(client: Client) -> None:
    answer = client.get(reverse("sign_in"))
    policy = answer["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script" not in policy, "no script may run, and default-src already says so"
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"
    assert answer["Cache-Control"] == "no-store"


# ---------------------------------------------------------------- invented accounts


@pytest.mark.parametrize(("demo", "comes_in"), [(True, True), (False, False)])
def test_an_invented_account_opens_the_demonstration_alone(
    client: Client, demo: bool, comes_in: bool
) -> None:
    an_account(a_person(a_room(), "Oskar"), invented=True)
    with override_settings(DEMO=demo):
        answer = sign_in(client)
    assert ("_auth_user_id" in client.session) is comes_in
    if not comes_in:
        assert answer.status_code == 403
        assert "belongs to the invented room and opens no real one" in answer.content.decode()


def test_an_invented_account_that_is_in_already_is_put_out_of_a_real_room(client: Client) -> None:
    an_account(a_person(a_room(), "Oskar"), invented=True)
    with override_settings(DEMO=True):
        sign_in(client)
    with override_settings(DEMO=False):
        assert client.get("/")["Location"] == reverse("sign_in")
    assert "_auth_user_id" not in client.session
    assert settings.DEMO is False, "tests run as a real room does"


# ---------------------------------------------------------------- how often


@pytest.mark.parametrize(("failures", "status"), [(4, 302), (5, 429), (6, 429)])
def test_five_failures_make_the_next_try_wait(
    client: Client, oskar: m.Person, failures: int, status: int
) -> None:
    for _ in range(failures):
        sign_in(client, password="wrong")
    assert sign_in(client).status_code == status


def test_the_right_password_does_not_shorten_the_wait_and_the_page_says_how_long(
    client: Client, oskar: m.Person
) -> None:
    with time_machine.travel(NOW, tick=False):
        for _ in range(5):
            sign_in(client, password="wrong")
        assert "wait 15 min" in sign_in(client).content.decode()


@pytest.mark.parametrize(("minutes", "comes_in"), [(14, False), (15, True), (16, True)])
def test_the_wait_ends_after_a_quarter_of_an_hour(
    client: Client, oskar: m.Person, minutes: int, comes_in: bool
) -> None:
    with time_machine.travel(NOW, tick=False):
        for _ in range(5):
            sign_in(client, password="wrong")
    with time_machine.travel(NOW + timedelta(minutes=minutes), tick=False):
        assert (sign_in(client).status_code == 302) is comes_in


def test_a_clumsy_tablet_locks_one_name_and_not_the_store(client: Client, oskar: m.Person) -> None:
    an_account(a_person(oskar.room, "Lupe"))
    for _ in range(5):
        sign_in(client, password="wrong")
    assert sign_in(client, name="lupe").status_code == 302
    elsewhere = Client(REMOTE_ADDR="10.0.0.7")
    assert sign_in(elsewhere).status_code == 302, "a stranger cannot lock somebody out from another address"


def test_one_address_that_tries_many_names_waits_for_all_of_them(client: Client, oskar: m.Person) -> None:
    for number in range(accounts.MOST_BY_ADDRESS):
        accounts.refused(name=f"name-{number}", address="127.0.0.1", now=NOW)
    assert accounts.wait_minutes(name="oskar", address="127.0.0.1", now=NOW) == 15
    assert accounts.wait_minutes(name="oskar", address="10.0.0.7", now=NOW) == 0


def test_coming_in_clears_the_failures_of_that_name(client: Client, oskar: m.Person) -> None:
    for _ in range(4):
        sign_in(client, name="Oskar ", password="wrong")
    sign_in(client)
    assert not m.RefusedSignIn.objects.exists()


def test_failures_are_not_kept_for_long(oskar: m.Person) -> None:
    accounts.refused(name="oskar", address=None, now=NOW - timedelta(days=1, seconds=1))
    accounts.refused(name="oskar", address=None, now=NOW)
    assert m.RefusedSignIn.objects.count() == 1


# ---------------------------------------------------------------- lamps


@pytest.mark.parametrize(("wanted", "kept"), [("off", "off"), ("on", "on"), ("disco", "")])
def test_a_dark_page_stays_dark_on_this_device(client: Client, wanted: str, kept: str) -> None:
    answer = client.post(reverse("light"), {"lamps": wanted, "back": "/sign-in"})
    assert answer["Location"] == "/sign-in"
    page = client.get("/sign-in").content.decode()
    assert (f'data-lamps="{kept}"' in page) is bool(kept)
