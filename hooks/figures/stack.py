"""The weights of a plan on the hook of its first pass, from the side and to scale: which lies on which, the slings, the
heights that fix the hook."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.data.yard import Weight
from calc.winding import makeup
from hooks.figures import WIDTH, Words, both, figure, no_figure, number, plan_title, prefix, say, shown, text, units
from hooks.figures.sketch import block, measured

TALL, WIDE = 236.0, 190.0  # the drawing may take
TOP = 46.0  # the saddle of the hook
NEAR = 1e-6

Plan = Mapping[str, Any]
Piece = tuple[float, float, float, float, float]  # middle, foot, length, height, mass


def svg(plan: Plan, words: Words) -> str:
    """The stack, its slings and the hook."""
    says, load = words["figures"]["stack"], plan["load"]
    ids = prefix("stack", plan["machine"], plan["boom"], plan["configuration"])
    if plan["stops"] is None:
        return no_figure(ids, says, plan)
    base, rest = pieces(plan)
    hook = plan["stops"]["start_hook_height_m"]
    scale = min(TALL / hook, WIDE / base[2])
    middle, ground = WIDTH / 2 - 8, TOP + hook * scale

    def up(height: float) -> float:
        return float(ground - height * scale)

    points, knot = load["lifting_points_height_m"], load["lifting_points_height_m"] + load["hanging_height_m"]
    legs = plan["inputs"]["slings"][0]["length_m"]
    half = max(legs**2 - load["hanging_height_m"] ** 2, 0.0) ** 0.5  # level reach of a leg, across the diagonal
    reach = min(half, base[2] / 2) * scale
    body = [
        Markup('<path class="fig-ground" d="M20 {}H{}"/>').format(number(ground), WIDTH - 20),
        *(_box(middle, up, scale, piece, "fig-load" if piece is base else "fig-weight") for piece in [*rest, base]),
        Markup('<path class="fig-sling" d="M{} {p}L{x} {k}L{} {p}M{x} {k}V{}"/>').format(
            *map(number, (middle - reach, middle + reach, TOP)),
            p=number(up(points)),
            x=number(middle),
            k=number(up(knot)),
        ),
        block(middle, TOP - 38, 38, 16),
        _upright(WIDTH - 84, TOP, ground, units(rounding.length(hook, "near"))),
    ]
    if hook - knot > NEAR:
        body.append(_upright(84, TOP, up(knot), units(rounding.length(hook - knot, "near")), left=True))
    body.append(_upright(84, up(knot), up(points), units(rounding.length(load["hanging_height_m"], "near")), left=True))
    names = {
        "legs": rounding.length(legs, "near"),
        "hook": rounding.length(hook, "near"),
        "points": rounding.length(points, "near"),
        "stack": rounding.length(load["stack_height_m"], "near"),
        "base": rounding.mass(base[4], "near"),
        "net": rounding.mass(load["net_kg"], "near"),
        "more": rounding.length(hook - knot, "near"),
    }
    lines = ["base", "all", "legs", *(["extension"] if hook - knot > NEAR else []), "hook"]
    masses = [rounding.mass(piece[4], "near") for piece in [base, *rest]]
    listed = {"masses": Markup(", ").join(map(shown, masses))}
    key = [("", say(says[line], **listed, **{name: shown(pair) for name, pair in names.items()})) for line in lines]
    spoken = {"masses": ", ".join(map(both, masses)), **{name: both(pair) for name, pair in names.items()}}
    described = say(" ".join([says["describe"], *(f"{says[line]}." for line in lines)]), **spoken)
    return figure(ids, ground + 8, plan_title(says, plan), described, body, key=key)


def pieces(plan: Plan) -> tuple[Piece, list[Piece]]:
    """The base, on the ground, and what lies on it, in metres about the middle of the base."""
    counts = {one["item"]: one["count"] for one in plan["load"]["yard"]}
    listed = [one for one in plan["inputs"]["weights"] if one["item"] in counts]
    parts = tuple((_weight(one), counts[one["item"]]) for one in listed)
    base = max((weight for weight, _ in parts), key=lambda weight: weight.length * weight.width)
    found: list[Piece] = []
    foot = base.height
    for level in makeup.levels(base, parts) or []:
        found += _level(level, foot, base.length)
        foot += max(weight.height for weight in level)
    return (0.0, 0.0, base.length, base.height, base.mass), found


def _weight(one: Mapping[str, Any]) -> Weight:
    """A weight of the yard from the inputs of a plan."""
    size = (one[name] for name in ("mass_kg", "length_m", "width_m", "height_m", "count"))
    return Weight(one["item"], one["item"], *size)


def _level(kinds: list[Weight], foot: float, room: float) -> list[Piece]:
    """Pieces beside each other about the middle; those that lie behind each other overlap as seen from the side."""
    whole, last = sum(kind.length for kind in kinds), kinds[-1].length
    squeeze = min(1.0, (room - last) / (whole - last)) if len(kinds) > 1 else 1.0
    at = -min(room, whole) / 2
    out: list[Piece] = []
    for kind in kinds:
        out.append((at + kind.length / 2, foot, kind.length, kind.height, kind.mass))
        at += kind.length * squeeze
    return out


def _box(middle: float, up: Any, scale: float, piece: Piece, look: str) -> Markup:
    x, foot, long, high, mass = piece
    box = Markup('<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>').format(
        look, *map(number, (middle + (x - long / 2) * scale, up(foot + high), long * scale, high * scale))
    )
    said = rounding.mass(mass, "near")
    if high * scale < 16 or long * scale < 8.4 * max(map(len, said)):
        return box  # no room for its mass; the key names it
    paper = "fig-on" if look == "fig-load" else ""
    return box + text(middle + x * scale, up(foot + high / 2) + 5, units(said), "middle", paper)


def _upright(x: float, top: float, foot: float, words: Markup, left: bool = False) -> Markup:
    name = text(x - 7 if left else x + 7, (top + foot) / 2 + 5, words, "end" if left else "start")
    return measured((x, top), (x, foot)) + name
