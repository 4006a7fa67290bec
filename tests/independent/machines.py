"""Plausible machines from a seed, written as data files, so that the whole path from file to plan runs.

Basis: no outside data; proportions as cranes have them (drum 18 to 25 rope diameters, line pull a fifth to a quarter of
the breaking force, rope four to eight times the longest boom, charts of strength, stability and boom weight), spread
widely on purpose.  JSON is YAML, so the files are JSON.  May import: numpy.  Must not know: how a plan is computed.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterable
from math import ceil, cos, floor, pi, radians, sqrt
from pathlib import Path
from typing import Any

import numpy as np

GRAVITY = 9.80665
RULES = Path(__file__).resolve().parent.parent.parent / "rules"
Document = dict[str, Any]

_CHAPTERS = ("rope", "drum", "winch", "reeving", "boom", "charts", "telescoping")
_FORCE_FACTOR, _MASS_FACTOR = 0.35, 0.45  # of a compacted rotation-resistant rope: N per mm2 and grade, kg per 100 m


class Metric:
    """Writes quantities in metric units, rounded as data sheets are."""

    system = "metric"

    def length(self, metres: float, digits: int = 2) -> str:
        return f"{round(metres, digits):.{digits}f} m"

    def small(self, metres: float) -> str:
        return f"{metres * 1000:.1f} mm"

    def boom(self, metres: float) -> str:
        return f"{metres:.0f} m"

    def mass(self, kilograms: float) -> str:
        return f"{kilograms:.0f} kg"

    def capacity(self, kilograms: float) -> str:
        return f"{floor(kilograms / 100) / 10:.1f} t"

    def per_length(self, kilograms_per_metre: float) -> str:
        return f"{kilograms_per_metre:.2f} kg/m"

    def force(self, newtons: float) -> str:
        return f"{newtons / 1000:.0f} kN"

    def speed(self, metres_per_second: float) -> str:
        return f"{metres_per_second * 60:.0f} m/min"

    def power(self, watts: float) -> str:
        return f"{watts / 1000:.0f} kW"

    def radii(self, furthest: float) -> list[float]:
        fine, even, wide = np.arange(3, 6, 0.5), np.arange(6, 14, 1.0), np.arange(14, 40, 2.0)
        series = np.concatenate([fine, even, wide, np.arange(40, 200, 4.0)])
        return [float(radius) for radius in series if radius <= furthest]


class Us(Metric):
    """Writes quantities in US units."""

    system = "us"

    def length(self, metres: float, digits: int = 2) -> str:
        return f"{metres / 0.3048:.{digits}f} ft"

    def small(self, metres: float) -> str:
        return f"{metres / 0.0254:.3f} in"

    def boom(self, metres: float) -> str:
        return f"{metres / 0.3048:.0f} ft"

    def mass(self, kilograms: float) -> str:
        return f"{kilograms / 0.45359237:.0f} lb"

    def capacity(self, kilograms: float) -> str:
        return f"{floor(kilograms / 45.359237) * 100:.0f} lb"

    def per_length(self, kilograms_per_metre: float) -> str:
        return f"{kilograms_per_metre / 0.45359237 * 0.3048:.2f} lb/ft"

    def force(self, newtons: float) -> str:
        return f"{newtons / 4.4482216152605:.0f} lbf"

    def speed(self, metres_per_second: float) -> str:
        return f"{metres_per_second / 0.3048 * 60:.0f} ft/min"

    def power(self, watts: float) -> str:
        return f"{watts / 745.7:.0f} hp"

    def radii(self, furthest: float) -> list[float]:
        feet = np.concatenate([np.arange(10, 40, 2.5), np.arange(40, 100, 5.0), np.arange(100, 600, 10.0)])
        return [float(radius * 0.3048) for radius in feet if radius * 0.3048 <= furthest]


def documents(seed: int, number: int) -> tuple[Document, Document]:
    """Machine and yard `number` of a seed, as in their files."""
    rng = np.random.default_rng([seed, number])
    write = Us() if rng.random() < 0.4 else Metric()
    telescopic = bool(rng.random() < 0.5)
    name = f"random-{number:04d}"
    steps = _booms(rng, telescopic)
    rope = _rope(rng, steps[-1], telescopic)
    falls = int(rng.integers(10, 25))
    pull = rope["force"] / rng.uniform(4.1, 5.4)
    drum, winch = _drum_and_winch(rng, write, rope, pull)
    rulebook = str(rng.choice(["iso", "us"]))
    pivot = rng.uniform(-2, 0) if telescopic else rng.uniform(0.6, 2)
    blocks, strongest = _blocks(rng, write, falls, pull)
    configurations: list[Document] = []
    largest = 0.0
    while not configurations:
        configurations, largest = _configurations(rng, write, steps, telescopic, pivot, strongest, pull, rope["length"])
    bearings = str(rng.choice(["rolling", "plain"], p=[0.8, 0.2]))
    machine: Document = {
        "id": name,
        "name": name,
        "kind": "telescopic" if telescopic else "lattice",
        "capacity_class": write.capacity(largest * 1.05 + 200),
        "status": "draft",
        "revision": "2026-11-02",
        "rulebook": rulebook,
        "yard": name,
        "units": write.system,
        "description": "Drawn by a random generator for tests.",
        "source": {"title": "Random generator of the tests", "pages": dict.fromkeys(_CHAPTERS, "none")},
        "rope": {
            "diameter": write.small(rope["diameter"]),
            "length": write.length(rope["length"], 0),
            "mass": write.per_length(rope["mass"]),
            "minimum_breaking_force": write.force(rope["force"]),
            "construction": "35(W)x7",
            "grade": "2160 N/mm2",
            "rotation_resistant": True,
        },
        "drum": drum,
        "winch": winch,
        "reeving": {
            "sheave_radius": write.small(rope["diameter"] * rng.uniform(9.5, 12)),
            "sheaves_to_drum": int(rng.choice([1, 1, 1, 2, 3])),
            "bearings": bearings,
            "most_falls": falls,
            "upper_stop": write.length(rng.uniform(1.8, 3.3)),
        },
        "blocks": blocks,
        "boom": _boom(rng, write, telescopic, pivot),
        "configurations": configurations,
    }
    overrides = _overrides(rng, machine)
    if overrides:
        machine["overrides"] = overrides
    return machine, _yard(rng, write, name, pull)


def _booms(rng: np.random.Generator, telescopic: bool) -> list[float]:
    """Boom lengths [m], whole tens of feet or whole metres come out of the writing."""
    longest = rng.uniform(30, 66) if telescopic else rng.uniform(36, 130)
    shortest = max(11.0, longest / rng.uniform(2.2, 4.6))
    count = int(rng.integers(3, 7))
    step = max(1, round((longest - shortest) / count / 3.048))
    return [3.048 * (round(shortest / 3.048) + step * i) for i in range(count + 1)]


def _rope(rng: np.random.Generator, longest: float, telescopic: bool) -> dict[str, float]:
    diameter = round(float(rng.uniform(0.014, 0.032)), 3)
    times = rng.uniform(3.8, 5.6) if telescopic else rng.uniform(4.5, 8.3)
    return {
        "diameter": diameter,
        "length": 5 * round(longest * times / 5),
        "force": _FORCE_FACTOR * (diameter * 1000) ** 2 * 2160 * rng.uniform(0.95, 1.05),
        "mass": _MASS_FACTOR * (diameter * 100) ** 2 * rng.uniform(0.95, 1.05),
    }


def _drum_and_winch(
    rng: np.random.Generator, write: Metric, rope: dict[str, float], pull: float
) -> tuple[Document, Document]:
    d, length = rope["diameter"], rope["length"]
    barrel, pitch = d * rng.uniform(18, 25), d * rng.uniform(1.035, 1.06)
    wished = int(rng.integers(4, 10))
    wraps = max(12, ceil(length / (pi * (barrel + 0.95 * d * wished) * wished)))
    fewer = int(rng.random() < 0.3)
    layers, laid = 0, 0.0
    while laid < length:
        laid += (wraps - fewer * (layers % 2)) * pi * (barrel + d * (1 + 2 * 0.85 * layers)) * 0.99
        layers += 1
    speed = rng.uniform(55, 140) / 60
    drum = {
        "groove_root_diameter": write.small(barrel),
        "groove_pitch": write.small(pitch),
        "wraps": {"odd_layers": wraps, "even_layers": wraps - fewer},
        "flange_diameter": write.small(barrel + 2 * d * layers + 4 * d),
        "width": write.small(wraps * pitch + 0.9 * d),
        "surface": str(rng.choice(["parallel-grooved", "helical-grooved", "smooth"], p=[0.6, 0.25, 0.15])),
    }
    winch: Document = {
        "rated_line_pull": write.force(pull),
        "rated_layer": int(rng.choice([1, max(1, layers - 2), max(1, layers - 1)])),
        "line_speed": write.speed(speed),
        "power": write.power(pull * speed * rng.uniform(0.25, 0.6)),
    }
    if rng.random() < 0.3:
        winch["drag"] = write.force(rng.uniform(600, 2400))
    return drum, winch


def _blocks(rng: np.random.Generator, write: Metric, falls: int, pull: float) -> tuple[list[Document], float]:
    """Hook blocks that together take one to `falls` falls, neighbours overlapping; and what the strongest takes."""
    blocks: list[Document] = []
    least, strongest = 1, 0.0
    while True:
        most = min(falls, int(least * rng.uniform(1.7, 3)) + 2)
        if falls - most < 2:
            most = falls
        strongest = most * pull / GRAVITY * rng.uniform(0.75, 0.98)
        block = {
            "id": f"block-{len(blocks) + 1}",
            "mass": write.mass(strongest * rng.uniform(0.015, 0.04) + 150),
            "height": write.length(0.6 + 0.12 * sqrt(strongest / 1000)),
            "falls": [least, most],
            "capacity": write.capacity(strongest * (0.3 if rng.random() < 0.05 else 1)),
        }
        blocks.append(block)
        if most == falls:
            return blocks, strongest
        least = most + 1 - int(rng.integers(0, 2 + (most - least) // 2))


def _boom(rng: np.random.Generator, write: Metric, telescopic: bool, pivot: float) -> Document:
    boom: Document = {
        "pivot": {
            "forward_of_slew_axis" if pivot >= 0 else "behind_slew_axis": write.length(abs(pivot)),
            "above_ground": write.length(rng.uniform(1.5, 3.2)),
        },
        "winch_height": write.length(rng.uniform(1.6, 2.8)),
        "rope_path": {str(rng.choice(["longer_than_boom", "shorter_than_boom"])): write.length(rng.uniform(0, 3))},
        "luffing_per_minute": f"{rng.uniform(5, 32):.1f} deg",
        "least_angle": f"{rng.uniform(18, 32):.0f} deg",
        "load_return": str(
            rng.choice(["none", "crawler-travels", "helper-machine", "second-load"], p=[0.1, 0.3, 0.3, 0.3])
        ),
    }
    if telescopic:
        boom["telescoping"] = write.speed(rng.uniform(5, 9) / 60)
        boom["clear_radius"] = write.length(rng.uniform(4, 6.5), 1)
    return boom


def _configurations(
    rng: np.random.Generator,
    write: Metric,
    steps: list[float],
    telescopic: bool,
    pivot: float,
    strongest: float,
    pull: float,
    rope_length: float,
) -> tuple[list[Document], float]:
    """One or two configurations of charts, the weaker one first, none where the draw carries too little; and the
    largest capacity."""
    strength = strongest * rng.uniform(0.3, 1.0)
    slope, tail, own = rng.uniform(0.9, 1.25), rng.uniform(1, 4.4), rng.uniform(0.3, 0.75)
    moment = strength * rng.uniform(3, 8)
    listed = [write.boom(step) for step in steps]
    lengths = [float(text.split()[0]) * (0.3048 if text.endswith("ft") else 1) for text in listed]
    loads = [1.0 + rng.uniform(0, 0.6) for _ in lengths]
    unlisted = telescopic and rng.random() < 0.15
    # a section sequence may make a boom weaker far out than the next longer one is there
    weak_end = rng.uniform(0.3, 0.9) if telescopic and rng.random() < 0.25 else 1.0

    def charts(share: float) -> tuple[list[Document], float]:
        made: list[Document] = []
        largest, telescoping = 0.0, strongest
        for text, length, factor in zip(listed, lengths, loads, strict=True):
            rows = []
            far = pivot + length * cos(radians(25))
            for radius in write.radii(far):
                if radius < max(3.0, pivot + length * cos(radians(82))):
                    continue
                by_strength = strength * (lengths[0] / length) ** slope
                boom_moment = own * share * moment * length / lengths[-1] * radius / (0.9 * lengths[-1])
                by_stability = (share * moment - boom_moment) / max(radius - tail + 1, 1.0)
                capacity = min(by_strength, by_stability) * (weak_end if radius > 0.8 * far else 1.0)
                if capacity < 600:
                    break
                rows.append([write.length(radius), write.capacity(capacity)])
                largest = max(largest, capacity)
            if len(rows) < 3:
                break
            chart: Document = {"boom_length": text, "rows": rows}
            if telescopic and not (unlisted and text == listed[1]):
                needed = 0.1 * pull / GRAVITY * max(1.0, rope_length / length) * factor
                telescoping = min(telescoping, needed + 300)
                chart["telescoping"] = write.capacity(telescoping)
            made.append(chart)
        return made, largest

    full, largest = charts(1.0)
    reduced = charts(rng.uniform(0.6, 0.8))[0] if rng.random() < 0.3 else []
    named = [("reduced", "Reduced counterweight", reduced), ("full", "Full counterweight", full)]
    return [{"id": id, "name": name, "charts": made} for id, name, made in named if made], largest


def _overrides(rng: np.random.Generator, machine: Document) -> list[Document]:
    """Some values as a machine's own manual might state them."""
    surface = "rise_ratio_" + machine["drum"]["surface"].replace("-", "_")
    bearings = machine["reeving"]["bearings"]
    possible = [
        ("firm-tension", "firm_tension_share", f"{rng.uniform(7, 12):.1f} %"),
        ("minimum-load", "minimum_share", f"{rng.uniform(8, 14):.1f} %"),
        ("unreached-rope", "unreached_limit", f"{rng.uniform(15, 60):.0f} %"),
        (f"dead-wraps-{machine['rulebook']}", "dead_wraps", int(rng.integers(2, 5))),
        ("stop-wraps", "stop_wraps", int(rng.integers(5, 8))),
        ("stop-margin", "stop_margin", f"{rng.uniform(0.2, 0.9):.2f} m"),
        ("stop-margin", "stop_margin_share", f"{rng.uniform(0.1, 1.5):.1f} %"),
        ("overlap", "overlap_wraps", int(rng.integers(2, 8))),
        ("overlap", "sling_slack", f"{rng.uniform(0, 0.4):.2f} m"),
        ("load-kept-low", "clearance", f"{rng.uniform(0.3, 0.9):.1f} m"),
        ("passes", "most_passes", int(rng.integers(1, 6))),
        ("passes", "least_gain_share", f"{rng.uniform(1, 5):.1f} %"),
        (f"boom-deflection-{machine['kind']}", "deflection_share", f"{rng.uniform(0.2, 5):.1f} %"),
        ("sheave-efficiency", f"{bearings}_efficiency", f"{rng.uniform(95, 99):.1f} %"),
        ("rise-ratio", surface, f"{rng.uniform(86, 100):.0f} %"),
        ("working-speeds", "winding_speed", f"{rng.uniform(15, 45):.0f} m/min"),
        ("working-speeds", "pay_out_speed", f"{rng.uniform(30, 90):.0f} m/min"),
        ("time-allowances", "re_pick_time", f"{rng.uniform(4, 20):.1f} min"),
        ("motions", "change_time", f"{rng.uniform(5, 40):.0f} s"),
        ("motions", "winch_efficiency", f"{rng.uniform(60, 95):.0f} %"),
        ("capacity-use", "largest_capacity_use", f"{rng.uniform(75, 100):.0f} %"),
        ("capacity-use", "largest_telescoping_use", f"{rng.uniform(75, 100):.0f} %"),
        ("count-the-drum", "count_tolerance", int(rng.integers(1, 6))),
        ("reach-height", "reach_height", f"{rng.uniform(1.5, 2.5):.1f} m"),
        ("free-sheaves", "sheave_efficiency_upper", f"{rng.uniform(99, 100):.1f} %"),
        ("accepted-load", "accepted_share", f"{rng.uniform(95, 100):.0f} %"),
        ("rope-length-by-count", "hook_height_error", f"{rng.uniform(0.1, 0.4):.1f} m"),
        ("stack-room", "stack_room", f"{rng.uniform(0.2, 1):.1f} m"),
    ]
    count = int(rng.integers(0, 6)) if rng.random() < 0.6 else 0
    chosen = rng.choice(len(possible), size=count, replace=False)
    return [
        {"rule": rule, "value": value, "quantity": quantity, "page": "1", "reason": "Drawn by the test generator."}
        for rule, value, quantity in (possible[int(i)] for i in sorted(chosen))
    ]


def _yard(rng: np.random.Generator, write: Metric, name: str, pull: float) -> Document:
    """Weights in six sizes, the smallest about an eighth of what one more fall asks for; slings and extensions.

    Now and then a yard no plan fits: slings or stacks as high as no hook goes on such a crane.
    """
    smallest = 50 * round(max(2.0, pull * 0.1 / GRAVITY * rng.uniform(0.1, 0.3) / 50))
    capacity = write.capacity(float(rng.choice([8, 20, 40, 60, 60])) * 1000)
    odd = rng.random()
    slings = 9.0 if odd < 0.04 else rng.uniform(2, 4)
    height = 10.0 if odd > 0.96 else rng.uniform(1.2, 2.0)
    yard: Document = {
        "id": name,
        "name": name,
        "weights": _weights(rng, write, smallest),
        "slings": {
            "id": "chain-set",
            "name": "chain sling",
            "length": write.length(slings, 1),
            "mass": write.mass(rng.uniform(40, 140)),
            "capacity": capacity,
        },
        "extensions": [
            {
                "id": f"extension-{number + 1}",
                "name": f"sling extension {number + 1}",
                "length": write.length(length, 1),
                "mass": write.mass(rng.uniform(10, 60)),
                "capacity": capacity,
            }
            for number, length in enumerate(_extensions(rng))
        ],
        "load": {"height": write.length(height, 1), "length": "2.7 m", "width": "1.8 m"},
    }
    if rng.random() < 0.12:
        yard["working_radius"] = write.length(rng.uniform(10, 45), 0)
    return yard


def _weights(rng: np.random.Generator, write: Metric, smallest: float) -> list[Document]:
    """Weights from large to small, mostly so that the small ones lie inside the plan of the large."""
    steps = [(40, 4), (20, 3), (8, 3), (4, 2), (2, 2), (1, 2)]
    lengths, widths = 2.5 * rng.uniform(0.3, 0.95, len(steps)), 1.7 * rng.uniform(0.3, 1, len(steps))
    if rng.random() < 0.85:
        lengths, widths = np.sort(lengths)[::-1], np.sort(widths)[::-1]
    kinds = []
    for kind, (times, count) in enumerate(steps):
        length, width, height = float(lengths[kind]), float(widths[kind]), rng.uniform(0.1, 0.5)
        weight: Document = {
            "id": f"weight-{kind + 1}",
            "name": f"weight {kind + 1}",
            "mass": write.mass(smallest * times),
            "length": write.length(max(length, width)),
            "width": write.length(min(length, width)),
            "height": write.length(height),
            "count": count,
        }
        if rng.random() < 0.4:  # lugs that stand out, or lie further in, lower than the upper face
            weight["lifting_points"] = {
                "height": write.length(height * rng.uniform(0.4, 1)),
                "length": write.length(max(length, width) * rng.uniform(0.6, 1.1)),
                "width": write.length(min(length, width) * rng.uniform(0.6, 1.1)),
            }
        kinds.append(weight)
    return kinds


def _extensions(rng: np.random.Generator) -> list[float]:
    """Sling extensions [m], at most four and 20 m together."""
    drawn = rng.choice(
        [1, 2, 3, 4, 6, 8], size=int(rng.choice([0, 1, 2, 3, 4], p=[0.1, 0.1, 0.2, 0.3, 0.3])), replace=False
    )
    return [float(length) for length, sum_up in zip(drawn, np.cumsum(drawn), strict=True) if sum_up <= 20]


def write_folder(folder: Path, made: Iterable[tuple[Document, Document]]) -> Path:
    """A data folder of these machines and yards with the real rulebook; returns its path."""
    rules = folder / "rules"
    shutil.copytree(RULES / "rulebook", rules / "rulebook")
    for name in ("machines", "yards"):
        (rules / name).mkdir()
    for machine, yard in made:
        (rules / "machines" / f"{machine['id']}.yaml").write_text(json.dumps(machine), encoding="utf-8")
        (rules / "yards" / f"{yard['id']}.yaml").write_text(json.dumps(yard), encoding="utf-8")
    return rules
