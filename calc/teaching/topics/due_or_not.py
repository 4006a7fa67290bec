"""Whether pre-tensioning is due after work."""

from __future__ import annotations

from functools import partial
from itertools import pairwise

from calc.data import look_up
from calc.data.model import Machine
from calc.drum_log import history, state
from calc.drum_log.drum_fields import BedOfFalls, DrumFound
from calc.teaching.exercise import Answered, Draw, Made, Source, as_shown, boom_pivot, exercise, head_height
from calc.teaching.worked import Sheet
from calc.winding.rig import Crane


def draw_exercise(source: Source, machine: Machine, draw: Draw) -> Made:
    """One exercise of this topic on a `machine`, or none where the `draw` does not give one."""
    data, day = source.data, source.day
    upkeep = data.upkeep.get(machine.id)
    days = sorted({entry.day for entry in upkeep.log if entry.day <= day}) if upkeep else []
    if not upkeep or not days:
        return
    last = draw.one("day", days)
    found = source.drum(machine.id, last)
    beds = [bed for bed in found["beds"] if bed["bed_m"] > 0]
    if not found["loose"] or not beds or state.all_due(found["reasons"]):
        return
    case = look_up.cases(data, machine, day)(found["boom_length_m"])
    crane = history.crane(case, found["rope_length_m"])
    bed = draw.one("falls", beds)
    work = partial(_due_worked, crane, found, bed)
    yield from exercise(draw.topic, machine, case, work, RULES_OF_DUE, lift=bed["falls"], day=last)


RULES_OF_DUE = ("firm-tension", "due-after-light-work", "rope-stretch")


def _due_worked(crane: Crane, found: DrumFound, bed: BedOfFalls, sheet: Sheet) -> Answered | None:
    case = crane.case
    rig, pick = crane.from_the_ground(bed["falls"])
    spans = [stretch["rope_m"] for stretch in found["loose"]]
    if any(abs(end - start) > 0.01 for (_, end), (start, _) in pairwise(spans)):
        return None  # firm rope between: more to add up than the exercise asks for
    length = sheet.give("rope_length", found["rope_length_m"], "length")
    path = sheet.give("drum_to_head", rig.drum_to_head(pick.boom_length), "length")
    falls = sheet.give("lift_falls", bed["falls"])
    sheave = sheet.give("sheave_radius", case.reeving.sheave_radius, "length", 3)
    pivot = boom_pivot(sheet, case)
    radius = sheet.give("lift_radius", pick.radius, "length")
    hook = sheet.give("hook_at_pick", pick.hook_height, "length")
    block = sheet.give("block_height", rig.block.height, "length")
    thick = sheet.give("rope_diameter", case.machine.rope.diameter, "small")
    metal = sheet.give("metal_factor", case.values.rope_metal_factor, "share")
    modulus = sheet.give("modulus", case.values.rope_modulus, "modulus")
    pull = sheet.give("rated_line_pull", case.machine.winch.rated_line_pull, "force")
    start = sheet.give("loose_from", spans[0][0], "length", 1)
    end = sheet.give("loose_to", spans[-1][1], "length", 1)
    head = head_height(sheet, pivot, radius)
    around = sheet.work("between_falls", f"({falls} - 1)*pi*{sheave}", "length")
    out = sheet.work("paid_out", f"{path} + {around} + {falls}*({head} - {hook} - {block})", "length")
    area = sheet.work("metal_area", f"{metal}/100*{thick}^2", "area", sheet.units.fine_area)
    force = f"{pull}" if sheet.units.force_in_small == "1" else f"{sheet.units.force_in_small}*{pull}"
    stretch = sheet.work("stretch", f"{force}*{out}/({modulus}*{area})", "length")
    needed = sheet.work("bed_needed", f"{length} - {out} + {stretch}", "length", 0.1, "up")
    if not sheet.compare("loose_in_bed", f"{start} < {needed}"):
        return ((needed,), "not-due") if bed["firm"] else None
    loose = sheet.work("loose", f"min({needed}, {end}) - {start}", "length", 1, "up")
    agreed = not bed["firm"] and loose.text == as_shown(sheet, bed["loose_m"], "length", 1, "up")
    return ((needed, loose), "due") if agreed else None
