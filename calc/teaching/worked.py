"""Arithmetic as a trainee does it: every step is computed from the numbers that are shown, and shown rounded."""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from calc.rounding import KILOGRAMS_PER_POUND, METRES_PER_FOOT, NEWTONS_PER_POUND_FORCE, step


@dataclass(frozen=True)
class Units:
    """A unit system: for each kind of number its unit, the size of that unit in SI and the decimals shown.

    `small_in_length` small units are one of length; `rope_in_mass` units of rope mass are one of mass;
    `force_in_mass` is the force that one unit of mass weighs; `force_in_small` units of force in which the modulus is
    written are one of force; `fine_area` is what a small area is rounded to.
    """

    name: str
    kinds: Mapping[str, tuple[str, float, int]]
    small_in_length: str
    rope_in_mass: str
    force_in_mass: str
    force_in_small: str
    fine_area: float


_INCH = METRES_PER_FOOT / 12
_KINDS = {  # in metric and in US units
    "length": (("m", 1.0, 2), ("ft", METRES_PER_FOOT, 2)),
    "small": (("mm", 0.001, 1), ("in", _INCH, 3)),
    "mass": (("t", 1000.0, 2), ("lb", KILOGRAMS_PER_POUND, 0)),
    "mass per length": (("kg/m", 1.0, 2), ("lb/ft", KILOGRAMS_PER_POUND / METRES_PER_FOOT, 3)),
    "force": (("kN", 1000.0, 1), ("lbf", NEWTONS_PER_POUND_FORCE, 0)),
    "area": (("mm²", 1e-6, 1), ("in²", _INCH**2, 4)),
    "modulus": (("N/mm²", 1e6, 0), ("lbf/in²", NEWTONS_PER_POUND_FORCE / _INCH**2, 0)),
    "share": (("%", 0.01, 2), ("%", 0.01, 2)),
    "count": (("", 1.0, 0), ("", 1.0, 0)),
}
_METRIC, _US = ({kind: both[system] for kind, both in _KINDS.items()} for system in (0, 1))
METRIC = Units("metric", _METRIC, "1000", "1000", "9.80665", "1000", 0.1)
US = Units("us", _US, "12", "1", "1", "1", 0.0001)
SYSTEMS = (METRIC, US)


@dataclass(frozen=True)
class Shown:
    """A number as it is shown, with its unit; what it is stands under its `key` in the words."""

    key: str
    text: str
    unit: str

    def __str__(self) -> str:
        """As it stands in an expression: below 0 in brackets."""
        return f"({self.text})" if self.text.startswith("-") else self.text

    @property
    def value(self) -> float:
        """The number shown."""
        return float(self.text)


@dataclass(frozen=True)
class ExerciseStep:
    """One step: an expression of numbers shown, its result as shown, rounded `near`, `up` or `down`; of a comparison
    the result is yes or no.  `part` numbers steps of the same kind, else it is empty."""

    key: str
    expression: str
    result: str
    unit: str
    rounded: str
    part: str = ""


@dataclass(frozen=True)
class ExerciseTable:
    """Numbers given in rows; a text in a row is a name, as it stands or from the words."""

    key: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Shown | str, ...], ...]


@dataclass
class Sheet:
    """What is given and worked out in one unit system, in the order in which it is written down."""

    units: Units
    given: list[Shown] = field(default_factory=list)
    tables: list[ExerciseTable] = field(default_factory=list)
    steps: list[ExerciseStep] = field(default_factory=list)

    def shown(self, key: str, value: float, kind: str, decimals: int | None = None) -> Shown:
        """A number in SI as this sheet shows it, without writing it down; parameters as in `give`."""
        unit, size, usual = self.units.kinds[kind]
        text = f"{value / size:.{usual if decimals is None else decimals}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
        return Shown(key, "0" if text == "-0" else text, unit)

    def give(self, key: str, value: float, kind: str = "count", decimals: int | None = None) -> Shown:
        """Write down a given number: what it is by `key`, `value` in SI, `kind`, and `decimals` if not the usual."""
        self.given.append(self.shown(key, value, kind, decimals))
        return self.given[-1]

    def work(
        self, key: str, expression: str, kind: str, size: float = 0.01, side: str = "near", part: str = ""
    ) -> Shown:
        """Write down a step: its `key`, the `expression`, and the result of this `kind` as whole steps of `size` in
        the unit shown, rounded to the `side` as in `rounding.step`; `part` as in `ExerciseStep`."""
        decimals = max(0, -math.floor(math.log10(size)))
        text = f"{step(arithmetic(expression), size, side):.{decimals}f}"
        text = text.lstrip("-") if float(text) == 0 else text
        unit = self.units.kinds[kind][0]
        self.steps.append(ExerciseStep(key, expression, text, unit, side, part))
        return Shown(key, text, unit)

    def compare(self, key: str, expression: str, part: str = "") -> bool:
        """Write down a comparison by its `key`, an `expression` like "26.4 <= 28"; `part` as in `ExerciseStep`."""
        holds = bool(arithmetic(expression))
        self.steps.append(ExerciseStep(key, expression, "yes" if holds else "no", "", "", part))
        return holds


_OPERATORS: dict[type, Callable[..., Any]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
    ast.LtE: operator.le,
    ast.GtE: operator.ge,
    ast.Lt: operator.lt,
    ast.Gt: operator.gt,
}
_FUNCTIONS: dict[str, Callable[..., float]] = {"sqrt": math.sqrt, "max": max, "min": min}


def arithmetic(expression: str) -> float:
    """The value of an `expression` of plain numbers: + - * / ^ ( ), pi, sqrt, max, min and one comparison, which gives
    True or False.  Errors: ValueError for anything else.

    >>> arithmetic("2 + sqrt(5^2 - (4 - 1)^2)"), arithmetic("max(0.5, 2*0.3) <= 0.6")
    (6.0, True)
    """
    value: float = _value(ast.parse(expression.replace("^", "**"), mode="eval").body, expression)
    return value


def _value(node: ast.expr, whole: str) -> Any:
    match node:
        case ast.Constant(value=int() | float() as number):
            return number
        case ast.Name(id="pi"):
            return math.pi
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _OPERATORS:
            return _OPERATORS[type(op)](_value(left, whole), _value(right, whole))
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_value(operand, whole)
        case ast.Call(func=ast.Name(id=name), args=parts) if name in _FUNCTIONS:
            return _FUNCTIONS[name](*(_value(part, whole) for part in parts))
        case ast.Compare(left=left, ops=[op], comparators=[right]) if type(op) in _OPERATORS:
            return _OPERATORS[type(op)](_value(left, whole), _value(right, whole))
    raise ValueError(f"'{whole}' is not plain arithmetic")
