"""Numbers of a plan that hold before anything is wound: falls, load as made up, start, stop heights, count, beds.

May import: numpy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from independent import count, loads, start
from independent.context import Context, Found
from independent.lift import Lift
from independent.rig import GRAVITY


def of_inputs(plan: Mapping[str, Any]) -> Found:
    """What needs no falls chosen yet."""
    inputs, falls = plan["inputs"], plan["falls"]
    yield (
        "estimate of falls",
        "",
        start.estimate_of_falls(inputs, plan["boom_length_m"] + inputs.get("jib", {"length_m": 0})["length_m"]),
        falls["estimate"],
    )
    most = max(block["falls"][1] for block in inputs["blocks"])
    yield "reeving limit", "", min(inputs["most_falls"], most), falls["reeving_limit"]


def of_load(context: Context) -> Found:
    """The load: enough by the rule, to be made up from the yard, slung at its base."""
    inputs, load, falls = context.inputs, context.load, context.plan["falls"]["used"]
    pull = inputs["minimum_share"] * inputs["rated_line_pull_n"]
    yield "least load [kg]", "", sum(pull / GRAVITY for _ in range(falls)), load["minimum_kg"]
    at_hand = all(n <= weight["count"] for n, weight in zip(context.counts, inputs["weights"], strict=True))
    yield "load not to be made up", str(load["yard"]), 0, context.slung is None or not at_hand
    slung = context.slung
    if slung is None:
        return
    yield "net load [kg]", "", slung.net, load["net_kg"]
    yield "slings of the first pass [kg]", "", context.first["mass_kg"], load["slings_kg"]
    hanging = context.rig.block["mass_kg"] + context.first["mass_kg"] + slung.net
    yield "planned load [kg]", "", hanging, load["planned_kg"]
    yield "lifting points [m]", "", slung.points, load["lifting_points_height_m"]
    yield "hanging height of the slings [m]", "", slung.hanging, load["hanging_height_m"]
    tops = list(loads.stack_tops(inputs, context.counts, slung.base))
    nearest = min(tops, key=lambda top: abs(top - load["stack_height_m"]))
    yield "top of the stack [m]", "", nearest, load["stack_height_m"]
    room = min(inputs["load_height_m"], slung.pick - inputs["stack_room_m"])
    yield "stack too high [m]", "", 0, max(0.0, load["stack_height_m"] - room)
    enough = inputs["accepted_share"] * load["minimum_kg"]
    yield "load below the rule [kg]", "", 0, max(0.0, enough - hanging)


def of_stops(context: Context, lift: Lift) -> Found:
    """Start radius, stop heights, rope on the drum at the start, the count table."""
    rig, stops = context.rig, context.stops
    length = context.boom_length
    exact = start.exact_falls(rig, length, context.least_radius, lift.pick)
    yield "exact falls", "", exact, context.plan["falls"]["exact"]
    radius = stops["start_radius_m"]
    if radius is None:
        return
    found = start.start_radius(lift)
    yield "start radius [m]", "", found, radius
    hook = stops["start_hook_height_m"]
    yield "start hook height [m]", "", lift.pick, hook
    height = start.stop_height(lift, radius)
    yield "stop height [m]", "at the start radius", height, stops["hook_height_m"]
    for at, got in stops["by_radius"]:
        yield "stop height [m]", f"at {at} m", start.stop_height(lift, at), got
    for row in stops["shorter_rope"]:
        here = start.stop_height(lift, radius, row["less_m"])
        yield "stop height, shorter rope [m]", f"{row['less_m']} m less", here, row["hook_height_m"]
    # the drum is counted with the hook as low as for hooking on: the slings' slack less than at the pick
    counted = rig.rope_at(length, radius, start.hook_on(lift))
    yield "rope on drum [m]", "at the count", counted, stops["rope_at_start_m"]
    turns = rig.drum.turns_at(stops["layer_at_start"], stops["wrap_at_start"])
    yield "wraps on drum", "at the count", rig.drum.turns(counted), turns
    at_pick = rig.rope_at(length, radius, lift.pick)
    yield "unreached rope [m]", "", at_pick - rig.drum.dead_rope, context.plan["falls"]["unreached_rope_m"]
    yield from _of_count(context, counted, height)


def _of_count(context: Context, on_drum: float, stop_height: float) -> Found:
    rig, rows = context.rig, context.stops["count_table"]
    expected = {row.wraps: row for row in count.table(rig, on_drum, stop_height)}
    got = {row["wraps"]: row for row in rows}
    yield "counts of the table", f"{sorted(got)}", 0, len(expected.keys() ^ got.keys())
    for wraps in sorted(expected.keys() & got.keys()):
        here, there, where = expected[wraps], got[wraps], f"{wraps} wraps counted"
        yield "rope length by the count [m]", where, here.rope_length, there["rope_length_m"]
        same = here.do == there["do"] or _on_the_edge(context, wraps, there)
        yield "what the count asks for", f"{where}: {here.do}, {there['do']}", 0, not same
        if same and here.do == there["do"] and here.stop_height is not None:
            yield "stop height by the count [m]", where, here.stop_height, there["hook_height_m"]


def _on_the_edge(context: Context, wraps: int, row: dict[str, Any]) -> bool:
    """Whether a printed rope length is so near a limit that a millimetre decides."""
    near = (count.said_by(context.rig, wraps, row["rope_length_m"] + by) for by in (-1e-3, 1e-3))
    return row["do"] in near


def of_beds(context: Context) -> Found:
    beds, rows = context.beds.needed, {row["falls"]: row["metres"] for row in context.plan["bed_needed"]}
    yield "falls with a bed", "", max(beds, default=0), max(rows, default=0)
    for falls in beds.keys() & rows.keys():
        yield "bed needed [m]", f"{falls} falls", beds[falls], rows[falls]
