"""One number computed twice, and how far the two may lie apart.

Agreement asked for: 0.1 % or one small step, whichever is more; drum tension 0.2 % of the rated line pull.  May import:
the standard library.
"""

from __future__ import annotations

from dataclasses import dataclass

SHARE = 0.001
# Quantity -> the difference that is let pass whatever the size of the number, in its unit.
STEPS = {
    # before the start
    "estimate of falls": 0.0,
    "reeving limit": 0.0,
    "exact falls": 0.001,
    "least load [kg]": 0.1,
    "load not to be made up": 0.0,
    "net load [kg]": 0.01,
    "slings of the first pass [kg]": 0.01,
    "planned load [kg]": 0.01,
    "lifting points [m]": 1e-4,
    "hanging height of the slings [m]": 1e-4,
    "top of the stack [m]": 1e-4,
    "stack too high [m]": 1e-4,
    "load below the rule [kg]": 0.01,
    "start radius [m]": 0.005,
    "start hook height [m]": 0.005,
    "stop height [m]": 0.005,
    "stop height, shorter rope [m]": 0.005,
    "unreached rope [m]": 0.01,
    "counts of the table": 0.0,
    "rope length by the count [m]": 0.01,
    "what the count asks for": 0.0,
    "stop height by the count [m]": 0.005,
    "falls with a bed": 0.0,
    "bed needed [m]": 0.01,
    "refused though it goes": 0.0,
    # along the moves
    "boom angle [deg]": 0.001,
    "loaded radius [m]": 0.005,
    "hook height [m]": 0.005,
    "load height [m]": 0.005,
    "rope on drum [m]": 0.01,
    "wraps on drum": 0.01,
    "load of a move [kg]": 0.01,
    "gross load [kg]": 1.0,
    "rated capacity [kg]": 0.0,
    "capacity use": 0.002,
    "lead line pull [N]": 1.0,
    "drum tension [of rated pull]": 0.002,
    "minutes of a move": 0.01,
    "moves that move nothing": 0.0,
    "limits broken": 0.0,
    "end of luffing out [m]": 0.005,
    # between passes
    "hook at the pick [m]": 0.005,
    "pass that cannot be": 0.0,
    "slings hung at radius [m]": 0.005,
    "slings hung at hook height [m]": 0.005,
    "hook at the count [m]": 0.005,
    "empty hook lowered [m]": 0.005,
    "extension [m]": 1e-4,
    "rope lost [m]": 0.01,
    "picked up at radius [m]": 0.005,
    "winding starts at radius [m]": 0.005,
    "relaxed rope paid out again to [m]": 0.01,
    "way the load returns": 0.0,
    "slew to the second load [deg]": 0.01,
    "second load not at hand": 0.0,
    # what each pass is worth
    "firm rope the ledger misses [m]": 0.01,
    "firm up to, wraps": 0.01,
    "firm from, wraps": 0.01,
    "overlap [m]": 0.01,
    "firm rope [m]": 0.01,
    "firm share": 1e-5,
    "first firm layer": 0.0,
    "last firm layer": 0.0,
    "fewest falls for full pull": 0.0,
    "hook at full pull up to [m]": 0.005,
    "minutes of a pass": 0.01,
    # a method as a whole
    "passes too many": 0.0,
    "passes that gain nothing": 0.0,
    "minutes of a method": 0.01,
    "rigging minutes": 0.01,
    "working radius [m]": 0.1,  # telescoping is walked in steps: between two of them a row may begin to count
    "most capacity use": 0.002,
    "radius to the whole chart [m]": 0.005,
    "longest slings [m]": 1e-4,
    "slings not longer each pass": 0.0,
    "firm share limit": 1e-5,
    # load
    "least load for drum tension [kg]": 1.0,
    "share of breaking force": 1e-5,
    "least reading [kg]": 1.0,
    "least weights and slings [kg]": 1.0,
    "most weights and slings [kg]": 1.0,
    "most reading [kg]": 1.0,
    "heavier loads out of order": 0.0,
    "heavier load that cannot be lifted": 0.0,
    "heavier load, then reduced to [kg]": 0.01,
    "heavier load, furthest radius [m]": 0.005,
    "heavier load, firm rope [m]": 0.01,
    "heavier load, stop height [m]": 0.005,
    "radii of limited room": 0.0,
    "limited room, rope wound [m]": 0.01,
    "limited room, firm rope [m]": 0.01,
    "limited room, falls for full pull": 0.0,
    "warnings that differ": 0.0,
    # choices
    "load or slings that do better": 0.0,
    "heavier load that costs nothing": 0.0,
    "fewer falls that reach": 0.0,
    "boom length telescoped to [m]": 0.005,
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
