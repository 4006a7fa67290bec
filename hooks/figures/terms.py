"""The parts of a crane by name, on the side view of a plan at its start."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from calc.winding.plan_data import hook_block
from hooks.figures import WIDTH, Words, figure, no_figure, number, plan_title, prefix, say, side, spread
from hooks.figures.side import Frame, Position

PARTS = ("head", "boom", "lead", "pivot", "winch", "falls", "block", "slings", "load", "height", "radius")
LETTERS = {name: chr(ord("A") + at) for at, name in enumerate(PARTS)}
ON_THE_LEFT = ("boom", "lead", "pivot", "winch")  # the others stand on the right, the radius below

Plan = Mapping[str, Any]


def svg(plan: Plan, words: Words) -> str:
    """Side view with a letter at every part, the letters explained below."""
    says = words["figures"]["parts"]
    ids = prefix("parts", plan["machine"], plan["boom"], plan["configuration"])
    if plan["stops"] is None:
        return no_figure(ids, says, plan)
    place = side.positions(plan, None, words["figures"]["side"])[0]
    at = side.frame(plan, None, [place])
    body = [
        side.machine(at, plan, [place]),
        Markup('<path class="fig-rope" d="M{} {}L{} {}"/>').format(
            *map(number, (*_winch(at), *at.head(place.boom_length, place.radius)))
        ),
        side.hook_and_load(at, plan, place),
        _height(at, place),
        _radius(at, place),
        _letters(at, plan, place),
    ]
    named = [(letter, say(says[name])) for name, letter in LETTERS.items()]
    spoken = " ".join(f"{letter}: {words_}." for letter, words_ in named)
    described = say(says["describe"], parts=Markup(spoken))
    return figure(ids, at.ground + 40, plan_title(says, plan), described, body, key=named)


def _winch(at: Frame) -> tuple[float, float]:
    """Where the rope leaves the winch: behind the boom pivot, at the winch's height."""
    return at.at(at.inputs["pivot_forward_m"] - 0.8 * at.inputs["pivot_height_m"], at.inputs["winch_height_m"])


def _height(at: Frame, place: Position) -> Markup:
    """The hook's height above ground, beside the load."""
    x, hook = at.at(place.radius + at.inputs["load_size_m"] / 2 + 0.6, place.hook)
    return Markup('<path class="fig-dim" d="M{x} {g}V{h}m-3 0h6"/>').format(
        x=number(x), g=number(at.ground), h=number(hook)
    )


def _radius(at: Frame, place: Position) -> Markup:
    """The radius, below the ground from the slew axis, with its letter."""
    left, right = at.axis, at.axis + place.radius * at.scale
    y = at.ground + 14
    line = Markup('<path class="fig-dim" d="M{l} {g}V{e}M{r} {g}V{e}M{l} {y}H{r}"/>').format(
        l=number(left), r=number(right), g=number(at.ground + 2), y=number(y), e=number(y + 4)
    )
    return line + side.pill((left + right) / 2, y, LETTERS["radius"])


def _letters(at: Frame, plan: Plan, place: Position) -> Markup:
    """Letters in two columns beside the drawing, each with a line to its part."""
    (px, py), (hx, hy) = at.pivot, at.head(place.boom_length, place.radius)
    block = hook_block(plan)
    hook = at.at(place.radius, place.hook)
    sheave = at.at(place.radius, place.hook + (block["height_m"] if block else 0.0))
    half, tall = at.inputs["load_size_m"] / 2, plan["load"]["stack_height_m"]
    wx, wy = _winch(at)
    under = side.underside(plan, place)
    parts = {
        "head": (hx, hy),
        "boom": (px + 0.6 * (hx - px), py + 0.6 * (hy - py)),
        "lead": (wx + 0.35 * (hx - wx), wy + 0.35 * (hy - wy)),
        "pivot": (px, py),
        "winch": (wx, wy),
        "falls": (hook[0] + 1, (hy + sheave[1]) / 2),
        "block": (hook[0] + 2.5, (hook[1] + sheave[1]) / 2),
        "slings": at.at(place.radius + half / 2, place.hook - place.slings / 2),
        "load": at.at(place.radius + half, under + tall / 2),
        "height": at.at(place.radius + half + 0.6, place.hook * 0.15),
    }
    out = Markup("")
    for column, names in (
        (side.MARK / 2 + 2, [name for name in parts if name in ON_THE_LEFT]),
        (WIDTH - side.MARK / 2 - 2, [name for name in parts if name not in ON_THE_LEFT]),
    ):
        for name, y in zip(names, spread([parts[name][1] for name in names], side.MARK + 3), strict=True):
            x, part_y = parts[name]
            out += Markup('<path class="fig-lead" d="M{} {}L{} {}"/>').format(*map(number, (column, y, x, part_y)))
            out += side.pill(column, y, LETTERS[name])
    return out
