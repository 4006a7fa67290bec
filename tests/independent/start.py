"""Where winding starts: rope that must stay on the drum, start radius, hanging radius, from where rope counts as firm.

Basis: the drum shows least while the slings are hooked on, with the hook lower than at the pick by their slack; hooking
on must leave stop wraps and miscount, or the dead wraps and the margin of the hook height.  The slings are hung further
out, where the empty hook comes down to a man's reach without paying out more rope.  May import: numpy, scipy, the
modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from math import inf, pi
from typing import Any

import numpy as np
from scipy.optimize import brentq

from independent.charts import GRAIN
from independent.lift import Lift
from independent.rig import GRAVITY, Rig


def estimate_of_falls(inputs: dict[str, Any], boom_length: float) -> int:
    """How many boom lengths of rope are left beyond the first, every piece counted as one."""
    left, falls = inputs["rope_length_m"] - boom_length, 0
    while left > GRAIN:
        left -= boom_length
        falls += 1
    return falls


def exact_falls(rig: Rig, boom_length: float, radius: float, pick: float) -> float:
    """Falls the rope above the dead wraps makes, or above what is known to lie firm, one after the other until it is
    used up.

    The first fall needs no half turn round a sheave: it is given one in advance.
    """
    half_turn = pi * rig.inputs["sheave_radius_m"]
    stays = max(rig.drum.dead_rope, rig.inputs["firm_below_m"])
    left = rig.rope_length - stays - rig.to_head(boom_length) + half_turn
    one_fall = rig.head_at(boom_length, radius) - pick - rig.block["height_m"] + half_turn
    whole = 0
    while left >= one_fall:
        left -= one_fall
        whole += 1
    return float(whole + left / one_fall)


def margin(lift: Lift) -> float:
    """How far above the dead wraps the hook stops [m]: what rope length and head height may be off, and the rebound."""
    inputs, rig = lift.inputs, lift.rig
    rises = lift.rebound(lift.least_radius, lift.pick, lift.first)
    return float(max(inputs["stop_margin_m"], inputs["stop_margin_share"] * rig.rope_length / rig.falls + rises))


def rope_to_stay(lift: Lift) -> float:
    """Least rope on the drum while hooking on [m]."""
    inputs, rig = lift.inputs, lift.rig
    by_count = rig.drum.counted(inputs["stop_wraps"] + inputs["count_tolerance"])
    by_height = rig.falls * margin(lift)
    if by_height > inputs["unreached_limit"] * rig.drum.first_unwound:
        return by_count  # on so many falls a hook height says too little: the count alone decides
    return max(by_count, rig.drum.dead_rope + by_height)


def stop_rope(rig: Rig) -> float:
    """Rope on the drum at the stop wraps [m]."""
    return rig.drum.counted(rig.inputs["stop_wraps"])


def hook_on(lift: Lift) -> float:
    """Height of the hook while the legs are shackled on [m]: lower than at the pick by their slack."""
    return float(lift.pick - lift.inputs["sling_slack_m"])


def start_radius(lift: Lift) -> float:
    """Least radius at which hooking on leaves rope enough on the drum; infinite where the chart lists none."""
    rig, length, hook = lift.rig, lift.length, hook_on(lift)
    least, last, stays = lift.least_radius, rig.charts.last(lift.length), rope_to_stay(lift)

    def spare(radius: float) -> float:
        return rig.rope_at(length, radius, hook) - stays

    if spare(least) >= -GRAIN:
        return least
    if least > last or spare(last) < 0:
        return inf
    return float(brentq(spare, least, last, xtol=1e-10))


def hanging_radius(lift: Lift, start: float) -> float:
    """Radius at which the empty hook comes down to reach height with the drum as at hooking on; infinite where none is
    listed, flat enough or inside the working area, or the chart does not carry the empty block."""
    rig, length, reach = lift.rig, lift.length, lift.inputs["reach_height_m"]
    too_high = hook_on(lift) - reach
    if too_high <= 0:
        return start
    radius = rig.radius_at_head(length, rig.head_at(length, start) - too_high)
    if radius is None or radius > rig.furthest_empty(length) + GRAIN:
        return inf
    return radius if rig.carries_empty(length, radius, reach) else inf


def stop_height(lift: Lift, radius: float, less: float = 0.0) -> float:
    """Hook height [m] at which only the dead wraps are left of a rope shorter by `less`, with the margin on top."""
    rig = lift.rig
    bare = rig.hook(lift.length, rig.angle(lift.length, radius), rig.drum.dead_rope + less)
    return float(bare) + margin(lift)


def firm_from(lift: Lift, start: float) -> float:
    """Rope on the drum [m] from which rope is wound with the whole load on it.

    Before that the slings' slack and the bend of the boom are taken up, the rope out stretches, and the sag of the
    lead line of the empty block straightens.
    """
    rig, length, hook, slings = lift.rig, lift.length, lift.pick, lift.first
    angle = rig.angle(length, start)
    at_pick = rig.rope_at(length, start, hook)
    taken_up = rig.falls * (lift.inputs["sling_slack_m"] + lift.rebound(start, hook, slings))
    pull = float(rig.firm_pulls(length, angle, hook, lift.hanging(slings))[0])
    stretched = rig.stretch(pull, rig.rope_length - at_pick)
    return float(at_pick + taken_up + stretched + sag(rig, length, start, hook))


def sag(rig: Rig, length: float, radius: float, hook: float) -> float:
    """Rope that the sag of the lead line takes up with the empty block on it [m]: a shallow parabola."""
    slack_pull = rig.standing_lead(length, radius, hook, rig.block["mass_kg"])
    forward, down, x, _ = rig.pieces(length)
    across_boom = rig.rope_mass * GRAVITY * (radius - x) / np.hypot(forward, down)
    return float(across_boom**2 * rig.to_head(length) ** 3 / (24 * slack_pull**2))
