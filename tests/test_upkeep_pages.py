"""The pages about the upkeep of a rope: its log, shortening it, fitting a new one; the log as a table; their figures.

What a page must say is rounded here again from what the command line prints, with arithmetic of its own, to the side
that is the cautious one.
"""

from __future__ import annotations

import csv
import io
import json
import math
import re
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from as_read import part, rows, text
from conftest import DATA, DAY, ROOT, cranes, open_search, switch_units
from data_folder import copy_to, keep_booms
from playwright.sync_api import Page, expect
from test_drum_pages import SITE, down, html_of, up
from test_figures import CSS, SVG, WORDS, boxes, tree

from calc.data import rope_log
from calc.data.entries import Entry, NewRope, PreTensioning, Upkeep, Work
from calc.inspection import fitness, new_rope, shortening
from hooks.computed import marked
from hooks.feed import drum_feed, log_csv
from hooks.figures import WIDTH, upkeep
from hooks.pages.drum import drum_state
from hooks.pages.rope.rope_log import EMPTY_LINES
from hooks.text.words import load

MACHINES = list(DATA.machines)
CUTS = {machine: shortening.shortening(DATA, machine, DAY) for machine in MACHINES}
ORDERS = {machine: new_rope.order(DATA, machine, DAY) for machine in MACHINES}
PAGES = ("log", "shortening", "new-rope")
each_machine = pytest.mark.parametrize("machine", MACHINES)

INCH, FOOT, POUND_FORCE = 0.0254, 0.3048, 0.45359237 * 9.80665


def tenths(value: float) -> str:
    return f"{value:.1f}"


# -- shortening -------------------------------------------------------------------------------------------------------


@each_machine
def test_the_cut_to_make_comes_first(machine: str) -> None:
    html, found = html_of(machine, "shortening"), CUTS[machine]
    head = html.partition("<h2")[0]
    most = found["may_be_cut_m"]
    cut = found["cut"]["length_m"]
    assert f"Cut {cut:.2f} m at the drum end to move the crossovers." in text(head)
    assert f"Cut {round(cut / FOOT * 12 * 2) / 2:.1f} in at the drum end" in text(head, "us")
    assert f"No cut longer than {tenths(down(most, 0.1))} m:" in text(head)
    assert f"No cut longer than {tenths(down(most / FOOT, 0.5))} ft:" in text(head, "us")
    least = min(found["used"], key=lambda used: used["spare_m"])
    assert f"{least['falls']} falls" in text(head.partition("fw-verdict")[2].partition("</div>")[0])
    assert "A competent person decides" in text(head)
    assert f"{found['cut']['length_m']:.2f} m25 % of a wrap of layer {found['middle_layer']}" in text(head)
    lines = rows(part(html, "much"))
    assert len(lines) == len(found["used"])
    for line, used in zip(lines, found["used"], strict=True):
        assert line[1:] == [
            f"{tenths(down(used['spare_m'], 0.1))} m",
            f"{used['hook_height_m']:.1f} m",
            f"{used['radius_m']:.1f} m",
            f"{used['layer']}, {math.floor(used['wrap'])}",
        ]


@each_machine
def test_other_work_by_boom_length(machine: str) -> None:
    html, found = html_of(machine, "shortening"), CUTS[machine]
    lines = rows(html.partition('<h3 id="reach">')[2])
    for line, boom in zip(lines, found["booms"], strict=True):
        assert line[1:] == [str(boom["falls"]), f"{tenths(down(boom['spare_m'], 0.1))} m", boom["block"]]


@each_machine
def test_where_crossovers_come_and_how_high_the_hook_stops(machine: str) -> None:
    html, found = html_of(machine, "shortening"), CUTS[machine]
    crossing = [layer for layer in found["cut"]["layers"] if layer["crosses"]]
    for line, layer in zip(rows(part(html, "crossovers")), crossing, strict=True):
        assert line[0] == str(layer["layer"])
        assert line[2:4] == [f"{down(layer['shift_turns'], 0.01):.2f}", f"{down(layer['off_turns'], 0.01):.2f}"]
    by_cut = rows(html.partition('<h3 id="by-cut">')[2])
    for line, cut in zip(by_cut, found["cuts"], strict=True):
        off = [f"{down(cut['off_turns'][layer['layer'] - 1], 0.01):.2f}" for layer in crossing]
        assert line == [f"{round(cut['length_m'], 2):.2f}", *off, "yes" if cut["enough_left"] else "no"]
    lines, grounded = iter(rows(part(html, "stops"))), 0
    for at, used in enumerate(found["used"]):
        heights = [used["stop_height_m"][0], *(cut["stop_height_m"][at] for cut in found["cuts"])]
        if max(heights) > 0:
            said = ["–" if height <= 0 else f"{tenths(up(height, 0.1))} m" for height in heights]
            assert next(lines)[1:] == said
        else:
            grounded += 1
    assert list(lines) == []
    assert part(html, "stops").count("meets the ground before the stop wraps: no stop height.") == grounded


# -- new rope ---------------------------------------------------------------------------------------------------------


@each_machine
def test_the_order_beside_the_rope_on_the_drum(machine: str) -> None:
    html, found, told = html_of(machine, "new-rope"), ORDERS[machine], DATA.machines[machine]
    lines = {line[0]: line[1:] for line in rows(part(html, "check"))}
    order, now = found["order"], found["on_the_drum"]
    least, most = up(order["least_diameter_m"] * 1000, 0.01), down(order["most_diameter_m"] * 1000, 0.01)
    assert lines["Measured when new"][0] == f"{least:.2f} mm to {most:.2f} mm"
    if now["reference_m"] is None:
        assert lines["Measured when new"][1] == "–"
    else:
        read = float(lines["Measured when new"][1].removesuffix(" mm"))
        assert read == pytest.approx(now["reference_m"] * 1000, abs=0.00501)
    assert lines["Length"] == [f"{order['length_m']:.0f} m", f"{now['length_m']:.0f} m"]
    assert lines["Construction"][0] == told.rope.construction
    assert lines["Grade"][0] == f"{told.rope.grade / 1e6:.0f} N/mm2"
    hand, said = told.drum.hand, text(part(html, "check"))
    if hand:
        other = {"right": "left", "left": "right"}[hand]
        assert f"run like a {hand}-hand screw: order {other}-lay rope" in said
        assert lines["Lay direction"] == [other, told.rope.lay_direction]
    else:
        assert (
            "Wraps run like a right-hand screw: order left-lay rope. Like a left-hand screw: order right-lay rope."
            in said
        )
    assert "Never move the anchor to suit" in said
    # Wound on with 4 kN and with 5 kN, both below 2.5 % of 205 kN.
    assert found["deviations"] == (["back-tension-below"] if machine in ("dunlin", "plover") else [])
    if found["deviations"]:
        assert "less back tension than the rule asks for" in text(html.partition("<h2")[0])


@each_machine
def test_drum_fill_and_back_tension(machine: str) -> None:
    html, found = html_of(machine, "new-rope"), ORDERS[machine]
    drum, tension, force = found["drum"], found["back_tension"], found["order"]["minimum_breaking_force_n"]
    filled = text(part(html, "drum"))
    assert f"Layers {drum['layers']}" in filled
    free, wanted = down(drum["freeboard_m"] * 1000 + 0.005, 0.01), up(drum["freeboard_wanted_m"] * 1000, 0.01)
    assert f"{free:.2f} mm; at least {wanted:.2f} mm" in filled
    assert f"{down(drum['longest_rope_m']):,.0f} m" in filled and f"{down(drum['handbook_m']):,.0f} m" in filled
    lines = {line[0]: line[1:] for line in rows(part(html, "tension"))}
    assert lines["Asked of the reel"] == [
        f"{tenths(up(tension['least_n'] / 1000, 0.1))} kN",
        f"{tenths(down(tension['most_n'] / 1000, 0.1))} kN",
        "2.5 % – 5.0 %",
    ]
    assert lines["Published"][2] == "2.0 % – 5.0 %"
    assert lines["This rope, from the reel"] == [
        f"{tenths(down(tension['used_n'] / 1000, 0.1))} kN",
        f"{tenths(down(tension['used_n'] / force * 100, 0.1))} %",
    ]
    assert ("less than asked" in text(part(html, "tension"))) is (tension["used_n"] < 0.025 * force)
    sources = text(html.partition('<h3 id="sources">')[2].partition("<h2")[0])
    assert "Wire Rope Users Manual" in sources and "second-hand" in sources and "2 to 10 %" in sources


@each_machine
def test_running_in_by_boom_length(machine: str) -> None:
    html, found = html_of(machine, "new-rope"), ORDERS[machine]["run_in"]
    for line, boom in zip(rows(part(html, "run-in")), found["booms"], strict=True):
        assert line[1:5] == [
            str(boom["falls"]),
            f"{down(boom['run_m']):,.0f}",
            f"{up(boom['rope_on_drum_m'][0]):,.0f}",
            f"{up(boom['least_mass_kg'] / 1000, 0.05):.2f}" + ("" if boom["sinks"] else "*"),
        ]
    cycles = DATA.rules["run-in"].at(DAY).values["run_in_cycles"]
    assert f"at least {cycles:g} times" in text(part(html, "run-in"))


@each_machine
def test_brake_on_the_flange_only_and_the_cautions_of_the_rules(machine: str) -> None:
    html = html_of(machine, "new-rope")
    assert "Brake the reel at its flange, and only there." in text(part(html, "reel"))
    cautions = text(part(html, "cautions"))
    for name in ("new-rope", "lay-direction", "reel-to-drum", "back-tension", "rope-brake", "first-layer", "run-in"):
        version = DATA.rules[name].at(DAY)
        assert version and all(caution in cautions for caution in version.cautions), name


@each_machine
def test_the_reel_stands_where_the_angle_is_small_enough(machine: str) -> None:
    """Wire Rope Users Manual: 1 ft of half drum needs 38 ft for 1.5 deg."""
    told = DATA.machines[machine]
    assert told.rope.rotation_resistant
    found = re.search(r"at least ([\d.]+) m from the drum", text(part(html_of(machine, "new-rope"), "reel")))
    assert found and float(found[1]) == pytest.approx(38.19 * told.drum.width / 2, abs=0.11)


# -- log --------------------------------------------------------------------------------------------------------------


@each_machine
def test_every_entry_and_inspection_stands_in_the_log_newest_first(machine: str) -> None:
    html, kept = html_of(machine, "log"), DATA.upkeep[machine]
    entries = part(html, "entries")
    days = re.findall(r'<li id="(entry|reading)-(\d+)"><strong><time>([\d-]+)</time>', entries)
    wanted = {("entry", str(n), one.day) for n, one in enumerate(kept.log)}
    wanted |= {("reading", str(n), one.day) for n, one in enumerate(kept.readings)}
    assert {tuple(found) for found in days} == wanted and len(days) == len(wanted)
    for one in entries.split("<h3")[1:]:
        listed = re.findall(r"<strong><time>([\d-]+)</time>", one)
        assert listed == sorted(listed, reverse=True)
    said = text(entries)
    for note in [one.note for one in kept.log] + [one.note for one in kept.readings]:
        assert not note or f"Note: {note}." in said
    assert all(one.by in said for one in kept.readings)


@each_machine
def test_the_rope_on_the_drum_in_a_few_numbers(machine: str) -> None:
    head, kept = text(part(html_of(machine, "log"), "line")), DATA.upkeep[machine]
    fitted = [entry.day for entry in kept.log if isinstance(entry.done, NewRope)][-1]
    assert f"Fitted {fitted}" in head
    lifts, firm = 0, None
    for entry in kept.log:
        if entry.day >= fitted and type(entry.done).__name__ == "PreTensioning":
            lifts, firm = 0, entry.day
        elif entry.day >= fitted and isinstance(entry.done, Work):
            lifts += entry.done.repeats
    assert f"Last pre-tensioned {firm or 'not since it was fitted'}" in head
    assert f"Lifts since {'pre-tensioned' if firm else 'fitted'} {lifts}" in head


@each_machine
def test_what_is_due_next(machine: str) -> None:
    due, html = fitness.fitness(DATA, machine, DAY)["due"], part(html_of(machine, "log"), "due")
    assert len(due) == 2
    for one in due:
        shown = "data-over" if one["overdue"] else "data-then"
        line = html.partition(f'data-due="{one["next"]}"')[2].partition("</div>")[0]
        assert re.search(rf"<(?:span|strong) {shown}>[^<]*{one['next']}", line), one
    assert f"machines/{machine}/drum/" in html and "R39" in html


def test_a_rope_replaced_keeps_its_log_below_the_one_on_the_drum() -> None:
    titles = re.findall(r'<h3 id="rope-[\d-]+">([^<]+)</h3>', html_of("dunlin", "log"))
    assert titles == ["Rope fitted on 2026-11-23, on the drum now", "Rope fitted on 2026-09-07, off since 2026-11-23"]


def test_how_a_phones_record_comes_in_and_where_files_are() -> None:
    html = html_of("heron", "log")
    add = text(part(html, "add"))
    assert "Export the record and send it to whoever keeps the data." in add and "python -m" not in add
    assert "../../../data/#keeping" in html
    assert "../../../records/" in html and "../../../data/v1/upkeep/heron.csv" in html
    assert html.count("<tr>") >= 1 + EMPTY_LINES, "empty lines to write on, on paper"


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """One crane, which is quicker."""
    return copy_to(tmp_path, ("heron",))


def test_a_crane_without_a_log_has_the_pages_all_the_same(rules: Path) -> None:
    shutil.rmtree(rules / "upkeep", ignore_errors=True)
    keep_booms(rules / "machines/heron.yaml", ("41 m",))
    made = cranes(rules)
    page = {name: made.bodies("heron")[f"machines/heron/{name}/"] for name in PAGES}
    assert "There is no log of this rope." in text(page["log"]) and "upkeep/heron.csv" not in page["log"]
    assert "Whether the rope is long enough for it is not known." in text(page["shortening"])
    assert "No log says with how much tension" in text(page["new-rope"])
    assert "data/v1/upkeep/heron.csv" not in made.files("heron")


def test_a_cut_is_said_with_what_is_left(rules: Path) -> None:
    log = (ROOT / "rules/upkeep/heron.yaml").read_text(encoding="utf-8")
    cut = '  - {day: "2026-11-24", shortening: {length: 0.5 m, end: drum}, note: crossovers moved}\n'
    (rules / "upkeep/heron.yaml").write_text(log.replace("readings:\n", f"{cut}readings:\n"), encoding="utf-8")
    made = cranes(rules).bodies("heron")
    page = {name: made[f"machines/heron/{name}/"] for name in PAGES}
    assert "0.5 m cut off at the drum end. 289 m are left. Note: crossovers moved." in text(page["log"])
    assert "Rope now 289 m" in text(page["shortening"])
    assert "The rope is shorter than the machine's data say." in text(page["new-rope"])


# -- the log as a table -----------------------------------------------------------------------------------------------

A_JUMP: dict[str, Any] = {
    "entry": 0, "day": DAY, "until": None, "kind": "jump", "rope_length_m": 1.5, "jump": {"layer": 2}
}  # fmt: skip


def table_of(content: str) -> list[dict[str, str]]:
    assert content.startswith("\ufeff") and "\r\n" in content
    return list(csv.DictReader(io.StringIO(content.removeprefix("\ufeff"))))


def typed(row: dict[str, str], columns: dict[str, Any]) -> dict[str, Any]:
    """A row as its schema has it: numbers as numbers, empty cells left out."""
    kinds = {"number": float, "integer": int}
    return {name: kinds.get(columns[name].get("type", ""), str)(cell) for name, cell in row.items() if cell}


@each_machine
def test_the_table_holds_the_log_and_matches_its_schema(built: Path, machine: str) -> None:
    base = built / "data/v1"
    schema = json.loads((base / "schema/row.schema.json").read_text(encoding="utf-8"))
    content = (base / f"upkeep/{machine}.csv").read_bytes().decode("utf-8")
    lines = [typed(row, schema["properties"]) for row in table_of(content)]
    for line in lines:
        jsonschema.Draft202012Validator(schema).validate(line)
    log, kept = json.loads((base / f"upkeep/{machine}.json").read_text(encoding="utf-8")), DATA.upkeep[machine]
    assert [line["day"] for line in lines] == sorted(line["day"] for line in lines)
    entries = [line for line in lines if "entry" in line]
    assert [line["entry"] for line in entries] == list(range(len(kept.log)))
    for line, entry in zip(entries, log["log"], strict=True):
        assert (line["kind"], line["day"], line.get("note", "")) == (entry["kind"], entry["day"], entry["note"])
        assert line["rope_length_m"] == entry["rope_length_m"] == rope_log.rope_length(kept.log, entry["day"])
    works = [line for line in entries if line["kind"] == "work"]
    for line, work in zip(works, (e.done for e in kept.log if isinstance(e.done, Work)), strict=True):
        assert line["load_kg"] == pytest.approx(work.load) and line["repeats"] == work.repeats
        assert (line["hook_height_m"], line["hook_height_end_m"]) == pytest.approx(work.hook)
    places = [place for one in kept.readings for place in one.places]
    read = [line for line in lines if "place" in line]
    assert [line["place"] for line in read] == [place.kind for place in places]
    for line, place in zip(read, places, strict=True):
        counts = place.broken_wires or {}
        assert {name: line.get(f"broken_{name}") for name in counts} == counts
        printed = place.diameter and pytest.approx(place.diameter[0], abs=0.5e-6)  # the feed prints to 1e-6
        assert line.get("diameter_m") == printed


@pytest.mark.parametrize(
    "note",
    ["=1+1", "+49 30 1", "-2 wraps", "@home", "|calc", "%PATH", "  =1+1", "\uff1d1+1", '=HYPERLINK("x","y")', "'=1"],
)
def test_no_text_is_computed_by_a_spreadsheet(note: str) -> None:
    """What a spreadsheet may take for a formula (a list kept by a project for the security of web applications, from
    memory: = + - @ and their wide forms) begins with an apostrophe; nothing else is changed."""
    entry = {**A_JUMP, "note": note}
    cell = table_of(log_csv.table({"machine": "=a", "log": [entry], "inspections": []}))[0]
    assert cell["note"] == (note if note.startswith("'") else f"'{note}") and cell["machine"] == "'=a"
    assert not re.match(r"\s*[=+\-@|%\uff1d\uff0b\uff0d\uff20]", cell["note"])


def test_quotes_commas_and_lines_come_back_as_they_were() -> None:
    note = 'pier 4, "east"; 2" gap'
    entry = {**A_JUMP, "note": note}
    lines = table_of(log_csv.table({"machine": "m", "log": [entry], "inspections": []}))
    assert len(lines) == 1 and lines[0]["note"] == note and lines[0]["layer_moved"] == "2"


def test_a_cut_in_the_table() -> None:
    entry = {"entry": 1, "day": DAY, "until": None, "kind": "shortening", "note": "", "rope_length_m": 9.5}
    entry["shortening"] = {"length_m": 0.5, "end": "drum"}
    line = table_of(log_csv.table({"machine": "m", "log": [entry], "inspections": []}))[0]
    assert (line["cut_or_run_off_m"], line["end"], line["rope_length_m"]) == ("0.5", "drum", "9.5")


def worst_case() -> Upkeep:
    """The worst case of a week, and a pass of which the line pull was measured."""
    done = Work(
        54.0,
        20.0,
        6,
        "five-sheave",
        1800.0,
        (3.0, 38.0),
        32,
        26.0,
        configuration="full-counterweight",
        line_pull=8_000.0,
    )
    counted = PreTensioning((54.0, 54.0), 10, "five-sheave", 14_880.0, (9.0, 38.0), (1, 7), (2, 36), line_pull=14_200.0)
    new = Entry("2026-11-02", NewRope(560.0, 15_500.0), "")
    return Upkeep("bittern", (new, Entry("2026-11-03", done, until="2026-11-08"), Entry("2026-11-09", counted, "")))


def test_the_worst_case_of_a_week_in_feed_and_table() -> None:
    found = drum_feed.upkeep(DATA.machines["bittern"], worst_case())
    schema = json.loads((ROOT / "hooks/schema/upkeep.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator({**schema, "required": []}).validate(found)
    columns = json.loads((ROOT / "hooks/schema/row.schema.json").read_text(encoding="utf-8"))["properties"]
    _, work, counted = (typed(row, columns) for row in table_of(log_csv.table(found)))
    assert (work["day"], work["until"], work["configuration"]) == ("2026-11-03", "2026-11-08", "full-counterweight")
    assert (work["radius_m"], work["largest_radius_m"], work["line_pull_n"]) == (20.0, 26.0, 8000.0)
    assert counted["line_pull_n"] == 14_200.0 and not {"until", "configuration", "largest_radius_m"} & set(counted)


def test_the_worst_case_of_a_week_in_words() -> None:
    _, week, counted = worst_case().log
    assert text(str(drum_state.said(week, load()))) == (
        "Worst case of 32 lifts with 1.80 t or more on 6 falls, boom 54 m, radius 20.0 m to 26.0 m, "
        "hook 3.0 m to 38.0 m. Configuration full-counterweight. Line pull measured: 8.0 kN. "
        "Work went on until 2026-11-08."
    )
    assert text(str(drum_state.said(counted, load()))).endswith("Line pull measured: 14.2 kN.")
    assert isinstance(week.done, Work)
    empty = replace(week.done, load=0.0, repeats=1, line_pull=None, configuration=None)
    assert text(str(drum_state.said(empty, load()))) == (
        "Worst case of 1 lift, the empty hook among them, on 6 falls, boom 54 m, radius 20.0 m to 26.0 m, "
        "hook 3.0 m to 38.0 m."
    )


# -- figures ----------------------------------------------------------------------------------------------------------


def drawn(machine: str) -> dict[str, str]:
    return {
        "back-tension": upkeep.back_tension(ORDERS[machine], WORDS),
        "rope-left": upkeep.rope_left(CUTS[machine], WORDS),
        "rope-line": upkeep.rope_line(marked(DATA.upkeep[machine], DAY), WORDS),
        "nothing": upkeep.rope_left({**CUTS[machine], "used": []}, WORDS),
    }


@each_machine
@pytest.mark.parametrize("units", ["metric", "us"])
def test_figures_are_described_styled_and_legible(machine: str, units: str) -> None:
    for name, svg in drawn(machine).items():
        root = tree(svg)
        title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert title is not None and description is not None and title.text and description.text, name
        assert "style=" not in svg and "\n" not in svg
        for names in re.findall(r'class="([^"]+)"', svg):
            assert all(re.search(rf"\.{re.escape(one)}\b", CSS) for one in names.split()), names
        high = float(root.attrib["viewBox"].split()[3])
        placed = boxes(root, units)
        for at, (words, left, top, right, bottom) in enumerate(placed):
            assert left >= 0 and right <= WIDTH and top >= 0 and bottom <= high, f"{name}: {words}"
            for other, left2, top2, right2, bottom2 in placed[at + 1 :]:
                apart = right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top
                assert apart, f"{name}: {words!r} covers {other!r}"


@each_machine
def test_bars_stand_to_scale(machine: str) -> None:
    found = CUTS[machine]
    bars = [e for e in tree(upkeep.rope_left(found, WORDS)).iter(f"{SVG}rect") if e.attrib["height"] == "12"]
    widths = [float(e.attrib["width"]) for e in bars]
    longest = max(used["rope_on_drum_m"] for used in found["used"])
    wanted = [part for used in found["used"] for part in (found["stop_rope_m"], used["spare_m"])]
    assert widths == pytest.approx([one / longest * (WIDTH - 4) for one in wanted], abs=0.06)
    tension, force = ORDERS[machine]["back_tension"], ORDERS[machine]["order"]["minimum_breaking_force_n"]
    root = tree(upkeep.back_tension(ORDERS[machine], WORDS))
    rule = next(e for e in root.iter(f"{SVG}rect") if e.get("class") == "fig-firm")
    assert float(rule.attrib["x"]) == pytest.approx(2 + 2.5 / 6 * (WIDTH - 4), abs=0.06)
    assert float(rule.attrib["width"]) == pytest.approx(2.5 / 6 * (WIDTH - 4), abs=0.06)
    assert tension["most_n"] == pytest.approx(0.05 * force)


# -- the site ---------------------------------------------------------------------------------------------------------


@each_machine
def test_one_tap_from_the_crane_and_back(machine: str) -> None:
    top = SITE.body(f"machines/{machine}/")
    for name in PAGES:
        assert f'href="../../machines/{machine}/{name}/"' in top
        html = html_of(machine, name)
        assert f'href="../../../machines/{machine}/"' in html.partition("<h1")[0]
        assert "manual differ, the manual decides" in text(html)


def test_search_finds_them(page: Page, address: str) -> None:
    page.goto(address)
    open_search(page)
    for query, wanted in (
        ("rope log heron", "machines/heron/log/"),
        ("shortening rope bittern", "machines/bittern/shortening/"),
        ("new rope curlew", "machines/curlew/new-rope/"),
    ):
        page.locator("input.md-search__input").fill(query)
        page.keyboard.press("End")
        first = page.locator(".md-search-result__link").first
        expect(first).to_have_attribute("href", re.compile(wanted), timeout=15_000)


def test_nothing_runs_over_on_a_phone(page: Page, address: str) -> None:
    for machine, name in (("curlew", "log"), ("heron", "shortening"), ("avocet", "new-rope")):
        page.goto(f"{address}machines/{machine}/{name}/")
        switch_units(page, "us" if machine == "avocet" else "metric")
        for width in (320, 360):
            page.set_viewport_size({"width": width, "height": 740})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (machine, name, width)
    switch_units(page, "metric")
    page.set_viewport_size({"width": 360, "height": 740})


def test_the_log_on_paper(page: Page, address: str) -> None:
    """Empty lines to write on; nothing about files and commands."""
    page.goto(f"{address}machines/heron/log/")
    hand, add = page.get_by_role("region", name="Written by hand"), page.locator("#add")
    expect(hand).to_be_hidden()
    page.emulate_media(media="print")
    expect(page.locator(".fw-print table")).to_be_visible()
    expect(add).to_be_hidden()
    page.emulate_media(media="screen")
