"""How far out a load goes: the boom luffs out step by step until a limit holds it, and comes back to where it may land.

Basis: at each radius the load is let hang, the boom bends, chart and room are looked at; between the last radius that
holds and the first that does not, ever finer steps close in on the border.  May import: numpy, scipy, the modules
beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from independent.charts import GRAIN
from independent.drum_wraps import Floats
from independent.lift import Lift, Slings

Within = Callable[[Floats], NDArray[np.bool_]]
TIGHT = 1e-9
STEP = 0.1  # m; rows of charts lie further apart
FINER = 64


def within_chart(lift: Lift, hook: float, slings: Slings, share: float) -> Within:
    """Whether the chart, of which only a share is used, and the working area allow the load, at each of these radii."""
    rig, inputs = lift.rig, lift.inputs
    room = inf if inputs["working_radius_m"] is None else inputs["working_radius_m"] - inputs["load_size_m"] / 2

    def within(radii: Floats) -> NDArray[np.bool_]:
        length = np.full_like(radii, lift.length)
        angle = rig.angles(length, radii)
        gross = rig.gross(length, angle, hook, lift.hanging(slings))
        rest = rig.charts.rest(length, radii, gross)
        held = (gross <= share * rest.capacity * (1 + TIGHT)) & (rest.radius <= room + GRAIN)
        return np.asarray(held, dtype=bool)

    return within


def holds(within: Within, radius: float) -> bool:
    return bool(within(np.array([radius]))[0])


def geometric_end(lift: Lift, hook: float) -> float:
    """Radius at which the boom comes to its least angle, or the block with straight slings to the upper stop."""
    rig = lift.rig
    low_head = hook + lift.spread + rig.block["height_m"] + lift.inputs["upper_stop_m"]
    at_stop = rig.radius_at_head(lift.length, low_head)
    return min(rig.flattest(lift.length), -inf if at_stop is None else at_stop)


def furthest(lift: Lift, start: float, slings: Slings, stop: float = inf, share: float | None = None) -> float | None:
    """Radius of the boom at which luffing out from `start` ends, or None where nothing can be gained.

    The load is carried its clearance above the ground all the way and landed at the end; with a `stop` it goes on from
    there in another way, without landing.
    """
    share = lift.inputs["largest_capacity_use"] if share is None else share
    low = lift.hook(slings)
    high = low + lift.inputs["clearance_m"]
    goes, lands = within_chart(lift, high, slings, share), within_chart(lift, low, slings, share)
    end = min(geometric_end(lift, high), stop)
    if end < start - GRAIN or not holds(goes, start):
        return None
    if end <= start + GRAIN:
        return start if stop < inf else None
    begins = lift.rig.row_begins(lift.length, high, lift.hanging(slings), start, end)
    held = goes(radii := np.union1d(_steps(start, end), begins))
    if not held.all():
        first = int(np.argmin(held))
        end = border(goes, radii[first - 1], radii[first])
    if end >= stop - GRAIN:
        return stop
    return _landing(lands, start, end)


def _steps(start: float, end: float) -> Floats:
    return np.linspace(start, end, max(2, int((end - start) / STEP) + 2))


def border(within: Within, inside: float, outside: float) -> float:
    """The last radius at which something still holds, between one at which it does and one at which it does not."""
    while abs(outside - inside) > TIGHT:
        radii = np.linspace(inside, outside, FINER)
        held = within(radii)
        held[0], held[-1] = True, False
        first = int(np.argmin(held))
        inside, outside = float(radii[first - 1]), float(radii[first])
    return float(inside)


def _landing(lands: Within, start: float, end: float) -> float | None:
    """The largest radius up to `end` at which the load may be landed too; a little more rope hangs then."""
    held = lands(radii := _steps(start, end))
    if held[-1]:
        return end
    if not held.any():
        return None
    last = int(np.flatnonzero(held)[-1])
    found = border(lands, float(radii[last]), float(radii[last + 1]))
    return found if found > start + GRAIN else None


def radius_loaded_to(lift: Lift, listed: float, capacity: float, hook: float, slings: Slings) -> float:
    """Radius of the boom at which the load, bending it by its share of this capacity, stands at a listed radius."""
    softness = lift.rig.charts.softness * lift.rig.bending(lift.length)

    def beyond(radius: float) -> float:
        return float(radius + softness * lift.gross(radius, hook, slings) / capacity - listed)

    steep = max(listed - 2 * softness - 1, lift.rig.pieces(lift.length)[2] + GRAIN)
    return float(brentq(beyond, steep, listed, xtol=1e-10))
