"""What a reader of a plan must know: low tension, loose rope, a block that may not overhaul."""

from __future__ import annotations

from calc.formulas import ROUNDING
from calc.winding.codes import WarningCode
from calc.winding.methods import firm_in_all
from calc.winding.planner import Attempt, Plan


def warnings(plan: Plan) -> list[WarningCode]:
    """Codes of what a reader of this plan must know, the gravest first."""
    attempt, crane = plan.attempt, plan.crane
    case, rig = crane.case, plan.attempt.rig
    best = attempt.best
    share = share_of_breaking_force(attempt)
    found: list[WarningCode] = []
    if case.listed_rope is not None:
        found.append("rope-by-log")
    if not attempt.reaches:
        found.append("bed-unreached")
    if plan.exact is not None and plan.exact > crane.reeving_limit:
        found.append("falls-not-reeved")
    if best and firm_in_all(crane, best.passes[-1].firm_from, best.firm_rope) < (
        case.values.target_share * case.machine.rope.length
    ):
        found.append("target-not-reached")
    if share < case.values.published_tension_low:
        found.append("tension-below-published")
    elif share < case.values.aimed_tension_share * (1 - ROUNDING):
        found.append("tension-below-aim")
    if share > case.values.published_tension_high:
        found.append("tension-above-published")
    if attempt.methods and rig.block.mass < overhaul_mass(attempt):
        found.append("block-may-not-overhaul")
    if case.machine.boom.load_return == "none":
        found.append("one-pass-only")
    if attempt.suspended < rig.least_mass * (1 - ROUNDING):
        found.append("load-just-under-rule")
    found.append("rope-length-decides")
    return found


def overhaul_mass(attempt: Attempt) -> float:
    """Block mass that pulls the rope of an `attempt` off the drum at the upper stop of the hanging radius [kg]."""
    rig = attempt.rig
    states = [p.moves[0].before for m in attempt.methods for p in m.passes[:1]] or [attempt.start]
    head = max(rig.crane.head(state.boom_length, state.radius) for state in states)
    return rig.mass_to_overhaul(rig.crane.case.reeving.upper_stop, head)


def share_of_breaking_force(attempt: Attempt) -> float:
    """Least drum tension of an `attempt` while winding under the planned load, as a share of the minimum breaking
    force."""
    return attempt.least_tension / attempt.rig.crane.case.machine.rope.minimum_breaking_force
