"""Citing a page, and addresses that lead to other pages."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import bibtexparser
import pytest
from conftest import DATA, DAY, PUBLISHED, ROOT
from data_folder import copy_to
from playwright.sync_api import Page, expect

from calc.checks import loader
from calc.data import files
from calc.data.model import Redirect
from hooks.pages.site import moved
from hooks.text import cite, words

CITE = re.compile(r'<details class="fw-cite"><summary>[^<]+</summary>\s*<p>(.*?)</p>(.*?)<pre>(.*?)</pre>', re.DOTALL)
KINDS = (
    "machines/heron/27m/working/",
    "rules/wind/",
    "rules/wind/2026-11-02/",
    "guidance/when-due/",
    "guidance/how-the-numbers-are-checked/",
)


def folded(site: Path, address: str) -> tuple[str, str, dict[str, str]]:
    """Text, note and the fields of the BibTeX entry of a page, as another program reads them."""
    found = CITE.findall((site / address / "index.html").read_text(encoding="utf-8"))
    assert len(found) == 1, address
    text, note, entry = map(unescape, found[0])
    read = bibtexparser.loads(entry).entries
    assert len(read) == 1, entry
    return text, note, read[0]


@pytest.mark.parametrize("address", KINDS)
def test_a_page_without_a_permanent_address_says_so(built: Path, address: str) -> None:
    text, note, entry = folded(built, address)
    assert "no permanent address" in note and "url" not in entry and "//" not in text
    assert entry["year"] == "2026" and entry["author"] == "Firmwrap" and entry["ENTRYTYPE"] == "misc"
    assert entry["note"] in text and entry["title"] in text


@pytest.mark.parametrize("address", KINDS)
def test_with_one_the_page_gives_it(refused: Path, address: str) -> None:
    text, note, entry = folded(refused, address)
    lasting = "rules/wind/2026-11-02/" if address == "rules/wind/" else address.removesuffix("working/")
    assert entry["url"] == PUBLISHED + lasting and text.endswith(PUBLISHED + lasting) and not note.strip()


def test_what_dates_a_page(built: Path) -> None:
    heron = DATA.machines["heron"]
    text, _, entry = folded(built, "machines/heron/27m/working/")
    assert text == (
        f"Firmwrap: Heron, boom 27 m. Winding plan: crane data of {heron.revision} (demonstration), rules of {DAY}."
    )
    assert entry["ID"] == f"heron-27m-{DAY}"
    text, _, entry = folded(built, "rules/wind/2026-11-02/")
    assert text == "Firmwrap: R27 Wind. Version of 2026-11-02." and entry["ID"] == "wind-2026-11-02"
    text, _, _ = folded(built, "guidance/when-due/")
    assert text == f"Firmwrap: Is it due? Numbers of {DAY}."


def test_every_plan_rule_version_and_guidance_page_is_cited_once_under_a_key_of_its_own(built: Path) -> None:
    wanted = [f"rules/{rule.id}/{version.from_day}/" for rule in DATA.rules.values() for version in rule.versions]
    wanted += [f"guidance/{path.stem}/" for path in (ROOT / "docs/guidance").glob("*.md") if path.stem != "index"]
    for machine in DATA.machines.values():
        slugs = {chart.slug for configuration in machine.configurations for chart in configuration.charts}
        wanted += [f"machines/{machine.id}/{slug}/working/" for slug in slugs]
    keys = [folded(built, address)[2]["ID"] for address in wanted]
    assert len(keys) == len(set(keys)) > 130


def test_withdrawn_rules_keep_their_pages(built: Path) -> None:
    gone = [rule for rule in DATA.rules.values() if (version := rule.at(DAY)) and version.withdrawn]
    assert gone
    for rule in gone:
        assert "Withdrawn" in (built / f"rules/{rule.id}/index.html").read_text(encoding="utf-8")
        for address in (f"rules/{rule.id}/", *(f"rules/{rule.id}/{version.from_day}/" for version in rule.versions)):
            folded(built, address)


def test_marks_of_tex_come_out_as_themselves() -> None:
    """Outside: the ten characters TeX keeps for itself (The TeXbook, chapter 7; from memory)."""
    nasty = "a\\b {c} 5% #1 $x$ A&B x_y x^y ~z\n new line"
    found = cite.cited(words.load(), None, "rules/a-b/2026-01-02/", nasty, "Version of 2026-01-02", "2026-01-02")
    entry = bibtexparser.loads(found.bibtex).entries[0]
    assert entry["title"] == (
        r"a\textbackslash{}b \{c\} 5\% \#1 \$x\$ A\&B x\_y x\textasciicircum{}y \textasciitilde{}z new line"
    )
    assert cite.key("machines/heron/27m/full/", DAY) == f"heron-27m-full-{DAY}"


# -- in the browser ---------------------------------------------------------------------------------------------------


def test_folded_away_and_marked_whole_with_one_tap(page: Page, address: str) -> None:
    page.goto(f"{address}machines/heron/27m/working/")
    block = page.locator(".fw-cite")
    expect(block.locator("pre")).to_be_hidden()
    block.locator("summary").click()
    for part in ("p", "pre"):
        block.locator(part).click()
        assert page.evaluate("getSelection().toString().trim()") == block.locator(part).inner_text().strip()


def test_an_old_address_opens_the_page(page: Page, address: str) -> None:
    for one in DATA.redirects:
        page.goto(f"{address}{one.old}")
        expect(page).to_have_url(f"{address}{one.new}")


# -- the list of addresses --------------------------------------------------------------------------------------------


def test_a_redirect_stands_as_a_page(built: Path) -> None:
    assert DATA.redirects
    for one in DATA.redirects:
        html = (built / one.old / "index.html").read_text(encoding="utf-8")
        up = "../" * one.old.count("/")
        assert f'<meta http-equiv="refresh" content="0; url={up}{one.new}">' in html
        assert f'<link rel="canonical" href="https://firmwrap.example/{one.new}">' in html
        assert '<meta name="robots" content="noindex">' in html and "Content-Security-Policy" in html
        assert f'href="{up}{one.new}">{one.new}</a>' in html
        assert (built / one.new / "index.html").is_file()


def test_old_addresses_are_in_the_copy_on_a_phone(built: Path) -> None:
    listed = next((built / "offline").glob("list.*.json")).read_text(encoding="utf-8")
    assert all(f'["{one.old}",' in listed for one in DATA.redirects)


def test_target_and_source_are_checked() -> None:
    redirects = [
        Redirect("old/", "guidance/", "rules/addresses.yaml:4: redirects[old/]"),
        Redirect("rules/", "nowhere/", "rules/addresses.yaml:6: redirects[rules/]"),
    ]
    assert list(moved.errors(redirects, {"", "guidance/", "rules/"})) == [
        "rules/addresses.yaml:6: redirects[rules/]: 'rules/' is the address of a page; take the line out or move the "
        "page",
        "rules/addresses.yaml:6: redirects[rules/]: there is no page 'nowhere/'; write the address of one, like "
        "guidance/glossary/",
    ]


@pytest.mark.usefixtures("typed")
@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("redirects:\n  - {from: a/, to: b/}\n  - {from: a/, to: c/}\n",
         "rules/addresses.yaml:3: redirects[a/].from: 'a/' stands here twice; an address leads to one page"),
        ("redirects:\n  - {from: a/, to: b/}\n  - {from: b/, to: c/}\n",
         "rules/addresses.yaml:2: redirects[a/].to: 'b/' leads to another page itself; name the page it leads to"),
        ("redirects:\n  - {from: /a, to: b/}\n",
         "rules/addresses.yaml:2: redirects[/a].from: '/a' is not written as it must be; write small letters, digits "
         "and hyphens between slashes, one at the end, like guidance/glossary/"),
        ("redirects:\n  - {from: a/}\n", "rules/addresses.yaml:2: redirects[a/].to: is missing; add it: text"),
    ],
)  # fmt: skip
def test_errors_of_the_list(tmp_path: Path, text: str, told: str) -> None:
    rules = copy_to(tmp_path)
    (rules / "addresses.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(files.Errors) as caught:
        loader.load(rules)
    assert str(caught.value) == told
