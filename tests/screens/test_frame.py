"""What holds for every page, found by walking from Today along all links in the middle of a day."""

from __future__ import annotations

import re
import shutil
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from roomops.records import models as m
from roomops.records import sheets
from tests import house, playing
from tests.makers import NOW, a_hatchling, a_tank, an_ordinary_morning, at
from tests.screens.pages import Page, Visitor

pytestmark = pytest.mark.django_db

MOST_PAGES = 150
SPOKEN = ("aria-label", "alt", "title", "placeholder")
UNSEEN = {"script", "style", "title"}


def walk(visitor: Visitor) -> dict[str, Page]:
    """Every page that links lead to, by its path without the fragment."""
    found: dict[str, Page] = {}
    waiting = ["/"]
    while waiting and len(found) < MOST_PAGES:
        path = waiting.pop(0)
        if path in found:
            continue
        found[path] = page = visitor.open(path)
        for href in page.links().values():
            target = href.partition("#")[0]
            if target.startswith("?"):
                target = path.partition("?")[0] + target
            if target and target not in found and not target.startswith("/papers/"):
                waiting.append(target)
    return found


def test_every_link_leads_to_a_page_and_every_page_is_whole(client: Client) -> None:
    made = an_ordinary_morning()
    playing.play(room=made.room, morning=at("07:00"), until=at("12:30"))
    pages = walk(Visitor(client, made.oskar, clock="12:30"))
    assert len(pages) > 12
    wrong = []
    for path, page in pages.items():
        wrong += [f"{path}: {fault}" for fault in faults(page)]
    assert not wrong, "\n".join(wrong)


def faults(page: Page) -> list[str]:
    """What is wrong with a page as a document."""
    if page.status != 200:
        return [f"answers {page.status}"]
    nodes = page.root.all()
    ids = [node.attrs["id"] for node in nodes if node.attrs.get("id")]
    tags = [node.tag for node in nodes]
    found = [f"id {each} twice" for each in {i for i in ids if ids.count(i) > 1}]
    found += [f"{tags.count(tag)} {tag}" for tag in ("h1", "main", "title") if tags.count(tag) != 1]
    found += ["carries script"] if "script" in tags or re.search(r"\son\w+=", page.html) else []
    if not any(a.attrs.get("href") == "#main" for a in page.root.all("a")) or "main" not in ids:
        found.append("no skip link to the work")
    found += [f"link to #{target} that is not there" for target in _inner(page) - set(ids)]
    for form in page.root.all("form"):
        sent = {node.attrs.get("name") for node in form.all("input")}
        if form.attrs.get("method") == "post" and "csrfmiddlewaretoken" not in sent:
            found.append("a form that the server will refuse")
    found += house.banned_words(spoken(page))
    return found + [f"unnamed {node.tag}" for node in nodes if _unnamed(page, node)]


def _inner(page: Page) -> set[str]:
    hrefs = [a.attrs.get("href", "") for a in page.root.all("a")]
    return {href[1:] for href in hrefs if href.startswith("#") and len(href) > 1}


def _unnamed(page: Page, node) -> bool:
    """Whether a screen reader has no name for something that can be pressed or filled."""
    if node.tag in {"a", "button"}:
        return not node.name()
    if node.tag not in {"input", "select", "textarea"} or node.attrs.get("type") == "hidden":
        return False
    labels = {label.attrs.get("for") for label in page.root.all("label")}
    return not (node.attrs.get("aria-label") or node.attrs.get("id") in labels or node.up("label"))


def spoken(page: Page) -> str:
    attributes = [node.attrs[name] for node in page.root.all() for name in SPOKEN if name in node.attrs]
    return " ".join([page.text, *attributes])


def test_the_reader_of_pages_would_see_a_broken_one() -> None:
    class Broken:
        content = b'<h1>a</h1><h1>b</h1><a href="/"></a><input id="x"><p id="x">please submit</p>'
        status_code = 200

    page = Page(Broken(), "/")
    assert {"id x twice", "2 h1", "0 main", "unnamed a", "unnamed input"} <= set(faults(page))
    assert any("submit" in fault for fault in faults(page))


def test_in_a_metric_room_no_page_speaks_of_fahrenheit_or_inches(client: Client) -> None:
    made = an_ordinary_morning()
    made.room.units = "metric"
    made.room.save(update_fields=["units"])
    playing.play(room=made.room, morning=at("07:00"), until=at("12:30"))
    pages = walk(Visitor(client, made.oskar, clock="12:30"))
    assert any("°C" in page.text for page in pages.values())
    named = re.compile("|".join(map(re.escape, m.Batch.objects.values_list("name", flat=True))))
    texts = {
        path: named.sub("", page.text) for path, page in pages.items()
    }  # people name batches as they like
    assert [path for path, text in texts.items() if re.search(r"°F|[\d⅛¼⅜½⅝¾⅞] in\b(?! the)", text)] == []


@pytest.mark.parametrize("path", ["/nothing-here", "/feeding/nothing-here", "/papers/nothing.pdf"])
def test_what_is_not_there_is_said_in_our_own_words(client: Client, path: str) -> None:
    visitor = Visitor(client, an_ordinary_morning().oskar)
    page = visitor.open(path)
    assert page.status in {404, 410, 200}
    assert 'class="lid"' in page.html
    assert "Today" in page.text


def test_a_fault_of_ours_is_said_in_our_own_words(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    made = an_ordinary_morning()

    def broken(**_: object) -> None:
        raise RuntimeError("a test breaks this")

    monkeypatch.setattr("roomops.screens.views.today.open_day", broken)
    client.raise_request_exception = False
    page = Visitor(client, made.oskar).open("/")
    assert page.status == 500
    assert "Something broke here" in page.text
    assert "a test breaks this" not in page.text


def test_that_page_is_answered_even_without_the_list_of_hashed_style_sheets(
    client: Client, settings: Any, tmp_path: Path
) -> None:
    made = an_ordinary_morning()
    visitor = Visitor(client, made.oskar)
    hashed = {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"}
    settings.STATIC_ROOT = tmp_path
    settings.STORAGES = settings.STORAGES | {"staticfiles": hashed}
    client.raise_request_exception = False
    page = visitor.open("/")
    assert page.status == 500
    assert "Something broke here" in page.text


def test_a_broken_care_sheet_of_a_kind_that_lives_here_is_said_and_of_another_is_not(
    client: Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    visitor = Visitor(client, an_ordinary_morning().oskar)
    folder = tmp_path / "care"
    shutil.copytree(sheets.FOLDER, folder)
    monkeypatch.setattr(sheets, "FOLDER", folder)
    try:
        for name, status in (("boa", 200), ("bearded-dragon", 503)):
            (folder / f"{name}.toml").write_text("no table at all", encoding="utf-8")
            sheets._shelf.cache_clear()
            sheets._resolved.cache_clear()
            page = visitor.open("/")
            assert page.status == status
            assert (f"{name}.toml: the text is" in page.text) is (status == 503)
    finally:
        sheets._shelf.cache_clear()
        sheets._resolved.cache_clear()


# ---------------------------------------------------------------- the bill


def bill(client: Client, path: str) -> int:
    """Queries of the second opening: the first one makes the day's plan."""
    with time_machine.travel(at("08:40"), tick=False):
        client.get(path)
        with CaptureQueriesContext(connection) as queries:
            assert client.get(path).status_code == 200
    return len(queries)


@pytest.mark.parametrize(
    "path", ["/", "/feeding", "/walks", "/walk/opening", "/readings", "/papers", "/sorting"]
)
def test_a_page_asks_as_often_for_twelve_more_tanks_as_for_none(client: Client, path: str) -> None:
    made = an_ordinary_morning()
    Visitor(client, made.oskar)
    small = bill(client, path)
    m.PlanVersion.objects.all().delete()
    m.Job.objects.all().delete()
    for number in range(12):
        tank = a_tank(made.room, f"N{number}")
        for mark in ("one dot", "two dots", "bar"):
            a_hatchling(tank, mark, length_mm=170, gap_mm=8.0, weight_g=16.4)
    made.room.facts_changed = NOW + timedelta(seconds=1)
    made.room.save(update_fields=["facts_changed"])
    assert bill(client, path) == small
