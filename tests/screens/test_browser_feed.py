"""A whole tray is fed in a real browser at 800 × 1280 without script; then Today agrees with it."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from roomops.desk.day import open_day
from roomops.records import models as m
from roomops.tasks import clock
from tests import makers as mk
from tests.screens.test_browser_today import SIZES, TOO_WIDE, come_in

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TRAY = "/feeding/feed-1-h1-bar"
TOUCH_PX = 56
SMALL = """least => [...document.querySelectorAll('.tray button, .tray a, .foot button, .foot a')]
  .map(e => [e.getAttribute('aria-label') || e.textContent.trim(), e.getBoundingClientRect()])
  .filter(([, box]) => box.height < least || box.width < least)
  .map(([name, box]) => `${name}: ${Math.round(box.width)} × ${Math.round(box.height)}`)"""


class Wall:
    """The clock on the wall: a test moves its hands."""

    def __init__(self) -> None:
        self.now = mk.at("08:40")

    def read(self, *, zone: object) -> datetime:
        self.now += timedelta(milliseconds=1)  # two presses are never at the same moment
        return self.now

    def at(self, time: str) -> None:
        self.now = mk.at(time)


@pytest.fixture
def wall(monkeypatch: pytest.MonkeyPatch) -> Wall:
    hands = Wall()
    monkeypatch.setattr(clock, "now", hands.read)
    return hands


@pytest.fixture
def address(live_server: LiveServer, wall: Wall) -> str:
    made = mk.an_ordinary_morning()
    mk.an_account(made.oskar)
    return live_server.url


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def in_tubs(page: Page, address: str, wall: Wall) -> None:
    page.goto(address + TRAY)
    press(page, "Cups ready, to tubs")
    wall.at("08:50")
    press(page, "All in their tubs")
    wall.at("08:58")


def test_a_whole_tray_is_fed_without_script_and_today_agrees(
    tablet_without_script: BrowserContext, address: str, wall: Wall
) -> None:
    page = come_in(tablet_without_script, address)
    in_tubs(page, address, wall)
    counted_with_exceptions(page, address)
    wall.at("09:06")
    back_and_washed(page)

    page.goto(address)
    done = page.get_by_role("link").filter(has_text="Feed 1, tray A")
    expect(done).to_contain_text("9:06 am")
    expect(done).to_contain_text("7 animals, 1 refused, 1 not here")
    assert m.Resident.objects.get(key="h2-one-dot").status == "at vet"
    counts = m.Entry.objects.filter(kind__in=("count", "refused"), corrections__isnull=True)
    left = {entry.duty.split("/")[2]: entry.data["left"] for entry in counts if entry.data["left"]}
    assert left == {"h1-two-dots": 2, "h2-two-dots": 8}
    day = open_day(room=m.Room.objects.get(), day=mk.DAY, now=wall.now)
    assert next(view for view in day.rounds if view.key == "feed-1-h1-bar").status == "done"


def counted_with_exceptions(page: Page, address: str) -> None:
    """All eaten, but 2 left in tub 4, refused in tub 8 (after a wrong press), and tub 6 at the vet."""
    press(page, "All eaten, whole tray")
    expect(page.locator("#tub-4 output")).to_have_text("0 left")
    press(page, "Tub 4, 2 left")
    assert page.url.endswith("#tub-4")
    expect(page.locator("#tub-4 output")).to_have_text("2 left")
    page.goto(f"{address}{TRAY}?step=feed&open=change-8#tub-8")
    press(page, "Tub 8, not counted after all")
    press(page, "Tub 8, refused")
    expect(page.locator("#tub-8")).to_contain_text("Not eating: read the basking")
    page.get_by_role("link", name="Tub 6, not here", exact=True).click()
    page.get_by_role("link", name="At vet").click()
    page.get_by_label("Who took it, and when?").fill("Tamsin, 8:30")
    press(page, "At vet")
    expect(page.locator("#tub-6")).to_contain_text("At vet since 8:58, Oskar")


def back_and_washed(page: Page) -> None:
    """Each back in its own tank, then one press for the sink; tub 3 is not clean."""
    page.get_by_role("link", name="Back to their tanks", exact=True).click()
    expect(page.locator(".foot")).to_contain_text("7 animals still out")
    expect(page.get_by_text("Tray A washed opens when")).to_be_visible()
    for number in (1, 2, 3, 4, 5, 7, 8):
        press(page, f"Tub {number}, back to {'H1' if number <= 4 else 'H2'}")
    page.locator("#tub-3 .pick").click()
    press(page, "Tray A washed")
    expect(page.locator(".foot")).to_contain_text("Done 9:06 am, Oskar")
    expect(page.locator("main")).to_contain_text("Not clean: 3.")


@pytest.mark.parametrize("step", ["", "?step=feed", "?step=return"])
def test_a_glove_hits_every_button_of_the_tray(
    tablet_without_script: BrowserContext, address: str, wall: Wall, step: str
) -> None:
    page = come_in(tablet_without_script, address)
    in_tubs(page, address, wall)
    page.goto(address + TRAY + step)
    assert page.locator(".tray button").count() >= 8
    assert page.evaluate(SMALL, TOUCH_PX) == []


def test_all_eight_tubs_stand_on_one_upright_screen_turned_as_on_the_counter(
    tablet_without_script: BrowserContext, address: str, wall: Wall
) -> None:
    page = come_in(tablet_without_script, address)
    in_tubs(page, address, wall)
    boxes = {n: page.locator(f"#tub-{n}").bounding_box() for n in range(1, 9)}
    assert all(box["y"] + box["height"] <= 1280 for box in boxes.values()), boxes  # type: ignore[index]
    right, left = boxes[1], boxes[5]
    assert right["x"] > left["x"]  # type: ignore[index]
    assert [boxes[n]["y"] for n in (1, 2, 3, 4)] == sorted(boxes[n]["y"] for n in (1, 2, 3, 4))  # type: ignore[index]


UNDER_TAPE = """() => [...document.querySelectorAll('.tub')].flatMap(tub => {
  const tape = tub.querySelector('.tape').getBoundingClientRect();
  return [...tub.querySelectorAll('.bugs > *')].map(e => e.getBoundingClientRect())
    .filter(b => b.right > tape.left && b.left < tape.right && b.bottom > tape.top && b.top < tape.bottom)
    .map(b => `${tub.id}: insect ends at ${b.right}, tape begins at ${tape.left}`); })"""


@pytest.mark.parametrize("step", ["cups", "feed"])
@pytest.mark.parametrize("name", ["H1", "Hatchlings, upper shelf"])
@pytest.mark.parametrize("size", SIZES)
def test_no_insect_is_drawn_under_the_tape_however_long_the_name(
    browser: Browser, address: str, wall: Wall, size: str, name: str, step: str
) -> None:
    width, height = SIZES[size]
    m.Tank.objects.filter(key="h1").update(name=name)
    with browser.new_context(viewport={"width": width, "height": height}) as context:
        page = come_in(context, address)
        if step == "feed":
            in_tubs(page, address, wall)
        page.goto(address + TRAY)
        assert page.locator(".bugs > *").count() >= 8
        assert page.evaluate(UNDER_TAPE) == []


@pytest.mark.parametrize("size", SIZES)
def test_no_step_of_a_feed_is_too_wide(browser: Browser, address: str, wall: Wall, size: str) -> None:
    width, height = SIZES[size]
    with browser.new_context(viewport={"width": width, "height": height}) as context:
        page = come_in(context, address)
        wide = {}
        page.goto(address + TRAY)
        wide["cups"] = page.evaluate(TOO_WIDE)
        press(page, "Cups ready, to tubs")
        wide["to tubs"] = page.evaluate(TOO_WIDE)
        press(page, "All in their tubs")
        press(page, "Tub 4, refused")
        wide["feed"] = page.evaluate(TOO_WIDE)
        page.goto(address + TRAY + "?step=return")
        wide["return"] = page.evaluate(TOO_WIDE)
        press(page, "Put all 8 back now")
        wide["wash"] = page.evaluate(TOO_WIDE)
        page.goto(address + TRAY + "/not-here/2")
        wide["not here"] = page.evaluate(TOO_WIDE)
    assert {step: told for step, told in wide.items() if told} == {}


def test_a_count_is_given_by_keyboard_alone(browser: Browser, address: str, wall: Wall) -> None:
    with browser.new_context(viewport={"width": 800, "height": 1280}) as context:
        page = come_in(context, address)
        in_tubs(page, address, wall)
        page.goto(address + TRAY + "?step=feed")
        for _ in range(40):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.getAttribute('aria-label')") == "Tub 2, 1 left":
                break
        page.keyboard.press("Enter")
        expect(page.locator("#tub-2 output")).to_have_text("1 left")
        order = page.evaluate("[...document.querySelectorAll('.tray .no')].map(e => e.textContent.trim())")
    assert order == [f"Tub {n}" for n in range(1, 9)]
