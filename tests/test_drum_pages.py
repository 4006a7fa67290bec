"""The pages about the drum of a crane: its state by the log, everyday work, heavy lifts; the figure of a state.

What a page must say is rounded here again from the files of the feed, with arithmetic of its own, to the side that is
the cautious one; the geometry of the figure comes from the data of the crane.
"""

from __future__ import annotations

import copy
import json
import math
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal

import pytest
from as_read import part, rows, text
from conftest import DATA, DAY, ROOT, cranes, fleet_site, open_search, switch_units
from data_folder import copy_to, edit, keep_booms
from playwright.sync_api import Page, expect
from test_figures import CSS, SVG, WORDS, areas, boxes, key, shown, tree

from calc.drum_log.drum_fields import DrumState
from hooks.building import generated
from hooks.figures import WIDTH, bars, drum, prefix
from hooks.figures import state as figures
from hooks.pages.drum import drum_state
from hooks.text import words

MACHINES = list(DATA.machines)
SITE = fleet_site()
TOLD = {name: SITE.guide.told[name] for name in MACHINES}
STATES = {name: told.state for name, told in TOLD.items() if told.state}
each_machine = pytest.mark.parametrize("machine", MACHINES)

POUND, FOOT = 0.45359237, 0.3048  # the agreement of 1959
NEAR = 1e-6  # the feed prints six decimals


def html_of(machine: str, page: str) -> str:
    return SITE.body(f"machines/{machine}/{page}/")


def up(value: float, step: float = 1.0) -> float:
    return math.ceil(value / step - NEAR) * step


def down(value: float, step: float = 1.0) -> float:
    return math.floor(value / step + NEAR) * step


def percent(value: float) -> str:
    """A share to a tenth of a per cent, down."""
    return f"{down(value * 100, 0.1):.1f} %"


# -- state of the drum ------------------------------------------------------------------------------------------------


@each_machine
def test_the_verdict_comes_first(machine: str) -> None:
    state, html = STATES[machine], html_of(machine, "drum")
    said = text(html.partition('<div class="fw-refused fw-verdict"')[2].partition("</div>")[0])
    assert html.index("fw-verdict") < html.index("<h2")
    rigged, firm = state["as_rigged"], state["firm"]
    as_it_is = rf"eady as rigged \(\S+ m, {rigged['falls']} falls\)"
    if rigged["ready"]:
        assert re.match(rf"[^N]*R{as_it_is}, by the log", said)
        radius, hook = (f"{down(rigged[name], 0.1):.1f} m" for name in ("radius_m", "hook_height_m"))
        assert f"out to radius {radius}, hook no higher than {hook} at the pick" in said
        fewest = f"On fewer than {state['firm_from_falls']} fall"
        assert (fewest in said) == bool(state["reasons"])
    elif any(reason["stretch"] is None for reason in state["reasons"]):
        assert re.search(f"Not r{as_it_is}: all of the rope is due", said)
    else:
        assert re.search(f"Not r{as_it_is}: {up(rigged['loose_m']):.0f} m loose under the lift", said)
    if firm is None:
        assert "No rope above the dead wraps is firm." in said
    else:
        place = f"layer {firm['layer'][1]}, wrap {firm['wrap'][1]:.0f}"
        assert f"Firm up to {place} ({down(firm['rope_m'][1]):.0f} m)." in said
    assert state["day"] in text(html.partition("fw-verdict")[0])


def test_every_verdict_is_there_to_be_seen() -> None:
    """The demonstration logs end in each of the four."""
    assert {drum_state.verdict(told) for told in TOLD.values()} == {"firm", "other", "due", "all"}


@each_machine
def test_depth_rule_and_cause(machine: str) -> None:
    state, html = STATES[machine], html_of(machine, "drum")
    numbers = text(html.partition('<dl class="fw-ruled')[2].partition("</dl>")[0])
    us = text(html.partition('<dl class="fw-ruled')[2].partition("</dl>")[0], "us")
    on_drum = state["rope_on_drum_m"]
    loose = sum(max(0.0, min(one["rope_m"][1], on_drum) - one["rope_m"][0]) for one in state["loose"])
    assert f"Loose on the drum {up(loose):.0f} m" in numbers and f"Loose on the drum {up(loose / FOOT):,.0f} ft" in us
    whole = any(reason["stretch"] is None for reason in state["reasons"])
    if state["depth"] and not whole:
        depth = state["depth"]
        assert f"Loose from Layer {depth['layer']}, wrap {down(depth['wrap']):.0f}" in numbers
        assert f"with {down(depth['rope_m']):.0f} m on the drum" in numbers
    else:
        assert f"Loose from {'all of the rope' if whole else 'nothing due'}" in numbers
    why = part(html, "why")
    for reason in state["reasons"]:
        assert f'href="../../../rules/{reason["rule"]}/">{reason["code"]} ' in why
        assert f'href="../../../machines/{machine}/log/#entry-{reason["entry"]}"' in why
        assert f'id="entry-{reason["entry"]}"' in html_of(machine, "log")
        if stretch := reason["stretch"]:
            places = [
                f"layer {stretch['layer'][end]}, wrap {side(stretch['wrap'][end]):.0f}"
                for end, side in ((0, down), (1, up))
            ]
            metres = up(stretch["rope_m"][1] - stretch["rope_m"][0])
            assert f"{metres:.0f} m from {places[0]} to {places[1]}" in text(why)
    if not state["reasons"]:
        assert "The rope a lift bears on has no loose wrap." in text(why)


@each_machine
def test_beds_by_falls(machine: str) -> None:
    state, html = STATES[machine], part(html_of(machine, "drum"), "falls")
    rated = state["rated_line_pull_n"]
    for units, unit, name, step in (("metric", 1.0, "m", 0.1), ("us", FOOT, "ft", 0.5)):
        wanted = [
            [
                str(bed["falls"]),
                f"{down(bed['radius_m'] / unit, step):.1f}",
                f"{up(bed['bed_m'] / unit):,.0f}",
                f"{up(bed['loose_m'] / unit):,.0f}" if bed["loose_m"] else "none",
                "–" if bed["least_tension_n"] is None else percent(bed["least_tension_n"] / rated),
                "firm" if bed["firm"] else "loose",
            ]
            for bed in state["beds"]
        ]
        assert rows(html, units) == wanted
        head = text(html.partition("<thead>")[2].partition("<tbody>")[0], units)
        assert head == f"Falls Out to, {name} Bed, {name} Loose, {name} Weakest Firm?"
    # a pattern beside the word, on loose beds only
    assert html.count('class="fw-loose"') == sum(not bed["firm"] for bed in state["beds"])


@each_machine
def test_loose_stretches_and_layers(machine: str) -> None:
    state, html = STATES[machine], html_of(machine, "drum")
    rated = state["rated_line_pull_n"]

    def spread(tension: list[float]) -> str:
        low, high = (percent(one / rated) for one in tension)
        return low if low == high else f"{low.removesuffix(' %')}–{high}"

    found = rows(part(html, "stretches"))
    wanted = [
        [
            f"{one['layer'][0]}, {down(one['wrap'][0]):.0f}",
            f"{one['layer'][1]}, {up(one['wrap'][1]):.0f}",
            f"{up(one['rope_m'][1] - one['rope_m'][0]):.0f} m",
            spread(one["tension_n"]),
        ]
        for one in state["loose"]
    ]
    assert [row[:4] for row in found] == wanted
    days = {entry["entry"]: entry["day"] for entry in state["log"]}
    assert [row[4].partition(",")[0] for row in found] == [days[one["entry"]] for one in state["loose"]]
    # layer by layer every wrap on the drum is there once, in order
    covered: dict[str, int] = {}
    for layer, wraps, _, name, day in rows(part(html, "layers")):
        first, last = map(int, wraps.split("–"))
        assert first == covered.get(layer, 0) and last > first, (layer, wraps)
        covered[layer] = last
        assert name in ("dead", "firm", "loose", "slack", "loose, may stay") and day in days.values()
    held = sum(run["wraps"][1] - run["wraps"][0] for layer in state["layers"] for run in layer["runs"])
    assert held - 1 <= sum(covered.values()) <= held + 1


def test_entries_are_said_as_they_were_written() -> None:
    """Bittern's file: 15.88 t on 10 falls from layer 1 wrap 7; avocet's: 14380 lb, boom 140 ft, 66 lifts of 1200 lb."""
    metric, us = text(html_of("bittern", "log")), text(html_of("avocet", "log"), "us")
    assert (
        "Pre-tensioned: 15.88 t on 10 falls, boom 54 m, radius 9.0 m to 38.0 m. Drum before: layer 1, wrap 7" in metric
    )
    assert "1 lift with 62.00 t on 8 falls" in metric and "25 times the empty hook on 8 falls" in metric
    assert "14,380 lb on 8 falls, boom 140 ft" in us and "66 lifts with 1,200 lb on 4 falls" in us
    assert "New rope, 1,150 ft, wound on with" in us
    assert "260 m paid out without a load and wound back." in text(html_of("curlew", "log"))
    assert "Rope fell slack or a wrap moved in layer 4." in text(html_of("heron", "log"))
    assert "boom 61 m, telescoped in to 13 m" in text(html_of("heron", "log"))


@each_machine
def test_what_to_do_names_the_plan(machine: str) -> None:
    state, told, html = STATES[machine], TOLD[machine], html_of(machine, "drum")
    todo, plan = part(html, "todo"), state["plan"]
    if plan is None:
        assert "Nothing is due by the log." in text(todo) or "No plan with this boom length" in text(todo)
        assert "/plan/" not in todo
        return
    assert told.plan
    tonnes = up(plan["load_kg"], 50) / 1000
    assert f"{plan['falls']} falls, {tonnes:.2f} t at the hook" in text(todo)
    assert f"{up(plan['minutes'], 5):.0f} min" in text(todo)
    if falls := plan["ready_for_falls"]:
        assert f"you may lift at full line pull on {falls} fall{'s' if falls > 1 else ''} or more" in text(todo)
    else:
        assert "Even then too little rope is firm for a heavy lift." in text(todo)
    wanted = "drum/plan/" if not told.plan.standing else f"{plan['boom']}/"
    assert f'fw-next" href="../../../machines/{machine}/{wanted}' in todo


def test_a_partial_plan_is_a_plan_page_of_its_own() -> None:
    """Bittern's plan stops at the loose wraps; the same code renders it, with the same checks and cautions."""
    html, told = html_of("bittern", "drum/plan"), TOLD["bittern"]
    state = STATES["bittern"]
    assert told.plan and not told.plan.standing and told.plan.case.firm_below == state["plan"]["firm_below_m"]
    said = text(html)
    depth = state["depth"]
    place = f"layer {depth['layer']}, wrap {down(depth['wrap']):.0f}"
    assert f"Only down to {place}, by the log of {DAY}." in said
    assert "What lies beneath was laid firm on 2026-10-26." in said and "Count the drum first." in said
    assert "../../../../machines/bittern/54m/" in html
    assert "../../../../../data/v1/state/bittern/plan.json" in html_of("bittern", "drum/plan/working")
    whole = next(page for page in SITE.pages if page.address == "machines/bittern/54m/")
    for id in ("warnings", "before", "cautions", "break"):
        assert part(html, id) and part(whole.html, id), id
    listed = json.loads(SITE.fleet.files("bittern")["data/v1/plans/bittern/54m.json"])
    assert part(html, "cautions") == part(whole.html, "cautions")
    for counted, drawn in ((told.plan.plan, html), (listed, whole.html)):
        assert f"{counted['falls']['used']} falls" in text(part(drawn, "before").partition("<h2")[0])
    # the hook is on the ground before the stop wraps are reached: the stop height is no height below the ground
    assert told.plan.plan["stops"]["hook_height_m"] < 0
    assert "ground" in rows(part(html, "shorter-rope"))[0][-1]
    assert not re.search(r"[-−]\d+\.\d m", text(part(html, "shorter-rope").partition("<h3")[0]))
    page = next(page for page in SITE.pages if page.address == "machines/bittern/drum/plan/")
    assert not page.indexed, "it holds for one day"


def test_the_exact_falls_of_a_partial_plan_agree_with_their_working() -> None:
    html, told = html_of("bittern", "drum/plan"), TOLD["bittern"]
    assert told.plan
    exact = told.plan.plan["falls"]["exact"]
    assert f"Exact, to reach the deepest loose wrap: {exact:.2f}." in text(html)
    html = html_of("bittern", "drum/plan/working")
    line = next(one for one in re.findall(r"<code>([^<]*)</code>", html) if one.endswith(f" = {exact:.2f}"))
    sum_, by = line.rpartition(" = ")[0].split(")/(")
    numbers = [
        math.pi * float(n[3:]) if n.startswith("pi*") else float(n) for n in re.findall(r"pi\*[\d.]+|[\d.]+", sum_)
    ]
    below = [math.pi * float(n[3:]) if n.startswith("pi*") else float(n) for n in re.findall(r"pi\*[\d.]+|[\d.]+", by)]
    top = numbers[0] - numbers[1] + numbers[2]
    assert top / (below[0] - below[1] - below[2] + below[3]) == pytest.approx(exact, abs=0.01)


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """One crane with three boom lengths, which is quicker, and no log."""
    folder = copy_to(tmp_path, ("heron",))
    keep_booms(folder / "machines/heron.yaml", ("13 m", "41 m", "61 m"))
    shutil.rmtree(folder / "upkeep")
    return folder


def pages_of(rules: Path, day: str = DAY) -> dict[str, str]:
    return dict(cranes(rules, day).bodies("heron"))


def test_a_crane_without_a_log_says_so_and_how_to_write_one(rules: Path) -> None:
    pages = pages_of(rules)
    said = text(pages["machines/heron/drum/"])
    assert "The state of this drum is not known." in said and "Take the rope as loose all the way down" in said
    assert "python -m calc" not in said, "commands are for whoever keeps the data"
    assert "machines/heron/drum/plan/" not in pages
    assert "no log of the rope" in text(pages["machines/heron/"])
    lifts = pages["machines/heron/lifts/"]
    assert "There is no log of the rope" in text(lifts) and "take all of it as loose" in text(lifts)
    card = text(part(pages["machines/heron/lifts/41m/"], "full-outriggers"))
    assert "What is reeved now is not known." in card and "no higher than" not in card
    assert rows(part(pages["machines/heron/work/"], "booms")), "everyday work needs no log"


def test_a_log_that_begins_later_is_no_log_yet(rules: Path) -> None:
    (rules / "upkeep").mkdir()
    entry = "{day: '2026-12-02', new_rope: {length: 290 m, tension: 10 kN}}"
    (rules / "upkeep/heron.yaml").write_text(f"id: heron\nformat: 1\nlog: [{entry}]\n", encoding="utf-8")
    assert "The log begins on 2026-12-02." in text(pages_of(rules)["machines/heron/drum/"])
    later = text(pages_of(rules, "2026-12-02")["machines/heron/drum/"])
    assert "The rope is new and has not been pre-tensioned yet." in later and "R35" in later


def test_a_wrap_that_moved_makes_all_of_the_rope_due(rules: Path) -> None:
    """Wound firm since the rope was new, then a wrap moved: said in words, with its rule."""
    (rules / "upkeep").mkdir()
    log = """id: heron
format: 1
log:
  - {day: '2026-11-03', new_rope: {length: 290 m, tension: 10 kN}}
  - day: '2026-11-04'
    pre_tensioning: {boom_length: 61 m, telescoped_to: 13 m, falls: 4, block: three-sheave, load: 3.98 t,
      radius: [19.1 m, 8 m], drum_before: [1, 6], drum_after: [6, 22]}
  - {day: '2026-11-05', jump: {layer: 3}, note: gap in layer 3}
"""
    (rules / "upkeep/heron.yaml").write_text(log, encoding="utf-8")
    said = text(pages_of(rules)["machines/heron/drum/"])
    assert "Not ready as rigged" in said and "all of the rope is due." in said
    assert "a wrap moved, and no pre-tensioning since reaches beneath it" in said
    assert "R38 Due: slack rope or a wrap that moved" in said and "(gap in layer 3)" in said and "R35" not in said


def test_a_shortened_rope_shortens_its_plan(rules: Path) -> None:
    """Cut at the hook: the plan that the drum asks for counts with the rope there is, and says so."""
    (rules / "upkeep").mkdir()
    log = """id: heron
format: 1
log:
  - day: '2026-11-03'
    new_rope: {length: 290 m, tension: 10 kN}
  - day: '2026-11-04'
    shortening: {length: 10 m, end: hook}
    note: cut <b>10 m</b> & served
"""
    (rules / "upkeep/heron.yaml").write_text(log, encoding="utf-8")
    pages = pages_of(rules)
    asked = re.search(r'fw-next" href="[./]*(machines/heron/\w+/)"', pages["machines/heron/drum/"])
    assert asked, "a standing plan, for all of the rope is due"
    html = pages[asked[1]]
    assert "This plan counts the length of the log." in text(html)
    assert "10.0 m cut off at the hook end." in text(pages["machines/heron/log/"])
    assert "cut &lt;b&gt;10 m&lt;/b&gt; &amp; served" in pages["machines/heron/log/"], "a note stays text"
    assert "Only down to" not in text(html)


# -- the figure -------------------------------------------------------------------------------------------------------


def drawn(machine: str, state: DrumState | None = None) -> str:
    told = TOLD[machine]
    return figures.svg(state or STATES[machine], told.inputs, told.may_stay, WORDS)


def with_slack() -> DrumState:
    """Bittern's drum with its outermost layer run on slack."""
    state = copy.deepcopy(STATES["bittern"])
    layer = next(layer for layer in reversed(state["layers"]) if layer["runs"])
    for run in layer["runs"]:
        run["tension_n"] = [0.0, 0.0]
    return state


def all_figures() -> Iterator[tuple[str, str]]:
    for machine in MACHINES:
        yield machine, drawn(machine)
    yield "slack", drawn("bittern", with_slack())
    days = [SITE.guide.states[f"heron/{day}"] for day in ("2026-10-13", "2026-10-19")]
    yield "days", figures.before_and_after(days, TOLD["heron"].inputs, TOLD["heron"].may_stay, WORDS)
    for name in ("bittern/54m/70t", "avocet/140ft/40000lb", "curlew/42m/280t"):
        yield name, bars.line_pull(SITE.guide.lifts[name].of, WORDS)


FIGURES = dict(all_figures())
each_figure = pytest.mark.parametrize("name", FIGURES)


@each_figure
def test_figures_are_well_formed_described_and_styled(name: str) -> None:
    svg = FIGURES[name]
    root = tree(svg)
    assert len(svg.encode()) < 9000 and root.get("role") == "img" and "style=" not in svg
    ids = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(ids)
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None and description is not None and title.text and description.text
    module = (ROOT / "hooks/figures/__init__.py").read_text(encoding="utf-8").split('"""')[1]
    for names in re.findall(r'class="([^"]+)"', svg):
        assert all(one in module and re.search(rf"\.{re.escape(one)}\b", CSS) for one in names.split()), names
    assert not re.search(r"#[0-9a-f]{3,6}\b|rgb|\b(red|green|amber|orange|yellow)\b", svg)


@each_figure
@pytest.mark.parametrize("units", ["metric", "us"])
def test_figures_are_legible(name: str, units: str) -> None:
    root = tree(FIGURES[name])
    assert float(root.attrib["font-size"]) * 328 / WIDTH >= 14
    high = float(root.attrib["viewBox"].split()[3])
    placed = boxes(root, units)
    for at, (said, left, top, right, bottom) in enumerate(placed):
        assert left >= 0 and right <= WIDTH and top >= 0 and bottom <= high, said
        for other, left2, top2, right2, bottom2 in placed[at + 1 :]:
            apart = right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top
            assert apart, f"{said!r} covers {other!r}"


def scale_of(machine: str) -> tuple[float, float]:
    """Units of the drawing for one pitch and for the rise of a layer, from the data of the crane alone."""
    at, inputs = DATA.machines[machine].drum, TOLD[machine].inputs
    inner = max(at.wraps_odd_layers, at.wraps_even_layers + 0.5) * at.groove_pitch
    scale = (WIDTH - 2 * (drum.COLUMN + drum.FLANGE)) / inner
    return at.groove_pitch * scale, inputs["rise_ratio"] * DATA.machines[machine].rope.diameter * scale


@each_machine
def test_wraps_are_drawn_in_number_and_to_the_cautious_side(machine: str) -> None:
    state, svg = STATES[machine], drawn(machine)
    pitch, rise = scale_of(machine)
    area = {
        name: sum(map(areas, re.findall(rf'<path fill="url\(#[^)]+-{name}\)" d="([^"]+)"', svg))) / (pitch * rise)
        for name in ("dead", "unreached", "firm", "loose", "slack")
    }
    held = sum(run["wraps"][1] - run["wraps"][0] for layer in state["layers"] for run in layer["runs"])
    # coordinates are printed to a tenth, which costs up to 0.3 % of an area; the last wrap begun counts as one
    assert held * 0.995 - 0.1 <= sum(area.values()) <= held * 1.005 + 1.1
    wraps = {layer["layer"]: (layer["rope_m"][1] - layer["rope_m"][0]) / layer["wraps"] for layer in state["layers"]}
    loose = 0.0
    for layer in state["layers"]:
        low, high = layer["rope_m"]
        for one in state["loose"]:
            inside = min(high, one["rope_m"][1], state["rope_on_drum_m"]) - max(low, one["rope_m"][0])
            loose += max(0.0, inside) / wraps[layer["layer"]]
    assert area["loose"] + area["slack"] >= loose * 0.995 - 0.1, "loose rope is never drawn short"
    borders = 2 * len(state["loose"]) + 2
    assert area["loose"] + area["slack"] <= loose * 1.005 + borders
    assert area["dead"] == pytest.approx(TOLD[machine].inputs["dead_wraps"], abs=0.05)


@each_machine
def test_tensions_stand_to_one_scale(machine: str) -> None:
    state = STATES[machine]
    root = tree(drawn(machine))
    boxes_ = [e for e in root.iter(f"{SVG}rect") if e.get("class") in ("fig-dead", "fig-firm", "fig-loose")]
    level = [e.attrib["d"] for e in root.iter(f"{SVG}path") if e.get("class") == "fig-stop"]
    base = [e.attrib["d"] for e in root.iter(f"{SVG}path") if e.get("class") == "fig-dim"]
    firm = float(base[0].split()[1].split("H")[0]) - float(level[0].split()[1].split("H")[0])
    pieces = figures.pieces(state, TOLD[machine].may_stay)
    drawn_pieces = [
        one for number in sorted({p.layer for p in pieces}, reverse=True) for one in pieces if one.layer == number
    ]
    pitch, _ = scale_of(machine)
    assert len(boxes_) == len(drawn_pieces)
    for box, piece in zip(boxes_, drawn_pieces, strict=True):
        share = piece.tension[0] / state["firm_tension_n"]
        assert float(box.attrib["height"]) == pytest.approx(share * firm, abs=0.2)
        assert float(box.attrib["width"]) == pytest.approx((piece.wraps[1] - piece.wraps[0]) * pitch, abs=0.11)
        if piece.state == "firm":
            assert piece.tension[0] >= state["firm_tension_n"] * (1 - 1e-6)
        elif piece.state != "dead":
            assert piece.tension[0] < state["firm_tension_n"]


def test_slack_rope_has_a_pattern_and_a_word_of_its_own() -> None:
    svg = FIGURES["slack"]
    said = [shown(e, "metric") for e in tree(svg).iter(f"{SVG}text")]
    assert "Slack: laid with no tension" in key(svg) and re.search(r'fill="url\(#[^)]+-slack\)"', svg)
    assert "0.0 %" in said and any(re.fullmatch(r"Layer \d: slack", line) for line in said)


def test_the_figure_in_words_names_every_layer() -> None:
    for machine, state in STATES.items():
        description = tree(FIGURES[machine]).find(f"{SVG}desc")
        assert description is not None
        for layer in state["layers"]:
            assert (f"Layer {layer['layer']}:" in (description.text or "")) == bool(layer["runs"])


def test_hostile_names_stay_text() -> None:
    hostile = copy.deepcopy(STATES["bittern"])
    hostile |= {"machine": "</title><script>alert(1)</script>{firm}", "day": '"><b>'}
    root = tree(drawn("bittern", hostile))
    assert not any(e.tag in (f"{SVG}script", f"{SVG}b") for e in root.iter())
    assert re.fullmatch(r"[a-z0-9-]+", prefix("state", hostile["machine"], hostile["day"]))


def test_bars_of_a_lift_are_to_scale() -> None:
    for name in ("bittern/54m/70t", "bittern/54m/40t", "curlew/42m/280t"):
        lift = SITE.guide.lifts[name].of
        root = tree(bars.line_pull(lift, WORDS))
        found = [e for e in root.iter(f"{SVG}rect") if e.attrib["height"] == str(bars.BAR)]
        pulls = [e for e in found if e.get("class") != "fig-off"]
        options = [option["lift"] for option in lift["options"] if option["lift"]]
        for box, one in zip(pulls, options, strict=True):
            assert float(box.attrib["width"]) == pytest.approx(bars.FULL * one["line_pull_share"], abs=0.06)
            assert box.get("class") == ("fig-firm" if one["speed_limit"] == "power" else "fig-barrel")
        said = key(bars.line_pull(lift, WORDS))
        assert ("Power limits the hook speed" in said) == any(one["speed_limit"] == "power" for one in options)
    nothing = {**lift, "options": [option | {"lift": None} for option in lift["options"]]}
    assert "No number of falls lifts this load" in bars.line_pull(nothing, WORDS)


# -- everyday work ----------------------------------------------------------------------------------------------------


def booms(html: str, marks: str) -> list[str]:
    """The outer <details> of a page, one for each boom length."""
    return re.split(rf"(?=<details id=\"boom-{marks})", html)[1:]


@each_machine
def test_everyday_work_by_falls(machine: str) -> None:
    work, html = TOLD[machine].work, html_of(machine, "work")
    found = booms(html, r"[^\"]+\"")
    assert len(found) == len(work["booms"]) and html.count(" open>") == 1 and found[0].startswith("<details id")
    assert re.match(r"<details id=\"[^\"]+\" open>", found[0])
    rated, firm = work["rated_line_pull_n"], work["firm_tension_n"]
    for html_, boom in zip(found, work["booms"], strict=True):
        wanted = []
        for row in boom["falls"]:
            line = [str(row["falls"])]
            for tension in (*row["empty"]["hauling_n"], *row["light"]["hauling_n"]):
                share = f"{down(tension / rated * 100):.0f} %"
                line.append(
                    "slack" if tension <= 0 else f"{share} {'firm' if tension >= firm * (1 - NEAR) else 'loose'}"
                )
            wanted.append(line)
        if wanted:
            assert rows(html_) == wanted, boom["boom"]
            loose = sum(cell.endswith("loose") for row in wanted for cell in row)
            assert html_.count('class="fw-loose"') == loose


@each_machine
def test_all_values_of_everyday_work(machine: str) -> None:
    work, html = TOLD[machine].work, html_of(machine, "work")
    rated, breaking = work["rated_line_pull_n"], work["minimum_breaking_force_n"]

    def said(tension: float) -> str:
        if tension <= 0:
            return "–"
        return f"{down(tension / rated * 100):.0f} % ({down(tension / breaking * 100, 0.1):.1f} %)"

    for html_, boom in zip(booms(html, r"[^\"]+\""), work["booms"], strict=True):
        if not boom["falls"]:
            continue
        inner = html_.partition("<details><summary>")[2]
        for cells, row in zip(rows(inner, "us"), boom["falls"], strict=True):
            pounds = up(row["block_to_overhaul_kg"] / POUND, 100)
            assert cells[0] == str(row["falls"]) and cells[2] == f"{pounds:,.0f} lb"
            assert cells[3] == f"{row['layers'][0]}–{row['layers'][1]}"
            forces = [row[load][way] for load in ("empty", "light") for way in ("hauling_n", "paying_out_n")]
            assert cells[6:] == [said(tension) for pair in forces for tension in pair]


def test_what_everyday_work_does_in_words() -> None:
    """Every sentence counted again from the tensions; each kind of it stands somewhere."""
    names: dict[Literal["empty", "light"], str] = {"empty": "Empty hook", "light": "Light load"}
    kinds = set()
    for machine in MACHINES:
        work, html = TOLD[machine].work, html_of(machine, "work")
        for html_, boom in zip(booms(html, r"[^\"]+\""), work["booms"], strict=True):
            said = text(html_)
            for load, name in names.items():
                firm = [r["falls"] for r in boom["falls"]
                        if min(r[load]["hauling_n"]) >= work["firm_tension_n"] * (1 - NEAR)]  # fmt: skip
                slack = [r["falls"] for r in boom["falls"] if r[load]["hauling_n"][1] <= 0]
                line = said.partition(f"{name} : ")[2] or said.partition(f"{name}: ")[2]
                line = line.partition("Light load")[0].partition("Boom")[0]
                if not firm:
                    kinds.add("loose")
                    assert line.startswith("lays loose on every number of falls."), (machine, boom["boom"])
                elif len(firm) == len(boom["falls"]):
                    assert line.startswith("lays firm on every number of falls.")
                else:
                    kinds.add("some")
                    assert re.search(rf"lays firm on .*\b{firm[-1]} falls? only\.", line)
                assert ("Slack with the hook high" in line) == bool(slack)
            heavy = [r["falls"] for r in boom["falls"] if r["block_kg"] < r["block_to_overhaul_kg"]]
            assert ("does not sink by itself" in said) == bool(heavy)
    assert kinds == {"loose", "some"}


# -- heavy lifts ------------------------------------------------------------------------------------------------------


def cards(html: str) -> dict[str, str]:
    """The cards of a page of heavy lifts by their anchors."""
    found = re.split(r'<section class="fw-lift" id="([^"]+)">', html.partition('<h2 id="tables">')[0])
    return dict(zip(found[1::2], found[2::2], strict=True))


def lift_pages(machine: str) -> Iterator[tuple[str, list[Any]]]:
    """Each page of heavy lifts of a crane, with the lifts of its boom, a configuration after the other."""
    by_boom: dict[str, list[Any]] = {}
    for case, _, made in TOLD[machine].lifts:
        by_boom.setdefault(case.chart.slug, []).extend(made["lifts"])
    for boom, lifts in by_boom.items():
        yield html_of(machine, f"lifts/{boom}"), lifts


@each_machine
def test_the_boom_is_asked_first(machine: str) -> None:
    html = html_of(machine, "lifts")
    tile = r'<a class="fw-tile fw-tile--boom" href="([^"]+)/"><strong>(.*?)</strong><span>(.*?)</span>'
    tiles = re.findall(tile, html)
    assert [boom for boom, *_ in tiles] == list(dict.fromkeys(
        case.chart.slug for case, *_ in sorted(TOLD[machine].lifts, key=lambda each: each[0].chart.boom_length)
    ))  # fmt: skip
    assert [boom for boom, _, said in tiles if "as rigged" in said] == [STATES[machine]["boom"]]
    for case, *_ in TOLD[machine].lifts:  # where the tables of a boom stood once
        assert f'id="boom-{case.chart.slug}-{case.configuration.id}"' in html
    assert "No limit is published for the ratio of line pull" in text(html)
    assert "set-down place, cribbing or a second hoist" in text(html)


@each_machine
def test_a_card_for_each_load(machine: str) -> None:
    """Every number of a card is the one of the data, rounded to its side; every tile leads to a card."""
    names = words.load().get("ready.rows")
    for html, lifts in lift_pages(machine):
        found = cards(html)
        assert len(found) == len(lifts)
        assert re.findall(r'<a class="fw-tile fw-tile--boom" href="#([^"]+)"', html) == list(found)
        for card, lift in zip(found.values(), lifts, strict=True):
            best = lift["rows"][lift["advised"]]
            one, bed, code = best["lift"], best["lift"]["bed"], lift["verdict"]["code"]
            said = text(re.sub(r"<x-u>.*?</x-u>", "", card))
            assert f'data-number="falls">{lift["falls"]}<' in card
            assert f"<x-m>{down(one['radius_m'], 0.1):.1f} m</x-m>" in card.partition('data-number="radius">')[2][:40]
            assert f"{up(one['capacity_use'] * 100):.0f} % of the chart" in said
            assert "The rope still on the drum at the pick: the lift bears on it." in said, "the bed is explained"
            assert f"{up(one['line_pull_share'] * 100):.0f} %" in card.partition('data-number="pull">')[2][:10].replace(
                "\u00a0", " "
            )
            if code in ("firm-bed", "loose-bottom"):
                hook = one["pick"]["hook_height_m"] + bed["hook_reserve_m"]
                assert f"hook no higher than {down(hook, 0.1):.1f} m" in said
                most = bed["most_on_drum"]
                assert f"no more than layer {most['layer']}, wrap {most['wrap']}" in said
                assert "Pre-tension first" not in said
            elif code == "loose-bed":
                assert f"{up(bed['loose_m']):.0f} m loose" in said and "Pre-tension first" in said
            else:
                assert code == "all-due" and "all due" in said and "no higher than" not in said
            room = lift["set_down"]["room_out_to_m"]
            reach = "At no listed radius" if room is None else f"Out to radius {down(room, 0.1):.1f} m the chart leaves"
            assert reach in said
            compared = {row["falls"] for row in lift["rows"].values() if row}
            assert {int(re.match(r"\d+", cells[0])[0]) for cells in rows(card)} == compared
            for name, row in lift["rows"].items():
                assert (names[name] in said) is bool(row), name


@each_machine
def test_all_falls_of_a_load(machine: str) -> None:
    """Below the cards: every number of falls, and in a few words what stands against the others."""
    against = words.load().get("ready.against")
    for html, lifts in lift_pages(machine):
        tables_ = re.findall(r"<table.*?</table>", html.partition('<h2 id="tables">')[2], re.DOTALL)
        tables_ = [table for table in tables_ if "To falls" not in table]
        assert len(tables_) == len(lifts)
        for table, lift in zip(tables_, lifts, strict=True):
            told = rows(table)
            possible = [one for one in lift["options"] if one["lift"]]
            for cells, option in zip(told, possible, strict=False):
                one = option["lift"]
                speed = down(one["hook_speed_m_per_s"] * 60, 0.1)
                wanted = [str(option["falls"]), f"{down(one['radius_m'], 0.1):.1f}"]
                assert cells[:4] == [*wanted, f"{up(one['line_pull_share'] * 100):.0f} %", f"{speed:.1f}"]
                assert ("loose" in cells[4] or "due" in cells[4] or cells[4] == "firm") and len(cells) == 5
            refused = {one["refused"] for one in lift["options"] if one["refused"]}
            assert {cells[1] for cells in told[len(possible) :]} == {against[code] for code in refused}


def test_re_reeving_keeps_what_unwinding_loses() -> None:
    """Where the falls change, lowering the boom never loses more firm rope than running it off with the boom up."""
    seen = 0
    for machine in MACHINES:
        for html, lifts in lift_pages(machine):
            found = {
                row["falls"]: row["re_reeving"]
                for lift in lifts
                for row in lift["rows"].values()
                if row and row["re_reeving"]
            }
            for one in found.values():
                assert one["boom_lowered"]["firm_lost_m"] <= one["boom_up"]["firm_lost_m"] + NEAR
            for table in re.findall(r"<table.*?</table>", html, re.DOTALL):
                if "To falls" in table:
                    seen += len(rows(table))
                    assert all(int(cells[0]) in found for cells in rows(table))
    assert seen > 10


def test_loads_are_round_in_the_units_of_the_data() -> None:
    for machine in MACHINES:
        unit = POUND if DATA.machines[machine].units == "us" else 1.0
        for _, _, lifts in TOLD[machine].lifts:
            loads = [lift["load_kg"] / unit for lift in lifts["lifts"]]
            step = loads[1] - loads[0]
            assert 6 <= len(loads) <= 10 and all(abs(load / step - round(load / step)) < 1e-6 for load in loads)
            digits = step / 10 ** math.floor(math.log10(step) + 1e-9)
            assert min(abs(digits - wanted) for wanted in (1, 2, 5)) < 1e-6, (machine, step)


# -- the site ---------------------------------------------------------------------------------------------------------


@each_machine
def test_one_tap_from_the_crane_and_back(machine: str) -> None:
    crane = next(page.html for page in SITE.pages if page.address == f"machines/{machine}/")
    top = crane.partition('<div class="fw-folds">')[0]
    for name in ("drum", "work", "lifts"):
        assert f'href="../../machines/{machine}/{name}/"' in top
        html = html_of(machine, name)
        assert f'href="../../../machines/{machine}/"' in html.partition("<h1")[0]
        for other in {"drum", "work", "lifts"} - {name}:
            assert f'href="../../../machines/{machine}/{other}/"' in html
        assert "manual differ, the manual decides" in text(html)
    for page in SITE.pages:
        if re.fullmatch(rf"machines/{machine}/[^/]+/([^/]+/)?", page.address) and 'id="before-steps"' in page.html:
            up_ = "../" * (page.address.count("/") - 2)
            assert f'<a href="{up_}drum/">How deep</a>' in page.html, page.address


def test_the_verdict_stands_on_the_tile_of_the_crane() -> None:
    wanted = {
        "heron": "ready as rigged, by the log",
        "avocet": "ready as rigged, not on fewer falls",
        "dunlin": "not ready: all of the rope is due",
        "bittern": "not ready as rigged",
    }
    for machine, said in wanted.items():
        crane = next(page.html for page in SITE.pages if page.address == f"machines/{machine}/")
        assert f"Drum by the log: {said}." in text(crane)


def test_weights(built: Path) -> None:
    for machine in MACHINES:
        booms = [f"lifts/{boom}" for boom in dict.fromkeys(case.chart.slug for case, *_ in TOLD[machine].lifts)]
        for name, most in (("drum", 60_000), ("work", 80_000), *((lifts, 110_000) for lifts in ["lifts", *booms])):
            assert (built / f"machines/{machine}/{name}/index.html").stat().st_size < most


def test_numbers_stay_out_of_search(built: Path) -> None:
    docs = json.loads((built / "search/search_index.json").read_text(encoding="utf-8"))["docs"]
    found = {doc["location"]: doc for doc in docs}
    for machine in MACHINES:
        for name in ("drum", "work", "lifts"):
            doc = found[f"machines/{machine}/{name}/"]
            assert not re.search(r"\d", doc["text"] + doc["title"])
            assert not any(location.startswith(f"machines/{machine}/{name}/#") for location in found)
        assert f"machines/{machine}/drum/plan/" not in found


def test_search_finds_the_drum_of_a_crane(page: Page, address: str) -> None:
    page.goto(address)
    open_search(page)
    for query, wanted in (
        ("state of the drum heron", "drum"),
        ("heavy lifts avocet", "lifts"),
        ("everyday work curlew", "work"),
    ):
        page.locator("input.md-search__input").fill(query)
        page.keyboard.press("End")
        first = page.locator(".md-search-result__link").first
        expect(first).to_have_attribute("href", re.compile(rf"machines/{query.split()[-1]}/{wanted}/"), timeout=15_000)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_runs_over_on_a_phone(page: Page, address: str, units: str, scheme: Any) -> None:
    page.emulate_media(color_scheme=scheme)
    for machine, name in (
        *(("bittern", "drum"), ("bittern", "drum/plan"), ("avocet", "work")),
        *(("curlew", "lifts"), ("bittern", "lifts/54m"), ("avocet", "lifts/140ft")),
    ):
        page.goto(f"{address}machines/{machine}/{name}/")
        switch_units(page, units)
        page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
        for width in (320, 360):
            page.set_viewport_size({"width": width, "height": 740})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (machine, name, width)
        switch_units(page, "metric")
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": 360, "height": 740})


def test_an_entry_missing_in_the_data_is_an_error_with_its_line(rules: Path) -> None:
    """Nothing is published of a log that cannot be."""
    (rules / "upkeep").mkdir()
    shutil.copy(ROOT / "rules/upkeep/heron.yaml", rules / "upkeep/heron.yaml")
    line = edit(rules, "upkeep/heron.yaml", "falls: 5", "falls: 55")
    with pytest.raises(generated.DataErrors, match=rf"rules/upkeep/heron\.yaml:{line}: "):
        generated.site(rules, DAY)
