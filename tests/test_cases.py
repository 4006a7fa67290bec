"""Values from outside the project, each with its source, against calc; and the runner that compares them."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from conftest import DATA, DAY

from calc.data import files
from calc.formulas import drum
from calc.teaching import outside

ROOT = Path(__file__).resolve().parent.parent
CASES = ROOT / "tests" / "cases"

WORLD = outside.World(CASES, DATA.rules, DAY)
ALL = outside.load(CASES)


@pytest.mark.parametrize("case", ALL, ids=lambda case: f"{case.module}: {case.name}")
def test_case(case: outside.OutsideCase) -> None:
    for value in outside.run(case, WORLD):
        assert value.agrees, f"{value.label} expected {case.relation} {value.expected} +- {value.allowed}: {value.got}"


def test_there_are_enough_over_all_modules() -> None:
    count = Counter(case.module for case in ALL)
    assert set(count) >= set("drum rope boom reeving capacity makeup tables units rulebook contract".split())
    assert sum(count.values()) >= 60
    assert sum(case.read != "hand" for case in ALL) >= 40


def test_every_case_says_where_its_value_comes_from() -> None:
    """A hand calculation shows its steps, a tolerance wider than the printed digits says why, names are unique."""
    for case in ALL:
        assert case.source, case.name
        assert case.read != "hand" or case.working, f"{case.name}: a hand calculation shows its steps"
        assert bool(case.within) == bool(case.because), f"{case.name}: say why this tolerance"
    for module, count in Counter(case.module for case in ALL).items():
        names = {case.name for case in ALL if case.module == module}
        assert len(names) == count, f"two cases of {module} have one name"


# The runner


def _cases(folder: Path, text: str, module: str = "drum") -> Path:
    (folder / f"{module}.yaml").write_text(text, encoding="utf-8")
    return folder


DIAMETER = """
- name: n
  call: layer_diameter
  arguments: {groove_root_diameter: 400 mm, rope_diameter: 20 mm, rise_ratio: 1, layer: 5}
  source: s
  read: hand
"""


def _run(folder: Path, lines: str, start: str = DIAMETER, module: str = "drum") -> tuple[outside.Compared, ...]:
    text = start + "".join(f"  {line}\n" for line in lines.splitlines())
    (case,) = outside.load(_cases(folder, text, module))
    return outside.run(case, outside.World(folder, WORLD.rules, DAY))


@pytest.mark.parametrize(
    ("lines", "agrees", "allowed"),
    [
        ("expected: 580 mm", True, 0.5),
        ("expected: 580.4 mm", False, 0.05),
        ("expected: -580 mm", False, 0.5),
        ("expected: -580 mm\nwithin: 250 %", True, 1450.0),
        ("expected: 0.58 m", True, 0.005),
        ("expected: '0.59'", False, 0.005),
        ("expected: 580 lb", False, 0.5),  # the unit counts, whatever it is
        ("expected: 590 mm\nwithin: 2 %", True, 11.8),
        ("expected: 590 mm\nwithin: 1 %", False, 5.9),
        ("expected: 590 mm\nwithin: 10 mm", True, 10.0),
        ("expected: 579 mm\nrelation: at least", True, 0.0),
        ("expected: 581 mm\nrelation: at least", False, 0.0),
        ("expected: 581 mm\nrelation: at most", True, 0.0),
        ("expected: 579 mm\nrelation: at most", False, 0.0),
        ("expected: 579 mm\nrelation: at most\nwithin: 1 mm", True, 1.0),
    ],
)
def test_tolerance(tmp_path: Path, lines: str, agrees: bool, allowed: float) -> None:
    (value,) = _run(tmp_path, lines)
    assert (value.agrees, value.allowed) == (agrees, pytest.approx(allowed))


def test_a_table_is_compared_value_by_value(tmp_path: Path) -> None:
    values = _run(tmp_path, "vary: {layer: [1, 2, 3]}\nexpected: 420 470 500\nunit: mm")
    assert [v.agrees for v in values] == [True, False, True]
    assert [v.label for v in values] == ["layer 1", "layer 2", "layer 3"]
    assert values[1].got == pytest.approx(460) and values[1].difference == pytest.approx(-10)


@pytest.mark.parametrize(
    ("start", "said"),
    [
        (DIAMETER.replace("layer_diameter", "no_such"), "AttributeError: module 'calc.formulas.drum' has no"),
        (DIAMETER.replace("rise_ratio: 1", "rise_ratio: 2"), "ValueError: rise_ratio is 2; "),
        (DIAMETER.replace("400 mm", "{times: [1, 2]}"), "ValueError: 'times' is no form of a value; "),
        ("\n- name: n\n  rule: no-such.value\n  source: s\n  read: hand\n", "KeyError: 'no-such'"),
    ],
)
def test_what_goes_wrong_is_the_result(tmp_path: Path, start: str, said: str) -> None:
    (value,) = _run(tmp_path, "expected: 580 mm", start)
    assert not value.agrees
    assert str(value.got).startswith(said)


def test_arithmetic_constants_and_rules(tmp_path: Path) -> None:
    start = """
- name: n
  call: lead_line_tension
  arguments:
    block_weight: {sum: [{difference: [3 kN, 1 kN]}, {product: [2, 1 kN]}]}
    rope_weight: 0
    falls: {rule: dead-wraps-us.dead_wraps}
    fall_length: 0 m
    efficiency: {ratio: [1, 2]}
    sheaves_to_drum: 1
  source: s
  read: hand
"""
    # 4 kN on two falls: hauling T + T/2 = 4, T/0.5 = 5.333; paying out T + 2 T = 4, T*0.5 = 0.667
    values = _run(
        tmp_path, "vary: {direction: [HAULING, PAYING_OUT]}\nexpected: 5.333 0.667\nunit: kN", start, "reeving"
    )
    assert [v.agrees for v in values] == [True, True]


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ("expected: 0.58", "expected is the number 0.58; put it in quotes, so that its printed digits stay"),
        ("expected: 580 mm\nsurface: smooth", "unexpected keyword argument 'surface'"),
        ("expected: 580 mm\nvary: {layer: [1, 2, 3]}", "layer has 3 values, expected has 2"),
        ("expected: 580 mm\nrelation: about", "relation is 'about'; write one of: equal, at most, at least"),
    ],
)
def test_a_case_written_wrongly_is_told_with_its_line(tmp_path: Path, lines: str, said: str) -> None:
    with pytest.raises(files.Errors) as caught:
        _run(tmp_path, lines)
    assert str(caught.value).startswith("drum.yaml:2: [1]: ")
    assert said in str(caught.value)


# What holds for every value, not for some


def test_position_and_rope_at_are_inverse() -> None:
    layers = drum.layers(0.400, 0.020, 1.0, 30, 30, 235.6)
    for layer in layers:
        for wrap in (0.25, 1.0, 17.5, float(layer.wraps)):
            found = drum.position(layers, drum.rope_at(layers, layer.number, wrap))
            assert found == (layer.number, pytest.approx(wrap, abs=1e-9))
