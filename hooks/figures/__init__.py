"""Inline SVG figures: what all of them share.

Every figure is one <svg> with a viewBox and no size of its own, a title and a description; beneath it, in HTML, the key
to its letters and patterns.  It carries no style attribute and no <style>: colours come from currentColor and the
classes below, which docs/assets/figures.css fills for light, dark and print.  A page shows it by the macro of
hooks/templates/figure.html, with a number and a caption.

How a figure looks: what is held and moved in thick outline, dimensions thin, one hue for what moves; no line under 1.2
px and no letter under 14 px on a phone 360 px wide; a name stands beside its part or at the end of a leader.

    fig              the <svg> itself            fig-ground       ground line
    fig-body         carrier sketch              fig-boom         boom, fig-boom-core its inside, fig-boom-lace lacing
    fig-then         a position after the start  fig-rope         falls
    fig-block        hook block                  fig-sling        slings
    fig-load         load                        fig-path         path of the boom head
    fig-band         hatching of the load band   fig-stop         stop height
    fig-stage        listed boom lengths passed  fig-hatch        lines of the hatching
    fig-dim          dimension lines             fig-count        boom and falls where the drum is counted
    fig-rise         upright dimensions          fig-jib          jib, from the boom head to its own
    fig-mark         lettered marker
    fig-lead         leader lines                fig-barrel, fig-flange  the drum itself
    fig-dead, fig-unreached, fig-firm, fig-loose wraps by state; fig-off rope not on the drum
    fig-work         the rope that carries       fig-pull         arrow of a force, mark at a bar
    fig-curve        a curve; fig-curve-planned, fig-curve-light, fig-curve-empty by load
    fig-strong, fig-faint  heavier, lighter text u-metric, u-us   one number in either unit; the page hides one
    fig-sign         a sign of the key           fw-legend        the key, in HTML
    fig-line         rope too thin for strands   fig-lay          strands of a rope drawn large
    fig-top          rope of a layer above       fig-sheave       sheave, fig-cheek the plates about sheaves
    fig-hook         hook                        fig-weight       paper in thick outline: a weight, a wedge
    fig-go           what moves, fig-go-head the head of its arrow; fig-hoist, fig-hoist-head the hoist beside luffing
    fig-keep         where nobody stands
    fig-on           text on the hue             fig-halo         text on lines

Words: `words["figures"]`, from hooks/words/figures.en.yaml, read with `yaml.safe_load`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup, escape

from calc.rounding import Pair, boom_length
from calc.winding.plan_data import best_method
from hooks.text import environment

WIDTH = 340
FONT = 15  # user units: 14.5 px where the figure is 328 px wide, as on a phone of 360

Words = Mapping[str, Any]


def number(value: float) -> str:
    """A coordinate: one decimal, no trailing zero, no minus zero.

    >>> number(12.04), number(-0.01), number(3.25)
    ('12', '0', '3.2')
    """
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def points(places: Sequence[tuple[float, float]]) -> str:
    """Places as the `points` attribute of a polyline or polygon."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in places)


def ring(x: float, y: float, radius: float) -> str:
    """A circle as a piece of a path, so that many make one element.

    >>> ring(10, 5, 2)
    'M8.00 5.00a2.00 2.00 0 1 1 4.00 0a2.00 2.00 0 1 1 -4.00 0z'
    """
    half = f"a{radius:.2f} {radius:.2f} 0 1 1 "
    return f"M{x - radius:.2f} {y:.2f}{half}{2 * radius:.2f} 0{half}{-2 * radius:.2f} 0z"


def units(pair: Pair) -> Markup:
    """One number in both unit systems; the page's switch hides one of the two."""
    if pair.metric == pair.us:
        return escape(pair.metric)
    return Markup('<tspan class="u-metric">{}</tspan><tspan class="u-us">{}</tspan>').format(*pair)


def shown(pair: Pair) -> Markup:
    """One number in both unit systems in the HTML of a key."""
    return environment.both(pair)


def both(pair: Pair) -> str:
    """One number in both unit systems as plain text, for descriptions."""
    return f"{pair.metric} ({pair.us})"


def named(machine: str) -> str:
    """A crane's name from its id, for titles.

    >>> named("bittern"), named("port-crane 2")
    ('Bittern', 'Port crane 2')
    """
    return machine[:1].upper() + machine[1:].replace("-", " ")


def say(template: str, **parts: Any) -> Markup:
    """A text of the words file, escaped, with its parts put in; parts that are not markup are escaped."""
    return Markup(escape(template)).format(**parts)


def text(x: float, y: float, content: Markup | str, anchor: str = "start", classes: str = "") -> Markup:
    """One line of text with its baseline at y."""
    return Markup('<text x="{}" y="{}"{}{}>{}</text>').format(
        number(x),
        number(y),
        Markup("") if anchor == "start" else Markup(' text-anchor="{}"').format(anchor),
        Markup(' class="{}"').format(classes) if classes else Markup(""),
        content,
    )


def prefix(*names: str) -> str:
    """Start of every id in a figure, from names that may hold anything.

    >>> prefix("fig", "heron", "24.5m", "<b>")
    'fig-heron-24-5m-b'
    """
    return "-".join(filter(None, (re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") for name in names))) or "fig"


def figure(
    ids: str,
    height: float,
    title: Markup,
    description: Markup,
    body: Sequence[str],
    width: float = WIDTH,
    font: float = FONT,
    key: Sequence[tuple[str, Markup]] = (),
) -> str:
    """The whole <svg>: body in a box `width` wide and `height` high, with its title and description; beneath it the
    `key`, a sign or a letter and what it means."""
    drawn = Markup(
        '<svg class="fig" viewBox="0 0 {w} {h}" role="img" aria-labelledby="{i}-title {i}-desc" font-size="{f}"'
        ' fill="currentColor"><title id="{i}-title">{t}</title><desc id="{i}-desc">{d}</desc>{b}</svg>'
    ).format(
        w=number(width),
        h=number(height),
        i=ids,
        f=font,
        t=title,
        d=description,
        b=Markup("").join(map(Markup, body)),
    )
    return str(drawn + legend(key))


def legend(key: Sequence[tuple[str, Markup]]) -> Markup:
    """The key of a figure in HTML; a line with neither sign nor letter is a remark."""
    lines = Markup("").join(
        Markup("<li><b>{}</b><span>{}</span></li>").format(sign, words)
        if sign
        else Markup("<li><span>{}</span></li>").format(words)
        for sign, words in key
    )
    return Markup('<ul class="fw-legend">{}</ul>').format(lines) if lines else Markup("")


def swatch(kind: str = "", fill: str = "", box: tuple[float, float, float, float] = (1, 1, 28, 14)) -> Markup:
    """The sign of an area: a box of this class, or with the pattern `fill` where in its drawing the `box` lies."""
    look = Markup('fill="url(#{})"').format(fill) if fill else Markup('class="{}"').format(kind)
    x, y, wide, high = box
    drawn = Markup('<rect {} x="{}" y="{}" width="{}" height="{}"/>').format(look, *map(number, box))
    return _sign(drawn, (x - 1, y - 1, wide + 2, high + 2))


def stroke(kind: str, path: str = "M1 8h28") -> Markup:
    """The sign of a line of this class."""
    return _sign(Markup('<path class="{}" d="{}"/>').format(kind, path))


def _sign(drawn: Markup, box: tuple[float, float, float, float] = (0, 0, 30, 16)) -> Markup:
    around = '<svg class="fig fig-sign" viewBox="{}" aria-hidden="true" fill="currentColor">{}</svg>'
    return Markup(around).format(" ".join(map(number, box)), drawn)


def plan_title(says: Words, plan: Mapping[str, Any]) -> Markup:
    """The title of a figure drawn from one plan."""
    return say(says["title"], machine=named(plan["machine"]), boom=both(boom_length(plan["boom_length_m"])))


def no_figure(ids: str, says: Words, plan: Mapping[str, Any]) -> str:
    """The figure of a plan that has no such part: one line that says so."""
    line = say(says["refused"])
    return figure(ids, 40, plan_title(says, plan), line, [text(WIDTH / 2, 24, line, "middle", "fig-strong")])


def spread(wanted: Sequence[float], gap: float) -> list[float]:
    """Label places at least `gap` apart, in order, as near the wanted places (growing) as that allows.

    Neighbours that come too close are pushed apart around their common middle.

    >>> spread([0, 2, 4, 50], 10)
    [-8.0, 2.0, 12.0, 50]
    """
    groups: list[list[float]] = []
    for place in wanted:
        groups.append([place])
        while len(groups) > 1 and _top(groups[-1], gap) - _bottom(groups[-2], gap) < gap:
            last = groups.pop()
            groups[-1] += last
    return [
        place if len(group) == 1 else _top(group, gap) + count * gap
        for group in groups
        for count, place in enumerate(group)
    ]


def _top(group: list[float], gap: float) -> float:
    return sum(group) / len(group) - gap * (len(group) - 1) / 2


def _bottom(group: list[float], gap: float) -> float:
    return sum(group) / len(group) + gap * (len(group) - 1) / 2


def chosen_method(plan: Mapping[str, Any], name: str | None) -> Mapping[str, Any] | None:
    """The method of this name if it has passes, or without a name the plan's best; None when there is none."""
    if name is None:
        return best_method(plan)
    return next((m for m in plan["methods"] if m and m["name"] == name and m["passes"]), None)
