"""The line drawings: how the rope is reeved, what hangs on the hook, what a crew does and looks for.

Expected numbers come from hand work, from the plan's own inputs by plain geometry, or from the sources named beside
them; nothing of a drawing's own geometry is used but the scale, which is read from the drawing.
"""

from __future__ import annotations

import copy
import math
import re

import pytest
from test_figures import CSS, PLANS, ROOT, SVG, WORDS, boxes, key, nothing, shown, tree

from calc.winding.plan_fields import Plan
from hooks.figures import FONT, WIDTH, crew, lesson, reeving, stack

NEW = ("reeving", "stack", "hang", "short-moves")
DRAWN = {name: draw(WORDS) for name, draw in lesson.SKETCHES.items()}
DRAWN |= {f"reeving-{falls}": reeving.svg(falls, WORDS) for falls in range(1, 25)}
DRAWN |= {f"{name}-{p['machine']}-{p['boom']}": lesson.FIGURES[name](p, WORDS) for name in NEW for p in PLANS[::4]}

each_drawing = pytest.mark.parametrize("name", DRAWN)


def plan(machine: str, boom: str) -> Plan:
    return next(p for p in PLANS if (p["machine"], p["boom"]) == (machine, boom))


def drawn(svg: str, kind: str) -> list[str]:
    return [e.attrib["d"] for e in tree(svg).iter(f"{SVG}path") if e.get("class") == kind]


# -- every drawing ------------------------------------------------------------------------------------------------


@each_drawing
def test_every_drawing_is_described_and_styled(name: str) -> None:
    svg = DRAWN[name]
    root = tree(svg)
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None and description is not None
    assert len(title.text or "") >= 10 and len(description.text or "") >= 30
    assert "{" not in svg and "style=" not in svg and "\n" not in svg and "safe" not in svg.lower()
    ids = re.findall(r' id="([^"]+)"', svg)
    assert len(ids) == len(set(ids)) and set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(ids)
    for names in re.findall(r'class="([^"]+)"', svg):
        assert all(re.search(rf"\.{re.escape(one)}\b", CSS) for one in names.split()), names
    assert key(svg), "what the drawing shows stands beneath it"


@each_drawing
@pytest.mark.parametrize("units", ["metric", "us"])
def test_text_is_large_and_stays_apart(name: str, units: str) -> None:
    root = tree(DRAWN[name])
    assert float(root.attrib["font-size"]) * 328 / WIDTH >= 14 and root.attrib["viewBox"].split()[2] == str(WIDTH)
    high, placed = float(root.attrib["viewBox"].split()[3]), boxes(root, units)
    for at, (said, left, top, right, bottom) in enumerate(placed):
        assert left >= 0 and right <= WIDTH and top >= 0 and bottom <= high, said
        for other, left2, top2, right2, bottom2 in placed[at + 1 :]:
            apart = right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top
            assert apart, f"{said!r} covers {other!r}"


@pytest.mark.parametrize("name", re.findall(r"\.(fig-[a-z-]+)[^{}]*\{[^}]*stroke-width: [\d.]+", CSS))
def test_no_line_is_thinner_than_a_wet_screen_shows(name: str) -> None:
    """1.2 px where 340 units are 328 px wide."""
    width = min(float(w) for w in re.findall(rf"\.{name}\b[^{{}}]*\{{[^}}]*stroke-width: ([\d.]+)", CSS))
    assert width * 328 / WIDTH >= 1.2


def test_every_word_of_the_drawings_is_used() -> None:
    names = ("reeving", "stack", "crew", "socket", "damage", "rope")
    sources = "".join((ROOT / f"hooks/figures/{name}.py").read_text(encoding="utf-8") for name in names)
    for figure in ("reeving", "stack", "hang", "short-moves", "people", "count-drum", "first-layer", "socket"):
        for name in WORDS["figures"][figure]:
            stem = re.sub(r"(_none|_one|_\d)$", "", name)
            assert f'"{name}"' in sources or f'"{stem}"' in sources or f'f"{stem}_' in sources, f"{figure}.{name}"


# -- reeving ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("falls", "at_head", "in_block", "end"),
    [  # counted on paper, following the rope from the drum; the dead end on the head with even falls, else on the block
        (1, 1, 0, "hook block"),
        (2, 1, 1, "boom head"),
        (3, 2, 1, "hook block"),
        (4, 2, 2, "boom head"),
        (5, 3, 2, "hook block"),
        (10, 5, 5, "boom head"),
        (19, 10, 9, "hook block"),
        (22, 11, 11, "boom head"),
    ],
)
def test_the_rope_is_reeved_as_on_the_crane(falls: int, at_head: int, in_block: int, end: str) -> None:
    svg = reeving.svg(falls, WORDS)
    head, block = (len(re.findall("M", path)) for path in drawn(svg, "fig-sheave"))
    assert (head, block) == (at_head, in_block) == reeving.sheaves(falls)
    (lines,) = (path for path in drawn(svg, "fig-line") if "L" not in path)
    assert len(re.findall("M", lines)) == falls
    assert any(line.endswith(f"dead end on the {end}") for line in key(svg))
    (fitting,) = drawn(svg, "fig-block")
    y = float(fitting.split()[1].split("h")[0])
    assert (y < reeving.FOOT / 2) == (end == "boom head"), "drawn where it is told"


def test_falls_are_numbered_along_the_rope() -> None:
    said = [shown(e, "metric") for e in tree(reeving.svg(9, WORDS)).iter(f"{SVG}text")]
    assert [one for one in said if one.isdigit()] == [str(fall) for fall in range(1, 10)]
    many = [shown(e, "metric") for e in tree(reeving.svg(24, WORDS)).iter(f"{SVG}text")]
    assert {"1", "24"} <= set(many)


def test_a_plan_without_falls_says_so() -> None:
    assert "No falls" in reeving.of_plan(nothing(PLANS[0]), WORDS)
    assert "No load" in stack.svg(nothing(PLANS[0]), WORDS)


# -- weights ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("one", PLANS[::3], ids=[f"{p['machine']}-{p['boom']}" for p in PLANS[::3]])
def test_the_stack_is_as_high_and_as_heavy_as_the_plan_says(one: Plan) -> None:
    if one["load"] is None:
        return
    base, rest = stack.pieces(one)
    top = max(foot + high for _, foot, _, high, _ in [base, *rest])
    assert top == pytest.approx(one["load"]["stack_height_m"], abs=1e-6)
    assert sum(mass for *_, mass in [base, *rest]) == pytest.approx(one["load"]["net_kg"], abs=0.5)
    for middle, foot, long, _, _ in rest:
        assert foot >= base[3] - 1e-9 and abs(middle) + long / 2 <= base[2] / 2 + 1e-6, "inside the plan of the base"


def test_slings_and_hook_stand_to_scale() -> None:
    one = plan("bittern", "54m")
    svg = stack.svg(one, WORDS)
    root = tree(svg)
    box = next(e for e in root.iter(f"{SVG}rect") if e.get("class") == "fig-load")
    scale = float(box.attrib["width"]) / one["inputs"]["load_size_m"]
    (sling,) = drawn(svg, "fig-sling")
    x1, y1, x2, y2 = map(float, re.findall(r"[\d.]+", sling)[:4])
    ground = float(box.attrib["y"]) + float(box.attrib["height"])
    load = one["load"]
    assert ground - y1 == pytest.approx(load["lifting_points_height_m"] * scale, abs=0.15)
    assert y1 - y2 == pytest.approx(load["hanging_height_m"] * scale, abs=0.15)
    # legs of 3 m to lifting points half a diagonal of 2.5 m from the middle
    assert math.hypot(x2 - x1, y2 - y1) == pytest.approx(3.0 * scale, abs=0.3)
    hook = float(re.findall(r"V([\d.]+)", sling)[-1])
    assert ground - hook == pytest.approx(one["stops"]["start_hook_height_m"] * scale, abs=0.3)


# -- crew ---------------------------------------------------------------------------------------------------------


def test_gaps_are_taken_off_a_layer_that_is_nearly_full() -> None:
    svg = crew.count_drum(WORDS)
    # 12 wraps in a layer, 3 places empty: 9 wraps
    assert any("3 gaps left" in line and "12 - 3 = 9 wraps" in line for line in key(svg))
    assert len(drawn(svg, "fig-work")) == 4 + 9


def test_the_load_stays_in_the_band_between_short_moves() -> None:
    one = copy.deepcopy(plan("bittern", "54m"))
    svg = crew.short_moves(one, WORDS)
    band = next(e for e in tree(svg).iter(f"{SVG}rect") if e.get("class") == "fig-band")
    top, high = float(band.attrib["y"]), float(band.attrib["height"])
    (ground,) = drawn(svg, "fig-ground")
    level = float(re.findall(r"[\d.]+", ground)[1])
    low, most = one["inputs"]["clearance_m"], one["inputs"]["band_top_m"]
    assert (level - top) / (level - top - high) == pytest.approx(most / low, abs=0.01)
    for move in drawn(svg, "fig-go") + drawn(svg, "fig-hoist"):
        _, a, _, b = map(float, re.findall(r"[\d.]+", move))
        assert top <= min(a, b) and max(a, b) <= top + high
    assert len(drawn(svg, "fig-go")) == len(drawn(svg, "fig-hoist")) + 1, "luff out, hoist, luff out"


def test_letters_are_no_smaller_than_the_style_asks() -> None:
    assert FONT * 328 / WIDTH >= 14
