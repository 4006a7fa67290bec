"""The figures of the rope pages: the caliper, the rope between reel and drum, worn rope after a cut.

Expected places come from plain geometry; the drawings are read from their SVG.
"""

from __future__ import annotations

import re
from math import hypot, pi, sqrt
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
import yaml
from conftest import DATA
from test_figures import SVG, tree

from calc.data import look_up
from calc.winding import plan_data
from hooks.figures import rope

ROOT = Path(__file__).resolve().parent.parent
WORDS = yaml.safe_load((ROOT / "hooks/words/figures.en.yaml").read_text(encoding="utf-8"))
PLANS = [
    plan_data.plan(look_up.case(DATA, machine.id, machine.configurations[0].charts[-1].slug, None, "2026-12-01"))
    for machine in DATA.machines.values()
]
every_machine = pytest.mark.parametrize("plan", PLANS, ids=[plan["machine"] for plan in PLANS])


def of_class(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [element for element in root.iter() if element.get("class") == name]


def circles(path: str) -> list[tuple[float, float, float]]:
    """Middle and radius of every ring in a path."""
    found = re.findall(r"M(-?[\d.]+) (-?[\d.]+)a([\d.]+) ", path)
    return [(float(x) + float(r), float(y), float(r)) for x, y, r in found]


@every_machine
def test_the_jaws_touch_the_rope(plan: dict[str, Any]) -> None:
    """Six equal circles in a row about the middle, all touching, in a circle of diameter d: they are d/3 thick.

    Across two opposite ones the jaws stand d apart, across the valleys d*(1 + sqrt(3))/3: 8.9 % too little.
    """
    root = tree(rope.measure(plan, WORDS))
    widths = []
    for outside, jaws, strands in zip(
        of_class(root, "fig-off"), of_class(root, "fig-flange"), of_class(root, "fig-barrel"), strict=True
    ):
        (x, y, radius), six = circles(outside.attrib["d"])[0], circles(strands.attrib["d"])
        assert len(six) == 6
        for a, b, r in six:
            assert r == pytest.approx(radius / 3, abs=0.02)
            assert hypot(a - x, b - y) + r == pytest.approx(radius, abs=0.03)
        found = re.fullmatch(r"M\S+ (\S+)v-9H\S+V(\S+)H\S+v-9H\S+V(\S+)z", jaws.attrib["d"])
        assert found and found[1] == found[3]
        top, bottom = float(found[1]), float(found[2]) - 9
        assert top == pytest.approx(min(b - r for _, b, r in six), abs=0.1)
        assert bottom == pytest.approx(max(b + r for _, b, r in six), abs=0.1)
        widths.append((bottom - top) / (2 * radius))
    assert widths == pytest.approx([1.0, (1 + sqrt(3)) / 3], abs=0.003)
    assert (1 + sqrt(3)) / 3 == pytest.approx(0.911, abs=0.001)


@every_machine
def test_the_rope_leaves_the_reel_and_meets_the_drum_square(plan: dict[str, Any]) -> None:
    """A tangent stands at right angles to both radii; right ways stay on one side, the wrong one changes over."""
    root = tree(rope.reel_to_drum(plan, WORDS))
    around = [circles(element.attrib["d"])[0] for element in of_class(root, "fig-body")]
    outer = [circles(element.attrib["d"])[0] for element in of_class(root, "fig-flange")]
    ways = [tuple(map(float, re.findall(r"-?[\d.]+", e.attrib["d"]))) for e in of_class(root, "fig-pull")]
    sides = []
    for count, (x1, y1, x2, y2) in enumerate(ways):
        reel, barrel = around[2 * count : 2 * count + 2]
        for (x, y), (a, b, r) in (((x1, y1), reel), ((x2, y2), barrel)):
            assert hypot(x - a, y - b) == pytest.approx(r, abs=0.15)
            assert (x - a) * (x2 - x1) + (y - b) * (y2 - y1) == pytest.approx(0, abs=0.15 * hypot(x2 - x1, y2 - y1))
        sides.append((y1 < reel[1], y2 < barrel[1]))
    assert sides == [(True, True), (False, False), (True, False)]
    inputs = plan["inputs"]
    scale = inputs["groove_root_diameter_m"] / inputs["flange_diameter_m"]
    assert around[1][2] / outer[1][2] == pytest.approx(scale, abs=0.001)


@every_machine
def test_worn_rope_lies_where_the_cut_moves_it(plan: dict[str, Any]) -> None:
    """Shift in turns: cut over the length of one wrap, pi*D; worn rope of width w about 1/4 and 3/4 of the turn."""
    root = tree(rope.crossover_shift(plan, WORDS))
    inputs = plan["inputs"]
    count = plan["inputs"]["rope_length_m"]
    d, rise = inputs["rope_diameter_m"], inputs["rise_ratio"]
    across: list[float] = []
    while count > 0:  # layer by layer from the barrel
        across.append(inputs["groove_root_diameter_m"] + d * (1 + 2 * rise * len(across)))
        wraps = inputs["wraps_even_layers" if len(across) % 2 == 0 else "wraps_odd_layers"]
        count -= wraps * pi * across[-1]
    turns = [e for e in of_class(root, "fig-barrel") if e.tag == f"{SVG}rect"]
    assert len(turns) == 3 + len(across)
    cut = across[(len(across) - 1) // 2] / 4
    shifts = [1.0, 0.5, 0.25, *(cut / diameter for diameter in reversed(across))]
    for turn, shift in zip(turns, shifts, strict=True):
        left, wide, y = (float(turn.attrib[name]) for name in ("x", "width", "y"))
        zones = spans(root, "fig-stop", left, wide, y, y)
        worn = spans(root, "fig-dead", left, wide, y, y + 4)
        if turn is turns[-1]:
            assert zones == worn == [], "layer 1 lies on the barrel, crosses nothing and does not wear there"
            continue
        middles = sorted((zone[0] + zone[1]) / 2 for zone in zones)
        assert middles == pytest.approx([0.25, 0.75], abs=0.002)
        for middle in middles:
            place = (middle + shift) % 1
            assert any(a - 0.002 <= place <= b + 0.002 for a, b in worn)
        overlap = any(a < zone[1] - 0.002 and b > zone[0] + 0.002 for a, b in worn for zone in zones)
        assert overlap == (shift in (1.0, 0.5))


def spans(
    root: ElementTree.Element, name: str, left: float, wide: float, least: float, most: float
) -> list[tuple[float, float]]:
    """Where the boxes of one kind in one row begin and end, in turns."""
    boxes = [e for e in of_class(root, name) if least <= float(e.attrib["y"]) <= most]
    rows = ((float(e.attrib["x"]), float(e.attrib["width"])) for e in boxes)
    return [((x - left) / wide, (x + width - left) / wide) for x, width in rows]
