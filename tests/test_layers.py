"""Imports go one way, and each outside library has one door."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
MODULES = sorted([*(ROOT / "calc").glob("*.py"), *(ROOT / "hooks").rglob("*.py")])

# Lowest first: a module may import from lower lines only.
CALC_LAYERS = [
    {"units", "files", "tables", "model", "drum", "boom", "reeving", "capacity", "rope", "worked"},
    {"schema", "csv_table", "makeup", "ledger", "discard", "readings"},
    {"build", "rulebook", "rig", "judging", "summary", "rope_summary"},
    {"plausible", "crossing", "table_check", "moves", "firm", "zones", "review"},
    {"duration", "duty"},
    {"methods"},
    {"winding"},
    {"heavier", "counting", "logbook", "ready", "everyday", "lasting"},
    {"helping", "duty_csv"},
    {"check", "contract", "sensitivity", "choose"},
    {"outside", "settings"},
    {"state", "readiness", "fitness", "shortening", "new_rope", "logged", "upkeep_add", "chart_csv", "template"},
    {"exercises", "fleet"},
    {"exercise_text"},
    {"record"},
    {"compare"},
    {"ahead"},
    {"__main__"},
]

CONSTANTS = {"STANDARD_GRAVITY", "ROUNDING"}  # of calc itself


def imported(path: Path) -> set[str]:
    """Dotted names of everything a file imports, `from a import b` as both a and a.b."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            found |= {node.module or ""} | {f"{node.module}.{alias.name}" for alias in node.names}
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_outside_libraries_have_one_door(path: Path) -> None:
    here = str(path.relative_to(ROOT))
    packages = {name.partition(".")[0] for name in imported(path)}
    assert ("pint" in packages) == (here == "calc/units.py")
    assert ("mkdocs" in packages) == (here == "hooks/publish.py")
    assert not packages & {"numpy", "scipy"}, "the second computation in tests/independent has them to itself"
    if here.startswith("calc/"):
        assert not packages & {"hooks", "jinja2", "markupsafe", "material"}


@pytest.mark.parametrize("path", sorted((ROOT / "calc").glob("*.py")), ids=lambda path: path.stem)
def test_calc_imports_downward(path: Path) -> None:
    if path.stem == "__init__":
        assert not {name for name in imported(path) if name.startswith("calc.")}
        return
    level = next((at for at, names in enumerate(CALC_LAYERS) if path.stem in names), None)
    assert level is not None, f"calc/{path.name} has no layer yet; give it one here"
    below = set().union(*CALC_LAYERS[: level + 1]) - {path.stem}
    used = {name.split(".")[1] for name in imported(path) if name.startswith("calc.")} - CONSTANTS
    assert used <= below, f"calc/{path.name} imports upward: {sorted(used - below)}"


@pytest.mark.parametrize("path", sorted((ROOT / "calc").glob("*.py")), ids=lambda path: path.stem)
def test_only_the_command_line_reads_clock_and_environment(path: Path) -> None:
    if path.stem != "__main__":
        assert not imported(path) & {"os", "time", "datetime.datetime", "random", "locale"}


SECOND = ROOT / "tests/independent"
MAKE_PLANS = {"plans", "jumps", "__main__", "test_properties"}  # what the second computation is compared with


@pytest.mark.parametrize("path", sorted(SECOND.glob("*.py")), ids=lambda path: path.stem)
def test_the_second_computation_shares_nothing(path: Path) -> None:
    packages = {name.partition(".")[0] for name in imported(path)}
    assert not packages & {"calc", "hooks"} or path.stem in MAKE_PLANS
