"""The procedure pages of the guidance: order of the work, every caution, what published sources ask, what the pages
claim of the demonstration plans, and the figures drawn for them.

The geometry of the figures is checked with plain formulas from the plan's inputs; what a page says of a plan in words
is checked against the plan, so that a change of data cannot leave a wrong sentence behind.
"""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import pytest
from conftest import DATA, DAY
from test_figures import SVG, WORDS, key, shown, tree

from calc.data import look_up
from calc.winding import plan_data
from calc.winding.plan_fields import Inputs, Move, Pass, Plan
from hooks.figures import procedure, side, wraps

ROOT = Path(__file__).resolve().parent.parent
GUIDANCE = ROOT / "docs/guidance"
STEPS = "step-by-step"
DIFFERING = ("telescopic", "lattice-long-boom", "lattice-short-boom")
PAGES = (
    STEPS, *DIFFERING, "which-method", "preparing", "people", "cold", "checking-the-drum", "count-off", "stop-early",
    "no-room", "no-weights", "re-reeving", "pulled-in-rope", "records", "light-work-and-heavy-lift",
)  # fmt: skip
REFERENCE = ("index", "glossary", "formulas")  # looked up, not done
SITE_ORDER = (
    "how deep",
    "rope and drum fit",
    "ground, area, wind and power lines",
    "reeve, set the limiter, test the upper stop",
    "weights at the start radius",
    "boom out to the hanging radius and count",
    "hang the slings, luff in with the hoist held",
    "hook on, lift, test the brake",
    "short moves",
    "land, secure the drum, inspect",
    "next pass, only if needed",
    "boom down, re-reeve",
    "limiter and stops again",
    "record",
)
# Each caution by its key phrase, and the pages that carry it: where its step stands, once.
CAUTIONS = (
    ("manual and its rated-capacity system come first", (STEPS, *DIFFERING, "preparing")),
    ("local codes and licensed practice decide", (STEPS, "preparing", "checking-the-drum")),
    ("qualified for this", (STEPS,)),
    ("set the limiter to the actual falls", (STEPS, "re-reeving")),
    ("after any re-reeving", (STEPS, "re-reeving")),
    ("test both stops", (STEPS, "re-reeving", "light-work-and-heavy-lift")),
    ("never go below", (STEPS, "count-off")),
    ("test the lower stop here only if it is set at or above the stop wraps", (STEPS,)),
    ("never pay out further for the test", (STEPS,)),
    ("hang nothing before the count", (STEPS,)),
    ("two people count", (STEPS, "checking-the-drum", "count-off")),
    ("never pay out past the count", (STEPS, "no-room")),
    ("do not touch the hoist. luff in", (STEPS,)),
    ("unhook only the legs", (STEPS, "checking-the-drum", "re-reeving")),
    ("never pay out for it", (STEPS, "lattice-long-boom")),
    ("never pay them out with the empty block", (STEPS,)),
    ("the block never rests on the ground or the slings", (STEPS, "stop-early")),
    ("pay out the overlap again under load", (STEPS, "checking-the-drum")),
    ("it lies between the least and the most of the plan", (STEPS,)),
    ("the stop wraps", (STEPS, "checking-the-drum")),
    ("the counted wraps decide", (STEPS, "checking-the-drum")),
    ("camera, mirror or rotation indicator", (STEPS,)),
    ("does nothing but watch the drum", ("checking-the-drum",)),
    ("free fall", (STEPS, "pulled-in-rope")),
    ("and stop. the brake holds", (STEPS,)),
    ("away from drum, rope and load", (STEPS, "people", "pulled-in-rope")),
    ("only with the winch stopped and secured", ("checking-the-drum",)),
    ("power lines, traffic and rail under and in the whole radius", ("preparing",)),
    ("hoist until the load hangs {{ rule:load-kept-low.clearance }} above ground", (STEPS,)),
    ("plumb the hook over the load before lift-off", (STEPS,)),
    ("swings out", (STEPS,)),
    ("tag line: only as long as its holder stays outside the load path", (STEPS,)),
    ("slew brake", (STEPS,)),
    ("two-blocking", (STEPS, "telescopic", "re-reeving")),
    ("wind limit of the manual", ("preparing",)),
    ("stop when it gusts", (STEPS, "preparing", "lattice-long-boom")),
    ("lock slewing", (STEPS, "preparing")),
    ("barrier off the full circle", (STEPS, "preparing")),
    ("drum watcher", (STEPS, "people", "light-work-and-heavy-lift")),
    ("lowest temperature in the manual", ("cold",)),
    ("break the weights free from the ground", ("cold",)),
    ("ground, mats, outriggers or tracks", ("preparing",)),
    ("chart sector", ("preparing",)),
    ("certified spare slabs only", (STEPS,)),
    ("never take the counterweight in use", (STEPS,)),
    ("an unreached loose bed can pull in under this very load", ("how-deep",)),
    ("take the twist out of the falls first", (STEPS, "lattice-short-boom")),
    ("only where the manual lists the load for every boom length and section sequence passed", ("telescopic",)),
    ("never pull on an anchor or a vehicle unless the manual gives that method", (STEPS,)),
    ("hold the rope back at the flange of the reel", ("from-a-reel",)),
    ("stop at once and call a competent person", (STEPS, "checking-the-drum")),
    ("boom down and re-reeve through the boom head rather than unwind the firm rope", (STEPS,)),
    ("as many falls as practicable", ("re-reeving", "light-work-and-heavy-lift", "falls-for-lifting")),
    ("after long light work with many falls the rope is loose again: pre-tension it again", ("re-reeving",)),
    ("half a day and much ground on a long lattice boom", ("re-reeving",)),
    ("jib off", (STEPS,)),
    ("pre-tension one after the other", (STEPS,)),
    ("two winches on one block need equal drums", (STEPS,)),
    ("plan a set-down place, cribbing or a second hoist", ("light-work-and-heavy-lift",)),
)
# What published sources ask: the page, what it says, and the source (WAC: Washington Administrative Code).
PUBLISHED = (
    ("checking-the-drum", "the rope is seated on drum and sheaves", "WAC 296-24-24015(3)(b)(iv), read"),
    ("checking-the-drum", "look at the crossovers", "29 CFR 1926.1413(a)(3), read"),
    ("checking-the-drum", "look at both flanges", "29 CFR 1926.1413(a)(3), read"),
    (
        "checking-the-drum",
        "on a smooth drum the whole first layer stays",
        "Wire Rope Users Manual, 4th ed., p. 47, read",
    ),
    ("people", "cannot see hook, load or path in full", "29 CFR 1926.1419(a), read"),
    ("people", "nobody under or near a hanging load except to hook on, unhook or guide", "29 CFR 1926.1425, read"),
    ("preparing", "ask what is under you: voids, tanks, drains, services", "29 CFR 1926.1402(b), (c), read"),
    (STEPS, "a stop that does not act ends the work", "29 CFR 1926.1416(b), read"),
    ("from-a-reel", "never squeeze the rope", "Trade article on fitting rope, 2008, read"),
    ("from-a-reel", "rope from top to top or bottom to bottom", "US Navy manual 14081, ch. 13, read"),
    ("new-rope", "with a swivel between them. never weld them together", "Trade article on hoist drums, 2020, read"),
    ("which-method", "never drag the load", "WAC 296-24-24015, no side pull, no dragging, read"),
    ("pulled-in-rope", "nobody under the load", "29 CFR 1926.1425, read"),
    ("pulled-in-rope", "land the load without turning the drum", "Trade article on hoist drums, 2020, read"),
    ("wedge-socket", "never clamp the tail to the live rope", "Trade article on wedge sockets, read"),
    ("lubrication", "a lubricant may not hide broken wires", "29 CFR 1926.1413(d), read"),
    ("records", "signed monthly rope inspections are kept", "29 CFR 1926.1413(b), (c), read"),
)


def source(page: str) -> str:
    return (GUIDANCE / f"{page}.md").read_text(encoding="utf-8").split("---\n", 2)[2]


def said(page: str) -> str:
    """The text in lower case without marks of Markdown, in one line."""
    plain = re.sub(r"\[([^\]]+)\]\([^)]+\)", r"\1", source(page)).replace("**", "")
    return re.sub(r"\s+", " ", plain).lower()


def plan(machine: str, boom: str, configuration: str | None = None) -> Plan:
    configurations = DATA.machines[machine].configurations
    chosen = configuration or next(c.id for c in configurations if c.chart(boom))
    return plan_data.plan(look_up.case(DATA, machine, boom, chosen, DAY))


# -- text -------------------------------------------------------------------------------------------------------


def test_the_steps_are_the_site_order() -> None:
    found = re.findall(r"^## (\d+) (.+?) \{#[a-z-]+\}$", source(STEPS), re.MULTILINE)
    assert [int(number) for number, _ in found] == list(range(1, len(SITE_ORDER) + 1))
    for (_, title), wanted in zip(found, SITE_ORDER, strict=True):
        assert wanted in title.lower(), title


def test_no_other_page_tells_the_steps_again() -> None:
    """They stand once: a page that differs says where, and leads to them."""
    told = {line for line in source(STEPS).splitlines() if re.match(r"\d+\. ", line) and len(line.split()) > 5}
    for page in DIFFERING:
        assert "](step-by-step.md)" in source(page).partition("##")[0], page
        assert not told & set(source(page).splitlines()), page


@pytest.mark.parametrize("page", PAGES)
def test_every_page_leads_on(page: str) -> None:
    assert re.search(r"\]\([a-z-]+\.md", source(page))


@pytest.mark.parametrize(("phrase", "pages"), CAUTIONS, ids=[phrase for phrase, _ in CAUTIONS])
def test_every_caution_stands_on_its_pages(phrase: str, pages: tuple[str, ...]) -> None:
    assert [page for page in pages if phrase not in said(page)] == []


@pytest.mark.parametrize(("page", "phrase", "asked"), PUBLISHED, ids=[phrase for _, phrase, _ in PUBLISHED])
def test_what_published_sources_ask_is_said(page: str, phrase: str, asked: str) -> None:
    assert phrase in said(page), asked


@pytest.mark.parametrize("page", sorted(path.stem for path in GUIDANCE.glob("*.md") if path.stem not in REFERENCE))
def test_sentences_are_short(page: str) -> None:
    text = re.sub(r"\{\{.*?\}\}", "X", source(page)).replace("**", "")
    text = re.sub(r"\[([^\]]+)\]\([^)]+\)", r"\1", text)
    for block in re.split(r"\n\n|\n(?=\s*(?:[-#|]|\d+\.) )", text):
        for sentence in re.split(r"(?<=[.:;?!])\s", " ".join(block.split())):
            assert len(sentence.split()) <= 26, sentence


@pytest.mark.parametrize("page", PAGES)
def test_lists_have_the_items_that_were_written(page: str, built: Path) -> None:
    # a filled number that begins a line, "2. The counted wraps", would be read as one more item
    content = (built / "guidance" / page / "index.html").read_text(encoding="utf-8").partition("<h1")[2]
    written = re.findall(r"^ *(?:-|\d+\.) ", source(page), re.MULTILINE)
    # keys of figures and the card of STOP are no lists of the text
    content = re.sub(
        r'<(ul|ol) class="fw-(?:legend|stop)".*?</\1>', "", content.partition("</article>")[0], flags=re.DOTALL
    )
    assert content.count("<li>") == len(written)


def test_the_word_that_nobody_can_promise_is_not_used() -> None:
    for page in PAGES:
        assert not re.search(r"\b(un)?safe", said(page))


# -- what the pages claim of plans ------------------------------------------------------------------------------


def best(of: Plan) -> dict[str, Any]:
    found = plan_data.best_method(of)
    return {**found} if found else {}


def codes(of: Plan) -> set[str]:
    return {warning["code"] for warning in of["warnings"]}


def test_telescopic_page_says_what_the_plans_hold() -> None:
    heron = plan("heron", "41m")
    method = best(heron)
    assert method["name"] == "telescope-in"
    moves = [move["move"] for move in method["passes"][0]["moves"]]
    assert moves == ["pay-out", "luff-in", "pick", "luff-out", "telescope-in", "luff-out", "land"]
    out, over = heron["methods"][0]["passes"][0]["slings_hung"]["radius_m"], heron["stops"]["start_radius_m"]
    assert out > over, "the hanging radius lies beyond the start radius"
    short = plan("heron", "20m")
    assert short["methods"][1]["refused"] is not None and best(short)["name"] == "luff-out"
    assert plan("heron", "27m")["load"]["planned_kg"] < short["load"]["planned_kg"]  # a longer boom needs less load


def test_long_boom_page_says_what_the_plans_hold() -> None:
    curlew, bittern = plan("curlew", "111m"), plan("bittern", "84m")
    assert bittern["load"]["for_drum_tension_kg"] > bittern["load"]["minimum_kg"]
    assert best(curlew)["passes"][0]["full_pull_falls_min"] is not None
    assert best(curlew)["passes"][0]["firm_share"] < 0.2
    assert best(bittern)["passes"][-1]["full_pull_falls_min"] is not None
    assert len(best(bittern)["passes"]) >= 2
    # "the start radius may be large": not the least listed one
    longest = plan("curlew", "123m")
    least = min(radius for radius, _ in longest["inputs"]["charts"][0]["rows"])
    assert longest["stops"]["start_radius_m"] > least + 1


def test_short_boom_page_says_what_the_plans_hold() -> None:
    full, reduced = plan("bittern", "30m", "full-counterweight"), plan("bittern", "30m")
    shares = [one["firm_share"] for one in best(full)["passes"]]
    assert len(shares) >= 2 and shares == sorted(shares) and shares[-1] > 0.5, "repeated passes, most of the rope"
    assert best(reduced)["passes"][-1]["firm_share"] < best(full)["passes"][-1]["firm_share"]
    shortest = plan("bittern", "24m")
    assert {"falls-not-reeved", "bed-unreached"} <= codes(shortest)
    assert shortest["falls"]["exact"] > shortest["falls"]["reeving_limit"]
    assert not {"falls-not-reeved", "bed-unreached"} & codes(reduced)
    curlew = best(plan("curlew", "42m", "full-counterweight"))["passes"]
    assert curlew[1]["sling_length_m"] > 10 and curlew[1]["firm_share"] > curlew[0]["firm_share"] + 0.1


# -- figures ----------------------------------------------------------------------------------------------------


def head_height(inputs: Inputs, boom_length: float, radius: float) -> float:
    return float(inputs["pivot_height_m"] + math.sqrt(boom_length**2 - (radius - inputs["pivot_forward_m"]) ** 2))


def texts(svg: str, units: str = "metric") -> list[str]:
    return [shown(element, units) for element in tree(svg).iter(f"{SVG}text")] + key(svg, units)


def paths(svg: str, kind: str) -> list[str]:
    return [e.attrib["d"] for e in tree(svg).iter(f"{SVG}path") if e.get("class") == kind]


def upright(svg: str) -> float:
    """Length of the upright dimension h."""
    ends = [re.match(r"M[\d.]+ ([\d.]+)V([\d.]+)m-3 0h6M", d) for d in paths(svg, "fig-dim")]
    found = [end for end in ends if end]
    assert len(found) == 1
    return abs(float(found[0][2]) - float(found[0][1]))


@pytest.mark.parametrize("of", [("curlew", "123m"), ("bittern", "30m", "full-counterweight"), ("avocet", "140ft")])
def test_first_pass_is_drawn_and_told_as_the_boom_geometry_gives_it(of: tuple[str, ...]) -> None:
    made = plan(*of)
    inputs, first = made["inputs"], made["methods"][0]["passes"][0]
    begin = next(m for m in first["moves"] if m["move"] == "pick")["radius_m"][1]
    end = [m for m in first["moves"] if m["move"] == "luff-out"][-1]["radius_m"][1]
    drop = head_height(inputs, made["boom_length_m"], begin) - head_height(inputs, made["boom_length_m"], end)
    svg = procedure.one_pass(made, WORDS)
    # the boom keeps its length and the load its height: what is wound is falls times drop
    down, wound = math.floor(drop * 10 + 1e-6) / 10, math.floor(made["falls"]["used"] * drop + 1e-6)
    told = f"h The boom head comes down {down:.1f} m: {made['falls']['used']} falls wind {wound} m of rope"
    assert told in key(svg)
    booms = [
        [float(e.attrib[a]) for a in ("x1", "y1", "x2", "y2")]
        for e in tree(svg).iter(f"{SVG}line")
        if "fig-boom" in (e.get("class") or "").split()
    ]
    scale = max(math.hypot(x2 - x1, y2 - y1) for x1, y1, x2, y2 in booms) / made["boom_length_m"]
    assert upright(svg) / scale == pytest.approx(drop, abs=0.2 / scale)


def luffed_in(one: Pass) -> Move:
    """The move that brings the empty hook, its slings hung, over the load."""
    return next(m for m in one["moves"] if m["move"] == "luff-in" and not m["load_kg"])


@pytest.mark.parametrize("of", [("curlew", "123m"), ("bittern", "30m", "full-counterweight"), ("avocet", "140ft")])
def test_block_rises_with_the_boom_head_while_the_hoist_is_held(of: tuple[str, ...]) -> None:
    made = plan(*of)
    move = luffed_in(made["methods"][0]["passes"][1])
    low, high = (head_height(made["inputs"], made["boom_length_m"], radius) for radius in move["radius_m"])
    svg = procedure.luff_in(made, WORDS)
    # the rope drum to head keeps its length, so the falls do: the block rises as far as the head
    assert f"h The hook block rises {math.ceil((high - low) * 10 - 1e-4) / 10:.1f} m" in texts(svg)
    frame = side.frame(made, {"passes": [{"moves": [move]}]}, [])
    assert upright(svg) == pytest.approx((high - low) * frame.scale, abs=0.11)


def test_ways_of_the_load_are_drawn_to_one_scale() -> None:
    made = plan("bittern", "30m", "full-counterweight")
    first, second = made["methods"][0]["passes"][:2]
    landed, again = first["moves"][-1]["loaded_radius_m"][1], luffed_in(second)["radius_m"][1]
    svg = procedure.load_return(made, WORDS)
    booms = [re.match(r"M([\d.]+) [\d.]+H([\d.]+)", d) for d in paths(svg, "fig-boom")]
    lengths = [float(b[2]) - float(b[1]) for b in booms if b]
    # the crane that travels reaches as far as the crane that stays and has the load brought
    assert lengths[0] == pytest.approx(lengths[1], abs=0.21) and lengths[1] == pytest.approx(lengths[2], abs=0.21)
    scale = lengths[1] / again
    arrows = [re.match(r"M([\d.]+) [\d.]+H([\d.]+)m", d) for d in paths(svg, "fig-dim")]
    moved = [float(a[2]) - float(a[1]) for a in arrows if a]
    assert moved == pytest.approx([(landed - again) * scale, (again - landed) * scale], abs=0.3)


def test_working_circle_holds_the_load_at_its_furthest() -> None:
    made = plan("heron", "41m")
    svg = procedure.working_circle(made, WORDS)
    circle = next(e for e in tree(svg).iter(f"{SVG}circle") if e.get("class") == "fig-stop")
    load = next(e for e in tree(svg).iter(f"{SVG}rect") if e.get("class") == "fig-load")
    centre, radius = float(circle.attrib["cx"]), float(circle.attrib["r"])
    outer = float(load.attrib["x"]) + float(load.attrib["width"]) - centre
    assert outer == pytest.approx(radius, abs=0.2)
    furthest = max(max(m["loaded_radius_m"]) for p in best(made)["passes"] for m in p["moves"] if m["load_kg"])
    scale = radius / (furthest + made["inputs"]["load_size_m"] / 2)
    assert float(load.attrib["width"]) == pytest.approx(made["inputs"]["load_size_m"] * scale, abs=0.1)


def test_named_wraps_are_the_counted_ones() -> None:
    made = plan("heron", "41m")
    svg = wraps.wrap_name(made, WORDS)
    landed = best(made)["passes"][0]["moves"][-1]
    assert f"A Count: layer {made['stops']['layer_at_start']}, wrap {round(made['stops']['wrap_at_start'])}" in texts(
        svg
    )
    assert f"B Load landed: layer {landed['layer'][1]}, wrap {round(landed['wrap'][1])}" in texts(svg)
    rings = {float(e.attrib["cx"]): float(e.attrib["cy"]) for e in tree(svg).iter(f"{SVG}circle")}
    left, right = (e for e in tree(svg).iter(f"{SVG}rect") if e.get("class") == "fig-flange")
    inner = float(left.attrib["x"]) + float(left.attrib["width"])
    inputs = made["inputs"]
    pitch = (float(right.attrib["x"]) - inner) / max(inputs["wraps_odd_layers"], inputs["wraps_even_layers"] + 0.5)
    # layer 1 counts from the left flange; an even layer runs back from the right one, half a pitch over
    start, end = made["stops"]["wrap_at_start"], inputs["wraps_even_layers"] + 1 - landed["wrap"][1]
    assert landed["layer"][1] % 2 == 0
    assert sorted(rings) == pytest.approx(sorted([inner + (start - 0.5) * pitch, inner + end * pitch]), abs=0.2)
    counted, outermost = (min(rings, key=lambda x: abs(x - inner - at * pitch)) for at in (start - 0.5, end))
    assert rings[outermost] < rings[counted], "the later wrap lies further from the barrel"


def test_wraps_in_the_sections_touch_but_never_overlap() -> None:
    # circles of one diameter: two middles are never nearer than one diameter; the climbing and the wedged wrap rest
    # on two others.  Source: geometry of equal circles.
    for machine, boom in (
        ("bittern", "84m"),
        ("heron", "41m"),
        ("avocet", "100ft"),
        ("dunlin", "29m"),
        ("curlew", "75m"),
    ):
        inputs = plan(machine, boom)["inputs"]
        pitch = inputs["groove_pitch_m"] / inputs["rope_diameter_m"]
        for draw in (wraps._firm, wraps._gap, wraps._climb, wraps._pulled):
            marked, firm = draw(pitch, inputs["rise_ratio"])
            every = [*marked, *firm]
            near = min(math.dist(a, b) for i, a in enumerate(every) for b in every[i + 1 :])
            assert near >= 0.99
        climbed, _ = wraps._climb(pitch, inputs["rise_ratio"])
        assert climbed[0][1] > 0.5 + 2.5 * inputs["rise_ratio"]
        wedged = wraps._pulled(pitch, inputs["rise_ratio"])[0][-1]
        assert 0.5 + inputs["rise_ratio"] < wedged[1] < 0.5 + 2 * inputs["rise_ratio"]  # deeper than layer 3 should lie


def test_bars_of_rope_are_to_scale_and_keep_the_firm_rope_with_the_boom_down() -> None:
    made = plan("bittern", "30m", "full-counterweight")
    inputs, method = made["inputs"], made["methods"][0]
    svg = wraps.rope_off(made, WORDS)
    bars = [(e.get("class"), float(e.attrib["width"])) for e in tree(svg).iter(f"{SVG}rect")]
    total = sum(width for _, width in bars[:2])
    firm = next(width for kind, width in bars if kind == "fig-firm")
    last = method["passes"][-1]
    assert firm / total * inputs["rope_length_m"] == pytest.approx(last["firm_rope_m"], abs=0.5)
    # by hand: block at the head, falls as short as the upper stop allows: P + w + n*s_min are off the drum
    falls = made["falls"]["used"]
    off = made["boom_length_m"] + inputs["rope_path_extra_m"]
    off += (falls - 1) * math.pi * inputs["sheave_radius_m"] + falls * inputs["upper_stop_m"]
    assert f"off it {math.ceil(off - 1e-6)} m" in texts(svg)
    assert f"on the drum {math.floor(made['stops']['rope_at_start_m'])} m" in texts(svg)
