"""Making up the load from the weights of the yard, and the slings from the extensions at hand.

May import: model.  Must not know: booms, charts, drums.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from math import ceil, floor

from calc.model import Sling, Weight, Yard

MOST_STACKS = 10_000  # a yard makes some hundred; each is planned in turn until one is firm


@dataclass(frozen=True)
class Load:
    """One combination of yard weights: mass [kg] and (weight, count) for each kind used."""

    mass: float
    parts: tuple[tuple[Weight, int], ...]


@dataclass(frozen=True)
class Slings:
    """Slings with the extensions hung between: total length [m], mass [kg], least rated capacity [kg]."""

    length: float
    mass: float
    capacity: float
    extensions: tuple[Sling, ...]


def stack_height(parts: tuple[tuple[Weight, int], ...], length: float, width: float) -> float:
    """Height of the load, each kind of weight laid on levels of its own within the footprint.

    sum over kinds of ceil(count / per_level)*height, per_level = floor(length/l)*floor(width/w), the better way round

    Parameters
    ----------
    parts : (weight, count) pairs
    length, width : footprint the load may take, [m]

    Returns: [m].  Errors: ValueError when a weight is larger than the footprint.  Source: geometry.

    >>> slab = Weight("slab", "slab", 5000.0, 1.7, 1.25, 0.3, 3)
    >>> stack_height(((slab, 3),), 2.5, 1.7)
    0.6
    """
    return sum((ceil(count / _per_level(weight, length, width)) * weight.height for weight, count in parts), 0.0)


def _per_level(weight: Weight, length: float, width: float) -> int:
    """How many of a weight lie side by side on a footprint, the better way round."""
    found = max(
        floor(length / weight.length) * floor(width / weight.width),
        floor(length / weight.width) * floor(width / weight.length),
    )
    if not found:
        raise ValueError(f"{weight.id} does not fit on a footprint of {length} x {width} m")
    return found


def loads(yard: Yard) -> tuple[Load, ...]:
    """Every mass the yard can make up within its stack height, lightest first, each from the fewest pieces.

    Parameters
    ----------
    yard : weights with counts, footprint and greatest stack height

    Returns: loads by growing mass; at least one weight each.
    Errors: as `stack_height`, and ValueError when there are more stacks of different mass or height than `MOST_STACKS`.
    Source: counting.

    >>> slab = Weight("slab", "slab", 5000.0, 1.7, 1.25, 0.3, 2)
    >>> chain = Sling("chain", "chain", 3.0, 80.0, 45000.0)
    >>> [load.mass for load in loads(Yard("y", "y", (slab,), chain, (), 1.5, 2.5, 1.7, None))]
    [5000.0, 10000.0]
    """
    stacks: dict[tuple[float, float], tuple[int, tuple[int, ...]]] = {(0.0, 0.0): (0, ())}
    for weight in yard.weights:
        on_a_level = _per_level(weight, yard.load_length, yard.load_width)
        higher: dict[tuple[float, float], tuple[int, tuple[int, ...]]] = {}
        for (mass, height), (pieces, counts) in stacks.items():
            for count in range(weight.count + 1):
                top = height + ceil(count / on_a_level) * weight.height
                if top > yard.load_height + 1e-9:
                    break
                one, made = (mass + weight.mass * count, top), (pieces + count, (*counts, count))
                higher[one] = min(higher.get(one, made), made)  # of equal stacks only the one of fewest pieces counts
            if len(higher) > MOST_STACKS:
                raise ValueError(f"the weights make more than {MOST_STACKS} loads")
        stacks = higher
    best: dict[float, tuple[int, tuple[int, ...]]] = {}
    for (mass, _), made in stacks.items():
        best[mass] = min(best.get(mass, made), made)
    return tuple(
        Load(mass, tuple((weight, n) for weight, n in zip(yard.weights, best[mass][1], strict=True) if n))
        for mass in sorted(best)
        if mass
    )


def slings(yard: Yard) -> tuple[Slings, ...]:
    """Every sling length at hand: the slings used first, then with each set of extensions, shortest first.

    Parameters
    ----------
    yard : slings and extensions

    Returns: by growing length; for equal lengths the lightest.  Errors: none.  Source: counting.

    >>> chain, extension = (Sling("s", "s", length, 80.0, 45000.0) for length in (3.0, 2.0))
    >>> [found.length for found in slings(Yard("y", "y", (), chain, (extension,), 1.5, 2.5, 1.7, None))]
    [3.0, 5.0]
    """
    best: dict[float, Slings] = {}
    for count in range(len(yard.extensions) + 1):
        for chosen in combinations(yard.extensions, count):
            whole = (yard.slings, *chosen)
            found = Slings(
                round(sum(part.length for part in whole), 9),
                sum(part.mass for part in whole),
                min(part.capacity for part in whole),
                chosen,
            )
            if found.length not in best or found.mass < best[found.length].mass:
                best[found.length] = found
    return tuple(found for _, found in sorted(best.items()))
