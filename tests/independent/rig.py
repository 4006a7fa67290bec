"""One plan's boom, hook block and rope, at any boom length, boom angle and hook height.

Basis: a straight rigid boom turns about its pivot; the rope goes from the drum along the boom to the head, then down
and up the falls; what is not out is on the drum.  May import: numpy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from math import acos, cos, pi, radians, sin
from typing import Any

import numpy as np

from independent.charts import Charts
from independent.drum_wraps import Drum, Floats
from independent.forces import passed_on, pulls

GRAVITY = 9.80665  # m/s2, CGPM 1901


class Rig:
    """What a plan's `inputs` say, reeved with so many falls on one hook block."""

    def __init__(self, inputs: dict[str, Any], falls: int, block: dict[str, Any]) -> None:
        self.inputs = inputs
        self.falls = falls
        self.block = block
        self.drum = Drum(inputs)
        self.charts = Charts(inputs)
        self.rope_length: float = inputs["rope_length_m"]
        self.rope_mass: float = inputs["rope_mass_kg_per_m"]
        self.rated_pull: float = inputs["rated_line_pull_n"]
        self.least_angle = radians(inputs["least_boom_angle_deg"])
        # a half turn round every sheave between one fall and the next
        self.round_sheaves = sum(pi * inputs["sheave_radius_m"] for _ in range(falls - 1))

        on_barrel = float(self.drum.length[self.drum.layer == 1].sum())
        # a share of layer 1, or all that is known to lie firm
        self.may_stay = max(inputs["unreached_limit"] * on_barrel, inputs["firm_below_m"] - self.drum.dead_rope)

    def angle(self, length: float, radius: float) -> float:
        """Boom angle [rad] that brings the head to a radius."""
        return acos((radius - self.inputs["pivot_forward_m"]) / length)

    def least_radius(self, length: float) -> float:
        """Steepest radius for a load: the first row of the chart, or further where it has to clear the carrier."""
        return max(float(self.charts.radius[self.charts.at(length)][0]), self.inputs["clear_radius_m"] or 0.0)

    def radius(self, length: Any, angle: Any) -> Any:
        return self.inputs["pivot_forward_m"] + length * np.cos(angle)

    def head(self, length: Any, angle: Any) -> Any:
        """Height of the head-sheave axis [m]."""
        return self.inputs["pivot_height_m"] + length * np.sin(angle)

    def head_at(self, length: float, radius: float) -> float:
        return self.inputs["pivot_height_m"] + length * sin(self.angle(length, radius))

    def radius_at_head(self, length: float, height: float) -> float | None:
        """Radius, forward of the pivot, at which the head is this high; none where the boom is too short."""
        rise = (height - self.inputs["pivot_height_m"]) / length
        return None if rise > 1 else self.inputs["pivot_forward_m"] + length * cos(np.arcsin(rise))

    def run(self, length: Any, angle: Any, hook: Any) -> Any:
        """Length of one fall [m]."""
        return self.head(length, angle) - hook - self.block["height_m"]

    def rope_on_drum(self, length: Any, angle: Any, hook: Any) -> Any:
        to_head = length + self.inputs["rope_path_extra_m"]
        hanging = sum(self.run(length, angle, hook) for _ in range(self.falls))
        return self.rope_length - to_head - self.round_sheaves - hanging

    def hook(self, length: Any, angle: Any, rope_on_drum: Any) -> Any:
        """Hook height [m] for the rope that is on the drum."""
        to_head = length + self.inputs["rope_path_extra_m"]
        hanging = self.rope_length - rope_on_drum - to_head - self.round_sheaves
        return self.head(length, angle) - hanging / self.falls - self.block["height_m"]

    def gross(self, length: Any, angle: Any, hook: Any, hanging_mass: float) -> Any:
        """What the chart counts [kg]: what hangs on the falls and the rope in them."""
        return hanging_mass + self.falls * self.run(length, angle, hook) * self.rope_mass

    def pulls(self, length: Any, angle: Any, hook: Any, hanging_mass: Any, direction: str) -> tuple[Floats, Floats]:
        """Pull in the lead line and at the drum [N]."""
        drop = self.head(length, angle) - self.inputs["winch_height_m"]
        return pulls(
            self.falls,
            self.run(length, angle, hook),
            drop,
            np.asarray(hanging_mass) * GRAVITY,
            self.rope_mass * GRAVITY,
            passed_on(self.inputs["sheave_efficiency"], direction),
            self.inputs["sheaves_to_drum"],
        )

    def line_speed(self, rope_on_drum: Any) -> Floats:
        """Largest rope speed of the winch at the layer being filled [m/s]: the drum turns no faster."""
        rated = np.searchsorted(self.drum.layer, self.inputs["rated_layer"])
        turns = self.inputs["line_speed_m_per_s"] / self.drum.length[rated]
        at = np.searchsorted(self.drum.full, rope_on_drum, side="left").clip(max=len(self.drum.full) - 1)
        return turns * self.drum.length[at]
