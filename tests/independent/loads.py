"""Loads made up from a yard: one base piece, the other weights stacked inside its plan, slung at the base.

Basis: the slings' legs run from the hook to the four lifting points of the base; Pythagoras gives how high they hang.
Weights of a kind share levels; what is left over may share the top level where it finds room side by side.  May
import: numpy.  Must not know: ropes, drums, `calc`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice, permutations, product
from math import asin, degrees, sqrt
from typing import Any

import numpy as np

Weight = dict[str, Any]
Counts = tuple[int, ...]
GRAIN = 1e-9
MOST_ORDERS = 24  # of pieces put down one after the other, when room on one level is looked for


@dataclass(frozen=True)
class Slung:
    """A load ready to hang: mass of its weights [kg], its base, and how the slings hang on it [m]."""

    counts: Counts
    net: float
    base: Weight
    points: float  # height of the lifting points above the ground
    hanging: float  # height of the slings from lifting points to hook

    @property
    def pick(self) -> float:
        """Height of the hook when the slings just come straight [m]."""
        return self.points + self.hanging


def hanging_height(leg: float, weight: Weight, least_angle: float) -> float | None:
    """How high slings with legs this long hang above the lifting points [m]; None where they come too flat [deg]."""
    half = weight["lifting_points_diagonal_m"] / 2
    if half >= leg:
        return None
    height = sqrt(leg**2 - half**2)
    return height if degrees(asin(height / leg)) >= least_angle - 1e-9 else None


def fits(inner: Weight, outer: Weight) -> bool:
    """Whether a piece lies inside the plan of another, turned by a right angle if need be."""
    return _per_level(inner, outer) > 0


def _per_level(inner: Weight, outer: Weight) -> int:
    def side_by_side(length: float, width: float) -> int:
        along, across = outer["length_m"] / length, outer["width_m"] / width
        return int(along + GRAIN) * int(across + GRAIN)

    a, b = inner["length_m"], inner["width_m"]
    return max(side_by_side(a, b), side_by_side(b, a))


def share_a_level(pieces: list[Weight], base: Weight) -> bool:
    """Whether pieces find room side by side inside the base's plan, tried in rows, in every order and either way."""
    area = sum(piece["length_m"] * piece["width_m"] for piece in pieces)
    if area > base["length_m"] * base["width_m"] + GRAIN or len(pieces) > 6:
        return False
    for order in islice(permutations(pieces), MOST_ORDERS):
        for turned in product((False, True), repeat=len(order)):
            sizes = [_laid(piece, turn) for piece, turn in zip(order, turned, strict=True)]
            if _in_rows(sizes, base["length_m"], base["width_m"]) or _in_rows(sizes, base["width_m"], base["length_m"]):
                return True
    return False


def _laid(piece: Weight, turned: bool) -> tuple[float, float]:
    sides = piece["length_m"], piece["width_m"]
    return (sides[1], sides[0]) if turned else sides


def _in_rows(sizes: list[tuple[float, float]], along: float, across: float) -> bool:
    """Put pieces down in rows, a new row where the last one is full."""
    used, deep, row = 0.0, 0.0, 0.0
    for length, width in sizes:
        if row + length > along + GRAIN:
            used, deep, row = used + deep, 0.0, 0.0
        row, deep = row + length, max(deep, width)
        if row > along + GRAIN:
            return False
    return used + deep <= across + GRAIN


def stack_tops(inputs: dict[str, Any], counts: Counts, base: Weight) -> Iterator[float]:
    """Tops a stack may have above the ground [m]: each kind's left-over pieces on a level of their own; then, where
    they find room, all of them side by side on one."""
    height, apart = base["height_m"], 0.0
    left: list[Weight] = []
    for weight, count in zip(inputs["weights"], counts, strict=True):
        on_top = count - (weight is base)
        whole, rest = divmod(on_top, _per_level(weight, base)) if on_top else (0, 0)
        height += whole * weight["height_m"]
        left += [weight] * rest
        apart += weight["height_m"] if rest else 0.0
    yield float(height + apart)
    if len(left) > 1 and share_a_level(left, base):
        yield float(height + max(weight["height_m"] for weight in left))


def slung(inputs: dict[str, Any], counts: Counts) -> Slung | None:
    """A load of so many weights of each kind, or None where no such load is to be made up."""
    used = [weight for weight, count in zip(inputs["weights"], counts, strict=True) if count]
    if not used:
        return None
    base = max(used, key=lambda weight: float(weight["length_m"] * weight["width_m"]))
    room = {"length_m": inputs["load_size_m"], "width_m": inputs["load_width_m"]}
    if not fits(base, room) or not all(fits(weight, base) for weight in used):
        return None
    hanging = hanging_height(inputs["slings"][0]["length_m"], base, inputs["sling_angle_least_deg"])
    if hanging is None:
        return None
    points = base["lifting_points_height_m"]
    most = min(inputs["load_height_m"], points + hanging - inputs["stack_room_m"])
    if all(top > most + GRAIN for top in stack_tops(inputs, counts, base)):
        return None
    return Slung(counts, mass(inputs, counts), base, points, hanging)


def mass(inputs: dict[str, Any], counts: Counts) -> float:
    return float(sum(weight["mass_kg"] * count for weight, count in zip(inputs["weights"], counts, strict=True)))


def of_yard(inputs: dict[str, Any], least: float, most: float) -> Iterator[Slung]:
    """Every load from `least` to `most` kilograms that the yard makes up, the lightest first.

    Of one mass the load a crew would make up: the fewest pieces, of those the lowest hook; where a second load has to
    wait beside the first, before all else one that the yard holds twice.
    """
    masses = np.zeros(1)
    for weight in inputs["weights"]:
        masses = np.add.outer(masses, weight["mass_kg"] * np.arange(weight["count"] + 1)).ravel()
    shape = [weight["count"] + 1 for weight in inputs["weights"]]

    def made(numbers: Iterable[Any]) -> Iterator[Slung]:
        for number in numbers:
            one = slung(inputs, tuple(int(count) for count in np.unravel_index(number, shape)))
            if one:
                yield one

    def place(one: Slung) -> tuple[bool, int, float]:
        waits = inputs["load_return"] == "second-load"
        return waits and not twice_at_hand(inputs, one.counts), sum(one.counts), one.pick

    numbers = np.argsort(masses, kind="stable")
    numbers = numbers[(masses[numbers] >= least - 1e-3) & (masses[numbers] <= most + 1e-3)]
    heavier = np.flatnonzero(np.diff(masses[numbers]) > 1e-3) + 1
    for alike in np.split(numbers, heavier):
        best = min(made(alike), key=place, default=None)
        if best:
            yield best


def twice_at_hand(inputs: dict[str, Any], counts: Counts) -> bool:
    """Whether the yard has the weights for a second load of the same kind beside the first."""
    return all(2 * count <= weight["count"] for count, weight in zip(counts, inputs["weights"], strict=True))


def highest_pick(inputs: dict[str, Any]) -> float | None:
    """Highest hook with the base set straight on any one piece of the yard, no extensions [m]."""
    leg, least = inputs["slings"][0]["length_m"], inputs["sling_angle_least_deg"]
    heights = [
        float(weight["lifting_points_height_m"] + hanging)
        for weight in inputs["weights"]
        if (hanging := hanging_height(leg, weight, least)) is not None
    ]
    return max(heights, default=None)
