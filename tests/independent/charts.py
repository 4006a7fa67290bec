"""Rated capacity while the boom bends: the load pulls the radius out until chart and radius agree.

Basis: the next larger listed radius counts, at the radius the load has come to rest at; between listed boom lengths the
next longer boom's chart, and the next shorter one's where it lists the radius.  May import: numpy.  Must not know:
ropes, drums, `calc`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from independent.drum_wraps import Floats

GRAIN = 1e-6  # m; radii of the contract are printed to this


@dataclass(frozen=True)
class Rest:
    """Where loads come to rest: rated capacity [kg], 0 beyond the chart, and the radius under load [m]."""

    capacity: Floats
    radius: Floats


class Charts:
    """All charts of one configuration that a plan passes."""

    def __init__(self, inputs: dict[str, Any]) -> None:
        charts = sorted(inputs["charts"], key=lambda chart: chart["boom_length_m"])
        self.length = np.array([chart["boom_length_m"] for chart in charts])
        self.radius = [np.array([row[0] for row in chart["rows"]]) for chart in charts]
        self.listed = [np.array([row[1] for row in chart["rows"]]) for chart in charts]
        self.telescoping = [chart["telescoping_kg"] for chart in charts]
        self.softness = inputs["deflection_share"]
        self.jib: float = inputs["jib"]["length_m"] if "jib" in inputs else 0.0  # it bends with the boom

    def at(self, length: float) -> int:
        """Which chart is for this boom length."""
        return int(np.argmin(np.abs(self.length - length)))

    def last(self, length: float) -> float:
        """Largest radius listed for a boom length [m]."""
        return float(self.radius[self.at(length)][-1])

    def _of_one(self, chart: Any, radius: Floats) -> Floats:
        """Capacity at the next larger listed radius, 0 where there is none."""
        row = np.searchsorted(self.radius[chart], radius - GRAIN, side="left")
        return np.append(self.listed[chart], 0.0)[row]

    def listed_at(self, length: Floats, radius: Floats, telescoping: bool) -> Floats:
        """Capacity listed for these boom lengths and radii, as the radii stand."""
        longer = np.minimum(np.searchsorted(self.length, length - GRAIN, side="left"), len(self.length) - 1)
        beside = self._shorter_counts(length, longer, telescoping)
        found = np.zeros_like(radius)
        for chart in np.unique(longer):
            here = longer == chart
            found[here] = self._of_one(chart, radius[here])
            here &= beside
            if chart and here.any():
                shorter = self._of_one(chart - 1, radius[here])
                found[here] = np.minimum(found[here], np.where(shorter > 0, shorter, np.inf))
        return found

    def _shorter_counts(self, length: Floats, longer: NDArray[np.int64], telescoping: bool) -> NDArray[np.bool_]:
        """Between two listed lengths, and where the boom is about to go there, the next shorter chart counts too."""
        between = length < self.length[longer] - GRAIN
        return between | (length > length.min() + GRAIN) if telescoping else between

    def rest(self, length: Floats, radius: Floats, gross: Floats, telescoping: bool = False) -> Rest:
        """Where loads come to rest: bend, read the chart, bend further, until nothing moves.

        A boom that is about to go on to a shorter length must be carried by that chart too, but does not bend by it.
        """
        capacity, grown = self.listed_at(length, radius, False), radius
        for _ in range(max(map(len, self.radius)) + 1):
            with np.errstate(divide="ignore", invalid="ignore"):
                grown = np.where(capacity > 0, radius + self.softness * (length + self.jib) * gross / capacity, np.inf)
            further = self.listed_at(length, grown, False)
            if np.array_equal(further, capacity):
                break
            capacity = further
        return Rest(self.listed_at(length, grown, telescoping) if telescoping else capacity, grown)

    def telescoping_limit(self, shortest: float, longest: float) -> float | None:
        """Smallest load listed for telescoping among the lengths passed [kg]; None where one of them lists none."""
        passed = (self.length >= shortest - GRAIN) & (self.length <= longest + GRAIN)
        loads = [load for load, counts in zip(self.telescoping, passed, strict=True) if counts]
        return None if any(load is None for load in loads) else float(min(loads))
