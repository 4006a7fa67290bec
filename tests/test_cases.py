"""Values from outside the project, each with its source, against calc's physics."""

from __future__ import annotations

import importlib
from pathlib import Path
from typing import Any

import pytest
import yaml

from calc import drum, reeving

CASES = Path(__file__).parent / "cases"
REFERENCE = drum.layers(0.400, 0.020, 1.0, 30, 30, 235.6)  # the metric drum of cases/drum.yaml


def _cases() -> list[Any]:
    found = []
    for path in sorted(CASES.glob("*.yaml")):
        for case in yaml.safe_load(path.read_text(encoding="utf-8")):
            found.append(pytest.param(path.stem, case, id=f"{path.stem}: {case['name']}"))
    return found


@pytest.mark.parametrize(("module", "case"), _cases())
def test_case(module: str, case: dict[str, Any]) -> None:
    assert case["source"] and case["read"] in ("yes", "second-hand", "from-memory", "hand")
    arguments = {k: REFERENCE if v == "reference" else v for k, v in case["arguments"].items()}
    got = getattr(importlib.import_module(f"calc.{module}"), case["call"])(**arguments)
    for step in case.get("take", []):
        got = got[step] if isinstance(step, int) else getattr(got, step)
    got -= sum(case.get("less", []))
    assert got == pytest.approx(case["expected"], abs=case["within"], rel=0)


# Rigger's Handbook, p. 137, table of line-parts ratios (read): load / line pull for 1 to 24 parts.
RATIOS = {
    1.045: "0.96 1.87 2.75 3.59 4.39 5.16 5.90 6.60 7.27 7.91 8.52 9.11 9.68 10.2 10.7 11.2 11.7 12.2 12.6 13.0 13.4 "
    "13.8 14.2 14.5",
    1.02: "0.98 1.94 2.88 3.81 4.71 5.60 6.47 7.32 8.16 8.98 9.79 10.6 11.4 12.1 12.9 13.6 14.3 15.0 15.7 16.4 17.0 "
    "17.7 18.3 18.9",
}


@pytest.mark.parametrize(
    ("sheave", "parts", "printed"),
    [(k, n, float(v)) for k, row in RATIOS.items() for n, v in enumerate(row.split(), start=1)],
)
def test_line_parts_ratio(sheave: float, parts: int, printed: float) -> None:
    line_pull = reeving.lead_line_tension(1.0, 0.0, parts, 0.0, 1 / sheave, 1, reeving.HAULING)
    assert 1 / line_pull == pytest.approx(printed, rel=0.005)


def test_choice_of_parts_from_the_printed_ratio() -> None:
    """72,480 lb with 8,000 lb line pull: 12 parts on bronze, 11 on anti-friction bearings (the same handbook)."""
    for sheave, parts in ((1.045, 12), (1.02, 11)):
        enough = [
            n for n in range(1, 25)
            if reeving.lead_line_tension(72480.0, 0.0, n, 0.0, 1 / sheave, 1, reeving.HAULING) <= 8000.0
        ]
        assert enough[0] == parts


# Overhaul tables of two published work sheets (read): block weight = (boom length x rope weight + drum friction) x
# factor.  The factor of n parts equals the sum of K^i: here K = 1.045 (bronze).
BRONZE_OVERHAUL = [1.05, 2.15, 3.28, 4.48, 5.72, 7.03, 8.39, 9.80, 11.3, 12.8]


@pytest.mark.parametrize(("parts", "printed"), list(enumerate(BRONZE_OVERHAUL, start=1)))
def test_overhaul_factor(parts: int, printed: float) -> None:
    mass = reeving.block_mass_to_overhaul(9.80665, 0.0, parts, 0.0, 0.0, 0.0, 1 / 1.045, 1)
    assert mass == pytest.approx(printed, rel=0.007)


def test_overhaul_example_920_lb() -> None:
    """5 parts of 7/8 in. rope at 1.42 lb/ft, 50 ft boom, 100 lb drum friction, roller bearings: 920 lb (read)."""
    rope, boom_length, friction, pound_force = 1.42, 50.0, 100.0, 9.80665
    mass = reeving.block_mass_to_overhaul(
        friction * pound_force, rope * pound_force, 5, 0.0, boom_length, 0.0, 1 / 1.0245, 1
    )
    assert mass == pytest.approx(920.0, rel=0.007)


def test_sheave_by_sheave_balance() -> None:
    """The worked check of the force balance: 4 falls, e 0.98, 20,000 N, 30 N/m, 40 m falls, head 50 m, winch 2 m."""
    expected = {reeving.HAULING: 5054.7, reeving.PAYING_OUT: 4476.8, reeving.STANDING: 4760.0}
    for direction, tension in expected.items():
        lead = reeving.lead_line_tension(20000, 30, 4, 40, 0.98, 1, direction)
        assert reeving.drum_tension(lead, 30, 50, 2) == pytest.approx(tension, abs=0.05)
        back = reeving.mass_for_drum_tension(tension, 30, 4, 40, 50, 2, 0.98, 1, direction)
        assert back * 9.80665 == pytest.approx(20000, abs=0.3)


@pytest.mark.parametrize(
    "call",
    [
        lambda: drum.layer_diameter(0.4, 0.02, 1.1, 1),
        lambda: drum.position(REFERENCE, 236.0),
        lambda: drum.position(REFERENCE, 0.0),
        lambda: reeving.fall_sums(0, 0.98),
        lambda: reeving.sheave_factor(1.01, reeving.HAULING),
        lambda: reeving.relaxed_wraps(1.0, 0.0, 0.1),
        lambda: reeving.falls_estimate(20.0, 20.0),
    ],
)
def test_out_of_range_is_refused(call: Any) -> None:
    with pytest.raises(ValueError, match=r"is -?[0-9.]+"):
        call()


def test_position_and_rope_at_are_inverse() -> None:
    for layer in REFERENCE:
        for wrap in (0.25, 1.0, 17.5, float(layer.wraps)):
            found = drum.position(REFERENCE, drum.rope_at(REFERENCE, layer.number, wrap))
            assert found == (layer.number, pytest.approx(wrap, abs=1e-9))
