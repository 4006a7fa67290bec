"""One move of a plan in small steps: boom angle, boom length, hook, rope, pulls, capacity and loaded radius at each.

Basis: the boom turns or shortens evenly, the winch keeps up with it or stands; only where a move begins and ends, and
how, is taken from the plan.  May import: numpy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from independent.charts import GRAIN
from independent.drum_wraps import Floats
from independent.forces import HAULING, PAYING_OUT, STANDING
from independent.rig import Rig

STEPS = 240
LUFFING = ("luff-out", "luff-in")
WINDING = ("luff-out", "telescope-in")


@dataclass(frozen=True)
class Track:
    """One move: what is true at each of its steps."""

    length: Floats
    angle: Floats
    radius: Floats  # of the boom without its bend
    loaded_radius: Floats  # where the load hangs
    hook: Floats
    rope: Floats
    hanging: float
    loaded: bool
    direction: str
    gross: Floats
    capacity: Floats
    lead: Floats
    drum_pull: Floats  # with freely running sheaves


def walk(rig: Rig, move: dict[str, Any]) -> Track:
    """Walk a move from where the plan begins it to the boom position where the plan ends it."""
    name, loaded = move["move"], move["load_kg"] > 0
    length: Floats = np.linspace(move["boom_length_m"][0], move["boom_length_m"][1], STEPS + 1)
    ends = [rig.angle(at, radius) for at, radius in zip(move["boom_length_m"], move["radius_m"], strict=True)]
    angle: Floats = np.linspace(ends[0], ends[1], STEPS + 1)
    hanging = move["load_kg"] if loaded else rig.block["mass_kg"]
    if length[0] == length[-1] and name in LUFFING:  # not to step over the radius just beyond a row of the chart
        near, far = sorted(move["radius_m"])
        rows = rig.charts.radius[rig.charts.at(length[0])] + 2 * GRAIN
        rows = rows[(rows > near) & (rows < far)]
        if loaded:
            rows = np.append(rows, rig.row_begins(length[0], move["hook_height_m"][0], hanging, near, far))
            rows = rows[rows < far]
        beyond = rig.angles(np.full_like(rows, length[0]), rows)
        angle = np.sort(np.append(angle, beyond))
        angle, length = angle if ends[0] < ends[1] else angle[::-1], np.full_like(angle, length[0])
    elif name == "telescope-in":  # the shorter boom's chart counts as soon as the boom is shorter than a listed length
        shorter = rig.charts.length - 10 * GRAIN
        length = np.sort(np.append(length, shorter[(shorter > length[-1]) & (shorter < length[0])]))[::-1]
        angle = np.interp(-length, [-length[0], -length[-1]], ends)
    held = name in LUFFING and not loaded
    start = rig.rope_on_drum(length[0], angle[0], move["hook_height_m"][0])
    if held:  # the winch stands, the hook rides with the head
        rope = np.full_like(angle, start)
    else:  # the winch keeps the hook on its way; what each step winds adds up
        turns = length if name == "telescope-in" else angle
        way = np.linspace(0, 1, STEPS + 1) if len(turns) == STEPS + 1 else (turns - turns[0]) / (turns[-1] - turns[0])
        low, high = move["hook_height_m"]
        wanted = low + (high - low) * way
        rope = start + np.append(0.0, np.cumsum(np.diff(rig.rope_on_drum(length, angle, wanted))))
    hook = rig.hook(length, angle, rope)
    direction = STANDING if held else HAULING if rope[-1] > rope[0] else PAYING_OUT
    radius = rig.radius(length, angle)
    gross = rig.gross(length, angle, hook, hanging)
    telescoping = name == "telescope-in"
    if loaded:
        rest = rig.charts.rest(length, radius, gross, telescoping)
        capacity, loaded_radius = rest.capacity, rest.radius
    else:  # nothing bends the boom
        capacity, loaded_radius = rig.charts.listed_at(length, radius, telescoping), radius
    if telescoping:
        capacity = np.minimum(capacity, rig.charts.telescoping_limit(length.min(), length.max()) or 0.0)
    return Track(
        length,
        angle,
        radius,
        loaded_radius,
        hook,
        rope,
        hanging,
        loaded,
        direction,
        gross,
        capacity,
        rig.pulls(length, angle, hook, hanging, direction)[0],
        rig.firm_pulls(length, angle, hook, hanging)[1],
    )
