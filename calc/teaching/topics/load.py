"""Which load makes the rope firm."""

from __future__ import annotations

from calc.data.model import Case, Machine
from calc.teaching.exercise import Answered, Draw, Made, Source, as_shown, coarse, draw_plan, of_plan
from calc.teaching.worked import ExerciseTable, Sheet
from calc.winding import makeup, planner
from calc.winding.rig import Crane

VALUES = frozenset({"minimum_share", "accepted_share"})  # of rules


def draw_exercise(source: Source, machine: Machine, draw: Draw) -> Made:
    """One exercise of this topic on a `machine`, or none where the `draw` does not give one."""
    plan = draw_plan(source, machine, draw)
    if plan:
        yield from of_plan(source, plan, draw, _load_worked, VALUES)


def _load_worked(plan: planner.Plan, sheet: Sheet) -> Answered | None:
    case, crane, attempt = plan.crane.case, plan.crane, plan.attempt
    size = coarse(sheet, 0.01, 10)
    pull = sheet.give("rated_line_pull", case.machine.winch.rated_line_pull, "force")
    share = sheet.give("minimum_share", case.values.minimum_share, "share")
    just_under = sheet.give("accepted_share", case.values.accepted_share, "share")
    falls = sheet.give("falls", attempt.rig.falls)
    block = sheet.give("block_mass", attempt.rig.block.mass, "mass")
    slings = sheet.give("sling_mass", crane.slings[0].mass, "mass")
    extra = ""
    if attempt.slings.extensions:
        extra = f" + {sheet.give('extension_mass', attempt.slings.mass - crane.slings[0].mass, 'mass')}"
    rows = [
        (weight.name, sheet.shown("weight", weight.mass, "mass"), sheet.shown("count", weight.count, "count"))
        for weight in case.yard.weights
    ]
    sheet.tables.append(ExerciseTable("weights", ("weight", "mass", "count"), tuple(rows)))
    gravity = sheet.units.force_in_mass
    least = sheet.work(
        "least", f"{share}/100*{pull}*{falls}" + ("" if gravity == "1" else f"/{gravity}"), "mass", size, "up"
    )
    accepted = sheet.work("accepted", f"{just_under}/100*{least}", "mass", size, "up")
    needed = sheet.work("needed", f"{accepted} - {block} - {slings}", "mass", size)
    chosen, lighter = attempt.load, _lighter(crane, attempt.load)
    if lighter is None or not _least_by_counting(case, chosen.mass, lighter.mass):
        return None
    below = sheet.work("lighter", _sum(sheet, lighter), "mass", size)
    if sheet.compare("lighter_is_enough", f"{below} >= {needed}"):
        return None
    weights = sheet.work("weights", _sum(sheet, chosen), "mass", size)
    if not sheet.compare("enough", f"{weights} >= {needed}"):
        return None
    total = sheet.work("total", f"{weights} + {block} + {slings}{extra}", "mass", size)
    agreed = least.text == as_shown(sheet, attempt.rig.least_mass, "mass", size, "up")
    lightest = next(planner.enough_load(attempt.rig), None)
    return ((least, weights, total), "load") if agreed and lightest == chosen else None


def _sum(sheet: Sheet, load: makeup.Load) -> str:
    return " + ".join(f"{count}*{sheet.shown('weight', weight.mass, 'mass')}" for weight, count in load.parts)


def _lighter(crane: Crane, load: makeup.Load) -> makeup.Load | None:
    """The next lighter load that the yard can make up."""
    return next((one for one in reversed(crane.loads) if one.mass < load.mass), None)


def _least_by_counting(case: Case, mass: float, lighter: float) -> bool:
    """Whether no count of weights lies between two loads: then the height of the stack makes no difference."""
    sums = {0.0}
    for weight in case.yard.weights:
        sums = {total + weight.mass * count for total in sums for count in range(weight.count + 1)}
    return not any(lighter < total < mass for total in sums)
