"""The site, built once for all tests that look at it, a server for the browser, and Chromium as a phone."""

from __future__ import annotations

import functools
import http.server
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, sync_playwright

ROOT = Path(__file__).resolve().parent.parent
DAY = "2026-11-25"
CHROMIUM = shutil.which("chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def build(target: Path, data: Path | None = None) -> subprocess.CompletedProcess[str]:
    """A strict build into `target`, of the data folder if one is given."""
    environment = os.environ | {"FIRMWRAP_DAY": DAY, "NO_MKDOCS_2_WARNING": "1"}
    if data is not None:
        environment["FIRMWRAP_DATA"] = str(data)
    call = [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet", "--site-dir", str(target)]
    return subprocess.run(call, cwd=ROOT, env=environment, capture_output=True, text=True)


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("built") / "site"
    done = build(target)
    assert done.returncode == 0, done.stdout + done.stderr
    return target


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture(scope="session")
def address(built: Path) -> Iterator[str]:
    handler = functools.partial(_Quiet, directory=str(built))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def phone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BrowserContext]:
    """Chromium with a screen of 360 x 740."""
    if CHROMIUM is None:
        assert not os.environ.get("CI"), "CI runs the browser tests; install Chromium"
        pytest.skip("Chromium is not installed; these tests run where it is")
    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(
            str(tmp_path_factory.mktemp("profile")),
            executable_path=CHROMIUM,
            headless=True,
            args=FLAGS,
            viewport={"width": 360, "height": 740},
            service_workers="block",  # no copy of the whole site for every test: test_offline.py has its own phone
        )
        yield context
        context.close()


@pytest.fixture
def page(phone: BrowserContext, address: str) -> Iterator[Page]:
    """A page that notes every console error and every request that leaves the site."""
    page = phone.new_page()
    wrong: list[str] = []
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on(
        "request",
        lambda request: None
        if request.url.startswith((address, "data:", "blob:"))
        else wrong.append(f"foreign request {request.url}"),
    )
    yield page
    page.close()
    assert not wrong
