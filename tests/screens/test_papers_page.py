"""Papers: asked for once, made by the runner, opened by code; printed by the browser without PDF."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.test import Client

from roomops.desk import jobs as desk_jobs
from roomops.papers import pdf
from roomops.records import models as m
from roomops.screens import paper_cards
from roomops.tasks import runner
from tests import makers
from tests.screens.pages import Visitor

pytestmark = pytest.mark.django_db
NOW = makers.at("08:40")


@pytest.fixture
def visitor(client: Client) -> Visitor:
    return Visitor(client, makers.an_ordinary_morning().oskar)


def run_all() -> None:
    with time_machine.travel(NOW, tick=False):
        while runner.run_next(worker="a test"):
            pass


def asked(visitor: Visitor):
    return visitor.press(visitor.open("/papers"), "Make the PDF, Opening shift")


def test_each_shift_of_the_rota_has_its_set_and_the_day_has_one(visitor: Visitor) -> None:
    page = visitor.open("/papers")
    headings = [node.text() for node in page.root.all("h3")]
    assert headings == ["Opening shift", "Closing shift", "The whole day in one set"]
    assert page.text.count("Not printed yet") == 3


@pytest.mark.pdf
def test_a_set_is_made_once_opened_by_its_code_and_holds_until_the_room_changes(visitor: Visitor) -> None:
    page = asked(visitor)
    assert "Being made" in page.text
    assert m.Job.objects.filter(kind=desk_jobs.PAPERS).count() == 1
    run_all()
    kept = m.PaperSet.objects.get()
    page = visitor.open("/papers")
    assert f"Says what holds now {kept.pages} pages, code {kept.code}" in page.text
    answer = visitor.client.get(page.links()[f"Open PDF {kept.code}"])
    assert bytes(answer.content).startswith(b"%PDF-")
    assert answer["Content-Type"] == "application/pdf"
    m.Tank.objects.filter(key="h1").update(name="H1 by the sink")
    m.Room.objects.update(facts_changed=NOW)
    page = visitor.open("/papers")
    assert "The room has changed since" in page.text
    assert any(name.startswith("Make it anew") for name in page.names())


def test_pressing_twice_is_pressing_once(visitor: Visitor) -> None:
    path = visitor.open("/papers").path
    for _ in range(2):
        visitor.send(path, {"shift": "opening"})
    assert m.Job.objects.filter(kind=desk_jobs.PAPERS).count() == 1


def test_a_shift_that_nobody_has_is_refused_in_a_sentence(visitor: Visitor) -> None:
    page = visitor.send("/papers", {"shift": "midnight"})
    assert "There is no shift “midnight” today" in page.said()
    assert not m.Job.objects.filter(kind=desk_jobs.PAPERS).exists()
    assert visitor.open("/papers/print/midnight").status == 404


def test_the_page_says_how_far_it_is_and_asks_about_a_runner_that_does_not_come(visitor: Visitor) -> None:
    asked(visitor)
    job = m.Job.objects.get(kind=desk_jobs.PAPERS)
    assert "waits for its turn" in visitor.open("/papers").text
    m.Job.objects.update(written_at=NOW - paper_cards.PATIENCE - timedelta(seconds=1))
    assert "does the job runner run?" in visitor.open("/papers").text
    m.Job.objects.filter(pk=job.pk).update(state="running", done_steps=3, all_steps=7)
    assert "3 pages of 7 drawn" in visitor.open("/papers").text


def test_why_it_failed_stands_beside_trying_again(visitor: Visitor) -> None:
    asked(visitor)
    m.Job.objects.filter(kind=desk_jobs.PAPERS).update(
        state="failed", error="The printer of a test is on fire."
    )
    page = visitor.open("/papers")
    assert "The printer of a test is on fire." in page.text
    page = visitor.press(page, "Try again, Opening shift")
    assert "Being made" in page.text


def test_without_the_libraries_the_browser_prints_the_same_set(
    visitor: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pdf, "available", lambda: False)
    page = visitor.open("/papers")
    assert "No PDF on this server" in page.text
    assert not any(name.startswith("Make the PDF") for name in page.names())
    printed = visitor.open(page.links()["Print from the browser, Opening shift"])
    assert printed.status == 200
    assert "H1 · one dot" in printed.text
    assert "print the page from the browser" in visitor.send("/papers", {"shift": "opening"}).said()


def test_another_rooms_papers_stay_there(visitor: Visitor) -> None:
    other = makers.a_room("oak-street", name="Oak Street")
    m.PaperSet.objects.create(
        room=other, written_at=NOW, day=makers.DAY, shift="opening", code="OS-1", digest="x", pages=1,
        pdf=b"%PDF-",
    )  # fmt: skip
    assert visitor.open("/papers/OS-1.pdf").status == 404
    assert "OS-1" not in visitor.open("/papers").text
