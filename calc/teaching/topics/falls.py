"""How many falls reach the deep rope."""

from __future__ import annotations

from calc.data.model import Machine
from calc.teaching.exercise import (
    Answered,
    Draw,
    Made,
    Source,
    as_shown,
    boom_pivot,
    draw_plan,
    grooved,
    head_height,
    of_plan,
    usable_rope,
)
from calc.teaching.worked import Sheet
from calc.winding import planner

VALUES = frozenset({"dead_wraps", "unreached_limit"})  # of rules


def draw_exercise(source: Source, machine: Machine, draw: Draw) -> Made:
    """One exercise of this topic on a `machine`, or none where the `draw` does not give one."""
    plan = draw_plan(source, machine, draw)
    if plan and plan.exact is not None and grooved(plan.crane.case):
        yield from of_plan(source, plan, draw, _falls_worked, VALUES)


def _falls_worked(plan: planner.Plan, sheet: Sheet) -> Answered | None:
    case, rig, attempt = plan.crane.case, plan.attempt.rig, plan.attempt
    usable = usable_rope(sheet, case)
    pivot = boom_pivot(sheet, case)
    radius = sheet.give("least_radius", plan.crane.least_radius(case.chart.boom_length), "length")
    path = sheet.give("drum_to_head", rig.drum_to_head(case.chart.boom_length), "length")
    points = sheet.give("lifting_points", attempt.load.base.lifting_height, "length")
    diagonal = sheet.give("lifting_diagonal", attempt.load.base.lifting_diagonal, "length")
    sling = sheet.give("sling", attempt.load.sling_length, "length")
    extra = ""
    if attempt.slings.extensions:
        extra = f" + {sheet.give('extension', attempt.slings.length - attempt.load.sling_length, 'length')}"
    block = sheet.give("block_height", rig.block.height, "length")
    sheave = sheet.give("sheave_radius", case.reeving.sheave_radius, "length", 3)
    length = sheet.given[0]
    part = sheet.work("estimate_part", f"({length} - {pivot[0]})/{pivot[0]}", "count")
    estimate = sheet.work("estimate", f"{part}", "count", 1, "up")
    head = head_height(sheet, pivot, radius)
    hanging = sheet.work("hanging_height", f"sqrt({sling}^2 - ({diagonal}/2)^2)", "length", 0.001)
    hook = sheet.work("hook", f"{points} + {hanging}{extra}", "length")
    turn = f"pi*{sheave}"
    exact = sheet.work("exact", f"({usable} - {path} + {turn})/({head} - {hook} - {block} + {turn})", "count", 0.1)
    reaches_dead = sheet.compare("estimate_reaches", f"{estimate} >= {exact}")
    calculated = plan.exact or 0.0
    agreed = (estimate.text, exact.text, hook.text, reaches_dead) == (
        f"{plan.estimate}",
        as_shown(sheet, calculated, "count", 0.1, "near"),
        as_shown(sheet, attempt.start.hook_height, "length", 0.01, "near"),
        plan.estimate >= calculated,
    )
    verdict = "estimate-reaches" if reaches_dead else "estimate-falls-short"
    return ((estimate, hook, exact), verdict) if agreed else None
