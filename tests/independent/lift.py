"""One load on one rig: how high its hook is, what hangs on the falls, what the chart and the winch say to it.

May import: numpy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf
from typing import Any

from independent.forces import HAULING
from independent.rig import Rig

Slings = dict[str, Any]


@dataclass(frozen=True)
class Lift:
    """Weights of `net` kg on a rig at one boom length; `pick` is the hook height with its first slings straight."""

    rig: Rig
    length: float
    net: float
    pick: float
    spread: float  # legs of the base set longer than they hang high [m]
    first: Slings  # of the first pass: the base set, with extensions where the hook would not come down to the load
    twice: bool = True  # the yard makes the load up a second time

    @property
    def inputs(self) -> dict[str, Any]:
        return self.rig.inputs

    @property
    def least_radius(self) -> float:
        return self.rig.least_radius(self.length)

    def at_length(self, length: float) -> Lift:
        return replace(self, length=length)

    def hook(self, slings: Slings) -> float:
        """Hook height with these slings just straight and the load on the ground [m]."""
        return float(self.pick + slings["length_m"] - self.first["length_m"])

    def hanging(self, slings: Slings) -> float:
        """What hangs on the falls [kg]: hook block, slings, weights."""
        return float(self.rig.block["mass_kg"] + slings["mass_kg"] + self.net)

    def gross(self, radius: float, hook: float, slings: Slings) -> float:
        return float(self.rig.gross(self.length, self.rig.angle(self.length, radius), hook, self.hanging(slings)))

    def rebound(self, radius: float, hook: float, slings: Slings) -> float:
        """How far the head rises when this load comes off [m]."""
        return self.rig.rebound(self.length, radius, self.gross(radius, hook, slings))

    def loaded_radius(self, radius: float, hook: float, slings: Slings) -> float:
        return self.rig.rest(self.length, radius, self.gross(radius, hook, slings))[1]

    def share(self, radius: float, hook: float, slings: Slings) -> float:
        """Share of the rated capacity in use at the radius under load."""
        gross = self.gross(radius, hook, slings)
        capacity, _ = self.rig.rest(self.length, radius, gross)
        return gross / capacity if capacity > 0 else inf

    def hung_on(self, slings: Slings) -> str | None:
        """The first of block and slings that the load is too heavy for."""
        if self.net > slings["capacity_kg"] + 1e-3:
            return "slings-not-at-hand"
        if self.net + slings["mass_kg"] > self.rig.block["capacity_kg"] + 1e-3:
            return "block-capacity"
        return None

    def hoisted(self, radius: float, hook: float, slings: Slings) -> bool:
        """Whether the winch hoists the load here: lead line with stiff sheaves, rope on the drum as it is."""
        rig, angle = self.rig, self.rig.angle(self.length, radius)
        pull = float(rig.pulls(self.length, angle, hook, self.hanging(slings), HAULING)[0])
        return pull <= float(rig.pull_limit(rig.rope_on_drum(self.length, angle, hook))) * (1 + 1e-9)

    def firmly_wound(self, radius: float, hook: float, slings: Slings) -> bool:
        """Whether rope wound here is laid with firm tension, under the one load the plan names: longer slings weigh a
        little more, but what they add is not counted on."""
        angle = self.rig.angle(self.length, radius)
        hanging = min(self.hanging(slings), self.hanging(self.first))
        pull = float(self.rig.firm_pulls(self.length, angle, hook, hanging)[1])
        return pull >= self.rig.firm_tension * (1 - 1e-9)
