"""Where the numbers of a plan jump while one input moves a little: a sweep over the rope length.

Basis: between two changes of something whole (falls, slings, load, layer, a listed radius, wraps of the overlap, a
pass) every number follows the rope smoothly.  May import: `calc`, to plan again.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from calc import contract
from calc.model import Case

SPAN, STEPS = 0.03, 60  # share of the rope length each way; steps


@dataclass(frozen=True)
class Point:
    """One rope length [m]: what is whole in its plan, and the numbers that follow the rope."""

    rope: float
    whole: dict[str, Any]
    numbers: dict[str, float]


@dataclass(frozen=True)
class Jump:
    """From one rope length to the next: what whole thing changed, and by how much the numbers did."""

    before: Point
    after: Point

    @property
    def changed(self) -> list[str]:
        return [name for name in self.before.whole if self.before.whole[name] != self.after.whole[name]]

    @property
    def steps(self) -> dict[str, float]:
        return {name: self.after.numbers[name] - value for name, value in self.before.numbers.items()}


def point(case: Case, rope: float) -> Point:
    """The plan of a case with another rope length."""
    machine = replace(case.machine, rope=replace(case.machine.rope, length=rope))
    plan = contract.plan(replace(case, machine=machine))
    first, stops = plan["methods"][0], plan["stops"]
    ends = [move for one in first["passes"] for move in one["moves"] if move["move"] in ("luff-out", "luff-in")]
    pairs = zip(first["passes"], first["passes"][1:], strict=False)
    whole = {
        "falls": plan["falls"]["used"],
        "load": plan["load"]["net_kg"],
        "slings": [one["sling_length_m"] for one in first["passes"]],
        "passes": len(first["passes"]),
        "layer": [stops["layer_at_start"]] + [move["layer"] for move in ends],
        "listed radius": [row for row in (move["radius_m"][1] for move in ends) if _listed(plan, row)],
        "capacity": [move["rated_capacity_kg"] for one in first["passes"] for move in one["moves"]],
        "overlap": [_overlap(before, after) for before, after in pairs],
    }
    numbers = {
        "start radius [m]": stops["start_radius_m"],
        "stop height [m]": stops["hook_height_m"],
        "rope at start [m]": stops["rope_at_start_m"],
        "exact falls": plan["falls"]["exact"],
        "planned load [kg]": plan["load"]["planned_kg"],
        "firm rope, first pass [m]": first["passes"][0]["firm_rope_m"] if first["passes"] else 0.0,
        "firm rope, all passes [m]": first["passes"][-1]["firm_rope_m"] if first["passes"] else 0.0,
    }
    return Point(rope, whole, numbers)


def _listed(plan: dict[str, Any], radius: float) -> bool:
    return any(abs(row[0] - radius) < 1e-6 for chart in plan["inputs"]["charts"] for row in chart["rows"])


def _overlap(before: dict[str, Any], after: dict[str, Any]) -> int:
    """Whole wraps paid out again between two passes, counted on the drum."""
    landed, moves = before["moves"][-1], after["moves"]
    out = next(m for m in moves if m["move"] == "luff-in" and m["load_kg"])
    if landed["layer"][1] != out["layer"][1]:
        return -1
    return round(landed["wrap"][1] - out["wrap"][1])


def sweep(case: Case) -> Iterator[Jump]:
    """Every step of the sweep over the rope length of a case."""
    length = case.machine.rope.length
    points = [point(case, float(rope)) for rope in np.linspace(length * (1 - SPAN), length * (1 + SPAN), STEPS + 1)]
    return (Jump(before, after) for before, after in zip(points, points[1:], strict=False))
