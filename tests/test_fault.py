"""The page for reports of faults knows which page was left, behind the headers that a server is told to send."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from urllib.parse import unquote

import pytest
from conftest import ROOT
from playwright.sync_api import BrowserContext
from static_host import Host, documented_headers

from hooks.text import words

LEFT = "machines/heron/41m/"
TOLD = {
    "to": "mailto:faults@yard.org",
    "day": "2026-12-01",
    "revisions": {"heron": "2026-11-30"},
    "words": words.load().get("fault.script"),
}
FRAME = """const firmwrap = { base: new URL("/", location.href), build: "0123456789ab" };"""


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A page with a link to the page for reports, and that page with the scripts of the site."""
    folder = tmp_path / "site"
    for name, body in {
        f"{LEFT}index.html": '<a href="/fault/">Report a fault</a>',
        "fault/index.html": f"""<script src="/frame.js"></script><dl id="fault"></dl><div id="fault-ways"></div>
<script type="application/json" id="fault-data">{json.dumps(TOLD)}</script>
<script type="module" src="/assets/fault.js"></script>""",
    }.items():
        (folder / name).parent.mkdir(parents=True)
        (folder / name).write_text(f"<!doctype html>{body}", encoding="utf-8")
    (folder / "frame.js").write_text(FRAME, encoding="utf-8")
    (folder / "assets").mkdir()
    for name in ("fault.js", "dom.js"):
        shutil.copy(ROOT / "docs/assets" / name, folder / "assets")
    return folder


@pytest.mark.parametrize("left", [LEFT, "machines/constructor/x/"])
def test_the_report_names_the_page_that_was_left(site: Path, tmp_path: Path, phone: BrowserContext, left: str) -> None:
    if left != LEFT:
        shutil.copytree(site / LEFT, site / left)
    host = Host(site, tmp_path / "requests.log", documented_headers())
    page = phone.new_page()
    try:
        page.goto(host.address + left)
        page.get_by_role("link").click()
        report = unquote(page.locator("#fault-ways a").get_attribute("href") or "")
    finally:
        page.close()
        host.stop()
    assert report.startswith("mailto:faults@yard.org?subject=") and f": /{left}\n" in report
    assert ("2026-11-30" in report) == (left == LEFT) and "native code" not in report


def test_no_other_site_is_told_where_a_reader_comes_from() -> None:
    """`same-origin` sends no referrer to another origin; W3C Referrer Policy, 3.3."""
    assert ["/*", "Referrer-Policy", "same-origin"] in documented_headers()
