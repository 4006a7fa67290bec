"""Plan views: what lies around the slew axis, seen from above, to scale; the sketch of the briefing.

Letters stand in the drawing; what they mean stands under it, in the figure or in the page that shows it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.winding.plan_data import best_method
from hooks.figures import Words, both, figure, number, plan_title, prefix, say, side, spread, text

FONT = 12  # printed small, in a sketch of its own size
SIZE = 250  # width and height of the sketch: printed 65 mm wide, its letters are 9 points high
MARGIN = 8  # from the outermost circle to the edge

Plan = Mapping[str, Any]


@dataclass(frozen=True)
class Area:
    """What the work takes up around the slew axis [m]: the load at the start, nearest and furthest out as read under
    load, how far out is kept clear, how far to each side of the boom, and the distance of a power line of unknown
    voltage beyond."""

    start: float
    nearest: float
    furthest: float
    clear: float
    half: float
    line: float

    @property
    def inward(self) -> bool:
        """Whether the load comes nearer than where it starts, by as much as is shown."""
        return rounding.length(self.nearest, "down") != rounding.length(self.start, "down")


def area(plan: Plan, line: float) -> Area | None:
    """The area of a plan's best method; None for a refused plan."""
    best = best_method(plan)
    if best is None or best["working_radius_m"] is None:
        return None
    loaded = [radius for p in best["passes"] for m in p["moves"] if m["load_kg"] for radius in m["loaded_radius_m"]]
    start = plan["stops"]["start_radius_m"]
    return Area(start, min(start, *loaded), max(loaded), best["working_radius_m"], half_width(plan), line)


def half_width(plan: Plan) -> float:
    """How far to each side of its path the load may swing or fall: half its diagonal and the room of the rule [m]."""
    inputs = plan["inputs"]
    return hypot(inputs["load_size_m"], inputs["load_width_m"]) / 2 + float(inputs["swing_room_m"])


def svg(plan: Plan, words: Words, found: Area) -> str:
    """Plan view of the working area: crane, boom, load at the start and furthest out, its path, the sector to be kept
    clear with the slew locked, the circle to be kept clear without, and the one outside which a power line of unknown
    voltage has to be.

    Parameters
    ----------
    plan : the plan as data
    words : texts, `words["figures"]` is read
    found : the area, from `area`

    Returns: one <svg> element.  Errors: none for a valid plan.
    """
    says = words["figures"]["plan-view"]
    outer = SIZE / 2 - MARGIN
    scale = outer / (found.clear + found.line)
    x = y = SIZE / 2
    half = plan["inputs"]["load_size_m"] / 2
    rings = Markup(
        '<circle class="fig-off" cx="{x}" cy="{x}" r="{}"/><circle class="fig-off" cx="{x}" cy="{x}" r="{}"/>'
    ).format(number(outer), number(found.clear * scale), x=number(x))
    side_way = found.half * scale
    sector = Markup('<path class="fig-stop" d="M{} {}H{}V{}H{}z"/>').format(
        *map(number, (x, y - side_way, x + found.clear * scale, y + side_way, x))
    )
    out = [(found.start, "A"), (found.furthest, "B")] + ([(found.nearest, "C")] if found.inward else [])
    named = sorted((x + radius * scale, letter) for radius, letter in out)
    body = [
        rings,
        sector,
        _distance(x, y, 0.0, found.clear * scale, "R"),
        _distance(x, y, found.clear * scale, outer, "L"),
        crane(x, y, side.tail(plan["inputs"]) / 2 * scale, "fig-body"),
        boom(x, y, found.furthest * scale),
        path(x + found.nearest * scale, x + found.furthest * scale, y + side_way + 5),
        load(x + found.start * scale, y, half * scale, "fig-off"),
        load(x + found.furthest * scale, y, half * scale, "fig-load"),
        letters_over(named, y - max(half * scale, side_way) - 6, SIZE - 4),
    ]
    described = say(
        says["describe"],
        start=both(rounding.length(found.start, "up")),
        end=both(rounding.length(found.furthest, "down")),
        clear=both(rounding.length(found.clear, "up")),
        half=both(rounding.length(found.half, "up")),
        line=both(rounding.length(found.line, "up")),
    )
    ids = prefix("plan-view", plan["machine"], plan["boom"], plan["configuration"])
    return figure(ids, SIZE, plan_title(says, plan), described, body, SIZE, FONT)


def _distance(x: float, y: float, inner: float, outer: float, letter: str) -> Markup:
    """A dimension from the slew axis away from the boom, from one circle to another, with its letter."""
    lean, up = -0.5, -0.866  # 120 degrees from the boom
    line = Markup('<path class="fig-dim" d="M{} {}L{} {}"/>').format(
        *map(number, (x + lean * inner, y + up * inner, x + lean * outer, y + up * outer))
    )
    middle = (inner + outer) / 2
    return line + text(x + lean * middle - 5, y + up * middle, letter, "end", "fig-strong")


# -- pieces, all from above -------------------------------------------------------------------------------------


def crane(x: float, y: float, half: float, kind: str) -> Markup:
    """The crane, sketched: tracks or outriggers as a square about the slew axis."""
    return Markup(
        '<rect class="{k}" x="{}" y="{}" width="{w}" height="{w}" rx="2"/><circle cx="{}" cy="{}" r="2"/>'
    ).format(number(x - half), number(y - half), number(x), number(y), k=kind, w=number(2 * half))


def boom(x: float, y: float, length: float) -> Markup:
    """The boom from the slew axis outward."""
    return Markup('<path class="fig-boom" stroke-width="3" d="M{} {}H{}"/>').format(*map(number, (x, y, x + length)))


def path(x1: float, x2: float, y: float) -> Markup:
    """The way of the load from x1 to x2."""
    return Markup('<path class="fig-path" d="M{} {}H{}"/>').format(*map(number, (x1, y, x2)))


def load(x: float, y: float, half: float, kind: str) -> Markup:
    """A load."""
    return Markup('<rect class="{k}" x="{}" y="{}" width="{w}" height="{w}"/>').format(
        number(x - half), number(y - half), k=kind, w=number(2 * half)
    )


def letters_over(named: Sequence[tuple[float, str]], y: float, edge: float) -> Markup:
    """Letters over places of the drawing, apart enough to be read; the last one ends before the edge."""
    placed = spread([x for x, _ in named], FONT)
    over = max(0.0, placed[-1] - (edge - 4 * len(named[-1][1])))
    return Markup("").join(
        text(x - over, y, marks, "middle", "fig-strong") for x, (_, marks) in zip(placed, named, strict=True)
    )
