"""Rounding by hand, where a step more or less would show; more of it in cases/tables.yaml.

1 ft = 0.3048 m, exact by definition (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import rounding


def test_steps() -> None:
    assert rounding.diameter(0.645, "near").metric == "645 mm"
    assert rounding.force(1234000.0, "down").metric == "1234.0 kN"
    assert rounding.logged_mass(10015.0).metric == "10.02 t"
    assert rounding.measured_diameter(0.1, "near").metric == "100.0 mm"
    assert rounding.ratio(2.6, "near") == "2.6"
    assert rounding.rope(0.9144, "up").us == "3 ft"
    assert rounding.rope_diameter(0.1).metric == "100 mm"
    assert rounding.speed(31 / 60, "down").metric == "31 m/min"


def test_what_is_no_step_or_no_side() -> None:
    for size in (0, -1, float("nan")):
        with pytest.raises(ValueError, match=rf"^size is {size}; it lies above 0$"):
            rounding.step(1.0, size, "up")
    with pytest.raises(ValueError, match=r"^side is 'left'; it is 'up', 'down' or 'near'$"):
        rounding.step(1.0, 1.0, "left")


# A reading against its limit: 1 in = 25.4 mm exactly


@pytest.mark.parametrize(
    ("reading", "limit", "side", "shown"),
    [
        (25.55, 25.45, "up", ("25.55 mm", "25.45 mm", "1.0059 in", "1.0020 in")),  # 25.55/25.4 = 1.005906
        (25.45, 25.45, "up", ("25.45 mm", "25.45 mm", "1.0020 in", "1.0020 in")),  # 1.001969, the same number twice
        (25.444, 25.45, "up", ("25.44 mm", "25.45 mm", "1.0017 in", "1.0020 in")),
        (25.454, 25.45, "up", ("25.454 mm", "25.450 mm", "1.0021 in", "1.0020 in")),  # 25.45 twice with two decimals
        (21.115, 21.11375, "up", ("21.115 mm", "21.114 mm", "0.83130 in", "0.83125 in")),  # 95 % of 0.875 in
        (2.595, 2.6, "down", ("2.595 mm", "2.600 mm", "0.1022 in", "0.1023 in")),
    ],
)
def test_a_reading_and_its_limit(reading: float, limit: float, side: str, shown: tuple[str, ...]) -> None:
    read, of = rounding.against(reading / 1000, limit / 1000, side)
    assert (read.metric, of.metric, read.us, of.us) == shown


MICROMETRES = st.integers(1, 60_000)


@given(MICROMETRES, st.one_of(MICROMETRES, st.integers(-20, 20)), st.sampled_from(("up", "down")), st.booleans())
def test_what_differs_never_prints_alike(one: int, other: int, side: str, near: bool) -> None:
    """Any two diameters to a thousandth of a millimetre, far apart and close together, in both units."""
    reading, limit = one, max(1, one + other) if near else abs(other) or 1
    read, of = rounding.against(reading / 1e6, limit / 1e6, side)
    for first, second in zip(read, of, strict=True):
        left, right = (float(text.split()[0]) for text in (first, second))
        assert (left > right, left < right) == (reading > limit, reading < limit), (first, second)
        assert len(re.sub(r".*\.| .*", "", first)) == len(re.sub(r".*\.| .*", "", second))


@pytest.mark.parametrize(
    ("metres", "side", "metric", "us"),
    [
        (0.0001, "down", "0.10 mm", "0.0039 in"),  # 0.1/25.4 = 0.003937
        (0.0001, "up", "0.10 mm", "0.0040 in"),
        (0.000009, "down", "0.009 mm", "0.0003 in"),  # 0.000354
        (0.0, "down", "0.00 mm", "0.0000 in"),
    ],
)
def test_what_is_left_is_never_nothing_unless_it_is(metres: float, side: str, metric: str, us: str) -> None:
    assert rounding.margin(metres, side) == (metric, us)


@pytest.mark.parametrize(("fraction", "said"), [(0.9901, "99 %"), (0.99999, "99 %"), (1.0, "100 %"), (0.0, "0 %")])
def test_used_up_only_where_the_limit_is_reached(fraction: float, said: str) -> None:
    assert rounding.used_up(fraction) == said
