"""Why loose layers are dangerous, in three sections: a firm bed, a loose one, and rope pulled in between its wraps.

Lengths are in rope diameters until they are drawn.  A wrap rests on the layer beneath: its centre is one diameter from
the nearest centre there.  Pushed aside, it rides up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import Any

from markupsafe import Markup

from hooks.figures import WIDTH, Words, figure, number, plan_title, prefix, ring, say, text

WRAPS = 11  # of layer 1 in a section; odd, so that one lies in the middle
PANEL = 118  # height of one section with its words

Plan = Mapping[str, Any]
Wrap = tuple[float, float]  # centre: along the barrel from the middle, above the barrel


def svg(plan: Plan, words: Words) -> str:
    """Three sections of the drum: firm bed, loose bed, working rope pulled in."""
    says, inputs = words["figures"]["pulling-in"], plan["inputs"]
    ids = prefix("pulling-in", plan["machine"], plan["boom"], plan["configuration"])
    pitch = inputs["groove_pitch_m"] / inputs["rope_diameter_m"]
    scale = (WIDTH - 4) / (WRAPS * pitch)
    apart = 1 - pitch / 2  # each side of the gap gives way by this much before a whole rope fits in
    body: list[Markup] = []
    for count, (name, shift) in enumerate((("firm", 0.0), ("loose", 0.35 * apart), ("pulled", apart))):
        top = count * (PANEL + 18)
        ground = top + PANEL
        bed = second_layer(pitch, shift)
        left, right = max(w for w in bed if w[0] < 0), min(w for w in bed if w[0] > 0)
        working = (0.0, left[1] + sqrt(max(0.0, 1 - ((right[0] - left[0]) / 2) ** 2)))
        body.append(text(2, top + 13, say(says[name]), classes="fig-strong"))
        body.append(text(2, top + 29, say(says[f"{name}_words"])))
        body.append(Markup('<path class="fig-ground" d="M2 {}H{}"/>').format(number(ground), WIDTH - 2))
        body += [
            _wraps("fig-firm", first_layer(pitch), ground, scale),
            _wraps("fig-loose" if shift else "fig-firm", bed, ground, scale),
            _wraps("fig-work", [working], ground, scale),
            _pull(working, ground, scale),
        ]
    return figure(ids, 3 * PANEL + 36 + 4, plan_title(says, plan), say(says["describe"]), body)


def first_layer(pitch: float) -> list[Wrap]:
    """Layer 1 in its grooves, one wrap in the middle."""
    half = WRAPS // 2
    return [(at * pitch, 0.5) for at in range(-half, half + 1)]


def second_layer(pitch: float, shift: float) -> list[Wrap]:
    """Layer 2: between the wraps beneath, and the two halves pushed apart by `shift` each, in rope diameters.

    Neighbours pass the push on, less by the room between two wraps each time.
    """
    found: list[Wrap] = []
    for at in range(WRAPS // 2):
        pushed = max(0.0, shift - at * (pitch - 1))
        x = (at + 0.5) * pitch + pushed
        beside = abs(x - round(x / pitch) * pitch)
        y = 0.5 + sqrt(1 - beside**2)
        found += [(x, y), (-x, y)]
    return sorted(found)


def _wraps(kind: str, wraps: Sequence[Wrap], ground: float, scale: float) -> Markup:
    rings = (ring(WIDTH / 2 + x * scale, ground - 1 - y * scale, 0.47 * scale) for x, y in wraps)
    return Markup('<path class="{}" d="{}"/>').format(kind, Markup("".join(rings)))


def _pull(working: Wrap, ground: float, scale: float) -> Markup:
    """The working rope presses towards the barrel: an arrow inside it."""
    y = ground - 1 - working[1] * scale
    return Markup('<path class="fig-pull" d="M{x} {y}v{l}m-4 -5l4 5 4 -5"/>').format(
        x=number(WIDTH / 2), y=number(y - 0.32 * scale), l=number(0.62 * scale)
    )
