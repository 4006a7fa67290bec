"""Can every kind of page be read: with eyes, ears, keyboard, on a small or a large screen, in the dark, in forced
colours.  Kinds are found in the built site, one page of each is opened; what needs no browser is asked of every page.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from conftest import DATA, axe, open_search
from playwright.sync_api import Page, expect

DAY = re.compile(r"\d{4}-\d\d-\d\d")
PLAN = "machines/heron/27m/"


def kind(address: str) -> str:
    """The kind of a page: its address with the names of cranes, booms, rules and days left out.  The pages of a plan
    are of one kind whichever configuration it is for, and whether the log of the rope asks for it or not."""
    names = dict.fromkeys(DATA.machines, "<crane>") | dict.fromkeys(DATA.rules, "<rule>")
    for machine in DATA.machines.values():
        for configuration in machine.configurations:
            names |= {chart.slug: "<boom>" for chart in configuration.charts}
    configurations = {c.id for machine in DATA.machines.values() for c in machine.configurations}
    parts = [names.get(part) or ("<day>" if DAY.fullmatch(part) else part) for part in address.split("/")]
    if parts[0] == "guidance" and len(parts) > 2 and parts[1] not in ("glossary", "how-the-numbers-are-checked"):
        parts[1] = "<page>"
    if parts[:2] == ["training", "exercises"] and len(parts) > 3:
        parts[2] = "<set>"
    found = "/".join(part for part in parts if part not in configurations)
    return found.replace("<crane>/drum/plan/", "<crane>/<boom>/")


@pytest.fixture(scope="module")
def addresses(built: Path) -> dict[str, str]:
    """Every page by its address, as text."""
    return {
        path.relative_to(built).as_posix().removesuffix("index.html"): path.read_text(encoding="utf-8")
        for path in sorted(built.rglob("*.html"))
    }


@pytest.fixture(scope="module")
def kinds(addresses: dict[str, str]) -> dict[str, str]:
    """For each kind of page the address of the largest one: it has most that can be wrong."""
    found: dict[str, str] = {}
    for address, text in addresses.items():
        if 'http-equiv="refresh"' in text:
            continue  # it opens another page at once
        known = found.setdefault(kind(address), address)
        if len(text) > len(addresses[known]):
            found[kind(address)] = address
    return found


@pytest.fixture
def open_page(page: Page, address: str) -> Any:
    """A function that opens a page of the site; none may report an error or ask for anything elsewhere."""

    def opened(at: str) -> Page:
        page.goto(address + at)
        return page

    return opened


def test_the_kinds_are_all_there(kinds: dict[str, str]) -> None:
    plan = "machines/<crane>/<boom>/"
    expected = {"", "404.html", "machines/", "machines/<crane>/", plan, f"{plan}briefing/"}
    expected |= {f"{plan}plan.html", "rules/", "rules/<rule>/", "rules/<rule>/<day>/", "guidance/", "guidance/<page>/"}
    expected |= {"guidance/glossary/", "guidance/how-the-numbers-are-checked/", "data/", "changes/"}
    expected |= {"training/", "training/citing/", "training/exercises/", "training/exercises/<set>/"}
    assert expected <= set(kinds)
    assert len(kinds) < 45, f"names of something new stand in the addresses: {sorted(kinds)}"


# -- every page, as text ----------------------------------------------------------------------------------------


def test_one_heading_on_top_and_none_left_out(addresses: dict[str, str]) -> None:
    for address, text in addresses.items():
        levels = [int(level) for level in re.findall(r"<h([1-6])\b", text)]
        assert levels[:1] == [1] and levels.count(1) == 1, f"{address}: {levels}"
        jumps = [(a, b) for a, b in pairwise(levels) if b > a + 1]
        assert not jumps, f"{address}: {jumps}"


def test_every_page_has_a_title_of_its_own_its_language_and_one_main(addresses: dict[str, str]) -> None:
    titles: dict[str, str] = {}
    for address, text in addresses.items():
        found = re.search(r"<title>([^<]+)</title>", text)
        assert found and '<html lang="en"' in text and len(re.findall(r"<main\b", text)) == 1, address
        if address.endswith("/plan.html"):
            continue  # it has the title of its plan
        assert found[1] not in titles, f"{address} and {titles[found[1]]}: {found[1]}"
        titles[found[1]] = address


def test_every_table_has_a_caption_or_label_and_headings_and_scrolls_by_itself(addresses: dict[str, str]) -> None:
    around = re.compile(r'<div class="fw-scroll" tabindex="0" role="region" aria-label="[^"]+">\s*$')
    for address, text in addresses.items():
        for table in re.finditer(r"<table\b.*?</table>", text, re.DOTALL):
            assert around.search(text[: table.start()]), f"{address}: {table[0][:80]}"
            assert "<thead>" in table[0] and "<th" in table[0], f"{address}: {table[0][:80]}"
            if not address.startswith("guidance/") and address != "training/":
                assert "<caption>" in table[0], f"{address}: {table[0][:80]}"
        assert len(re.findall(r'class="[^"]*fw-scroll', text)) == text.count('class="fw-scroll" tabindex="0"'), address


def test_every_region_of_a_page_has_a_name_of_its_own(addresses: dict[str, str]) -> None:
    for address, text in addresses.items():
        names = re.findall(r'role="region" aria-label="([^"]+)"', text)
        assert len(names) == len(set(names)), f"{address}: {sorted(n for n in names if names.count(n) > 1)}"


def test_every_figure_has_its_words(addresses: dict[str, str]) -> None:
    for address, text in addresses.items():
        for drawn in re.findall(r'<svg class="fig\b(?! card-)(?![^>]*aria-hidden).*?</svg>', text, re.DOTALL):
            named = re.search(r'role="img" aria-labelledby="(\S+) (\S+)"', drawn)
            assert named, f"{address}: {drawn[:80]}"
            assert re.search(rf'<title id="{named[1]}">[^<]{{10,}}</title>', drawn), address
            assert re.search(rf'<desc id="{named[2]}">[^<]{{30,}}</desc>', drawn), address


FIGURE = re.compile(r'<figure class="fw-fig" id="([^"]+)">(.*?)</figure>', re.DOTALL)
CAPTION = re.compile(
    r'<figcaption><a class="fw-fig-number" href="#([^"]+)">Figure (\d+)</a> - .{12,}?</figcaption>', re.DOTALL
)
SHEETS = ("/briefing/", "/rope/worksheet/")  # printed on one page, with one sketch each that their own text explains


def test_every_figure_has_a_number_and_a_caption(addresses: dict[str, str]) -> None:
    """Numbers run from 1 on each page in the order the figures stand; each is a link to its figure."""
    for address, text in addresses.items():
        captions = []
        for id, inside in FIGURE.findall(text):
            caption = CAPTION.search(inside)
            assert caption and caption[1] == id, f"{address}: {id}"
            captions.append(int(caption[2]))
        assert captions == list(range(1, len(captions) + 1)), address
        if not any(f"/{address}".endswith(sheet) for sheet in SHEETS):
            assert text.count("<figure") == len(captions), f"{address}: a figure without number and caption"


def test_letters_of_figures_are_large_and_keys_stand_beside_them(addresses: dict[str, str]) -> None:
    """14 px where a figure is 328 px wide, the column of a phone 360 px wide; a key is text, in HTML."""
    for address, text in addresses.items():
        for id, inside in FIGURE.findall(text):
            drawn = inside.partition("</svg>")[0]
            wide = re.search(r'viewBox="\S+ \S+ (\S+) \S+"', drawn)
            sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', drawn)]
            assert wide and sizes, f"{address}: {id}"
            assert min(sizes) * 328 / float(wide[1]) >= 14, f"{address}: {id}"
            signs = re.findall(
                r'<rect [^>]*\bx="([\d.]+)" y="([\d.]+)" width="(?:1[89]|2\d|30)" height="([\d.]+)"', drawn
            )
            places = re.findall(r'<text x="([\d.]+)" y="([\d.]+)">', drawn)
            for x, y, high in signs:
                beside = [p for p in places if 18 <= float(p[0]) - float(x) <= 40 and 0 <= float(p[1]) - float(y) <= 14]
                assert float(x) > 10 or float(high) > 14 or not beside, f"{address}: {id}: a key in the drawing"


# -- one page of each kind, in Chromium -------------------------------------------------------------------------


def test_axe_finds_nothing(open_page: Any, kinds: dict[str, str]) -> None:
    """Outside: the rules of axe-core; all of them in the light, what depends on colours in the dark as well.  Each part
    that is folded is opened: it hides from axe what is in it, and shows nothing that is gone when it is open."""
    found = []
    for at in kinds.values():
        page = open_page(at)
        page.evaluate("document.querySelectorAll('details').forEach(part => { part.open = true; })")
        found += [f"{at}, {said}" for said in axe(page)]
    assert not found, "\n".join(found)


def test_axe_finds_nothing_in_menu_and_search(open_page: Any) -> None:
    """Both open; the search empty, with hits and with none.  How many there are is said aloud."""
    page = open_page("")
    page.get_by_role("button", name="Menu", exact=True).click()
    assert not axe(page)
    page = open_page("")
    open_search(page)
    field = page.get_by_role("textbox", name="Search", exact=True)
    for typed, said in (("", "Type"), ("R07", "found"), ("7777", "No page")):
        field.fill(typed)
        field.press("End")  # the search listens for keys let go
        expect(page.locator(".md-search-result__meta[role=status]")).to_contain_text(said, timeout=15_000)
        assert not axe(page), typed


@pytest.mark.parametrize(("width", "letters"), [(320, 1.0), (768, 1.0), (1920, 1.0), (640, 1.0), (1280, 2.0)])
def test_nothing_is_cut_at_any_width_or_letter_size(
    open_page: Any, kinds: dict[str, str], width: int, letters: float
) -> None:
    """640 is a screen of 1280 at a zoom of 200 %; letters of twice the size are what a reader may set besides."""
    wide = []
    open_page("").set_viewport_size({"width": width, "height": 740})
    for at in kinds.values():
        page = open_page(at)
        if letters != 1.0:
            page.evaluate("by => { document.documentElement.style.fontSize = `${125 * by}%`; }", letters)
        if (found := page.evaluate("document.documentElement.scrollWidth")) > width:
            wide.append(f"{at}: {found}")
    assert not wide


LIGHT = """
  const channels = text => text.match(/[\\d.]+/g).map(Number);
  const light = colour => {
    const linear = v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
    const [r, g, b] = colour.slice(0, 3).map(v => linear(v / 255));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (ink, paper) => {
    const [a, b] = [light(ink), light(paper)];
    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  };
  const paper = element => {
    let found;
    do { found = channels(getComputedStyle(element).backgroundColor); element = element.parentElement; }
    while (element && found.length > 3 && found[3] === 0);
    return found.length > 3 && found[3] === 0 ? [255, 255, 255] : found;
  };
"""
RATIO = f"""sample => {{
  {LIGHT}
  return [...document.querySelectorAll(sample)].filter(e => e.offsetParent).map(e => {{
    const ink = channels(getComputedStyle(e).color), under = paper(e);
    return [e.textContent, ratio(ink, under), ink, under];
  }});
}}"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_headline_numbers_have_a_contrast_of_seven_to_one(open_page: Any, kinds: dict[str, str], scheme: Any) -> None:
    """Outside: contrast ratio and relative luminance of WCAG 2, 7:1 as 1.4.6 asks (from memory)."""
    seen = 0
    for at in kinds.values():
        page = open_page(at)
        page.emulate_media(color_scheme=scheme)
        for text, ratio, ink, paper in page.evaluate(
            RATIO, ".fw-order b, .fw-order dt, .fw-numbers b, .fw-numbers dt, .fw-tile strong"
        ):
            seen += 1
            assert ratio >= 7, f"{at}: {text}: {ratio:.1f} of {ink} on {paper}"
        page.emulate_media(color_scheme=None)
    assert seen > 50


def test_ratio_itself(open_page: Any) -> None:
    """By hand from the definition: black on white 21; #767676 on white 4.54 (from memory, the usual example)."""
    page = open_page("")
    page.evaluate(
        """() => {
          document.body.innerHTML = '<p>a</p><p>b</p>';
          document.querySelectorAll('p').forEach((p, i) => {
            p.style.color = ['#000', '#767676'][i];
            p.style.background = '#fff';
          });
        }"""
    )
    (_, black, *_), (_, grey, *_) = page.evaluate(RATIO, "p")
    assert black == pytest.approx(21.0) and grey == pytest.approx(4.54, abs=0.005)


FOCUS = f"""() => {{
  {LIGHT}
  const e = document.activeElement;
  if (e === document.body) return null;
  const box = e.getBoundingClientRect(), style = getComputedStyle(e);
  const ring = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
  const under = parseFloat(style.outlineOffset) < 0 ? e : e.parentElement;
  return {{
    name: `${{e.tagName}} ${{e.className}} ${{(e.innerText || e.getAttribute('aria-label') || '').slice(0, 40)}}`,
    seen: ring && ratio(channels(style.outlineColor), paper(under)) >= 3,
    inside: box.width > 0 && box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
  }};
}}"""
STOPS = """() => [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')]
  .filter(e => e.checkVisibility({visibilityProperty: true}) && !e.disabled && e.tabIndex >= 0).length"""


def focused(page: Page) -> Any:
    """What has the focus, once the page has scrolled to it; None after the last."""
    for _ in range(100):
        found = page.evaluate(FOCUS)
        if found is None or found["inside"]:
            break
        page.wait_for_timeout(50)
    return found


@pytest.mark.parametrize(("at", "scheme"), [("", "light"), (PLAN, "dark"), (f"{PLAN}briefing/", "light")])
def test_keyboard_reaches_everything_and_shows_where_it_is(open_page: Any, at: str, scheme: Any) -> None:
    """A ring of at least 2 px with a contrast of 3:1 to what it lies on (WCAG 2, 1.4.11 and 2.4.13, from memory)."""
    page = open_page(at)
    page.emulate_media(color_scheme=scheme)
    wanted = page.evaluate(STOPS)
    page.keyboard.press("Tab")
    first = focused(page)
    assert "Skip to content" in first["name"] and first["seen"] and first["inside"], first
    reached = 1
    while True:
        page.keyboard.press("Tab")
        if (found := focused(page)) is None or reached > 2 * wanted:
            break
        reached += 1
        assert found["seen"] and found["inside"], found
    page.emulate_media(color_scheme=None)
    assert reached >= wanted, f"{reached} of {wanted}"


def test_what_is_for_the_screen_is_not_printed(open_page: Any, kinds: dict[str, str]) -> None:
    for at in kinds.values():
        page = open_page(at)
        page.emulate_media(media="print")
        left = page.evaluate("""() => [...document.querySelectorAll('button, a.fw-button, .fw-head, .fw-way')]
          .filter(e => e.checkVisibility()).map(e => e.textContent.trim() || e.className)""")
        page.emulate_media(media="null")
        assert not left, f"{at}: {left}"


def test_skip_link_leads_past_the_frame(open_page: Any) -> None:
    page = open_page(PLAN)
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("!!document.activeElement.closest('main')")


def test_menu_of_a_small_screen_by_keyboard(open_page: Any) -> None:
    page = open_page(PLAN)
    menu = page.get_by_role("button", name="Menu")
    menu.focus()
    page.keyboard.press("Enter")
    expect(menu).to_have_attribute("aria-expanded", "true")
    expect(page.locator("#fw-menu a").first).to_be_focused()
    page.keyboard.press("Escape")
    expect(menu).to_have_attribute("aria-expanded", "false")
    expect(menu).to_be_focused()
    menu.click()
    page.locator("#fw-menu").get_by_role("link", name="Rules", exact=True).click()
    assert page.url.endswith("/rules/")


def test_nothing_moves_for_those_who_asked_for_that(open_page: Any, kinds: dict[str, str]) -> None:
    for at in kinds.values():
        page = open_page(at)
        page.emulate_media(reduced_motion="reduce")
        moving = page.evaluate(
            """() => [...document.querySelectorAll('*')].filter(e => {
              const s = getComputedStyle(e);
              return s.animationName !== 'none' || s.transitionDuration.split(',').some(t => parseFloat(t) > 0.01);
            }).map(e => e.className || e.tagName)"""
        )
        assert not moving, f"{at}: {moving[:5]}"
        assert page.evaluate("getComputedStyle(document.documentElement).scrollBehavior") == "auto"
        page.emulate_media(reduced_motion=None)


@pytest.mark.parametrize("width", [360, 1280])
def test_no_figure_is_wider_than_its_column(open_page: Any, kinds: dict[str, str], width: int) -> None:
    """Nor much larger than the text around it: a drawing 340 units wide is shown 420 px wide at most."""
    for at in [*kinds.values(), "guidance/new-rope/", "guidance/rope-inspection/", "training/"]:
        page = open_page(at)
        page.set_viewport_size({"width": width, "height": 900})
        found = page.evaluate(
            """() => [...document.querySelectorAll('.fw-fig')].map(one => {
              for (let row = one; row; row = row.parentElement) if (row.tagName === 'DETAILS') row.open = true;
              const drawn = one.querySelector(':scope > .fig').getBoundingClientRect().width;
              const figure = one.getBoundingClientRect(), column = one.parentElement.getBoundingClientRect();
              return [one.id, drawn, figure.right - column.right];
            })"""
        )
        for id, drawn, over in found:
            assert drawn <= 421 and over <= 1, f"{at}: {id} is {drawn} px wide"
            assert drawn == 0 or drawn >= 200, f"{at}: {id} is {drawn} px wide"  # 0: not shown at this width


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_forced_colours_leave_figures_and_choices_readable(open_page: Any, scheme: Any) -> None:
    page = open_page(PLAN)
    page.emulate_media(forced_colors="active", color_scheme=scheme)
    canvas, ink, hue = page.evaluate(
        """() => ['Canvas', 'CanvasText', 'LinkText'].map(name => {
          const e = document.body.appendChild(document.createElement('p'));
          e.style.color = name;
          return getComputedStyle(e).color;
        })"""
    )
    assert canvas != ink
    assert page.evaluate("getComputedStyle(document.querySelector('.fig')).color") == ink
    for drawn, colour in ((".fig-ground", ink), (".fig-path", hue)):
        assert page.evaluate("s => getComputedStyle(document.querySelector(s)).stroke", drawn) == colour
    assert page.evaluate("getComputedStyle(document.querySelector('.fig-body')).fill") == canvas
    pressed = "getComputedStyle(document.querySelector('[aria-pressed=true]')).textDecorationLine"
    assert page.evaluate(pressed) == "underline", "the unit that is on is marked by more than a colour"
    page.emulate_media(forced_colors=None, color_scheme=None)
