"""What winding leaves firm on the drum: where it begins, what slips at a landing, for which lifts it is enough."""

from __future__ import annotations

from math import cos

from calc.formulas import ROUNDING, drum, reeving, rope
from calc.winding.rig import Crane, Rig, State

LEAST_TENSION = 1.0  # N; under an empty block that hangs on nothing every wrap would slip


def firm_from(rig: Rig, pick: State) -> float:
    """Rope on the drum of a `rig` from which wraps lie firm, when the load of the state `pick` comes on [m].

    D_pick + n*(slack + rebound) + T*R/(E*A) + (m_r*g*cos(phi))^2*P^3/(24*T_0^2)

    So much is wound while slings and boom give, the rope stretches and the lead line, till then under the pull T_0 of
    the empty block, is drawn straight.
    """
    crane = rig.crane
    on_drum = rig.rope_on_drum(pick)
    path = rig.drum_to_head(pick.boom_length)
    across = crane.rope_weight * cos(crane.slope(pick.boom_length, pick.radius))
    return (
        on_drum
        + rig.falls * (crane.case.values.sling_slack + rig.rebound(pick))
        + crane.stretch(rig.free_lead_line(pick), crane.case.machine.rope.length - on_drum)
        + rope.sag(across, path, rig.free_lead_line(pick.empty))
    )


def firm_to(rig: Rig, landed: State, slack: float) -> float:
    """Rope on the drum of a `rig` up to which wraps stay firm once the load is `landed` and the hook lowered by `slack`
    to unhook, down to a whole wrap [m].

    D - O, O = max(rule wraps*l, n*(slack + rebound) + N*l), N the wraps that slip by `reeving.relaxed_wraps`
    """
    crane, values = rig.crane, rig.crane.case.values
    empty = max(rig.tension(landed.empty, reeving.PAYING_OUT), LEAST_TENSION)
    laid = max(rig.tension(landed, reeving.HAULING), empty)
    wrap = crane.layers[rig.position(landed)[0] - 1].wrap_length
    slipped = reeving.relaxed_wraps(laid, empty, values.rope_friction) * wrap
    overlap = max(values.overlap_wraps * wrap, rig.falls * (slack + rig.rebound(landed)) + slipped)
    left = rig.rope_on_drum(landed) - overlap
    if left <= 0:
        return 0.0
    return drum.rope_at(crane.layers, *drum.whole_wraps(crane.layers, left))


def unreached_limit(crane: Crane) -> float:
    """Rope of a `crane` above the dead wraps that need not be wound firm: so much of the first layer that is unwound,
    or what is known to lie firm [m]."""
    share = crane.case.values.unreached_limit * crane.first_unwound_rope
    return max(share, crane.case.firm_below - crane.dead_rope) * (1 + ROUNDING)


def reaches(crane: Crane, begin: float) -> bool:
    """Whether firm rope that begins at `begin` [m of rope on the drum] leaves no more of a `crane` unreached than the
    rule allows."""
    return begin - crane.dead_rope <= unreached_limit(crane)


def full_pull(crane: Crane, begin: float, end: float) -> tuple[int, float] | None:
    """Fewest falls from which every number of falls of a `crane` starts a lift with full line pull on firm rope, and up
    to which hook height at the pick [m]; None where there are none.

    The rope lies firm from `begin` to `end`, as rope on the drum [m].  None as well when more stays unreached than the
    rule allows: then the bed itself may be loose.
    """
    if not reaches(crane, begin):
        return None
    enough: int | None = None
    highest = float("inf")
    for falls, bed in reversed(crane.beds):
        if bed > end:
            break
        enough = falls
        highest = min(highest, crane.usual_hook + (end - bed) / falls)
    return None if enough is None else (enough, highest)
