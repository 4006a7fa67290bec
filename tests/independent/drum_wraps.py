"""The drum as a list of wraps, each with its own diameter and length, filled one by one.

Basis: every wrap is a ring whose middle line is as long as its circumference; each layer lies higher than the one
beneath by rise ratio times rope diameter.  May import: numpy.  Must not know: booms, loads, `calc`.
"""

from __future__ import annotations

from math import pi
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
SLIVER = 1e-5  # m; less rope than this on a wrap is the rounding of the printed plan


class Drum:
    """The wraps the whole rope makes, from the barrel outward: layer, length, rope on the drum once each is full."""

    def __init__(self, inputs: dict[str, Any]) -> None:
        layers: list[int] = []
        lengths: list[float] = []
        layer, diameter = 1, inputs["groove_root_diameter_m"] + inputs["rope_diameter_m"]
        # never fewer than two layers: a smooth drum is unwound from the second layer only
        while sum(lengths) < inputs["rope_length_m"] or layer <= 2:
            wraps = inputs["wraps_odd_layers"] if layer % 2 else inputs["wraps_even_layers"]
            layers += [layer] * wraps
            lengths += [pi * diameter] * wraps
            layer += 1
            diameter += 2 * inputs["rise_ratio"] * inputs["rope_diameter_m"]
        self.layer = np.array(layers)
        self.length = np.array(lengths)
        self.full = np.cumsum(self.length)
        smooth = inputs["drum_surface"] == "smooth"
        # The first layer of a smooth drum is never unwound.
        self.dead = inputs["wraps_odd_layers"] if smooth else inputs["dead_wraps"]
        self.dead_rope = float(self.length[: self.dead].sum())
        self._above_dead = self.dead - inputs["dead_wraps"]
        self.first_unwound = float(self.length[self.layer == (2 if smooth else 1)].sum())

    def turns(self, rope: ArrayLike) -> Floats:
        """Wraps on the drum, all layers together, for a length of rope on it."""
        at = np.searchsorted(self.full, rope, side="left").clip(max=len(self.full) - 1)
        return np.asarray(at + 1 - (self.full[at] - rope) / self.length[at], dtype=float)

    def turns_at(self, layer: int, wrap: float) -> float:
        """Wraps on the drum, all layers together, for a layer and the wraps lying in it."""
        return float(np.count_nonzero(self.layer < layer) + wrap)

    def rope(self, turns: float) -> float:
        """Rope on the drum, for a number of wraps."""
        whole = int(turns)
        return float(self.length[:whole].sum() + (turns - whole) * self.length[min(whole, len(self.length) - 1)])

    def counted(self, wraps: float) -> float:
        """Rope on the drum when a crew counts so many wraps, dead ones included [m].

        On a smooth drum the whole first layer is dead, so the count goes on from there in the second.
        """
        return self.rope(wraps + self._above_dead)

    def whole_wraps(self, rope: float) -> float:
        """Rope in the wraps that are complete when this much rope is on the drum [m]."""
        complete = int(np.searchsorted(self.full, rope, side="right"))
        return float(self.full[complete - 1]) if complete else 0.0

    def layer_at(self, rope: ArrayLike) -> NDArray[np.int64]:
        """Layer being filled; a layer just full still counts as that layer."""
        return np.asarray(self.layer[np.searchsorted(self.full, rope, side="left").clip(max=len(self.full) - 1)])

    def wrap_length(self, rope: ArrayLike) -> Floats:
        """Length of the wrap that is being filled [m]."""
        return np.asarray(self.length[np.searchsorted(self.full, rope, side="left").clip(max=len(self.full) - 1)])


class Ledger:
    """What lies on the drum: how much of each wrap is there and the tension it was laid with."""

    def __init__(self, drum: Drum, rope: float, bottom: float) -> None:
        """Start with `rope` on the drum; nothing up to `bottom` ever counts as wound firm, wound again later or not."""
        self.drum = drum
        self.rope = rope
        self.bottom = bottom
        self.laid = np.full(len(drum.length), np.nan)

    def pay_out(self, rope: float) -> None:
        """Unwind to a length of rope on the drum; the wraps that come off are empty."""
        self.rope = rope
        self.laid[self.drum.full - self.drum.length >= rope] = np.nan

    def wind(self, rope: Floats, tension: Floats) -> None:
        """Wind along a track of growing rope on the drum, each wrap at the tension its middle meets."""
        below = self.drum.full - self.drum.length
        touched = (below < rope[-1]) & (self.drum.full > rope[0])
        middle = (np.maximum(below, rope[0]) + np.minimum(self.drum.full, rope[-1])) / 2
        met = np.interp(middle, rope, tension)
        half_full = ~np.isnan(self.laid)
        self.laid = np.where(touched & half_full, np.minimum(self.laid, met), np.where(touched, met, self.laid))
        self.rope = float(rope[-1])

    def clamp(self, tension: float, friction: float) -> None:
        """The rope leaving the drum has gone down to `tension`: outer wraps slip until friction holds what was laid.

        Rope lying on rope holds e^(2*pi*friction) times as much with every wrap further in; a wrap is judged by its
        outer end, where it slips most.
        """
        further_in = np.clip(self.drum.turns(self.rope) - np.arange(1, len(self.laid) + 1), 0, None)
        self.laid = np.minimum(self.laid, tension * np.exp(np.minimum(2 * pi * friction * further_in, 50.0)))

    def firm(self, least: float) -> float:
        """Rope on the drum [m] up to the first wrap laid with less than this tension."""
        below = np.maximum(self.drum.full - self.drum.length, self.bottom)
        there = np.clip(np.minimum(self.drum.full, self.rope) - below, 0, None)
        loose = np.flatnonzero((there > SLIVER) & ~(self.laid >= least))
        firm = there > SLIVER
        if loose.size:
            firm[loose[0] :] = False
        return float(self.bottom + there[firm].sum())
