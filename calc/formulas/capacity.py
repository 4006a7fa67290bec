"""Capacity charts: never interpolated, always read at the radius grown under load."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from operator import itemgetter
from typing import NamedTuple

from calc.formulas import ROUNDING

Rows = Sequence[tuple[float, float]]  # (radius [m], capacity [kg]) by growing radius


class Reading(NamedTuple):
    """What a chart says for one load at one radius: the row that counts, its capacity [kg], the share in use."""

    row: int
    capacity: float
    use: float


def read(rows: Rows, radius: float, gross_load: float, growth_at_full_use: float) -> Reading | None:
    """Capacity at the next larger listed radius, the radius grown by boom deflection under this very load.

    the first row j with r_j >= r + growth*W/C_j and C_j >= W

    The growth of the radius and the capacity depend on each other; the first row that satisfies the line above
    is their exact common answer because capacities fall with radius.

    Parameters
    ----------
    rows : (radius [m], capacity [kg]) by growing radius, capacities not growing
    radius : r, boom unloaded, [m], not below the first row
    gross_load : W, everything below the boom head, [kg], 0 or more
    growth_at_full_use : radius growth at full use of the capacity, [m], 0 or more

    Returns: a Reading, or None when the chart does not carry the load there (or does not list such a radius).
    Errors: ValueError for negative input.  Rules: chart-use, boom-deflection-telescopic, boom-deflection-lattice.
    Source: chart notes quoted in the load-chart quiz key of a provincial crane authority: the smaller capacity, at
    the next larger radius.

    >>> read([(10.0, 8000.0), (12.0, 6000.0)], 10.0, 3000.0, 1.0)
    Reading(row=1, capacity=6000.0, use=0.5)
    """
    if not (gross_load >= 0 and growth_at_full_use >= 0):
        raise ValueError(f"gross_load is {gross_load}, growth_at_full_use is {growth_at_full_use}; both are 0 or more")
    if radius < rows[0][0] * (1 - ROUNDING):
        return None
    for row in range(bisect_left(rows, radius, key=itemgetter(0)), len(rows)):
        listed, capacity = rows[row]
        if listed >= radius + growth_at_full_use * gross_load / capacity:
            return Reading(row, capacity, gross_load / capacity) if capacity >= gross_load else None
    return None


def read_between(
    longer: Rows, shorter: Rows, radius: float, gross_load: float, growth_at_full_use: float, telescoping_load: float
) -> Reading | None:
    """Capacity while telescoping between two listed boom lengths.

    the smaller of: the longer boom's chart; the shorter boom's chart where it lists that radius; the telescoping load

    Parameters
    ----------
    longer, shorter : rows of the next longer and the next shorter listed boom
    radius, gross_load, growth_at_full_use : as in `read`
    telescoping_load : load the manual lists for telescoping here, [kg]

    Returns: a Reading (the longer boom's row), or None when the load is not carried.
    Errors: as `read`.  Rules: chart-use, telescoping.
    Source: chart notes: between listed lengths the next longer boom; a US military training key says the same.

    >>> read_between([(9.0, 9000.0), (10.0, 8000.0)], [(8.0, 9500.0)], 9.5, 3000.0, 0.5, 5000.0)
    Reading(row=1, capacity=5000.0, use=0.6)
    """
    outer = read(longer, radius, gross_load, growth_at_full_use)
    if outer is None:
        return None
    capacity = min(outer.capacity, telescoping_load)
    if shorter[0][0] <= radius:
        listed = (c for r, c in shorter if r >= radius + growth_at_full_use * gross_load / c)
        capacity = min(capacity, next(listed, capacity))
    return Reading(outer.row, capacity, gross_load / capacity) if capacity >= gross_load else None


def largest_load(rows: Rows, radius: float, growth_at_full_use: float) -> float:
    """Largest gross load the chart carries at a radius, its deflection counted.

    max over rows j with r_j >= r of min(C_j, C_j*(r_j - r)/growth)

    Parameters
    ----------
    rows, radius, growth_at_full_use : as in `read`

    Returns: [kg], 0 when the radius is not listed.  Errors: ValueError for a negative growth.
    Rules: chart-use, boom-deflection-telescopic, boom-deflection-lattice.  Source: `read` solved for the load.

    >>> largest_load([(10.0, 8000.0), (12.0, 6000.0)], 10.0, 1.0)
    6000.0
    """
    if not growth_at_full_use >= 0:
        raise ValueError(f"growth_at_full_use is {growth_at_full_use}; it is 0 or more")
    if radius < rows[0][0] * (1 - ROUNDING):
        return 0.0
    best = 0.0
    for listed, capacity in rows:
        if listed >= radius:
            room = (listed - radius) / growth_at_full_use if growth_at_full_use else 1.0
            best = max(best, capacity * min(1.0, room))
    return best
