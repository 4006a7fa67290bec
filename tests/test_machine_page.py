"""Machine pages and the way to them: which boom to choose, side by side, findings and answers, weights, the phone.

What the pages must say is counted here again from the plans of the feed, not from the module that chooses.
"""

from __future__ import annotations

import json
import re
import shutil
from html import unescape
from math import ceil
from pathlib import Path
from typing import Any

import pytest
from conftest import DATA, DAY, ROOT, cranes, switch_units
from data_folder import copy_to, edit, keep_booms
from playwright.sync_api import Page, expect

from hooks.text import words

MACHINES = list(DATA.machines)
Plan = dict[str, Any]
Way = tuple[str, Plan, dict[str, Any]]  # boom, plan, method


def text(html: str) -> str:
    """What a reader sees in metric units, on one line."""
    plain = re.sub(r"<[^>]+>", " ", re.sub(r"<x-u>.*?</x-u>", "", html, flags=re.DOTALL))
    return re.sub(r"\s+([.,:;)])", r"\1", " ".join(unescape(plain).replace("\u00a0", " ").split()))


def page_of(built: Path, machine: str) -> str:
    return (built / "machines" / machine / "index.html").read_text(encoding="utf-8")


def plans_of(built: Path, machine: str, configuration: str) -> list[Plan]:
    found = [json.loads(p.read_text(encoding="utf-8")) for p in (built / "data/v1/plans" / machine).glob("*.json")]
    return sorted((p for p in found if p["configuration"] == configuration), key=lambda p: p["boom_length_m"])


def ways(plans: list[Plan]) -> list[Way]:
    """Every method whose rope is enough for full line pull with some number of falls."""
    return [
        (plan["boom"], plan, method)
        for plan in plans
        for method in plan["methods"]
        if method and method["passes"] and method["passes"][-1]["full_pull_falls_min"]
    ]


def share(way: Way) -> float:
    return float(way[2]["passes"][-1]["firm_rope_m"] / way[1]["inputs"]["rope_length_m"])


def published(way: Way) -> int:
    """Planning time up to the next five minutes."""
    return ceil(way[2]["minutes"] / 5) * 5


def advice(built: Path, machine: str) -> dict[str, dict[str, str]]:
    """By configuration, what the page advises: the name of the advice and the HTML beside it."""
    html = page_of(built, machine).partition('<h2 id="which">')[2].partition('<h2 id="side-by-side">')[0]
    lists = re.findall(r'<dl class="fw-facts">(.*?)</dl>', html, re.DOTALL)
    ids = [c.id for c in DATA.machines[machine].configurations]
    assert len(lists) == len(ids)
    return {
        id: {text(name): said for name, said in re.findall(r"<dt>(.*?)<dd>(.*?)(?=<dt>|\Z)", found, re.DOTALL)}
        for id, found in zip(ids, lists, strict=True)
    }


@pytest.mark.parametrize("machine", MACHINES)
def test_which_boom_is_said_with_its_numbers(built: Path, machine: str) -> None:
    for configuration, said in advice(built, machine).items():
        all_ways = ways(plans_of(built, machine, configuration))
        if not all_ways:
            assert not any(name.startswith(("Full effect", "Most", "None")) for name in said), configuration
            assert "may you lift from the ground at full line pull" in text(said["No boom length is enough"])
            continue
        reaching = [way for way in all_ways if share(way) >= way[1]["inputs"]["target_share"]]
        most = max(map(share, all_ways))
        if reaching:
            name = next(n for n in said if n.startswith("Full effect in the fewest minutes"))
            quickest = min(reaching, key=lambda way: (published(way), way[1]["boom_length_m"], -share(way)))
            expected, firmest = quickest, said.get("Most rope firm", said[name])
        else:
            name = "None reaches full effect. Nearest"
            expected, firmest = max(all_ways, key=share), said[name]
        assert f"machines/{machine}/{expected[0]}/" in said[name]
        assert f"{int(share(expected) * 100 + 1e-9)} % firm" in text(said[name])
        assert f"{published(expected)} min" in text(said[name])
        passes = len(expected[2]["passes"])
        assert f"{passes} pass" in text(said[name]) and expected[2]["name"].replace("-", " ") in text(said[name])
        assert abs(int(re.search(r"(\d+) % firm", text(firmest))[1]) / 100 - most) < 0.0151


@pytest.mark.parametrize("machine", MACHINES)
def test_a_boom_above_a_loose_bed_is_named_and_never_advised(built: Path, machine: str) -> None:
    for configuration, said in advice(built, machine).items():
        plans = plans_of(built, machine, configuration)
        enough = {boom for boom, _, _ in ways(plans)}
        loose = [p["boom"] for p in plans if p["boom"] not in enough and not p["refused"]]
        named = re.findall(rf"machines/{machine}/([^/]+)/", said.get("No full line pull afterwards", ""))
        assert named == loose
        for name, html in said.items():
            if name.startswith(("Full effect", "Most", "None")):
                assert not set(re.findall(rf"machines/{machine}/([^/]+)/", html)) & set(loose), name


@pytest.mark.parametrize("machine", MACHINES)
def test_boom_lengths_side_by_side(built: Path, machine: str) -> None:
    html = page_of(built, machine).partition('<h2 id="side-by-side">')[2].partition('<h2 id="drum">')[0]
    tables = re.findall(r"<tbody>(.*?)(?=</table>)", html, re.DOTALL)
    configurations = DATA.machines[machine].configurations
    assert len(tables) == 2 * len(configurations), "what each length does, and how"
    for what, how, configuration in zip(tables[::2], tables[1::2], configurations, strict=True):
        both = [re.findall(r"<tr>(.*?)(?=<tr>|\Z)", table, re.DOTALL) for table in (what, how)]
        plans = plans_of(built, machine, configuration.id)
        assert len(both[0]) == len(both[1]) == len(plans) == len(configuration.charts)
        for *row, plan in zip(*both, plans, strict=True):
            cells, ways_ = ([text(c) for c in re.findall(r"<t[hd][^>]*>(.*?)(?=<t[hd]|\Z)", r, re.DOTALL)] for r in row)
            done = [m for m in plan["methods"] if m and m["passes"]]
            assert not plan["refused"] and done and cells[0] == ways_[0]
            shown = next(m for m in done if m["name"].replace("-", " ") == ways_[1].lower())
            assert cells[1:4] == [
                f"{int(shown['passes'][-1]['firm_share'] * 100 + 1e-9)} %",
                f"{ceil(shown['minutes'] / 5) * 5} min",
                str(plan["falls"]["used"]),
            ]
            assert ways_[2:] == [str(len(shown["passes"])), str(plan["falls"]["estimate"])]
            assert 0 <= float(cells[4]) * 1000 - plan["load"]["planned_kg"] < 50.001, "the load is rounded up to 50 kg"
            assert cells[5] == str(shown["passes"][-1]["full_pull_falls_min"] or "none")


@pytest.mark.parametrize("machine", MACHINES)
def test_a_method_that_is_not_possible_is_said_in_words(built: Path, machine: str) -> None:
    html = page_of(built, machine).partition('<h2 id="side-by-side">')[2].partition('<h2 id="drum">')[0]
    said = text(html)
    for configuration in DATA.machines[machine].configurations:
        for plan in plans_of(built, machine, configuration.id):
            for method in plan["methods"]:
                if method and method["refused"]:
                    assert method["refused"]["code"] not in said
                    assert words.load().get(f"refusals.{method['refused']['code']}.title") in said


def test_configurations_stand_beside_each_other(built: Path) -> None:
    html = page_of(built, "bittern").partition('<h3 id="which-have">')[2].partition("</table>")[0]
    rows = [
        [text(c) for c in re.findall(r"<t[hd][^>]*>(.*?)(?=<t[hd]|\Z)", row, re.DOTALL)]
        for row in re.findall(r"<tr>(.*?)(?=<tr>|\Z)", html, re.DOTALL)
    ]
    assert rows[0] == ["Boom", "Reduced counterweight", "Full counterweight"]
    assert [row[0] for row in rows[1:]] == ["24 m", "30 m", "36 m", "45 m", "54 m", "63 m", "72 m", "84 m"]
    assert rows[-1][1] == "not listed" and rows[-1][2].endswith("min")


def test_findings_stand_there_with_their_answers(built: Path) -> None:
    answered = {m.id: m.findings for m in DATA.machines.values() if m.findings}
    assert len(answered) >= 2, "at least two machines show findings that an engineer answered"
    kept = (built / "data/index.html").read_text(encoding="utf-8").partition('<h3 id="findings">')[2]
    for machine, findings in answered.items():
        said = text(page_of(built, machine).partition('<h2 id="findings">')[2].partition('<h2 id="source">')[0])
        for finding in findings:
            assert finding.text[0] in said and finding.where not in said, "a field of the file is for its keeper"
            assert finding.answer and f"Answered: {finding.answer}" in said
            assert f"<code>{finding.where}</code>: {finding.text[0]}" in kept
        assert "Not answered yet" not in said
    assert "No inconsistencies found in this data." in text(page_of(built, "bittern"))


def machine_html(rules: Path, machine: str) -> str:
    return cranes(rules).bodies(machine)[f"machines/{machine}/"]


def test_an_open_finding_stands_on_top_until_it_is_answered(tmp_path: Path) -> None:
    rules = copy_to(tmp_path, ("heron",))  # one crane with one boom length is enough, and quicker
    shutil.rmtree(rules / "upkeep")
    edit(rules, "machines/heron.yaml", "mass: 2.3 kg/m", "mass: 2.6 kg/m")
    keep_booms(rules / "machines/heron.yaml", ("13 m",))
    html = machine_html(rules, "heron")
    top = html.partition('<h2 id="booms">')[0]
    assert "that no engineer has answered yet" in text(top) and 'href="#findings"' in top
    assert "Unusual rope mass: is 2.60 kg/m; the construction implies about 2.20 kg/m." in text(html)
    assert "1.75 lb/ft" in html, "0.67197 lb/ft a kg/m, by the pound and foot of 1959"
    assert "Not answered yet by an engineer." in text(html)
    answer = "{finding: rope-mass, where: rope.mass, answer: Weighed <on> the reel., by: N. N., date: '2026-11-03'}"
    edit(rules, "machines/heron.yaml", "configurations:", f"answers:\n  - {answer}\nconfigurations:")
    html = machine_html(rules, "heron")
    assert "no engineer has answered" not in html
    assert "Answered: Weighed &lt;on&gt; the reel. (N. N., 2026-11-03)" in html.replace("</strong>", "")


def test_every_finding_has_its_title() -> None:
    source = (ROOT / "calc/checks/plausible.py").read_text(encoding="utf-8")
    codes = re.findall(r'Oddity\("([a-z-]+)", [^\n]*\)$', source, re.MULTILINE)
    open_ones = [c for c in codes if not re.search(rf'Oddity\("{c}"[^\n]*True\)$', source, re.MULTILINE)]
    titles = words.load().get("machines.finding")
    assert sorted(open_ones) == sorted(titles)


def test_the_manuals_value_stands_beside_the_rule(built: Path) -> None:
    html = page_of(built, "bittern")
    said = text(html.partition('id="overrides"')[2].partition('<h2 id="findings">')[0])
    assert "firm tension share: 11 %, manual page 6-14." in said
    assert 'href="../../rules/firm-tension/"' in html.partition('id="overrides"')[2]


@pytest.mark.parametrize("machine", MACHINES)
def test_source_and_revision(built: Path, machine: str) -> None:
    said = text(page_of(built, machine).partition('<h2 id="source">')[2])
    m = DATA.machines[machine]
    assert m.source_title in said and m.revision in said and f"Rules as of {DAY}" in said
    assert all(f"{what} {pages}" in said for what, pages in m.source_pages.items())


def test_us_data_stands_as_it_was_written(built: Path) -> None:
    """Avocet's file gives a rope of 0.875 in and 1,150 ft, 1.5 lb/ft, 87,000 lbf; a ball takes one fall."""
    html = page_of(built, "avocet").partition('<h2 id="facts">')[2]
    for written in ("0.875 in", "1,150 ft", "1.50 lb/ft", "87,000 lbf", "17,000 lbf", "20.00 in", "420 ft/min"):
        assert f"<x-u>{written}</x-u>" in html, written
    assert not re.search(r"\b1 falls", text(page_of(built, "heron")))
    assert "1 fall, carries 8.50 t" in text(page_of(built, "heron"))


@pytest.mark.parametrize("machine", MACHINES)
def test_weight_of_a_machine_page(built: Path, machine: str) -> None:
    assert len(page_of(built, machine).encode()) < 50_000


# -- on the phone -----------------------------------------------------------------------------------------------------


def test_from_the_start_to_every_plan_in_three_taps(page: Page, address: str) -> None:
    """Crane, boom length: two taps; the third is for another configuration, which needs no script."""
    for machine in MACHINES:
        page.goto(address)
        page.locator(f"main a.fw-tile[href*='machines/{machine}/']").click()
        here = page.url
        for at, configuration in enumerate(DATA.machines[machine].configurations):
            if at:
                page.goto(here)
                page.locator(f".fw-tabs a[href='#booms-{configuration.id}']").click()
            tiles = page.locator("main .fw-tiles--booms a.fw-tile:visible")
            expect(tiles).to_have_count(len(configuration.charts))
            for tile in tiles.all():
                box = tile.bounding_box()
                assert box and box["height"] >= 48 and box["width"] >= 48
        tiles.last.click()
        expect(page.locator("main h1")).to_contain_text(DATA.machines[machine].name)


def test_the_answer_stands_on_the_first_screen(page: Page, address: str) -> None:
    """Boom lengths, the state of the drum in one line and the first thing to do; the rest is folded."""
    for machine, button in (("bittern", "Pre-tension: boom 54 m"), ("heron", "Next heavy lift: which falls?")):
        page.goto(f"{address}machines/{machine}/")
        action = page.locator(".fw-next")
        expect(action).to_contain_text(button)
        expect(page.locator("#next")).to_contain_text("Firm up to layer")
        assert page.locator(".fw-fold[open]").count() == 0
        assert page.evaluate("document.documentElement.scrollHeight") <= 4 * 740
        page.locator("#next").evaluate("e => e.scrollIntoView()")
    page.goto(f"{address}machines/bittern/#side-by-side")
    expect(page.locator(".fw-fold[open]")).to_have_count(1)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_sideways_scroll_on_machine_pages(page: Page, address: str, units: str) -> None:
    for machine in MACHINES:
        page.goto(f"{address}machines/{machine}/")
        switch_units(page, units)
        page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
        for width in (320, 360):
            page.set_viewport_size({"width": width, "height": 740})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, f"{machine} at {width}"
        switch_units(page, "metric")
    page.set_viewport_size({"width": 360, "height": 740})


def test_tables_fit_a_printed_page(page: Page, address: str) -> None:
    """A4 less its margins is 184 mm wide, 695 px; US Letter is wider."""
    page.set_viewport_size({"width": 695, "height": 1000})
    page.emulate_media(media="print")
    for machine in MACHINES:
        page.goto(f"{address}machines/{machine}/")
        page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
        wide = page.evaluate("[...document.querySelectorAll('.fw-table')].map(t => t.getBoundingClientRect().right)")
        assert wide and max(wide) <= 695, machine
    page.emulate_media(media="screen")
    page.set_viewport_size({"width": 360, "height": 740})
