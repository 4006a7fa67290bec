"""What a pass leaves firm, and whether a lift lies on it."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from calc import rounding
from calc.data.model import Machine
from calc.teaching.exercise import Answered, Draw, Made, Source, as_shown, boom_pivot, draw_plan, head_height, of_plan
from calc.teaching.worked import ExerciseTable, Sheet, Shown
from calc.winding import planner
from calc.winding.firm import firm_from, reaches
from calc.winding.methods import Pass, Refused

VALUES = frozenset({"overlap_wraps", "firm_tension_share"})  # of rules


def draw_exercise(source: Source, machine: Machine, draw: Draw) -> Made:
    """One exercise of this topic on a `machine`, or none where the `draw` does not give one."""
    plan = draw_plan(source, machine, draw)
    if plan is None or isinstance(luffing := plan.attempt.luff_out, Refused) or len(luffing.passes) < 2:
        return
    first, *_, last = luffing.passes
    if not reaches(plan.crane, first.firm_from):
        return
    least = last.full_pull_falls
    beds = [bed for bed in plan.crane.beds if least and bed[0] >= least]
    if draw.number("enough", 4) == 0:
        beds = [bed for bed in plan.crane.beds if bed not in beds]
    if not beds:
        return
    falls, bed = draw.one("lift", beds)
    work = partial(_passes_worked, luffing.passes, falls, bed)
    yield from of_plan(source, plan, draw, work, VALUES, lift=falls)


def _passes_worked(done: tuple[Pass, ...], lift: int, bed: float, plan: planner.Plan, sheet: Sheet) -> Answered | None:
    case, rig = plan.crane.case, plan.attempt.rig
    start = done[0].pick
    pivot = boom_pivot(sheet, case)
    radius = sheet.give("start_radius", start.radius, "length")
    falls = sheet.give("falls", rig.falls)
    on_drum = sheet.give("rope_at_pick", rig.rope_on_drum(start), "length", 1)
    begin = sheet.give("firm_from", firm_from(rig, start), "length", 1)
    needed = sheet.give("bed", rounding.step(bed, sheet.units.kinds["length"][1], "up"), "length", 0)
    rows = []
    for number, one in enumerate(done, 1):
        rows.append(
            (
                sheet.shown("pass", number, "count"),
                sheet.shown("sling", one.slings.length, "length"),
                sheet.shown("landing_radius", one.end.radius, "length"),
                sheet.shown("slip", rig.rope_on_drum(one.end) - one.firm_to, "length", 1),
            )
        )
    sheet.tables.append(ExerciseTable("passes", ("pass", "sling", "landing_radius", "slip"), tuple(rows)))
    head = head_height(sheet, pivot, radius, "head_start")
    ends: dict[str, Shown] = {}
    for row, one in zip(rows, done, strict=True):
        turn, sling, landing, slip = row
        if landing.text not in ends:
            ends[landing.text] = head_height(sheet, pivot, landing, "head_end", turn.text)
        rise = f"{head} - {ends[landing.text]} + {sling} - {rows[0][1]}"
        landed = sheet.work("landed", f"{on_drum} + {falls}*({rise})", "length", 0.1, part=turn.text)
        end = sheet.work("firm_to", f"{landed} - {slip}", "length", 0.1, part=turn.text)
        firm = sheet.work("firm", f"{end} - {begin}", "length", 1, "down", turn.text)
        enough = sheet.compare("bed_is_firm", f"{end} >= {needed}", turn.text)
        calculated = one.full_pull_falls is not None and one.full_pull_falls <= lift
        if firm.text != as_shown(sheet, one.firm_rope, "length", 1, "down") or enough != calculated:
            return None
        if enough:
            return (firm, replace(turn, key="passes")), "passes"
    return (firm,), "no-pass-is-enough"
