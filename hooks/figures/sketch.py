"""Pieces of the line drawings: rope, sheaves, hooks, weights, people, arrows, names with leaders.

One style for all: what stands there in thick outline, dimensions thin, one hue for what moves.  A rope is drawn with
its strands, so that it is never taken for a line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import hypot

from markupsafe import Markup

from hooks.figures import number, text

Point = tuple[float, float]


def rope(
    places: Sequence[Point], thick: float | Callable[[float], float], lay: float = 0.0, kind: str = "fig-work"
) -> Markup:
    """A rope along `places` that stand close together: outline and strands; `thick` may change with the share of the
    way, `lay` is the way from one strand to the next."""
    gone = [0.0]
    for a, b in pairwise(places):
        gone.append(gone[-1] + hypot(b[0] - a[0], b[1] - a[1]))
    whole = gone[-1]

    def width(at: float) -> float:
        return thick(at / whole) if callable(thick) else thick

    def beside(at: float, off: float) -> Point:
        """The place `at` along the rope, `off` half widths to its left."""
        i = next((i for i, far in enumerate(gone) if far >= at), len(gone) - 1) or 1
        (x1, y1), (x2, y2) = places[i - 1], places[i]
        step = (gone[i] - gone[i - 1]) or 1.0
        share = (at - gone[i - 1]) / step
        dx, dy, half = (x2 - x1) / step, (y2 - y1) / step, width(at) / 2 * off
        return x1 + share * (x2 - x1) + dy * half, y1 + share * (y2 - y1) - dx * half

    edges = [beside(at, 1) for at in gone] + [beside(at, -1) for at in reversed(gone)]
    outline = "L".join(f"{number(x)} {number(y)}" for x, y in edges)
    apart = lay or width(0) * 0.55
    strands, at = "", apart / 2
    while at < whole:
        (x, y), *rest = (beside(min(max(at + lean * apart, 0.0), whole), off) for lean, off in STRAND)
        way = " ".join(f"{number(there - x)} {number(down - y)}" for there, down in rest)
        strands += f"M{number(x)} {number(y)}c{way}"
        at += apart
    return Markup('<path class="{}" d="M{}z"/><path class="fig-lay" d="{}"/>').format(kind, outline, strands)


STRAND = ((-0.7, 0.96), (-0.5, 0.2), (0.5, -0.2), (0.7, -0.96))  # a strand from edge to edge, in lays and half widths


def straight(start: Point, end: Point, steps: int = 1) -> list[Point]:
    """Places on a straight line; more than its ends where the rope changes its thickness."""
    return [
        (start[0] + (end[0] - start[0]) * i / steps, start[1] + (end[1] - start[1]) * i / steps)
        for i in range(steps + 1)
    ]


def bend(a: Point, b: Point, c: Point, d: Point) -> list[Point]:
    """Places on a curve from a to d that leaves a towards b and comes to d from c."""
    found = []
    for i in range(25):
        t = i / 24
        u = 1 - t
        weights = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
        found.append((
            sum(w * p[0] for w, p in zip(weights, (a, b, c, d), strict=True)),
            sum(w * p[1] for w, p in zip(weights, (a, b, c, d), strict=True)),
        ))  # fmt: skip
    return found


def arrow(start: Point, end: Point, kind: str = "fig-go") -> Markup:
    """An arrow of what moves."""
    length = hypot(end[0] - start[0], end[1] - start[1])
    dx, dy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    neck = end[0] - 8 * dx, end[1] - 8 * dy
    head = (end, (neck[0] - 5 * dy, neck[1] + 5 * dx), (neck[0] + 5 * dy, neck[1] - 5 * dx))
    places = "L".join(f"{number(x)} {number(y)}" for x, y in head)
    return Markup('<path class="{k}" d="M{} {}L{} {}"/><path class="{k}-head" d="M{p}z"/>').format(
        *map(number, (*start, *neck)), k=kind, p=places
    )


def measured(start: Point, end: Point) -> Markup:
    """A dimension line, level or upright, with an end stroke at either end."""
    across = "m-4 0h8" if start[0] == end[0] else "m0 -4v8"
    return Markup('<path class="fig-dim" d="M{a} {b}L{c} {d}M{a} {b}{x}M{c} {d}{x}"/>').format(
        a=number(start[0]), b=number(start[1]), c=number(end[0]), d=number(end[1]), x=across
    )


def leader(part: Point, name: Point, words: Markup | str, anchor: str = "start") -> Markup:
    """A name with a thin line to its part, a dot on the part."""
    gap = 3 if anchor == "start" else -3
    line = Markup('<path class="fig-lead" d="M{} {}L{} {}"/><circle cx="{}" cy="{}" r="2.4"/>').format(
        *map(number, (name[0] - gap, name[1] - 5, *part, *part))
    )
    return line + text(*name, words, anchor)


def person(x: float, ground: float, tall: float) -> Markup:
    """Somebody who stands there, from the side."""
    unit = tall / 8
    return Markup(
        '<circle cx="{x}" cy="{y}" r="{r}"/>'
        '<path d="M{l} {s}q0 -{u} {u} -{u}h{w}q{u} 0 {u} {u}v{a}h-{u}v{g}h-{h}v-{k}h-{j}v{k}h-{h}v-{g}h-{u}z"/>'
    ).format(
        x=number(x),
        y=number(ground - 7.1 * unit),
        r=number(0.8 * unit),
        l=number(x - 1.6 * unit),
        s=number(ground - 5.0 * unit),
        u=number(0.9 * unit),
        w=number(1.4 * unit),
        a=number(1.9 * unit),
        g=number(3.1 * unit),
        h=number(0.55 * unit),
        k=number(2.6 * unit),
        j=number(0.3 * unit),
    )


def block(x: float, top: float, high: float, wide: float = 12) -> Markup:
    """A hook block and its hook; the hook's saddle lies at top + high."""
    body = high * 0.62
    low = top + high
    bow = max(3.0, min(wide * 0.45, high * 0.19))
    return Markup(
        '<rect class="fig-body" x="{}" y="{}" width="{}" height="{}" rx="3"/>'
        '<path class="fig-hook" d="M{x} {b}V{n}a{r} {r} 0 1 1 -{r} {r}"/>'
    ).format(
        *map(number, (x - wide / 2, top, wide, body)),
        x=number(x),
        b=number(top + body),
        n=number(low - 2 * bow),
        r=number(bow),
    )
