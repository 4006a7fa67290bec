"""Values from outside the project against this calculation: one runner for the tests and for the page that shows them.

A case is data (YAML): which function of calc is called with what, what a printed source or a hand calculation says,
and how the source was read.  What is called stands as `<module>.<function>`; without a module it is one of the file's
name.  `vary` gives an argument (or what is called, or the part that is taken) one value after the other and makes the
case a table.  What stands as the value of an argument is read so:

    0.98                              the number
    22 mm                             a quantity, in SI
    HAULING                           a constant of the module
    stacked                           any other text as it is; {text: 22 mm} where it looks like a quantity
    [...]                             a list
    {sum: [...]}                      of all that stands in the list; likewise difference, product and ratio
    {record: {in_6_diameters: 3}}     named values
    {call: layers, arguments: {...}, take: [last, number]}   a function's result, and a part of it
    {rule: dead-wraps-us.dead_wraps}  the value of a rule in force
    {folder: crane}                   a folder beside the case files
"""

from __future__ import annotations

import importlib
import json
import operator
import pkgutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache, reduce
from pathlib import Path
from types import ModuleType
from typing import Any

import calc
from calc.data import files, units
from calc.data.model import Rule
from calc.formulas import ROUNDING

READ = ("yes", "second-hand", "from-memory", "hand")
RELATIONS = ("equal", "at most", "at least")
ARITHMETIC = {"sum": operator.add, "difference": operator.sub, "product": operator.mul, "ratio": operator.truediv}

_CALLED = ("call", "arguments", "take", "rule")


@dataclass(frozen=True)
class OutsideCase:
    """One case as its file gives it: `vary` makes a table, one value of `expected` for each value of its lists."""

    module: str
    called: Mapping[str, Any]  # call, arguments, take; or rule
    name: str
    expected: str  # as printed; the values of a table parted by spaces
    source: str
    read: str  # yes: this number was read in the source | second-hand | from-memory | hand: worked by hand, see working
    relation: str = "equal"
    unit: str = ""  # of the values of a table
    within: str = ""  # "0.5 %" of the value, or in its unit; left out: half the last printed digit, none for a limit
    because: str = ""  # why another tolerance
    working: tuple[str, ...] = ()
    vary: Mapping[str, Any] = field(default_factory=dict)
    labels: tuple[str, ...] = ()  # of the values of a table, where the varied arguments do not say enough

    def printed(self) -> list[str]:
        """Every expected value with its unit, as printed."""
        if not self.vary:
            return [self.expected]
        return [f"{value} {self.unit}".strip() for value in self.expected.split()]


@dataclass(frozen=True)
class Compared:
    """One expected value against what the calculation gives, both in the unit printed; words are compared as words."""

    label: str
    expected: str
    got: float | str
    difference: float | None  # None for words
    allowed: float
    agrees: bool


@dataclass(frozen=True)
class World:
    """Where cases find what they name: the folder they lie in, the rules and the day; results of calls, kept."""

    folder: Path
    rules: Mapping[str, Rule]
    day: str
    known: dict[str, Any] = field(default_factory=dict)


def load(folder: Path) -> tuple[OutsideCase, ...]:
    """Every case of every file in a `folder` of <module>.yaml files, in the order of files and lines.

    Errors: files.Errors with every problem found, located.
    """
    problems: list[files.Problem] = []
    found = []
    for path in sorted(folder.glob("*.yaml")):
        document = files.read(path, path.name)
        problems += document.problems
        for at, entry in enumerate(document.data if isinstance(document.data, list) else ()):
            try:
                found.append(_case(path.stem, dict(entry)))
            except (TypeError, ValueError) as error:
                problems.append(document.problem((at,), str(error)))
    if problems:
        raise files.Errors(problems)
    return tuple(found)


def _case(module: str, entry: dict[str, Any]) -> OutsideCase:
    called = {name: entry.pop(name) for name in _CALLED if name in entry}
    for name in ("working", "labels"):
        entry[name] = tuple(entry.get(name, ()))
    case = OutsideCase(module, called, **{name: _as_text(name, value) for name, value in entry.items()})
    for name, known in (("read", READ), ("relation", RELATIONS)):
        if getattr(case, name) not in known:
            raise ValueError(f"{name} is {getattr(case, name)!r}; write one of: {', '.join(known)}")
    count = len(case.printed())
    for name, given in [*case.vary.items(), ("labels", case.labels)]:
        if len(given) != count and (given or name != "labels"):
            raise ValueError(f"{name} has {len(given)} values, expected has {count}")
    return case


def _as_text(name: str, value: Any) -> Any:
    if isinstance(value, float):
        raise ValueError(f"{name} is the number {value}; put it in quotes, so that its printed digits stay")
    return str(value) if isinstance(value, int) else value


def run(case: OutsideCase, world: World) -> tuple[Compared, ...]:
    """What the calculation gives for a `case`, value by value; what goes wrong is the result and does not agree.

    got agrees with expected if |got - expected| <= allowed; at most: got <= expected + allowed; at least: >= - allowed
    """
    return tuple(_compared(case, world, at, printed) for at, printed in enumerate(case.printed()))


def _compared(case: OutsideCase, world: World, at: int, printed: str) -> Compared:
    varied = {name: values[at] for name, values in case.vary.items()}
    label = case.labels[at] if case.labels else ", ".join(_label(*each) for each in varied.items())
    called = {**case.called, **{name: varied.pop(name) for name in _CALLED if name in varied}}
    if varied:
        called["arguments"] = {**called.get("arguments", {}), **varied}
    try:
        got = _evaluate(called, case.module, world)
        number, size = _printed(printed)
        if number is None or isinstance(got, str):
            return Compared(label, printed, str(got), None, 0.0, got == printed)
        difference = float(got) / size - number
    except Exception as error:  # whatever goes wrong in a case is what must be shown
        return Compared(label, printed, f"{type(error).__name__}: {error}", None, 0.0, False)
    allowed = _allowed(case, printed)
    slack = allowed + ROUNDING * max(1.0, abs(number))
    agrees = {"equal": abs(difference) <= slack, "at most": difference <= slack, "at least": difference >= -slack}
    return Compared(label, printed, float(got) / size, difference, allowed, agrees[case.relation])


def _label(name: str, value: Any) -> str:
    """What varies in a table: text says enough by itself, a number needs its name."""
    return value if isinstance(value, str) else f"{name.replace('_', ' ')} {value}"


def _split(text: str) -> tuple[Decimal, str]:
    """Number and unit of a printed value; a number alone has the unit "-"."""
    plain = text.removeprefix("-")
    number, unit = units.split(plain if " " in plain else f"{plain} -")
    return -number if text.startswith("-") else number, unit


def _printed(text: str) -> tuple[float | None, float]:
    """The number printed and what one of its unit is in SI; no number for words."""
    try:
        number, unit = _split(text)
    except ValueError:
        return None, 1.0
    return float(number), 1.0 if unit == "-" else float(units.FACTORS[units.kind_of(text.removeprefix("-"))][unit])


def _allowed(case: OutsideCase, printed: str) -> float:
    """Absolute tolerance in the unit printed: as `within` says, else half the last printed digit; none for a limit."""
    number, _ = _split(printed)
    if case.within:
        share, unit = _split(case.within)
        return float(abs(number) * share / 100 if unit == "%" else share)
    last = int(number.as_tuple().exponent)
    return float(Decimal((0, (5,), last - 1))) if case.relation == "equal" else 0.0


def _evaluate(given: Any, module: str, world: World) -> Any:
    if isinstance(given, str):
        return _text(given, module)
    if isinstance(given, list):
        return tuple(_evaluate(part, module, world) for part in given)
    if not isinstance(given, Mapping):
        return given
    if "call" in given:
        return _called(given, module, world)
    if len(given) != 1:
        raise ValueError(f"{json.dumps(given)} is no value; see calc.teaching.outside for what may stand in a case")
    ((form, of),) = given.items()
    if form in ARITHMETIC:
        return reduce(ARITHMETIC[form], (_evaluate(part, module, world) for part in of))
    if form == "record":
        return {name: _evaluate(part, module, world) for name, part in of.items()}
    if form == "rule":
        return _rule(of, world)
    if form == "folder":
        return world.folder / of
    if form == "text":
        return of
    raise ValueError(f"{form!r} is no form of a value; see calc.teaching.outside for what may stand in a case")


def _text(given: str, module: str) -> Any:
    try:
        return units.read(given, units.kind_of(given))
    except ValueError:
        constant = given if given.isupper() else None
        return getattr(module_of(module), constant) if constant else given


def _called(given: Mapping[str, Any], module: str, world: World) -> Any:
    """A part of the result of a call; calls are made once, for everything in calc depends on its arguments alone."""
    key = f"{module} {given['call']} {json.dumps(given.get('arguments'), sort_keys=True)}"
    if key not in world.known:
        place, _, name = given["call"].rpartition(".")
        function = getattr(module_of(place or module), name)
        arguments = {n: _evaluate(value, module, world) for n, value in given.get("arguments", {}).items()}
        found = function(**arguments)
        world.known[key] = tuple(found) if isinstance(found, Iterator) else found
    return reduce(_part, given.get("take", ()), world.known[key])


@cache
def module_of(name: str) -> ModuleType:
    """The module of calc of this `name`, in whichever package it lies.  Errors: ValueError where there is none."""
    found = [one.name for one in pkgutil.walk_packages(calc.__path__, "calc.") if one.name.endswith(f".{name}")]
    if len(found) != 1:
        raise ValueError(f"{name!r} is the name of {len(found)} modules of calc; see calc.teaching.outside")
    return importlib.import_module(found[0])


def _part(of: Any, step: Any) -> Any:
    if step == "last":
        return of[-1]
    return getattr(of, step) if isinstance(step, str) and hasattr(of, step) else of[step]


def _rule(name: str, world: World) -> Any:
    rule, _, value = name.partition(".")
    version = world.rules[rule].at(world.day)
    if version is None:
        raise ValueError(f"no version of rule {rule} is in force on {world.day}")
    return version.values[value]


def results(folder: Path, rules: Mapping[str, Rule], day: str) -> Iterator[tuple[OutsideCase, tuple[Compared, ...]]]:
    """Every case of a `folder` with what the calculation gives; some look at the `rules` of a `day`.  Errors: as
    `load`."""
    world = World(folder, rules, day)
    for case in load(folder):
        yield case, run(case, world)
