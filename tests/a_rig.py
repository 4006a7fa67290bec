"""A rig made up for tests of the planner: where head and rope are follows from the radius alone, by subtraction."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from calc.rig import State
from calc.winding import Move

# A state here is told by its radius: rope on the drum is the radius in metres, the tension is given by radius.
LOAD = 5000.0


def at(radius: float, load: float = LOAD, hook_height: float = 3.0) -> State:
    return State(40.0, radius, hook_height, 4, load, 2.0)


def moves(*named: tuple[str, float, float]) -> tuple[Move, ...]:
    return tuple(Move(name, at(before), at(after)) for name, before, after in named)


def slings(length: float, capacity: float = 9000.0) -> Any:
    return SimpleNamespace(length=length, mass=100.0 + length, capacity=capacity)


LOADED: Any = SimpleNamespace(mass=5000.0)
END = State(40.0, 20.0, 3.0, 4, 5102.0, 2.0)  # landed: head at 30 m, slings of 2 m


def straight(hand: tuple[Any, ...] = (), **more: Any) -> Any:
    """A rig on a boom whose head stands at 50 m less the radius, 10 m the least; clearance 0.5 m, block 1 m high."""
    at_hand: Any = SimpleNamespace(
        head=lambda length, radius: 50.0 - radius,
        radius_at_head=lambda length, height: 50.0 - height,
        least_radius=lambda length: 10.0,
        slings=hand,
        dead_rope=4.0,
        case=SimpleNamespace(
            values=SimpleNamespace(clearance=0.5, least_gain_share=0.02, most_passes=3, target_share=0.8),
            machine=SimpleNamespace(
                rope=SimpleNamespace(length=100.0),
                boom=SimpleNamespace(load_return="other-winch", pivot_forward=1.0, telescoping=0.1),
                reeving=SimpleNamespace(upper_stop=2.0),
                kind="telescopic",
            ),
            chart=SimpleNamespace(boom_length=40.0),
            yard=SimpleNamespace(load_height=1.0),
        ),
    )
    block = SimpleNamespace(height=1.0, mass=400.0)
    return SimpleNamespace(crane=at_hand, falls=4, block=block, **more)
