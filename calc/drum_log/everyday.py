"""Light work, whatever the log says: with how little tension an empty hook or a light load lays the rope."""

from __future__ import annotations

from dataclasses import dataclass

from calc.data import rulebook
from calc.data.model import Block, Data, Machine
from calc.drum_log import history
from calc.formulas import drum, reeving
from calc.winding.rig import Crane, Rig, State


@dataclass(frozen=True)
class Laid:
    """Drum tension with one load [kg], block not counted: hauling and paying out at the low and the high hook [N].

    Below 0 the rope goes slack: the weight of the rope up to the head is more than the hook pulls.
    """

    load: float
    hauling: tuple[float, float]
    paying_out: tuple[float, float]


@dataclass(frozen=True)
class Everyday:
    """One number of falls at the steepest listed radius: block, least block mass that pulls the rope off the drum at
    the upper stop [kg], tensions with the empty hook and the light load, rope on the drum with the hook low and high
    [m], layers that this work lays anew."""

    falls: int
    block: Block
    block_to_overhaul: float
    empty: Laid
    light: Laid
    rope_on_drum: tuple[float, float]
    layers: tuple[int, int]


def light_load(data: Data, machine: Machine, day: str) -> float:
    """What counts as a light load for a `machine` of the `data` on a `day` [kg].  Errors: rulebook.Missing.
    Rules: light-work."""
    shortest = next(iter(machine.booms))
    return rulebook.value(data.rules.values(), machine, shortest, day, "light_load_share") * machine.capacity_class


def everyday(crane: Crane, light_load: float) -> tuple[Everyday, ...]:
    """Everyday work with the boom of a `crane`, for every number of falls with which the hook comes down to the ground,
    the fewest first; a `light_load` hangs below the block [kg].

    The hook goes from just above the ground (the rule's clearance) to the upper stop, at the steepest listed radius:
    the highest head, the least tension.
    Errors: ValueError for a load not above 0.  Rules: sheave-efficiency, drum-drag, light-work.
    """
    if not light_load > 0:
        raise ValueError(f"light_load is {light_load}; it lies above 0")
    found = (_everyday(crane.rig(falls, block), light_load) for falls, block in crane.blocks.items())
    return tuple(work for work in found if work is not None)


def _everyday(rig: Rig, light_load: float) -> Everyday | None:
    crane = rig.crane
    case = crane.case
    length, radius = case.chart.boom_length, case.chart.rows[0][0]
    low = State(length, radius, case.values.clearance, rig.falls)
    high = low.at_height(history.highest_hook(rig, radius))
    rope = rig.rope_on_drum(low), rig.rope_on_drum(high)
    if high.hook_height <= low.hook_height or rope[0] < crane.stop_rope:
        return None
    overhaul = rig.mass_to_overhaul(rig.fall_length(high), crane.head(length, radius))
    deepest, outermost = (drum.position(crane.layers, held)[0] for held in rope)
    laid = [_laid(rig, low, high, load) for load in (0.0, light_load)]
    return Everyday(rig.falls, rig.block, overhaul, laid[0], laid[1], rope, (deepest, outermost))


def _laid(rig: Rig, low: State, high: State, load: float) -> Laid:
    states = low._replace(load=load), high._replace(load=load)
    hauling, paying_out = (
        tuple(rig.tension(state, direction) for state in states) for direction in (reeving.HAULING, reeving.PAYING_OUT)
    )
    return Laid(load, (hauling[0], hauling[1]), (paying_out[0], paying_out[1]))
