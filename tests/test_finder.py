"""The finder on the start page and the report of a fault: what is looked up is what the plans say."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, unquote, urlsplit

import jinja2
import pytest
from conftest import DATA, ROOT, axe, switch_units
from playwright.sync_api import Locator, Page, Route, expect

from calc import rounding
from calc.data.files import Errors
from calc.winding.plan_data import best_method
from hooks.pages.plan import said
from hooks.pages.site import fault
from hooks.text import words
from hooks.text.environment import environment

TABLE = re.compile(r"/finder\.[0-9a-f]+\.json$")
PATIENCE = 60_000  # [ms] for a busy machine
FOUND = """(heading) => {
  const title = [...document.querySelectorAll("#finder h3")].find((node) => node.textContent === heading);
  return title ? [...title.nextElementSibling.children].map((item) => [
    item.querySelector("a").getAttribute("href"), item.innerText.replace(/\\s+/g, " "),
  ]) : [];
}"""
CHOOSE = "([name, at]) => document.querySelectorAll(`#finder input[name=${name}]`)[at].click()"


def plans(built: Path, machine: str) -> list[dict[str, Any]]:
    return [json.loads(path.read_text(encoding="utf-8")) for path in built.glob(f"data/v1/plans/{machine}/*.json")]


def page_of(plan: dict[str, Any], built: Path) -> str:
    short = f"machines/{plan['machine']}/{plan['boom']}/"
    own = f"{short}{plan['configuration']}/"
    return own if (built / own / "index.html").is_file() else short


def kilograms(text: str) -> float:
    """A step of weights as it is written in the unit of the data."""
    number, unit = text.split()
    return float(number.replace(",", "")) * {"t": 1000.0, "lb": rounding.KILOGRAMS_PER_POUND}[unit]


def least(plan: dict[str, Any]) -> float:
    """Weights for which the moves hold: what is planned, or the lower end of the band less the slings."""
    load = plan["load"]
    return float(min(load["net_kg"], load["band_kg"][0] - load["slings_kg"]))


@pytest.fixture
def finder(page: Page, address: str) -> Locator:
    page.set_default_timeout(PATIENCE)
    page.goto(address)
    page.locator("details:has(#finder) summary").click()
    found = page.locator("#finder")
    found.get_by_role("radio", name="Heron").wait_for()
    return found


@pytest.mark.parametrize("machine", DATA.machines)
def test_what_is_found_is_what_the_plans_say(finder: Locator, page: Page, built: Path, machine: str) -> None:
    """Every step of weights of every crane, held against the plans as they are published."""
    told = DATA.machines[machine]
    if told.units == "us":
        switch_units(page, "us")
    finder.get_by_role("radio", name=told.name).check()
    mine = plans(built, machine)
    weights = finder.locator("input[name=weights] + span").all_inner_texts()
    nets = [least(plan) for plan in mine if not plan["refused"]]
    assert kilograms(weights[0]) <= min(nets) + 1e-3 and kilograms(weights[-1]) >= max(nets)
    for at, text in enumerate(weights):
        page.evaluate(CHOOSE, ["weights", at])
        can = dict(page.evaluate(FOUND, "Can be done"))
        cannot = dict(page.evaluate(FOUND, "Not with these weights"))
        assert len(can) + len(cannot) == len(mine)
        for plan in mine:
            href = next(link for link in (*can, *cannot) if link.endswith(f"/{page_of(plan, built)}"))
            enough = not plan["refused"] and least(plan) <= kilograms(text) + 1e-3
            assert (href in can) == enough, (href, text)
            if enough:
                compare(can[href], plan, kilograms(text), told.units)
    switch_units(page, "metric")


def compare(shown: str, plan: dict[str, Any], at_hand: float, units: str) -> None:
    """The numbers of one plan, and what all weights at hand do when they are hung at once."""
    load = plan["load"]
    best = best_method(plan)
    assert best

    def text(pair: rounding.Pair) -> str:
        return pair.us if units == "us" else pair.metric

    last = best["passes"][-1]
    assert f"{plan['falls']['used']} falls, {text(rounding.mass(load['planned_kg'], 'up'))} at the hook" in shown
    assert f"Firm afterwards: {text(rounding.rope(last['firm_rope_m'], 'down'))}" in shown
    assert f"{rounding.whole_minutes(best['minutes'])} min" in shown
    assert f"slings up to {text(rounding.length(best['longest_sling_m'], 'near'))}" in shown
    net, fewest = (text(rounding.mass(kilograms, "up")) for kilograms in (load["net_kg"], least(plan)))
    if at_hand < load["net_kg"] - 1e-3:
        assert f"Planned with {net} of weights; the moves hold from {fewest} on." in shown
    else:
        assert f"Hang {net} of the weights" in shown
    hung = at_hand + load["hook_block_kg"] + load["slings_kg"]
    row = next((row for row in plan["heavier_loads"] if row["load_kg"] >= hung - 1e-3), None)
    if row is None:
        assert "too heavy at the start radius" in shown
    elif row is plan["heavier_loads"][0]:
        assert "All at once" not in shown
    else:
        assert f"only out to {text(rounding.length(said.listed(plan, row['furthest_radius_m']), 'down'))}" in shown
        assert f"{text(rounding.rope(row['firm_rope_m'], 'down'))} are firm if landed there" in shown


def test_one_boom_length(finder: Locator, page: Page, built: Path) -> None:
    finder.get_by_role("radio", name="Bittern").check()
    finder.get_by_role("radio", name="54 m", exact=True).check()
    links = finder.locator(".fw-found a")
    assert {link.get_attribute("href", timeout=PATIENCE).rpartition("/machines/")[2] for link in links.all()} == {
        page_of(plan, built).removeprefix("machines/") for plan in plans(built, "bittern") if plan["boom"] == "54m"
    }
    links.first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Bittern, boom 54 m")


def test_by_keyboard_and_read_out(finder: Locator, page: Page) -> None:
    finder.get_by_role("radio", name="Avocet").focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    expect(finder.locator("input[name=weights]").first).to_be_focused()
    before = finder.get_by_role("status").inner_text()
    page.keyboard.press("ArrowRight")
    assert finder.get_by_role("status").inner_text() != before
    assert re.fullmatch(r"\d+ of \d+ plans can be done with .+\.", before)


def test_the_answer_stays_in_view_while_choosing(finder: Locator, page: Page) -> None:
    """Wherever the choices are scrolled to, the line with the answer stands inside the screen."""
    finder.get_by_role("radio", name="Bittern").check()
    line = finder.get_by_role("status")
    for name in ("weights", "boom"):
        finder.locator(f"input[name={name}]").first.evaluate("e => e.scrollIntoView({block: 'start'})")
        box = line.bounding_box()
        assert box and box["y"] >= 0 and box["y"] + box["height"] <= 740, name


def test_it_fits_the_screen_and_the_glove(finder: Locator, page: Page) -> None:
    finder.get_by_role("radio", name="Curlew").check()
    assert not axe(page)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        for width in (320, 360, 768, 1280, 1920):
            page.set_viewport_size({"width": width, "height": 740})
            page.wait_for_function("(width) => document.documentElement.scrollWidth <= width", arg=width)
            for tile in finder.locator("label").all():
                box = tile.bounding_box()
                assert box and box["height"] >= 48 and box["width"] >= 48


def test_the_table_is_asked_for_only_when_it_is_used(page: Page, address: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(urlsplit(request.url).path.lstrip("/")))
    page.goto(address, wait_until="networkidle")
    assert not any(TABLE.search(path) for path in asked)
    page.locator("details:has(#finder) summary").click()
    page.locator("#finder").get_by_role("radio").first.wait_for()
    assert sum(bool(TABLE.search(path)) for path in asked) == 1


def test_a_table_that_does_not_come_is_told_and_asked_for_again(page: Page, address: str) -> None:
    tab = page.context.new_page()  # the failed request is an error in the console
    tab.set_default_timeout(PATIENCE)
    tab.goto(address)

    def gone(route: Route) -> None:
        route.abort()

    tab.route(TABLE, gone)
    summary = tab.locator("details:has(#finder) summary")
    summary.click()
    expect(tab.locator("#finder").get_by_role("alert")).to_contain_text("could not be loaded")
    tab.unroute(TABLE, gone)
    summary.click()
    summary.click()
    tab.locator("#finder").get_by_role("radio", name="Heron").check()
    expect(tab.locator("#finder").get_by_role("status")).to_contain_text("plans can be done")
    tab.close()


# ---- report of a fault


def test_a_report_names_page_revision_day_and_build(page: Page, address: str, built: Path) -> None:
    version = json.loads((built / "version.json").read_text(encoding="utf-8"))
    for path, revision in (("machines/heron/41m/", DATA.machines["heron"].revision), ("rules/minimum-load/", None)):
        page.goto(address + path)
        page.get_by_role("link", name="Report a fault in this page").click()
        expect(page.locator("#fault")).to_contain_text("Build", timeout=PATIENCE)
        href = page.get_by_role("link", name="Write the report").get_attribute("href") or ""
        kind, _, query = href.partition("?")
        told = {name: values[0] for name, values in parse_qs(query).items()}
        assert kind == "mailto:faults@firmwrap.example" and told["subject"] == f"Fault: /{path}"
        lines = told["body"].splitlines()
        assert f"Page: /{path}" in lines and f"Build: {version['build']}" in lines
        assert f"Data and rules as of: {version['day']}" in lines
        assert (f"Revision of the machine data: {revision}" in lines) == (revision is not None)
        assert "example; it leads nowhere" in page.locator("main").inner_text()


def test_a_report_without_a_page(page: Page, address: str) -> None:
    page.goto(address + "fault/")
    told = "not known; open this page by the link at the foot"
    expect(page.locator("#fault")).to_contain_text(told, timeout=PATIENCE)
    assert "not%20known" in (page.get_by_role("link", name="Write the report").get_attribute("href") or "")


def test_addresses_of_reports() -> None:
    texts = words.load()
    env = environment(texts)
    assert fault.page(env, texts, DATA, "2026-11-25", "") is None
    for to, example in (
        ("mailto:plans@crane-yard.org", False),
        ("https://crane-yard.org/faults/new", False),
        ("https://crane-yard.example/faults", True),
    ):
        made = fault.page(env, texts, DATA, "2026-11-25", to)
        assert made and f'href="{to}"' in made.html and ("leads nowhere" in made.html) == example
    with pytest.raises(Errors) as caught:
        fault.page(env, texts, DATA, "2026-11-25", "javascript:alert(1)")
    assert str(caught.value) == (
        "mkdocs.yml:1: extra.fault: 'javascript:alert(1)' is no address a report can go to; "
        "write one that begins with mailto: or https://"
    )


def test_no_address_no_link() -> None:
    """The foot of every page, with an address and without."""
    env = jinja2.Environment(autoescape=True, loader=jinja2.FileSystemLoader(ROOT / "hooks/theme"))
    env.filters["url"] = lambda text: f"../{text}"
    foot = env.get_template("partials/footer.html")
    words = {"fault": "Report a fault in this page"}
    for address, count in (("mailto:plans@crane-yard.org", 1), ("", 0)):
        text = foot.render(config={"copyright": "", "extra": {"fault": address}}, t=words)
        assert text.count('href="../fault/"') == count and unquote(text).count("Report a fault") == count
