"""Quantities: what is read and what is refused; what each unit is worth stands in cases/units.yaml."""

from __future__ import annotations

import json
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.data import schema, units

# By the prefixes of the SI and by definition: "%" is 1/100.
PLAIN = [
    ("22.9 mm", "length", 0.0229),
    ("0.875 in", "length", 0.022225),
    ("24.5 m", "length", 24.5),
    ("0 m", "length", 0.0),
    ("88 kN", "force", 88000.0),
    ("8.8 t", "force", 86298.52),
    ("120 m/min", "speed", 2.0),
    ("75 kW", "power", 75000.0),
    ("5 min", "time", 300.0),
    ("2160 N/mm2", "stress", 2.16e9),
    ("420 mm2", "area", 4.2e-4),
    ("10 %", "share", 0.1),
]


@pytest.mark.parametrize(("text", "kind", "expected"), PLAIN)
def test_reads(text: str, kind: str, expected: float) -> None:
    assert units.read(text, kind) == expected


NO_PLAIN_NUMBER = ("24,5 m", "1,150 ft", "1_000 m", "1e3 m", "+3 m", "-3 m", "7/8 in", "012 m", ".5 m", "5. m", "٣ m")
NO_NUMBER_SPACE_UNIT = ("3  m", "3m", " 3 m", "3 m ", "3\tm", "3\u00a0m", "4 ft 6 in", "about 3 m", "", "m")


@pytest.mark.parametrize("text", [*NO_PLAIN_NUMBER, *NO_NUMBER_SPACE_UNIT, "nan m", "inf m"])
def test_refuses_what_is_not_a_plain_number_space_unit(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a quantity; write a plain number like 24\.5, a space and one of"):
        units.read(text, "length")


@pytest.mark.parametrize("text", ["290 M", "290 meter", "3 km", "3 cm", "3 ton", "290 kg", "3 m2", "3 µm"])
def test_refuses_a_unit_outside_the_list(text: str) -> None:
    told = f"'{text}' has the unit '{text.split()[1]}', not used here; write a number, a space and one of: m mm ft in"
    with pytest.raises(ValueError, match=f"^{re.escape(told)}$"):
        units.read(text, "length")


def test_a_number_alone_has_no_unit() -> None:
    with pytest.raises(ValueError, match=r"^'290' has no unit; write a number, a space and one of: m mm ft in$"):
        units.read("290", "length")


def test_force_fields_list_masses_too_and_mass_fields_no_forces() -> None:
    assert units.how("force").endswith("N kN lbf kg t lb")
    with pytest.raises(ValueError, match="not used here"):
        units.read("3 kN", "mass")


def test_kind_by_unit() -> None:
    assert {unit: units.kind_of(f"1 {unit}") for unit in ("t", "lbf", "m/min", "%", "N/mm2", "lb/ft")} == {
        "t": "mass",
        "lbf": "force",
        "m/min": "speed",
        "%": "share",
        "N/mm2": "stress",
        "lb/ft": "mass per length",
    }


@given(st.decimals(min_value=0, max_value=10**6, places=3))
def test_a_decimal_in_metres_is_the_nearest_float(number: Decimal) -> None:
    assert units.read(f"{number:f} m", "length") == float(number)


def test_patterns_in_the_schema_are_the_units_read_here() -> None:
    shared = json.loads((schema.FOLDER / "quantities.schema.json").read_text(encoding="utf-8"))["$defs"]
    quantities = {name: node for name, node in shared.items() if "quantity" in node and node["quantity"] != "any"}
    assert {node["quantity"] for node in quantities.values()} == set(units.FACTORS) - {"area"}
    for name, node in quantities.items():
        assert node["pattern"] == units.pattern(node["quantity"]), name


@pytest.mark.parametrize(("digits", "refused"), [(17, False), (40, False), (41, True), (400, True)])
def test_a_number_of_many_digits_is_read_one_of_too_many_refused(digits: int, refused: bool) -> None:
    """17 digits tell one IEEE 754 binary64 from the next (from memory), 400 of them would be endless in it."""
    text = "9" * digits + " m"
    if not refused:
        assert units.read(text, "length") == float("9" * digits)
        return
    with pytest.raises(ValueError, match="has more digits than anything is measured with; write a number, a space and"):
        units.read(text, "length")
