"""What a count of wraps says of the rope."""

from __future__ import annotations

from functools import partial

from calc.data.model import Machine
from calc.teaching.exercise import Answered, Draw, Made, Source, boom_pivot, draw_plan, grooved, head_height, of_plan
from calc.teaching.worked import Sheet
from calc.winding import counting, moves, planner
from calc.winding.plan_fields import CountRow

VALUES = frozenset({"stop_wraps", "count_tolerance", "hook_height_error", "reach_height"})  # of rules


def draw_exercise(source: Source, machine: Machine, draw: Draw) -> Made:
    """One exercise of this topic on a `machine`, or none where the `draw` does not give one."""
    plan = draw_plan(source, machine, draw)
    if plan is None or not plan.attempt.methods or not grooved(plan.crane.case):
        return
    least, most = plan.crane.case.values.stop_wraps, plan.crane.layers[0].wraps
    rows = [row for row in counting.count_table(plan.attempt) if least <= row["wraps"] <= most]
    if not rows:
        return
    do = draw.one("do", sorted({row["do"] for row in rows}))
    row = draw.one("row", [row for row in rows if row["do"] == do])
    yield from of_plan(source, plan, draw, partial(_count_worked, row), VALUES)


def _count_worked(row: CountRow, plan: planner.Plan, sheet: Sheet) -> Answered | None:
    case, rig, values = plan.crane.case, plan.attempt.rig, plan.crane.case.values
    hung = moves.hanging(rig, plan.attempt.start)
    planned = sheet.give("rope_length", case.machine.rope.length, "length")
    root = sheet.give("groove_root", case.machine.drum.groove_root_diameter, "small")
    thick = sheet.give("rope_diameter", case.machine.rope.diameter, "small")
    wraps = sheet.give("wraps_counted", row["wraps"])
    pivot = boom_pivot(sheet, case)
    radius = sheet.give("hanging_radius", hung.radius, "length")
    hook = sheet.give("hook_counted", hung.hook_height, "length")
    path = sheet.give("drum_to_head", rig.drum_to_head(hung.boom_length), "length")
    falls = sheet.give("falls", rig.falls)
    sheave = sheet.give("sheave_radius", case.reeving.sheave_radius, "length", 3)
    block = sheet.give("block_height", rig.block.height, "length")
    height = sheet.give("hook_height_error", values.hook_height_error, "length")
    more = sheet.give("rope_longer_share", values.rope_longer_share, "share")
    less = sheet.give("rope_shorter_share", values.rope_shorter_share, "share")
    wrap = sheet.work("first_wrap", f"pi*({root} + {thick})/{sheet.units.small_in_length}", "length", 0.001)
    around = sheet.work("between_falls", f"({falls} - 1)*pi*{sheave}", "length")
    head = head_height(sheet, pivot, radius, "head_hanging")
    out = sheet.work("paid_out", f"{path} + {around} + {falls}*({head} - {hook} - {block})", "length")
    length = sheet.work("length_by_count", f"{out} + {wraps}*{wrap}", "length", 0.1)
    longer = sheet.compare("is_longer", f"{length} >= {planned}")
    off = sheet.work("length_off", f"{length} - {planned}" if longer else f"{planned} - {length}", "length", 0.1)
    near = sheet.work("counts_as_planned", f"max({wrap}, {falls}*{height})", "length")
    if sheet.compare("is_as_planned", f"{off} <= {near}"):
        do = counting.AS_PLANNED
    elif longer:
        most = sheet.work("longest", f"{more}/100*{planned}", "length")
        do = counting.LONGER if sheet.compare("is_near_enough", f"{off} <= {most}") else counting.NOT_THIS_ROPE
    else:
        most = sheet.work("shortest", f"max({less}/100*{planned}, {falls}*{height} + {wrap})", "length")
        do = counting.SHORTER if sheet.compare("is_near_enough", f"{off} <= {most}") else counting.NOT_THIS_ROPE
    close = abs(length.value * sheet.units.kinds["length"][1] - row["rope_length_m"]) <= CLOSE
    return ((length,), do) if close and do == row["do"] else None


CLOSE = 0.2  # m of rope: what radius and heights shown to the centimetre leave open on many falls
