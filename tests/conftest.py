"""What every test stands on: repeatable examples, plain settings, a browser and PDFs where there are any."""

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from functools import cache

import pytest
from django.test import override_settings
from hypothesis import settings as hypothesis_settings
from playwright.sync_api import Browser, BrowserContext, sync_playwright

CI = os.environ.get("CI") == "true"
COUNTER_TABLET = {"width": 800, "height": 1280}  # the tablet on the feeding counter, upright
CHROMIUM_ARGS = [
    "--no-sandbox",  # Chromium refuses root with it, and a build server is often root
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

# No deadline: how long an example takes says more about the machine than about the code.
hypothesis_settings.register_profile("ci", derandomize=True, deadline=None, print_blob=True)
hypothesis_settings.register_profile("here", deadline=None)
hypothesis_settings.load_profile("ci" if CI else "here")


# ---------------------------------------------------------------- what a machine may lack


@cache
def chromium() -> str | None:
    """Path of a Chromium that starts; a package that only points to another store does not count."""
    for name in ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome"):
        path = shutil.which(name)
        if not path:
            continue
        try:
            told = subprocess.run(
                [path, "--version"], capture_output=True, text=True, timeout=30, check=False
            ).stdout
        except (OSError, subprocess.TimeoutExpired):
            continue
        if re.search(r"(Chromium|Chrome) \d+", told):
            return path
    return None


@cache
def pdf_libraries() -> bool:
    """Whether the system libraries that lay out PDFs are there."""
    try:
        import weasyprint  # noqa: F401
    except OSError:
        return False
    return True


LACKING = {
    "browser": (lambda: chromium() is None, "there is no Chromium here"),
    "pdf": (lambda: not pdf_libraries(), "the PDF system libraries are not here"),
}


@pytest.hookimpl(tryfirst=True)  # before -m chooses, so that `-m "not browser"` knows what uses one
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what uses a browser; where the machine lacks what a test needs, skip it by its name.

    On a build server (CI=true) nothing skips: there the test fails, since the machine should have it.
    """
    for item in items:
        if "browser" in getattr(item, "fixturenames", ()):
            item.add_marker("browser")
        for mark, (lacks, why) in LACKING.items():
            if not CI and item.get_closest_marker(mark) and lacks():
                item.add_marker(pytest.mark.skip(reason=f"{item.name}: {why}"))


# ---------------------------------------------------------------- settings of all tests


@pytest.fixture(scope="session", autouse=True)
def plain_settings() -> Iterator[None]:
    """Static files under their own names, and a password hash that costs nothing."""
    plain = {
        "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    cheap = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    with override_settings(STORAGES=plain, PASSWORD_HASHERS=cheap):
        yield


# ---------------------------------------------------------------- a browser


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for all tests of a worker process."""
    if chromium() is None:
        pytest.fail("there is no Chromium here")
    before = os.environ.get("DJANGO_ALLOW_ASYNC_UNSAFE")
    # Playwright keeps an event loop in this thread, which Django would take for asynchronous code.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium(), args=CHROMIUM_ARGS)
        yield opened
        opened.close()
    if before is None:
        del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def tablet(browser: Browser) -> Iterator[BrowserContext]:
    """A fresh visitor on the counter's tablet."""
    with browser.new_context(
        viewport=COUNTER_TABLET, locale="en-US", timezone_id="America/Chicago"
    ) as context:
        yield context


@pytest.fixture
def tablet_without_script(browser: Browser) -> Iterator[BrowserContext]:
    """The same tablet with scripts switched off: every page must still work."""
    with browser.new_context(
        viewport=COUNTER_TABLET, locale="en-US", timezone_id="America/Chicago", java_script_enabled=False
    ) as context:
        yield context
