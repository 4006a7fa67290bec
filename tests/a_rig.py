"""Cranes made up for tests of the planner: the crane worked by hand (tests/cases/crane), and what is changed in it.

Boom of 50 m on a pivot 2 m up: at radii of 14, 30, 40 and 48 m the head stands at 50, 42, 32 and 16 m.  Two falls on a
block of 500 kg and 1 m; upper stop 2 m.  Rope of 150 m; 20 wraps a layer, the first pi/2 m each; pi*0.3 m lie round the
sheave between the falls.  The load hangs 2.4 m under the hook from points 0.6 m up, its legs of 3 m on a diagonal of
3.6 m: hook at the pick 3 m.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from calc.checks import loader
from calc.data import look_up
from calc.data.model import Case, Chart, Data
from calc.winding.makeup import Load, Slings
from calc.winding.moves import Move
from calc.winding.plan_fields import MoveName
from calc.winding.rig import Crane, Rig, State

DAY = "2026-12-01"
HAND = Path(__file__).parent / "cases" / "crane"
LATTICE, TELESCOPIC = "hand-lattice", "hand-telescopic"
STEEP, MIDDLE, FAR, LAST = 14.0, 30.0, 40.0, 48.0  # radii; heads at 50, 42, 32 and 16 m
ROUND = ((STEEP, 20e3), (MIDDLE, 10e3), (FAR, 5e3), (LAST, 2.5e3))  # a chart of round numbers


@cache
def _data() -> Data:
    return loader.load(HAND)


def case(machine: str = LATTICE, **changed: Any) -> Case:
    """The case of a crane worked by hand, with some parts of it changed: `machine__rope__length=160.0`."""
    found = look_up.case(_data(), machine, "50m", "full", DAY)
    for path, value in changed.items():
        found = _replaced(found, path.split("__"), value)
    return found


def _replaced(of: Any, path: list[str], value: Any) -> Any:
    first, *rest = path
    return replace(of, **{first: _replaced(getattr(of, first), rest, value) if rest else value})


def charts(of: Case, *found: Chart) -> Case:
    """The case with other charts in its configuration, the longest boom first in use."""
    return replace(of, chart=found[-1], configuration=replace(of.configuration, charts=found))


def rig(machine: str = LATTICE, falls: int = 2, **changed: Any) -> Rig:
    """The crane worked by hand, rigged."""
    return rig_of(case(machine, **changed), falls)


def rig_of(found: Case, falls: int = 2) -> Rig:
    crane = Crane(found)
    return crane.rig(falls, crane.blocks[falls])


def light_rope(machine: str = LATTICE, **changed: Any) -> Rig:
    """The same with a rope that weighs nothing and, for the lattice crane, a chart of round numbers."""
    if machine == LATTICE:
        changed.setdefault("chart__rows", ROUND)
    return rig(machine, **{"machine__rope__mass_per_length": 0.0, **changed})


def load_of(of: Rig) -> Load:
    """The lightest load of its yard: one weight of 1 t."""
    return of.crane.loads[0]


def slings_of(of: Rig, at: int = 0) -> Slings:
    """The slings of 3 m and 100 kg, or with the extension of 6 m and 40 kg."""
    return of.crane.slings[at]


def hook(radius: float, hook_height: float, load: float = 0.0, hang: float = 0.0, spread: float = 0.0) -> State:
    """The hook of the boom of 50 m with two falls."""
    return State(50.0, radius, hook_height, 2, load, hang, spread)


def move(name: MoveName, before: State, after: State) -> Move:
    return Move(name, before, after)
