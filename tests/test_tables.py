"""Rounding by hand, where a step more or less would show; more of it in cases/tables.yaml.

1 ft = 0.3048 m, exact by definition (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import pytest

from calc import tables


def test_steps() -> None:
    assert tables.diameter(0.645, "near").metric == "645 mm"
    assert tables.force(1234000.0, "down").metric == "1234.0 kN"
    assert tables.logged_mass(10015.0).metric == "10.02 t"
    assert tables.measured_diameter(0.1, "near").metric == "100.0 mm"
    assert tables.ratio(2.6, "near") == "2.6"
    assert tables.rope(0.9144, "up").us == "3 ft"
    assert tables.rope_diameter(0.1).metric == "100 mm"
    assert tables.speed(31 / 60, "down").metric == "31 m/min"


def test_what_is_no_step_or_no_side() -> None:
    for size in (0, -1, float("nan")):
        with pytest.raises(ValueError) as caught:
            tables.step(1.0, size, "up")
        assert str(caught.value) == f"size is {size}; it lies above 0"
    with pytest.raises(ValueError) as caught:
        tables.step(1.0, 1.0, "left")
    assert str(caught.value) == "side is 'left'; it is 'up', 'down' or 'near'"
