"""Figures of the drum for the procedure pages, each drawn from one plan: how a wrap is named, what firm looks like and
what stops the work, how much rope leaves the drum with the boom up and with the boom down.

Rope, groove pitch and rise are drawn in their own proportion.  Numbers go to the cautious side: rope on the drum down,
rope off it up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import Any

from markupsafe import Markup

from calc import rounding
from hooks.figures import (
    FONT,
    WIDTH,
    Words,
    both,
    chosen_method,
    drum,
    figure,
    no_figure,
    number,
    plan_title,
    prefix,
    ring,
    say,
    spread,
    swatch,
    text,
    units,
)

LEFT = 4
PANEL = 160  # width of one small section
GAP = 12  # between two of them
WRAPS = 7  # in one layer of a small section
BAR = 22  # height of a bar of rope

Plan = Mapping[str, Any]
Wrap = tuple[float, float]  # middle of one wrap: along the drum in pitches, up in rope diameters


def wrap_name(plan: Plan, words: Words) -> str:
    """Half section of the drum after the first pass, with the wrap at the start and the outermost wrap named."""
    says, chosen = words["figures"]["wrap-name"], chosen_method(plan, None)
    ids = prefix("wrap-name", plan["machine"], plan["boom"], plan["configuration"])
    if chosen is None:
        return no_figure(ids, says, plan)
    inputs, one = plan["inputs"], chosen["passes"][0]
    layers = drum.layers_of(inputs)
    at = drum.section(inputs, layers, 34)
    begin = plan["stops"]["layer_at_start"], plan["stops"]["wrap_at_start"]
    landed = one["moves"][-1]
    end = landed["layer"][1], landed["wrap"][1]
    body = [
        drum.patterns(at, ids),
        drum.half_section(at, drum.after(plan, {**chosen, "passes": [one]}, layers), ids),
        _named(at, {"A": begin, "B": end}),
    ]
    named = {letter: (layer, rounding.wraps(wrap, "near")) for letter, (layer, wrap) in (("A", begin), ("B", end))}
    lines = [(letter, say(says[letter], layer=layer, wrap=wrap)) for letter, (layer, wrap) in named.items()]
    lines += [("", say(says["odd"])), ("", say(says["even"]))]
    (layer, wrap), (last_layer, last_wrap) = named.values()
    described = say(says["describe"], layer=layer, wrap=wrap, last_layer=last_layer, last_wrap=last_wrap)
    return figure(ids, at.root + drum.STUB + 4, plan_title(says, plan), described, body, key=lines)


def signs(plan: Plan, words: Words) -> str:
    """Four small sections: wraps that lie firm, a gap, a wrap that climbs, a wrap pulled in."""
    says, inputs = words["figures"]["signs"], plan["inputs"]
    ids = prefix("signs", plan["machine"], plan["boom"], plan["configuration"])
    pitch = inputs["groove_pitch_m"] / inputs["rope_diameter_m"]
    rise = inputs["rise_ratio"]
    scale = (PANEL - 2) / ((WRAPS + 0.5) * pitch)  # units for one rope diameter
    tall = (3 * rise + 1.2) * scale + 20
    body: list[Markup] = []
    panels = (
        ("firm", "go_on", _firm),
        ("gap", "stop", _gap),
        ("climb", "stop", _climb),
        ("pulled", "stop", _pulled),
    )
    for count, (name, then, draw) in enumerate(panels):
        left = LEFT + count % 2 * (PANEL + GAP)
        bottom = 14 + tall + count // 2 * (tall + 36)
        body.append(text(left, bottom - tall, say(says[name]), classes="fig-strong"))
        flange = Markup('<path class="fig-ground" d="M{l} {b}H{r}V{t}"/>').format(
            l=number(left), b=number(bottom), r=number(left + PANEL), t=number(bottom - tall + 8)
        )
        body.append(flange)
        plain, marked = draw(pitch, rise)
        for kind, wraps in (("fig-loose", plain), ("fig-firm", marked)):
            rings = (ring(left + 1 + x * scale, bottom - 1 - y * scale, 0.47 * scale) for x, y in wraps)
            body.append(Markup('<path class="{}" d="{}"/>').format(kind, Markup("".join(rings))))
        body.append(text(left, bottom + 15, say(says[then])))
    height = 14 + 2 * tall + 36 + 26
    return figure(ids, height, plan_title(says, plan), say(says["describe"]), body)


def rope_off(plan: Plan, words: Words) -> str:
    """Two bars of the whole rope: what is off the drum with the block low and the boom up, and with the block at the
    boom head as it is with the boom down.
    """
    says, chosen = words["figures"]["rope-off"], chosen_method(plan, "luff-out")  # the boom keeps its length
    ids = prefix("rope-off", plan["machine"], plan["boom"], plan["configuration"])
    if chosen is None:
        return no_figure(ids, says, plan)
    total = plan["inputs"]["rope_length_m"]
    last = chosen["passes"][-1]
    firm = last["moves"][-1]["rope_on_drum_m"][1] - last["overlap_m"]
    start = firm - last["firm_rope_m"]
    up, down = plan["stops"]["rope_at_start_m"], chosen["firm_share_limit"] * total
    scale = (WIDTH - 2 * LEFT) / total
    body: list[Markup] = []
    y = 4.0
    for name, on_drum in (("up", up), ("down", down)):
        body.append(text(LEFT, y + FONT, say(says[name], falls=plan["falls"]["used"]), classes="fig-strong"))
        for kind, a, b in (
            ("fig-barrel", 0.0, min(start, on_drum)),
            ("fig-firm", start, min(firm, on_drum)),
            ("fig-loose", firm, on_drum),
            ("fig-off", on_drum, total),
        ):
            if b > a:
                body.append(
                    Markup('<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>').format(
                        kind, *map(number, (LEFT + a * scale, y + 19, (b - a) * scale, BAR))
                    )
                )
        lines = say(says["on"], length=units(rounding.rope(on_drum, "down")))
        off = say(says["off"], length=units(rounding.rope(total - on_drum, "up")))
        body.append(text(LEFT, y + BAR + 35, lines))
        body.append(text(WIDTH - LEFT, y + BAR + 35, off, "end"))
        y += BAR + 56
    kinds = (("fig-barrel", "start"), ("fig-firm", "firm"), ("fig-loose", "loose"), ("fig-off", "away"))
    key = [(swatch(kind), say(says[name])) for kind, name in kinds]
    described = say(
        says["describe"],
        falls=plan["falls"]["used"],
        up=both(rounding.rope(total - up, "up")),
        down=both(rounding.rope(total - down, "up")),
        firm=both(rounding.rope(firm - start, "down")),
    )
    return figure(ids, y - 15, plan_title(says, plan), described, body, key=key)


# -- pieces -----------------------------------------------------------------------------------------------------


def _named(at: drum.Section, wraps: Mapping[str, tuple[int, float]]) -> Markup:
    """A ring about each wrap (layer, wraps in it) and a line from it to its letter above the flanges."""
    places = []
    for letter, (layer, wrap) in wraps.items():
        one = at.layers[layer - 1]
        along = wrap - 0.5 if layer % 2 else one.wraps - wrap + 1  # even layers run back, half a pitch over
        places.append((at.left + max(along, 0.5) * at.pitch, at.up(one.diameter), letter))
    places.sort()
    radius, top = 0.75 * at.pitch, at.up(at.inputs["flange_diameter_m"]) - 8
    drawn = Markup("")
    for over, (x, y, letter) in zip(spread([place[0] for place in places], FONT), places, strict=True):
        drawn += Markup(
            '<path class="fig-dim" d="M{o} {t}L{x} {e}"/>'
            '<circle class="fig-dim" fill="none" cx="{x}" cy="{y}" r="{r}"/>'
        ).format(o=number(over), t=number(top), x=number(x), e=number(y - radius), y=number(y), r=number(radius))
        drawn += text(over, top - 4, letter, "middle", "fig-strong")
    return drawn


def _layer(number_: int, pitch: float, rise: float, count: int = WRAPS) -> list[Wrap]:
    """The wraps of one layer as they should lie; every second layer half a pitch over."""
    over = 0.0 if number_ % 2 else 0.5
    return [((one + 0.5 + over) * pitch, 0.5 + (number_ - 1) * rise) for one in range(count)]


def _firm(pitch: float, rise: float) -> tuple[Sequence[Wrap], Sequence[Wrap]]:
    return [], [*_layer(1, pitch, rise), *_layer(2, pitch, rise), *_layer(3, pitch, rise)]


def _gap(pitch: float, rise: float) -> tuple[Sequence[Wrap], Sequence[Wrap]]:
    """One hollow between the wraps of the outermost layer stays empty."""
    top = _layer(3, pitch, rise, 5)
    return [(x + pitch, y) for x, y in top[3:]], [*_layer(1, pitch, rise), *_layer(2, pitch, rise), *top[:3]]


def _climb(pitch: float, rise: float) -> tuple[Sequence[Wrap], Sequence[Wrap]]:
    """A wrap that lies on its own layer instead of beside the last one."""
    top = _layer(3, pitch, rise, 5)
    climbed = ((top[3][0] + top[4][0]) / 2, top[4][1] + rise)
    return [climbed], [*_layer(1, pitch, rise), *_layer(2, pitch, rise), *top]


def _pulled(pitch: float, rise: float) -> tuple[Sequence[Wrap], Sequence[Wrap]]:
    """A wrap wedged between two wraps of the layer beneath, which lie loose, have moved apart and ride up."""
    aside = 0.25 * pitch
    up = 0.5 + max(rise, sqrt(1 - (pitch / 2 - aside) ** 2))
    moved = [(x + (aside if at > 2 else -aside), up) for at, (x, _) in enumerate(_layer(2, pitch, rise, WRAPS - 1))]
    (left, _), (right, _) = moved[2], moved[3]
    wedged = ((left + right) / 2, up + sqrt(1 - ((right - left) / 2) ** 2))
    return [*moved, wedged], _layer(1, pitch, rise)
