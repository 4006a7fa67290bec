"""The worker of the copy on a phone, on a site of three small pages: what it shows when server and copy disagree, and
when the browser has cleared the copy.  The whole site in the hand of a reader: test_offline.py."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from conftest import DAY, ROOT
from playwright.sync_api import Browser, Page
from static_host import Host

from hooks.building import seal

PATIENCE = 60_000  # [ms] for a busy machine
REGISTER = """async () => {
  await navigator.serviceWorker.register("sw.js", {updateViaCache: "none"});
  await navigator.serviceWorker.ready;
}"""
STATE = """async () => {
  const { active } = await navigator.serviceWorker.getRegistration();
  const channel = new MessageChannel();
  const answer = new Promise((done) => { channel.port1.onmessage = (event) => done(event.data); });
  active.postMessage({ order: "state" }, [channel.port2]);
  return answer;
}"""
COMING = """async () => {
  const found = await navigator.serviceWorker.getRegistration();
  await found.update();
  while (!found.waiting) await new Promise((done) => setTimeout(done, 50));
}"""
CLEAR = "async () => { for (const name of await caches.keys()) await caches.delete(name); }"


def site(folder: Path, text: str, day: str = DAY) -> Path:
    """Three pages that say this text, sealed as a build is; in the place of the build before it."""
    shutil.rmtree(folder, ignore_errors=True)
    for name in ("index.html", "a/index.html", "offline/index.html"):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        page = f'<!doctype html><html><body data-build="{seal.BUILD}"><h1>{text}: {name}</h1></body></html>\n'
        (folder / name).write_text(page, encoding="utf-8")
    (folder / "assets").mkdir()
    shutil.copy(ROOT / "docs/assets/worker.js", folder / seal.WORKER)
    seal.seal(folder, day, seal.Options(1000, 3), {}, lambda crane, size: "")
    return folder


class Copied:
    """A phone that holds a whole copy of the small site."""

    def __init__(self, page: Page, folder: Path, host: Host) -> None:
        self.page, self.folder, self.host = page, folder, host
        page.set_default_timeout(PATIENCE)
        page.goto(host.address)
        page.evaluate(REGISTER)

    def shows(self, path: str = "a/") -> str:
        """The heading of a page."""
        self.page.goto(self.host.address + path)
        return str(self.page.locator("h1").inner_text())

    def state(self) -> dict[str, Any]:
        found: dict[str, Any] = self.page.evaluate(STATE)
        return found


@pytest.fixture
def copied(browser: Browser, tmp_path: Path) -> Iterator[Callable[..., Copied]]:
    open_: list[Any] = []

    def make(text: str = "first", day: str = DAY) -> Copied:
        folder = site(tmp_path / "site", text, day)
        host = Host(folder, tmp_path / "requests.log")
        context = browser.new_context()
        open_.extend([host, context])
        return Copied(context.new_page(), folder, host)

    yield make
    for host, context in zip(open_[::2], open_[1::2], strict=True):
        context.close()
        host.stop()


def test_a_page_that_says_it_is_of_the_build_and_is_not(copied: Callable[..., Copied]) -> None:
    """Its bytes are not those of the list: whatever stands between server and phone, the checked page is shown."""
    phone = copied()
    page = phone.folder / "a/index.html"
    page.write_text(page.read_text(encoding="utf-8").replace("first", "forged"), encoding="utf-8")
    assert phone.shows() == "first: a/index.html"


def test_a_newer_build_on_the_server_is_shown_and_an_older_one_is_not(copied: Callable[..., Copied]) -> None:
    phone = copied("middle")
    site(phone.folder, "older", "2026-11-30")
    assert phone.shows() == "middle: a/index.html"
    assert phone.state()["newer"] is False
    site(phone.folder, "newer", "2026-12-02")
    assert phone.shows() == "newer: a/index.html"


def test_an_older_build_is_no_update(copied: Callable[..., Copied]) -> None:
    """Its worker comes all the same, and says that the copy in use is not to be changed for it."""
    phone = copied("new", "2026-12-08")
    phone.shows()
    site(phone.folder, "old", "2026-11-30")
    phone.page.evaluate(COMING)
    found = phone.page.evaluate(STATE.replace("{ active }", "{ waiting: active }"))
    assert found["newer"] is False and found["day"] == "2026-12-08"


def test_an_update_by_a_tap_changes_the_copy_without_a_signal(copied: Callable[..., Copied]) -> None:
    phone = copied("old")
    phone.shows()
    site(phone.folder, "new", "2026-12-02")
    phone.page.evaluate(COMING)
    phone.host.stop()
    order = STATE.replace("{ active }", "{ waiting: active }").replace('order: "state"', 'order: "update"')
    assert phone.page.evaluate(order) == {}
    assert phone.shows() == "new: a/index.html"


def test_the_browser_has_cleared_the_copy(copied: Callable[..., Copied]) -> None:
    """The page of the copy is told so, and with a signal the copy is fetched again."""
    phone = copied()
    assert phone.state()["whole"] is True
    phone.page.evaluate(CLEAR)
    first = phone.state()
    assert first["whole"] is False and first["newer"] is False
    phone.page.evaluate(f"async () => {{ while (!(await ({STATE})()).whole); }}")
    phone.host.stop()
    assert phone.shows() == "first: a/index.html"


def test_without_a_copy_and_without_a_signal_nobody_is_sent_in_a_circle(copied: Callable[..., Copied]) -> None:
    phone = copied()
    phone.page.evaluate(CLEAR)
    phone.host.stop()
    for path in ("a/", "offline/", "nowhere/"):
        with pytest.raises(Exception, match=r"net::ERR_FAILED"):
            phone.page.goto(phone.host.address + path)


def test_an_order_that_is_none_breaks_nothing(copied: Callable[..., Copied]) -> None:
    phone = copied()
    phone.page.evaluate(
        "async () => (await navigator.serviceWorker.getRegistration()).active.postMessage({ order: 'constructor' }, [])"
    )
    assert json.dumps(phone.state()) and phone.shows() == "first: a/index.html"
