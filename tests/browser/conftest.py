"""A real Chromium against the real server. Without one these tests are skipped, unless
HEFTWRIGHT_BROWSER_TESTS=required."""

from __future__ import annotations

import os
import shutil
import sys
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import pytest

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "web"))  # the cast and the sheets of the page tests

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
IS_REQUIRED = os.environ.get("HEFTWRIGHT_BROWSER_TESTS") == "required"
ARGUMENTS = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]

# playwright keeps an event loop in this thread, which Django would take for asynchronous code
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"


def pytest_collection_modifyitems(items):
    for item in items:
        if HERE in Path(item.fspath).parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium():
    """The browser, started once."""
    if CHROMIUM is None:
        if IS_REQUIRED:
            pytest.fail("HEFTWRIGHT_BROWSER_TESTS=required, but there is no chromium.")
        pytest.skip("no chromium on this machine")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def house(transactional_db, live_server):
    """Dunnock Row in the middle of a class that began 25 minutes ago."""
    from floor_cast import open_house

    now = datetime.now(UTC)
    began = max(now - timedelta(minutes=25), datetime.combine(now.date(), time(), UTC))
    return open_house(starts_at=began.time().replace(second=0, microsecond=0), on=now.date())


@pytest.fixture
def window(chromium, live_server):
    """Opens a window of some size and scheme; complaints of the console fail the test."""
    opened, complaints = [], []

    def open_window(width, height=900, scheme="light", **more):
        context = chromium.new_context(
            viewport={"width": width, "height": height},
            color_scheme=scheme,
            base_url=live_server.url,
            **more,
        )
        context.set_default_timeout(6000)
        opened.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda line: line.type == "error" and complaints.append(line.text))
        return page

    open_window.complaints = complaints
    yield open_window
    for context in opened:
        context.close()
    assert [line for line in complaints if not is_of_a_lost_signal(line)] == []


def is_of_a_lost_signal(line):
    """What the browser and htmx write when a test takes the signal away."""
    return "ERR_INTERNET_DISCONNECTED" in line or line.startswith(("htmx:send", "htmx:after"))


@pytest.fixture
def coach(window, house):
    """Opens a window in which the owner has signed in."""
    from floor_cast import PASSWORD

    def open_desk(width=1280, height=900, scheme="light", **more):
        page = window(width, height, scheme, **more)
        page.goto("/sign-in")
        page.get_by_label("Name or e-mail").fill("Olga")
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url("**/today/")
        return page

    return open_desk
