"""How much of the chart a load takes at a radius."""

from __future__ import annotations

from functools import partial
from math import floor

from calc import rounding
from calc.data.model import Machine
from calc.formulas import capacity
from calc.teaching.exercise import Answered, Draw, Made, Source, coarse, draw_case, exercise, rules_of
from calc.teaching.worked import ExerciseTable, Sheet
from calc.winding import makeup
from calc.winding.rig import Crane, State

VALUES = frozenset({"deflection_share", "largest_capacity_use"})  # of rules


ROWS_SHOWN = 4


def draw_exercise(source: Source, machine: Machine, draw: Draw) -> Made:
    """One exercise of this topic on a `machine`, or none where the `draw` does not give one."""
    case = draw_case(source, machine, draw)
    crane, rows = Crane(case), case.chart.rows
    falls = draw.one("falls", list(crane.blocks))
    load = draw.one("load", crane.loads)
    if len(rows) < ROWS_SHOWN + 1 or crane.blocks[falls].capacity < load.mass + crane.slings[0].mass:
        return
    row = 1 + draw.number("row", len(rows) - ROWS_SHOWN)
    before, after = rows[row - 1][0], rows[row][0]
    read = floor(10 * (after - (after - before) * draw.number("between", 3) / 4)) / 10
    if read <= before or not 0.6 < load.mass / rows[row][1] < 1.1:
        return
    work = partial(_capacity_worked, crane, falls, read, load, row)
    yield from exercise(draw.topic, machine, case, work, rules_of(source.data, case, VALUES), falls=falls)


def _capacity_worked(
    crane: Crane, lines: int, read: float, load: makeup.Load, row: int, sheet: Sheet
) -> Answered | None:
    case, block = crane.case, crane.blocks[lines]
    rig = crane.rig(lines, block)
    hanging = load.hook_height + case.values.clearance
    at = State(case.chart.boom_length, read, hanging, lines, load.mass + crane.slings[0].mass)
    size = coarse(sheet, 0.01, 10)
    length = sheet.give("boom_length", at.boom_length, "length")
    radius = sheet.give("radius", read, "length")
    share = sheet.give("deflection_share", case.values.deflection_share, "share")
    weights = sheet.give("weights", load.mass, "mass")
    slings = sheet.give("sling_mass", crane.slings[0].mass, "mass")
    hook = sheet.give("block_mass", block.mass, "mass")
    falls = sheet.give("falls", lines)
    fall = sheet.give("fall_length", rig.fall_length(at), "length", 1)
    mass = sheet.give("rope_mass", case.machine.rope.mass_per_length, "mass per length")
    most = sheet.give("largest_capacity_use", case.values.largest_capacity_use, "share")
    listed = [
        (sheet.shown("radius", reach, "length"), sheet.shown("capacity", carried, "mass"))
        for reach, carried in case.chart.rows[row - 1 : row - 1 + ROWS_SHOWN]
    ]
    sheet.tables.append(ExerciseTable("chart", ("radius", "capacity"), tuple(listed)))
    divided = "" if sheet.units.rope_in_mass == "1" else f"/{sheet.units.rope_in_mass}"
    rope = sheet.work("rope_in_falls", f"{falls}*{fall}*{mass}{divided}", "mass", size)
    gross = sheet.work("gross", f"{weights} + {slings} + {hook} + {rope}", "mass", size)
    reach, carried = next(one for one in listed if sheet.compare("row_reaches", f"{radius} <= {one[0]}", one[0].text))
    limit = sheet.work("planned_limit", f"{most}/100*{carried}", "mass", size, "down")
    use = sheet.work("use", f"100*{gross}/{carried}", "share", 1, "up")
    verdict = "not-carried"
    if sheet.compare("carried", f"{gross} <= {carried}", reach.text):
        verdict = "carried" if sheet.compare("planned", f"{gross} <= {limit}", reach.text) else "chart-alone"
    elif rig.gross(at) <= case.chart.rows[row][1]:
        return None
    if verdict == "not-carried":
        return (gross, carried, use), verdict
    growth = sheet.work("growth", f"{share}/100*{length}*{gross}/{carried}", "length")
    bare = sheet.work("bare_radius", f"{radius} - {growth}", "length")
    # the planner goes the other way: from the unloaded boom to the row that carries the grown radius
    out = read - crane.growth(at.boom_length) * rig.gross(at) / case.chart.rows[row][1]
    if out < crane.least_radius(at.boom_length):
        return None
    exact = capacity.read(case.chart.rows, out, rig.gross(at), crane.growth(at.boom_length))
    if exact is None or exact.row != row or use.text != f"{rounding.step(100 * exact.use, 1, 'up'):.0f}":
        return None
    inside = exact.use <= case.values.largest_capacity_use
    return ((gross, carried, use, bare), verdict) if inside == (verdict == "carried") else None
