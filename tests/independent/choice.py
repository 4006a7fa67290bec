"""What a plan chooses: falls, load from the yard, boom length to telescope to, warnings; each choice tried again.

Basis: the guidance in words (fewest falls that leave little of layer 1 unreached, least yard load, shortest boom that
carries the load all the way).  May import: numpy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Any

import numpy as np

from independent import search
from independent.charts import GRAIN
from independent.drum_wraps import Floats
from independent.forces import HAULING
from independent.rig import GRAVITY, Rig
from independent.walk import STEPS, Track

Plan = dict[str, Any]


def lightest_block(inputs: dict[str, Any], falls: int) -> dict[str, Any]:
    fitting = [block for block in inputs["blocks"] if block["falls"][0] <= falls <= block["falls"][1]]
    return min(fitting, key=lambda block: float(block["mass_kg"]))


def yard_loads(inputs: dict[str, Any]) -> Floats:
    """Every mass the yard makes up within the height a load may stand, sorted; weights of a kind share levels."""
    masses, heights = np.zeros(1), np.zeros(1)
    for weight in inputs["weights"]:
        per_level = max(
            _side_by_side(inputs, weight["length_m"], weight["width_m"]),
            _side_by_side(inputs, weight["width_m"], weight["length_m"]),
        )
        counts = np.arange(weight["count"] + 1)
        levels = -(-counts // per_level)
        masses = np.add.outer(masses, counts * weight["mass_kg"]).ravel()
        heights = np.add.outer(heights, levels * weight["height_m"]).ravel()
    return np.unique(masses[(heights <= inputs["load_height_m"] + 1e-9) & (masses > 0)].round(6))


def _side_by_side(inputs: dict[str, Any], length: float, width: float) -> int:
    return int(inputs["load_size_m"] / length + 1e-9) * int(inputs["load_width_m"] / width + 1e-9)


def least_net(inputs: dict[str, Any], needed: float) -> float:
    """Least mass of yard weights not under `needed` [kg]."""
    loads = yard_loads(inputs)
    enough = loads[loads >= needed - 1e-3]
    return float(enough[0]) if enough.size else inf


def refusal_on_the_spot(
    rig: Rig, length: float, angle: float, hook: float, net: float, slings: dict[str, Any]
) -> str | None:
    """The first limit that lifting this load here breaks: slings, block, line pull, capacity."""
    hanging = rig.block["mass_kg"] + slings["mass_kg"] + net
    if net > slings["capacity_kg"] + 1e-3:
        return "slings-not-at-hand"
    if net + slings["mass_kg"] > rig.block["capacity_kg"] + 1e-3:
        return "block-capacity"
    limit = float(pull_limits(rig, rig.rope_on_drum(length, angle, hook)))
    if float(rig.pulls(length, angle, hook, hanging, HAULING)[0]) > limit * (1 + 1e-9):
        return "line-pull"
    at = (np.array([length]), np.array([rig.radius(length, angle)]))
    gross = np.array([rig.gross(length, angle, hook, hanging)])
    return "over-capacity" if (gross > rig.charts.capacity(*at, gross, False)).any() else None


def pull_limits(rig: Rig, rope_on_drum: Any) -> Floats:
    """Line pull of the winch at the layer being filled [N]: constant torque above the rated layer."""
    rated = rig.drum.length[np.searchsorted(rig.drum.layer, rig.inputs["rated_layer"])]
    here = rig.drum.length[np.searchsorted(rig.drum.layer, rig.drum.layer_at(rope_on_drum))]
    return rig.rated_pull * np.minimum(1.0, rated / here)


def broken_limits(rig: Rig, track: Track, loaded: bool, slings: dict[str, Any], net: float) -> set[str]:
    """Limits that a move breaks at any of its steps, the hook's height over the stop at its ends."""
    inputs = rig.inputs
    limits = {
        "upper-stop": rig.run(track.length, track.angle, track.hook).min() - inputs["upper_stop_m"],
        "stop-wraps": (track.rope.min() - search.stop_rope(rig)) / rig.falls,
        "boom-angle": track.angle.min() - rig.least_angle,
        "over-capacity": 1 - (track.gross / track.capacity).max(),
    }
    if loaded:
        hauling = rig.pulls(track.length, track.angle, track.hook, track.hanging, HAULING)[0]
        limits["line-pull"] = (pull_limits(rig, track.rope) / hauling).min() - 1
        limits["block-capacity"] = rig.block["capacity_kg"] - net - slings["mass_kg"]
        limits["slings-not-at-hand"] = slings["capacity_kg"] - net
        limits["carrier-not-cleared"] = track.radius.min() - (inputs["clear_radius_m"] or 0.0)
        if inputs["working_radius_m"] is not None:
            limits["working-area"] = inputs["working_radius_m"] - track.radius.max() - inputs["load_size_m"] / 2
    for at in (0, -1):
        length, radius, hook = float(track.length[at]), float(track.radius[at]), float(track.hook[at])
        load = rig.block["mass_kg"] + slings["mass_kg"] + net
        limits[f"below-stop-height {at}"] = hook - search.stop_height(rig, length, radius, load, hook)
    return {name for name, room in limits.items() if room < -100 * GRAIN}


def fewer_falls_that_reach(plan: Plan) -> Iterator[int]:
    """Falls below those used that leave no more of layer 1 unreached than the rule allows, and can lift the least load.

    One fall fewer is allowed where the plan says it took an even number instead.
    """
    inputs, length = plan["inputs"], plan["boom_length_m"]
    slings = inputs["slings"][0]
    for falls in range(1, plan["falls"]["used"]):
        rig = Rig(inputs, falls, lightest_block(inputs, falls))
        least = inputs["minimum_share"] * falls * rig.rated_pull / GRAVITY
        net = least_net(inputs, least - rig.block["mass_kg"] - slings["mass_kg"])
        steepest = rig.least_radius(length)
        hook = inputs["load_height_m"] + slings["length_m"]
        hanging = rig.block["mass_kg"] + slings["mass_kg"] + net
        if net == inf:
            continue
        radius = search.start_radius(rig, length, steepest, hanging, hook)
        if radius == inf:
            continue
        unreached = rig.rope_on_drum(length, rig.angle(length, radius), hook) - rig.drum.dead_rope
        if unreached > rig.may_stay * (1 + 1e-9):
            continue
        low = hook + inputs["clearance_m"]
        if refusal_on_the_spot(rig, length, rig.angle(length, radius), low, net, slings):
            continue
        if search.luffs_out(rig, length, radius, hook, hanging):
            even = plan["falls"]["runner_up"] or {}
            if not (even.get("code") == "odd-falls" and even.get("falls") == falls):
                yield falls


def telescoping_refusal(
    rig: Rig, length: float, start: float, hook: float, hanging: float, target: float
) -> str | None:
    """Why the load cannot be telescoped from this start to another boom length, or None."""
    inputs, charts = rig.inputs, rig.charts
    least = rig.least_radius(target)
    if least - inputs["pivot_forward_m"] >= target:
        return "carrier-not-cleared"
    flat = max(start, float(rig.radius(length, rig.angle(target, least))))
    angle = rig.angle(length, flat)
    passed = [charts.telescoping[at] for at in range(len(charts.length)) if charts.length[at] >= target - GRAIN]
    if any(listed is None for listed in passed):
        return "telescoping-not-listed"
    for passed_length, listed in zip(charts.length, charts.radius, strict=True):
        steeper = listed[0] > rig.radius(passed_length, angle) + GRAIN
        if target - GRAIN <= passed_length <= length and steeper:  # than this boom length's chart lists
            return "over-capacity"
    lengths = np.linspace(length, target, STEPS + 1)
    angles = np.full_like(lengths, angle)
    gross = rig.gross(lengths, angles, hook, hanging)
    if gross[0] > min(passed):
        return "over-telescoping-load"
    if flat > start and search.furthest(rig, length, start, hook, hanging, flat) < flat - GRAIN:
        return "over-capacity"
    if angle < rig.least_angle - 1e-9:
        return "boom-angle"
    if inputs["working_radius_m"] is not None and flat + inputs["load_size_m"] / 2 > inputs["working_radius_m"]:
        return "working-area"
    if (gross > charts.capacity(lengths, rig.radius(lengths, angles), gross, True)).any():
        return "over-capacity"
    if rig.run(target, angle, hook) < inputs["upper_stop_m"] - GRAIN:
        return "upper-stop"
    return None


def warnings(plan: Plan, rig: Rig, most_use: float, unreached: float, least_pull: float, best_firm: float) -> set[str]:
    """Codes of the warnings that these findings ask for."""
    inputs = plan["inputs"]
    share = least_pull / inputs["minimum_breaking_force_n"]
    found = {
        "rope-length-decides": True,
        "load-below-drum-tension": plan["load"]["planned_kg"] < plan["load"]["for_drum_tension_kg"] - 1e-3,
        "bed-unreached": unreached > rig.may_stay * (1 + 1e-9),
        "falls-not-reeved": (plan["falls"]["exact"] or 0) > plan["falls"]["reeving_limit"],
        "target-not-reached": best_firm < inputs["target_share"] * rig.rope_length,
        "tension-below-published": share < inputs["published_tension_low"],
        "tension-above-published": share > inputs["published_tension_high"],
        "block-may-not-overhaul": not search.overhauls(rig, plan["boom_length_m"], plan["stops"]["start_radius_m"]),
        "one-pass-only": inputs["load_return"] == "none",
        "near-capacity": most_use > 0.9,
    }
    return {code for code, holds in found.items() if holds}
