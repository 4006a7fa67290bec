"""Figures of a rope inspection, drawn from the fitness of a rope: where along the rope to look, readings over time; and
how broken wires are counted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from markupsafe import Markup

from calc import rounding
from hooks.figures import (
    WIDTH,
    Words,
    both,
    figure,
    named,
    number,
    plan_title,
    prefix,
    say,
    stroke,
    swatch,
    text,
    units,
)
from hooks.figures.bars import FULL, LEFT, ROW, bar

Fitness = Mapping[str, Any]
Plan = Mapping[str, Any]
Point = tuple[float, float]

TOP, FOOT, SIDE = 30, 150, 14  # of the chart: highest and lowest reading, room left and right
NUMBERS = 20  # from one broken-wire count to the next, at least
LIMITS = {"iso": "fig-stop", "us": "fig-curve fig-curve-empty"}


# -- where to look ------------------------------------------------------------------------------------------------


def along_the_rope(found: Fitness, words: Words) -> str:
    """The rope at full length from its drum end: dead wraps, rope that works on the drum and over the sheaves, with the
    places where it climbs to the next layer; for the work the log holds most of.
    """
    says, where, total = words["figures"]["along-the-rope"], found["where"], found["rope"]["length_m"]
    spans: list[tuple[str, str, float, float]] = [("dead", "fig-dead", 0.0, where["dead_rope_m"])]
    usual = next(iter(where["usual"]), None)
    if usual is None:
        spans.append(("works", "fig-firm", where["dead_rope_m"], total))
    else:
        lead, *rest = (sheave["from_drum_m"] for sheave in usual["sheaves"])
        spans.append(("drum", "fig-firm", min(usual["rope_on_drum_m"]), max(usual["rope_on_drum_m"])))
        spans.append(("lead", "fig-firm", *lead))
        if rest:
            ends = [end for pair in rest for end in pair]
            spans.append(("sheaves", "fig-firm", min(ends), max(ends)))
    body: list[Markup] = []
    spoken = [says["describe"].format(length=both(rounding.rope(total, "near")))]
    for count, (name, kind, start, end) in enumerate(spans):
        borders = {"start": rounding.rope(start, "down"), "end": rounding.rope(end, "near" if name == "dead" else "up")}
        line = say(says[name], **{side: units(pair) for side, pair in borders.items()})
        pieces = [("fig-off", start / total), (kind, (end - start) / total), ("fig-off", 1 - end / total)]
        body.append(bar(count * ROW, line, [piece for piece in pieces if piece[1] > 0]))
        spoken.append(f"{says[name].format(**{side: both(pair) for side, pair in borders.items()})}.")
    climbs = where["flange_points_m"] if usual else ()
    if climbs:
        y = ROW + 16  # over the bar of the drum
        marks = "".join(f"M{number(LEFT + at / total * FULL)} {y}v18" for at in climbs)
        body.append(Markup('<path class="fig-pull" d="{}"/>').format(marks))
        places = ", ".join(both(rounding.rope(at, "near")) for at in climbs)
        spoken.append(says["flange_describe"].format(places=places))
    bottom = len(spans) * ROW
    body.append(text(LEFT, bottom + 12, say(says["drum_end"])))
    body.append(text(LEFT + FULL, bottom + 12, say(says["hook_end"]), "end"))
    key = [(swatch("fig-dead"), say(says["dead_key"])), (swatch("fig-firm"), say(says["look_key"]))]
    if climbs:
        key.append((stroke("fig-pull", "M15 1v14"), say(says["flange_key"])))
    title = say(says["title"], machine=named(found["machine"]))
    ids = prefix("along-the-rope", found["machine"])
    return figure(ids, bottom + 16, title, say(" ".join(spoken)), body, key=key)


# -- readings over time -------------------------------------------------------------------------------------------


def over_time(found: Fitness, series: Mapping[str, Any], words: Words) -> str:
    """Mean diameter at one place by day between the first reading and the last, with the limits of both regimes; broken
    wires as numbers beneath.
    """
    says = words["figures"]["over-time"]
    read = [point for point in series["points"] if point["diameter_m"] is not None]
    if len(read) < 2:
        raise ValueError("points are fewer than two diameters; there is nothing to draw over time")
    limits = {regime: limit for regime in LIMITS if (limit := _least(found, regime)) is not None}
    levels = [*limits.values(), *(point["diameter_m"] for point in read)]
    low, high = min(levels), max(levels)
    days = [date.fromisoformat(point["day"]).toordinal() for point in series["points"]]

    def x(day: str) -> float:
        gone = (date.fromisoformat(day).toordinal() - days[0]) / max(1, days[-1] - days[0])
        return LEFT + SIDE + gone * (WIDTH - 2 * (LEFT + SIDE))

    def y(metres: float) -> float:
        return TOP + (high - metres) / (high - low) * (FOOT - TOP) if high > low else float(TOP)

    body: list[Markup] = []
    spoken = [say(says["describe"])]
    bases = _labels([y(limit) for limit in limits.values()])
    for (regime, limit), base in zip(limits.items(), bases, strict=True):
        pair, at = rounding.caliper(limit, "up"), number(y(limit))
        name = f"{regime}_information" if _information(found, regime, series["place"]) else regime
        body.append(Markup('<path class="{}" d="M{} {}H{}"/>').format(LIMITS[regime], LEFT, at, number(LEFT + FULL)))
        body.append(text(LEFT, base, say(says[name], value=units(pair))))
        spoken.append(say(says[name], value=both(pair)) + ".")
    places = [(x(point["day"]), y(point["diameter_m"])) for point in read]
    line = "L".join(f"{number(a)} {number(b)}" for a, b in places)
    signs = "".join(f"M{number(a - 4)} {number(b)}l4 -4l4 4l-4 4z" for a, b in places)
    body.append(
        Markup('<path class="fig-dim" fill="none" d="M{}"/><path class="fig-block" d="{}"/>').format(line, signs)
    )
    for end, anchor in ((0, "start"), (-1, "end")):
        pair = rounding.caliper(read[end]["diameter_m"], "near")
        above = places[end][1] - 8
        body.append(text(_edge(end), above, units(pair), anchor, "fig-strong"))
    for point in read:
        pair = rounding.caliper(point["diameter_m"], "near")
        spoken.append(say(says["point"], day=point["day"], diameter=both(pair)))
    foot = max(FOOT, *bases) + 12
    for point in series["points"]:
        at = number(x(point["day"]))
        body.append(Markup('<path class="fig-dim" d="M{} {}v6"/>').format(at, number(foot)))
    body.append(Markup('<path class="fig-ground" d="M{} {}H{}"/>').format(LEFT, number(foot), number(LEFT + FULL)))
    body.append(text(LEFT, foot + 22, series["points"][0]["day"]))
    body.append(text(LEFT + FULL, foot + 22, series["points"][-1]["day"], "end"))
    height = foot + 30
    for name in ("in_6_diameters", "in_30_diameters"):
        counted = [(x(point["day"]), point[name]) for point in series["points"] if point[name] is not None]
        if counted:
            body.append(text(LEFT, height + 14, say(says[name])))
            body += [text(at, height + 32, str(value), "middle", "fig-strong") for at, value in _apart(counted)]
            counts = ", ".join(str(value) for _, value in counted)
            spoken.append(say(says["counts"], what=say(says[name]), counts=counts))
            height += 40
    where = words["fitness"]["places"][series["place"]]
    title = say(says["title"], place=where, machine=named(found["machine"]))
    ids = prefix("over-time", found["machine"], str(found["series"].index(series)))
    return figure(ids, height, title, Markup(" ").join(spoken), body)


def _least(found: Fitness, regime: str) -> float | None:
    """The diameter that ends the use of the rope under one regime [m]; None where it is not known."""
    least: float | None = _thinnest(found, regime, "drum")["diameter_m"]
    return least


def _information(found: Fitness, regime: str, place: str) -> bool:
    """Whether the limit of the diameter is shown for information only at one kind of place."""
    return bool(_thinnest(found, regime, place)["information"])


def _thinnest(found: Fitness, regime: str, place: str) -> Mapping[str, Any]:
    """The limit of a decrease of the diameter under one regime at one kind of place."""
    limits = next(one for one in found["limits"] if one["regime"] == regime)
    here = next(group for group in limits["measured"] if place in group["places"])
    every = (limit for limit in here["limits"] if limit["criterion"] == "diameter-decrease")
    limit: Mapping[str, Any] = next(every)
    return limit


def _labels(lines: Sequence[float]) -> list[float]:
    """Baselines of the labels of lines [px]: under its line, and apart where lines are close.

    >>> _labels([100.0, 150.0]), _labels([100.0, 104.0])
    ([116.0, 166.0], [95.0, 120.0])
    """
    if len(lines) == 2 and abs(lines[0] - lines[1]) < 20:
        upper = lines.index(min(lines))
        return [line - 5 if at == upper else line + 16 for at, line in enumerate(lines)]
    return [line + 16 for line in lines]


def _edge(end: int) -> float:
    return float(LEFT if end == 0 else LEFT + FULL)


def _apart(counted: Sequence[tuple[float, int]]) -> list[tuple[float, int]]:
    """Counts far enough apart to be read, the newest kept."""
    kept: list[tuple[float, int]] = []
    for at, value in reversed(counted):
        if not kept or kept[-1][0] - at >= NUMBERS:
            kept.append((at, value))
    return kept[::-1]


# -- counting -----------------------------------------------------------------------------------------------------


def counting(plan: Plan, words: Words) -> str:
    """A piece of rope with broken wires, and the two lengths over which they are counted, both over its worst place."""
    says, real = words["figures"]["counting"], plan["inputs"]["rope_diameter_m"]
    ids = prefix("counting", plan["machine"], plan["boom"], plan["configuration"])
    across = (WIDTH - 2 * LEFT) / 34  # 34 diameters of rope are drawn
    top, middle = 56.0, 18.0 * across + LEFT
    strands = "".join(
        f"M{number(LEFT + turn * across)} {number(top + across)}l{number(across)} {number(-across)}"
        for turn in range(33)
    )
    body: list[Markup] = [
        Markup('<rect class="fig-barrel" x="{}" y="{}" width="{}" height="{}"/>').format(
            LEFT, number(top), number(34 * across), number(across)
        ),
        Markup('<path class="fig-loose" d="{}"/>').format(strands),
    ]
    breaks = [middle + offset * across for offset in (-9.0, -1.6, 0.2, 1.9, 12.0)]
    body += [
        Markup('<path class="fig-pull" d="M{} {}l-2 -7m5 0l-2 7"/>').format(number(at), number(top + 2))
        for at in breaks
    ]
    spoken = [says["describe"]]
    for name, long, y, inside in (("short", 6, top - 18, 3), ("long", 30, top + across + 22, 5)):
        start, end = middle - long / 2 * across, middle + long / 2 * across
        start, end = max(float(LEFT), start), min(LEFT + 34 * across, end)
        length = rounding.measured_diameter(long * real, "up")
        body.append(
            Markup('<path class="fig-curve" d="M{} {}v8m0 -4H{}m0 -4v8"/>').format(
                number(start), number(y - 4), number(end)
            )
        )
        line = say(says[name], length=units(length), count=inside)
        body.append(text(WIDTH / 2, y - 12 if name == "short" else y + 22, line, "middle"))
        spoken.append(f"{says[name].format(length=both(length), count=inside)}.")
    return figure(ids, top + across + 54, plan_title(says, plan), say(" ".join(spoken)), body)


def waviness(plan: Plan, words: Words) -> str:
    """A wavy rope under a straight edge, with the gap that is measured."""
    says = words["figures"]["waviness"]
    ids = prefix("waviness", plan["machine"], plan["boom"], plan["configuration"])
    wave, rope, edge, depth = (WIDTH - 2 * LEFT) / 4, 22, 40.0, 12.0
    curve = (
        f"q{number(wave / 4)} {number(-depth)} {number(wave / 2)} 0t{number(wave / 2)} 0" + f"t{number(wave / 2)} 0" * 6
    )
    back = (
        f"q{number(-wave / 4)} {number(depth)} {number(-wave / 2)} 0t{number(-wave / 2)} 0"
        + f"t{number(-wave / 2)} 0" * 6
    )
    y = edge + depth / 2
    low = LEFT + wave * 1.75  # the middle of a trough
    body = [
        Markup('<path class="fig-barrel" d="M{} {}{}v{}{}z"/>').format(LEFT, number(y), curve, rope, back),
        Markup('<rect class="fig-flange" x="{}" y="{}" width="{}" height="9"/>').format(
            LEFT, number(edge - 9), number(WIDTH - 2 * LEFT)
        ),
        Markup('<path class="fig-pull" d="M{} {}v{}"/>').format(number(low), number(edge), number(depth)),
        text(LEFT, 22, say(says["edge"])),
        text(low, y + rope + 26, say(says["gap"]), "middle", "fig-strong"),
        Markup('<path class="fig-dim" d="M{} {}V{}"/>').format(
            number(low), number(y + rope + 14), number(edge + depth)
        ),
    ]
    return figure(ids, y + rope + 34, plan_title(says, plan), say(says["describe"]), body)
