"""The rope a heavy lift bears on, and which lifts at full line pull a firm drum is enough for.

Basis: the load is let hang on so many falls at the furthest radius that carries it, hook at the pick; what is on the
drum then, and what the rope out stretches, is the bed.  May import: the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from independent import loads
from independent.charts import GRAIN
from independent.rig import GRAVITY, Rig


def bed_needed(rig: Rig, boom_length: float, falls: int, block: dict[str, Any], hook: float) -> float:
    """Rope on the drum [m] when a heavy lift with so many falls starts from the ground.

    At the largest listed radius that carries the full line pull on these falls, the steepest where none does.
    """
    heavy = Rig(rig.inputs, falls, block)
    chart = rig.charts.at(boom_length)
    full = falls * rig.rated_pull / GRAVITY
    carrying = rig.charts.radius[chart][rig.charts.listed[chart] >= full - GRAIN]
    radius = float(carrying[-1] if carrying.size else rig.charts.radius[chart][0])
    fits = min(hook, heavy.head_at(boom_length, radius) - block["height_m"])  # falls are never shorter than nothing
    slack = heavy.rope_at(boom_length, radius, fits)
    return slack + heavy.stretch(rig.rated_pull, rig.rope_length - slack)


@dataclass(frozen=True)
class FullPull:
    """Lifts at full line pull that a firm drum is enough for: so many falls or more, the hook not above a height."""

    falls: int | None
    hook_up_to: float | None


class Beds:
    """Rope needed on the drum for full line pull, for each number of falls that leaves the stop wraps on it."""

    def __init__(self, rig: Rig, boom_length: float, stop_rope: float, most_falls: int) -> None:
        self.pick = loads.highest_pick(rig.inputs) or 0.0
        self.needed: dict[int, float] = {}
        for falls in range(1, most_falls + 1):
            these = [block for block in rig.inputs["blocks"] if block["falls"][0] <= falls <= block["falls"][1]]
            if not these:
                continue
            block = max(these, key=lambda one: float(one["height_m"]))  # the highest leaves most rope on the drum
            bed = bed_needed(rig, boom_length, falls, block, self.pick)
            if bed >= stop_rope - GRAIN:
                self.needed[falls] = bed

    def full_pull(self, firm_to: float) -> FullPull:
        """From the most falls down: how few still lie on a drum that is firm up to here."""
        fewest, up_to = None, None
        for falls in sorted(self.needed, reverse=True):
            spare = firm_to - self.needed[falls]
            if spare < -GRAIN:
                break
            height = self.pick + spare / falls
            fewest, up_to = falls, height if up_to is None else min(up_to, height)
        return FullPull(fewest, up_to)
