"""The page's program as it is served, and a tab of a real browser on it."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from time import monotonic
from typing import Any

from click.testing import CliRunner
from playwright.sync_api import Browser, Page, Request, expect

from optimizer.commands.polepitch import polepitch

ROOT = Path(__file__).parents[2]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FIREFOX = shutil.which("firefox-esr") or shutil.which("firefox")
CHROMIUM_FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
# what Firefox asks of others by itself goes to a proxy that is not there; the loopback address needs none
FIREFOX_PREFERENCES: dict[str, str | float | bool] = {
    "network.proxy.type": 1, "network.proxy.http": "127.0.0.1", "network.proxy.http_port": 9,
    "network.proxy.ssl": "127.0.0.1", "network.proxy.ssl_port": 9,
    "layout.css.prefers-color-scheme.content-override": 0,  # its person wants it dark
}  # fmt: skip
# by name, browsers that tell of no file which a page itself has made, and the folders that they save it in
SAVED: dict[str, Path] = {}
SLOW = 120_000  # ms, the most that anything on the page may take here
expect.set_options(timeout=SLOW)


def served(*words: str) -> tuple[subprocess.Popen[str], str]:
    """The page's program and the address that it prints."""
    code = "from optimizer.cli import main; main()"
    process = subprocess.Popen(
        [sys.executable, "-c", code, "page", "--no-browser", *words],
        cwd=ROOT, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    return process, process.stdout.readline().split()[0].rstrip("/")


def ended(process: subprocess.Popen[str]) -> None:
    """End the program as Ctrl-C would, and see that it does."""
    process.terminate()
    process.wait(60)
    assert process.stdout is not None
    process.stdout.close()


def commanded(*words: object) -> str:
    """What polepitch prints, run in this process."""
    done = CliRunner().invoke(polepitch, [str(word) for word in words])
    assert done.exit_code == 0, (done.output, done.exception)
    return done.stdout


class Visit:
    """A tab on the page that remembers what it complained of and whom it asked."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address
        self.complaints: list[str] = []
        self.outside: list[str] = []
        page.set_default_timeout(SLOW)
        page.on(
            "console",
            lambda said: self.complaints.append(said.text) if said.type in ("error", "warning") else None,
        )
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("request", self._note)

    def _note(self, request: Request) -> None:
        if not request.url.startswith((self.address + "/", f"blob:{self.address}/")):
            self.outside.append(request.url)

    def open(self, hash_: str = "") -> Visit:
        """Go there and wait until the machine is drawn."""
        self.page.goto(self.address + "/" + hash_)
        self.settled()
        return self

    def afresh(self, hash_: str = "") -> Visit:
        """Go there as if for the first time: the page keeps nothing but its address."""
        self.page.goto("about:blank")
        return self.open(hash_)

    def settled(self) -> None:
        """Wait until what is drawn is the newest design."""
        self.page.locator("body[data-shown=now]").wait_for(state="attached")

    def until(self, truth: str) -> None:
        """Wait until a JavaScript expression is true; the page's policy forbids the browser to do so by itself."""
        begun = monotonic()
        while not self.page.evaluate(truth):
            waited = monotonic() - begun
            assert waited < SLOW / 1000, f"still not: {truth}"
            self.page.wait_for_timeout(15 + 100 * min(waited, 2))  # who waits long asks seldom

    def forgive(self, status: str) -> None:
        """Drop what the browser itself logs of an answer that the page has put into words."""
        self.complaints[:] = [words for words in self.complaints if status not in words]

    def turned_to(self, turns: int) -> str:
        """Set the number of turns; the address then."""
        self.page.fill("#c-winding-turns", str(turns))
        self.page.keyboard.press("Tab")
        self.until(f"location.hash.includes('winding.turns={turns}')")
        self.settled()
        return self.page.url

    def choose(self, key: str, value: str) -> None:
        """Choose by hand: a picture, a list's entry or a number."""
        row = f"c-{key.replace('.', '-')}"
        if self.page.locator(f"input[name='{row}']").count():
            self.page.check(f"input[name='{row}'][value='{value}']")
        elif self.page.locator(f"select#{row}").count():
            self.page.select_option(f"#{row}", value)
        else:
            self.page.fill(f"#{row}", value)
            self.page.locator(f"#{row}").blur()
        self.settled()

    def drag(self, *points: tuple[float, float]) -> None:
        """Press the mouse at the first point, move through the others, let go at the last."""
        self.page.mouse.move(*points[0])
        self.page.mouse.down()
        for point in points[1:]:
            self.page.mouse.move(*point)
        self.page.mouse.up()

    def taken(self, name: str, folder: Path) -> Path:
        """The file that the page's button of that name gives."""
        if saved := SAVED.get(self.page.context.browser.browser_type.name):
            self.page.click(f"[data-file='{name}']")
            end, path = monotonic() + SLOW / 1000, saved / name
            while not path.is_file() or not path.stat().st_size or path.with_name(f"{name}.part").exists():
                assert monotonic() < end, f"{name} was not saved"
                self.page.wait_for_timeout(15)
            return path.rename(folder / name)
        with self.page.expect_download() as download:
            self.page.click(f"[data-file='{name}']")
        assert download.value.suggested_filename == name
        download.value.save_as(folder / name)
        return folder / name

    def focused(self) -> str:
        """The id of what has the focus."""
        return self.page.evaluate("document.activeElement.id")

    def text(self, selector: str) -> str:
        """The words that an element shows, plain spaces between them."""
        return self.page.inner_text(selector).replace("\xa0", " ")

    def volts(self) -> float:
        """The voltage that the page shows."""
        return float(self.page.inner_text("#rms").split()[0])


def visited(browser: Browser, address: str, **looks: Any) -> Iterator[Visit]:
    """A first visit, on a laptop unless `looks` say otherwise; in the end nothing has gone wrong or gone outside."""
    context = browser.new_context(**{"viewport": {"width": 1280, "height": 800}, "accept_downloads": True} | looks)
    made = Visit(context.new_page(), address)
    yield made.open()
    assert made.complaints == []
    assert made.outside == []
    context.close()
