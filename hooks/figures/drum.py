"""Half sections of a winch drum, to scale: which rope lies firm before and after a plan; the layers of a machine.

Wraps are drawn whole and to the cautious side: firm rope starts at the next whole wrap and ends at the last whole
one.  Layer 1 is drawn from the left flange; every second layer runs back, half a pitch over.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.formulas import drum
from calc.formulas.drum import Layer
from calc.winding.plan_fields import Inputs
from hooks.figures import (
    FONT,
    WIDTH,
    Words,
    both,
    chosen_method,
    figure,
    named,
    number,
    prefix,
    ring,
    say,
    shown,
    spread,
    swatch,
    text,
    units,
)

COLUMN = 24  # for the layer numbers on either side
FLANGE = 7  # thickness of a flange as drawn
STUB = 14  # how much of the barrel a section without axis shows
STATES = ("dead", "unreached", "firm", "loose", "away")  # of a plan; as its log left it a drum may be slack as well
PATTERNS = STATES[:-1]  # rope that is not on the drum has an outline only

Plan = Mapping[str, Any]
Stretch = tuple[str, int, int]  # state, first and last border counted in whole wraps from the barrel


@dataclass(frozen=True)
class Section:
    """Where a half section stands: units per metre, left inner edge, height of the groove root in the drawing."""

    scale: float
    left: float
    root: float
    inputs: Inputs
    layers: tuple[Layer, ...]

    @property
    def pitch(self) -> float:
        return float(self.inputs["groove_pitch_m"]) * self.scale

    @property
    def rise(self) -> float:
        """From one layer to the next."""
        return float(self.inputs["rise_ratio"] * self.inputs["rope_diameter_m"]) * self.scale

    @property
    def right(self) -> float:
        return self.left + inner_width(self.inputs) * self.scale

    def up(self, diameter: float) -> float:
        """Height in the drawing of a diameter of the drum."""
        return self.root - (diameter - float(self.inputs["groove_root_diameter_m"])) / 2 * self.scale

    @property
    def rope_bottom(self) -> float:
        """Lower edge of the row of layer 1; every row is as high as the rise, about the middle of its rope."""
        return self.up(self.layers[0].diameter) + self.rise / 2


def inner_width(inputs: Inputs) -> float:
    """Width between the flanges [m]: z*p, and half a pitch more where all layers hold the same, because every second
    layer lies half a pitch over."""
    odd, even = inputs["wraps_odd_layers"], inputs["wraps_even_layers"]
    return float(max(odd, even + 0.5) * inputs["groove_pitch_m"])


def layers_of(inputs: Inputs) -> tuple[Layer, ...]:
    """The drum's layers from the inputs of a plan."""
    return drum.layers(
        inputs["groove_root_diameter_m"],
        inputs["rope_diameter_m"],
        inputs["rise_ratio"],
        inputs["wraps_odd_layers"],
        inputs["wraps_even_layers"],
        inputs["rope_length_m"],
    )


def svg(plan: Plan, words: Words, method: str | None = None) -> str:
    """The drum before and after one method of a plan, or its best; at the start only when the plan is refused."""
    says, inputs = words["figures"]["drum"], plan["inputs"]
    chosen = chosen_method(plan, method)
    name = chosen["name"] if chosen else method or "none"
    ids = prefix("drum", plan["machine"], plan["boom"], plan["configuration"], name)
    title = say(says["title"], machine=named(plan["machine"]), boom=both(rounding.boom_length(plan["boom_length_m"])))
    layers = layers_of(inputs)
    first = section(inputs, layers, 24)
    if chosen is None:
        wound = started(plan, layers)
        heading = text(first.left, 16, say(says["start" if plan["stops"] else "all"]), classes="fig-strong")
        body = [patterns(first, ids), heading, half_section(first, wound, ids)]
        y = first.root + STUB + 20
        body.append(text(4, y, say(says["refused"]), classes="fig-strong"))
        names = _names(says, plan, None)
        key = signs([(state, names[state]) for state in states([wound])], first, ids)
        return figure(ids, y + 8, title, say(says["describe_refused"]), body, key=key)
    # the second half stands a whole number of pattern tiles lower, so that both share the patterns
    down = ceil((first.root + STUB + 8) / (2 * first.rise)) * 2 * first.rise
    second = Section(first.scale, first.left, first.root + down, inputs, layers)
    old, new = before(plan, chosen, layers), after(plan, chosen, layers)
    passes = len(chosen["passes"])
    body = [
        patterns(first, ids),
        text(first.left, 16, say(says["before"]), classes="fig-strong"),
        half_section(first, old, ids),
        text(first.left, 16 + down, say(says["after"], number=passes), classes="fig-strong"),
        half_section(second, new, ids),
    ]
    names = _names(says, plan, chosen)
    seen = [(state, names[state]) for state in states([old, new])]
    height, key = second.root + STUB + 4, signs(seen, first, ids)
    return figure(ids, height, title, _description(plan, chosen, words), body, key=key)


def machine_svg(plan: Plan, words: Words) -> str:
    """The drum of a machine: layers numbered, flange, freeboard, dead wraps, with all its rope."""
    says, inputs = words["figures"]["machine"], plan["inputs"]
    layers = layers_of(inputs)
    at = section(inputs, layers, 40)
    ids = prefix("layers", plan["machine"])
    total = count(layers, inputs["rope_length_m"], ceil)
    dead = dead_wraps(inputs)
    axis = at.up(0)
    top, outermost = at.up(inputs["flange_diameter_m"]), at.up(layers[-1].diameter + inputs["rope_diameter_m"])
    margin = (inputs["flange_diameter_m"] - layers[-1].diameter - inputs["rope_diameter_m"]) / 2
    freeboard = rounding.diameter(margin, "down")
    least = rounding.diameter(inputs["freeboard_m"], "up")
    barrel = rounding.diameter(inputs["groove_root_diameter_m"], "near")
    flange = rounding.diameter(inputs["flange_diameter_m"], "near")
    rope = rounding.rope(inputs["rope_length_m"], "near")
    middle = (at.left + at.right) / 2
    lead = at.left + min(dead, 3) * at.pitch / 2
    body = [
        patterns(at, ids),
        half_section(at, [("dead", 0, dead), ("rope", dead, total)], ids, axis),
        text(middle, 14, say(says["freeboard"], height=units(freeboard), least=units(least)), "middle"),
        Markup('<path class="fig-lead" stroke-dasharray="3 3" d="M{} {}H{}"/>').format(
            *map(number, (at.left, top, at.right))
        ),
        Markup('<path class="fig-dim" d="M{x} 18V{t}M{x} {t}V{o}m-3 0h6M{x} {t}m-3 0h6"/>').format(
            x=number(middle), t=number(top), o=number(outermost)
        ),
        Markup('<path class="fig-lead" d="M{} {}V{}h6"/>').format(number(lead), number(at.root), number(at.root + 14)),
        text(lead + 9, at.root + 18, say(says["dead"], count=dead)),
    ]
    key = [
        ("", say(says["layers"], count=len(layers))),
        ("", say(says["flange"], diameter=shown(flange))),
        ("", say(says["barrel"], diameter=shown(barrel))),
        ("", say(says["rope"], length=shown(rope))),
    ]
    body.append(
        Markup('<path class="fig-lead" stroke-dasharray="9 3 2 3" d="M4 {y}H{r}"/>').format(
            y=number(axis), r=number(WIDTH - 4)
        )
    )
    title = say(says["title"], machine=named(plan["machine"]))
    description = say(
        says["describe"],
        count=len(layers),
        barrel=both(barrel),
        flange=both(flange),
        dead=dead,
        freeboard=both(freeboard),
        least=both(least),
    )
    return figure(ids, axis + 4, title, description, body, key=key)


def section(inputs: Inputs, layers: tuple[Layer, ...], above: float) -> Section:
    """A section as wide as the figure allows, `above` units left over its flanges."""
    left = COLUMN + FLANGE
    scale = (WIDTH - 2 * left) / inner_width(inputs)
    tall = (inputs["flange_diameter_m"] - inputs["groove_root_diameter_m"]) / 2 * scale
    return Section(scale, left, above + tall, inputs, layers)


# -- which wraps are what ---------------------------------------------------------------------------------------


def count(layers: Sequence[Layer], rope: float, whole: Callable[[float], int]) -> int:
    """Whole wraps on the drum with this much rope on it, rounded by `whole` (math.floor or math.ceil)."""
    if rope <= 0:
        return 0
    layer, wrap = drum.position(tuple(layers), rope)
    wrap = round(wrap, 6)  # the contract prints six decimals: a full wrap is one
    return sum(one.wraps for one in layers[: layer - 1]) + whole(wrap)


def dead_wraps(inputs: Inputs) -> int:
    """Wraps that never leave the drum; all of layer 1 on a smooth drum."""
    return int(inputs["wraps_odd_layers"] if inputs["drum_surface"] == "smooth" else inputs["dead_wraps"])


def before(plan: Plan, chosen: Mapping[str, Any], layers: Sequence[Layer]) -> list[Stretch]:
    """The drum as the work finds it: firm as far as the log knows, above that nothing is known to be."""
    inputs = plan["inputs"]
    wound = count(layers, chosen["passes"][0]["moves"][0]["rope_on_drum_m"][0], ceil)
    total = count(layers, inputs["rope_length_m"], ceil)
    dead, known = dead_wraps(inputs), known_firm(inputs, layers)
    return _present([("dead", 0, dead), ("firm", dead, known), ("loose", known, wound), ("away", wound, total)])


def known_firm(inputs: Inputs, layers: Sequence[Layer]) -> int:
    """Whole wraps, from the dead end, known to be firm before the work; the dead wraps where no log says so."""
    return max(dead_wraps(inputs), count(layers, inputs["firm_below_m"], floor))


def started(plan: Plan, layers: Sequence[Layer]) -> list[Stretch]:
    """The drum with the hook at the start, or with all its rope where no start is known."""
    inputs, stops = plan["inputs"], plan["stops"]
    total = count(layers, inputs["rope_length_m"], ceil)
    wound = count(layers, stops["rope_at_start_m"], ceil) if stops else total
    dead, known = dead_wraps(inputs), min(wound, known_firm(inputs, layers))
    rest = "unreached" if stops else "loose"
    return _present([("dead", 0, dead), ("firm", dead, known), (rest, known, wound), ("away", wound, total)])


def after(plan: Plan, chosen: Mapping[str, Any], layers: Sequence[Layer]) -> list[Stretch]:
    """The drum after the last pass, load landed and unhooked."""
    inputs = plan["inputs"]
    landed = chosen["passes"][-1]["moves"][-1]["rope_on_drum_m"][1]
    dead, total = dead_wraps(inputs), count(layers, inputs["rope_length_m"], ceil)
    first, last = firm_rope(chosen, layers)
    begin = count(layers, first, ceil)
    end = max(begin, count(layers, last, floor))
    wound = max(end, count(layers, landed, ceil))
    known = min(begin, known_firm(inputs, layers))
    rest = ("unreached", known, begin), ("firm", begin, end), ("loose", end, wound), ("away", wound, total)
    return _present([("dead", 0, dead), ("firm", dead, known), *rest])


def firm_rope(chosen: Mapping[str, Any], layers: Sequence[Layer]) -> tuple[float, float]:
    """Rope on the drum where the firm rope of a method begins and ends [m]."""
    last = chosen["passes"][-1]
    end = drum.rope_at(tuple(layers), last["firm_to"]["layer"], last["firm_to"]["wrap"])
    return end - last["firm_rope_m"], end


def _beneath(plan: Plan, chosen: Mapping[str, Any] | None) -> float | None:
    """Rope above the dead wraps, or above what is known to be firm, that the work does not make firm [m]."""
    unreached = plan["falls"]["unreached_rope_m"]
    if chosen is None or unreached is None:
        return None if unreached is None else float(unreached)
    layers, inputs = layers_of(plan["inputs"]), plan["inputs"]
    begin, _ = firm_rope(chosen, layers)
    dead = drum.dead_rope(layers, inputs["dead_wraps"], inputs["drum_surface"])
    known = float(inputs["firm_below_m"])
    return max(0.0, begin - max(dead, known))


def _present(stretches: list[Stretch]) -> list[Stretch]:
    return [(state, low, high) for state, low, high in stretches if high > low]


def states(sections: Sequence[Sequence[Stretch]]) -> list[str]:
    """The states that any of these sections shows, in the order of the key."""
    found = {state for wound in sections for state, _, _ in wound}
    return [state for state in STATES if state in found]


# -- drawing ----------------------------------------------------------------------------------------------------


def patterns(at: Section, ids: str, names: Sequence[str] = PATTERNS) -> Markup:
    """One tile per state of these names: two layers high, one pitch wide, the upper row half a pitch over."""
    wide, high = at.pitch, at.rise
    radius = 0.45 * min(wide, high)
    places = [(wide / 2, 1.5 * high), (0.0, 0.5 * high), (wide, 0.5 * high)]
    rings, dots = ("".join(ring(x, y, size * radius) for x, y in places) for size in (1.0, 0.35))
    strokes = "".join(f"M{x - radius:.2f} {y + radius:.2f}l{2 * radius:.2f} {-2 * radius:.2f}" for x, y in places)
    tile = Markup(
        '<pattern id="{}-{}" x="{:.2f}" y="{:.2f}" width="{:.3f}" height="{:.3f}" patternUnits="userSpaceOnUse">'
        "{}</pattern>"
    )
    drawn = {
        "dead": Markup('<path class="fig-dead" d="M0 0H{:.2f}V{:.2f}H0z"/>').format(wide, 2 * high),
        "unreached": Markup('<path class="fig-loose" d="{}"/><path class="fig-unreached" d="{}"/>'),
        "firm": Markup('<path class="fig-firm" d="{}"/>'),
        "loose": Markup('<path class="fig-loose" d="{}"/>'),
        "slack": Markup('<path class="fig-dead" d="{2}"/>'),
    }
    y = at.rope_bottom - 2 * high
    return Markup("<defs>{}</defs>").format(
        Markup("").join(
            tile.format(ids, name, at.left, y, wide, 2 * high, drawn[name].format(*map(Markup, (rings, strokes, dots))))
            for name in names
        )
    )


def _rows(at: Section, low: int, high: int) -> str:
    """Path of the rows that hold the wraps from `low` to `high`, one box per layer."""
    boxes = []
    below = 0
    for layer in at.layers:
        first, last = max(low - below, 0), min(high - below, layer.wraps)
        below += layer.wraps
        if last <= first:
            continue
        wide = (last - first) * at.pitch
        edge, before = (at.left, first) if layer.number % 2 else (at.left + at.pitch / 2, layer.wraps - last)
        x = edge + before * at.pitch
        y = at.rope_bottom - layer.number * at.rise
        boxes.append(f"M{number(x)} {number(y)}h{number(wide)}v{number(at.rise)}h{number(-wide)}z")
    return "".join(boxes)


def half_section(at: Section, wound: Sequence[Stretch], ids: str, axis: float | None = None) -> Markup:
    """Barrel, flanges, rope by state, layer numbers; down to the drum's axis where one is given."""
    bottom = axis if axis is not None else at.root + STUB
    top = at.up(at.inputs["flange_diameter_m"])
    out = [
        Markup('<path class="fig-barrel" d="M{} {}V{}H{}V{}"/>').format(
            *map(number, (at.left, bottom, at.root, at.right, bottom))
        )
    ]
    flange = Markup('<rect class="fig-flange" x="{}" y="{}" width="{}" height="{}"/>')
    out += [flange.format(*map(number, (x, top, FLANGE, bottom - top))) for x in (at.left - FLANGE, at.right)]
    for state, low, high in wound:
        rows = _rows(at, low, high)
        if state == "away":
            out.append(Markup('<path class="fig-off" d="{}"/>').format(rows))
        else:
            fill = "loose" if state == "rope" else state
            out.append(Markup('<path fill="url(#{}-{})" d="{}"/>').format(ids, fill, rows))
    return Markup("").join(out) + _numbers(at)


def _numbers(at: Section) -> Markup:
    """Layer numbers: odd ones on the left, even ones on the right, apart enough to be read."""
    out: list[Markup] = []
    leads = ""
    for side in (1, 0):
        shown = [layer for layer in at.layers if layer.number % 2 == side]
        wanted = [-at.up(layer.diameter) for layer in shown]
        edge, reach = (at.left - FLANGE, -5) if side else (at.right + FLANGE, 5)
        for layer, from_y, to_y in zip(shown, wanted, spread(wanted, FONT), strict=True):
            leads += f"M{number(edge)} {number(-from_y)}L{number(edge + reach)} {number(-to_y)}"
            out.append(text(edge + reach * 1.4, -to_y + 4, str(layer.number), "end" if side else "start"))
    return Markup('<path class="fig-lead" d="{}"/>').format(leads) + Markup("").join(out)


def _names(says: Words, plan: Plan, chosen: Mapping[str, Any] | None) -> dict[str, Markup]:
    """Words of the key by state, with the lengths."""
    names = {
        "dead": say(says["dead"], count=dead_wraps(plan["inputs"])),
        "loose": say(says["loose"]),
        "away": say(says["away"]),
    }
    unreached = _beneath(plan, chosen)
    if unreached is not None:
        names["unreached"] = say(says["unreached"], length=shown(rounding.rope(unreached, "up")))
    if chosen and chosen["passes"][-1]["firm_layers"]:
        first, last = chosen["passes"][-1]["firm_layers"]
        firm = shown(rounding.rope(chosen["passes"][-1]["firm_rope_m"], "down"))
        template = says["firm"] if last > first else says["firm_one"]
        names["firm"] = say(template, length=firm, first=first, last=last)
    if below := plan["inputs"]["firm_below_m"]:
        by_log = say(says["firm_by_log"], length=shown(rounding.rope(below, "down")))
        names["firm"] = Markup("{}; {}").format(names["firm"], by_log) if "firm" in names else by_log
    return names


def signs(names: Sequence[tuple[str, Markup]], at: Section, ids: str) -> list[tuple[Markup, Markup]]:
    """The key to the states of rope: of each a piece of layer 1 in its pattern."""
    # a pattern belongs to the rows of the drum: its sign is cut out where layer 1 lies
    box = at.left, at.rope_bottom - at.rise, max(2, round(30 / at.pitch)) * at.pitch, at.rise
    return [
        (swatch("fig-off") if name == "away" else swatch(fill=f"{ids}-{name}", box=box), words) for name, words in names
    ]


def _description(plan: Plan, chosen: Mapping[str, Any], words: Words) -> Markup:
    says, passes = words["figures"]["drum"], chosen["passes"]
    last = passes[-1]
    landed = last["moves"][-1]["rope_on_drum_m"][1]
    _, end = firm_rope(chosen, layers_of(plan["inputs"]))
    lengths = {
        "before": (passes[0]["moves"][0]["rope_on_drum_m"][0], "up"),
        "firm": (last["firm_rope_m"], "down"),
        "unreached": (_beneath(plan, chosen) or 0.0, "up"),
        "loose": (max(0.0, landed - end), "up"),
        "away": (plan["inputs"]["rope_length_m"] - landed, "up"),
    }
    return say(
        says["describe"],
        dead=dead_wraps(plan["inputs"]),
        passes=say(says["pass" if len(passes) == 1 else "passes"], number=len(passes)),
        method=words["figures"]["methods"][chosen["name"]],
        **{name: both(rounding.rope(length, side)) for name, (length, side) in lengths.items()},
    )
