"""Breaking force and mass against published tables."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from calc import rope

# Source: API Spec 9A / ISO 10425, Table C.1, 6x7 fibre core, read in a public copy:
# diameter [mm], mass [kg/100 m], minimum breaking force [kN] at 1770 and at 1960 N/mm2.
TABLE_C1 = [
    (6, "12.4", "21.2", "23.4"),
    (8, "22.1", "37.6", "41.6"),
    (10, "34.5", "58.8", "65.1"),
    (12, "49.7", "84.6", "93.7"),
    (16, "88.3", "150", "167"),
    (20, "138", "235", "260"),
    (24, "199", "338", "375"),
    (28, "270", "461", "510"),
    (32, "353", "602", "666"),
    (36, "447", "762", "843"),
    (40, "552", "940", "1040"),
]


def agrees(value: float, printed: str) -> bool:
    """Within half a unit of the last printed digit; four-digit cells are printed to the next ten."""
    last = 10.0 if len(printed) == 4 and "." not in printed else 10.0 ** -len(printed.partition(".")[2])
    return abs(value - float(printed)) <= last / 2 + 1e-9


@pytest.mark.parametrize(("diameter", "mass", "force_1770", "force_1960"), TABLE_C1)
def test_iso_10425_table_c1(diameter: int, mass: str, force_1770: str, force_1960: str) -> None:
    d = diameter / 1000
    assert agrees(rope.mass_per_length(d, "6x7 FC") * 100, mass)
    assert agrees(rope.minimum_breaking_force(d, "6x7 FC", 1770e6) / 1000, force_1770)
    assert agrees(rope.minimum_breaking_force(d, "6x7 FC", 1960e6) / 1000, force_1960)


# Source: published strength table, 6x19 fibre core, improved plow steel (1770 N/mm2), read in a public copy:
# diameter [in], minimum strength [lbf], weight [lb/ft].  Inch ropes are made a little oversize: 8 %.
INCH_6X19 = [(0.5, 21_400, 0.42), (0.75, 47_600, 0.95), (1.0, 83_600, 1.68), (1.25, 129_200, 2.63)]


@pytest.mark.parametrize(("inches", "pounds", "weight"), INCH_6X19)
def test_inch_table(inches: float, pounds: float, weight: float) -> None:
    d = inches * 0.0254
    assert rope.minimum_breaking_force(d, "6x19 FC", 1770e6) == pytest.approx(pounds * 4.448222, rel=0.08)
    assert rope.mass_per_length(d, "6x19 FC") == pytest.approx(weight * 1.488164, rel=0.08)


def test_35wx7_from_memory() -> None:
    """20 mm 35(W)x7: 282 kN at 1960, 1.82 kg/m, less force factor at 2160; rope tables, from memory."""
    assert rope.minimum_breaking_force(0.020, "35(W)x7", 1960e6) == pytest.approx(282e3, rel=0.002)
    assert rope.mass_per_length(0.020, "35(W)x7") == pytest.approx(1.82, abs=0.005)
    assert rope.minimum_breaking_force(0.020, "35(W)x7", 2160e6) == pytest.approx(0.350 * 400 * 2160)
    assert rope.minimum_breaking_force(0.020, "35(W)x7", 2159e6) == pytest.approx(0.360 * 400 * 2159)


def test_metallic_area() -> None:
    """20 mm 6x36 with steel core: 184 mm2, rope tables, second-hand."""
    assert rope.metallic_area(0.020, "6x36WS-IWRC") == pytest.approx(184e-6, rel=0.001)


def test_design_factor() -> None:
    """ISO 4308-1 as quoted (second-hand): Zp 4.5, K' 0.356, R0 1770, S 50 kN give d >= 18.9 mm."""
    force = rope.minimum_breaking_force(0.0189, "6x36WS-IWRC", 1770e6)
    assert rope.design_factor(force, 50e3) == pytest.approx(4.5, rel=0.002)


OUT_OF_RANGE: list[tuple[Callable[[], float], str]] = [
    (lambda: rope.minimum_breaking_force(0.2, "6x7 FC", 1770e6), "diameter is 0.2 m; it lies between 0.005 and 0.1 m"),
    (lambda: rope.mass_per_length(0.004, "6x7 FC"), "diameter is 0.004 m; it lies between 0.005 and 0.1 m"),
    (
        lambda: rope.minimum_breaking_force(0.02, "6x7 FC", 1770.0),
        "grade is 1770 N/m2; it lies between 1.37e+09 and 2.36e+09 N/m2",
    ),
    (lambda: rope.design_factor(0, 1), "breaking_force is 0 N; it lies above 0 N"),
    (lambda: rope.design_factor(1, float("nan")), "line_pull is nan N; it lies above 0 N"),
]


@pytest.mark.parametrize(("call", "message"), OUT_OF_RANGE)
def test_out_of_range(call: Callable[[], float], message: str) -> None:
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message


def test_unknown_construction() -> None:
    with pytest.raises(ValueError, match="construction is '7x7'; known are 6x7 FC, "):
        rope.metallic_area(0.02, "7x7")
