"""One move of a plan in small steps: boom angle, boom length, hook, rope, pulls and capacity at each.

Basis: the boom turns or shortens evenly, the winch keeps up with it; only where a move begins and ends, and how, is
taken from the plan.  May import: numpy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from independent.drum_wraps import Floats
from independent.forces import HAULING, PAYING_OUT, STANDING
from independent.rig import Rig

STEPS = 240
WINDING = ("luff-out", "telescope-in")


@dataclass(frozen=True)
class Track:
    """One move: what is true at each of its steps."""

    length: Floats
    angle: Floats
    radius: Floats
    hook: Floats
    rope: Floats
    hanging: float
    direction: str
    gross: Floats
    capacity: Floats
    lead: Floats
    drum_pull: Floats
    seconds: float


def walk(rig: Rig, move: dict[str, Any], first_pick: bool) -> Track:
    """Walk a move from where the plan begins it to the boom position where the plan ends it."""
    name, loaded = move["move"], move["load_kg"] > 0
    length = np.linspace(*move["boom_length_m"], STEPS + 1)
    ends = [rig.angle(at, radius) for at, radius in zip(move["boom_length_m"], move["radius_m"], strict=True)]
    angle = np.linspace(*ends, STEPS + 1)
    hanging = move["load_kg"] if loaded else rig.block["mass_kg"]
    held = name == "luff-in" and not loaded
    start = rig.rope_on_drum(length[0], angle[0], move["hook_height_m"][0])
    if held:  # the winch stands, the hook rides with the head
        rope = np.full(STEPS + 1, start)
    else:  # the winch keeps the hook on its way; what each step winds adds up
        wanted = np.linspace(*move["hook_height_m"], STEPS + 1)
        rope = start + np.append(0.0, np.cumsum(np.diff(rig.rope_on_drum(length, angle, wanted))))
    hook = rig.hook(length, angle, rope)
    direction = STANDING if held else HAULING if rope[-1] > rope[0] else PAYING_OUT
    radius = rig.radius(length, angle)
    gross = rig.gross(length, angle, hook, hanging)
    lead, drum_pull = rig.pulls(length, angle, hook, hanging, direction)
    return Track(
        length,
        angle,
        radius,
        hook,
        rope,
        hanging,
        direction,
        gross,
        rig.charts.capacity(length, radius, gross, name == "telescope-in"),
        lead,
        drum_pull,
        _seconds(rig, move, length, angle, rope, lead, first_pick),
    )


def _seconds(
    rig: Rig, move: dict[str, Any], length: Floats, angle: Floats, rope: Floats, lead: Floats, first_pick: bool
) -> float:
    """Time of a move: the slower of boom and rope, and the allowance for handling."""
    inputs, name, loaded = rig.inputs, move["move"], move["load_kg"] > 0
    if name == "pick":
        return float(inputs["pick_time_s"] if first_pick else inputs["re_pick_time_s"])
    if name == "land":
        return float(inputs["check_time_s"])
    boom = np.abs(np.diff(angle)) / inputs["luffing_rad_per_s"]
    if name == "telescope-in":
        boom = np.maximum(boom, np.abs(np.diff(length)) / inputs["telescoping_m_per_s"])
    middle = (rope[1:] + rope[:-1]) / 2
    winding = rope[-1] > rope[0]
    # with a load on it the rope moves at the slower speed either way
    speed = np.minimum(inputs["winding_speed_m_per_s" if loaded else "pay_out_speed_m_per_s"], rig.line_speed(middle))
    if winding:  # the winch has no more power than it has
        speed = np.minimum(speed, inputs["power_w"] / ((lead[1:] + lead[:-1]) / 2))
    moving = max(boom.sum(), (np.abs(np.diff(rope)) / speed).sum())
    return float(moving) + (inputs["stop_time_s"] if loaded else 0.0)
