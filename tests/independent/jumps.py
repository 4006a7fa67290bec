"""Where the numbers of a plan jump while one input moves a little: a sweep over the rope length.

Basis: between two changes of something whole (falls, slings, load, layer, a listed radius, firm wraps, a pass) every
number follows the rope smoothly.  May import: `calc`, to plan again.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from calc.data.model import Case
from calc.winding import plan_data
from calc.winding.plan_fields import Pass, Plan

STEPS = 60 if "FIRMWRAP_MACHINES" in os.environ else 20
SPAN = 0.0005 * STEPS  # share of the rope length each way


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
    plan = plan_data.plan(replace(case, machine=machine))
    first, stops = plan["methods"][0], plan["stops"]
    ends = [move for one in first["passes"] for move in one["moves"] if move["move"] in ("luff-out", "luff-in")]
    whole = {
        "falls": plan["falls"]["used"],
        "load": plan["load"]["net_kg"],
        "slings": [one["sling_length_m"] for one in first["passes"]],
        "passes": len(first["passes"]),
        "layer": [stops["layer_at_start"]] + [move["layer"] for move in ends],
        "listed radius": [row for row in (move["radius_m"][1] for move in ends) if _listed(plan, row)],
        "capacity": [move["rated_capacity_kg"] for one in first["passes"] for move in one["moves"]],
        "firm to": [one["firm_to"] for one in first["passes"]],
        "wound from": [_wound_from(one) for one in first["passes"]],
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


def _listed(plan: Plan, radius: float) -> bool:
    return any(abs(row[0] - radius) < 1e-6 for chart in plan["inputs"]["charts"] for row in chart["rows"])


def _wound_from(one: Pass) -> int | None:
    """Whole wraps the load is lowered to before winding goes on; none in a first pass."""
    lowered = (move for move in one["moves"] if move["move"] == "luff-in" and move["load_kg"])
    return next((round(move["wrap"][1]) for move in lowered), None)


def sweep(case: Case) -> Iterator[Jump]:
    """Every step of the sweep over the rope length of a case."""
    length = case.machine.rope.length
    points = [point(case, float(rope)) for rope in np.linspace(length * (1 - SPAN), length * (1 + SPAN), STEPS + 1)]
    return (Jump(before, after) for before, after in pairwise(points))
