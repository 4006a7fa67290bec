"""One plan's boom, hook block and rope, at any boom length, boom angle and hook height.

Basis: a straight rigid boom turns about its pivot; the rope goes from the drum along the boom to the head, then down
and up the falls; what is not out is on the drum.  Radii and angles are those of the boom without its bend; what the
load adds to the radius is added where charts and working area are judged.  May import: numpy, the modules beside it.
Must not know: `calc`.
"""

from __future__ import annotations

from math import acos, cos, inf, pi, radians, sin
from typing import Any

import numpy as np

from independent.charts import GRAIN, Charts, Rest
from independent.drum_wraps import Drum, Floats
from independent.forces import HAULING, STANDING, passed_on, pulls

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
        self.firm_tension: float = inputs["firm_tension_share"] * self.rated_pull
        self.least_angle = radians(inputs["least_boom_angle_deg"])
        # a half turn round every sheave between one fall and the next
        self.round_sheaves = sum(pi * inputs["sheave_radius_m"] for _ in range(falls - 1))
        # a share of the first layer that is ever unwound, or all that is known to lie firm
        share = inputs["unreached_limit"] * self.drum.first_unwound
        self.may_stay = max(share, inputs["firm_below_m"] - self.drum.dead_rope)

    # -- geometry ---------------------------------------------------------------------------------------------------

    def angle(self, length: float, radius: float) -> float:
        """Boom angle [rad] that brings the head to a radius."""
        return acos((radius - self.inputs["pivot_forward_m"]) / length)

    def least_radius(self, length: float) -> float:
        """Steepest radius for a load: the first row of the chart, or further where it has to clear the carrier."""
        return max(float(self.charts.radius[self.charts.at(length)][0]), self.inputs["clear_radius_m"] or 0.0)

    def flattest(self, length: float) -> float:
        """Radius of the least boom angle [m]."""
        return float(self.radius(length, self.least_angle))

    def furthest_empty(self, length: float) -> float:
        """Largest radius for the empty block: last listed radius, least angle, working area."""
        area = self.inputs["working_radius_m"]
        return min(self.charts.last(length), self.flattest(length), inf if area is None else area)

    def carries_empty(self, length: float, radius: float, hook: float) -> bool:
        """Whether the planned share of the chart carries the empty block, its hook at this height; no load bends the
        boom."""
        listed = self.charts.listed_at(np.array([length]), np.array([radius]), telescoping=False)[0]
        gross = self.gross(length, self.angle(length, radius), hook, self.block["mass_kg"])
        return bool(gross <= self.inputs["largest_capacity_use"] * listed * (1 + 1e-9))

    def furthest_carried(self, length: float, hook: float) -> float:
        """Last listed radius at which the chart carries the empty block, its hook at this height; the first one if
        none does."""
        listed = [float(radius) for radius in self.charts.radius[self.charts.at(length)]]
        return next((radius for radius in reversed(listed) if self.carries_empty(length, radius, hook)), listed[0])

    def radius(self, length: Any, angle: Any) -> Any:
        return self.inputs["pivot_forward_m"] + length * np.cos(angle)

    def head(self, length: Any, angle: Any) -> Any:
        """Height of the head-sheave axis [m]."""
        return self.inputs["pivot_height_m"] + length * np.sin(angle)

    def head_at(self, length: float, radius: float) -> float:
        return float(self.inputs["pivot_height_m"] + length * sin(self.angle(length, radius)))

    def radius_at_head(self, length: float, height: float) -> float | None:
        """Radius, forward of the pivot, at which the head is this high; none where the boom cannot bring it there."""
        rise = (height - self.inputs["pivot_height_m"]) / length
        return None if abs(rise) > 1 else self.inputs["pivot_forward_m"] + length * cos(np.arcsin(rise))

    # -- rope -------------------------------------------------------------------------------------------------------

    def to_head(self, length: Any) -> Any:
        """Rope from the drum to the boom head [m]."""
        return length + self.inputs["rope_path_extra_m"]

    def run(self, length: Any, angle: Any, hook: Any) -> Any:
        """Length of one fall [m]."""
        return self.head(length, angle) - hook - self.block["height_m"]

    def rope_on_drum(self, length: Any, angle: Any, hook: Any) -> Any:
        hanging = sum(self.run(length, angle, hook) for _ in range(self.falls))
        return self.rope_length - self.to_head(length) - self.round_sheaves - hanging

    def rope_at(self, length: float, radius: float, hook: float) -> float:
        return float(self.rope_on_drum(length, self.angle(length, radius), hook))

    def hook(self, length: Any, angle: Any, rope_on_drum: Any) -> Any:
        """Hook height [m] for the rope that is on the drum."""
        hanging = self.rope_length - rope_on_drum - self.to_head(length) - self.round_sheaves
        return self.head(length, angle) - hanging / self.falls - self.block["height_m"]

    def stretch(self, pull: float, paid_out: float) -> float:
        """How much longer rope gets under a pull [m]."""
        area = self.inputs["rope_metal_factor"] * self.inputs["rope_diameter_m"] ** 2
        return float(pull / (self.inputs["rope_modulus_n_per_m2"] * area) * paid_out)

    # -- load -------------------------------------------------------------------------------------------------------

    def gross(self, length: Any, angle: Any, hook: Any, hanging_mass: Any) -> Any:
        """What the chart counts [kg]: what hangs on the falls and the rope in them."""
        return hanging_mass + self.falls * self.run(length, angle, hook) * self.rope_mass

    def rest(self, length: float, radius: float, gross: float) -> tuple[float, float]:
        """Rated capacity [kg], 0 beyond the chart, and radius under this gross load [m]."""
        found: Rest = self.charts.rest(np.array([length]), np.array([radius]), np.array([gross]))
        return float(found.capacity[0]), float(found.radius[0])

    def row_begins(self, length: float, hook: float, hanging: float, near: float, far: float) -> Floats:
        """Radii of the boom just beyond which the next row of the chart counts for what hangs on the falls.

        The rope in the falls is longest there: a row may carry a load at its own radius and not where it begins.
        """
        chart = self.charts.at(length)
        listed, carried = self.charts.radius[chart], self.charts.listed[chart]
        radii = np.clip(listed, near, far)
        for _ in range(6):  # the rope in the falls is some per mille of the load
            angle = np.arccos((radii - self.inputs["pivot_forward_m"]) / length)
            bend = self.charts.softness * length * self.gross(length, angle, hook, hanging) / carried
            radii = np.clip(listed - bend, near, far)
        return np.asarray(radii[(radii > near) & (radii < far)] + 2 * GRAIN, dtype=float)

    def rebound(self, length: float, radius: float, gross: float) -> float:
        """How far the head rises when the load comes off [m]: from the grown radius back to the radius of the boom.

        Where the chart does not carry the load it counts as fully used: no load hangs there, but the stop height of
        the place must not come out lower for it.
        """
        capacity, _ = self.rest(length, radius, gross)
        use = min(1.0, gross / capacity) if capacity > 0 else 1.0
        grown = radius + self.charts.softness * length * use
        reach = self.inputs["pivot_forward_m"] + length
        return self.head_at(length, radius) - self.head_at(length, min(grown, reach))

    def pulls(
        self, length: Any, angle: Any, hook: Any, hanging_mass: Any, direction: str, freely: bool = False
    ) -> tuple[Floats, Floats]:
        """Pull in the lead line and at the drum [N]; `freely` with sheaves that run as freely as they may.

        Freely running sheaves help the winch least, so firm tension is judged by them; the stiff ones make the
        lead line pull largest when hauling, and leave the drum least when paying out.
        """
        drop = self.head(length, angle) - self.inputs["winch_height_m"]
        efficiency = self.inputs["sheave_efficiency_upper" if freely else "sheave_efficiency"]
        return pulls(
            self.falls,
            self.run(length, angle, hook),
            drop,
            np.asarray(hanging_mass) * GRAVITY,
            self.rope_mass * GRAVITY,
            passed_on(efficiency, direction),
            self.inputs["sheaves_to_drum"],
        )

    def firm_pulls(self, length: Any, angle: Any, hook: Any, hanging_mass: Any) -> tuple[Floats, Floats]:
        """Pull in the lead line and at the drum that winding is sure of [N]."""
        return self.pulls(length, angle, hook, hanging_mass, HAULING, freely=True)

    def standing_lead(self, length: float, radius: float, hook: float, hanging_mass: float) -> float:
        """Pull in the lead line at the head with nothing moving [N]."""
        angle = self.angle(length, radius)
        return float(self.pulls(length, angle, hook, hanging_mass, STANDING)[0])

    def line_speed(self, rope_on_drum: Any) -> Floats:
        """Largest rope speed of the winch at the layer being filled [m/s]: the drum turns no faster."""
        rated = np.searchsorted(self.drum.layer, self.inputs["rated_layer"])
        turns = self.inputs["line_speed_m_per_s"] / self.drum.length[rated]
        return np.asarray(turns * self.drum.wrap_length(rope_on_drum))

    def pull_limit(self, rope_on_drum: Any) -> Floats:
        """Line pull of the winch at the layer being filled [N]: constant torque above the rated layer."""
        rated = self.drum.length[np.searchsorted(self.drum.layer, self.inputs["rated_layer"])]
        return np.asarray(self.rated_pull * np.minimum(1.0, rated / self.drum.wrap_length(rope_on_drum)))
