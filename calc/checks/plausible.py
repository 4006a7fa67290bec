"""Does the data of a machine make sense?  Contradictions stop everything; oddities ask for an engineer's answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import cos, degrees

from calc import rounding
from calc.data.files import Where
from calc.data.model import Block, Boom, Chart, Jib, Machine
from calc.formulas import LENGTH_SLACK, STANDARD_GRAVITY, drum, rope
from calc.rounding import Pair
from calc.winding import arms

Limits = Mapping[str, float]


@dataclass(frozen=True)
class Oddity:
    """One thing that cannot be (contradiction) or is unusual; `path` is its place in the machine's file, `text` says
    it in metric and in US units."""

    code: str
    path: Where
    text: Pair
    contradiction: bool = False


def oddities(machine: Machine, layers: tuple[drum.Layer, ...], limits: Limits) -> Iterator[Oddity]:
    """Everything odd about a machine and the `layers` of its drum.

    `limits` holds freeboard [m] and the values of rule_values.FOR_THE_CHECK.
    """
    yield from _drum(machine, layers, limits)
    yield from _rope(machine, limits)
    yield from _blocks(machine, limits)
    for i, configuration in enumerate(machine.configurations):
        jib = machine.jib(configuration)
        yield from chart_oddities(machine.kind, machine.boom, configuration.charts, ("configurations", i), jib)


def chart_oddities(
    kind: str, boom: Boom, charts: tuple[Chart, ...], path: Where, jib: Jib | None = None
) -> Iterator[Oddity]:
    """Everything odd about the `charts` of the configuration at `path`, for a `boom` of this `kind`
    with this `jib`, if any."""
    for j, chart in enumerate(charts):
        here = (*path, "charts", j)
        yield from _chart(boom, jib, chart, here)
        if j and kind == "telescopic":
            yield from _against_shorter_boom(chart, charts[j - 1], here)


def _drum(machine: Machine, layers: tuple[drum.Layer, ...], limits: Limits) -> Iterator[Oddity]:
    d, diameter = machine.drum, machine.rope.diameter
    outside = drum.outside_diameter(layers, diameter, 0)
    wanted = drum.outside_diameter(layers, diameter, limits["freeboard"])
    count = _said("{} of rope make {} layers, {} across", _m(machine.rope.length), len(layers), _mm(outside))
    if outside > d.flange_diameter + LENGTH_SLACK:
        text = _said("{}, above the flange of {}; check rope length, wraps and flange", count, _mm(d.flange_diameter))
        yield Oddity("rope-above-flange", ("drum", "flange_diameter"), text, True)
    elif wanted > d.flange_diameter + LENGTH_SLACK:
        said = "{}; with the freeboard of the rule {}, the flange has {}"
        text = _said(said, count, _mm(wanted), _mm(d.flange_diameter))
        yield Oddity("freeboard", ("drum", "flange_diameter"), text)
    if machine.winch.rated_layer > len(layers):
        text = _said("is {}, but {}; rate the winch at a layer the rope has", machine.winch.rated_layer, count)
        yield Oddity("rated-layer", ("winch", "rated_layer"), text, True)
    if not d.wraps_odd_layers - 1 <= d.wraps_even_layers <= d.wraps_odd_layers:
        text = _said("is {}, odd layers hold {}; write the same or one less", d.wraps_even_layers, d.wraps_odd_layers)
        yield Oddity("even-layers", ("drum", "wraps", "even_layers"), text, True)
    across = rope.diameters_across(layers[0].diameter, diameter)
    if across < limits["drum_diameters"] - LENGTH_SLACK:
        said = "is {}: the first layer is {:.1f} rope diameters across, the rule asks for {:g}"
        text = _said(said, _mm(d.groove_root_diameter), across, limits["drum_diameters"])
        yield Oddity("small-drum", ("drum", "groove_root_diameter"), text)
    yield from _width(machine, limits)


def _width(machine: Machine, limits: Limits) -> Iterator[Oddity]:
    d, diameter = machine.drum, machine.rope.diameter
    wraps, pitch = d.wraps_odd_layers, d.groove_pitch
    needed = wraps * pitch
    if needed > d.width + LENGTH_SLACK:
        text = "{} wraps at {} need {}, the drum has {}; check wraps, pitch and width"
        said = _said(text, wraps, _mm(pitch), _mm(needed), _mm(d.width))
        yield Oddity("wraps-wider-than-drum", ("drum", "width"), said, True)
    elif d.width - needed >= pitch:
        said = _said("{} wraps need {} of {}: there is room for another wrap", wraps, _mm(needed), _mm(d.width))
        yield Oddity("room-for-a-wrap", ("drum", "wraps"), said)
    if pitch < diameter or (pitch == diameter and d.surface != "smooth"):
        said = _said("is {}, the rope is {} thick; the pitch is larger than the rope", _mm(pitch), _mm(diameter))
        yield Oddity("pitch-below-rope", ("drum", "groove_pitch"), said, True)
    elif pitch > limits["pitch_most"] * diameter:
        said = _said("is {:.2f} rope diameters; up to {:.2f} is usual", pitch / diameter, limits["pitch_most"])
        yield Oddity("wide-pitch", ("drum", "groove_pitch"), said)


def _rope(machine: Machine, limits: Limits) -> Iterator[Oddity]:
    r, pull = machine.rope, machine.winch.rated_line_pull
    if pull >= r.minimum_breaking_force:
        text = _said("is {}, the rope breaks at {}; check both", _kn(pull), _kn(r.minimum_breaking_force))
        yield Oddity("pull-above-breaking-force", ("winch", "rated_line_pull"), text, True)
    elif (factor := rope.design_factor(r.minimum_breaking_force, pull)) < limits["design_factor"]:
        text = _said("leaves a design factor of {:.2f}; the rule asks for {:g}", factor, limits["design_factor"])
        yield Oddity("design-factor", ("winch", "rated_line_pull"), text)
    implied = rope.minimum_breaking_force(r.diameter, r.construction, r.grade)
    if abs(r.minimum_breaking_force / implied - 1) > limits["breaking_force_tolerance"]:
        text = _said("is {}; construction and grade imply about {}", _kn(r.minimum_breaking_force), _kn(implied))
        yield Oddity("breaking-force", ("rope", "minimum_breaking_force"), text)
    mass = rope.mass_per_length(r.diameter, r.construction)
    if abs(r.mass_per_length / mass - 1) > limits["rope_mass_tolerance"]:
        text = _said("is {}; the construction implies about {}", _kg_m(r.mass_per_length), _kg_m(mass))
        yield Oddity("rope-mass", ("rope", "mass"), text)


def _blocks(machine: Machine, limits: Limits) -> Iterator[Oddity]:
    for i, block in enumerate(machine.blocks):
        yield from _block(machine, block, ("blocks", i), limits)
    strongest = max(block.capacity for block in machine.blocks)
    largest = max(capacity for c in machine.configurations for chart in c.charts for _, capacity in chart.rows)
    if largest > strongest + 1:
        text = _said("the strongest takes {}, the charts list up to {}", _t(strongest), _t(largest))
        yield Oddity("no-block-for-the-chart", ("blocks",), text)
    if largest > machine.capacity_class + 1:
        text = _said("is {}, the charts list up to {}", _t(machine.capacity_class), _t(largest))
        yield Oddity("chart-above-class", ("capacity_class",), text)


def _block(machine: Machine, block: Block, path: Where, limits: Limits) -> Iterator[Oddity]:
    line = block.most_falls * machine.winch.rated_line_pull / STANDARD_GRAVITY
    if block.capacity > line:
        said = _said("is {}; {} falls carry {} at the rated line pull", _t(block.capacity), block.most_falls, _t(line))
        yield Oddity("block-above-line-pull", (*path, "capacity"), said)
    share = block.mass / block.capacity
    least, most = limits["block_mass_least"], limits["block_mass_most"]
    if not least <= share <= most:
        text = "is {:.1f} % of the block's capacity; {:.1f} to {:.1f} % is usual"
        yield Oddity("block-mass", (*path, "mass"), _said(text, share * 100, least * 100, most * 100))


def _chart(boom: Boom, jib: Jib | None, chart: Chart, path: Where) -> Iterator[Oddity]:
    arm = arms.made(boom, jib, chart.boom_length)
    pivot, reach = arm.pivot_forward, arm.length
    least = boom.least_angle_with(jib)
    longest = pivot + reach * cos(max(0.0, least - arm.steeper))
    for k, (radius, capacity) in enumerate(chart.rows):
        here = (*path, "rows", k)
        if radius >= pivot + reach:
            text = "radius {} is out of reach: this boom ends {} from the slew axis; check radius and boom length"
            yield Oddity("out-of-reach", here, _said(text, _m(radius), _m(pivot + reach)), True)
        elif radius > longest + 0.01:
            text = "radius {} is below the least boom angle of {:g} deg"
            yield Oddity("below-least-angle", here, _said(text, _m(radius), degrees(least)))
        if radius <= pivot:
            text = "radius {} needs a boom leaning back over its pivot"
            yield Oddity("boom-leaning-back", here, _said(text, _m(radius)))
        if k and capacity > chart.rows[k - 1][1]:
            text = "{} at {} is more than at the radius before"
            yield Oddity("capacity-rises", here, _said(text, _t(capacity), _m(radius)))


def _against_shorter_boom(chart: Chart, shorter: Chart, path: Where) -> Iterator[Oddity]:
    listed = dict(shorter.rows)
    for k, (radius, capacity) in enumerate(chart.rows):
        if capacity > listed.get(radius, capacity):
            text = "{} at {} is more than the shorter boom of {} carries"
            said = _said(text, _t(capacity), _m(radius), _m(shorter.boom_length))
            yield Oddity("above-shorter-boom", (*path, "rows", k), said)
    if chart.telescoping and shorter.telescoping and chart.telescoping > shorter.telescoping:
        said = _said("{} is more than the shorter boom may telescope with", _t(chart.telescoping))
        yield Oddity("telescoping-rises", (*path, "telescoping"), said)


def _said(text: str, *numbers: Pair | float) -> Pair:
    """One sentence in both unit systems; a bare number is the same in both."""
    metric, us = ([n[i] if isinstance(n, Pair) else n for n in numbers] for i in (0, 1))
    return Pair(text.format(*metric), text.format(*us))


def _m(length: float) -> Pair:
    return Pair(f"{round(length, 1):g} m", f"{round(length / rounding.METRES_PER_FOOT, 1):g} ft")


def _mm(length: float) -> Pair:
    return Pair(f"{length * 1000:.1f} mm", f"{length / rounding.METRES_PER_FOOT * 12:.2f} in")


def _kn(force: float) -> Pair:
    return Pair(f"{force / 1000:.0f} kN", f"{force / rounding.NEWTONS_PER_POUND_FORCE:,.0f} lbf")


def _t(mass: float) -> Pair:
    return Pair(f"{mass / 1000:.1f} t", f"{mass / rounding.KILOGRAMS_PER_POUND:,.0f} lb")


def _kg_m(mass: float) -> Pair:
    return rounding.mass_per_length(mass, "near")
