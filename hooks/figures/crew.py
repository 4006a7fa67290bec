"""What a crew sees and does: where people stand, counting the drum, hanging sling extensions, short moves."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from calc import rounding
from hooks.figures import (
    WIDTH,
    Words,
    both,
    figure,
    number,
    prefix,
    ring,
    say,
    shown,
    side,
    stroke,
    swatch,
    text,
    units,
)
from hooks.figures.sketch import arrow, block, measured, person, rope, straight

Plan = Mapping[str, Any]

# -- counting -----------------------------------------------------------------------------------------------------

WRAPS = 12  # in a layer of the drum that is counted
WOUND = 9  # of them on the drum where the layer is nearly full
BEGUN = 4  # and where it has just begun
PITCH = 21.0


def count_drum(words: Words) -> str:
    """The drum from the front, twice: a layer just begun is counted by its wraps, one nearly full by its gaps."""
    says = words["figures"]["count-drum"]
    left = (WIDTH - WRAPS * PITCH) / 2
    right = left + WRAPS * PITCH
    body: list[Markup] = []
    for top, wraps, name in ((0.0, BEGUN, "begun"), (178.0, WOUND, "full")):
        y, high = top + 52, 84.0
        beneath = "".join(f"M{number(left + i * PITCH)} {number(y)}v{number(high)}" for i in range(WRAPS + 1))
        layer = '<rect class="fig-barrel" x="{}" y="{}" width="{}" height="{}"/><path class="fig-lay" d="{}"/>'
        body += [
            text(6, top + 16, say(says[name]), classes="fig-strong"),
            _flanges(left, y, high),
            Markup(layer).format(*map(number, (left, y, WRAPS * PITCH, high)), beneath),
        ]
        places = [left + (i + 0.5) * PITCH for i in range(WRAPS)]
        body += [rope(straight((x, y + high), (x, y)), PITCH - 2) for x in places[:wraps]]
        counted = places[:wraps] if name == "begun" else places[wraps:]
        body += [text(x, y - 8, str(i), "middle", "fig-strong") for i, x in enumerate(counted, 1)]
        foot = y + high + 14
        if name == "begun":
            body += [
                arrow((left + 2, foot), (left + wraps * PITCH, foot)),
                text(left - 12, foot + 22, say(says["at_near"])),
            ]
        else:
            body.append(arrow((right - 2, foot), (left + wraps * PITCH, foot)))
            body.append(text(right + 12, foot + 22, say(says["at_far"]), "end"))
    key = [
        ("", say(says["near"], count=BEGUN)),
        ("", say(says["gaps"], holds=WRAPS, gaps=WRAPS - WOUND, count=WOUND)),
        ("", say(says["stopped"])),
    ]
    described = say(says["describe"], begun=BEGUN, holds=WRAPS, gaps=WRAPS - WOUND, count=WOUND)
    return figure(prefix("count-drum"), 352, say(says["title"]), described, body, key=key)


def _flanges(left: float, y: float, high: float) -> Markup:
    box = '<rect class="fig-flange" x="{}" y="{}" width="12" height="{}" rx="2"/>'
    return Markup("").join(
        Markup(box).format(number(x), number(y - 22), number(high + 44)) for x in (left - 13, left + WRAPS * PITCH + 1)
    )


# -- hanging sling extensions ---------------------------------------------------------------------------------------

METRE = 26.0  # units a metre, in the three pictures
GROUND = 252.0
THIRD = WIDTH / 3
LEGS, MORE = 3.0, 3.0  # slings and extension as drawn [m]


def hang(plan: Plan, words: Words) -> str:
    """Three steps from the side: the hook at reach height, the extension shackled between hook and legs, the boom
    luffed in until the hook stands over the load; people, hook and slings to one scale."""
    says, reach = words["figures"]["hang"], plan["inputs"]["reach_height_m"]
    body = [Markup('<path class="fig-ground" d="M2 {}H{}"/>').format(number(GROUND), WIDTH - 2)]
    for count, hook in enumerate((reach, reach, LEGS + MORE), 1):
        x, y = THIRD * (count - 0.5), GROUND - hook * METRE
        body += [
            text(THIRD * (count - 1) + 8, 18, str(count), classes="fig-strong"),
            Markup('<path class="fig-line" d="M{} 8V{y}M{} 8V{y}"/>').format(
                number(x - 3), number(x + 3), y=number(y - 42)
            ),
            block(x, y - 42, 42, 16),
            (_low, _hung, _over)[count - 1](x, y, says),
        ]
    low = rounding.length(reach, "near")
    steps = [says[f"step_{count}"] for count in (1, 2, 3)]
    key = [(str(count), say(step, reach=shown(low))) for count, step in enumerate(steps, 1)]
    described = say(". ".join(steps) + ".", reach=both(low))
    return figure(prefix("hang"), GROUND + 6, say(says["title"]), described, body, key=key)


def _low(x: float, y: float, says: Words) -> Markup:
    """The empty hook within reach."""
    name = text(x + 34, (y + GROUND) / 2 + 5, say(says["reach"]), "middle", "fig-halo")
    return person(x - 30, GROUND, 1.75 * METRE) + measured((x + 34, y), (x + 34, GROUND)) + name


def _hung(x: float, y: float, says: Words) -> Markup:
    """The extension on the hook, its lower end and the legs on the ground."""
    down = Markup('<path class="fig-go" d="M{x} {y}q4 {h} -2 {h}q-6 3 -14 0"/>').format(
        x=number(x), y=number(y), h=number(GROUND - 4 - y)
    )
    legs = Markup('<path class="fig-sling" d="M{} {}q12 -14 24 0m-24 0q14 -6 34 1"/>').format(
        number(x - 16 - 24), number(GROUND - 3)
    )
    return down + legs + person(x + 34, GROUND, 1.75 * METRE)


def _over(x: float, y: float, says: Words) -> Markup:
    """The hook over the load, extension and legs straight."""
    knot, foot = y + MORE * METRE, GROUND - 10
    extension = Markup('<path class="fig-go" d="M{x} {}V{}"/>').format(number(y), number(knot), x=number(x))
    legs = Markup('<path class="fig-sling" d="M{} {f}L{x} {k}L{} {f}"/>').format(
        number(x - 30), number(x + 30), f=number(foot), k=number(knot), x=number(x)
    )
    load = Markup('<rect class="fig-load" x="{}" y="{}" width="64" height="10"/>').format(number(x - 32), number(foot))
    return extension + legs + load + arrow((x + 30, y + 52), (x + 30, y - 14))


# -- short moves ----------------------------------------------------------------------------------------------------

PAIRS = 3


def short_moves(plan: Plan, words: Words) -> str:
    """The load from the side through three pairs of moves: luffing out lets it down through the band, hoisting brings
    it up again; the heights of the band to scale."""
    says = words["figures"]["short-moves"]
    low, high = (float(plan["inputs"][name]) for name in ("clearance_m", "band_top_m"))
    metre, ground, left, step = 60.0, 190.0, 92.0, 66.0
    top, foot = ground - high * metre, ground - low * metre
    body = [
        side.hatching("short-moves"),
        Markup('<rect class="fig-band" fill="url(#short-moves-band)" x="{}" y="{}" width="{}" height="{}"/>').format(
            *map(number, (left - 26, top, WIDTH - left + 22, foot - top))
        ),
        Markup('<path class="fig-ground" d="M2 {}H{}"/>').format(number(ground), WIDTH - 2),
    ]
    for pair in range(PAIRS):
        x = left + pair * step
        body.append(arrow((x, top + 4), (x + step, foot - 3)))
        if pair < PAIRS - 1:
            body.append(arrow((x + step, foot - 3), (x + step, top + 3), "fig-hoist"))
    for x, y, kind in ((left, top, "fig-off"), (left + PAIRS * step, foot, "fig-load")):
        box = Markup('<rect class="{}" x="{}" y="{}" width="36" height="16"/>').format(
            kind, number(x - 18), number(y - 16)
        )
        legs = Markup('<path class="fig-sling" d="M{} {f}L{x} {k}L{} {f}M{x} {k}V14"/>').format(
            number(x - 14), number(x + 14), f=number(y - 16), x=number(x), k=number(y - 44)
        )
        body += [box, legs]
    for y, height in ((top, high), (foot, low)):
        body.append(text(left - 34, y + 5, units(rounding.length(height, "near")), "end"))
        body.append(Markup('<path class="fig-dim" d="M{} {}h6"/>').format(number(left - 32), number(y)))
    key = [
        (stroke("fig-go"), say(says["luff"])),
        (stroke("fig-hoist"), say(says["hoist"])),
        ("", say(says["band"], low=shown(rounding.length(low, "near")), high=shown(rounding.length(high, "near")))),
        ("", say(says["stop"])),
    ]
    return figure(prefix("short-moves"), ground + 8, say(says["title"]), say(says["describe"]), body, key=key)


# -- people -----------------------------------------------------------------------------------------------------------

AXIS, MIDST = 118.0, 142.0  # the slew axis
TAIL, HALF = 62.0, 34.0  # radius of the tail, half the width of the strip under boom and load
LOAD = 268.0  # the load, to the right of the axis
PLACES = {  # who stands where
    "operator": (AXIS + 12, MIDST - 22),
    "watcher": (34.0, 44.0),
    "signaller": (226.0, 236.0),
    "tag": (300.0, 42.0),
    "supervisor": (134.0, 246.0),
}
LETTERS = "OWSTV"


def people(words: Words) -> str:
    """The work from above, a sketch: the strip under boom and load and the tail's circle that nobody enters, and where
    each of the crew stands."""
    says = words["figures"]["people"]
    x, y = AXIS, MIDST
    tracks = Markup("").join(
        Markup('<rect class="fig-flange" x="{}" y="{}" width="92" height="15" rx="4"/>').format(
            number(x - 46), number(at)
        )
        for at in (y - 42, y + 27)
    )
    body = [
        side.hatching("people"),
        Markup('<rect class="fig-keep" fill="url(#people-band)" x="{}" y="{}" width="{}" height="{}"/>').format(
            *map(number, (x, y - HALF, WIDTH - 8 - x, 2 * HALF))
        ),
        Markup('<path class="fig-keep" fill="url(#people-band)" d="{}"/>').format(ring(x, y, TAIL)),
        tracks,
        Markup('<rect class="fig-weight" x="{}" y="{}" width="80" height="44" rx="4"/>').format(
            number(x - 54), number(y - 22)
        ),
        Markup('<rect class="fig-flange" x="{}" y="{}" width="16" height="26"/>').format(
            number(x - 30), number(y - 13)
        ),
        Markup('<rect class="fig-weight" x="{}" y="{}" width="24" height="16"/>').format(number(x), number(y - 30)),
        Markup('<path class="fig-cheek" d="M{} {}L{} {}V{}L{} {}z"/>').format(
            *map(number, (x + 20, y - 9, LOAD, y - 3, y + 3, x + 20, y + 9))
        ),
        Markup('<rect class="fig-load" x="{}" y="{}" width="34" height="24"/>').format(
            number(LOAD - 17), number(y - 12)
        ),
        Markup('<path class="fig-dim" d="M{} {}L{} {}"/>').format(
            *map(number, (LOAD + 17, y - 12, PLACES["tag"][0], PLACES["tag"][1] + 8))
        ),
        Markup('<path class="fig-lead" stroke-dasharray="4 4" d="M{} {}L{} {}M{} {}L{} {}M{} {}L{} {}"/>').format(
            *map(
                number,
                (*PLACES["watcher"], x - 22, y, *PLACES["signaller"], LOAD, y, *PLACES["signaller"], x + 12, y - 22),
            )
        ),
    ]
    for letter, place in zip(LETTERS, PLACES.values(), strict=True):
        body.append(person(place[0], place[1] + 14, 28))
        body.append(text(place[0] + 11, place[1] + 5, letter, classes="fig-strong fig-halo"))
    key = [(letter, say(says[name])) for letter, name in zip(LETTERS, PLACES, strict=True)]
    key += [(swatch(fill="people-band", box=(x + 2, y - HALF + 2, 28, 14)), say(says["keep"])), ("", say(says["slew"]))]
    return figure(prefix("people"), 272, say(says["title"]), say(says["describe"]), body, key=key)
