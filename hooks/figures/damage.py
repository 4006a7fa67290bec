"""Damage to a rope that ends its use or calls for somebody who may judge it, as a crew sees it."""

from __future__ import annotations

from math import pi, sin

from markupsafe import Markup

from hooks.figures import WIDTH, Words, figure, number, prefix, ring, say, text
from hooks.figures.sketch import bend, rope, straight

WIDE, HIGH = WIDTH / 2, 118  # of one picture
THICK = 20.0
MIDDLE = 62.0  # height of the rope in its picture
KINDS = ("birdcage", "kink", "strand", "core", "flat", "rust")


def svg(words: Words) -> str:
    """Six pictures: bird cage, kink, strand out, core out, flattened, rust."""
    says = words["figures"]["damage"]
    body: list[Markup] = []
    for count, name in enumerate(KINDS):
        x, y = count % 2 * WIDE, count // 2 * HIGH
        body.append(Markup('<g transform="translate({} {})">{}</g>').format(number(x), number(y), DRAW[name]()))
        body.append(text(x + 6, y + 16, say(says[name]), classes="fig-strong"))
    key = [("", say(says[f"{name}_words"])) for name in KINDS]
    return figure(prefix("damage"), 3 * HIGH, say(says["title"]), say(says["describe"]), body, key=key)


def _birdcage() -> Markup:
    """The strands have opened to a basket; the core is seen between them."""
    left, right = 46.0, WIDE - 46
    core = rope(straight((left - 6, MIDDLE), (right + 6, MIDDLE)), 7, 4)
    behind = _wires(left, right, (-13, 13))
    front = _wires(left, right, (-28, -20, 20, 28))
    ends = rope(straight((6, MIDDLE), (left, MIDDLE)), THICK)
    ends += rope(straight((right, MIDDLE), (WIDE - 8, MIDDLE)), THICK)
    return core + behind + front + ends


def _wires(left: float, right: float, bulges: tuple[int, ...]) -> Markup:
    """Strands that bulge out between two places, each a thin rope."""
    out, reach = Markup(""), (right - left) * 0.28
    for bulge in bulges:
        start, top = MIDDLE + bulge * 0.3, MIDDLE + bulge * 1.3
        out += rope(bend((left, start), (left + reach, top), (right - reach, top), (right, start)), 6.5, 5)
    return out


def _kink() -> Markup:
    """A loop that was pulled tight: the rope leaves it at an angle."""
    up = bend((70, 92), (140, 92), (128, 26), (88, 34))
    over = bend((88, 34), (52, 42), (66, 84), (112, 70))
    under = [*straight((6, 92), (70, 92)), *up, *over[:13]]
    return rope(under, 15, 9) + rope([*over[12:], *straight((112, 70), (WIDE - 8, 54))], 15, 9)


def _strand() -> Markup:
    """One strand stands out of the rope in an arch."""
    arch = bend((54, MIDDLE - 2), (62, MIDDLE - 44), (106, MIDDLE - 44), (114, MIDDLE - 2))
    return rope(arch, 8, 6) + rope(straight((6, MIDDLE + 8), (WIDE - 8, MIDDLE + 8)), THICK)


def _core() -> Markup:
    """Strands stand apart and the core comes out between them in a loop."""
    loop = bend((76, MIDDLE + 6), (64, MIDDLE - 48), (106, MIDDLE - 48), (94, MIDDLE + 6))

    def swollen(share: float) -> float:
        return THICK + 9 * max(0.0, sin(pi * (share - 0.25) / 0.5)) if 0.25 < share < 0.75 else THICK

    whole = rope(straight((6, MIDDLE + 8), (WIDE - 8, MIDDLE + 8), 24), swollen)
    gap = Markup('<ellipse class="fig-dead" cx="{}" cy="{}" rx="15" ry="6"/>').format(number(85), number(MIDDLE + 4))
    return whole + gap + rope(loop, 7, 3.2)


def _flat() -> Markup:
    """Crushed wider than it was; beside it the round and the flattened section."""

    def crushed(share: float) -> float:
        return THICK + 13 * max(0.0, sin(pi * (share - 0.28) / 0.44)) if 0.28 < share < 0.72 else THICK

    side = rope(straight((6, 56), (WIDE - 8, 56), 24), crushed, 11)
    sections = Markup('<path class="fig-work" d="{}"/><ellipse class="fig-work" cx="84" cy="98" rx="17" ry="7"/>')
    sections = sections.format(ring(34, 98, 11))
    arrow = Markup('<path class="fig-dim" d="M50 98h9m-4 -4l4 4-4 4"/>')
    return side + sections + arrow


def _rust() -> Markup:
    """Pits eaten into the wires along the surface."""
    pits = (ring(14 + 11.3 * i % 146, MIDDLE - 8 + (i * 7.7) % 16, 1.3 + (i * 3 % 4) * 0.55) for i in range(44))
    side = rope(straight((6, MIDDLE), (WIDE - 8, MIDDLE)), THICK)
    return side + Markup('<path class="fig-dead" d="{}"/>').format(Markup("".join(pits)))


DRAW = {
    "birdcage": _birdcage,
    "kink": _kink,
    "strand": _strand,
    "core": _core,
    "flat": _flat,
    "rust": _rust,
}
