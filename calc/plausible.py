"""Does the data of a machine make sense?  Contradictions stop everything; oddities ask for an engineer's answer.

May import: model, drum, boom, rope.  Must not know: files, lines, how rules are chosen; limits come as values.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import cos, degrees

from calc import STANDARD_GRAVITY, drum, rope
from calc.model import Block, Chart, Machine

Path = tuple[str | int, ...]
Limits = Mapping[str, float]

ROUNDING = 1e-6  # m; sums of floats against a length as written


@dataclass(frozen=True)
class Oddity:
    """One thing that cannot be (contradiction) or is unusual; `path` is its place in the machine's file."""

    code: str
    path: Path
    text: str
    contradiction: bool = False


def oddities(machine: Machine, layers: tuple[drum.Layer, ...], limits: Limits) -> Iterator[Oddity]:
    """Everything odd about a machine; `limits` holds freeboard [m] and the values of rulebook.FOR_THE_CHECK."""
    yield from _drum(machine, layers, limits)
    yield from _rope(machine, limits)
    yield from _blocks(machine, limits)
    for i, configuration in enumerate(machine.configurations):
        for j, chart in enumerate(configuration.charts):
            path: Path = ("configurations", i, "charts", j)
            yield from _chart(machine, chart, path)
            if j and machine.kind == "telescopic":
                yield from _against_shorter_boom(chart, configuration.charts[j - 1], path)


def _drum(machine: Machine, layers: tuple[drum.Layer, ...], limits: Limits) -> Iterator[Oddity]:
    d, diameter = machine.drum, machine.rope.diameter
    outside = drum.outside_diameter(layers, diameter, 0)
    wanted = drum.outside_diameter(layers, diameter, limits["freeboard"])
    count = f"{machine.rope.length:g} m of rope make {len(layers)} layers, {_mm(outside)} across"
    if outside > d.flange_diameter + ROUNDING:
        text = f"{count}, above the flange of {_mm(d.flange_diameter)}; check rope length, wraps and flange"
        yield Oddity("rope-above-flange", ("drum", "flange_diameter"), text, True)
    elif wanted > d.flange_diameter + ROUNDING:
        text = f"{count}; with the freeboard of the rule {_mm(wanted)}, the flange has {_mm(d.flange_diameter)}"
        yield Oddity("freeboard", ("drum", "flange_diameter"), text)
    if machine.winch.rated_layer > len(layers):
        text = f"is {machine.winch.rated_layer}, but {count}; rate the winch at a layer the rope has"
        yield Oddity("rated-layer", ("winch", "rated_layer"), text, True)
    if not d.wraps_odd_layers - 1 <= d.wraps_even_layers <= d.wraps_odd_layers:
        text = f"is {d.wraps_even_layers}, odd layers hold {d.wraps_odd_layers}; write the same or one less"
        yield Oddity("even-layers", ("drum", "wraps", "even_layers"), text, True)
    yield from _width(machine, limits)


def _width(machine: Machine, limits: Limits) -> Iterator[Oddity]:
    d, diameter = machine.drum, machine.rope.diameter
    needed = d.wraps_odd_layers * d.groove_pitch
    if needed > d.width + ROUNDING:
        text = f"{d.wraps_odd_layers} wraps at {_mm(d.groove_pitch)} need {_mm(needed)}, the drum has {_mm(d.width)}"
        yield Oddity("wraps-wider-than-drum", ("drum", "width"), text + "; check wraps, pitch and width", True)
    elif d.width - needed >= d.groove_pitch:
        text = f"{d.wraps_odd_layers} wraps need {_mm(needed)} of {_mm(d.width)}: there is room for another wrap"
        yield Oddity("room-for-a-wrap", ("drum", "wraps"), text)
    if d.groove_pitch < diameter or (d.groove_pitch == diameter and d.surface != "smooth"):
        text = f"is {_mm(d.groove_pitch)}, the rope is {_mm(diameter)} thick; the pitch is larger than the rope"
        yield Oddity("pitch-below-rope", ("drum", "groove_pitch"), text, True)
    elif d.groove_pitch > limits["pitch_most"] * diameter:
        text = f"is {d.groove_pitch / diameter:.2f} rope diameters; up to {limits['pitch_most']:.2f} is usual"
        yield Oddity("wide-pitch", ("drum", "groove_pitch"), text)


def _rope(machine: Machine, limits: Limits) -> Iterator[Oddity]:
    r, pull = machine.rope, machine.winch.rated_line_pull
    if pull >= r.minimum_breaking_force:
        text = f"is {_kn(pull)}, the rope breaks at {_kn(r.minimum_breaking_force)}; check both"
        yield Oddity("pull-above-breaking-force", ("winch", "rated_line_pull"), text, True)
    elif (factor := rope.design_factor(r.minimum_breaking_force, pull)) < limits["design_factor"]:
        text = f"leaves a design factor of {factor:.2f}; the rule asks for {limits['design_factor']:g}"
        yield Oddity("design-factor", ("winch", "rated_line_pull"), text)
    implied = rope.minimum_breaking_force(r.diameter, r.construction, r.grade)
    if abs(r.minimum_breaking_force / implied - 1) > limits["breaking_force_tolerance"]:
        text = f"is {_kn(r.minimum_breaking_force)}; construction and grade imply about {_kn(implied)}"
        yield Oddity("breaking-force", ("rope", "minimum_breaking_force"), text)
    mass = rope.mass_per_length(r.diameter, r.construction)
    if abs(r.mass_per_length / mass - 1) > limits["rope_mass_tolerance"]:
        text = f"is {r.mass_per_length:.2f} kg/m; the construction implies about {mass:.2f} kg/m"
        yield Oddity("rope-mass", ("rope", "mass"), text)


def _blocks(machine: Machine, limits: Limits) -> Iterator[Oddity]:
    for i, block in enumerate(machine.blocks):
        yield from _block(machine, block, ("blocks", i), limits)
    strongest = max(block.capacity for block in machine.blocks)
    largest = max(capacity for c in machine.configurations for chart in c.charts for _, capacity in chart.rows)
    if largest > strongest + 1:
        text = f"the strongest takes {_t(strongest)}, the charts list up to {_t(largest)}"
        yield Oddity("no-block-for-the-chart", ("blocks",), text)
    if largest > machine.capacity_class + 1:
        text = f"is {_t(machine.capacity_class)}, the charts list up to {_t(largest)}"
        yield Oddity("chart-above-class", ("capacity_class",), text)


def _block(machine: Machine, block: Block, path: Path, limits: Limits) -> Iterator[Oddity]:
    line = block.most_falls * machine.winch.rated_line_pull / STANDARD_GRAVITY
    if block.capacity > line:
        text = f"is {_t(block.capacity)}; {block.most_falls} falls carry {_t(line)} at the rated line pull"
        yield Oddity("block-above-line-pull", (*path, "capacity"), text)
    share = block.mass / block.capacity
    if not limits["block_mass_least"] <= share <= limits["block_mass_most"]:
        usual = f"{limits['block_mass_least'] * 100:.1f} to {limits['block_mass_most'] * 100:.1f} %"
        yield Oddity("block-mass", (*path, "mass"), f"is {share * 100:.1f} % of the block's capacity; {usual} is usual")


def _chart(machine: Machine, chart: Chart, path: Path) -> Iterator[Oddity]:
    pivot, reach = machine.boom.pivot_forward, chart.boom_length
    longest = pivot + reach * cos(machine.boom.least_angle)
    for k, (radius, capacity) in enumerate(chart.rows):
        here = (*path, "rows", k)
        if radius >= pivot + reach:
            text = f"radius {radius:g} m is out of reach: this boom ends {pivot + reach:.1f} m from the slew axis"
            yield Oddity("out-of-reach", here, text + "; check radius and boom length", True)
        elif radius > longest + 0.01:
            text = f"radius {radius:g} m is below the least boom angle of {degrees(machine.boom.least_angle):g} deg"
            yield Oddity("below-least-angle", here, text)
        if radius <= pivot:
            text = f"radius {radius:g} m needs a boom leaning back over its pivot"
            yield Oddity("boom-leaning-back", here, text)
        if k and capacity > chart.rows[k - 1][1]:
            text = f"{_t(capacity)} at {radius:g} m is more than at the radius before"
            yield Oddity("capacity-rises", here, text)


def _against_shorter_boom(chart: Chart, shorter: Chart, path: Path) -> Iterator[Oddity]:
    listed = dict(shorter.rows)
    for k, (radius, capacity) in enumerate(chart.rows):
        if capacity > listed.get(radius, capacity):
            text = f"{_t(capacity)} at {radius:g} m is more than the shorter boom of {shorter.boom_length:g} m carries"
            yield Oddity("above-shorter-boom", (*path, "rows", k), text)
    if chart.telescoping and shorter.telescoping and chart.telescoping > shorter.telescoping:
        text = f"{_t(chart.telescoping)} is more than the shorter boom may telescope with"
        yield Oddity("telescoping-rises", (*path, "telescoping"), text)


def _mm(length: float) -> str:
    return f"{length * 1000:.1f} mm"


def _kn(force: float) -> str:
    return f"{force / 1000:.0f} kN"


def _t(mass: float) -> str:
    return f"{mass / 1000:.1f} t"
