"""The search box on a phone four times slower than this computer: seconds until it is ready, then for each query."""

from __future__ import annotations

import functools
import http.server
import shutil
import threading
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import sync_playwright

THROTTLE = 4
QUERIES = ("Heron 41 m", "54m", "R07", "becket", "overhaul")
FIRST = "drum"
FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]

# Types a query and waits for the list of answers to change.
ASK = """query => new Promise(done => {
  const box = document.querySelector("input[name=query]");
  const list = document.querySelector(".md-search-result__list");
  const begun = performance.now();
  new MutationObserver((_, watch) => {
    if (list.children.length) { watch.disconnect(); done(performance.now() - begun); }
  }).observe(list, {childList: true});
  box.value = query;
  box.dispatchEvent(new Event("input", {bubbles: true}));
  box.dispatchEvent(new KeyboardEvent("keyup", {bubbles: true}));
})"""


@dataclass(frozen=True)
class Searched:
    """Seconds from opening the box to the first answer; milliseconds of the slowest later query."""

    ready: float
    slowest: float


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


def measure(site: Path) -> Searched | None:
    """None where Chromium is not installed."""
    chromium = shutil.which("chromium")
    if chromium is None:
        return None
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
            page = browser.new_page(viewport={"width": 360, "height": 740}, service_workers="block")
            page.set_default_timeout(120_000)
            page.goto(f"http://127.0.0.1:{server.server_port}/")
            devtools = page.context.new_cdp_session(page)
            devtools.send("Emulation.setCPUThrottlingRate", {"rate": THROTTLE})
            begun = page.evaluate("performance.now()")
            page.locator("label[for=__search]").first.click()
            page.locator("input[name=query]").fill(FIRST)
            page.locator(".md-search-result__item").first.wait_for()
            ready = page.evaluate("performance.now()") - begun
            rounds = [[page.evaluate(ASK, query) for query in QUERIES] for _ in range(3)]
            slowest = max(map(min, zip(*rounds, strict=True)))
            browser.close()
            return Searched(ready / 1000, slowest)
    finally:
        server.shutdown()
        server.server_close()
