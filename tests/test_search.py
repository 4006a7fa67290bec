"""The search box in Chromium on a phone: what people type on site, and the page they expect to come first.

The queries are the trade's terms with their American twins, boom lengths as people write them, rule codes and names.
"""

from __future__ import annotations

import gzip
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import DATA, ROOT, open_search
from playwright.sync_api import BrowserContext, Page, expect
from test_guidance import QUESTIONS

from calc import rounding
from calc.data.model import Machine
from hooks.text import words

# The search answers in a thread of its own, in the order it is asked: `answered` is the last query it has answered.
LISTENING = """() => {
  const asked = []
  const post = Worker.prototype.postMessage
  Worker.prototype.postMessage = function (message) {
    if (!asked.length) this.addEventListener("message", ({ data }) => {
      if (data.type === 3) window.answered = asked[++window.answers]
    })
    if (!asked.length) [window.answers, asked[0]] = [0, null]
    if (message.type === 2) asked.push(message.data)
    post.call(this, message)
  }
}"""


@pytest.fixture(scope="module")
def box(phone: BrowserContext, address: str) -> Iterator[Page]:
    """The start page with its search open."""
    page = phone.new_page()
    page.add_init_script(f"({LISTENING})()")
    page.goto(address)
    open_search(page)
    yield page
    page.close()


def best(box: Page, query: str) -> str:
    """Address of the best hit: the one that Enter opens.  It stands in the first of the listed pages."""
    items = box.locator(".md-search-result__item")
    field = box.locator("input.md-search__input")
    field.fill(query)
    field.press("End")  # the search listens for keys let go
    box.wait_for_function("query => window.answered === query", arg=query)
    expect(items.first).to_be_visible()
    found: str = items.first.evaluate(
        """item => {
          const score = link => parseFloat(link.firstElementChild.dataset.mdScore);
          const links = [...item.querySelectorAll("a")];
          return links.reduce((best, link) => score(link) > score(best) ? link : best).href;
        }"""
    )
    return found.partition("/")[2].partition("/")[2].partition("/")[2]


@pytest.mark.parametrize("machine", DATA.machines.values(), ids=lambda m: m.id)
def test_a_name_finds_the_machine(box: Page, machine: Machine) -> None:
    for query in (machine.name, machine.name.lower(), machine.name.upper(), machine.name[:4]):
        assert best(box, query) == f"machines/{machine.id}/", query


@pytest.mark.parametrize("machine", DATA.machines.values(), ids=lambda m: m.id)
def test_a_boom_length_finds_a_plan_of_that_length(box: Page, machine: Machine) -> None:
    """As the data lists it, with and without the space; where several cranes list it, any of them."""
    lengths: dict[str, set[str]] = {}
    for m in DATA.machines.values():
        for chart in (chart for c in m.configurations for chart in c.charts):
            for text in rounding.length(chart.boom_length, "near"):
                lengths.setdefault(text.replace(".0 ", " "), set()).add(f"machines/{m.id}/{chart.slug}/")
    unit = 1 if machine.units == "us" else 0
    for chart in {chart.slug: chart for c in machine.configurations for chart in c.charts}.values():
        text = rounding.length(chart.boom_length, "near")[unit].replace(".0 ", " ")
        for query in (text, text.replace(" ", "")):
            found = best(box, query)
            assert any(found.startswith(plan) for plan in lengths[text]), f"{query}: {found}"


def test_name_and_length_find_the_plan(box: Page) -> None:
    assert best(box, "bittern 54m") == "machines/bittern/54m/"
    assert best(box, "heron 41 m") == "machines/heron/41m/"
    assert best(box, "curlew 123m") == "machines/curlew/123m/"
    assert best(box, "avocet 120 ft") == "machines/avocet/120ft/"


def test_a_code_finds_its_rule(box: Page) -> None:
    found = {rule.code: best(box, rule.code) for rule in DATA.rules.values()}
    assert found == {rule.code: f"rules/{rule.id}/" for rule in DATA.rules.values()}
    assert best(box, "r07") == found["R07"]


def glossary() -> list[tuple[str, str]]:
    """Every word and twin of the glossary with the id of its entry: `### Falls (parts of line) {#falls}`."""
    text = (ROOT / "docs/guidance/glossary.md").read_text(encoding="utf-8")
    entries = re.findall(r"^### (.+?)(?: \((.+)\))? \{#([a-z-]+)\}$", text, re.MULTILINE)
    return [(word, id) for term, twins, id in entries for word in f"{term}, {twins}".lower().split(", ") if word]


# The search reads the beginnings of words, so a short word finds the rarer one that begins with it.
BEGINS_ALIKE = {"boom": "luffing", "boom angle": "luffing", "us ton": "tonne"}  # booming, tonne


def test_a_word_of_the_trade_finds_its_entry(box: Page) -> None:
    """Each word and twin finds its own entry; one that stands in several headings ("line pull") finds one of those."""
    entries = glossary()
    asked = {"falls", "parts of line", "upper stop", "anti-two-block", "hook block", "load block", "dead wraps"}
    asked |= {"pre-tensioning", "radius", "operating radius", "luffing", "booming", "load chart", "capacity chart"}
    assert asked <= {word for word, _ in entries} and len(entries) > 100
    wrong = {}
    for word, id in entries:
        found = best(box, word)
        allowed = {id, BEGINS_ALIKE.get(word, id)} | {i for other, i in entries if f" {word} " in f" {other} "}
        if found not in {f"guidance/glossary/#{id}" for id in ({id} if word in asked else allowed)}:
            wrong[word] = found
    # the title of a rule may come before the entry that explains its word, a section before one of its name
    begins = {"hoist": "rules/two-hoists/", "count": "guidance/count-off/"}
    begins["pulled-in rope"] = "guidance/pulled-in-rope/"
    begins["pre-tensioning"] = "guidance/glossary/#winding-firm"
    assert {word: at for word, at in wrong.items() if begins.get(word) != at} == {}


def addresses_of(box: Page, query: str) -> list[str]:
    """Every page that a query finds, the best first; none where there is no hit."""
    field = box.locator("input.md-search__input")
    field.fill(query)
    field.press("End")
    box.wait_for_function("query => window.answered === query", arg=query)
    box.wait_for_timeout(150)  # the list is drawn after the answer
    found: list[str] = box.locator(".md-search-result__item > a").evaluate_all("all => all.map(a => a.pathname)")
    return list(dict.fromkeys(found))  # a page once, whatever of its sections are listed


ALSO = {  # what people type, and the page that answers; the list is the one of the guide for writing
    "pretension": "guidance/glossary/", "pre-tension": "guidance/glossary/", "spooling": "guidance/glossary/",
    "spool": "guidance/glossary/", "tackle": "guidance/glossary/", "reeving": "guidance/glossary/",
    "parts of line": "guidance/glossary/", "bird cage": "guidance/glossary/", "birdcage": "guidance/glossary/",
    "bird's nest": "guidance/pulled-in-rope/", "dive": "guidance/pulled-in-rope/",
    "slack rope": "guidance/glossary/", "loose rope": "guidance/", "two-block": "guidance/glossary/",
    "anti two block": "guidance/glossary/", "deadwraps": "guidance/glossary/", "lbs": "guidance/glossary/",
    "permit": "guidance/preparing/", "cold": "", "frost": "rules/cold/", "minus 20": "rules/cold/",
    "-20": "rules/cold/", "barge": "rules/ground/", "runner": "rules/jib-held/",
    "whip": "rules/two-hoists/", "auxiliary": "rules/two-hoists/", "snagged": "guidance/pulled-in-rope/",
}  # fmt: skip


def test_the_words_people_use_find_the_page(box: Page) -> None:
    for query, page in ALSO.items():
        found = addresses_of(box, query)
        assert found and found[0].removeprefix("/").startswith(page), f"{query}: {found[:3]}"
    assert "/rules/cold/" in addresses_of(box, "cold")[:2]
    assert "/guidance/pulled-in-rope/" in addresses_of(box, "buried rope")[:3]
    assert "/rules/two-hoists/" in addresses_of(box, "whip")


def test_a_length_finds_its_plans_and_nothing_else(box: Page) -> None:
    """bittern alone lists 54 m; no crane lists 53 m."""
    for query in ("54 m", "54m", "177 ft", "bittern 54 m"):
        found = addresses_of(box, query)
        assert found and all(at.startswith("/machines/bittern/54m/") for at in found), f"{query}: {found}"
    assert addresses_of(box, "53 m") == [] and addresses_of(box, "7777") == []


def test_a_single_letter_finds_nothing_and_a_mass_the_heavy_lifts(box: Page) -> None:
    assert addresses_of(box, "b") == []
    assert addresses_of(box, "60 t bittern")[0] == "/machines/bittern/lifts/"
    assert addresses_of(box, "40,000 lb avocet")[0] == "/machines/avocet/lifts/"


def test_every_word_beside_a_page_has_its_page(built: Path) -> None:
    for place in words.load().get("search.words"):
        at, _, section = place.partition("#")
        html = (built / at / "index.html").read_text(encoding="utf-8")
        assert not section or f'id="{section}"' in html, place


def test_guidance_is_found_by_its_title(box: Page) -> None:
    for title, page in (
        ("why layers loosen", "why-layers-loosen"),
        ("re-reeving", "re-reeving"),
        ("falls for lifting", "falls-for-lifting"),
        ("rope inspection", "rope-inspection"),
        ("drum inspection", "drum-inspection"),
        ("true rope length", "rope-length"),
        ("lubrication", "lubrication"),
        ("checking the drum", "checking-the-drum"),
    ):
        assert best(box, title).startswith(f"guidance/{page}/"), title


def test_a_question_of_a_crew_is_answered_within_one_tap(box: Page) -> None:
    """As it is typed, the page that answers is the first hit."""
    for question, page in QUESTIONS.items():
        assert best(box, question.lower()).startswith(f"guidance/{page}/"), question


def test_a_word_from_the_site_finds_the_chapter(box: Page) -> None:
    for word, page in (
        ("water bag", "no-weights"),
        ("precast", "no-weights"),
        ("confined", "no-room"),
        ("miscount", "count-off"),
        ("abort", "stop-early"),
        ("hand signals", "people"),
        ("grease", "lubrication"),
        ("rope socket", "wedge-socket"),
        ("helper winch", "from-a-reel"),
        ("kicker", "drum-inspection"),
        ("snow", "cold"),
    ):
        assert f"/guidance/{page}/" in addresses_of(box, word)[:2], word


def test_enter_opens_the_best_hit(phone: BrowserContext, address: str) -> None:
    page = phone.new_page()
    page.goto(address)
    open_search(page)
    page.locator("input.md-search__input").press_sequentially("R02")
    expect(page.locator(".md-search-result__item").first).to_be_visible(timeout=15_000)
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(r"/rules/firm-tension/"))
    page.close()


# -- the index --------------------------------------------------------------------------------------------------------


OF_A_CRANE = "drum|work|lifts|rope(/worksheet)?|log|shortening|new-rope"  # pages that are no plans


def test_the_index_holds_titles_and_summaries_only(built: Path) -> None:
    """A plan has its length as people write it, no other number of its own; no page brings its tables or figures."""
    file = built / "search/search_index.json"
    docs = json.loads(file.read_text(encoding="utf-8"))["docs"]
    for doc in docs:
        assert len(doc["text"]) < 1200, doc["location"]
        assert not re.search(r"<(table|td|svg|ol|ul|li|figure)", doc["text"]), doc["location"]
        if re.fullmatch(rf"machines/[^/]+/({OF_A_CRANE})/", doc["location"]):
            assert not re.search(r"\d", doc["text"]), doc
        elif re.fullmatch(r"machines/[^/]+/[^/]+/([^/]+/)?", doc["location"]):
            length = r"([\d.]+)"
            said = rf"boom {length} m \({length}m\), {length} ft \({length}ft\)"
            found = re.search(said, doc["text"])
            assert found and found[1] == found[2] and found[3] == found[4], doc
            configuration = doc["title"].partition(", boom ")[2].partition(", ")[2] or "no name"
            left = doc["text"].partition("<p>")[2].replace(found[0], "").replace(configuration, "")
            assert not re.search(r"\d", left), doc
    size = len(file.read_bytes())
    packed = len(gzip.compress(file.read_bytes(), 9))
    assert size < 130_000 and packed < 30_000, (size, packed)
