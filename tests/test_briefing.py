"""The briefing: everything on it is the plan's, it fits one sheet of A4 or Letter, its QR code leads to the plan.
The plan as one file: it opens without a network."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import math
import re
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy
import pytest
import zxingcpp
from conftest import PUBLISHED, ROOT, switch_units
from playwright.sync_api import BrowserContext, Page

from calc import rounding
from calc.winding.plan_data import best_method
from hooks.figures import plan_view
from hooks.pages.plan import said
from hooks.text import words
from hooks.text.page import published

WORDS = words.load()
SCHEMA = json.loads((ROOT / "rules/schema/plan.schema.json").read_text(encoding="utf-8"))
POINTS_PER_MM = 72 / 25.4
NO_PRINTER_PRINTS = 5  # mm at every edge of the sheet

# Every caution of the trade's list that belongs on site, by words that stand in it.
CAUTIONS = [
    "manual and its rated-capacity system come first",
    "Local codes and licensed practice decide",
    "Qualified people only",
    "Limiter set to",
    "Both stops tested, and again after any re-reeving",
    "Count wraps",
    "The count stops the work. Never under",
    "camera, mirror or rotation indicator",
    "Free fall locked out",
    "brake test, read load and radius",
    "Everyone away from drum, rope and load",
    "Inspect the drum only with the winch stopped and secured",
    "No power line, traffic or rail under or within the whole radius",
    "above ground, on a tag line, slew brake on",
    "it swings out at lift-off",
    "the hook block comes up",
    "Wind within the manual's limit",
    "Stop on gusts",
    "No ice",
    "Ground, outriggers or tracks and chart sector",
    "certified spare stock, never the counterweight in use",
    "can be pulled into under this very load",
    "Take turns out of the block",
    "Never pull on an anchor or a vehicle unless the manual gives",
    "rope brake only on a reel flange",
    "Stop at once if a wrap jumps, climbs, gaps or pulls in, and call a competent person",
    "re-reeve through the boom head, never unwind the firm rope",
    "as many falls as practicable",
    "again after long light work with many falls",
    "out of the sector; out of the whole circle R where the slew is not locked",
    "Drum watcher: at the camera or beside the barrier",
    "One stop word",
    "Below freezing: the manual's lowest temperature",
    "Weights may be frozen to the ground",
]


def text_of(markup: str) -> str:
    """What stands on a page, metric and US, on one line."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", markup)).replace("\u00a0", " ").split())


def plans(site: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Address and plan of every plan page: those of the feed, and those that the log of a rope asks for."""
    for path in sorted((site / "data/v1/plans").glob("*/*.json")):
        boom, _, configuration = path.stem.partition(".")
        address = f"machines/{path.parent.name}/{boom}/" + (f"{configuration}/" if configuration else "")
        yield address, json.loads(path.read_text(encoding="utf-8"))
    for path in sorted((site / "data/v1/state").glob("*/plan.json")):
        yield f"machines/{path.parent.name}/drum/plan/", json.loads(path.read_text(encoding="utf-8"))


def briefing(site: Path, address: str) -> str:
    return (site / address / "briefing/index.html").read_text(encoding="utf-8").partition('class="fw-brief')[2]


def move_rows(site: Path, address: str) -> list[tuple[int, list[str]]]:
    """Number and cells of every row of the table of moves."""
    table = briefing(site, address).partition('class="fw-brief-moves"')[2].partition("</table>")[0]
    rows = re.findall(r'<tr><th scope="row">(\d+)(.*?)(?=<tr>|$)', table, re.DOTALL)
    return [(int(number), [text_of(cell) for cell in row.split("<td>")[1:]]) for number, row in rows]


# -- what stands on it ------------------------------------------------------------------------------------------


def test_every_plan_has_its_briefing_with_its_own_numbers(built: Path) -> None:
    for address, plan in plans(built):
        page = briefing(built, address)
        shown = text_of(page)
        stops, load, best = plan["stops"], plan["load"], best_method(plan)
        assert best, "every plan of the fleet can be done"
        loaded = [m for p in best["passes"] for m in p["moves"] if m["load_kg"]]
        hung = best["passes"][0]["slings_hung"]
        wanted = {
            "load": rounding.mass(load["planned_kg"], "up"),
            "weights": rounding.mass(load["net_kg"], "up"),
            "stack": rounding.length(stops["start_radius_m"], "up"),
            "start": rounding.length(loaded[0]["loaded_radius_m"][1], "up"),
            "furthest": rounding.length(max(max(m["loaded_radius_m"]) for m in loaded), "down"),
            "hanging radius": rounding.length(hung["radius_m"], "up"),
            "firm": rounding.rope(best["passes"][-1]["firm_rope_m"], "down"),
            "circle": rounding.length(best["working_radius_m"], "up"),
            "count": rounding.length(hung["hook_height_m"], "near"),
            "pick": rounding.length(best["passes"][0]["hook_at_pick_m"], "near"),
            "block": rounding.mass(load["hook_block_kg"], "up"),
        }
        if stops["hook_height_m"] > 0:
            wanted["stop"] = rounding.length(stops["hook_height_m"], "up")
        for row in stops["count_table"]:
            if row["do"] == "rope-shorter" and row["hook_height_m"] > 0:
                wanted[f"{row['wraps']} counted"] = rounding.length(row["hook_height_m"], "up")
        for what, pair in wanted.items():
            assert f"{pair.metric} {pair.us}" in shown, f"{address}: {what} {pair}"
        drum = said.place(WORDS, plan["inputs"], stops["layer_at_start"], stops["wrap_at_start"])
        assert f"Planned {drum}." in shown
        assert f"Never under {plan['inputs']['stop_wraps']} wraps on the drum" in shown
        last = best["passes"][-1]
        firm_to = said.place(WORDS, plan["inputs"], last["firm_to"]["layer"], last["firm_to"]["wrap"], "down")
        assert f"At the pick the drum shows no more than {firm_to}." in shown
        assert "rope in the falls included: go on" in shown or "weigh the load before" in shown
        for row in said.counts(WORDS, plan):
            line = f"{text_of(row.count)}: rope {text_of(row.rope)}. {text_of(row.what)}"
            assert re.sub(r"\s+", "", line) in re.sub(r"\s+", "", shown)
        assert f"the last {plan['inputs']['dead_wraps']} are dead wraps" in shown
        assert f"{plan['falls']['used']} falls with the hook block" in shown
        assert f"{rounding.whole_minutes(best['minutes'])} min" in shown
        assert f"revision {plan['machine_revision']}" in shown and f"as of {plan['day']}" in shown
        assert all(use["code"] in shown for use in plan["rules"])
        whole = (built / address / "briefing/index.html").read_text(encoding="utf-8")
        assert "Demonstration data" in text_of(whole)


def test_every_move_is_in_the_table_with_the_drum_after_it(built: Path) -> None:
    for address, plan in plans(built):
        rows = move_rows(built, address)
        best = best_method(plan)
        moves = [m for p in best["passes"] for m in p["moves"]] if best else []
        assert [number for number, _ in rows] == list(range(1, len(moves) + 1)), address
        for move, (_, cells) in zip(moves, rows, strict=True):
            assert cells[0] == WORDS.get(f"moves.{move['move']}")
            assert said.short(WORDS, plan["inputs"], move["layer"][1], move["wrap"][1]) in cells
            assert rounding.share(move["capacity_use"], "up") in cells
            assert cells[-1] == str(rounding.minutes(move["minutes"]))
            telescoped = any(m["move"] == "telescope-in" for m in moves)
            assert len(cells) == (8 if telescoped else 7), "the boom length only where it changes"


def test_radii_are_given_to_the_cautious_side(built: Path) -> None:
    """Outward never further than checked, inward never nearer; and the table agrees with the headline."""
    for address, plan in plans(built):
        best = best_method(plan)
        moves = [m for p in best["passes"] for m in p["moves"]] if best else []
        telescoped = any(m["move"] == "telescope-in" for m in moves)
        for move, (_, cells) in zip(moves, move_rows(built, address), strict=True):
            shown = float(cells[2 if telescoped else 1].split()[0])
            (before, after), read = move["radius_m"], move["loaded_radius_m"][1]
            assert abs(shown - read) < 0.1 + said.ON_THE_ROW
            if after > before:
                assert shown <= read + said.ON_THE_ROW, address
            elif after < before:
                assert shown >= read - 1e-9, address


def test_every_caution_is_on_every_briefing(built: Path) -> None:
    for address, plan in plans(built):
        shown = text_of(briefing(built, address))
        missing = [said for said in CAUTIONS if said not in shown]
        assert not missing, f"{address}: {missing}"
        assert ("Telescope under load only where the manual lists it" in shown) == (plan["kind"] == "telescopic")


def test_every_warning_of_a_plan_is_said(built: Path) -> None:
    codes = SCHEMA["properties"]["warnings"]["items"]["properties"]["code"]["enum"]
    said = WORDS.get("briefing.warning")
    assert set(codes) - set(said) == {"rope-length-decides"}, "that one stands under the stops"
    assert set(said) <= set(codes)
    for address, plan in plans(built):
        shown = text_of(briefing(built, address))
        assert {code for code in said if said[code] in shown} == {w["code"] for w in plan["warnings"]} & set(said), (
            address
        )


def test_distances_from_power_lines_are_those_of_the_regulation(built: Path) -> None:
    """Outside: 29 CFR 1926.1408, Table A (value: second-hand): minimum clearance in feet by voltage in kV."""
    table_a = {50: 10, 200: 15, 350: 20, 500: 25, 750: 35, 1000: 45}
    shown = text_of(briefing(built, "machines/avocet/100ft/"))
    for kilovolts, feet in table_a.items():
        assert re.search(rf"up to {kilovolts:,} kV [\d.]+ m {feet}\.0 ft", shown), kilovolts
    assert "No power line of unknown voltage within 13.8 m 45.0 ft of R" in shown
    for metric, feet in re.findall(r"up to [\d,]+ kV ([\d.]+) m ([\d.]+) ft", shown):
        assert float(metric) >= float(feet) * 0.3048 - 1e-9, "metres are rounded up"


def test_texts_of_the_briefing_are_all_used() -> None:
    folders = (ROOT / "hooks/templates", ROOT / "hooks/pages")
    used = "\n".join(
        p.read_text(encoding="utf-8") for f in folders for p in f.rglob("*") if p.suffix in (".html", ".py")
    )
    unused = [name for name in WORDS.get("briefing") if not re.search(rf"briefing\.{name}\b", used)]
    assert not unused


# -- the sketch -------------------------------------------------------------------------------------------------


def _numbers(element: ET.Element, *names: str) -> list[float]:
    return [float(element.attrib[name]) for name in names]


def test_sketch_is_to_scale(built: Path) -> None:
    for address, plan in plans(built):
        beside = briefing(built, address).partition('class="fw-brief-area"')[2]
        drawn = re.search(r'<svg class="fig".*?</svg>', beside, re.DOTALL)
        assert drawn, address
        svg = ET.fromstring(drawn[0])
        found = plan_view.area(plan, 45 * 0.3048)
        assert found
        line, circle, axis = svg.findall("circle")
        (x, y, outer), (_, _, inner) = _numbers(line, "cx", "cy", "r"), _numbers(circle, "cx", "cy", "r")
        assert _numbers(axis, "cx", "cy") == [x, y], "the slew axis is the middle of both circles"
        scale = outer / (found.clear + found.line)
        assert inner == pytest.approx(found.clear * scale, abs=0.06)
        loads = [r for r in svg.findall("rect") if "rx" not in r.attrib]
        for rect, radius in zip(loads, (found.start, found.furthest), strict=True):
            left, width, height = _numbers(rect, "x", "width", "height")
            assert left + width / 2 - x == pytest.approx(radius * scale, abs=0.11), address
            assert width == height == pytest.approx(plan["inputs"]["load_size_m"] * scale, abs=0.06)
        way = next(p for p in svg.findall("path") if p.attrib["class"] == "fig-path").attrib["d"]
        begin, end = re.fullmatch(r"M([\d.]+) [\d.]+H([\d.]+)", way).groups()
        assert float(begin) - x == pytest.approx(found.nearest * scale, abs=0.06)
        assert float(end) - x == pytest.approx(found.furthest * scale, abs=0.06)
        sector = next(p for p in svg.findall("path") if p.attrib["class"] == "fig-stop").attrib["d"]
        left, top, out, low = map(float, re.fullmatch(r"M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)H[\d.]+z", sector).groups())
        inputs = plan["inputs"]
        half = math.hypot(inputs["load_size_m"], inputs["load_width_m"]) / 2 + inputs["swing_room_m"]
        assert left == x and out - x == pytest.approx(found.clear * scale, abs=0.06)
        assert [y - top, low - y] == pytest.approx([half * scale] * 2, abs=0.06), "to each side as far as it may swing"
        letters = [t.text or "" for t in svg.findall("text")]
        assert sorted(letters) == sorted("ABCRL" if found.inward else "ABRL")
        key = text_of(briefing(built, address).partition('class="fw-key"')[2].partition("</dl>")[0])
        assert ("Load nearest" in key) == found.inward


def test_the_side_view_of_the_plan_stands_on_its_briefing(built: Path) -> None:
    for address, plan in plans(built):
        drawn = re.search(r'<figure class="fw-brief-view">(<svg.*?</svg>)', briefing(built, address), re.DOTALL)
        assert drawn and f">{plan['falls']['used']} falls<" in drawn[1], address


def test_everything_of_the_load_stays_inside_the_circle(built: Path) -> None:
    for address, plan in plans(built):
        found = plan_view.area(plan, 0.0)
        assert found and found.furthest + plan["inputs"]["load_size_m"] / 2 <= found.clear + 1e-6, address


# -- the QR code ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("address", "found"),
    [
        (None, None),
        ("", None),
        ("https://firmwrap.example/", None),
        ("https://crane.example.org/", None),
        ("https://crane.test/", None),
        ("https://site.invalid/", None),
        ("http://localhost:8000/", None),
        ("http://127.0.0.1:8000/", None),
        ("http://[::1]:8000/", None),
        ("https://example-cranes.org", "https://example-cranes.org/"),
        (PUBLISHED, PUBLISHED),
        (PUBLISHED.rstrip("/"), PUBLISHED),
    ],
)
def test_an_address_that_leads_nowhere_is_none(address: str | None, found: str | None) -> None:
    assert published(address) == found


def test_no_qr_code_without_an_address(built: Path) -> None:
    for address, _ in plans(built):
        page = briefing(built, address)
        assert "fw-qr" not in page and "firmwrap.example" not in page, address


# -- on paper ---------------------------------------------------------------------------------------------------

SHEETS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
# address, units, what it stands for
PRINTED = [
    ("machines/heron/27m/", "metric", "telescopic with two methods, three passes"),
    ("machines/heron/61m/", "us", "telescoping in"),
    ("machines/avocet/80ft/", "us", "US crane, most warnings"),
    ("machines/curlew/99m/full-counterweight/", "metric", "another configuration"),
    ("machines/sandpiper/27m/", "metric", "longest names"),
    ("machines/robin/84m/", "metric", "refused with falls and load known"),
    ("machines/wren/61m/", "us", "refused without a load"),
]


def printed_words(pdf: Path) -> tuple[list[tuple[float, float]], list[tuple[tuple[float, float, float, float], str]]]:
    """Sizes of the pages and every word with its box, in mm; outside: poppler."""
    out = subprocess.run(["pdftotext", "-bbox", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    pages = [
        (float(w) / POINTS_PER_MM, float(h) / POINTS_PER_MM)
        for w, h in re.findall(r'<page width="([\d.]+)" height="([\d.]+)"', out)
    ]
    box = r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>'
    found = []
    for *edges, word in re.findall(box, out):
        left, top, right, bottom = (float(edge) / POINTS_PER_MM for edge in edges)
        found.append(((left, top, right, bottom), html.unescape(word)))
    return pages, found


def _qr_codes(pdf: Path) -> list[str]:
    """What a reader of bar codes reads off the printed page; outside: poppler and ZXing."""
    grey = subprocess.run(["pdftoppm", "-gray", "-r", "150", str(pdf)], capture_output=True, check=True).stdout
    kind, size, _, pixels = grey.split(b"\n", 3)
    assert kind == b"P5"
    width, height = map(int, size.split())
    image = numpy.frombuffer(pixels, dtype=numpy.uint8, count=width * height).reshape(height, width)
    return [code.text for code in zxingcpp.read_barcodes(image)]


@pytest.mark.parametrize(("at", "units"), [case[:2] for case in PRINTED], ids=[case[2] for case in PRINTED])
def test_briefing_is_one_sheet_with_nothing_cut(
    phone: BrowserContext, serve: Any, refused: Path, tmp_path: Path, at: str, units: str
) -> None:
    address = serve(refused)
    page = phone.new_page()
    page.goto(address + at + "briefing/")
    switch_units(page, units)
    plan = dict(plans(refused))[at]
    for sheet, (width, height) in SHEETS.items():
        pdf = tmp_path / f"{sheet}.pdf"
        page.pdf(path=str(pdf), format=sheet)
        pages, found = printed_words(pdf)
        assert pages == [(pytest.approx(width, abs=0.5), pytest.approx(height, abs=0.5))], f"{sheet}: {pages}"
        for (left, top, right, bottom), word in found:
            assert left >= NO_PRINTER_PRINTS and right <= width - NO_PRINTER_PRINTS, word
            assert top >= NO_PRINTER_PRINTS and bottom <= height - NO_PRINTER_PRINTS, word
        printed = " ".join(word for _, word in found)
        _same_words(page, plan, units, printed)
        assert _qr_codes(pdf) == [PUBLISHED + at]
    switch_units(page, "metric")
    page.close()


def _same_words(page: Page, plan: dict[str, Any], units: str, printed: str) -> None:
    """All that the page says in these units is on paper, but for the way back, buttons and captions."""
    said = page.evaluate(
        """() => [...document.querySelectorAll('.fw-brief :is(h1, h2, p, dt, dd, li, th, td)')]
            .filter(e => !e.closest('.fw-hand') && e.id !== 'headline').map(e => e.innerText)"""
    )
    flat, words = re.sub(r"\s+", "", printed), set(printed.split())
    for text in said:
        assert re.sub(r"\s+", "", text) in flat or set(text.split()) <= words, text
    other = {"metric": r"\d (?:ft|lb)\b", "us": r"\d (?:m|t)\b"}[units]
    names = re.sub(r"steel (?:slab|plate) [\d.,]+ t|concrete block[\w -]*? [\d.,]+ t|boom \d+ m", "", printed)
    assert not re.search(other, names), "one unit system at a time"
    for name in ("Operator", "Supervisor", "Rigger", "Date", "Wind, and where read"):
        assert (name in printed) == (plan["refused"] is None)
    assert ("No plan:" in printed) == (plan["refused"] is not None)


def test_every_briefing_of_the_fleet_is_one_sheet_high(phone: BrowserContext, address: str, built: Path) -> None:
    """All briefings laid out as in print, as wide as they are on paper; Letter is the lower sheet."""
    page = phone.new_page()
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 800, "height": 900})
    room = (SHEETS["Letter"][1] - 2 * 8) / 25.4 * 96
    high = {}
    for at, _ in plans(built):
        page.goto(f"{address}{at}briefing/", wait_until="domcontentloaded")
        high[at] = page.evaluate("document.querySelector('.fw-brief').getBoundingClientRect().height")
    page.close()
    assert len(high) > 50
    assert max(high.values()) <= room, sorted(high.items(), key=lambda each: -each[1])[:5]


# -- the plan as one file ---------------------------------------------------------------------------------------


def test_every_plan_as_one_file_stands_by_itself(built: Path, refused: Path) -> None:
    """No script, no request, no link into a site it does not know; everything unfolded, both units in the text."""
    for site in (built, refused):
        for address, plan in plans(site):
            text = (site / address / "plan.html").read_text(encoding="utf-8")
            assert not re.search(r"<(script|link|img|iframe|object|embed|button|form)\b|\son\w+=|\sstyle=", text), (
                address
            )
            assert not re.search(r"url\((?!#)|@import", text), address
            assert "<details>" not in text and "<x-m>" not in text and 'u-metric"' not in text.partition("</style>")[2]
            links = re.findall(r'href="([^"#][^"]*)"', text)
            if site is built:
                assert not links, address
            else:
                assert links and all(link.startswith(PUBLISHED) for link in links), address
            styles = re.search(r"<style>(.*?)</style>", text, re.DOTALL)
            hashed = base64.b64encode(hashlib.sha256(styles[1].encode()).digest()).decode()
            policy = f"default-src 'none'; style-src 'sha256-{hashed}'; base-uri 'none'; form-action 'none'"
            assert f'content="{html.escape(policy, quote=False).replace(chr(39), "&#39;")}"' in text
            shown = text_of(text.partition("</style>")[2])
            if plan["stops"]:
                start = rounding.length(plan["stops"]["start_radius_m"], "up")
                assert f"{start.metric} ({start.us})" in shown
            assert f"as of {plan['day']}" in shown and f"revision {plan['machine_revision']}" in shown
            assert "Qualified people only" in shown and f"{plan['status'].capitalize()} data" in shown
            assert len(text) < 150_000


def test_links_in_the_file_lead_to_pages_of_the_site(refused: Path) -> None:
    for at in ("machines/heron/27m/", "machines/curlew/99m/full-counterweight/"):
        text = (refused / at / "plan.html").read_text(encoding="utf-8")
        for link in re.findall(r'href="([^"#][^"]*)"', text):
            target = refused / link.removeprefix(PUBLISHED)
            assert (target / "index.html").is_file() or target.is_file(), link


@pytest.mark.parametrize("at", ["machines/heron/27m/", "machines/avocet/100ft/"])
def test_file_opens_from_a_folder(phone: BrowserContext, built: Path, at: str) -> None:
    path = built / at / "plan.html"
    page = phone.new_page()
    asked: list[str] = []
    wrong: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: wrong.append(message.text))
    page.goto(path.as_uri())
    assert asked == [path.as_uri()] and not wrong
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert page.evaluate("getComputedStyle(document.querySelector('.fw-order > div')).display") == "grid", "styles hold"
    for folded in page.locator("details > :nth-child(2)").all():
        assert folded.is_visible()
    hidden = page.evaluate(
        """[...document.querySelectorAll('main *')].filter(e => getComputedStyle(e).display === 'none')
            .map(e => e.tagName)"""
    )
    assert set(hidden) <= {"title", "desc", "pattern", "clipPath", "defs"}, "nothing of the plan is hidden"
    page.emulate_media(color_scheme="dark")
    ink, paper = page.evaluate(
        "[getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor]"
    )
    light, dark = (min(map(int, re.findall(r"\d+", colour))) for colour in (ink, paper))
    assert light > 200 and dark < 40, (ink, paper)
    page.close()


def test_briefing_links_its_print_and_the_file(page: Page, address: str) -> None:
    page.goto(address + "machines/heron/27m/")
    page.get_by_role("link", name="Print briefing").click()
    page.evaluate("window.print = () => { window.printed = true; }")
    page.get_by_role("button", name="Print on one page").click()
    assert page.evaluate("window.printed === true")
    with page.expect_download() as saved:
        page.get_by_role("link", name="Save the whole plan as one file").click()
    assert saved.value.suggested_filename == "heron-27m.html"
    assert Path(saved.value.path()).read_text(encoding="utf-8").startswith("<!doctype html>")
