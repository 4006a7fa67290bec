"""How much a plan hangs on data that may be a little wrong: each input moved by what it may be off, planned again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import sqrt

from calc.data.look_up import with_machine
from calc.data.model import Case
from calc.winding.planner import Attempt, best_attempt, crane_of, exact_falls, towards_aim
from calc.winding.rig import Refusal, Rig

ROPE_LENGTH = 0.01
ROPE_DIAMETER = 0.02
BLOCK_MASS = 0.10
SHEAVE_EFFICIENCIES = (0.96, 0.98)


@dataclass(frozen=True)
class Outcome:
    """What the crew would find: falls that just reach the dead wraps and falls used, stop height on the planned falls
    at the start radius [m], load needed with hook block and slings [kg], firm rope of the best method [m]; None where
    there is none."""

    exact_falls: float | None
    falls: int
    stop_height: float | None
    load: float
    firm_rope: float | None


@dataclass(frozen=True)
class Change:
    """One input moved: its name, whether it was made more, the value it was moved to (SI; a factor for the block), and
    what comes of it, None where no load can be made up."""

    name: str
    more: bool
    value: float
    outcome: Outcome | None


def sensitivity(case: Case) -> tuple[Outcome, tuple[Change, ...]] | None:
    """What small errors of the data do to the plan of a `case`: its own Outcome and a Change for each; None where no
    load can be made up.

    Rope length -1 % and +1 %, rope diameter -2 % and +2 %, rise ratio fully nested and on top, block mass -10 % and
    +10 %, sheave efficiency 0.96 and 0.98.  The stop height is that of the planned falls, load and start radius on the
    crane as it would then be; falls, load and firm rope are planned again.
    """
    try:
        attempt = towards_aim(best_attempt(crane_of(case)))
    except Refusal:
        return None
    own = _outcome(attempt, attempt.rig)
    return own, tuple(_change(*moved, attempt) for moved in _varied(case))


def rise_ratios(groove_pitch: float, rope_diameter: float) -> tuple[float, float]:
    """Least and largest rise of a layer in rope diameters: lying fully in the valley between two wraps, and on top.

    rho = sqrt(1 - (p/(2*d))^2) and 1

    Errors: ValueError for a `groove_pitch` p [m] that is not above 0 and below two of the `rope_diameter` d [m].
    Source: geometry of touching circles.

    >>> [round(ratio, 4) for ratio in rise_ratios(0.020, 0.020)]
    [0.866, 1.0]
    """
    if not 0 < groove_pitch < 2 * rope_diameter:
        raise ValueError(f"groove_pitch is {groove_pitch}; it lies above 0 and below {2 * rope_diameter}")
    return sqrt(1 - (groove_pitch / (2 * rope_diameter)) ** 2), 1.0


def _varied(case: Case) -> Iterator[tuple[str, bool, float, Case]]:
    """Name, whether it is made more, the value, and the case with it."""
    machine, values = case.machine, case.values
    rope = machine.rope
    for factor in (1 - ROPE_LENGTH, 1 + ROPE_LENGTH):
        length = rope.length * factor
        yield "rope-length", factor > 1, length, with_machine(case, replace(machine, rope=replace(rope, length=length)))
    for factor in (1 - ROPE_DIAMETER, 1 + ROPE_DIAMETER):
        thick = rope.diameter * factor
        other = with_machine(case, replace(machine, rope=replace(rope, diameter=thick)))
        yield "rope-diameter", factor > 1, thick, other
    for ratio in rise_ratios(machine.drum.groove_pitch, rope.diameter):
        other = replace(case, values=replace(values, rise_ratio=ratio))
        yield "rise-ratio", ratio > values.rise_ratio, ratio, with_machine(other, machine)
    for factor in (1 - BLOCK_MASS, 1 + BLOCK_MASS):
        blocks = tuple(replace(block, mass=block.mass * factor) for block in machine.blocks)
        yield "block-mass", factor > 1, factor, with_machine(case, replace(machine, blocks=blocks))
    for efficiency in SHEAVE_EFFICIENCIES:
        varied = replace(case, values=replace(values, sheave_efficiency=efficiency))
        yield "sheave-efficiency", efficiency == SHEAVE_EFFICIENCIES[1], efficiency, varied


def _change(name: str, more: bool, value: float, case: Case, planned: Attempt) -> Change:
    crane = crane_of(case)
    try:
        found = towards_aim(best_attempt(crane))
    except Refusal:
        return Change(name, more, value, None)
    block = next(block for block in case.machine.blocks if block.id == planned.rig.block.id)
    return Change(name, more, value, _outcome(found, crane.rig(planned.rig.falls, block), planned))


def _outcome(attempt: Attempt, rig: Rig, planned: Attempt | None = None) -> Outcome:
    start = (planned or attempt).start
    try:
        stop = rig.stop_height(start, rig.stop_margin(start))
    except (Refusal, ValueError):
        stop = None
    best = attempt.best
    needed = max(attempt.rig.least_mass, attempt.firm_mass)
    exact = exact_falls(attempt)
    return Outcome(exact, attempt.rig.falls, stop, needed, best.firm_rope if best else None)
