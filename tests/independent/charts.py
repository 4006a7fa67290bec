"""Rated capacity while the boom bends: the load pulls the radius out until chart and radius agree.

Basis: the next larger listed radius counts; between listed boom lengths the next longer boom's chart, and the next
shorter one's where it lists the radius.  May import: numpy.  Must not know: ropes, drums, `calc`.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from independent.drum_wraps import Floats

GRAIN = 1e-6  # m; radii of the contract are printed to this


class Charts:
    """All charts of one configuration that a plan passes."""

    def __init__(self, inputs: dict[str, Any]) -> None:
        charts = sorted(inputs["charts"], key=lambda chart: chart["boom_length_m"])
        self.length = np.array([chart["boom_length_m"] for chart in charts])
        self.radius = [np.array([row[0] for row in chart["rows"]]) for chart in charts]
        self.listed = [np.array([row[1] for row in chart["rows"]]) for chart in charts]
        self.telescoping = [chart["telescoping_kg"] for chart in charts]
        self.softness = inputs["deflection_share"]

    def at(self, length: float) -> int:
        """Which chart is for this boom length."""
        return int(np.argmin(np.abs(self.length - length)))

    def _listed(self, chart: int, radius: Floats) -> Floats:
        """Capacity at the next larger listed radius, 0 where there is none."""
        row = np.searchsorted(self.radius[chart], radius - GRAIN, side="left")
        return np.append(self.listed[chart], 0.0)[row]

    def bent(self, chart: int, length: Floats, radius: Floats, gross: Floats) -> Floats:
        """Capacity at the radius the load comes to rest at: bend, read the chart, bend further, until nothing moves."""
        capacity = self._listed(chart, radius)
        for _ in range(len(self.radius[chart]) + 1):
            with np.errstate(divide="ignore"):
                grown = np.where(capacity > 0, radius + self.softness * length * gross / capacity, np.inf)
            further = self._listed(chart, grown)
            if np.array_equal(further, capacity):
                break
            capacity = further
        return capacity

    def capacity(self, length: Floats, radius: Floats, gross: Floats, telescoping: bool) -> Floats:
        """Rated capacity met at each boom length, radius and gross load."""
        met = np.full_like(radius, np.inf)
        longer = np.searchsorted(self.length, length - GRAIN, side="left")
        last = len(self.length) - 1
        for chart in range(last + 1):
            here = longer == chart
            if here.any():
                met[here] = np.minimum(met[here], self.bent(chart, length[here], radius[here], gross[here]))
                met[here] = np.minimum(met[here], self._limit(chart, telescoping))
            # between two listed lengths, and about to go there, the next shorter chart counts where it lists the radius
            going = telescoping & (length > length.min() + GRAIN)
            between = (longer == chart + 1) & (going | (length < self.length[min(chart + 1, last)] - GRAIN))
            if between.any():
                shorter = self.bent(chart, length[between], radius[between], gross[between])
                met[between] = np.minimum(met[between], np.where(shorter > 0, shorter, np.inf))
        return met

    def _limit(self, chart: int, telescoping: bool) -> float:
        if not telescoping:
            return np.inf
        return self.telescoping[chart] or 0.0
