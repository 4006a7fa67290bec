"""Hook height at which the crew is warned."""

from __future__ import annotations

from calc.data.model import Machine
from calc.teaching.exercise import (
    Answered,
    Draw,
    Made,
    Source,
    as_shown,
    boom_pivot,
    coarse,
    draw_plan,
    grooved,
    head_height,
    of_plan,
    usable_rope,
)
from calc.teaching.worked import Sheet
from calc.winding import planner

VALUES = frozenset({"dead_wraps", "stop_margin"})  # of rules


def _warning_height(plan: planner.Plan) -> float:
    rig, start = plan.attempt.rig, plan.attempt.start
    return rig.stop_height(start, rig.stop_margin(start))


def draw_exercise(source: Source, machine: Machine, draw: Draw) -> Made:
    """One exercise of this topic on a `machine`, or none where the `draw` does not give one."""
    plan = draw_plan(source, machine, draw)
    if plan and grooved(plan.crane.case) and _warning_height(plan) > plan.crane.case.values.clearance:
        yield from of_plan(source, plan, draw, _stop_worked, VALUES)


def _stop_worked(plan: planner.Plan, sheet: Sheet) -> Answered | None:
    case, rig, start = plan.crane.case, plan.attempt.rig, plan.attempt.start
    usable = usable_rope(sheet, case)
    pivot = boom_pivot(sheet, case)
    radius = sheet.give("start_radius", start.radius, "length")
    path = sheet.give("drum_to_head", rig.drum_to_head(start.boom_length), "length")
    falls = sheet.give("falls", rig.falls)
    sheave = sheet.give("sheave_radius", case.reeving.sheave_radius, "length", 3)
    block = sheet.give("block_height", rig.block.height, "length")
    least = sheet.give("stop_margin", case.values.stop_margin, "length")
    share = sheet.give("stop_margin_share", case.values.stop_margin_share, "share")
    steep = start.at_radius(plan.crane.least_radius(start.boom_length))
    rebound = sheet.give("rebound", rig.rebound(steep), "length")
    head = head_height(sheet, pivot, radius)
    around = sheet.work("between_falls", f"({falls} - 1)*pi*{sheave}", "length")
    reach = sheet.work("reach", f"({usable} - {path} - {around})/{falls}", "length", 0.001)
    by_length = sheet.work("margin_by_length", f"{share}/100*{sheet.given[0]}/{falls} + {rebound}", "length")
    margin = sheet.work("margin", f"max({least}, {by_length})", "length")
    size = coarse(sheet, 0.1, 0.5)
    stop = sheet.work("stop", f"{head} - {block} - {reach} + {margin}", "length", size, "up")
    agreed = stop.text == as_shown(sheet, _warning_height(plan), "length", size, "up")
    return ((stop,), "stop") if agreed else None
