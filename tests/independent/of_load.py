"""What a plan says of its load: least masses, tension, readings, heavier loads, less room; and its warnings.

May import: numpy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import Any

import numpy as np
from numpy.typing import NDArray

from independent import reach, readings, start
from independent.charts import GRAIN
from independent.compared import SHARE
from independent.context import Context, Found
from independent.drum_wraps import Floats
from independent.forces import PAYING_OUT
from independent.landing import Landed
from independent.lift import Lift, Slings
from independent.of_passes import Walked, beneath, furthest
from independent.walk import walk

NEAR = 1e-3  # m


def of_tension(context: Context, walked: list[Walked]) -> Found:
    winding = [track for one in walked for track in one.winding]
    least_mass = readings.load_for_drum_tension(context.rig, winding)
    yield "least load for drum tension [kg]", "", least_mass, context.load["for_drum_tension_kg"]
    share = least_pull(walked) / context.inputs["minimum_breaking_force_n"]
    yield "share of breaking force", "", share, context.load["share_of_breaking_force"]


def least_pull(walked: list[Walked]) -> float:
    return min(float(track.drum_pull.min()) for one in walked for track in one.winding)


def of_readings(context: Context, lift: Lift) -> Found:
    """Least and most the indicator may show at the first lift, and the band of weights and slings behind it."""
    rig, load, inputs = context.rig, context.load, context.inputs
    least = readings.least_suspended(rig, load["minimum_kg"], load["for_drum_tension_kg"])
    at, high = context.stops["start_radius_m"], lift.pick + inputs["first_lift_m"]
    in_falls = lift.gross(at, high, lift.first) - lift.hanging(lift.first)
    block = rig.block["mass_kg"]
    # the weights are known: a reading that is right for them never stops the work
    reading = min(least * (1 + inputs["reading_tolerance"]), load["planned_kg"])
    yield "least reading [kg]", "", reading + in_falls, load["reading_least_kg"]
    yield "least weights and slings [kg]", "", least - block, load["band_kg"][0]
    most = _most(context, lift)
    yield "most weights and slings [kg]", "", most, load["band_kg"][1]
    yield "most reading [kg]", "", load["band_kg"][1] + block + in_falls, load["reading_most_kg"]


def _most(context: Context, lift: Lift) -> float:
    """Most weights and slings [kg] with which every printed move stays inside all limits.

    Never under those of the first pass, with which they do: where a later pass allows less, its slings weigh less.
    """
    most = readings.most_by_start(lift) + lift.first["mass_kg"]
    for method in context.methods:
        for one in method["passes"]:
            slings = context.slings(one["sling_length_m"])
            for move in one["moves"]:
                if move["load_kg"] > 0:
                    track, telescoping = walk(context.rig, move), move["move"] == "telescope-in"
                    most = min(most, readings.most_on(context.rig, track, slings, telescoping) + slings["mass_kg"])
    return max(float(most), context.load["net_kg"] + lift.first["mass_kg"])


def of_heavier(context: Context, lift: Lift) -> Found:
    """Heavier loads from the same start: how far each goes, and what stays firm where it lands."""
    block, slings = context.rig.block["mass_kg"], lift.first
    radius = context.stops["start_radius_m"]
    rows = context.plan["heavier_loads"]
    masses = [row["load_kg"] for row in rows]
    yield "heavier loads out of order", f"{masses}", 0, masses != sorted(set(masses))
    for row in rows:
        where = f"{row['load_kg']:g} kg"
        heavy = replace(lift, net=row["load_kg"] - block - slings["mass_kg"])
        refused = _cannot_be_lifted(context, heavy, radius)
        yield "heavier load that cannot be lifted", f"{where} {refused}", 0, refused is not None
        planned = row["load_kg"] <= context.load["planned_kg"] + 1e-3
        wanted = 0 if planned else context.load["planned_kg"]
        yield "heavier load, then reduced to [kg]", where, wanted, row["then_reduce_to_kg"] or 0
        yield from _of_heavy(heavy, where, row, radius, slings)


def _cannot_be_lifted(context: Context, heavy: Lift, radius: float) -> str | None:
    slings = heavy.first
    if heavy.hung_on(slings):
        return heavy.hung_on(slings)
    high = heavy.pick + heavy.inputs["clearance_m"]
    if not heavy.hoisted(radius, high, slings):
        return "line-pull"
    # diameters are printed to a micrometre: over a hundred wraps that is a tenth of a millimetre of rope and more
    if start.rope_to_stay(heavy) > context.rig.rope_at(heavy.length, radius, start.hook_on(heavy)) + NEAR:
        return "rope to stay"
    share = heavy.inputs["largest_capacity_use"]
    return None if heavy.share(radius, heavy.pick, slings) <= share * (1 + SHARE) else "over-capacity"


def _of_heavy(heavy: Lift, where: str, row: dict[str, Any], radius: float, slings: Slings) -> Found:
    # the row tells the radius under load; the boom's own is searched and then let bend
    found = reach.furthest(heavy, radius, slings)
    here = radius if found is None else found
    loaded = heavy.loaded_radius(here, heavy.pick, slings)
    if abs(loaded - row["furthest_radius_m"]) > 0.005:
        there = furthest_unloaded(heavy, row["furthest_radius_m"], slings)
        here = furthest(heavy, radius, slings, inf, there)
        loaded = row["furthest_radius_m"] if here == there else loaded
    yield "heavier load, furthest radius [m]", where, loaded, row["furthest_radius_m"]
    yield "heavier load, stop height [m]", where, start.stop_height(heavy, radius), row["stop_height_m"]
    firm_from = start.firm_from(heavy, radius)
    landed = Landed(heavy, here, slings)
    firm = _near(row["firm_rope_m"], landed, firm_from)
    yield "heavier load, firm rope [m]", where, firm, row["firm_rope_m"]


def furthest_unloaded(lift: Lift, loaded: float, slings: Slings) -> float:
    """Radius of the boom at which this load stands at a radius."""

    def inside(radii: Floats) -> NDArray[np.bool_]:
        return np.array([lift.loaded_radius(float(at), lift.pick, slings) <= loaded + GRAIN for at in radii])

    return reach.border(inside, lift.least_radius, loaded)


def _near(got: float, landed: Landed, firm_from: float) -> float:
    """Firm rope [m]; a wrap that is just complete may count or not."""
    found = [max(0.0, landed.firm_to(nudge) - firm_from) for nudge in (0.0, NEAR, -NEAR)]
    return min(found, key=lambda firm: abs(firm - got))


def of_less_room(context: Context, lift: Lift, walked: Walked) -> Found:
    """The first pass ended early: at each listed radius from the start to its end."""
    rig, slings, rows = context.rig, lift.first, context.plan["limited_room"]
    moves = context.methods[0]["passes"][0]["moves"]
    if context.methods[0]["name"] != "luff-out":
        return
    begin = context.stops["start_radius_m"]
    out = next(move for move in moves if move["move"] == "luff-out" and move["load_kg"] > 0)
    first, last = out["loaded_radius_m"]
    chart = rig.charts.at(context.boom_length)
    expected = [
        (float(radius), float(capacity))
        for radius, capacity in zip(rig.charts.radius[chart], rig.charts.listed[chart], strict=True)
        if first + GRAIN < radius < last - GRAIN
    ]
    got = {round(row["radius_m"], 4): row for row in rows}
    differ = {round(radius, 4) for radius, _ in expected} ^ got.keys()
    yield "radii of limited room", f"{sorted(differ)}", 0, len(differ)
    head = rig.head_at(context.boom_length, begin)
    for radius, capacity in expected:
        row = got.get(round(radius, 4))
        if row is None:
            continue
        where = f"room to {radius:g} m"
        ends = reach.radius_loaded_to(lift, radius, capacity, lift.pick, slings)
        wound = sum(head - rig.head_at(context.boom_length, ends) for _ in range(rig.falls))
        yield "limited room, rope wound [m]", where, wound, row["rope_wound_m"]
        landed = Landed(lift, ends, slings)
        firm = _near(row["firm_rope_m"], landed, walked.firm_from)
        yield "limited room, firm rope [m]", where, firm, row["firm_rope_m"]
        firm_bed = context.firm_bed(walked.firm_from)
        falls = {
            context.beds.full_pull(landed.firm_to(nudge)).falls or 0 if firm_bed else 0 for nudge in (0.0, NEAR, -NEAR)
        }
        here = row["full_pull_falls_min"] or 0
        yield "limited room, falls for full pull", where, here if here in falls else min(falls), here


def of_warnings(context: Context, lift: Lift, walked: list[Walked]) -> Found:
    wanted = _warnings(context, lift, walked)
    differ = wanted ^ {warning["code"] for warning in context.plan["warnings"]}
    yield "warnings that differ", " ".join(sorted(differ)), 0, len(differ)


def _overhauls(context: Context, walked: list[Walked]) -> bool:
    """Whether the empty block pulls rope off the drum wherever a plan has it, stiff sheaves against it."""
    rig = context.rig
    tracks = [track for one in walked for track in one.empty]
    at_drum = (rig.pulls(t.length, t.angle, t.hook, rig.block["mass_kg"], PAYING_OUT)[1] for t in tracks)
    return all(float(pull.min()) > context.inputs["drum_drag_n"] for pull in at_drum)


def _warnings(context: Context, lift: Lift, walked: list[Walked]) -> set[str]:
    """Codes of the warnings that these findings ask for."""
    inputs, rig, plan = context.inputs, context.rig, context.plan
    rope = rig.rope_length
    best = min(context.methods, key=lambda m: (-round(m["passes"][-1]["firm_rope_m"] / rope * 200), m["minutes"]))
    firm = best["passes"][-1]["firm_rope_m"] + beneath(context, walked[0])
    share = least_pull(walked) / inputs["minimum_breaking_force_n"]
    found = {
        "rope-length-decides": True,
        "load-just-under-rule": context.load["planned_kg"] < context.load["minimum_kg"] - 1e-3,
        "tension-below-aim": inputs["published_tension_low"] <= share < inputs["aimed_tension_share"],
        "bed-unreached": not context.firm_bed(walked[0].firm_from),
        "falls-not-reeved": (plan["falls"]["exact"] or 0) > plan["falls"]["reeving_limit"],
        "target-not-reached": firm < inputs["target_share"] * rope,
        "tension-below-published": share < inputs["published_tension_low"],
        "tension-above-published": share > inputs["published_tension_high"],
        "block-may-not-overhaul": not _overhauls(context, walked),
        "one-pass-only": inputs["load_return"] == "none",
    }
    return {code for code, holds in found.items() if holds}
