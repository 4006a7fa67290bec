"""One page of each kind on a phone, in both units: tables that fit, text that can be read, no unit of the other system.

Every page kind of the built site is asked, by its largest page; what may be otherwise is named here with its reason.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from conftest import DATA
from playwright.sync_api import Page
from test_reading import kind

WIDTHS = (360, 320)
ENGINEERS = "an engineer's table with all values, folded away"
PAPER = "made to be printed on one sheet"
MAY_SCROLL = {  # page kind and beginning of the name of the table -> why
    ("machines/<crane>/work/", "Boom "): ENGINEERS,
    ("machines/<crane>/<boom>/", ""): ENGINEERS,  # table of moves and its values: the cards say the same
    ("machines/<crane>/<boom>/working/", ""): ENGINEERS,
    ("machines/<crane>/<boom>/briefing/", ""): PAPER,
    ("machines/<crane>/rope/worksheet/", ""): PAPER,
    ("guidance/formulas/", ""): "formulas as they are written",
}
OPEN = "document.querySelectorAll('details').forEach(each => each.open = true)"
WIDE = """() => [...document.querySelectorAll("article .fw-scroll:has(> table)")]
    .filter(each => each.scrollWidth > each.clientWidth + 1)
    .map(each => `${each.getAttribute("aria-label")}: ${each.scrollWidth - each.clientWidth} px`)"""
SMALL = """() => {
    const found = new Set();
    const texts = document.createTreeWalker(document.querySelector("article"), NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) {
        const around = texts.currentNode.parentElement;
        if (!texts.currentNode.textContent.trim() || around.closest("svg, script, style, pre, code")) continue;
        if (!around.getClientRects().length || parseFloat(getComputedStyle(around).fontSize) >= 13.99) continue;
        found.add(`${getComputedStyle(around).fontSize}: ${texts.currentNode.textContent.trim().slice(0, 40)}`);
    }
    return [...found];
}"""
SHOWN = """() => {
    const skip = "script, style, pre, code, .fw-cite, .fw-both, [data-both]";
    const found = [];
    const texts = document.createTreeWalker(document.querySelector("article"), NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) {
        const around = texts.currentNode.parentElement;
        if (!around.closest(skip) && (around.getClientRects().length || around.closest("svg"))
            && getComputedStyle(around).display !== "none") found.push(texts.currentNode.textContent);
    }
    return found;
}"""


@pytest.fixture(scope="module")
def largest(built: Path) -> dict[str, str]:
    """The largest page of each kind: address by kind."""
    sizes: dict[str, tuple[int, str]] = {}
    for file in built.rglob("*.html"):
        at = file.relative_to(built).as_posix().removesuffix("index.html")
        text = file.read_text(encoding="utf-8")
        if "<article" in text and 'http-equiv="refresh"' not in text and not at.endswith("plan.html"):
            sizes[kind(at)] = max(sizes.get(kind(at), (0, "")), (len(text), at))
    return {name: at for name, (_, at) in sizes.items()}


@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_table_scrolls_sideways(page: Page, address: str, largest: dict[str, str], units: str) -> None:
    page.add_init_script(f"localStorage.setItem('firmwrap.units', '{units}')")
    wrong = []
    for name, at in largest.items():
        page.goto(address + at)
        page.evaluate(OPEN)
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 740})
            allowed = [begin for (of, begin) in MAY_SCROLL if of == name]
            wrong += [f"{at} at {width}: {t}" for t in page.evaluate(WIDE) if not t.startswith(tuple(allowed))]
    page.set_viewport_size({"width": 360, "height": 740})
    assert wrong == []


def test_every_header_of_a_table_has_its_scope(built: Path, largest: dict[str, str]) -> None:
    for at in largest.values():
        html = (built / at / "index.html" if not at.endswith(".html") else built / at).read_text(encoding="utf-8")
        for header in re.findall(r"<th[ >][^>]*>?", html):
            assert "scope=" in header, f"{at}: {header}"


def test_no_text_is_smaller_than_14_px(page: Page, address: str, largest: dict[str, str]) -> None:
    wrong = []
    for name, at in largest.items():
        if (name, "") in MAY_SCROLL and MAY_SCROLL[name, ""] is PAPER:
            continue
        page.goto(address + at)
        page.evaluate(OPEN)
        wrong += [f"{at}: {small}" for small in page.evaluate(SMALL)]
    assert wrong == []


OTHER = {  # units shown -> numbers that belong to the other system
    "us": re.compile(r"\d[\u00a0 ](?:m|mm|kN|t|kg|m/min|kg/m)\b(?!\w)"),
    "metric": re.compile(r"\d[\u00a0 ](?:ft|in|lbf?|ft/min|lb/ft)\b(?!\w)"),
}


def written() -> list[str]:
    """What somebody wrote in the data and a page quotes as it is: names, notes, reasons, answers, sources."""
    texts = [weight.name for yard in DATA.yards.values() for weight in yard.weights]
    texts += [sling.name for yard in DATA.yards.values() for sling in (yard.slings, *yard.extensions)]
    for machine in DATA.machines.values():
        texts += [machine.source_title, *(over.reason for over in machine.overrides)]
        texts += [configuration.name for configuration in machine.configurations]
        texts += [finding.answer for finding in machine.findings if finding.answer]
    for log in DATA.upkeep.values():
        texts += [entry.note for entry in log.log] + [reading.note for reading in log.readings]
    for rule in DATA.rules.values():
        for version in rule.versions:
            texts += [text for source in version.sources for text in (source.citation, source.clause or "")]
    return sorted(filter(None, texts), key=len, reverse=True)


BOTH_STAND = (  # kinds of pages that print both units side by side, or quote what somebody wrote
    "rules/", "guidance/", "training/", "data/", "changes/", "fault/", "briefing/", "worksheet/", "working/",
)  # fmt: skip


@pytest.mark.parametrize("units", ["metric", "us"])
def test_one_unit_system_at_a_time(page: Page, address: str, largest: dict[str, str], units: str) -> None:
    """On the pages of a crane, fleet and start; captions, keys and figures included."""
    page.add_init_script(f"localStorage.setItem('firmwrap.units', '{units}')")
    wrong, other, quoted = [], "us" if units == "metric" else "metric", written()
    for name, at in largest.items():
        if name.startswith(BOTH_STAND) or name.endswith(BOTH_STAND):
            continue
        page.goto(address + at)
        page.evaluate(OPEN)
        shown = [" ".join(said.split()) for said in page.evaluate(SHOWN)]
        for text in quoted:
            shown = [said.replace(text, "") for said in shown]
        alone = [said for said in shown if OTHER[units].search(said) and not OTHER[other].search(said)]
        wrong += [f"{at}: {said[:90]}" for said in alone]
    assert wrong == []
