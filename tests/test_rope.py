"""What rope refuses, word for word; its published tables stand in cases/rope.yaml."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from calc.formulas import rope

OUT_OF_RANGE: list[tuple[Callable[[], float], str]] = [
    (lambda: rope.minimum_breaking_force(0.2, "6x7 FC", 1770e6), "diameter is 0.2 m; it lies between 0.005 and 0.1 m"),
    (lambda: rope.mass_per_length(0.004, "6x7 FC"), "diameter is 0.004 m; it lies between 0.005 and 0.1 m"),
    (
        lambda: rope.minimum_breaking_force(0.02, "6x7 FC", 1770.0),
        "grade is 1770 N/m2; it lies between 1.37e+09 and 2.36e+09 N/m2",
    ),
    (lambda: rope.design_factor(0, 1), "breaking_force is 0 N; it lies above 0 N"),
    (lambda: rope.design_factor(1, float("nan")), "line_pull is nan N; it lies above 0 N"),
    (lambda: rope.winding_tension_share(-1, 1), "tension is -1 N; it is 0 N or more"),
    (lambda: rope.winding_tension_share(1, 0), "breaking_force is 0 N; it lies above 0 N"),
]


@pytest.mark.parametrize(("call", "message"), OUT_OF_RANGE)
def test_out_of_range(call: Callable[[], float], message: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()


def test_unknown_construction() -> None:
    with pytest.raises(ValueError, match="construction is '7x7'; known are 6x7 FC, "):
        rope.metallic_area(0.02, "7x7")


def test_the_highest_grades_have_a_smaller_factor() -> None:
    """35(W)x7 from grade 2160 on, not before: rope tables, from memory."""
    assert rope.minimum_breaking_force(0.020, "35(W)x7", 2159e6) == pytest.approx(0.360 * 0.020**2 * 2159e6)
    assert rope.minimum_breaking_force(0.020, "35(W)x7", 2160e6) == pytest.approx(0.350 * 0.020**2 * 2160e6)
