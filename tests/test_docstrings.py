"""Docstrings of calc: a summary each, the whole block for a formula, examples that run, one list of symbols.

The form of those in calc/formulas (summary, blank lines, underlined heading) is ruff's to check, by numpy's convention.
"""

from __future__ import annotations

import cProfile
import importlib
import inspect
import json
import pkgutil
import re
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from a_record import a_record
from conftest import DATA, DAY
from data_folder import keep_booms

import calc
from calc import formulas
from calc.cli.commands import main
from calc.intake import duty_csv
from hooks.building import generated

ROOT = Path(__file__).resolve().parent.parent
NAMES = sorted(one.name for one in pkgutil.walk_packages(calc.__path__, "calc.") if one.name != "calc.__main__")
MODULES: dict[str, ModuleType] = {name.rpartition(".")[2]: importlib.import_module(name) for name in NAMES}

# Formulas: the whole docstring, and every parameter in the list of symbols.
PHYSICS = ("boom", "capacity", "drum", "ledger", "reeving", "rope")


def _public(kind: Callable[[Any], bool]) -> list[tuple[str, str, Any]]:
    """(module, name, object) of everything public that is defined in calc itself."""
    found = []
    for module, here in MODULES.items():
        for name, value in vars(here).items():
            if not name.startswith("_") and getattr(value, "__module__", None) == here.__name__ and kind(value):
                found.append((module, name, value))
    return found


def _is_function(value: Any) -> bool:
    return inspect.isfunction(inspect.unwrap(value)) if callable(value) and not inspect.isclass(value) else False


FUNCTIONS = [pytest.param(*each, id=f"{each[0]}.{each[1]}") for each in _public(_is_function)]
CLASSES = [pytest.param(*each, id=f"{each[0]}.{each[1]}") for each in _public(inspect.isclass)]


def _doc(value: Any) -> str:
    return inspect.cleandoc(inspect.unwrap(value).__doc__ or "").strip()


def _parameters(function: Any) -> list[str]:
    return list(inspect.signature(inspect.unwrap(function)).parameters)


@pytest.mark.parametrize(
    ("module", "name", "function"), [param for param in FUNCTIONS if ".formulas." not in param.values[2].__module__]
)
def test_begins_with_a_summary(module: str, name: str, function: Any) -> None:
    first = _doc(function).partition("\n\n")[0]
    assert first and first[0].isupper() and re.search(r"[.:]$", first), "begin with one whole sentence"


@pytest.mark.parametrize(("module", "name", "value"), CLASSES)
def test_every_class_says_what_it_is(module: str, name: str, value: type) -> None:
    doc = _doc(value)
    assert doc and not doc.startswith(f"{name}("), "write what it is; a dataclass makes up a text of its own"
    assert doc[0].isupper() and "." in doc


@pytest.mark.parametrize(("module", "name", "function"), [param for param in FUNCTIONS if param.values[0] in PHYSICS])
def test_a_formula_has_the_whole_docstring(module: str, name: str, function: Any) -> None:
    """Each parameter on a line of its own in the order of the signature; returns, errors, source, an example."""
    doc = _doc(function)
    block = re.search(r"^Parameters\n-+\n(.*?)\n\n", doc, re.MULTILINE | re.DOTALL)
    assert block, "write the block of parameters"
    lines = [line for line in block[1].splitlines() if not line.startswith(" ")]
    named = [part.strip() for line in lines for part in line.partition(" : ")[0].split(",")]
    assert named == _parameters(function)
    assert all(" : " in line for line in lines)
    for word in ("Returns:", "Errors:", "Source:"):
        assert word in doc, f"say {word}"
    assert ">>> " in doc, "give an example"


def test_examples_run(request: pytest.FixtureRequest) -> None:
    assert "calc" in request.config.getini("testpaths")
    assert "--doctest-modules" in request.config.getini("addopts")


@pytest.fixture(scope="module")
def called(tmp_path_factory: pytest.TempPathFactory) -> set[Any]:
    """The code of every function of calc that runs while all cases are compared, one crane's pages are made and the
    command line is called; their numbers are walked and computed again by other tests."""
    rules = tmp_path_factory.mktemp("one") / "rules"
    others = [path.name for path in (ROOT / "rules/machines").glob("*.yaml") if path.stem != "bittern"]
    shutil.copytree(ROOT / "rules", rules, ignore=shutil.ignore_patterns(*others, "earlier"))
    keep_booms(rules / "machines/bittern.yaml", ("36 m", "54 m", "84 m"))  # of its log; one asks what would help
    table = rules.parent / "work.csv"
    row = "2026-12-01,54 m,26 m,6,five-sheave,1.8 t,3 m,41 m,32,"
    table.write_text(f"{','.join(duty_csv.COLUMNS)}\n{row}\n", encoding="utf-8")
    chart = rules.parent / "chart.csv"
    chart.write_text("radius (m),54 m (t)\n10,92.8\n12,69\n", encoding="utf-8")
    record = rules.parent / "record.json"
    exported = a_record()
    exported["plan"]["revision"] = DATA.machines["bittern"].revision
    record.write_text(json.dumps(exported), encoding="utf-8")
    for value in [value for module in MODULES.values() for value in vars(module).values()]:
        clear = getattr(value, "cache_clear", None)  # what is kept is not called again
        if clear:
            clear()
    before = sys.getprofile()  # of a run that measures its coverage
    sys.setprofile(None)
    calls = cProfile.Profile(builtins=False)
    calls.enable()
    try:
        generated.site(rules, DAY)
        for call in (["plan", "bittern", "54m"], ["state", "bittern"], ["ready", "bittern", "54m", "60 t"]):
            assert main([*call, "--day", DAY, "--data", str(rules)]) == 0
        for call in (["exercises"], ["exercises", "--json"]):
            assert main([*call, "--day", DAY, "--data", str(rules)]) == 0
        for name in ("fitness", "shortening", "new-rope"):
            assert main([name, "bittern", "--day", DAY, "--data", str(rules)]) == 0
        assert main(["fleet", "--day", DAY, "--data", str(rules)]) == 0
        assert main(["duty", str(table), "--machine", "bittern", "--data", str(rules)]) == 0
        assert main(["check", "--day", DAY, "--data", str(rules)]) == 0
        assert main(["chart", "--machine", "bittern", "--data", str(rules)]) == 0
        assert main(["chart", str(chart), "--machine", "bittern", "--data", str(rules)]) == 0
        assert main(["upkeep", "add", str(record), "--data", str(rules)]) == 0
        assert main(["new", "machine", "osprey", "--data", str(rules)]) == 0
        assert main(["--version"]) == 0
        small, days = ["--data", str(ROOT / "tests/cases/crane")], str(rules.parent / "days")
        assert main(["record", DAY, "--into", days, *small]) == main(["compare", days, days]) == 0
    finally:
        calls.disable()
        sys.setprofile(before)
    return {entry.code for entry in calls.getstats()}


@pytest.mark.parametrize(("module", "name", "function"), FUNCTIONS)
def test_has_an_example_or_is_covered_by_a_case(module: str, name: str, function: Any, called: set[Any]) -> None:
    assert ">>> " in _doc(function) or inspect.unwrap(function).__code__ in called, "give an example or add a case"


# The list of symbols: symbol, parameter names and meaning, parted by two spaces or more.
LISTED = re.findall(r"^    (\S+) {2,}(\w+(?:, \w+)*) {2,}(\S.*)$", formulas.__doc__ or "", re.MULTILINE)
SYMBOLS = {name: symbol for symbol, names, _ in LISTED for name in names.split(", ")}


def test_the_list_of_symbols_is_complete() -> None:
    used = {p for param in FUNCTIONS if param.values[0] in PHYSICS for p in _parameters(param.values[2])}
    assert not sorted(used - set(SYMBOLS)), "give each a line in calc/formulas/__init__.py"
    assert not sorted(set(SYMBOLS) - used), "no formula has a parameter of this name"


def test_a_symbol_and_a_name_mean_one_thing() -> None:
    names = [name for _, names, _ in LISTED for name in names.split(", ")]
    assert len(names) == len(set(names))
    symbols = [symbol for symbol, _, _ in LISTED if symbol != "-"]
    assert len(symbols) == len(set(symbols)) > 30


@pytest.mark.parametrize(("module", "name", "function"), [param for param in FUNCTIONS if param.values[0] in PHYSICS])
def test_docstrings_use_the_listed_symbols(module: str, name: str, function: Any) -> None:
    """Where the line of a parameter begins with a symbol of the list, it is the parameter's own."""
    known = set(SYMBOLS.values()) - {"-"}
    for names, text in re.findall(r"^(\w+(?:, \w+)*) : (.*)$", _doc(function), re.MULTILINE):
        given = [part.split()[0] for part in text.split(",") if part.strip()]
        if given[0] in known:
            asked = [SYMBOLS[parameter] for parameter in names.split(", ")]
            assert given[: len(asked)] == asked, f"{names}: the list of symbols says {', '.join(asked)}"
