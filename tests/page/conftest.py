"""A page being served, and a real Chromium to open it with."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright
from visiting import CHROMIUM, FLAGS, ROOT, Visit, command, ended, served

from geometry.machine.layout_file import layout_text, read_layout


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the command line writes for the design that the page is brought to."""
    folder = tmp_path_factory.mktemp("written")
    layout = read_layout(ROOT / "optimizer" / "page" / "lantern_layout.toml")
    (folder / "mine.toml").write_text(layout_text(layout).replace("turns = 78", "turns = 76"))
    command("template", folder / "mine.toml", "--out", folder, "--zip")
    return folder


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    """Where a page that opens with the bundled lantern is served."""
    process, found = served()
    yield found
    ended(process)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's Chromium; the tests that need it are skipped where there is none."""
    if CHROMIUM is None:
        pytest.skip("no Chromium is installed (Debian package: chromium)")
    with sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield chromium
        chromium.close()


@pytest.fixture
def visit(browser: Browser, address: str) -> Iterator[Visit]:
    """A first visit on a laptop; at the end nothing may have gone wrong or gone outside."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, accept_downloads=True)
    made = Visit(context.new_page(), address)
    yield made.open()
    assert made.complaints == []
    assert made.outside == []
    context.close()
