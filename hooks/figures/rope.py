"""Figures of the rope pages, each drawn from one plan: how a rope is measured, how it goes from reel to drum, where the
crossovers come after a cut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import acos, cos, hypot, pi, sin
from typing import Any

from markupsafe import Markup

from calc import rounding
from hooks.figures import (
    WIDTH,
    Words,
    both,
    drum,
    figure,
    number,
    plan_title,
    prefix,
    ring,
    say,
    stroke,
    swatch,
    text,
    units,
)
from hooks.figures.sketch import bend, measured, straight
from hooks.figures.sketch import rope as draw

LEFT = 4
STRANDS = 6  # of the rope drawn; a rope of more strands hides the wrong reading better
ROPE = 84  # diameter of the rope as drawn
ROW = 15  # height of one turn of the drum as drawn
LABELS = 92  # width of the column of labels beside the turns
CROSSOVER = 0.1  # of a turn, as drawn; how wide a crossover is depends on the drum
PLACES = (0.25, 0.75)  # the two crossovers of a turn, half a turn apart
CUTS = (("whole", 1.0), ("half", 0.5), ("quarter", 0.25))

Plan = Mapping[str, Any]
Point = tuple[float, float]


def measure(plan: Plan, words: Words) -> str:
    """A rope of six strands in a caliper, jaws on two strands opposite each other and jaws over the valleys.

    Strands that touch each other and the circle about them are d/3 thick and stand d/3 from the middle: over the
    valleys the jaws stand d*(1 + 2*cos(30 deg))/3 apart.
    """
    says, real = words["figures"]["rope-diameter"], plan["inputs"]["rope_diameter_m"]
    ids = prefix("rope-diameter", plan["machine"], plan["boom"], plan["configuration"])
    valleys = (1 + 2 * cos(pi / 6)) / 3
    body: list[Markup] = []
    for name, middle, turned, gap in (("right", 82.0, pi / 2, 1.0), ("wrong", 254.0, 0.0, valleys)):
        body.append(text(middle, 16, say(says[name]), "middle", "fig-strong"))
        body.append(_in_caliper((middle, 82.0), turned, gap * ROPE))
        reading = units(rounding.diameter(real * gap, "near"))
        body.append(text(middle, 156, say(says["reads"], reading=reading), "middle"))
    key = [("", say(says["right_words"])), ("", say(says["wrong_words"]))]
    described = say(
        says["describe"],
        right=both(rounding.diameter(real, "near")),
        wrong=both(rounding.diameter(real * valleys, "near")),
    )
    return figure(ids, 164, plan_title(says, plan), described, body, key=key)


def reel_to_drum(plan: Plan, words: Words) -> str:
    """Reel and drum from the side: top to top, bottom to bottom, and crosswise, which bends the rope back."""
    says, inputs = words["figures"]["reel-to-drum"], plan["inputs"]
    ids = prefix("reel-to-drum", plan["machine"], plan["boom"], plan["configuration"])
    flange = 34.0
    barrel = flange * inputs["groove_root_diameter_m"] / inputs["flange_diameter_m"]
    reel, pack = 40.0, 32.0
    body: list[Markup] = []
    y = 0.0
    for name, from_top, to_top in (("top", True, True), ("bottom", False, False), ("cross", True, False)):
        body.append(text(LEFT, y + 14, say(says[name]), classes="fig-strong"))
        at = y + 24 + reel
        left, right = (LEFT + reel + 14, at), (WIDTH - LEFT - flange - 14, at)
        for (x, _), outer, inner in ((left, reel, pack), (right, flange, barrel)):
            body.append(
                Markup('<path class="fig-flange" d="{}"/><path class="fig-body" d="{}"/>').format(
                    ring(x, at, outer), ring(x, at, inner)
                )
            )
        (x1, y1), (x2, y2) = _tangent(left, pack, from_top, right, barrel, to_top)
        body.append(
            Markup('<path class="fig-pull" d="M{} {}L{} {}"/>').format(*map(number, (x1, y1, x2, y2)))
            + _arrow((x1, y1), (x2, y2))
        )
        brake = Markup('<path class="fig-block" d="M{} {}h18v8h-18z"/>')
        body.append(brake.format(number(left[0] - 9), number(at + reel - 2)))
        body.append(text(left[0], at + 5, say(says["reel"]), "middle"))
        body.append(text(right[0], at + 5, say(says["drum"]), "middle"))
        body += [_turning(left, reel + 7, -1, from_top), _turning(right, flange + 7, 1, to_top)]
        y = at + reel + 12
    body.append(measured((LEFT + reel + 14, y + 10), (WIDTH - LEFT - flange - 14, y + 10)))
    body.append(text(WIDTH / 2, y + 28, say(says["apart"]), "middle"))
    y += 34
    key = [(stroke("fig-block", "M6 4h18v8h-18z"), say(says["brake"])), (stroke("fig-go"), say(says["turns"]))]
    return figure(ids, y, plan_title(says, plan), say(says["describe"]), body, key=key)


def _turning(middle: Point, radius: float, side: int, over: bool) -> Markup:
    """An arrow about a reel or drum whose rope runs to the right over its top, or under it; on its left or right."""
    (x, y), up = middle, -side if over else side
    a, b = 0.5 * up, -0.5 * up  # the arrow runs from one angle to the other, measured from the level
    start = x + side * radius * cos(a), y + radius * sin(a)
    end = x + side * radius * cos(b), y + radius * sin(b)
    barb = Markup('<path class="fig-go-head" d="M{} {}l-5 {d}h10z"/>').format(
        number(end[0]), number(end[1] - 4 * up), d=number(9 * up)
    )
    return barb + Markup('<path class="fig-go" d="M{} {}A{r} {r} 0 0 {s} {} {}"/>').format(
        *map(number, (*start, *end)), r=number(radius), s=int((up > 0) != (side > 0))
    )


def crossover_shift(plan: Plan, words: Words) -> str:
    """Turns of the drum unrolled: the two crossovers, and where rope that was worn there lies after a cut; layer 1 lies
    on the barrel and crosses nothing.

    A cut of length c at the drum end brings every point of the rope c nearer to the anchor: on a layer whose wraps are
    l_i long it moves by c/l_i of a turn.
    """
    says = words["figures"]["crossover-shift"]
    ids = prefix("crossover-shift", plan["machine"], plan["boom"], plan["configuration"])
    wraps = [pi * layer.diameter for layer in drum.layers_of(plan["inputs"])]
    middle = (len(wraps) - 1) // 2  # as `calc.inspection.shortening` takes it
    cut = CUTS[-1][1] * wraps[middle]
    shifts = [cut / wrap for wrap in wraps]
    body = [text(LEFT, 14, say(says["by_cut"], layer=middle + 1), classes="fig-strong")]
    y = 22.0
    for name, turns in CUTS:
        body.append(_turn(y, say(says[name]), turns))
        y += ROW + 4
    body.append(text(LEFT, y + 18, say(says["by_layer"], cut=units(rounding.cut(cut, "near"))), classes="fig-strong"))
    y += 26
    for at in reversed(range(len(wraps))):
        body.append(_turn(y, say(says["layer"], layer=at + 1), shifts[at] if at else None))
        y += ROW + 4
    key = [(swatch(kind), say(says[name])) for kind, name in (("fig-stop", "crossover"), ("fig-dead", "worn"))]
    described = say(
        says["describe"],
        layer=middle + 1,
        cut=both(rounding.cut(cut, "near")),
        layers=len(wraps),
        least=rounding.share(min(shifts[1:], default=0.0), "down"),
        most=rounding.share(max(shifts[1:], default=0.0), "up"),
    )
    return figure(ids, y, plan_title(says, plan), described, body, key=key)


def first_layer(words: Words) -> str:
    """The drum from the front: layer 1 in its grooves with its half-step, layer 2 running back over it; a sketch.

    Layer 1 steps half a pitch towards the far flange, twice a turn.  Layer 2 lies in its valleys and steps half a pitch
    the other way at the same two places: there it crosses over.  Source: references named in the rule on crossovers.
    """
    says = words["figures"]["first-layer"]
    pitch, left, top, high = 30.0, 20.0, 56.0, 168.0
    wide, step, deep = 10 * pitch, top + 62, 44.0
    box = '<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>'
    body = [
        text(6, 16, say(says["front"]), classes="fig-strong"),
        Markup(box).format("fig-barrel", *map(number, (left, top, wide, high))),
    ]

    def wrap(x: float, to: float) -> list[Point]:
        middle = bend((x, step), (x, step + deep / 2), (to, step + deep / 2), (to, step + deep))
        return [*straight((x, top), (x, step)), *middle, *straight((to, step + deep), (to, top + high))]

    body += [draw(wrap(left + (i + 0.5) * pitch, left + (i + 1) * pitch), pitch - 2) for i in range(9)]
    body += [draw(wrap(left + (9 - i) * pitch, left + (8.5 - i) * pitch), pitch - 4, kind="fig-top") for i in range(3)]
    flange = '<rect class="fig-flange" x="{}" y="{}" width="12" height="{}" rx="2"/>'
    body += [Markup(flange).format(*map(number, (x, top - 18, high + 36))) for x in (left - 13, left + wide + 1)]
    body += [
        Markup('<path class="fig-stop" d="M{} {}H{r}M{} {}H{r}"/>').format(
            *map(number, (left - 14, step, left - 14, step + deep)), r=number(left + wide + 14)
        ),
        text(left + 2.6 * pitch, step + deep / 2 + 5, say(says["crossover"]), "middle", "fig-strong fig-halo"),
    ]
    key = [
        (swatch("fig-work"), say(says["first"])),
        (swatch("fig-top"), say(says["second"])),
        (stroke("fig-stop"), say(says["zone"])),
        ("", say(says["gap"])),
    ]
    return figure(prefix("first-layer"), top + high + 26, say(says["title"]), say(says["describe"]), body, key=key)


def lay_and_hand(plan: Plan, words: Words) -> str:
    """Two drums from the front, wraps like a right-hand and a left-hand thread, each with the rope that suits it.

    A right-hand thread about a level axis leans over to the left at its top.  Left lay in a rope that hangs does so
    too, for its axis stands square to the drum's.
    """
    says = words["figures"]["lay-and-hand"]
    ids = prefix("lay-and-hand", plan["machine"], plan["boom"], plan["configuration"])
    body: list[Markup] = []
    for left, lean, thread, lay in ((LEFT, -1, "right", "to_right"), (WIDTH / 2 + LEFT, 1, "left", "to_left")):
        wide, top, high = WIDTH / 2 - 24, 26.0, 54.0
        body.append(text(left, 14, say(says[thread]), classes="fig-strong"))
        drum_box = '<rect class="fig-barrel" x="{}" y="{}" width="{}" height="{}"/>'
        body.append(Markup(drum_box).format(*map(number, (left, top, wide, high))))
        flange = Markup('<path class="fig-pull" d="M{} {}v{}"/>')
        body += [flange.format(*map(number, (x, top - 6, high + 12))) for x in (left, left + wide)]
        turns = "".join(
            f"M{number(left + 8 + 12 * i)} {number(top + high)}l{number(6 * lean)} {number(-high)}"
            for i in range(1, int((wide - 16) // 12))
        )
        body.append(Markup('<path class="fig-loose" d="{}"/>').format(turns))
        x, y, rope_wide, hang = left + wide / 2 - 9, top + high, 18.0, 92.0
        rope_box = '<rect class="fig-work" x="{}" y="{}" width="{}" height="{}"/>'
        body.append(Markup(rope_box).format(*map(number, (x, y, rope_wide, hang))))
        strands = "".join(
            f"M{number(x if lean > 0 else x + rope_wide)} {number(y + 26 + 11 * i)}"
            f"l{number(rope_wide * lean)} {number(-22)}"
            for i in range(6)
        )
        body.append(Markup('<path class="fig-dim" d="{}"/>').format(strands))
        body.append(text(left + wide / 2, y + hang + 16, say(says[lay]), "middle"))
    return figure(ids, 194, say(says["title"]), say(says["describe"]), body)


# -- pieces -----------------------------------------------------------------------------------------------------


def _in_caliper(middle: Point, turned: float, gap: float) -> Markup:
    """A rope with its first strand at the angle `turned` [rad], between two jaws `gap` apart."""
    x, y = middle
    strand, jaw = ROPE / 6, ROPE / 2 + 6
    circles = Markup("").join(
        Markup(ring(x + 2 * strand * cos(turned + i * pi / 3), y - 2 * strand * sin(turned + i * pi / 3), strand))
        for i in range(STRANDS)
    )
    top, bottom = y - gap / 2, y + gap / 2
    return Markup(
        '<path class="fig-loose" d="{}"/><path class="fig-off" d="{}"/><path class="fig-barrel" d="{}"/>'
        '<path class="fig-flange" d="M{l} {t}v-9H{o}V{b}H{l}v-9H{i}V{t}z"/>'
    ).format(
        ring(x, y, strand),
        ring(x, y, ROPE / 2),
        circles,
        l=number(x - jaw),
        o=number(x + jaw + 9),
        i=number(x + jaw),
        t=number(top),
        b=number(bottom + 9),
    )


def _tangent(a: Point, ra: float, top_a: bool, b: Point, rb: float, top_b: bool) -> tuple[Point, Point]:
    """Ends of the straight rope from circle a to circle b, which stands to its right at the same height."""
    distance = hypot(b[0] - a[0], b[1] - a[1])
    lean = acos((ra - rb if top_a == top_b else ra + rb) / distance)
    up_a, up_b = (1 if top else -1 for top in (top_a, top_b))
    start = a[0] + ra * cos(lean), a[1] - up_a * ra * sin(lean)
    turned = 1 if top_a == top_b else -1
    return start, (b[0] + turned * rb * cos(lean), b[1] - up_b * rb * sin(lean))


def _arrow(start: Point, end: Point) -> Markup:
    """An arrow head in the middle of a line."""
    length = hypot(end[0] - start[0], end[1] - start[1])
    along = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    corners = ((0.0, 0.0), (-11.0, 5.0), (-11.0, -5.0))
    places = [(x + u * along[0] - v * along[1], y + u * along[1] + v * along[0]) for u, v in corners]
    return Markup('<path class="fig-block" d="M{}z"/>').format("L".join(f"{number(u)} {number(v)}" for u, v in places))


def _turn(y: float, label: Markup, shift: float | None) -> Markup:
    """One turn of the drum unrolled: its label, the crossovers, and the worn rope after a shift in turns; nothing but
    the rope where it crosses nothing."""
    left, wide = LEFT + LABELS, WIDTH - 2 * LEFT - LABELS
    frame = Markup('<rect class="fig-barrel" x="{}" y="{}" width="{}" height="{}"/>').format(
        number(left), number(y), number(wide), ROW
    )
    if shift is None:
        return text(LEFT, y + ROW - 3, label) + frame
    worn = Markup("").join(
        Markup('<rect class="fig-dead" x="{}" y="{}" width="{}" height="{}"/>').format(
            number(left + a * wide), number(y + 4), number((b - a) * wide), ROW - 8
        )
        for place in PLACES
        for a, b in _pieces(place + shift)
    )
    zones = Markup("").join(
        Markup('<rect class="fig-stop" x="{}" y="{}" width="{}" height="{}"/>').format(
            number(left + (place - CROSSOVER / 2) * wide), number(y), number(CROSSOVER * wide), ROW
        )
        for place in PLACES
    )
    return text(LEFT, y + ROW - 3, label) + frame + worn + zones


def _pieces(middle: float) -> Sequence[tuple[float, float]]:
    """A stretch as wide as a crossover about a place counted in turns, cut where the turn begins anew."""
    start = (middle - CROSSOVER / 2) % 1
    end = start + CROSSOVER
    return [(start, end)] if end <= 1 else [(start, 1.0), (0.0, end - 1)]
