"""How long the moves of a plan take: one motion after the other, and a stop for every short move."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, sin

from calc.formulas import ROUNDING, reeving
from calc.winding.moves import Move
from calc.winding.rig import Rig

LOWEST_BAND = 0.1  # m; rules that leave no band under the load still plan moves of this height


def duration(rig: Rig, move: Move, before: Move | None) -> float:
    """Planning time of one `move` of a `rig` [s]; `before` is the last move of the pass before, None in the first.

    Under load: boom motion, then rope, then two changes of motion for each pair of short moves.
    """
    values = rig.crane.case.values
    if move.name == "pay-out":
        return rope_time(rig, move, values.pay_out_speed)
    if move.name == "pick":
        return values.pick_time if before is None else values.re_pick_time + _travel_time(rig, before, move)
    if move.name == "land":
        return values.check_time
    if not move.after.load:
        return boom_motion(rig, move)
    power = rig.crane.case.machine.winch.power * values.winch_efficiency
    speed = min(values.winding_speed, power / max(rig.lead_line(move.before, reeving.HAULING), 1.0))
    return boom_motion(rig, move) + rope_time(rig, move, speed) + 2 * short_moves(rig, move) * values.change_time


def _travel_time(rig: Rig, before: Move, pick: Move) -> float:
    """Time for the crane to travel to the load that was landed in the move `before` [s]."""
    if rig.crane.case.machine.boom.load_return != "crawler-travels":
        return 0.0
    return abs(before.after.radius - pick.before.radius) / rig.crane.case.values.travel_speed


def short_moves(rig: Rig, move: Move) -> int:
    """Pairs of short moves, boom and hoist in turn, that keep the load of a `rig` in its low band during a `move`."""
    values = rig.crane.case.values
    band = max(values.band_top - values.clearance, LOWEST_BAND)
    return sum(ceil(drop / band - ROUNDING) for drop in _drops(rig, move))


def _drops(rig: Rig, move: Move) -> list[float]:
    """How far a `move` of the boom of a `rig` lets the load down, or lifts it, with the hoist held: section by section
    [m]."""
    if move.before.boom_length == move.after.boom_length:
        ends = [rig.crane.head(state.boom_length, state.radius) for state in (move.before, move.after)]
        return [abs(ends[0] - ends[1])]
    steep = sin(rig.crane.slope(move.before.boom_length, move.before.radius))
    return [section * (steep + 1 / rig.falls) for section in _sections(rig, move)]


def _sections(rig: Rig, move: Move) -> list[float]:
    """How much of the boom goes in between two listed lengths, for each pair passed in a `move` of a `rig` [m]."""
    least, most = move.after.boom_length, move.before.boom_length
    passed = [c.boom_length for c in rig.crane.charts if least <= c.boom_length <= most]
    return [longer - shorter for shorter, longer in pairwise(passed)]


def rope_time(rig: Rig, move: Move, speed: float) -> float:
    """Time the rope of a `rig` takes for a `move` at this `speed` [m/s], slower on layers where the winch turns no
    faster [s]."""
    crane = rig.crane
    low, high = sorted((rig.rope_on_drum(move.before), rig.rope_on_drum(move.after)))
    total, below = 0.0, 0.0
    for layer, highest in zip(crane.layers, crane.line_speeds, strict=True):
        here = max(0.0, min(high, layer.rope_when_full) - max(low, below))
        total += here / min(speed, highest)
        below = layer.rope_when_full
    return total


def boom_motion(rig: Rig, move: Move) -> float:
    """Time the boom of a `rig` takes for a `move`, telescoping section by section or luffing [s]."""
    case = rig.crane.case
    if move.before.boom_length != move.after.boom_length:
        assert case.machine.boom.telescoping is not None
        sections = _sections(rig, move)
        return sum(sections) / case.machine.boom.telescoping + len(sections) * case.values.section_time
    angles = [rig.crane.slope(s.boom_length, s.radius) for s in (move.before, move.after)]
    return abs(angles[0] - angles[1]) / case.luffing


def rigging(rig: Rig) -> float:
    """Time to set up and to reeve the falls of a `rig`, apart from the work [s]."""
    values = rig.crane.case.values
    return values.setting_up_time + rig.falls * values.reeving_time
