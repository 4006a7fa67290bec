"""How firmly rope goes on the drum by the height of the hook: an empty block, a light load, the planned load.

Numbers go to the cautious side: tensions down.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.formulas import STANDARD_GRAVITY, reeving
from calc.winding.plan_data import hook_block
from hooks.figures import (
    WIDTH,
    Words,
    both,
    figure,
    no_figure,
    number,
    plan_title,
    points,
    prefix,
    say,
    shown,
    stroke,
    text,
    units,
)
from hooks.figures.side import head_height

LEFT, RIGHT, TOP, TALL = 84, WIDTH - 8, 30, 190  # edges of the plot; room for the tick labels on the left
STEPS = 4  # heights that are read, beside the lowest

Plan = Mapping[str, Any]
CURVES = ("empty", "light", "planned")  # dashes by class: fig-curve-empty, ...


def svg(plan: Plan, words: Words) -> str:
    """Curves of the drum tension over hook height at the start radius with the falls of the plan, as a wrap is judged:
    every sheave runs freely.
    """
    says = words["figures"]["tension"]
    ids = prefix("tension", plan["machine"], plan["boom"], plan["configuration"])
    if plan["stops"] is None:
        return no_figure(ids, says, plan)
    masses, heights = loads(plan), hooks(plan)
    pulls = {name: [at_drum(plan, mass, height) for height in heights] for name, mass in masses.items()}
    firm: float = plan["inputs"]["firm_tension_share"] * plan["inputs"]["rated_line_pull_n"]
    low: float = min(0.0, *(pull for curve in pulls.values() for pull in curve))
    high: float = max(firm, *pulls["planned"]) * 1.08

    def across(height: float) -> float:
        return LEFT + (height - heights[0]) / (heights[-1] - heights[0]) * (RIGHT - LEFT)

    def up(pull: float) -> float:
        return TOP + (high - pull) / (high - low) * TALL

    body = [text(2, 14, say(says["upright"]), classes="fig-strong")]
    body += [text(LEFT - 4, up(pull) + 4, units(rounding.force(pull, "up")), "end") for pull in (0.0, firm)]
    body.append(
        Markup('<path class="fig-dim" d="M{l} {t}V{b}M{l} {z}H{r}"/>').format(
            l=LEFT, t=TOP, b=TOP + TALL, z=number(up(0.0)), r=RIGHT
        )
    )
    body.append(Markup('<path class="fig-stop" d="M{} {}H{}"/>').format(LEFT, number(up(firm)), RIGHT))
    for name, curve in pulls.items():
        line = points([(across(height), up(pull)) for height, pull in zip(heights, curve, strict=True)])
        body.append(Markup('<polyline class="fig-curve fig-curve-{}" points="{}"/>').format(name, line))
    for height, anchor in ((heights[0], "start"), (heights[STEPS // 2], "middle"), (heights[-1], "end")):
        body.append(text(across(height), TOP + TALL + 18, units(rounding.length(height, "near")), anchor))
    body.append(text(RIGHT, TOP + TALL + 36, say(says["across"]), "end", "fig-strong"))
    key = [
        (stroke(f"fig-curve fig-curve-{name}"), say(says[name], mass=shown(rounding.mass(masses[name], "near"))))
        for name in reversed(CURVES)
    ]
    key.append((stroke("fig-stop"), say(says["firm"], pull=shown(rounding.force(firm, "up")))))
    described = _description(plan, says, masses, heights, pulls, firm)
    return figure(ids, TOP + TALL + 42, plan_title(says, plan), described, body, key=key)


def loads(plan: Plan) -> dict[str, float]:
    """Mass at the hook by curve [kg]: the block alone, the block with the lightest weight of the yard, the plan's."""
    block = plan["load"]["hook_block_kg"]
    light = min(weight["mass_kg"] for weight in plan["inputs"]["weights"])
    return {"empty": block, "light": block + light, "planned": plan["load"]["planned_kg"]}


def hooks(plan: Plan) -> list[float]:
    """Hook heights from the hook at the start up to the upper stop, in equal steps [m]."""
    block = hook_block(plan)
    head = _head(plan)
    highest = head - plan["inputs"]["upper_stop_m"] - (block["height_m"] if block else 0.0)
    lowest = plan["stops"]["start_hook_height_m"]
    return [lowest + (highest - lowest) * step / STEPS for step in range(STEPS + 1)]


def at_drum(plan: Plan, mass: float, hook: float) -> float:
    """Force with which this mass at this hook height winds the rope on the drum [N]; below 0 it is slack."""
    inputs, block = plan["inputs"], hook_block(plan)
    weight = inputs["rope_mass_kg_per_m"] * STANDARD_GRAVITY
    head = _head(plan)
    fall = head - hook - (block["height_m"] if block else 0.0)
    lead = reeving.lead_line_tension(
        mass * STANDARD_GRAVITY,
        weight,
        plan["falls"]["used"],
        fall,
        inputs["sheave_efficiency_upper"],
        inputs["sheaves_to_drum"],
        reeving.HAULING,
    )
    return reeving.drum_tension(lead, weight, head, inputs["winch_height_m"])


def _head(plan: Plan) -> float:
    inputs, radius = plan["inputs"], plan["stops"]["start_radius_m"]
    return head_height(inputs, plan["boom_length_m"], radius)


def _description(
    plan: Plan,
    says: Words,
    masses: Mapping[str, float],
    heights: list[float],
    pulls: Mapping[str, list[float]],
    firm: float,
) -> Markup:
    """Every curve at its lowest, middle and highest hook, in words."""
    said = [says["describe"].format(falls=plan["falls"]["used"])]
    for name in reversed(CURVES):
        read = [
            says["read"].format(
                pull=both(rounding.force(pulls[name][at], "down")), height=both(rounding.length(heights[at], "near"))
            )
            for at in (0, 2, STEPS)
        ]
        said.append(f"{says[name].format(mass=both(rounding.mass(masses[name], 'near')))}: {', '.join(read)}.")
    said.append(f"{says['firm'].format(pull=both(rounding.force(firm, 'up')))}.")
    return say(" ".join(said))
