"""A plan with a jib as the plan of the straight arm it is: what the formulas of a bare boom hold for.

Written from geometry alone.  Fixed jib and runner turn with the boom, so their head keeps its distance from the boom
pivot; a luffing jib turns about the head of a boom that is held.  The rope runs along boom and jib, and both bend.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from copy import deepcopy
from typing import Any, cast

from calc.winding.plan_fields import Plan


def head(inputs: Mapping[str, Any], boom_length: float, radius: float) -> tuple[float, float]:
    """Radius and height of the head sheave: at the end of a straight boom, or of the arm it makes with its jib."""
    length, forward, height = boom_length, inputs["pivot_forward_m"], inputs["pivot_height_m"]
    if jib := inputs.get("jib"):
        if jib["boom_angle_deg"] is None:
            down = math.radians(jib["offset_deg"])
            length = math.hypot(boom_length + jib["length_m"] * math.cos(down), jib["length_m"] * math.sin(down))
        else:
            held, length = math.radians(jib["boom_angle_deg"]), jib["length_m"]
            forward, height = forward + boom_length * math.cos(held), height + boom_length * math.sin(held)
    return radius, height + math.sqrt(max(0.0, length**2 - (radius - forward) ** 2))


def straight(plan: Plan) -> Plan:
    """The same plan with the arm in place of boom and jib; one without a jib as it is."""
    if "jib" not in plan["inputs"]:
        return plan
    made: dict[str, Any] = deepcopy(cast(dict[str, Any], plan))
    inputs = made["inputs"]
    jib = inputs.pop("jib")
    boom, beyond = made["boom_length_m"], jib["length_m"]
    if jib["boom_angle_deg"] is None:
        down = math.radians(jib["offset_deg"])
        # with the boom level: how far forward and how far below its pivot the jib head stands
        forward, below = boom + beyond * math.cos(down), beyond * math.sin(down)
        arm, steeper = math.hypot(forward, below), math.degrees(math.atan2(below, forward))
    else:
        held = math.radians(jib["boom_angle_deg"])
        inputs["pivot_forward_m"] += boom * math.cos(held)
        inputs["pivot_height_m"] += boom * math.sin(held)
        arm, steeper = beyond, 0.0
    inputs["rope_path_extra_m"] += boom + beyond + jib["rope_longer_than_jib_m"] - arm
    inputs["deflection_share"] *= (boom + beyond) / arm
    inputs["least_boom_angle_deg"] -= steeper
    made["boom_length_m"] = arm
    for chart in inputs["charts"]:
        chart["boom_length_m"] = arm
    for method in made["methods"]:
        for one in method["passes"] if method else ():
            for move in one["moves"]:
                move["boom_length_m"] = [arm, arm]
                move["boom_angle_deg"] = [angle - steeper for angle in move["boom_angle_deg"]]
    return cast(Plan, made)
