"""Loads and slings from what is at hand, counted by hand; more of it in cases/makeup.yaml."""

from __future__ import annotations

from itertools import product
from math import asin, radians, sqrt
from random import Random

import pytest

from calc.data.yard import Sling, Weight, Yard
from calc.winding import makeup

FLAT = radians(30.0)


def weight(name: str, mass: float, count: int, length: float = 1.0, width: float = 1.0, height: float = 0.3) -> Weight:
    return Weight(name, name, mass, length, width, height, count)


def yard(
    weights: tuple[Weight, ...] = (),
    extensions: tuple[Sling, ...] = (),
    height: float = 0.6,
    slings: float = 3.0,
    footprint: tuple[float, float] = (2.5, 1.7),
) -> Yard:
    chain = Sling("chain", "chain", slings, 80.0, 45000.0)
    return Yard("y", "y", weights, chain, extensions, height, *footprint, None)


def loads(here: Yard, room: float = 0.5, angle: float = FLAT) -> tuple[makeup.Load, ...]:
    return makeup.loads(here, room, angle)


def counts(load: makeup.Load) -> dict[str, int]:
    return {w.id: n for w, n in load.parts}


# -- the stack --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("length", "width"), [(1.2, 0.5), (0.5, 1.2)])
def test_the_better_way_round_counts(length: float, width: float) -> None:
    """On 2.5 x 1.7 m two by three pieces of 1.2 x 0.5 m, turned only five by one."""
    base, piece = weight("base", 1e3, 1, 2.5, 1.7), weight("piece", 100.0, 7, length, width)
    assert makeup.stack_height(base, ((base, 1), (piece, 6))) == pytest.approx(0.6)
    assert makeup.stack_height(base, ((base, 1), (piece, 7))) == pytest.approx(0.9)


@pytest.mark.parametrize(
    ("pieces", "height"),
    [
        ({}, 0.3),
        ({"a": 1}, 0.3 + 0.5),
        ({"a": 2}, 0.3 + 0.5),  # 1.0 + 1.0 m on 2.0 m
        ({"a": 3}, 0.3 + 2 * 0.5),
        ({"a": 1, "b": 1}, 0.3 + 0.5),  # side by side: 1.0 m and 1.0 m; the higher counts
        ({"a": 1, "b": 2}, 0.3 + 0.5 + 0.2),  # b fills a level, a stands on it
        ({"a": 2, "b": 1}, 0.3 + 0.5 + 0.2),
        ({"a": 3, "b": 1}, 0.3 + 0.5 + 0.5),
        ({"a": 1, "c": 1}, 0.3 + 0.5 + 0.1),  # 1.0 and 1.2 m have no room side by side: each on its own
    ],
)
def test_whole_levels_then_what_is_left_over(pieces: dict[str, int], height: float) -> None:
    """On 2.0 x 1.0 m: a 1.0 x 1.0 x 0.5, b 1.0 x 0.9 x 0.2, c 1.2 x 1.0 x 0.1 m."""
    base = weight("base", 1e3, 1, 2.0, 1.0)
    kinds = {
        "a": weight("a", 1.0, 9, 1.0, 1.0, 0.5),
        "b": weight("b", 1.0, 9, 1.0, 0.9, 0.2),
        "c": weight("c", 1.0, 9, 1.2, 1.0, 0.1),
    }
    parts = ((base, 1), *((kinds[name], count) for name, count in pieces.items()))
    assert makeup.stack_height(base, parts) == pytest.approx(height)


def test_what_lies_over_the_edge_of_the_base_is_no_stack() -> None:
    base = weight("base", 1e3, 3, 1.0, 1.0)
    assert makeup.stack_height(base, ((base, 1), (weight("long", 1.0, 1, 1.01, 0.2), 1))) is None
    assert makeup.stack_height(base, ((base, 3),)) == pytest.approx(0.9)  # a base carries its like


@pytest.mark.parametrize(
    ("plan", "pieces", "yes"),
    [
        ((2.0, 1.0), [(1.0, 1.0), (1.0, 1.0)], True),
        ((2.0, 1.0), [(1.0, 1.0), (1.01, 1.0)], False),
        ((1.0, 2.0), [(1.0, 1.0), (1.0, 1.0)], True),
        ((2.0, 1.0), [(1.0, 0.5)] * 4, True),
        ((2.0, 1.0), [(1.0, 0.5)] * 5, False),
        ((2.0, 1.0), [(0.5, 1.0)] * 4, True),  # turned
        ((3.0, 2.0), [(3.0, 1.0), (1.5, 1.0), (1.5, 1.0)], True),
        ((3.0, 2.0), [(3.0, 1.0), (1.5, 1.1)], False),
        ((0.3, 0.3), [(0.1, 0.1)] * 9, True),  # sums of floats
        ((2.0, 1.0), [], True),
    ],
)
def test_side_by_side(plan: tuple[float, float], pieces: list[tuple[float, float]], yes: bool) -> None:
    assert makeup.fits(plan, pieces) == yes


# -- how it hangs -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("length", "diagonal", "height"), [(5.0, 6.0, 4.0), (5.0, 0.0, 5.0), (3.0, 6.0, None)])
def test_hanging_height(length: float, diagonal: float, height: float | None) -> None:
    assert makeup.hanging_height(length, diagonal) == height


@pytest.mark.parametrize(("length", "diagonal"), [(0.0, 1.0), (-1.0, 1.0), (1.0, -0.1), (float("nan"), 1.0)])
def test_hanging_height_out_of_range(length: float, diagonal: float) -> None:
    with pytest.raises(ValueError, match=f"sling_length is {length}"):
        makeup.hanging_height(length, diagonal)


def test_legs_that_lie_too_flat_carry_nothing() -> None:
    """Half a diagonal of 1.8 m: legs of 2 m stand at 25.8 degrees, of 2.08 m at 30.1."""
    slab = Weight("slab", "slab", 5e3, 2.5, 1.7, 0.3, 1, (0.2, 3.6))
    assert loads(yard((slab,), slings=2.0)) == ()
    (load,) = loads(yard((slab,), slings=2.08))
    assert load.hanging_height == pytest.approx(sqrt(2.08**2 - 1.8**2))
    (load,) = loads(yard((slab,), slings=3.0), angle=asin(0.8))  # 2.4 of 3 m: the limit itself
    assert load.hook_height == pytest.approx(0.2 + 2.4)
    assert load.spread == pytest.approx(0.6)
    assert loads(yard((slab,), slings=3.0), angle=asin(0.8) + 0.001) == ()
    assert loads(yard((slab,), slings=1.7)) == ()  # they do not reach


def test_the_largest_piece_carries_the_rest() -> None:
    """Its points and its diagonal decide, whatever stands on it."""
    slab = Weight("slab", "slab", 5e3, 1.7, 1.25, 0.3, 1, (0.15, 2.0))
    block = Weight("block", "block", 1e3, 0.8, 0.6, 0.5, 1, (0.5, 1.0))
    one, five, six = loads(yard((block, slab), height=1.5))
    assert (one.mass, one.base, one.hook_height) == (1e3, block, pytest.approx(0.5 + sqrt(9 - 0.25)))
    assert (six.mass, six.base, six.stack_height) == (6e3, slab, pytest.approx(0.8))
    assert six.hook_height == five.hook_height == pytest.approx(0.15 + sqrt(8))


def test_a_stack_leaves_room_under_the_hook() -> None:
    """Points 0.3 m up and 1 m of hanging height: with 0.5 m of room no more than 0.8 m of stack."""
    slab = Weight("slab", "slab", 5e3, 1.0, 1.0, 0.3, 3, (0.3, 2 * sqrt(1.5**2 - 1.0)))
    here = yard((slab,), height=9.0, slings=1.5)
    assert [load.mass for load in loads(here)] == [5e3, 10e3]
    assert [load.mass for load in loads(here, 0.4)] == [5e3, 10e3, 15e3]  # 0.9 m: the limit itself
    assert [load.mass for load in loads(here, 1.01)] == []


def test_a_piece_too_large_for_the_footprint_is_no_base() -> None:
    long = weight("long", 5e3, 1, 2.6, 0.5)
    assert loads(yard((long,))) == ()
    assert loads(yard((long,), footprint=(0.5, 2.6)))[0].mass == 5e3  # either way round


# -- every load -------------------------------------------------------------------------------------------------------


def test_each_load_from_the_fewest_pieces() -> None:
    """2 t are one piece, whichever kind is listed first; 4 t are three pieces, one on two."""
    small, large = weight("small", 1000.0, 2), weight("large", 2000.0, 1)
    for weights in ((small, large), (large, small)):
        found = {load.mass: counts(load) for load in loads(yard(weights, height=0.9))}
        assert found == {
            1000.0: {"small": 1},
            2000.0: {"large": 1},
            3000.0: {"small": 1, "large": 1},
            4000.0: {"small": 2, "large": 1},
        }


def test_masses_in_pounds_are_equal_too() -> None:
    """5,750 lb are three pieces or seven, in kilograms apart in the last binary digit; the three count."""
    pound = 0.45359237
    pounds = {"a": (5000, 1), "b": (2500, 1), "c": (1000, 2), "d": (500, 2), "e": (250, 1)}
    kinds = tuple(weight(name, mass * pound, count) for name, (mass, count) in pounds.items())
    found = [load for load in loads(yard(kinds, height=9.0), room=-9.0) if abs(load.mass - 5750 * pound) < 1.0]
    assert [counts(load) for load in found] == [{"a": 1, "d": 1, "e": 1}]


def test_every_load_is_found() -> None:
    """Some yards with odd masses, every choice of counts looked at one by one."""
    draw = Random(7)
    for _ in range(30):
        kinds = tuple(
            weight(f"w{n}", draw.choice([500.0, 1000.0, 1010.5]), draw.randint(1, 3), draw.choice([0.8, 1.3, 2.5]))
            for n in range(4)
        )
        here = yard(kinds, height=draw.choice([0.6, 0.9]))
        fewest: dict[float, int] = {}
        for of in product(*(range(kind.count + 1) for kind in kinds)):
            parts = tuple((kind, count) for kind, count in zip(kinds, of, strict=True) if count)
            mass = sum((kind.mass * count for kind, count in parts), 0.0)
            base = max((kind for kind, _ in parts), key=lambda kind: kind.length, default=None)
            stack = makeup.stack_height(base, parts) if base else None
            if stack is not None and stack <= here.load_height + 1e-9:
                fewest[mass] = min(fewest.get(mass, 99), sum(of))
        found = loads(here)
        assert {load.mass: sum(count for _, count in load.parts) for load in found} == fewest
        assert [load.mass for load in found] == sorted(fewest)
        for load in found:
            assert load.mass == sum(kind.mass * count for kind, count in load.parts)
            assert makeup.stack_height(load.base, load.parts) == load.stack_height


def test_more_stacks_than_can_be_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    """None, one and two pieces of each of two kinds, all but the choice of none: eight stacks."""
    here = yard((weight("odd", 1000.0, 2), weight("even", 1400.0, 2)), height=2.0)
    assert makeup.stacks(here) == 8
    monkeypatch.setattr(makeup, "MOST_STACKS", 8)
    assert len(loads(here)) == 8
    monkeypatch.setattr(makeup, "MOST_STACKS", 7)
    with pytest.raises(ValueError, match=r"^the weights make more than 7 loads$"):
        loads(here)


def test_the_stack_ends_at_its_height() -> None:
    """One on the other, 0.3 m each."""
    piece = weight("piece", 1000.0, 6)
    assert [load.mass for load in loads(yard((piece,), height=0.9))][-1] == 3000.0
    assert [load.mass for load in loads(yard((piece,), height=0.89))][-1] == 2000.0
    assert loads(yard((piece,), height=0.29)) == ()


def test_a_load_that_waits_needs_its_own_weights() -> None:
    large, small = weight("large", 2000.0, 1, 1.2, 1.2), weight("small", 1000.0, 2)
    found = {load.mass: makeup.twice(load) for load in loads(yard((large, small), height=0.9))}
    assert found == {1000.0: True, 2000.0: False, 3000.0: False, 4000.0: False}
    assert not makeup.twice(next(load for load in loads(yard((small,))) if load.mass == 2000.0))


def test_of_equal_loads_the_one_with_the_lowest_hook_or_the_one_that_is_there_twice() -> None:
    """2 t as one piece, points 0.3 or 0.6 m up; or as two of 1 t, of which there are four."""
    low = Weight("low", "low", 2000.0, 1.0, 1.0, 0.3, 1, (0.3, 1.0))
    high = Weight("high", "high", 2000.0, 1.0, 1.0, 0.3, 1, (0.6, 1.0))
    half = weight("half", 1000.0, 4)
    for kinds in ((low, high, half), (half, high, low)):
        here = yard(kinds)

        def made(in_pairs: bool, here: Yard = here) -> dict[str, int]:
            return counts(next(load for load in makeup.loads(here, 0.5, FLAT, in_pairs) if load.mass == 2000.0))

        assert made(False) == {"low": 1}
        assert made(True) == {"half": 2}


# -- slings -----------------------------------------------------------------------------------------------------------


def test_of_slings_of_one_length_the_lightest() -> None:
    """3 + 2 m as chain or as round slings; 3 + 2 + 2 m from both."""
    heavy, light = Sling("heavy", "heavy", 2.0, 40.0, 9000.0), Sling("light", "light", 2.0, 15.0, 8000.0)
    for extensions in ((heavy, light), (light, heavy)):
        found = makeup.slings(yard(extensions=extensions))
        assert [(one.length, one.mass, one.capacity) for one in found] == [
            (3.0, 80.0, 45000.0),
            (5.0, 95.0, 8000.0),
            (7.0, 135.0, 8000.0),
        ]
