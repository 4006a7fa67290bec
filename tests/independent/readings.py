"""What the load indicator may read at the first lift: the least and the most of loads that this plan still fits.

Basis: every printed move is kept - loaded radii, hook heights, drum - and the load made heavier until a limit holds it.
May import: numpy, the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import inf

import numpy as np
from scipy.optimize import brentq

from independent import start
from independent.forces import HAULING
from independent.lift import Lift, Slings
from independent.rig import Rig
from independent.walk import Track

HEAVIEST = 1e7  # kg


def least_suspended(rig: Rig, minimum: float, for_drum_tension: float) -> float:
    """Least mass on the falls [kg] that the rule accepts and that keeps the tension firm."""
    return max(for_drum_tension, float(rig.inputs["accepted_share"] * minimum))


def load_for_drum_tension(rig: Rig, winding: Iterable[Track]) -> float | None:
    """Least hanging mass [kg] that keeps the firm tension at the drum at every step of all winding moves."""
    tracks = list(winding)
    if not tracks:
        return None
    length, angle, hook = (np.concatenate([getattr(t, name) for t in tracks]) for name in ("length", "angle", "hook"))

    def short(mass: float) -> float:
        return float(rig.firm_pulls(length, angle, hook, mass)[1].min() - rig.firm_tension)

    return float(brentq(short, 0.0, HEAVIEST, xtol=1e-6))


def most_on(rig: Rig, track: Track, slings: Slings, telescoping: bool) -> float:
    """Most weights [kg] that one printed move takes: chart, telescoping load, line pull, block and slings."""
    inputs = rig.inputs
    rope = track.gross - track.hanging
    fixed = rig.block["mass_kg"] + slings["mass_kg"]
    listed = rig.charts.listed_at(track.length, track.loaded_radius, telescoping)
    most = [float((inputs["largest_capacity_use"] * listed - rope).min()) - fixed]
    if telescoping:
        limit = rig.charts.telescoping_limit(track.length.min(), track.length.max()) or 0.0
        most.append(float((inputs["largest_telescoping_use"] * limit - rope).min()) - fixed)
    most += [slings["capacity_kg"], rig.block["capacity_kg"] - slings["mass_kg"]]
    most.append(_most_hoisted(rig, track) - fixed)
    return float(min(most))


def _most_hoisted(rig: Rig, track: Track) -> float:
    """Most mass on the falls [kg] that the winch hoists all along; the lead line pull is straight in the load."""
    none, tonne = (rig.pulls(track.length, track.angle, track.hook, mass, HAULING)[0] for mass in (0.0, 1000.0))
    return float(((rig.pull_limit(track.rope) - none) / (tonne - none)).min() * 1000)


def most_by_start(lift: Lift) -> float:
    """Most weights [kg] whose own rebound still lets the drum stand as it does while hooking on."""
    on_drum = lift.rig.rope_at(lift.length, start.start_radius(lift), start.hook_on(lift))

    def allowed(net: float) -> bool:
        return start.rope_to_stay(replace(lift, net=net)) <= on_drum + 1e-6

    if allowed(HEAVIEST):
        return inf
    least, most = lift.net, HEAVIEST
    while most - least > 1e-4:
        middle = (least + most) / 2
        least, most = (middle, most) if allowed(middle) else (least, middle)
    return least
