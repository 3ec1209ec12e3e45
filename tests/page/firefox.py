"""The system's Firefox, as it is installed, driven over WebDriver BiDi (https://www.w3.org/TR/webdriver-bidi/)."""

from __future__ import annotations

import base64
import json
import os
import shutil
import subprocess
from collections.abc import Generator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic, sleep
from typing import Any

from websockets.sync.client import ClientConnection, connect

FIREFOX = shutil.which("firefox-esr") or shutil.which("firefox")
PATIENCE = 120.0  # s, the most that anything may take here
KEYS = {
    "Tab": "\ue004", "Enter": "\ue007", "Shift": "\ue008", "Control": "\ue009", "Escape": "\ue00c", "Home": "\ue011",
    "ArrowLeft": "\ue012", "ArrowUp": "\ue013", "ArrowRight": "\ue014", "ArrowDown": "\ue015",
}  # fmt: skip
LIGHT, DARK = 1, 0  # values of the preference that settles a page's colour scheme

# what a Firefox asks of others by itself, all of it forbidden; a proxy that is not there answers the rest
QUIET = {
    "app.normandy.enabled": False,
    "app.update.disabledForTesting": True,
    "app.update.enabled": False,
    "browser.aboutConfig.showWarning": False,
    "browser.newtabpage.enabled": False,
    "browser.region.update.enabled": False,
    "browser.safebrowsing.blockedURIs.enabled": False,
    "browser.safebrowsing.downloads.enabled": False,
    "browser.safebrowsing.malware.enabled": False,
    "browser.safebrowsing.phishing.enabled": False,
    "browser.search.update": False,
    "browser.shell.checkDefaultBrowser": False,
    "browser.startup.page": 0,
    "datareporting.healthreport.uploadEnabled": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "dom.push.connection.enabled": False,
    "extensions.getAddons.cache.enabled": False,
    "extensions.systemAddon.update.enabled": False,
    "extensions.update.enabled": False,
    "media.gmp-manager.updateEnabled": False,
    "messaging-system.rsexperimentloader.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "network.dns.disablePrefetch": True,
    "network.prefetch-next": False,
    "network.proxy.ssl": "127.0.0.1",
    "network.proxy.ssl_port": 9,
    "network.proxy.http": "127.0.0.1",
    "network.proxy.http_port": 9,
    "network.proxy.type": 1,
    "services.settings.server": "http://127.0.0.1:9/v1",
    "toolkit.telemetry.enabled": False,
    "toolkit.telemetry.server": "http://127.0.0.1:9",
    "toolkit.telemetry.unified": False,
}


class RefusedError(AssertionError):
    """Firefox says that a command cannot be done."""


class Firefox:
    """A running Firefox: commands go to it, events are kept."""

    def __init__(self, wire: ClientConnection, folder: Path) -> None:
        self.wire, self.downloads = wire, folder / "downloads"
        self.events: list[dict[str, Any]] = []
        self._last = 0

    def ask(self, method: str, **params: Any) -> dict[str, Any]:
        """The result of one command; events that come before it are put aside. Raises RefusedError."""
        self._last += 1
        self.wire.send(json.dumps({"id": self._last, "method": method, "params": params}))
        while True:
            answer = json.loads(self.wire.recv(PATIENCE))
            if answer.get("id") == self._last:
                break
            self.events.append(answer)
        if answer["type"] == "error":
            raise RefusedError(f"{method}: {answer['error']}: {answer['message']}")
        return answer["result"]


def _profile(folder: Path, scheme: int) -> Path:
    """A new profile whose downloads go to `folder`/downloads without a question."""
    profile = folder / "profile"
    profile.mkdir(parents=True)
    (folder / "downloads").mkdir()
    prefs = QUIET | {
        "browser.download.dir": str(folder / "downloads"),
        "browser.download.folderList": 2,
        "browser.download.always_ask_before_handling_new_types": False,
        "pdfjs.disabled": True,  # which would open what is saved
        "layout.css.prefers-color-scheme.content-override": scheme,
    }
    lines = (f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in prefs.items())
    (profile / "user.js").write_text("".join(lines))
    return profile


def _where(profile: Path, process: subprocess.Popen[bytes]) -> str:
    """The address that Firefox listens at, which it writes into its profile."""
    end, file = monotonic() + PATIENCE, profile / "WebDriverBiDiServer.json"
    while monotonic() < end and process.poll() is None:
        try:
            said = json.loads(file.read_text())
            return f"ws://{said['ws_host']}:{said['ws_port']}/session"
        except (OSError, ValueError):
            sleep(0.02)
    raise AssertionError("Firefox did not start")


@contextmanager
def firefox(folder: Path, scheme: int = LIGHT) -> Generator[Firefox]:
    """The system's Firefox, headless, on the loopback address alone, with its home and a new profile in `folder`."""
    assert FIREFOX is not None
    profile = _profile(folder, scheme)
    process = subprocess.Popen(
        [FIREFOX, "--headless", "--no-remote", "--remote-debugging-port", "0", "--profile", str(profile)],
        env=os.environ | {"HOME": str(folder), "MOZ_CRASHREPORTER_DISABLE": "1"},
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        with connect(_where(profile, process), max_size=None, proxy=None, compression=None) as wire:
            driven = Firefox(wire, folder)
            driven.ask("session.new", capabilities={})
            driven.ask("session.subscribe", events=["log.entryAdded", "network.beforeRequestSent"])
            yield driven
            driven.ask("browser.close")
        process.wait(PATIENCE)
    finally:
        if process.poll() is None:
            process.kill()
            process.wait()


class Tab:
    """A tab of its own, without the others' memory, on the page at `address`."""

    def __init__(self, browser: Firefox, address: str, width: int = 1280, height: int = 800) -> None:
        self.browser, self.address = browser, address
        browser.events.clear()
        user = browser.ask("browser.createUserContext")["userContext"]
        self.context: str = browser.ask("browsingContext.create", type="tab", userContext=user)["context"]
        self.ask("browsingContext.activate")
        self.sized(width, height)

    def ask(self, method: str, **params: Any) -> dict[str, Any]:
        """A command about this tab."""
        return self.browser.ask(method, context=self.context, **params)

    def sized(self, width: int, height: int) -> None:
        """Give the page that many CSS pixels."""
        self.ask("browsingContext.setViewport", viewport={"width": width, "height": height})

    def open(self, hash_: str = "") -> Tab:
        """Go to the page and wait until the machine is drawn."""
        self.ask("browsingContext.navigate", url=f"{self.address}/{hash_}", wait="complete")
        return self.settled()

    def reload(self) -> Tab:
        """Load the page again, as F5 does."""
        self.ask("browsingContext.reload", wait="complete")
        return self.settled()

    def settled(self) -> Tab:
        """Wait until what is drawn is the newest design."""
        self.until("document.body.dataset.shown === 'now'")
        return self

    def eval(self, code: str) -> Any:
        """The value of a JavaScript expression, or what its promise keeps, as JSON carries it."""
        answer = self.browser.ask(
            "script.evaluate", expression=f"(async () => JSON.stringify(await ({code})))()", awaitPromise=True,
            target={"context": self.context},
        )  # fmt: skip
        if answer["type"] == "exception":
            raise RefusedError(f"{code}: {answer['exceptionDetails']['text']}")
        value = answer["result"].get("value")
        return None if value is None else json.loads(value)

    def until(self, truth: str) -> None:
        """Wait until a JavaScript expression is true."""
        end = monotonic() + PATIENCE
        while not self.eval(f"Boolean({truth})"):
            assert monotonic() < end, f"still not: {truth}"
            sleep(0.015)

    def of(self, selector: str, code: str) -> Any:
        """An expression of `it`, the first element that fits the selector, once there is one."""
        found = f"document.querySelector({json.dumps(selector)})"
        self.until(found)
        return self.eval(f"((it) => {code})({found})")

    def text(self, selector: str) -> str:
        """The words that an element shows."""
        return self.of(selector, "it.innerText")

    def value(self, selector: str) -> str:
        """What a control holds."""
        return self.of(selector, "it.value")

    def spot(self, selector: str, share: float = 0.5) -> tuple[int, int]:
        """A point of an element, `share` of the way across, scrolled to where nothing covers it."""
        box = self.of(
            selector,
            "{it.scrollIntoView({block: 'center', behavior: 'instant'}); const b = it.getBoundingClientRect();"
            f" const x = Math.round(b.x + b.width * {share}), y = Math.round(b.y + b.height / 2);"
            " const top = document.elementFromPoint(x, y);"
            " return {x, y, free: it.contains(top), top: top?.outerHTML.slice(0, 80)}}",
        )
        assert box["free"], f"{selector} is covered by {box['top']}"
        return box["x"], box["y"]

    def act(self, *sources: dict[str, Any]) -> None:
        """Real input, as a hand gives it."""
        self.ask("input.performActions", actions=list(sources))

    def torque_law(self, *points: tuple[int, int]) -> None:
        """Press at the first point, move through the others, let go at the last; one alone is a click."""
        (x, y), *others = points
        moves = [{"type": "pointerMove", "x": a, "y": b, "duration": 40} for a, b in others]
        steps = [{"type": "pointerMove", "x": x, "y": y}, {"type": "pointerDown", "button": 0}, *moves]
        self.act({"type": "pointer", "id": "mouse", "actions": [*steps, {"type": "pointerUp", "button": 0}]})

    def click(self, selector: str) -> None:
        """Click the middle of an element."""
        self.torque_law(self.spot(selector))

    def press(self, *chords: str) -> None:
        """Press keys one after the other; those joined by + together."""
        steps: list[dict[str, str]] = []
        for chord in chords:
            keys = [KEYS.get(key, key) for key in chord.split("+")]
            steps += [{"type": "keyDown", "value": key} for key in keys]
            steps += [{"type": "keyUp", "value": key} for key in reversed(keys)]
        self.act({"type": "key", "id": "keys", "actions": steps})

    def fill(self, selector: str, words: str) -> None:
        """Type over what a text field holds."""
        self.click(selector)
        self.press("Control+a", *words)

    def downloaded(self, name: str) -> bytes:
        """The bytes of a file that the page has saved, once they are all there."""
        path = self.browser.downloads / name
        end = monotonic() + PATIENCE
        while not path.is_file() or not path.stat().st_size or path.with_name(f"{name}.part").exists():
            assert monotonic() < end, f"{name} was not saved"
            sleep(0.02)
        return path.read_bytes()

    def picture(self, path: Path, *, whole: bool = False) -> None:
        """A screenshot as a PNG file, of the window or of the `whole` page."""
        origin = "document" if whole else "viewport"
        path.write_bytes(
            base64.b64decode(self.ask("browsingContext.captureScreenshot", origin=origin)["data"])
        )

    def complaints(self) -> list[str]:
        """What the console has told of errors and warnings so far."""
        said = self._of_kind("log.entryAdded")
        return [f"{entry['level']}: {entry['text']}" for entry in said if entry["level"] in ("error", "warn")]

    def outside(self) -> list[str]:
        """Addresses asked so far that are not the page's own."""
        asked = [params["request"]["url"] for params in self._of_kind("network.beforeRequestSent")]
        own = (self.address + "/", f"blob:{self.address}/", "data:", "about:blank")
        return [url for url in asked if not url.startswith(own)]

    def _of_kind(self, kind: str) -> list[dict[str, Any]]:
        self.browser.ask("session.status")  # everything that came before it is in by now
        told = (event["params"] for event in self.browser.events if event.get("method") == kind)
        return [params for params in told if params.get("source", params).get("context") == self.context]

    def close(self) -> None:
        """Close the tab."""
        self.ask("browsingContext.close")
