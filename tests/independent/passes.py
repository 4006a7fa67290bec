"""From a landed load to the start of the next pass: longer slings hung, the load picked up again, lowered under load.

Basis: the empty block is brought down to a man's reach by luffing out with the hoist held, and up again by luffing in;
the winch pays out only what must be, and all the rest with the load on.  Where the hook keeps its height, the way of
the boom head times the falls is the rope.  May import: the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from dataclasses import dataclass

from independent.charts import GRAIN
from independent.landing import Landed
from independent.lift import Slings


@dataclass(frozen=True)
class Hung:
    """Longer slings hung on the empty block: where, and how the load is picked up again and lowered under load."""

    hung_at: float  # radius
    hung_hook: float
    lowered: float  # of the empty hook, by paying out, in all
    picked_at: float  # radius
    wound_from: float  # radius
    rope_lost: float
    count: float  # rope on the drum when winding goes on, all that was relaxed paid out again under load


def hang_longer(landed: Landed, slings: Slings) -> Hung | None:
    """From a landed load to the start of winding with longer slings; None where it cannot be done."""
    lift, rig, inputs = landed.lift, landed.lift.rig, landed.lift.inputs
    length, head = lift.length, rig.head_at(lift.length, landed.radius)
    slack, extension = inputs["sling_slack_m"], slings["length_m"] - landed.slings["length_m"]
    reach = inputs["reach_height_m"]
    most = max(landed.radius, min(rig.furthest_empty(length), rig.furthest_carried(length, reach)))
    wanted_down = max(0.0, landed.hook - slack - reach)
    flat = rig.radius_at_head(length, head - wanted_down)
    hung_at = most if flat is None else min(flat, most)
    down = head - rig.head_at(length, hung_at)
    lowered = max(slack, landed.hook - reach - down)
    picked_at = rig.radius_at_head(length, head + extension + lowered)
    count = landed.lowered_to(lowered)
    lowering = (landed.rope - count) / rig.falls
    wound_from = rig.radius_at_head(length, head + extension + inputs["clearance_m"] + lowering)
    if picked_at is None or wound_from is None or wound_from < lift.least_radius - GRAIN:
        return None
    if not rig.carries_empty(length, hung_at, landed.hook - down - lowered):
        return None
    return Hung(hung_at, landed.hook - down - lowered, lowered, picked_at, wound_from, rig.falls * lowered, count)
