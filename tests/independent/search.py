"""What a plan has to find: falls, start, end of the luffing, stop heights, overlap, least load; found by trial.

Basis: each search states what must hold and looks for the place where it just does, by counting or by Brent's root
finding.  May import: numpy, scipy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, inf, log, pi
from typing import Any

import numpy as np
from scipy.optimize import brentq

from independent.charts import GRAIN
from independent.drum_wraps import Floats
from independent.forces import HAULING, PAYING_OUT, STANDING
from independent.rig import GRAVITY, Rig
from independent.walk import STEPS, Track


def estimate_of_falls(inputs: dict[str, Any], boom_length: float) -> int:
    """How many boom lengths of rope are left beyond the first, every piece counted as one."""
    left, falls = inputs["rope_length_m"] - boom_length, 0
    while left > GRAIN:
        left -= boom_length
        falls += 1
    return falls


def exact_falls(rig: Rig, boom_length: float, radius: float, hook: float) -> float:
    """Falls the rope above the dead wraps makes, or above what is known to lie firm, one after the other until it is
    used up.

    The first fall needs no half turn round a sheave: it is given one in advance.
    """
    half_turn = pi * rig.inputs["sheave_radius_m"]
    stays = max(rig.drum.dead_rope, rig.inputs["firm_below_m"])
    left = rig.rope_length - stays - boom_length - rig.inputs["rope_path_extra_m"] + half_turn
    one_fall = rig.head_at(boom_length, radius) - hook - rig.block["height_m"] + half_turn
    whole = 0
    while left >= one_fall:
        left -= one_fall
        whole += 1
    return whole + left / one_fall


def rebound(rig: Rig, boom_length: float, radius: float, gross: float) -> float:
    """How far the head rises when the load comes off [m]: from the grown radius back to the radius of the boom."""
    chart = rig.charts.at(boom_length)
    at = (np.array([boom_length]), np.array([radius]), np.array([gross]))
    capacity = float(rig.charts.bent(chart, *at)[0])
    if capacity < gross:  # no load hangs where the chart does not carry it
        return 0.0
    grown = radius + rig.charts.softness * boom_length * gross / capacity
    return rig.head_at(boom_length, radius) - rig.head_at(boom_length, grown)


def stop_height(
    rig: Rig, boom_length: float, radius: float, load: float, start_hook: float, less: float = 0.0
) -> float:
    """Hook height [m] at which only the dead wraps are left of a rope shorter by `less`, with its margin on top."""
    angle = rig.angle(boom_length, radius)
    bare = rig.hook(boom_length, angle, rig.drum.dead_rope + less)
    rises = rebound(rig, boom_length, radius, rig.gross(boom_length, angle, start_hook, load))
    uncertain = rig.inputs["stop_margin_share"] * rig.rope_length / rig.falls + rises
    return float(bare + max(rig.inputs["stop_margin_m"], uncertain))


def stop_rope(rig: Rig) -> float:
    """Rope on the drum at the stop wraps [m]; on a smooth drum as many wraps above the dead ones."""
    wraps = rig.drum.dead + rig.inputs["stop_wraps"] - rig.inputs["dead_wraps"]
    return rig.drum.rope(wraps)


def room_at_start(rig: Rig, boom_length: float, radius: float, load: float, start_hook: float) -> float:
    """How much lower the hook could come at a radius than its start height: stop height and stop wraps kept [m]."""
    left = rig.rope_on_drum(boom_length, rig.angle(boom_length, radius), start_hook) - stop_rope(rig)
    return float(min(left / rig.falls, start_hook - stop_height(rig, boom_length, radius, load, start_hook)))


def start_radius(rig: Rig, boom_length: float, least: float, load: float, start_hook: float) -> float:
    """Least radius at which the hook comes down to its start height: above the stop height and the stop wraps."""

    def room(radius: float) -> float:
        return room_at_start(rig, boom_length, radius, load, start_hook)

    if room(least) >= -GRAIN:
        return least
    steeper = least
    for radius in np.linspace(least, float(rig.charts.radius[rig.charts.at(boom_length)][-1]), STEPS):
        if room(radius) > 0:
            return float(brentq(room, steeper, radius, xtol=1e-9))
        steeper = radius
    return inf


def furthest(rig: Rig, boom_length: float, radius: float, hook: float, load: float, stop: float = inf) -> float:
    """Radius at which luffing out from `radius` ends: the largest listed radius that carries the load all the way and
    while it is landed there, or where geometry ends the move before that: upper stop, least boom angle, working area,
    `stop` (to go on from there without landing)."""
    inputs = rig.inputs
    low_head = hook + rig.block["height_m"] + inputs["upper_stop_m"]
    limits = [stop, float(rig.radius(boom_length, rig.least_angle))]
    limits += [limit for limit in [rig.radius_at_head(boom_length, low_head)] if limit is not None]
    if inputs["working_radius_m"] is not None:
        limits.append(inputs["working_radius_m"] - inputs["load_size_m"] / 2)
    geometry = min(limits)
    listed = rig.charts.radius[rig.charts.at(boom_length)]
    ends = sorted({*listed[(listed > radius + GRAIN) & (listed < geometry - GRAIN)].tolist(), geometry})
    reached = passed = radius
    for end in ends:
        if end <= radius + GRAIN:
            continue
        angles = np.linspace(rig.angle(boom_length, passed), rig.angle(boom_length, end), STEPS // 3 + 1)
        if not _carried(rig, boom_length, angles, hook, load):
            break
        passed = end
        if stop < inf or _carried(rig, boom_length, angles[-1:], hook - inputs["clearance_m"], load):
            reached = end
    return reached


def _carried(rig: Rig, boom_length: float, angles: Floats, hook: float, load: float) -> bool:
    """Whether the chart carries the load at all these boom angles."""
    lengths = np.full_like(angles, boom_length)
    gross = rig.gross(lengths, angles, hook, load)
    return bool((gross <= rig.charts.capacity(lengths, rig.radius(lengths, angles), gross, False)).all())


def luffs_out(rig: Rig, boom_length: float, radius: float, hook: float, load: float) -> bool:
    """Whether the load just lifted from the ground can be luffed out at all, and landed above the stop height."""
    end = furthest(rig, boom_length, radius, hook + rig.inputs["clearance_m"], load)
    return end > radius + GRAIN and room_at_start(rig, boom_length, end, load, hook) >= -GRAIN


def relaxed(rig: Rig, boom_length: float, radius: float, hook: float, load: float) -> float:
    """Rope that setting the load down relaxes [m], whole wraps: rope slips on rope, slings and boom head go slack.

    `hook` with the load on the ground.
    """
    inputs, angle = rig.inputs, rig.angle(boom_length, radius)
    laid = float(rig.pulls(boom_length, angle, hook, load, HAULING)[1])
    empty = float(rig.pulls(boom_length, angle, hook, rig.block["mass_kg"], STANDING)[1])
    empty = max(empty, inputs["drum_drag_n"])  # assumed: rope of a block that does not run down keeps that much
    slipped = max(0.0, log(laid / empty)) / (2 * pi * inputs["rope_friction"])
    rises = rebound(rig, boom_length, radius, float(rig.gross(boom_length, angle, hook, load)))
    outermost = float(rig.drum.length[ceil(float(rig.drum.turns(rig.rope_on_drum(boom_length, angle, hook)))) - 1])
    slack = rig.falls * (inputs["sling_slack_m"] + rises) / outermost
    return max(inputs["overlap_wraps"], ceil(slipped + slack)) * outermost


def load_for_drum_tension(rig: Rig, winding: Iterable[Track]) -> float | None:
    """Least hanging mass [kg] that keeps the firm tension at the drum at every step of all winding moves."""
    tracks = list(winding)
    if not tracks:
        return None
    length, angle, hook = (np.concatenate([getattr(t, name) for t in tracks]) for name in ("length", "angle", "hook"))
    wanted = rig.inputs["firm_tension_share"] * rig.rated_pull

    def least(mass: float) -> float:
        return float(rig.pulls(length, angle, hook, mass, HAULING)[1].min() - wanted)

    heavy = 1000.0
    while least(heavy) < 0:
        heavy *= 2
    return float(brentq(least, 0.0, heavy, xtol=1e-6))


def bed_needed(rig: Rig, boom_length: float, falls: int, block: dict[str, Any], hook: float) -> float:
    """Rope on the drum [m] when a heavy lift with so many falls starts from the ground.

    At the largest listed radius that carries the full line pull on these falls, the steepest where none does.
    """
    heavy = Rig(rig.inputs, falls, block)
    chart = rig.charts.at(boom_length)
    full = falls * rig.rated_pull / GRAVITY
    carrying = rig.charts.radius[chart][rig.charts.listed[chart] >= full - GRAIN]
    radius = float(carrying[-1] if carrying.size else rig.charts.radius[chart][0])
    angle = heavy.angle(boom_length, radius)
    fits = min(hook, heavy.head(boom_length, angle) - block["height_m"])  # too high a hook takes no rope for its falls
    return float(heavy.rope_on_drum(boom_length, angle, fits))


def overhauls(rig: Rig, boom_length: float, radius: float) -> bool:
    """Whether the empty block pulls rope off the drum at the upper stop."""
    angle = rig.angle(boom_length, radius)
    hook = rig.head(boom_length, angle) - rig.inputs["upper_stop_m"] - rig.block["height_m"]
    pull = rig.pulls(boom_length, angle, hook, rig.block["mass_kg"], PAYING_OUT)[1]
    return bool(pull > rig.inputs["drum_drag_n"])
