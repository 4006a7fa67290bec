"""The site in Chromium on a phone of 360 x 740: the way to a plan, units, search, width, console, requests."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from conftest import open_search, switch_units
from playwright.sync_api import Page, expect

from calc import rounding
from calc.winding.plan_data import best_method

KINDS = [
    "",
    "machines/",
    "machines/heron/",
    "machines/bittern/",
    "machines/heron/61m/",
    "machines/heron/20m/",
    "machines/bittern/54m/",
    "machines/bittern/24m/",
    "rules/",
    "rules/minimum-load/",
    "guidance/formulas/",
    "guidance/how-the-numbers-are-checked/",
    "data/",
]


def _plan(built: Path, machine: str, boom: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((built / f"data/v1/plans/{machine}/{boom}.json").read_text(encoding="utf-8"))
    return found


def _lowered(plan: dict[str, Any]) -> float:
    """How far the hook is lowered for the count of the first pass."""
    best = best_method(plan)
    assert best
    height: float = best["passes"][0]["slings_hung"]["hook_height_m"]
    return height


def test_three_taps_to_a_plan(page: Page, address: str, built: Path) -> None:
    page.goto(address)
    page.locator("main a[href*='machines/bittern/']").first.click()
    page.locator("main a.fw-tile--boom[href$='54m/']").first.click()
    assert urlsplit(page.url).path.endswith("/machines/bittern/54m/")
    plan = _plan(built, "bittern", "54m")
    shown = {
        "falls": str(plan["falls"]["used"]),
        "hang": rounding.mass(plan["load"]["net_kg"], "up").metric,
        "lower": rounding.length(_lowered(plan), "near").metric,
    }
    for name, text in shown.items():
        found = page.locator(f"[data-number={name}]").first.inner_text().replace("\u00a0", " ").replace("\u202f", " ")
        assert found.strip() == text, name


OF_EACH_KIND = ["machines/bittern/54m/", "machines/heron/41m/", "machines/dunlin/29m/"]

# Words on the way down the page: of the cards, side by side, the one in view counts; what is folded does not.
WORDS_IN_VIEW = """() => {
    const words = element => element.innerText.split(/\\s+/).filter(Boolean).length;
    const away = [...document.querySelectorAll('.fw-card')].slice(1);
    return words(document.querySelector('article')) - away.reduce((sum, card) => sum + words(card), 0);
}"""


@pytest.mark.parametrize("at", OF_EACH_KIND)
def test_first_screen_of_a_plan_is_whole(page: Page, address: str, built: Path, at: str) -> None:
    """The goal: on 360 x 740, without scrolling, five numbers, the side view, what comes out and both ways on."""
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(address + at)
    bar = page.locator("nav.fw-crane-bar")
    foot = bar.bounding_box()
    assert foot, "the bar of the crane"
    low = foot["y"]
    top = page.locator("header").first.bounding_box()
    assert top
    shown = page.locator("[data-number]").all()
    assert len(shown) == 5
    for one in [
        *shown,
        page.locator("#fig-side svg").first,
        page.locator(".fw-result"),
        *page.locator(".fw-twin a").all(),
    ]:
        box = one.bounding_box()
        assert box and box["y"] >= top["y"] + top["height"] and box["y"] + box["height"] <= low, one
    assert all(int(one.evaluate("e => parseFloat(getComputedStyle(e).fontSize)")) == 28 for one in shown)
    for way in page.locator(".fw-twin a").all():
        box = way.bounding_box()
        assert box and box["height"] >= 56


def every_plan(built: Path) -> list[str]:
    """The addresses of all plan pages."""
    return sorted(f"{path.parent.parent.relative_to(built)}/" for path in built.glob("machines/**/working/index.html"))


@pytest.mark.parametrize("units", ["metric", "us"])
def test_numbers_and_buttons_of_every_plan_stand_over_the_bar(
    page: Page, address: str, built: Path, units: str
) -> None:
    """With a warning or without: on 360 x 740 in their own place, on 360 x 640 held over the bar."""
    found = every_plan(built)
    assert len(found) > 50
    for at in found:
        page.set_viewport_size({"width": 360, "height": 740})
        page.goto(address + at, wait_until="domcontentloaded")
        page.evaluate("(units) => { document.documentElement.dataset.units = units; }", units)
        for height in (740, 640):
            page.set_viewport_size({"width": 360, "height": height})
            told = page.evaluate("""() => {
              const low = (name) => Math.max(...[...document.querySelectorAll(name)]
                .map((one) => one.getBoundingClientRect().bottom));
              return { bar: document.querySelector(".fw-crane-bar").getBoundingClientRect().top,
                numbers: low("[data-number]"), buttons: low(".fw-twin .fw-button"), drawing: low("#side .fig"),
                top: document.querySelector(".fw-twin").getBoundingClientRect().top };
            }""")
            assert max(told["numbers"], told["buttons"]) <= told["bar"] + 0.5, f"{at} {height}: {told}"
            assert height == 640 or told["drawing"] <= told["top"], f"{at}: the buttons hide the drawing: {told}"


SHEETS_OF_PAPER = 4


@pytest.mark.parametrize("form", ["A4", "Letter"])
def test_a_plan_prints_on_four_sheets(page: Page, address: str, built: Path, form: str) -> None:
    """The longest plan of every crane: those of 19 and 20 steps took five and six.  A sheet is a page of the PDF."""
    longest: dict[str, tuple[int, str]] = {}
    for at in every_plan(built):
        steps = (built / at / "index.html").read_text(encoding="utf-8").count('class="fw-card"')
        crane = at.split("/")[1]
        longest[crane] = max(longest.get(crane, (0, "")), (steps, at))
    assert max(steps for steps, _ in longest.values()) >= 19
    for _, at in longest.values():
        page.goto(address + at)
        sheets = len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=form)))
        assert 1 <= sheets <= SHEETS_OF_PAPER, f"{at}: {sheets} sheets of {form}"


@pytest.mark.parametrize("at", OF_EACH_KIND)
def test_a_plan_is_read_in_six_screens_and_nine_hundred_words(page: Page, address: str, at: str) -> None:
    """Before: 30 screens and 3,791 words for the first of them; the goal is the design's."""
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(address + at)
    assert page.evaluate("document.documentElement.scrollHeight") <= 6 * 740
    assert page.evaluate(WORDS_IN_VIEW) <= 900


def test_an_old_anchor_opens_the_row_it_leads_to(page: Page, address: str) -> None:
    for id in ("room", "shorter-rope", "weights", "rules"):
        page.goto(address + "data/")
        page.goto(f"{address}machines/bittern/54m/#{id}")
        expect(page.locator(f"#{id}")).to_be_in_viewport()
    page.locator("#rules").click()
    expect(page.locator("h2#rules")).to_be_in_viewport()


def test_unit_switch_is_remembered(page: Page, address: str, built: Path) -> None:
    page.goto(address + "machines/heron/61m/")
    lower = page.locator("[data-number=lower]").first
    exact = _lowered(_plan(built, "heron", "61m"))
    expect(lower).to_have_text(rounding.length(exact, "near").metric, use_inner_text=True)
    switch_units(page, "us")
    expect(lower).to_have_text(rounding.length(exact, "near").us, use_inner_text=True)
    page.reload()
    expect(lower).to_have_text(rounding.length(exact, "near").us, use_inner_text=True)
    page.goto(address + "machines/bittern/54m/")
    expect(page.locator("[data-number=hang]").first).to_contain_text("lb", use_inner_text=True)
    switch_units(page, "metric")


@pytest.mark.parametrize("width", [320, 360, 1280])
@pytest.mark.parametrize("kind", KINDS)
def test_no_sideways_scroll(page: Page, address: str, kind: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 740})
    page.goto(address + kind)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.locator("h1").count() == 1


def test_search_comes_when_it_is_opened(page: Page, address: str) -> None:
    """Half of a page's weight: not fetched before.  At an address with a mark, too, where the theme would close it."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(address + "machines/heron/41m/#steps", wait_until="networkidle")
    assert not [url for url in asked if "javascripts/" in url or "search_index" in url]
    open_search(page)
    field = page.locator("input.md-search__input")
    expect(field).to_be_focused()
    page.keyboard.type("bittern 54m")
    first = page.locator(".md-search-result__link").first
    expect(first).to_have_attribute("href", re.compile("machines/bittern/54m/"), timeout=60_000)
    assert [url for url in asked if "javascripts/bundle" in url] and [url for url in asked if "search_index" in url]
    expect(page.locator("#__search")).to_be_checked()
    page.keyboard.press("Escape")
    expect(page.locator("#__search")).not_to_be_checked()


@pytest.mark.parametrize("width", [320, 360])
def test_header_says_what_is_open_and_is_never_cut(page: Page, address: str, width: int) -> None:
    """Two lines that stay when the page is scrolled: crane and boom length, then the configuration or the page."""
    page.set_viewport_size({"width": width, "height": 740})
    for path, what, where in (
        ("", "Firmwrap", "Pre-tension the hoist rope"),
        ("machines/bittern/", "Bittern", "Lattice-boom crane"),
        ("machines/bittern/54m/", "Bittern - 54 m", "Reduced counterweight"),
        ("machines/bittern/54m/full-counterweight/", "Bittern - 54 m", "Full counterweight"),
        ("machines/heron/41m/", "Heron - 41 m", "Full outriggers, full counterweight"),
        ("machines/avocet/120ft/", "Avocet - 120 ft", ""),
        ("machines/bittern/drum/", "Bittern", "Drum"),
        ("guidance/glossary/", "Glossary", "Guidance"),
        ("rules/", "Rules", "Firmwrap"),
    ):
        page.goto(address + path)
        lines = page.locator(".fw-where > *")
        assert lines.nth(0).inner_text() == what and where in lines.nth(1).inner_text(), path
        assert page.evaluate(
            "[...document.querySelectorAll('.fw-where, .fw-where > *')].every(e => e.scrollWidth <= e.clientWidth + 1)"
        ), path
        page.evaluate("scrollTo(0, 3000)")
        expect(page.locator(".fw-where strong")).to_be_in_viewport()
        box = page.locator(".fw-head").bounding_box()
        assert box and box["y"] == 0 and 48 <= box["height"] <= (48 if len(where) < 25 else 72), path


def test_strip_says_demonstration_on_every_page_once(page: Page, address: str) -> None:
    for kind in (*KINDS, "training/exercises/1/", "offline/", "fleet/"):
        page.goto(address + kind)
        expect(page.locator(".fw-strip")).to_have_text("Demonstration data - invented cranes")
        box = page.locator(".fw-strip").bounding_box()
        assert box and box["height"] == 24
        assert page.get_by_text("Demonstration data").count() == 1, kind


def test_big_enough_to_tap_with_gloves(page: Page, address: str) -> None:
    for kind in ("", "machines/heron/"):
        page.goto(address + kind)
        for link in page.locator("main a.fw-tile").all():
            box = link.bounding_box()
            assert box and box["height"] >= 48


def test_light_or_dark_is_remembered_and_follows_the_system(page: Page, address: str) -> None:
    page.goto(address)
    button, body = page.locator("button[data-light]"), page.locator("body")
    for system, scheme in (("dark", "slate"), ("light", "default")):
        page.emulate_media(color_scheme=system)  # type: ignore[arg-type]
        expect(body).to_have_attribute("data-md-color-scheme", scheme)
    page.get_by_role("button", name="Menu").click()
    expect(button).to_have_text("Light or dark: as the phone. Tap for light.")
    button.click()
    button.click()
    expect(button).to_have_text("Dark. Tap for as the phone.")
    page.goto(address + "machines/heron/")
    expect(body).to_have_attribute("data-md-color-scheme", "slate")
    page.get_by_role("button", name="Menu").click()
    button.click()
    expect(body).to_have_attribute("data-md-color-scheme", "default")
    page.evaluate("localStorage.clear()")


CRANE = "machines/bittern/"


def test_bar_of_a_crane_marks_where_you_are_and_covers_nothing(page: Page, address: str) -> None:
    for path, marked in (
        (CRANE, "Plan"),
        (f"{CRANE}54m/", "Plan"),
        (f"{CRANE}drum/", "Drum"),
        (f"{CRANE}rope/", "Rope"),
        (f"{CRANE}log/", "Log"),
        (f"{CRANE}work/", None),
    ):
        page.goto(address + path)
        bar = page.locator("nav.fw-crane-bar")
        assert bar.locator("a:not(.fw-stop-way)").all_inner_texts() == ["Plan", "Drum", "Rope", "Log"]
        assert bar.locator("[aria-current]").all_inner_texts() == ([marked] if marked else []), path
        for link in bar.locator("a").all():
            box = link.bounding_box()
            assert box and box["height"] >= 48 and box["width"] >= 48, path
        page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
        last, top = page.locator(".fw-end a").bounding_box(), bar.bounding_box()
        assert last and top and last["y"] + last["height"] <= top["y"], f"{path}: the end of the page is covered"
    page.emulate_media(media="print")
    expect(page.locator("nav.fw-crane-bar")).to_be_hidden()
    page.emulate_media(media="null")
    for path in ("", "fleet/", f"{CRANE}54m/sheet/", f"{CRANE}54m/briefing/"):
        page.goto(address + path)
        expect(page.locator("nav.fw-crane-bar")).to_have_count(0)


def test_plan_in_the_bar_leads_to_the_plan_opened_last(page: Page, address: str) -> None:
    page.goto(f"{address}{CRANE}drum/")
    page.evaluate("localStorage.clear()")
    page.reload()
    plan = page.locator("nav.fw-crane-bar").get_by_role("link", name="Plan")
    plan.click()
    expect(page).to_have_url(address + CRANE)
    page.goto(f"{address}{CRANE}54m/full-counterweight/")
    page.goto(f"{address}machines/heron/41m/")
    page.goto(f"{address}{CRANE}rope/")
    plan.click()
    expect(page).to_have_url(f"{address}{CRANE}54m/full-counterweight/")
    page.evaluate("localStorage.clear()")


@pytest.mark.parametrize("width", [320, 360])
def test_stop_is_one_tap_away_and_fits_the_screen(page: Page, address: str, width: int) -> None:
    """Six lines at most, none broken, all of them on the first screen."""
    page.set_viewport_size({"width": width, "height": 740})
    for path in ("", f"{CRANE}54m/", "machines/heron/41m/"):
        page.goto(address + path)
        way = page.get_by_role("link", name="Wrap jumped or pulled in?").locator("visible=true")
        expect(way).to_be_in_viewport(ratio=1)
        way.click()
        expect(page).to_have_url(f"{address}guidance/pulled-in-rope/")
        lines = page.locator("ol.fw-stop > li")
        assert 1 <= lines.count() <= 6
        for line in lines.all():
            expect(line).to_be_in_viewport(ratio=1)
            box = line.bounding_box()
            assert box and box["height"] < 56, f"broken: {line.inner_text()}"


def test_no_text_of_a_page_is_smaller_than_14_px(page: Page, address: str) -> None:
    """Letters of figures are scaled with them; their own tests look at those."""
    small = """() => [...document.querySelectorAll('body *:not(svg *, script, style)')].filter(e =>
      [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()) && parseFloat(getComputedStyle(e).fontSize) < 14
    ).map(e => `${e.tagName} ${e.className} ${e.textContent.trim().slice(0, 30)}`)"""
    for kind in (*KINDS, "fleet/", "changes/", f"{CRANE}rope/", f"{CRANE}54m/sheet/", "training/exercises/1/"):
        page.goto(address + kind)
        assert not page.evaluate(small), kind


def test_what_is_found_out_later_covers_no_content_and_moves_none(page: Page, address: str) -> None:
    page.route("**/version.json", lambda route: route.fulfill(json={"build": "another", "day": "2026-12-02"}))
    page.goto(f"{address}{CRANE}54m/", wait_until="commit")
    before = page.locator("h1").bounding_box()
    notice = page.locator(".fw-act")
    expect(notice).to_contain_text("Outdated.")
    expect(notice).to_be_in_viewport(ratio=1)
    bar, box = page.locator("nav.fw-crane-bar").bounding_box(), notice.bounding_box()
    assert bar and box and box["y"] + box["height"] <= bar["y"] + 1 and page.locator("h1").bounding_box() == before
    page.reload(wait_until="domcontentloaded")
    expect(notice).to_contain_text("Outdated.")
    head, box = page.locator(".fw-strip").bounding_box(), notice.bounding_box()
    assert head and box and abs(head["y"] + head["height"] - box["y"]) < 1, "known now: right under the header"
    page.evaluate("localStorage.clear()")
