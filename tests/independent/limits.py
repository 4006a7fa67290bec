"""Every limit of a plan, asked at every step of every move.

Basis: the limits of the formulas and assumptions page, each as room that is left; below nothing, it is broken.  May
import: numpy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from math import inf

import numpy as np

from independent import start
from independent.charts import GRAIN
from independent.forces import HAULING
from independent.lift import Lift, Slings
from independent.walk import LUFFING, WINDING, Track

ROUNDING = 100 * GRAIN
Rooms = dict[str, float]


def broken(rooms: Rooms) -> set[str]:
    return {name for name, room in rooms.items() if not room >= -ROUNDING}


def of_any_move(lift: Lift, track: Track) -> Rooms:
    """Limits with or without a load: boom, chart's radii, upper stop, rope on the drum."""
    rig, inputs = lift.rig, lift.inputs
    straight = lift.spread if track.loaded else 0.0
    steep, flat = _beside_the_charts(lift, track)
    return {
        "boom-angle": track.angle.min() - rig.least_angle,
        "first listed radius": steep,
        "last listed radius": flat,
        "upper-stop": float(rig.run(track.length, track.angle, track.hook + straight).min() - inputs["upper_stop_m"]),
        "stop-wraps": (track.rope.min() - start.stop_rope(rig)) / rig.falls,
        "rope to stay": (track.rope.min() - start.rope_to_stay(lift)) / rig.falls,
    }


def _beside_the_charts(lift: Lift, track: Track) -> tuple[float, float]:
    """How far the radii lie inside the first and the last row, at each listed boom length passed [m]."""
    charts = lift.rig.charts
    short, long = float(track.length.min()), float(track.length.max())
    steep, flat = inf, inf
    for length, rows in zip(charts.length, charts.radius, strict=True):
        if not short - GRAIN <= length <= long + GRAIN:
            continue
        # while telescoping the boom has each listed length for a moment only
        radii = track.radius if short == long else np.interp([length], track.length[::-1], track.radius[::-1])
        steep, flat = min(steep, float(radii.min() - rows[0])), min(flat, float(rows[-1] - radii.max()))
    return steep, flat


def under_load(lift: Lift, track: Track, name: str, slings: Slings) -> Rooms:
    """Limits while the load hangs: chart, telescoping load, winch, block, slings, area, height above the ground."""
    rig, inputs = lift.rig, lift.inputs
    hauling = rig.pulls(track.length, track.angle, track.hook, track.hanging, HAULING)[0]
    low = track.hook - lift.hook(slings)
    rest = rig.charts.rest(track.length, track.radius, track.gross, name == "telescope-in")
    with np.errstate(divide="ignore"):
        rooms = {
            "over-capacity": inputs["largest_capacity_use"] - (track.gross / rest.capacity).max(),
            "line-pull": (rig.pull_limit(track.rope) / hauling).min() - 1,
            "block-capacity": rig.block["capacity_kg"] - lift.net - slings["mass_kg"],
            "slings-not-at-hand": slings["capacity_kg"] - lift.net,
            "carrier-not-cleared": track.radius.min() - (inputs["clear_radius_m"] or 0.0),
            "load in the ground": low.min(),
            "load above its band": inputs["band_top_m"] - low.max(),
        }
    if name in LUFFING or name in WINDING:
        rooms["load not clear of the ground"] = low.min() - inputs["clearance_m"]
    if name == "telescope-in":
        limit = rig.charts.telescoping_limit(track.length.min(), track.length.max())
        rooms["over-telescoping-load"] = (
            -inf if limit is None else inputs["largest_telescoping_use"] - float(track.gross.max()) / limit
        )
    if inputs["working_radius_m"] is not None:
        rooms["working-area"] = inputs["working_radius_m"] - track.loaded_radius.max() - inputs["load_size_m"] / 2
    return rooms


def of_winding(lift: Lift, track: Track) -> Rooms:
    """Firm tension wherever rope is wound under load."""
    return {"firm-tension": (track.drum_pull.min() - lift.rig.firm_tension) / lift.rig.firm_tension}


def of_empty_block(lift: Lift, track: Track, least_rope: float, least_hook: float) -> Rooms:
    """The empty block pays out no more rope, and comes no lower, than hooking on and hanging slings ask for."""
    area = lift.inputs["working_radius_m"]
    return {
        "empty block paid out": (track.rope.min() - least_rope) / lift.rig.falls,
        "empty hook too low": track.hook.min() - least_hook,
        "working-area": inf if area is None else area - track.radius.max(),
        "over-capacity": lift.inputs["largest_capacity_use"] - (track.gross / track.capacity).max(),
    }
