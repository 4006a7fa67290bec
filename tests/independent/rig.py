"""One plan's boom, hook block and rope, at any boom length, boom angle and hook height.

Basis: a straight rigid boom turns about its pivot; a fixed jib or runner is a second straight piece that turns with it,
a luffing jib one that turns about the head of a boom that is held.  Both are placed one after the other in the plane.
The rope goes from the drum along the boom, and the jib, to the head, then down and up the falls; what is not out is on
the drum.  The angle is that of the boom, of a luffing jib its own.  Radii and angles are those of the boom without its
bend; what the load adds to the radius is added where charts and working area are judged.  May import: numpy, the
modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from math import cos, inf, pi, radians, sin
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

    def pieces(self, length: Any) -> tuple[Any, Any, float, float]:
        """What turns, with the angle at zero: how far forward and how far down its head is of what it turns about, and
        where that is."""
        x, z = self.inputs["pivot_forward_m"], self.inputs["pivot_height_m"]
        jib = self.inputs.get("jib")
        if jib is None:
            return length, 0.0 * length, x, z
        if jib["kind"] == "luffing":
            held = radians(jib["boom_angle_deg"])
            return jib["length_m"] + 0 * length, 0.0 * length, x + length * cos(held), z + length * sin(held)
        down = radians(jib["offset_deg"])
        return length + jib["length_m"] * cos(down), jib["length_m"] * sin(down) + 0 * length, x, z

    def bending(self, length: Any) -> Any:
        """Length that bends: boom and jib [m]."""
        jib = self.inputs.get("jib")
        return length if jib is None else length + jib["length_m"]

    def angles(self, length: Any, radius: Any) -> Any:
        forward, down, x, _ = self.pieces(length)
        return np.arctan2(down, forward) + np.arccos((radius - x) / np.hypot(forward, down))

    def angle(self, length: float, radius: float) -> float:
        """Angle [rad] that brings the head to a radius."""
        return float(self.angles(length, radius))

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
        forward, down, x, _ = self.pieces(length)
        return x + forward * np.cos(angle) + down * np.sin(angle)

    def head(self, length: Any, angle: Any) -> Any:
        """Height of the head-sheave axis [m]."""
        forward, down, _, z = self.pieces(length)
        return z + forward * np.sin(angle) - down * np.cos(angle)

    def head_at(self, length: float, radius: float) -> float:
        return float(self.head(length, self.angle(length, radius)))

    def radius_at_head(self, length: float, height: float) -> float | None:
        """Radius, forward of the pivot, at which the head is this high; none where the boom does not reach up there.
        Level is the flattest: from a luffing jib's pivot high up the head never comes down to a low height."""
        forward, down, x, z = self.pieces(length)
        rise = max(0.0, height - z) / np.hypot(forward, down)
        return None if rise > 1 else float(x + np.hypot(forward, down) * cos(np.arcsin(rise)))

    # -- rope -------------------------------------------------------------------------------------------------------

    def to_head(self, length: Any) -> Any:
        """Rope from the drum to the boom head [m]."""
        jib = self.inputs.get("jib")
        along = 0.0 if jib is None else jib["length_m"] + jib["rope_longer_than_jib_m"]
        return length + self.inputs["rope_path_extra_m"] + along

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
            angle = self.angles(np.full_like(radii, length), radii)
            bend = self.charts.softness * self.bending(length) * self.gross(length, angle, hook, hanging) / carried
            radii = np.clip(listed - bend, near, far)
        return np.asarray(radii[(radii > near) & (radii < far)] + 2 * GRAIN, dtype=float)

    def rebound(self, length: float, radius: float, gross: float) -> float:
        """How far the head rises when the load comes off [m]: from the grown radius back to the radius of the boom.

        Where the chart does not carry the load it counts as fully used: no load hangs there, but the stop height of
        the place must not come out lower for it.
        """
        capacity, _ = self.rest(length, radius, gross)
        use = min(1.0, gross / capacity) if capacity > 0 else 1.0
        grown = radius + self.charts.softness * self.bending(length) * use
        forward, down, x, _ = self.pieces(length)
        reach = float(x + np.hypot(forward, down))
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
