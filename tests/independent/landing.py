"""What stays firm on the drum when a load has been landed and unhooked.

Basis: with the load off, the rope leaving the drum slackens, and rope slips on rope as on a post until friction holds;
besides, slings and boom give rope back.  What is left counts in whole wraps.  May import: numpy, the modules beside it.
Must not know: `calc`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log, pi

from independent.forces import HAULING, PAYING_OUT
from independent.lift import Lift, Slings

LEAST_PULL = 1.0  # N; an empty block that does not run down leaves the rope slack, and a logarithm wants a number


@dataclass(frozen=True)
class Landed:
    """A load on the ground with its slings just straight: radius of the boom, slings, boom length."""

    lift: Lift
    radius: float
    slings: Slings

    @property
    def hook(self) -> float:
        return self.lift.hook(self.slings)

    @property
    def rope(self) -> float:
        """Rope on the drum [m]."""
        return self.lift.rig.rope_at(self.lift.length, self.radius, self.hook)

    def slack_pull(self) -> float:
        """Pull at the drum that the empty block leaves when rope is paid out [N]."""
        rig, length = self.lift.rig, self.lift.length
        angle = rig.angle(length, self.radius)
        return max(float(rig.pulls(length, angle, self.hook, rig.block["mass_kg"], PAYING_OUT)[1]), LEAST_PULL)

    def slipped_wraps(self) -> float:
        """Wraps that slip, counted from the rope that leaves the drum."""
        rig, length = self.lift.rig, self.lift.length
        angle = rig.angle(length, self.radius)
        laid = float(rig.pulls(length, angle, self.hook, self.lift.hanging(self.slings), HAULING)[1])
        held_by_a_wrap = 2 * pi * float(rig.inputs["rope_friction"])
        return max(0.0, log(max(laid, LEAST_PULL) / self.slack_pull())) / held_by_a_wrap

    def relaxed(self, lowered: float) -> float:
        """Rope that setting down relaxes [m] when the empty hook is lowered by so much afterwards."""
        lift, rig = self.lift, self.lift.rig
        wrap = float(rig.drum.wrap_length(self.rope))
        given_back = rig.falls * (lowered + lift.rebound(self.radius, self.hook, self.slings))
        return max(float(lift.inputs["overlap_wraps"] * wrap), given_back + self.slipped_wraps() * wrap)

    def lowered_to(self, lowered: float, nudge: float = 0.0) -> float:
        """Rope on the drum [m] that the load is lowered to before winding goes on: what was relaxed is off, and the
        crew counts whole wraps."""
        return self.lift.rig.drum.whole_wraps(self.rope - self.relaxed(lowered) + nudge)

    def firm_to(self, nudge: float = 0.0) -> float:
        """Rope on the drum [m] up to which whole wraps stay firm, the hook lowered by the slings' slack only."""
        return self.lowered_to(self.lift.inputs["sling_slack_m"], nudge)
