"""The wedge socket at the dead end of a rope: as it belongs, and as it fails."""

from __future__ import annotations

from markupsafe import Markup

from hooks.figures import WIDTH, Words, figure, number, prefix, ring, say, text
from hooks.figures.sketch import arrow, bend, leader, measured, rope, straight

THICK = 13.0
PIN, MOUTH, END, LIVE = 62.0, 168.0, 252.0, 296.0  # heights of pin, mouth of the socket, ends of tail and live rope
RIGHT, WRONG = 62.0, 212.0  # the line of the pin in either picture


def svg(words: Words) -> str:
    """Two sockets from the side: pull in line with the pin and a clip on the tail; pull aside and a clip on both."""
    says = words["figures"]["socket"]
    body = [
        text(8, 16, say(says["right"]), classes="fig-strong"),
        text(WIDTH / 2 + 16, 16, say(says["wrong"]), classes="fig-strong"),
        _fitted(RIGHT, True),
        _clip(RIGHT + 24, 210, 24),
        _fitted(WRONG, False),
        _clip(WRONG + 11, 206, 46),
        Markup('<path class="fig-lead" stroke-dasharray="6 3" d="M{a} 40V{b}M{c} 40V{b}"/>').format(
            a=number(RIGHT), b=number(LIVE + 18), c=number(WRONG)
        ),
        measured((RIGHT + 48, MOUTH), (RIGHT + 48, END)),
        text(RIGHT + 54, 236, say(says["tail"])),
        leader((RIGHT + 10, 116), (RIGHT + 60, 106), say(says["wedge"])),
        leader((RIGHT, PIN), (RIGHT + 40, 56), say(says["pin"])),
        text(RIGHT - 14, 290, say(says["live"]), "end"),
        Markup('<path class="fig-pull" d="M{} 226l36 36m0 -36l-36 36"/>').format(number(WIDTH - 52)),
    ]
    key = [("", say(says[name])) for name in ("line", "clip", "length", "both")]
    return figure(prefix("socket"), 318, say(says["title"]), say(says["describe"]), body, key=key)


def _fitted(x: float, right: bool) -> Markup:
    """A socket whose pin and straight side stand at `x`, the live rope on that side; or, wrong, on the slanted one."""
    far, end = x + 34, (x + 26, END)
    shell = Markup('<path class="fig-cheek" d="M{} {}V{}H{}L{} {}V{}L{} 44H{}z"/>').format(
        *map(number, (x - 11, 88, MOUTH, x + 27, far + 12, 104, 88, x + 14, x - 14))
    )
    wedge = Markup('<path class="fig-weight" d="M{} {}L{} {}A17 17 0 0 1 {} {}z"/>').format(
        *map(number, (x + 9, MOUTH - 14, x + 7, 112, far - 7, 112))
    )
    up = straight((x, LIVE if right else END), (x, 116))
    loop = bend((x, 116), (x, 82), (far, 82), (far, 116))
    down = straight((far, 116), (x + 17, MOUTH + 2))
    if right:
        out, live = bend(down[-1], (x + 10, 190), (x + 22, 210), end), x
    else:
        out, live = bend(down[-1], (x + 8, 190), (x + 34, 220), (x + 34, LIVE)), x + 34
    line = rope([*up, *loop, *down, *out], THICK)
    hole = Markup('<path class="fig-work" d="{}"/>').format(ring(x, PIN, 6))
    return shell + line + wedge + hole + arrow((live, LIVE - 4), (live, LIVE + 16))


def _clip(x: float, y: float, wide: float) -> Markup:
    """A rope clip across whatever it holds."""
    return Markup(
        '<rect class="fig-flange" x="{}" y="{}" width="{}" height="11" rx="2"/>'
        '<path class="fig-pull" d="M{} {}v-5m{} 5v-5"/>'
    ).format(*map(number, (x - wide / 2, y, wide, x - wide / 2 + 4, y, wide - 8)))
