"""Today and its neighbors in a real browser: without script, by keyboard, at every size, for every reader.

Accessibility is judged by axe-core, the open rule engine (rules of WCAG 2.0 to 2.2, A and AA).
"""

from __future__ import annotations

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page
from pytest_django.live_server_helper import LiveServer

from roomops.desk.day import open_day
from roomops.records.models import Room
from roomops.screens.addresses import round_address
from roomops.tasks import clock
from tests import playing
from tests.makers import an_account, an_ordinary_morning, at

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

NOON = at("12:30")
SIZES = {"wide": (1280, 800), "tablet": (800, 1280), "zoomed to 200 %": (640, 400), "to 400 %": (320, 256)}
PAGES = ("/", "/papers", "/sign-out", "/feeding", "/walks", "/sorting", "/wrong")
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
GOOD_PRACTICE = [*WCAG, "best-practice"]  # held by the pages of the floor
TOO_WIDE = """() => {
  const wide = document.documentElement.clientWidth + 1;
  const held = e => e.closest('[role=region][aria-label], .scroll, .sr, .skip, svg');
  const all = [...document.querySelectorAll('body *')].filter(e => !held(e) && e.getClientRects().length);
  const over = all.filter(e => e.getBoundingClientRect().right > wide);
  return over.map(e => e.tagName + '.' + e.className).slice(0, 5)
    .concat(document.documentElement.scrollWidth > wide ? ['the page scrolls sideways'] : []);
}"""


def pages() -> tuple[str, ...]:
    """The pages of the floor, and one of each kind of round."""
    room = Room.objects.get()
    day = open_day(room=room, day=NOON.date(), now=NOON)
    rounds = {view.round.kind: round_address(view) for view in day.rounds}
    return (*PAGES, *rounds.values())


@pytest.fixture
def address(live_server: LiveServer, monkeypatch: pytest.MonkeyPatch) -> str:
    """A server of the ordinary morning, played to 12:30 pm, where all clocks stand."""
    made = an_ordinary_morning()
    an_account(made.oskar)
    playing.play(room=made.room, morning=at("07:00"), until=NOON)
    monkeypatch.setattr(clock, "now", lambda *, zone: NOON.astimezone(zone))
    return live_server.url


def come_in(context: BrowserContext, address: str) -> Page:
    """Oskar, signed in as people do."""
    page = context.new_page()
    page.goto(address)
    page.get_by_label("Name").fill("oskar")
    page.get_by_label("Password").fill("twelve crickets")
    page.get_by_role("button", name="Sign in").press("Enter")
    page.wait_for_url(f"{address}/")
    return page


@pytest.mark.parametrize("lamps", ["on", "off"])
def test_no_page_shuts_anybody_out(browser: Browser, address: str, lamps: str) -> None:
    # tall enough to show a whole page: what the floor covers at one place of the scroll is no smaller for it
    with browser.new_context(viewport={"width": 800, "height": 6000}) as context:
        context.add_cookies([{"name": "lamps", "value": lamps, "url": address}])
        page = context.new_page()
        page.goto(address)
        found = {"/sign-in": violations(page, GOOD_PRACTICE)}
        page.close()
        page = come_in(context, address)
        for path in pages():
            page.goto(address + path)
            found[path] = violations(page, GOOD_PRACTICE if path in PAGES else WCAG)
    assert {path: told for path, told in found.items() if told} == {}


def violations(page: Page, rules: list[str]) -> list[str]:
    options = {"runOnly": {"type": "tag", "values": rules}}
    answer: dict[str, Any] = Axe().run(page, options=options).response
    assert answer["passes"], "the rules ran"
    return [f"{each['id']}: {each['nodes'][0]['html'][:160]}" for each in answer["violations"]]


def test_axe_sees_a_page_that_shuts_people_out(browser: Browser) -> None:
    with browser.new_context() as context:
        page = context.new_page()
        page.set_content("<html><body><p style='color:#999'>pale</p><button></button></body></html>")
        assert any(told.startswith(("color-contrast", "button-name")) for told in violations(page, WCAG))


@pytest.mark.parametrize("size", SIZES)
def test_nothing_is_wider_than_the_glass(browser: Browser, address: str, size: str) -> None:
    width, height = SIZES[size]
    with browser.new_context(viewport={"width": width, "height": height}) as context:
        page = come_in(context, address)
        found = {}
        for path in pages():
            page.goto(address + path)
            found[path] = page.evaluate(TOO_WIDE)
    assert {path: wide for path, wide in found.items() if wide} == {}


def test_what_is_pressed_on_today_is_as_large_as_a_glove_needs(browser: Browser, address: str) -> None:
    with browser.new_context(viewport={"width": 800, "height": 1280}) as context:
        page = come_in(context, address)
        heights = page.evaluate(
            "[...document.querySelectorAll('main .b, .floor a, .times a, summary')]"
            ".filter(e => e.getClientRects().length).map(e => e.getBoundingClientRect().height)"
        )
    assert heights
    assert min(heights) >= 56


def test_the_keyboard_goes_past_the_lid_to_the_work_and_shows_where_it_is(
    browser: Browser, address: str
) -> None:
    with browser.new_context(viewport={"width": 800, "height": 1280}) as context:
        page = come_in(context, address)
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.textContent") == "Go to the work"
        assert page.evaluate("document.activeElement.getBoundingClientRect().left") >= 0
        page.keyboard.press("Enter")
        page.keyboard.press("Tab")
        assert page.evaluate("!!document.activeElement.closest('main')")
        ring = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
        assert float(ring.removesuffix("px")) >= 4


def test_the_floor_never_covers_what_the_keyboard_is_at(browser: Browser, address: str) -> None:
    with browser.new_context(viewport={"width": 800, "height": 700}) as context:
        page = come_in(context, address)
        for _ in range(60):
            page.keyboard.press("Tab")
            covered = page.evaluate(
                "(() => { const at = document.activeElement, floor = document.querySelector('.floor');"
                " if (at === document.body || at.closest('.floor, .skip, .ribbon')) return '';"
                " const under = at.getBoundingClientRect().bottom > floor.getBoundingClientRect().top + 1;"
                " return under ? at.textContent : ''; })()"
            )
            assert covered == ""


def test_a_stop_of_the_ribbon_leads_to_its_row_even_where_the_list_is_folded(
    tablet_without_script: BrowserContext, address: str
) -> None:
    page = come_in(tablet_without_script, address)
    stops = page.locator(".ribbon a.stop")
    assert stops.count() > 10
    for place in (0, stops.count() - 1):
        target = stops.nth(place).get_attribute("href")
        assert target is not None
        stops.nth(place).click()
        assert page.url.endswith(target)
        assert page.locator(target).is_visible()


def test_a_dark_page_and_going_out_need_no_script(
    tablet_without_script: BrowserContext, address: str
) -> None:
    page = come_in(tablet_without_script, address)
    page.get_by_role("button", name="Dark page").click()
    assert page.locator("html[data-lamps=off]").count() == 1
    page.get_by_role("link", name="Sign out").click()
    page.get_by_role("button", name="Sign out").click()
    assert page.url.endswith("/sign-in")
    page.goto(address + "/papers")
    assert "/sign-in?next=" in page.url


def test_signs_are_drawn_and_the_policy_blocks_nothing_of_ours(browser: Browser, address: str) -> None:
    with browser.new_context(viewport={"width": 1280, "height": 800}) as context:
        told: list[str] = []
        context.on("console", lambda message: told.append(message.text))
        page = come_in(context, address)
        page.wait_for_load_state("networkidle")
        drawn = page.evaluate("document.querySelector('.floor svg use').getBoundingClientRect().width")
        style = page.evaluate("getComputedStyle(document.querySelector('.ribbon .now')).left")
    assert told == []
    assert drawn > 5
    assert style != "auto", "places in style attributes hold"


def test_a_script_that_somebody_smuggled_in_does_not_run(browser: Browser, address: str) -> None:
    with browser.new_context() as context:
        page = come_in(context, address)
        page.evaluate(
            "() => { const s = document.createElement('script'); s.textContent = 'window.ran = 1';"
            " document.body.append(s); }"
        )
        assert page.evaluate("window.ran") is None
