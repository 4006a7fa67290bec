"""Making up the load from the weights of the yard, and the slings from the extensions at hand.

A load is one base piece, the largest in plan, which carries the rest inside its plan.  The legs of the slings hang from
the base, so the height of the stack does not lift the hook.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import combinations, product
from math import floor, fsum, prod, sin, sqrt
from typing import Any

from calc.data.yard import Sling, Weight, Yard
from calc.formulas import GRAIN

MOST_STACKS = 10_000  # a yard makes some hundred; each is stacked, and many are planned

Parts = tuple[tuple[Weight, int], ...]
Size = tuple[float, float]


@dataclass(frozen=True)
class Load:
    """One combination of yard weights: mass [kg], (weight, count) of each kind used, the piece that carries the rest,
    hanging height of the slings above its lifting points and height of the stack [m]."""

    mass: float
    parts: Parts
    base: Weight
    hanging_height: float
    stack_height: float
    sling_length: float  # of the set shackled to the base, without extensions

    @property
    def hook_height(self) -> float:
        """Hook above ground when the slings, without extensions, are just straight [m]."""
        return self.base.lifting_height + self.hanging_height

    @property
    def spread(self) -> float:
        """How much higher the hook would stand with the legs straight down [m]."""
        return self.sling_length - self.hanging_height


@dataclass(frozen=True)
class Slings:
    """Slings with the extensions hung between: total length [m], mass [kg], least rated capacity [kg]."""

    length: float
    mass: float = field(hash=False)  # the lengths of a yard differ, and slings are looked up many times
    capacity: float = field(hash=False)
    extensions: tuple[Sling, ...] = field(hash=False)


def hanging_height(sling_length: float, lifting_diagonal: float) -> float | None:
    """Height of the hook above the lifting points when the slings are just straight; None where they do not reach [m].

    u = sqrt(l_s^2 - a_s^2), a_s half the diagonal of the lifting points

    Errors: ValueError for a `sling_length` l_s not above 0 or a `lifting_diagonal` below 0 [m].  Source: geometry.

    >>> hanging_height(3.0, 3.6), hanging_height(1.0, 2.0)
    (2.4, None)
    """
    if not (sling_length > 0 and lifting_diagonal >= 0):
        raise ValueError(f"sling_length is {sling_length}, lifting_diagonal is {lifting_diagonal}; above 0, 0 or more")
    square = sling_length**2 - (lifting_diagonal / 2) ** 2
    return sqrt(square) if square > 0 else None


def stack_height(base: Weight, parts: Parts) -> float | None:
    """Height of a stack of these `parts`, the `base` among them, which carries the rest [m]; None where the rest does
    not lie inside its plan.

    Whole levels of one kind come first; what is left over of all kinds stands on one level on top where it has room
    side by side, else each kind on a level of its own.

    >>> slab = Weight("slab", "slab", 5000.0, 1.7, 1.25, 0.3, 3)
    >>> round(stack_height(slab, ((slab, 3),)), 3)
    0.9
    >>> block = Weight("block", "block", 500.0, 0.8, 0.6, 0.5, 3)
    >>> round(stack_height(slab, ((slab, 1), (block, 2))), 3), stack_height(block, ((slab, 1), (block, 1)))
    (0.8, None)
    """
    found = levels(base, parts)
    return None if found is None else base.height + sum(max(one.height for one in level) for level in found)


def levels(base: Weight, parts: Parts) -> list[list[Weight]] | None:
    """What lies on the base level by level, as `stack_height` counts it; None where it does not lie inside the plan.

    Parameters
    ----------
    base : the piece that carries the rest
    parts : (weight, count) pairs, the base among them

    Returns: the pieces of each level, from below.  Errors: none.  Source: geometry.

    >>> slab = Weight("slab", "slab", 5000.0, 1.7, 1.25, 0.3, 3)
    >>> [len(level) for level in levels(slab, ((slab, 3),))]
    [1, 1]
    """
    plan = (base.length, base.width)
    whole: list[list[Weight]] = []
    left: list[list[Weight]] = []
    for weight, count in parts:
        rest = count - 1 if weight is base else count
        if not rest:
            continue
        on_a_level = _per_level(weight, plan)
        if not on_a_level:
            return None
        whole += [[weight] * on_a_level] * (rest // on_a_level)
        if rest % on_a_level:
            left.append([weight] * (rest % on_a_level))
    together = [one for level in left for one in level]
    if len(left) > 1 and fits(plan, [(one.length, one.width) for one in together]):
        left = [together]
    return whole + left


def fits(plan: Size, pieces: Iterable[Size]) -> bool:
    """Whether `pieces` lie side by side inside a `plan`, in rows, all with the longer side along one way.

    A no may be wrong for an odd mixture, a yes never is.  Source: first fit in rows.

    >>> fits((2.5, 1.7), [(1.2, 1.0), (1.2, 1.0), (1.0, 0.7), (1.0, 0.7)]), fits((1.0, 1.0), [(1.0, 0.6), (0.6, 0.6)])
    (True, False)
    """
    pieces = list(pieces)
    return any(
        _in_rows(along, across, [(b, a) if turned else (a, b) for a, b in pieces])
        for along, across in (plan, plan[::-1])
        for turned in (False, True)
    )


def _in_rows(along: float, across: float, pieces: list[Size]) -> bool:
    """First fit: the deepest pieces first, each in the first row with room."""
    rows: list[float] = []
    used = 0.0
    for length, depth in sorted(pieces, key=lambda piece: (-piece[1], -piece[0])):
        at = next((n for n, filled in enumerate(rows) if filled + length <= along + GRAIN), None)
        if at is not None:
            rows[at] += length
            continue
        used += depth
        if length > along + GRAIN or used > across + GRAIN:
            return False
        rows.append(length)
    return True


def _per_level(weight: Weight, plan: Size) -> int:
    """How many of a weight lie side by side on a plan, the better way round."""
    length, width = plan
    return max(
        floor(length / weight.length + GRAIN) * floor(width / weight.width + GRAIN),
        floor(length / weight.width + GRAIN) * floor(width / weight.length + GRAIN),
    )


def loads(yard: Yard, stack_room: float, least_angle: float, in_pairs: bool = False) -> tuple[Load, ...]:
    """Every mass the `yard` can make up and hang, lightest first, each from the fewest pieces; of equals the one whose
    hook hangs lowest at the pick.

    `stack_room` lies between stack and hook [m]; the sling legs stand at the `least_angle` or steeper [rad];
    `in_pairs`, a load that the yard holds twice comes first, for a second one that waits.
    Errors: ValueError when there are more stacks than `MOST_STACKS`.  Rules: slings, stack-room.

    >>> slab = Weight("slab", "slab", 5000.0, 1.7, 1.25, 0.3, 2)
    >>> chain = Sling("chain", "chain", 3.0, 80.0, 45000.0)
    >>> [load.mass for load in loads(Yard("y", "y", (slab,), chain, (), 1.5, 2.5, 1.7, None), 0.5, 0.52)]
    [5000.0, 10000.0]
    """
    if stacks(yard) > MOST_STACKS:
        raise ValueError(f"the weights make more than {MOST_STACKS} loads")
    hung = {weight: _hung(weight, yard, least_angle) for weight in yard.weights}
    best: dict[float, tuple[tuple[Any, ...], Load]] = {}
    for counts in product(*(range(weight.count + 1) for weight in yard.weights)):
        parts = tuple((weight, n) for weight, n in zip(yard.weights, counts, strict=True) if n)
        if not parts:
            continue
        base = max((weight for weight, _ in parts), key=lambda weight: weight.length * weight.width)
        hanging = hung[base]
        if hanging is None:
            continue
        stack = stack_height(base, parts)
        room = min(yard.load_height, base.lifting_height + hanging - stack_room)
        if stack is None or stack > room + GRAIN:
            continue
        mass = fsum(weight.mass * n for weight, n in parts)  # the same in whatever order the file lists them
        load = Load(mass, parts, base, hanging, stack, yard.slings.length)
        names = sorted((weight.id, n) for weight, n in parts)  # not the order of the file
        order = (in_pairs and not twice(load), sum(counts), round(load.hook_height, 6), stack, names)
        key = round(mass, 9)  # 5,000 lb are as heavy as two times 2,500 lb, whatever their last binary digits
        if key not in best or order < best[key][0]:
            best[key] = order, load
    return tuple(best[mass][1] for mass in sorted(best))


def stacks(yard: Yard) -> int:
    """How many choices of weights a `yard` has, whether they stand or not; the choice of none is left out.

    >>> slab, chain = Weight("slab", "slab", 5000.0, 1.7, 1.25, 0.3, 2), Sling("chain", "chain", 3.0, 80.0, 45000.0)
    >>> stacks(Yard("y", "y", (slab, slab), chain, (), 1.5, 2.5, 1.7, None))
    8
    """
    return prod(weight.count + 1 for weight in yard.weights) - 1


def has_room(weight: Weight, yard: Yard) -> bool:
    """Whether one piece of a `weight`, either way round, has room in what a load of the `yard` may measure.

    >>> slab, chain = Weight("slab", "slab", 5000.0, 1.7, 1.25, 0.3, 2), Sling("chain", "chain", 3.0, 80.0, 45000.0)
    >>> [has_room(slab, Yard("y", "y", (slab,), chain, (), high, 2.5, 1.7, None)) for high in (0.3, 0.2)]
    [True, False]
    """
    room, size = sorted((yard.load_length, yard.load_width)), sorted((weight.length, weight.width))
    return weight.height <= yard.load_height + GRAIN and all(
        need <= have + GRAIN for have, need in zip(room, size, strict=True)
    )


def _hung(base: Weight, yard: Yard, least_angle: float) -> float | None:
    """Hanging height of the yard's slings on a base piece; None where it is too large for the yard's footprint or the
    legs do not reach or lie too flat [m]."""
    if not has_room(base, yard):
        return None
    height = hanging_height(yard.slings.length, base.lifting_diagonal)
    if height is None or height < yard.slings.length * sin(least_angle) - GRAIN:
        return None
    return height


def twice(load: Load) -> bool:
    """Whether the yard holds a `load` a second time, for one that waits while the first lies on the ground.

    >>> slab, chain = Weight("slab", "slab", 5000.0, 1.7, 1.25, 0.3, 2), Sling("chain", "chain", 3.0, 80.0, 45000.0)
    >>> [twice(load) for load in loads(Yard("y", "y", (slab,), chain, (), 1.5, 2.5, 1.7, None), 0.5, 0.52)]
    [True, False]
    """
    return all(2 * count <= weight.count for weight, count in load.parts)


def slings(yard: Yard) -> tuple[Slings, ...]:
    """Every sling length of the `yard`: the slings used first, then with each set of extensions, shortest first; of
    equal lengths the lightest.

    >>> chain, extension = (Sling("s", "s", length, 80.0, 45000.0) for length in (3.0, 2.0))
    >>> [found.length for found in slings(Yard("y", "y", (), chain, (extension,), 1.5, 2.5, 1.7, None))]
    [3.0, 5.0]
    """
    best: dict[float, Slings] = {}
    for count in range(len(yard.extensions) + 1):
        for chosen in combinations(yard.extensions, count):
            whole = (yard.slings, *chosen)
            found = Slings(
                round(fsum(part.length for part in whole), 9),
                fsum(part.mass for part in whole),
                min(part.capacity for part in whole),
                chosen,
            )
            if found.length not in best or found.mass < best[found.length].mass:
                best[found.length] = found
    return tuple(found for _, found in sorted(best.items()))
