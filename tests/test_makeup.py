"""Loads and slings from what is at hand, counted by hand; more of it in cases/makeup.yaml."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from calc import makeup
from calc.model import Sling, Weight, Yard


def weight(name: str, mass: float, count: int, length: float = 1.0, width: float = 1.0) -> Weight:
    return Weight(name, name, mass, length, width, 0.3, count)


def yard(weights: tuple[Weight, ...] = (), extensions: tuple[Sling, ...] = (), height: float = 0.6) -> Yard:
    return Yard("y", "y", weights, Sling("chain", "chain", 3.0, 80.0, 45000.0), extensions, height, 2.5, 1.7, None)


@pytest.mark.parametrize(("length", "width"), [(1.2, 0.5), (0.5, 1.2)])
def test_the_better_way_round_counts(length: float, width: float) -> None:
    """On 2.5 x 1.7 m two by three pieces of 1.2 x 0.5 m, turned only five by one."""
    piece = weight("piece", 100.0, 7, length, width)
    assert makeup.stack_height(((piece, 6),), 2.5, 1.7) == 0.3
    assert makeup.stack_height(((piece, 7),), 2.5, 1.7) == 0.6


def test_a_weight_larger_than_the_footprint() -> None:
    with pytest.raises(ValueError) as caught:
        makeup.stack_height(((weight("slab", 100.0, 1, 1.5),  1),), 1.4, 1.4)
    assert str(caught.value) == "slab does not fit on a footprint of 1.4 x 1.4 m"


def test_each_load_from_the_fewest_pieces() -> None:
    """2 t are one piece, whichever kind is listed first; 4 t are three pieces on two levels."""
    small, large = weight("small", 1000.0, 2), weight("large", 2000.0, 1)
    for weights in ((small, large), (large, small)):
        found = {load.mass: dict((w.id, n) for w, n in load.parts) for load in makeup.loads(yard(weights))}
        assert found == {1000.0: {"small": 1}, 2000.0: {"large": 1}, 3000.0: {"small": 1, "large": 1},
                         4000.0: {"small": 2, "large": 1}}


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
        for counts in product(*(range(kind.count + 1) for kind in kinds)):
            parts = tuple((kind, count) for kind, count in zip(kinds, counts, strict=True) if count)
            mass = sum((kind.mass * count for kind, count in parts), 0.0)
            if parts and makeup.stack_height(parts, 2.5, 1.7) <= here.load_height + 1e-9:
                fewest[mass] = min(fewest.get(mass, 99), sum(counts))
        found = makeup.loads(here)
        assert {load.mass: sum(count for _, count in load.parts) for load in found} == fewest
        assert [load.mass for load in found] == sorted(fewest)
        for load in found:
            assert load.mass == sum(kind.mass * count for kind, count in load.parts)
            assert makeup.stack_height(load.parts, 2.5, 1.7) <= here.load_height + 1e-9


def test_more_stacks_than_can_be_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    """None, one and two pieces of each of two kinds: nine stacks."""
    here = yard((weight("odd", 1000.0, 2), weight("even", 1400.0, 2)))
    monkeypatch.setattr(makeup, "MOST_STACKS", 9)
    assert len(makeup.loads(here)) == 8
    monkeypatch.setattr(makeup, "MOST_STACKS", 8)
    with pytest.raises(ValueError, match=r"^the weights make more than 8 loads$"):
        makeup.loads(here)


def test_the_stack_ends_at_its_height() -> None:
    """Two on a level 0.3 m high: six pieces stand 0.9 m high."""
    piece = weight("piece", 1000.0, 6)
    assert [load.mass for load in makeup.loads(yard((piece,), height=0.9))][-1] == 6000.0
    assert [load.mass for load in makeup.loads(yard((piece,), height=0.89))][-1] == 4000.0
    assert makeup.loads(yard((piece,), height=0.29)) == ()


def test_of_slings_of_one_length_the_lightest() -> None:
    """3 + 2 m as chain or as round slings; 3 + 2 + 2 m from both."""
    heavy, light = Sling("heavy", "heavy", 2.0, 40.0, 9000.0), Sling("light", "light", 2.0, 15.0, 8000.0)
    for extensions in ((heavy, light), (light, heavy)):
        found = makeup.slings(yard(extensions=extensions))
        assert [(one.length, one.mass, one.capacity) for one in found] == [
            (3.0, 80.0, 45000.0), (5.0, 95.0, 8000.0), (7.0, 135.0, 8000.0),
        ]
