"""The page's program as it is served, and a tab of a real Chromium on it."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from time import monotonic

from playwright.sync_api import Page, Request, expect

ROOT = Path(__file__).parents[2]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
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


def command(*words: object) -> None:
    """Run polepitch as the command line does."""
    code = "from optimizer.cli import main; main()"
    subprocess.run([sys.executable, "-c", code, *map(str, words)], cwd=ROOT, check=True, capture_output=True)


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

    def settled(self) -> None:
        """Wait until what is drawn is the newest design."""
        self.until("document.body.dataset.shown === 'now'")

    def until(self, truth: str) -> None:
        """Wait until a JavaScript expression is true; the page's policy forbids the browser to do so by itself."""
        end = monotonic() + SLOW / 1000
        while not self.page.evaluate(truth):
            assert monotonic() < end, f"still not: {truth}"
            self.page.wait_for_timeout(15)

    def forgive(self, status: str) -> None:
        """Drop what the browser itself logs of an answer that the page has put into words."""
        self.complaints[:] = [words for words in self.complaints if status not in words]

    def volts(self) -> float:
        """The voltage that the page shows."""
        return float(self.page.inner_text("#rms").split()[0])
