"""A page being served, and real browsers to open it with."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright
from visiting import (
    CHROMIUM,
    CHROMIUM_FLAGS,
    FIREFOX,
    FIREFOX_PREFERENCES,
    SAVED,
    Visit,
    ended,
    served,
    visited,
)


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    """Where a page that opens with the bundled lantern is served."""
    process, found = served()
    yield found
    ended(process)


@pytest.fixture(scope="session")
def driver() -> Iterator[Playwright]:
    """What speaks to browsers."""
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def browser(driver: Playwright) -> Iterator[Browser]:
    """The system's Chromium; the tests that need it are skipped where there is none."""
    if CHROMIUM is None:
        pytest.skip("no Chromium is installed (Debian package: chromium)")
    chromium = driver.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_FLAGS)
    yield chromium
    chromium.close()


@pytest.fixture(scope="session")
def fox(driver: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """The system's Firefox as it is installed, driven over WebDriver BiDi; skipped where there is none."""
    if FIREFOX is None:
        pytest.skip("no Firefox is installed (Debian package: firefox-esr)")
    SAVED["firefox"] = tmp_path_factory.mktemp("firefox")
    firefox = driver.firefox.launch(
        channel="moz-firefox", executable_path=FIREFOX, firefox_user_prefs=FIREFOX_PREFERENCES,
        downloads_path=SAVED["firefox"],
    )  # fmt: skip
    yield firefox
    firefox.close()


@pytest.fixture
def visit(browser: Browser, address: str) -> Iterator[Visit]:
    """A first visit on a laptop, in Chromium."""
    yield from visited(browser, address)


@pytest.fixture(params=["browser", "fox"], ids=["Chromium", "Firefox"])
def either(request: pytest.FixtureRequest) -> Browser:
    """Chromium, then Firefox."""
    return request.getfixturevalue(request.param)


@pytest.fixture
def seen(either: Browser, address: str) -> Iterator[Visit]:
    """A first visit on a laptop, in Chromium and in Firefox."""
    yield from visited(either, address)
