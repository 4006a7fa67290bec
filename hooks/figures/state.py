"""The drum as the log of its rope left it: half section to scale, and layer by layer the tension at laying.

Wraps are drawn whole and to the cautious side: firm rope starts at the next whole wrap and ends at the last whole one.
Tension is the least at which a piece of rope was laid, as a share of the rated line pull, to one scale for all layers,
over the wraps where they lie: odd layers run from the left flange, even ones back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.winding.plan_fields import Inputs
from hooks.figures import WIDTH, Words, drum, figure, named, number, prefix, say, stroke, text

STATES = ("dead", "unreached", "firm", "loose", "slack", "away")  # in the order of the key
STRIP = 18  # height of the largest tension
LINE = 19  # from the line of words to the strip beneath it
LAYER = LINE + STRIP + 7  # from one layer to the next
ROUNDING = 1e-4  # metres and wraps: places of the same border, printed to six decimals, differ by less

State = Mapping[str, Any]


@dataclass(frozen=True)
class Piece:
    """Rope of one layer in one state: layer, first and last wrap in it, the least and largest tension at laying [N],
    entry of the log and how it laid the rope."""

    state: str  # dead | unreached: loose where the rules let rope be | firm | loose | slack: laid with no tension
    layer: int
    wraps: tuple[float, float]
    tension: tuple[float, float]
    entry: int
    how: str


def pieces(state: State, may_stay: float) -> list[Piece]:
    """The rope on the drum by state, from the dead end outward; `may_stay` [m] of it the rules let lie unreached."""
    found: list[Piece] = []
    for layer in state["layers"]:
        for piece in _in_layer(state, layer, may_stay):
            before = found[-1] if found else None
            if before and (before.state, before.layer, before.entry, before.how) == (
                piece.state, piece.layer, piece.entry, piece.how,
            ):  # fmt: skip
                tension = min(before.tension[0], piece.tension[0]), max(before.tension[1], piece.tension[1])
                wraps = before.wraps[0], piece.wraps[1]
                found[-1] = Piece(piece.state, piece.layer, wraps, tension, piece.entry, piece.how)
            else:
                found.append(piece)
    return found


def _in_layer(state: State, layer: Mapping[str, Any], may_stay: float) -> Iterator[Piece]:
    """Each run of a layer, cut where rope of another state begins."""
    start, end = layer["rope_m"]
    wrap = (end - start) / layer["wraps"]
    cuts = {state["dead_rope_m"], may_stay, *(edge for stretch in state["loose"] for edge in stretch["rope_m"])}
    for run in layer["runs"]:
        first, last = (start + edge * wrap for edge in run["wraps"])
        edges = [first]
        edges += [cut for cut in sorted(cuts) if first + ROUNDING < cut < last - ROUNDING]
        edges = [low for low, high in pairwise([*edges, last]) if high - low > ROUNDING] + [last]
        for low, high in pairwise(edges):
            name, tension = _judged(state, run, (low + high) / 2, may_stay)
            wraps = (low - start) / wrap, (high - start) / wrap
            yield Piece(name, layer["layer"], wraps, tension, run["entry"], run["how"])


def _judged(state: State, run: Mapping[str, Any], middle: float, may_stay: float) -> tuple[str, tuple[float, float]]:
    """State of the rope about the `middle` [m] of a piece of a run, and its tension at laying [N]."""
    least, most = run["tension_n"]
    firm = state["firm_tension_n"]
    if middle < state["dead_rope_m"]:
        return "dead", (least, most)
    if any(low < middle < high for low, high in (stretch["rope_m"] for stretch in state["loose"])):
        return ("loose" if most > 0 else "slack"), (least, min(most, firm))
    if middle < may_stay and least < firm * (1 - 1e-9):
        return "unreached", (least, most)
    return "firm", (max(least, min(most, firm)), most)


def svg(state: State, inputs: Inputs, may_stay: float, words: Words) -> str:
    """The drum on the day of a state."""
    says = words["figures"]["state"]
    layers = drum.layers_of(inputs)
    at = drum.section(inputs, layers, 8)
    ids = prefix("state", state["machine"], state["day"])
    found = pieces(state, may_stay)
    wound = whole(found, state, inputs)
    shown = [name for name in STATES if any(name == one for one, _, _ in wound)]
    body = [drum.patterns(at, ids, [n for n in shown if n != "away"]), drum.half_section(at, wound, ids)]
    share = rounding.tenth_share(state["firm_tension_n"] / state["rated_line_pull_n"], "near")
    names = [(name, say(says["key"][name], share=share)) for name in shown]
    y = at.root + drum.STUB
    body.append(text(4, y + 22, say(says["tension"]), classes="fig-strong"))
    strips, height = _strips(y + 30, at, state, found, says)
    key = [*drum.signs(names, at, ids), (stroke("fig-stop"), say(says["scale"]))]
    title = say(says["title"], machine=named(state["machine"]), day=state["day"])
    return figure(ids, height, title, _description(state, found, says), [*body, *strips], key=key)


def whole(found: Sequence[Piece], state: State, inputs: Inputs) -> list[drum.Stretch]:
    """The pieces in whole wraps counted from the barrel, and what of the rope is not on the drum.

    Where firm rope begins the next whole wrap counts, where it ends the last one.
    """
    below = {layer["layer"]: sum(one["wraps"] for one in state["layers"][: layer["layer"] - 1])
             for layer in state["layers"]}  # fmt: skip
    joined: list[tuple[str, float, float]] = []
    for piece in found:
        low, high = (below[piece.layer] + wrap for wrap in piece.wraps)
        if joined and joined[-1][0] == piece.state:
            joined[-1] = (piece.state, joined[-1][1], high)
        else:
            joined.append((piece.state, low, high))
    total = drum.count(drum.layers_of(inputs), inputs["rope_length_m"], ceil)
    joined.append(("away", joined[-1][2] if joined else 0.0, float(total)))
    ends = [0, *(border(before, wrap) for before, _, wrap in joined[:-1]), total]
    return [(name, low, high) for (name, _, _), low, high in zip(joined, ends, ends[1:], strict=False) if high > low]


def border(before: str, wrap: float) -> int:
    """The whole wrap at which rope in the state `before` ends: firm rope with its last whole wrap, any other with the
    next one.

    >>> border("firm", 7.44), border("loose", 7.44), border("dead", 2.9999996)
    (7, 8, 3)
    """
    return floor(wrap + ROUNDING) if before == "firm" else ceil(wrap - ROUNDING)


def _strips(
    y: float, at: drum.Section, state: State, found: Sequence[Piece], says: Words
) -> tuple[list[Markup], float]:
    """Tension at laying, the outermost layer on top as on the drum, and the height where the figure ends."""
    firm = state["firm_tension_n"]
    scale = STRIP / max(firm, *(piece.tension[1] for piece in found), 1.0)
    out: list[Markup] = []
    for layer in reversed(state["layers"]):
        mine = [piece for piece in found if piece.layer == layer["layer"]]
        if not mine:
            continue
        name, reach = _said(says, state, layer["layer"], mine)
        out += [text(4, y + 13, name), text(WIDTH - 4, y + 13, reach, "end")]
        bottom = y + LINE + STRIP
        out += [_box(at, layer, piece, bottom, scale) for piece in mine]
        level = number(bottom - firm * scale)
        ends = number(at.left), number(at.right)
        out.append(Markup('<path class="fig-dim" d="M{} {}H{}"/>').format(ends[0], number(bottom), ends[1]))
        out.append(Markup('<path class="fig-stop" d="M{} {}H{}"/>').format(ends[0], level, ends[1]))
        y += LAYER
    return out, y


def _box(at: drum.Section, layer: Mapping[str, Any], piece: Piece, bottom: float, scale: float) -> Markup:
    first, last = piece.wraps
    odd = layer["layer"] % 2
    x = at.left + (first * at.pitch if odd else at.pitch / 2 + (layer["wraps"] - last) * at.pitch)
    high = piece.tension[0] * scale
    kind = {"dead": "fig-dead", "firm": "fig-firm"}.get(piece.state, "fig-loose")
    return Markup('<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>').format(
        kind, *map(number, (x, bottom - high, (last - first) * at.pitch, high))
    )


def _said(says: Words, state: State, layer: int, mine: Sequence[Piece]) -> tuple[Markup, Markup]:
    """One layer in words: "Layer 3: firm, loose" and "2.3 to 12.0 %"."""
    names = list(dict.fromkeys(says["states"][piece.state] for piece in mine))
    rated = state["rated_line_pull_n"]
    least = rounding.tenth_share(min(piece.tension[0] for piece in mine) / rated, "down")
    most = rounding.tenth_share(max(piece.tension[1] for piece in mine) / rated, "down")
    label = say(says["layer"], layer=layer, states=", ".join(names))
    return label, say(says["reach"], least=least.removesuffix(" %"), most=most) if least != most else Markup(most)


def _description(state: State, found: Sequence[Piece], says: Words) -> Markup:
    layers = [layer["layer"] for layer in state["layers"]]
    by_layer = [(layer, [piece for piece in found if piece.layer == layer]) for layer in layers]
    said = ["; ".join(_said(says, state, layer, mine)) + "." for layer, mine in by_layer if mine]
    share = rounding.tenth_share(state["firm_tension_n"] / state["rated_line_pull_n"], "near")
    return Markup(" ").join([say(says["describe"], share=share), *map(Markup, said)])


def on_a_day(states: Sequence[State], inputs: Inputs, may_stay: float, words: Words) -> str:
    """The drum on one day: `svg` of the only one of the `states`; `inputs`, `may_stay`, `words` as there."""
    (one,) = states
    return svg(one, inputs, may_stay, words)


def before_and_after(states: Sequence[State], inputs: Inputs, may_stay: float, words: Words) -> str:
    """The drum on two days, one above the other, in half section."""
    says = words["figures"]["state"]
    layers = drum.layers_of(inputs)
    first = drum.section(inputs, layers, 24)
    # the second half stands a whole number of pattern tiles lower, so that both share the patterns
    down = ceil((first.root + drum.STUB + 8) / (2 * first.rise)) * 2 * first.rise
    second = drum.Section(first.scale, first.left, first.root + down, inputs, layers)
    ids = prefix("state", states[0]["machine"], states[0]["day"], states[1]["day"])
    found = [pieces(state, may_stay) for state in states]
    wound = [whole(mine, state, inputs) for mine, state in zip(found, states, strict=True)]
    shown = [name for name in STATES if any(name == one for half in wound for one, _, _ in half)]
    body = [drum.patterns(first, ids, [n for n in shown if n != "away"])]
    for at, state, half, y in zip((first, second), states, wound, (16, 16 + down), strict=True):
        body.append(text(first.left, y, say(says["on"], day=state["day"]), classes="fig-strong"))
        body.append(drum.half_section(at, half, ids))
    share = rounding.tenth_share(states[1]["firm_tension_n"] / states[1]["rated_line_pull_n"], "near")
    names = [(name, say(says["key"][name], share=share)) for name in shown]
    said = Markup(" ").join(
        say(says["on_described"], day=state["day"], layers=_description(state, mine, says))
        for state, mine in zip(states, found, strict=True)
    )
    title = say(says["title_two"], machine=named(states[0]["machine"]), first=states[0]["day"], last=states[1]["day"])
    return figure(ids, second.root + drum.STUB + 4, title, said, body, key=drum.signs(names, first, ids))
