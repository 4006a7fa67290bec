"""Imports go one way, and each outside library has one door."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports

ROOT = Path(__file__).resolve().parent.parent
MODULES = sorted([*(ROOT / "calc").rglob("*.py"), *(ROOT / "hooks").rglob("*.py")])


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
    assert ("pint" in packages) == (here == "calc/data/units.py")
    assert ("mkdocs" in packages) == (here == "hooks/publish.py")
    assert ("click" in packages) == (here in ("calc/cli/commands.py", "calc/cli/shell.py"))
    assert not packages & {"numpy", "scipy"}, "the second computation in tests/independent has them to itself"
    if here.startswith("calc/"):
        assert not packages & {"hooks", "jinja2", "markupsafe", "material"}


def test_rooms_import_one_way() -> None:
    """The contracts of pyproject.toml."""
    assert lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True) == EXIT_STATUS_SUCCESS


# What they take of these modules reads neither clock nor environment: writing and opening files, the path from where
# the command was called, and the type of a time that is handed in or stands in a log.
HARMLESS = {
    "calc/data/days.py": {"datetime"},
    "calc/data/files.py": {"os.open", "os.O_RDONLY", "os.O_NONBLOCK", "os.close", "os.fstat", "os.path"},
    "calc/data/folders.py": {"os.path"},
    "calc/intake/put.py": {"os.open", "os.O_RDONLY", "os.close", "os.replace", "os.link", "os.fsync", "os.fchmod"},
    "calc/intake/run_sheet.py": {"datetime", "datetime.fromisoformat"},
}
OF_PATHS = {"abspath", "islink", "isdir"}  # of os.path; expandvars and expanduser read the environment


def taken(path: Path) -> set[str]:
    """What a file takes of the modules that could read clock or environment: `os.open`, `datetime.now`, a bare name."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    outer = {id(node.value): node for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and node.id in ("os", "datetime"):
            found.add(f"{node.id}.{outer[id(node)].attr}" if id(node) in outer else node.id)
        elif isinstance(node, ast.Attribute) and ast.unparse(node) == "os.path":
            assert id(node) in outer and outer[id(node)].attr in OF_PATHS, ast.unparse(outer.get(id(node), node))
    return found


@pytest.mark.parametrize("path", sorted((ROOT / "calc").rglob("*.py")), ids=lambda path: str(path.relative_to(ROOT)))
def test_only_the_command_line_reads_clock_and_environment(path: Path) -> None:
    if path != ROOT / "calc/cli/shell.py":
        here, names = str(path.relative_to(ROOT)), imported(path)
        clock = {name for name in names if name.partition(".")[0] in ("os", "time", "random", "locale")}
        clock |= names & {"datetime.datetime"}
        assert clock <= {"os", "datetime.datetime"} and bool(clock) == (here in HARMLESS)
        if clock:
            assert taken(path) == HARMLESS[here]
        tree = ast.parse(path.read_text(encoding="utf-8"))
        read = {ast.unparse(node) for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        assert not read & {"date.today", "datetime.date.today", "datetime.datetime.now", "Path.home"}
        assert "envvar" not in path.read_text(encoding="utf-8")  # click reads the environment for whoever names one


SECOND = ROOT / "tests/independent"
MAKE_PLANS = {"plans", "jumps", "__main__", "test_properties"}  # what the second computation is compared with


@pytest.mark.parametrize("path", sorted(SECOND.glob("*.py")), ids=lambda path: path.stem)
def test_the_second_computation_shares_nothing(path: Path) -> None:
    packages = {name.partition(".")[0] for name in imported(path)}
    assert not packages & {"calc", "hooks"} or path.stem in MAKE_PLANS
