"""Shortening a rope: how much may come off, where crossovers come to lie, how much higher the hook stops.

What the rope is used for stands in its log: boom lengths, falls and the lowest hook of the work since it was fitted.
What else it may be used for stands beside that: the most falls that still let the hook down, by boom length.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import Final

from calc.data import look_up, rope_log, rulebook
from calc.data.entries import Shortening, Upkeep
from calc.data.model import Data
from calc.drum_log import history
from calc.fields import taken
from calc.formulas import ROUNDING, drum
from calc.inspection import rope_fields, zones
from calc.inspection.rope_fields import LayerShift, PossibleCut, Reach, Used
from calc.rounding import DECIMALS, rounded
from calc.winding.plan_data import place
from calc.winding.rig import Crane, Rig, State

SCHEMA_VERSION: Final = 1
DRUM_END: Final = "drum"
HOOK_END: Final = "hook"
WHOLE_TURNS = range(5)  # cuts that are shown: so many wraps and a part


def shortening(data: Data, machine_id: str, day: str, cut: Shortening | None = None) -> rope_fields.Shortening:
    """What a `cut` does to the rope of one machine, as plain data, numbers to 1e-6; left out, the cut at the drum end
    that the rule asks for to move the crossovers.

    Returns what validates against rules/schema/shortening.schema.json: the log up to the `day` counts.  `may_be_cut_m`
    is None where it holds no work, and 0 where the stop wraps are reached already.
    Errors: look_up.Unknown when there is no such machine or rule value on that day.
    Rules: shortening, crossover-shift, stop-wraps, dead-wraps-iso, dead-wraps-us.
    """
    machine = look_up.machine_of(data, machine_id, day)
    upkeep = data.upkeep.get(machine_id, Upkeep(machine_id, ()))
    cases = look_up.cases(data, machine, day)
    first = machine.configurations[0].charts[0].boom_length
    length = rope_log.rope_length(upkeep.log, day) or machine.rope.length
    crane = history.crane(cases(first), length)
    try:
        share = rulebook.value(data.rules.values(), machine, first, day, "shift_of_a_wrap")
    except rulebook.Missing as missing:
        raise look_up.Unknown(f"no rule in force on {day} gives {missing}; choose a later day") from missing
    middle = crane.layers[(len(crane.layers) - 1) // 2]
    cut = cut or Shortening(share * middle.wrap_length, DRUM_END)
    worked = zones.usual(upkeep.log, machine, day)
    lowest = [_lowest(history.crane(cases(work.boom_length, work.on_jib), length), work) for work in worked]
    used = [_used(*low, cut) for low in lowest]
    spare = min((one["spare_m"] for one in used), default=None)
    out: rope_fields.Shortening = {
        "schema": SCHEMA_VERSION,
        "machine": machine_id,
        "status": machine.status,
        "day": day,
        "rope_length_m": length,
        "dead_rope_m": crane.dead_rope,
        "stop_rope_m": crane.stop_rope,
        "stop_wraps": crane.case.values.stop_wraps,
        "used": used,
        "may_be_cut_m": None if spare is None else max(0.0, floor(spare * 10**DECIMALS) / 10**DECIMALS),
        "middle_layer": middle.number,
        "cuts": [
            _cut(crane, (turns + share) * middle.wrap_length, turns + share, spare, lowest) for turns in WHOLE_TURNS
        ],
        "cut": {
            "length_m": cut.length,
            "end": cut.end,
            "rope_left_m": length - cut.length,
            "enough_left": None if spare is None else cut.length <= spare + ROUNDING,
            "layers": list(_shifts(crane, cut)),
        },
        "booms": [_reach(history.crane(cases(boom_length), length)) for boom_length in machine.booms],
    }
    return rounded(out)


def _lowest(crane: Crane, work: zones.Usual) -> tuple[Rig, State]:
    """One rig the log holds at its lowest hook: at the least radius of the work, where the head stands highest."""
    block = next(block for block in crane.case.machine.blocks if block.id == work.block)
    return crane.rig(work.falls, block), State(work.boom_length, work.radius[0], work.hook[0], work.falls)


def _used(rig: Rig, low: State, cut: Shortening) -> Used:
    """Rope on the drum of a rig at its lowest hook, what may come off it, stop heights before and after."""
    crane = rig.crane
    held = rig.rope_on_drum(low)
    before, after = (rig.stop_height(low, rig.stop_margin(low), less) for less in (0.0, cut.length))
    return taken(
        Used,
        low,
        boom=crane.case.chart.slug,
        block=rig.block.id,
        rope_on_drum_m=held,
        **place(crane, held),
        spare_m=held - crane.stop_rope,
        stop_height_m=[before, after],
        rises_m=after - before,
    )


def _cut(
    crane: Crane, length: float, wraps: float, spare: float | None, lowest: list[tuple[Rig, State]]
) -> PossibleCut:
    """A cut at the drum end by whole wraps and a part: where it leaves each layer, and the stop height of each rig."""
    off = [each["off_turns"] if each["crosses"] else None for each in _shifts(crane, Shortening(length, DRUM_END))]
    return {
        "wraps": wraps,
        "length_m": length,
        "off_turns": off,
        "least_off_turns": min((each for each in off if each is not None), default=None),
        "enough_left": None if spare is None else length <= spare + ROUNDING,
        "stop_height_m": [rig.stop_height(low, rig.stop_margin(low), length) for rig, low in lowest],
    }


def _reach(crane: Crane) -> Reach:
    """One boom length: the most falls with which the hook comes down, to the rule's clearance above the ground at the
    steepest listed radius, and what may be cut off the rope then; None where the hook does not come down at all."""
    case = crane.case
    length, radius, hook = case.chart.boom_length, case.chart.rows[0][0], case.values.clearance
    rigs = (crane.rig(falls, block) for falls, block in reversed(crane.blocks.items()))
    spare = (
        (rig, rig.rope_on_drum(State(length, radius, hook, rig.falls)) - crane.stop_rope)
        for rig in rigs
        if history.highest_hook(rig, radius) > hook
    )
    rig, most = next(((rig, left) for rig, left in spare if left >= 0), (None, None))
    return {
        "boom": case.chart.slug,
        "boom_length_m": length,
        "radius_m": radius,
        "hook_height_m": hook,
        "falls": rig.falls if rig else None,
        "block": rig.block.id if rig else None,
        "spare_m": most,
    }


def _shifts(crane: Crane, cut: Shortening) -> Iterator[LayerShift]:
    """By layer: by how much of a turn rope comes to lie elsewhere, and how far what wore at a crossover then lies from
    the nearer one; a cut at the hook end moves nothing on the drum."""
    for layer in zones.layers(crane):
        wrap = layer["crossover_spacing_m"] * zones.CROSSOVERS_IN_A_TURN
        shift = drum.crossover_shift(cut.length if cut.end == DRUM_END else 0.0, wrap)
        off = drum.off_the_crossovers(shift)
        yield {
            "layer": layer["layer"],
            "crosses": layer["crosses"],
            "wrap_length_m": wrap,
            "shift_turns": shift,
            "off_turns": off,
            "off_m": off * wrap,
        }
