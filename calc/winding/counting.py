"""What the count of the drum says of the rope, before anything is hung."""

from __future__ import annotations

from typing import Final

from calc.formulas import ROUNDING, drum
from calc.winding.plan_fields import CountRow, CountSays
from calc.winding.planner import Attempt
from calc.winding.rig import Crane, Rig

AS_PLANNED: Final = "as-planned"
LONGER: Final = "rope-longer"
SHORTER: Final = "rope-shorter"
NOT_THIS_ROPE: Final = "not-this-rope"


def count_table(attempt: Attempt) -> list[CountRow]:
    """What each whole count of an `attempt` means, from one under the stop wraps up to the first that says it is
    another rope.

    L = R(there) + rope(C); counted with the hook at reach height at the hanging radius, where R is paid out.
    """
    rig, crane = attempt.rig, attempt.rig.crane
    out = crane.case.machine.rope.length - rig.rope_on_drum(attempt.counted)
    warning = rig.stop_height(attempt.start, rig.stop_margin(attempt.start))
    rows: list[CountRow] = []
    seen = False
    for wraps in range(max(0, crane.case.values.stop_wraps - 1), _most_wraps(crane)):
        length = out + crane.rope_with(wraps)
        do: CountSays = NOT_THIS_ROPE if wraps < crane.case.values.stop_wraps else says(rig, length, wraps)
        # a longer rope would let the hook go lower, but then more stays unreached: only a shorter one moves the height
        shift = (crane.case.machine.rope.length - length) / rig.falls if do == SHORTER else 0.0
        height = None if do == NOT_THIS_ROPE else warning + shift
        rows.append({"wraps": wraps, "rope_length_m": length, "do": do, "hook_height_m": height})
        if do == NOT_THIS_ROPE and seen:
            break
        seen = seen or do != NOT_THIS_ROPE
    return rows


def says(rig: Rig, length: float, wraps: int) -> CountSays:
    """What a rope of this `length` [m] means for the work of a `rig`, counted at so many `wraps`."""
    crane, values = rig.crane, rig.crane.case.values
    planned = crane.case.machine.rope.length
    layer, _ = drum.position(crane.layers, min(crane.rope_with(wraps), crane.layers[-1].rope_when_full))
    wrap, height = crane.layers[layer - 1].wrap_length, rig.falls * values.hook_height_error
    off = length - planned
    if abs(off) <= max(wrap, height) * (1 + ROUNDING):  # one wrap more or less is within one wrap
        return AS_PLANNED
    if off > 0:
        return LONGER if off <= values.rope_longer_share * planned * (1 + ROUNDING) else NOT_THIS_ROPE
    least = max(values.rope_shorter_share * planned, height + wrap) * (1 + ROUNDING)
    return SHORTER if -off <= least else NOT_THIS_ROPE


def _most_wraps(crane: Crane) -> int:
    return sum(layer.wraps for layer in crane.layers)
