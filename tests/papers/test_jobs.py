"""Papers as a job and as a command: made once, kept under their code, the same numbers as on the pages."""

from __future__ import annotations

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from roomops.desk import papers_kept, walks
from roomops.desk.day import open_day
from roomops.desk.tray import tray_view
from roomops.papers import html, jobs, pdf
from roomops.papers.from_day import store_of
from roomops.papers.view import SetView, TankRow, TrayFill
from roomops.planning.room import DutyKind
from roomops.records import models as m
from roomops.tasks import clock
from tests import makers as mk
from tests.papers import juniper, paper

pytestmark = pytest.mark.django_db


@pytest.fixture
def morning() -> mk.Morning:
    return mk.an_ordinary_morning()


def rows(view: SetView, kind: type) -> list:
    return [
        row for sheet in view.sheets for block in sheet.blocks for row in block.rows if isinstance(row, kind)
    ]


def a_view(morning: mk.Morning, shift: str = "day") -> SetView:
    return jobs.view_of(day=open_day(room=morning.room, day=mk.DAY, now=mk.NOW), shift=shift)


# ---------------------------------------------------------------- from the tables


def test_the_store_tells_the_rotas_shifts_the_vet_and_what_went_wrong(morning: mk.Morning) -> None:
    m.Note.objects.create(
        room=morning.room, written_at=mk.NOW, written_by=morning.lupe, wrong=True, tank=morning.tanks["h1"],
        at=mk.at("20:10", mk.DAY - mk.timedelta(days=1)), text="Night heat of H1 hums.",
    )  # fmt: skip
    store = store_of(day=open_day(room=morning.room, day=mk.DAY, now=mk.NOW))
    assert {shift.name for shift in store.shifts} == {"opening", "closing"}
    assert store.vet_phone == "(608) 555-0177"
    told = {word.about: word.text for word in store.last_words}
    assert told["H1"] == "Night heat of H1 hums (Lupe, Mon June 8 8:10 pm)"


def test_yesterdays_refusal_is_the_first_thing_to_look_at(morning: mk.Morning) -> None:
    mk.an_entry(
        morning.room,
        "2026-06-08/feed/h1-one-dot/2",
        "refused",
        head=1,
        data={"offered": 8, "left": 8},
        by=morning.lupe,
    )
    store = store_of(day=open_day(room=morning.room, day=mk.DAY, now=mk.NOW))
    assert {word.about: word.text for word in store.last_words} == {
        "H1 · one dot": "refused feed 2 on June 8: read its basking side before it is fed."
    }


def test_an_animal_sold_this_morning_is_named_on_the_cover_and_has_no_box(morning: mk.Morning) -> None:
    before = a_view(morning)
    sold = morning.residents["h1-bar"]
    sold.status, sold.status_since = "gone home", mk.at("07:35")
    sold.save()
    after = a_view(morning)

    def tubs(view: SetView) -> list[str]:
        return [cell.name.text for fill in rows(view, TrayFill) for cell in fill.cells if cell.name]

    assert "H1 · bar" in tubs(before)
    assert "H1 · bar" not in tubs(after)
    assert "H1 · bar" in repr([sheet for sheet in after.sheets if sheet.kind == "cover"])


# ---------------------------------------------------------------- the same numbers on pages and on paper


def test_a_trays_page_and_its_sheet_show_the_same_animals_in_the_same_tubs(morning: mk.Morning) -> None:
    day = open_day(room=morning.room, day=mk.DAY, now=mk.NOW)
    seated = [view for view in day.rounds if view.round.seats]
    fills = rows(jobs.view_of(day=day, shift="day"), TrayFill)
    drawn = {
        (line.round, cell.tub, cell.name.text)
        for fill in fills
        for line in fill.lines
        for cell in fill.cells
        for box in cell.boxes
        if cell.name and box.label == str(line.slot) and box.state == "open"
    }
    on_pages = {
        (view.number, tub.number, tub.label)
        for view in seated
        for tub in tray_view(day=day, round_key=view.key).tubs
        if tub.duty
    }
    assert seated
    assert drawn == on_pages


def test_cups_on_paper_are_what_the_page_says_to_take_from_the_shelf(morning: mk.Morning) -> None:
    day = open_day(room=morning.room, day=mk.DAY, now=mk.NOW)
    on_paper = juniper.cups_of(jobs.view_of(day=day, shift="day"))
    for view in day.rounds:
        if view.round.kind is DutyKind.FEED:
            shelf = tray_view(day=day, round_key=view.key).shelf
            assert juniper.counted(on_paper[view.number]) == sum(line.count for line in shelf)


def test_each_box_on_the_shelf_is_named_with_the_day_it_came_so_that_no_two_are_alike(
    morning: mk.Morning,
) -> None:
    day = open_day(room=morning.room, day=mk.DAY, now=mk.NOW)
    sheets = jobs.view_of(day=day, shift="day").sheets
    shelf = next(b for sheet in sheets for b in sheet.blocks if b.title.startswith("From the shelf"))
    leads = [row.lead for row in shelf.rows]
    assert leads
    assert all(", came " in lead for lead in leads)
    assert len(set(leads)) == len(leads)


def test_heads_to_count_are_the_walks_own(morning: mk.Morning) -> None:
    day = open_day(room=morning.room, day=mk.DAY, now=mk.NOW)
    on_pages = {
        row.tank_name: row.by_the_book
        for view in day.rounds
        if view.round.kind is DutyKind.OPENING
        for row in walks.rack_view(day=day, round_key=view.key).rows
    }
    on_paper = {
        row.name.text: int(row.boxes[0].below.split()[1].rstrip(","))
        for row in rows(jobs.view_of(day=day, shift="opening"), TankRow)
        if row.boxes[0].below.startswith("of ")
    }
    assert on_paper == on_pages


# ---------------------------------------------------------------- made once, kept


@pytest.mark.pdf
def test_a_set_is_kept_with_its_code_pages_digest_and_plan(morning: mk.Morning) -> None:
    heard: list[tuple[int, int]] = []
    made = jobs.render(
        room=morning.room, day=mk.DAY, shift="opening", now=mk.NOW, by=morning.tamsin,
        report=lambda done, all_: heard.append((done, all_)),
    )  # fmt: skip
    assert made.code == "JS-260609-O1A"
    assert bytes(made.pdf).startswith(b"%PDF")
    assert len(paper.document(bytes(made.pdf))) == made.pages == heard[-1][1]
    assert (made.plan.version, made.written_by) == (1, morning.tamsin)
    assert papers_kept.coded(room=morning.room, code=made.code) == made
    assert papers_kept.of_day(room=morning.room, day=mk.DAY) == (made,)


@pytest.mark.pdf
def test_an_unchanged_set_is_not_made_again(morning: mk.Morning, monkeypatch: pytest.MonkeyPatch) -> None:
    first = jobs.render(room=morning.room, day=mk.DAY, shift="opening", now=mk.NOW)
    monkeypatch.setattr(pdf, "render", lambda **_: pytest.fail("made again"))
    again = jobs.render(room=morning.room, day=mk.DAY, shift="opening", now=mk.at("07:55"))
    assert again == first


@pytest.mark.pdf
def test_a_changed_fact_makes_the_next_edition_and_the_old_one_stays(morning: mk.Morning) -> None:
    first = jobs.render(room=morning.room, day=mk.DAY, shift="opening", now=mk.NOW)
    mk.a_reading(morning.tanks["h2"], "basking", 33.0, mk.at("07:38"))
    second = jobs.render(room=morning.room, day=mk.DAY, shift="opening", now=mk.at("07:45"))
    assert (first.code, second.code) == ("JS-260609-O1A", "JS-260609-O1B")
    assert papers_kept.of_day(room=morning.room, day=mk.DAY) == (second, first)


@pytest.mark.pdf
def test_a_code_taken_meanwhile_is_passed_over(morning: mk.Morning) -> None:
    day = open_day(room=morning.room, day=mk.DAY, now=mk.NOW)
    taken = papers_kept.keep(
        room=morning.room, day=mk.DAY, shift="opening", code="JS-260609-O1A", plan_id=None, digest="other",
        pages=1, pdf=b"", now=mk.NOW,
    )  # fmt: skip
    assert taken is not None
    made = jobs.render(room=morning.room, day=mk.DAY, shift="opening", now=day.now)
    assert made.code == "JS-260609-O1B"


@pytest.mark.pdf
def test_a_job_of_papers_tells_which_set_it_made(morning: mk.Morning) -> None:
    told = jobs.run(room=morning.room, data={"day": "2026-06-09", "shift": "closing"}, now=mk.NOW)
    made = m.PaperSet.objects.get(pk=told["papers"])
    assert told == {"papers": made.pk, "code": "JS-260609-C1A", "pages": made.pages}


# ---------------------------------------------------------------- the page to print, the command


def test_the_page_to_print_names_the_set_that_is_kept(morning: mk.Morning) -> None:
    day = open_day(room=morning.room, day=mk.DAY, now=mk.NOW)
    assert "JS-260609-O1A-1" in jobs.page(day=day, shift="opening")
    papers_kept.keep(
        room=morning.room, day=mk.DAY, shift="opening", code="JS-260609-O1A", plan_id=day.plan_id,
        digest="other", pages=1, pdf=b"", now=mk.NOW,
    )  # fmt: skip
    assert "JS-260609-O1B-1" in jobs.page(day=day, shift="opening")


@pytest.mark.pdf
def test_the_command_writes_a_pdf_for_each_shift_and_names_it(
    morning: mk.Morning, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clock, "now", lambda **_: mk.NOW)
    out = StringIO()
    call_command("papers", "--date", "2026-06-09", "--into", str(tmp_path / "new"), stdout=out)
    names = [Path(line).name for line in out.getvalue().splitlines()]
    assert names == ["2026-06-09-opening-JS-260609-O1A.pdf", "2026-06-09-closing-JS-260609-C1A.pdf"]
    assert all((tmp_path / "new" / name).read_bytes().startswith(b"%PDF") for name in names)


def test_without_the_system_libraries_the_command_writes_pages_to_print_and_says_so(
    morning: mk.Morning, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clock, "now", lambda **_: mk.NOW)
    monkeypatch.setattr(pdf, "library", lambda: None)
    out, err = StringIO(), StringIO()
    call_command(
        "papers", "--date", "2026-06-09", "--into", str(tmp_path), "--shift", "day", stdout=out, stderr=err
    )
    assert "print them from a browser" in err.getvalue()
    text = (tmp_path / "2026-06-09-day.html").read_text(encoding="utf-8")
    assert html.style(paper="letter") in text
    assert "Nobody. All" in text


def test_a_shift_that_is_not_there_is_refused_with_those_that_are(
    morning: mk.Morning, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clock, "now", lambda **_: mk.NOW)
    with pytest.raises(CommandError, match="no shift “night” on 2026-06-09, only opening, closing, day"):
        call_command("papers", "--date", "2026-06-09", "--into", str(tmp_path), "--shift", "night")
