"""A server with a database of its own, a real Chromium, axe, and a folder for pictures of the pages."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests import chromium

ROOT = Path(__file__).parents[2]
HERE = Path(__file__).parent
SCREENSHOTS = HERE / "screenshots"
START = (
    "import sys; from api.server import serve; from api.settings import Settings; serve(Settings.from_environment())"
)
PATIENCE_MILLISECONDS = 20_000
PHONE = {"width": 390, "height": 844}


@dataclass
class Server:
    """A running server: its address, its first key, and ways to ask it and to stop it."""

    address: str
    folder: Path
    key: str | None = None
    process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Starts it, on the same port and database each time, and waits until it answers."""
        port = self.address.rpartition(":")[2]
        surroundings = {
            **os.environ,
            "DATABASE_URL": f"sqlite:///{self.folder / 'sizewright.db'}",
            "SIZEWRIGHT_PORT": port,
        }
        self.process = subprocess.Popen([sys.executable, "-c", START], cwd=ROOT, env=surroundings)
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline and self.process.poll() is None:
            try:
                urllib.request.urlopen(f"{self.address}/health", timeout=5).close()
            except OSError:
                time.sleep(0.1)
                continue
            self.key = self.key or _first_key(self.folder)
            return
        pytest.fail("The server did not start.")

    def stop(self) -> None:
        """Stops it; `start` starts it again."""
        if self.process is not None:
            self.process.terminate()
            self.process.wait(20)

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> Any:
        """The JSON that the interface answers; fails for every other answer."""
        sent = {"Content-Type": "application/json", **{name.replace("_", "-"): text for name, text in headers.items()}}
        if self.key:
            sent["Authorization"] = f"Bearer {self.key}"
        content = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(f"{self.address}{path}", content, sent, method=method)
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return json.load(answer)
        except urllib.error.HTTPError as error:
            raise AssertionError(f"{method} {path}: {error.code} {error.read().decode()}") from error


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    made = Server(f"http://127.0.0.1:{port}", tmp_path_factory.mktemp("server"))
    made.start()
    # The first check waits for a worker to load the library, longer than a page waits.
    made.ask("POST", "/checks", {"document": {}})
    yield made
    made.stop()


# Not of the session: while it is open, this process has a loop at work, in which commands could not run their own.
@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        # As root Chromium runs without its sandbox only; the pages are our own.
        options = ["--no-sandbox", "--disable-dev-shm-usage"]
        started = playwright.chromium.launch(executable_path=chromium.found(), args=options)
        yield started
        started.close()


@dataclass
class Opener:
    """Opens windows of the browser, and keeps what they complain of."""

    browser: Browser
    server: Server
    complaints: list[str] = field(default_factory=list)
    expected: tuple[str, ...] = ()
    """Parts of complaints that a test means to cause."""

    def __call__(self, *, signed_in: bool = True, **options: Any) -> Page:
        """A window with cookies of its own, signed in where the server has keys."""
        context = self.browser.new_context(base_url=self.server.address, **{"reduced_motion": "reduce", **options})
        context.set_default_timeout(PATIENCE_MILLISECONDS)
        page = context.new_page()
        page.on("console", lambda message: self._note(message.text) if message.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: self._note(str(error)))
        if signed_in and self.server.key:
            page.goto("/desk/sign-in")
            page.get_by_label("Key").fill(self.server.key)
            page.get_by_role("button", name="Sign in").click()
            page.wait_for_url("**/desk")
        return page

    def _note(self, text: str) -> None:
        if not any(part in text for part in self.expected):
            self.complaints.append(text)


@pytest.fixture
def opened(browser: Browser, server: Server) -> Iterator[Opener]:
    """Opens windows; at the end none may have complained, of a script's error or of what the policy forbids."""
    opener = Opener(browser, server)
    yield opener
    for context in browser.contexts:
        context.close()
    assert opener.complaints == []


@pytest.fixture
def window(opened: Opener) -> Page:
    """One window, signed in."""
    return opened()


@pytest.fixture(scope="session")
def axe() -> Callable[[Page], list[str]]:
    """What axe finds wrong on a page by WCAG 2.2 A and AA and its best practices: rule and places."""
    source = (HERE / "axe.min.js").read_text(encoding="utf-8")

    def run(page: Page) -> list[str]:
        if not page.evaluate("typeof window.axe !== 'undefined'"):
            page.evaluate(source)
        found = page.evaluate("() => axe.run(document, {resultTypes: ['violations']})")
        return [
            f"{each['id']}: {', '.join(str(node['target']) for node in each['nodes'][:5])}"
            for each in found["violations"]
        ]

    return run


@pytest.fixture(scope="session")
def pictured() -> Callable[[Page, str], None]:
    """Keeps a page as pictures: light, dark, and as wide as a phone, for people to look at."""
    SCREENSHOTS.mkdir(exist_ok=True)

    def keep(page: Page, name: str) -> None:
        size = page.viewport_size
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            page.screenshot(path=SCREENSHOTS / f"{name}_{scheme}.png", full_page=True)
        page.emulate_media(color_scheme="light")
        page.set_viewport_size(PHONE)
        page.screenshot(path=SCREENSHOTS / f"{name}_phone.png", full_page=True)
        wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wider <= 0, f"{name} is {wider} pixels wider than a phone"
        if size is not None:
            page.set_viewport_size(size)

    return keep


@pytest.fixture(scope="session")
def first_view_bytes() -> Callable[[Page, str], int]:
    """How many bytes a page and all that it needs come to, with nothing kept from before."""

    def measure(page: Page, address: str) -> int:
        context = page.context.browser.new_context(
            base_url=page.url, storage_state=page.context.storage_state(), reduced_motion="reduce"
        )
        fresh, sizes = context.new_page(), []
        fresh.on("response", lambda answer: sizes.append(len(answer.body())) if answer.status == 200 else None)
        fresh.goto(address, wait_until="networkidle")
        context.close()
        return sum(sizes)

    return measure


def _first_key(folder: Path) -> str | None:
    """The key that the server wrote beside its database when it first started."""
    for file in folder.iterdir():
        if "key" in file.name:
            return file.read_text(encoding="utf-8").strip().splitlines()[-1]
    return None
