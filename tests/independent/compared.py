"""One number computed twice, and how far the two may lie apart.

Agreement asked for: 0.1 % or one small step, whichever is more; drum tension 0.2 % of the rated line pull.  May import:
the standard library.
"""

from __future__ import annotations

from dataclasses import dataclass

SHARE = 0.001
# Quantity -> the difference that is let pass whatever the size of the number, in its unit.
STEPS = {
    "estimate of falls": 0.0,
    "exact falls": 0.001,
    "reeving limit": 0.0,
    "unreached rope [m]": 0.01,
    "least load [kg]": 0.1,
    "least load for drum tension [kg]": 1.0,
    "share of breaking force": 1e-5,
    "start flatter than needed [m]": 0.15,  # a published step: the margin jumps where the chart row changes
    "hook under the stop at the start [m]": 1e-4,
    "start hook height [m]": 0.005,
    "stop height [m]": 0.005,
    "stop height, shorter rope [m]": 0.005,
    "boom angle [deg]": 0.001,
    "hook height [m]": 0.005,
    "load height [m]": 0.005,
    "rope on drum [m]": 0.01,
    "wraps on drum": 0.01,
    "gross load [kg]": 1.0,
    "rated capacity [kg]": 0.0,
    "capacity use": 0.002,
    "lead line pull [N]": 1.0,
    "drum tension [of rated pull]": 0.002,
    "minutes of a move": 0.01,
    "end of luffing out [m]": 0.005,
    "overlap, rope short [m]": 0.01,
    "limits broken": 0.0,
    "passes too many": 0.0,
    "firm rope [m]": 0.01,
    "firm rope under loose rope [m]": 0.0,
    "firm share": 1e-5,
    "first firm layer": 0.0,
    "last firm layer": 0.0,
    "fewest falls for full pull": 0.0,
    "minutes of a pass": 0.01,
    "minutes of a method": 0.01,
    "firm share limit": 1e-5,
    "working radius [m]": 0.005,
    "bed needed [m]": 0.01,
    "falls with a bed": 0.0,
    "last radius of the stop heights [m]": 0.005,
    "slings of the first pass [kg]": 0.01,
    "net load [kg]": 0.01,
    "net load enough by the rule": 0.0,
    "a heavier load would go": 0.0,
    "warnings that differ": 0.0,
    "fewer falls that reach": 0.0,
    "boom length telescoped to [m]": 0.005,
    "heavier load that cannot be lifted": 0.0,
    "heavier load, furthest radius [m]": 0.005,
    "heavier load, firm rope [m]": 0.01,
}


@dataclass(frozen=True)
class Compared:
    """One number of a plan: as computed here and as the plan gives it."""

    quantity: str
    where: str
    expected: float
    got: float

    @property
    def difference(self) -> float:
        """Relative, or absolute in the unit of the quantity where the number is smaller than 1."""
        return abs(self.expected - self.got) / max(1.0, abs(self.expected))

    @property
    def agrees(self) -> bool:
        share = 0.0 if self.quantity.startswith("drum tension") else SHARE * abs(self.expected)
        return abs(self.expected - self.got) <= max(STEPS[self.quantity], share)

    def __str__(self) -> str:
        return f"{self.where}: {self.quantity}: {self.expected:.6f} computed here, {self.got:.6f} in the plan"
