"""Figures of the procedure pages, each drawn from one plan: the first pass and what it winds, luffing in for the next
pass, the ways to bring the load back, the working circle.

Side views stand on the frame of `side`; plan views look down on the slew axis.  Numbers go to the cautious side: rope,
drop and radii reached down, the circle to be kept clear and the rise of the block up.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.winding.plan_data import hook_block
from hooks.figures import (
    FONT,
    WIDTH,
    Words,
    both,
    chosen_method,
    figure,
    no_figure,
    number,
    plan_title,
    plan_view,
    prefix,
    say,
    shown,
    side,
    text,
)
from hooks.figures.side import LEFT, Frame, Position, head_height

METHOD = "luff-out"  # the method every boom has; passes and their repetition are shown on it
EDGE = WIDTH - 14  # where the upright dimension of a side view stands
STRIP = 74  # height of one way in the plan view of the load's return
CIRCLE = 120  # radius of the working circle as drawn

Plan = Mapping[str, Any]


def one_pass(plan: Plan, words: Words) -> str:
    """Side view of the first pass of luffing out: how far the boom head comes down, and how much rope that winds."""
    says, chosen = words["figures"]["one-pass"], chosen_method(plan, METHOD)
    if chosen is None:
        return no_figure(_ids("one-pass", plan), says, plan)
    first = chosen["passes"][0]
    lifted = next(m for m in first["moves"] if m["move"] == "pick")
    moved = [m for m in first["moves"] if m["move"] == METHOD]
    length, slings = plan["boom_length_m"], first["sling_length_m"]
    places = [
        _place(length, lifted["radius_m"][1], lifted["hook_height_m"][1], slings, first=True),
        _place(length, moved[-1]["radius_m"][1], moved[-1]["hook_height_m"][1], slings),
    ]
    at = side.frame(plan, {"passes": [first]}, places)
    highest, lowest = (head_height(plan["inputs"], length, place.radius) for place in places)
    drop = rounding.length(highest - lowest, "down")
    wound = rounding.rope(sum(m["rope_on_drum_m"][1] - m["rope_on_drum_m"][0] for m in moved), "down")
    # drawn where the unloaded boom stands, told as the crew reads it under the load
    radii = (
        rounding.length(lifted["loaded_radius_m"][1], "up"),
        rounding.length(moved[-1]["loaded_radius_m"][1], "down"),
    )
    low, high = (rounding.length(plan["inputs"][name], "near") for name in ("clearance_m", "band_top_m"))
    ids = _ids("one-pass", plan)
    body = [
        side.band_and_path(at, plan, {"passes": [first]}, ids),
        side.machine(at, plan, places),
        *(side.hook_and_load(at, plan, place) for place in reversed(places)),
        side.heads(at, places),
        _rise(at, (places[0].radius, highest), (places[1].radius, lowest)),
    ]
    lines = [
        ("A", say(says["start"], radius=shown(radii[0]))),
        ("B", say(says["end"], radius=shown(radii[1]))),
        ("h", say(says["drop"], height=shown(drop), falls=plan["falls"]["used"], length=shown(wound))),
        ("", say(says["band"], low=shown(low), high=shown(high))),
        ("", say(says["sketch"])),
    ]
    return figure(
        ids,
        at.ground + 6,
        plan_title(says, plan),
        say(
            says["describe"],
            start=both(radii[0]),
            end=both(radii[1]),
            drop=both(drop),
            falls=plan["falls"]["used"],
            length=both(wound),
        ),
        body,
        key=lines,
    )


def luff_in(plan: Plan, words: Words) -> str:
    """Side view of the way to the second pass: slings hung on the low hook, then luffing in with the hoist held, the
    block rising with the boom head.
    """
    says, chosen = words["figures"]["luff-in"], chosen_method(plan, METHOD)
    if chosen is None or len(chosen["passes"]) < 2:
        return no_figure(_ids("luff-in", plan), says, plan)
    after = chosen["passes"][1]
    move = _luffed_in(after)
    length = plan["boom_length_m"]
    places = [
        _place(length, move["radius_m"][0], move["hook_height_m"][0], 0.0, first=True),
        _place(length, move["radius_m"][1], move["hook_height_m"][1], after["sling_length_m"]),
    ]
    at = side.frame(plan, {"passes": [{"moves": [move]}]}, places)
    radii = [rounding.length(place.radius, "near") for place in places]
    rise = rounding.length(places[1].hook - places[0].hook, "up")
    low, slings = rounding.length(places[0].hook, "near"), rounding.length(after["sling_length_m"], "near")
    ids = _ids("luff-in", plan)
    body = [
        side.machine(at, plan, places),
        side.hook_and_load(at, plan, places[1]),
        _empty_hook(at, plan, places[0]),
        side.heads(at, places),
        _rise(at, (places[1].radius, places[1].hook), (places[0].radius, places[0].hook)),
    ]
    lines = [
        ("A", say(says["hung"], radius=shown(radii[0]), height=shown(low))),
        ("B", say(says["again"], radius=shown(radii[1]), length=shown(slings))),
        ("h", say(says["rise"], height=shown(rise))),
        ("", say(says["sketch"])),
    ]
    spoken = {"hung": both(radii[0]), "again": both(radii[1]), "rise": both(rise)}
    spoken |= {"low": both(low), "slings": both(slings)}
    return figure(ids, at.ground + 6, plan_title(says, plan), say(says["describe"], **spoken), body, key=lines)


def load_return(plan: Plan, words: Words) -> str:
    """Plan view of the three ways to have a load under the hook where the second pass begins."""
    says, chosen = words["figures"]["load-return"], chosen_method(plan, METHOD)
    if chosen is None or len(chosen["passes"]) < 2:
        return no_figure(_ids("load-return", plan), says, plan)
    # the load lies where the bent boom landed it; over it the hook hangs plumb from the unbent one
    landed = chosen["passes"][0]["moves"][-1]["loaded_radius_m"][1]
    again = _luffed_in(chosen["passes"][1])["radius_m"][1]
    half = plan["inputs"]["load_size_m"] / 2
    back = side.tail(plan["inputs"]) / 2
    scale = (WIDTH - 2 * LEFT) / (back + landed + half)
    axis = LEFT + back * scale
    apart = rounding.length(landed - again, "near")
    body: list[Markup] = []
    for count, way in enumerate(("crawler-travels", "helper-machine", "second-load")):
        top = 4 + count * (STRIP + 22)
        y = top + 18 + STRIP / 2
        x_landed, x_again, moved = axis + landed * scale, axis + again * scale, (landed - again) * scale
        travels = way == "crawler-travels"
        crane = axis + (moved if travels else 0.0)
        reached = x_landed if travels else x_again
        body.append(text(LEFT, top + FONT, say(says[way]), classes="fig-strong"))
        if travels:
            body.append(plan_view.crane(axis, y, back * scale, "fig-off"))
            body.append(_arrow(axis, crane, y + back * scale + 6))
        body += [
            plan_view.crane(crane, y, back * scale, "fig-body"),
            plan_view.boom(crane, y, reached - crane),
        ]
        # where the load was landed, and where the next pass picks one up
        stands = {x_landed} if travels else {x_again} if way == "helper-machine" else {x_landed, x_again}
        for x in sorted({x_landed, reached}):
            kind = "fig-load" if x in stands else "fig-off"
            body.append(plan_view.load(x, y, half * scale, kind))
        if way == "helper-machine":
            body.append(_arrow(x_landed, x_again, y + half * scale + 10))
        named = [(x_landed, "AB")] if travels else [(x_again, "B"), (x_landed, "A")]
        body.append(plan_view.letters_over(named, y - half * scale - 5, WIDTH - LEFT))
    lines = [
        ("A", say(says["landed"], radius=shown(rounding.length(landed, "down")))),
        ("B", say(says["again"], radius=shown(rounding.length(again, "near")))),
        ("", say(says["apart"], distance=shown(apart))),
    ]
    ids = _ids("load-return", plan)
    described = say(
        says["describe"],
        landed=both(rounding.length(landed, "down")),
        again=both(rounding.length(again, "near")),
        distance=both(apart),
    )
    return figure(ids, 3 * (STRIP + 22), plan_title(says, plan), described, body, key=lines)


def working_circle(plan: Plan, words: Words) -> str:
    """Plan view of the circle that must be clear: the slew axis, the load at its start and furthest out, the circle."""
    says, chosen = words["figures"]["working-circle"], chosen_method(plan, None)
    if chosen is None:
        return no_figure(_ids("working-circle", plan), says, plan)
    moves = [m for one in chosen["passes"] for m in one["moves"] if m["load_kg"]]
    start, furthest = plan["stops"]["start_radius_m"], max(max(m["loaded_radius_m"]) for m in moves)
    circle, half = chosen["working_radius_m"], plan["inputs"]["load_size_m"] / 2
    radius = CIRCLE
    scale = radius / circle
    x, y = WIDTH / 2, radius + 6
    back = side.tail(plan["inputs"]) / 2 * scale
    body = [
        Markup('<circle class="fig-stop" fill="none" cx="{}" cy="{}" r="{}"/>').format(*map(number, (x, y, radius))),
        Markup('<path class="fig-dim" d="M{x} {y}L{a} {b}"/>').format(
            x=number(x), y=number(y), a=number(x - 0.5 * radius), b=number(y - 0.866 * radius)
        ),
        plan_view.crane(x, y, back, "fig-body"),
        plan_view.boom(x, y, furthest * scale),
        plan_view.path(x + start * scale, x + furthest * scale, y + half * scale + 5),
    ]
    for out, kind in ((start, "fig-off"), (furthest, "fig-load")):
        body.append(plan_view.load(x + out * scale, y, half * scale, kind))
    named = [(x + start * scale, "A"), (x + min(furthest * scale, radius - 10), "B")]
    body.append(plan_view.letters_over(named, y - half * scale - 5, WIDTH - LEFT))
    body.append(plan_view.letters_over([(x - 0.25 * radius - 12, "R")], y - 0.433 * radius, WIDTH - LEFT))
    clear = rounding.length(circle, "up")
    radii = rounding.length(start, "up"), rounding.length(furthest, "down")
    lines = [
        ("A", say(says["start"], radius=shown(radii[0]))),
        ("B", say(says["end"], radius=shown(radii[1]))),
        ("R", say(says["clear"], radius=shown(clear))),
        ("", say(says["line"])),
        ("", say(says["people"])),
    ]
    ids = _ids("working-circle", plan)
    described = say(says["describe"], start=both(radii[0]), end=both(radii[1]), clear=both(clear))
    return figure(ids, y + radius + 6, plan_title(says, plan), described, body, key=lines)


# -- pieces -----------------------------------------------------------------------------------------------------


def _ids(name: str, plan: Plan) -> str:
    return prefix(name, plan["machine"], plan["boom"], plan["configuration"])


def _empty_hook(at: Frame, plan: Plan, place: Position) -> Markup:
    """Falls and hook block of a position with nothing on the hook."""
    block = hook_block(plan)
    x, hook = at.at(place.radius, place.hook)
    sheave = at.at(place.radius, place.hook + (block["height_m"] if block else 0.0))[1]
    head = at.head(place.boom_length, place.radius)[1]
    return Markup(
        '<path class="fig-rope" d="M{a} {h}V{s}M{b} {h}V{s}"/>'
        '<rect class="fig-block" x="{x}" y="{s}" width="5" height="{t}"/>'
    ).format(
        a=number(x - 1), b=number(x + 1), h=number(head), s=number(sheave), x=number(x - 2.5), t=number(hook - sheave)
    )


def _luffed_in(one: Mapping[str, Any]) -> Mapping[str, Any]:
    """The move of a later pass that brings the empty hook, its slings hung, back in over the load."""
    return next(dict(move) for move in one["moves"] if move["move"] == "luff-in" and not move["load_kg"])


def _place(boom_length: float, radius: float, hook: float, slings: float, first: bool = False) -> Position:
    """A position of the side view; its words stand in the key of these figures, not in the position."""
    return Position(boom_length, radius, hook, slings, spoken="", first=first)


def _rise(at: Frame, high: tuple[float, float], low: tuple[float, float]) -> Markup:
    """The upright dimension h between two places (radius, height), beside the drawing."""
    (x1, y1), (x2, y2) = at.at(*high), at.at(*low)
    leads = Markup('<path class="fig-lead" stroke-dasharray="3 3" d="M{} {a}H{e}M{} {b}H{e}"/>').format(
        number(x1 + 3), number(x2 + 3), a=number(y1), b=number(y2), e=number(EDGE + 4)
    )
    line = Markup('<path class="fig-dim" d="M{x} {a}V{b}m-3 0h6M{x} {a}m-3 0h6"/>').format(
        x=number(EDGE), a=number(y1), b=number(y2)
    )
    return leads + line + text(EDGE - 4, (y1 + y2) / 2 + 4, "h", "end", "fig-strong")


def _arrow(x1: float, x2: float, y: float) -> Markup:
    """A level arrow from x1 to x2."""
    barb = -5 if x2 > x1 else 5
    return Markup('<path class="fig-dim" d="M{} {y}H{x}m{b} -3l{c} 3 {b} 3"/>').format(
        number(x1), x=number(x2), y=number(y), b=number(barb), c=number(-barb)
    )
