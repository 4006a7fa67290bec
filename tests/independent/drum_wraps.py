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
        while sum(lengths) < inputs["rope_length_m"]:
            wraps = inputs["wraps_odd_layers"] if layer % 2 else inputs["wraps_even_layers"]
            layers += [layer] * wraps
            lengths += [pi * diameter] * wraps
            layer += 1
            diameter += 2 * inputs["rise_ratio"] * inputs["rope_diameter_m"]
        self.layer = np.array(layers)
        self.length = np.array(lengths)
        self.full = np.cumsum(self.length)
        self.first = self.length[0]
        on_barrel = inputs["wraps_odd_layers"]
        # The first layer of a smooth drum is never unwound.
        self.dead = on_barrel if inputs["drum_surface"] == "smooth" else inputs["dead_wraps"]
        self.dead_rope = float(self.length[: self.dead].sum())

    def turns(self, rope: ArrayLike) -> Floats:
        """Wraps on the drum, all layers together, for a length of rope on it."""
        at = np.searchsorted(self.full, rope, side="left").clip(max=len(self.full) - 1)
        return at + 1 - (self.full[at] - rope) / self.length[at]

    def turns_at(self, layer: int, wrap: float) -> float:
        """Wraps on the drum, all layers together, for a layer and the wraps lying in it."""
        return float(np.count_nonzero(self.layer < layer) + wrap)

    def rope(self, turns: float) -> float:
        """Rope on the drum, for a number of wraps."""
        whole = int(turns)
        return float(self.length[:whole].sum() + (turns - whole) * self.length[min(whole, len(self.length) - 1)])

    def layer_at(self, rope: ArrayLike) -> NDArray[np.int64]:
        """Layer being filled; a layer just full still counts as that layer."""
        return self.layer[np.searchsorted(self.full, rope, side="left").clip(max=len(self.full) - 1)]


class Ledger:
    """What lies on the drum: how much of each wrap is there and the tension it was laid with."""

    def __init__(self, drum: Drum, rope: float) -> None:
        self.drum = drum
        self.rope = rope
        self.bottom = rope  # what was not reached at the start does not count, wound again later or not
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

    def firm(self, least: float) -> tuple[float, int | None, int | None]:
        """Rope laid with at least this tension without a looser wrap beneath [m], its first and last layer."""
        below = np.maximum(self.drum.full - self.drum.length, self.bottom)
        there = np.clip(np.minimum(self.drum.full, self.rope) - below, 0, None)
        loose = np.flatnonzero((there > SLIVER) & ~(self.laid >= least))
        firm = there > SLIVER
        if loose.size:
            firm[loose[0] :] = False
        layers = self.drum.layer[firm]
        span = (int(layers[0]), int(layers[-1])) if layers.size else (None, None)
        return float(there[firm].sum()), *span
