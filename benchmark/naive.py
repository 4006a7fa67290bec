"""A plan by formulas that carry their units: the same source of each formula of `calc`, run on pint's quantities.

The units come from the docstrings, so pint checks on the way that every formula agrees with what its docstring says.
"""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import fields
from types import FunctionType, ModuleType
from typing import Any
from unittest.mock import patch

import pint

import calc.formulas
from calc.formulas import boom, capacity, drum, reeving

REGISTRY: Any = pint.UnitRegistry(cache_folder=None)
MODULES = (boom, drum, reeving)
_PARAMETERS = re.compile(r"^ +(\w+(?:, \w+)*) : .*?\[([^\]]+)\]", re.MULTILINE)
_AS_IN = re.compile(r"as in `(\w+)`")
_NO_UNIT = "-"


def _sqrt(value: Any) -> Any:
    return value**0.5 if hasattr(value, "magnitude") else math.sqrt(value)


KNOWN = {"sqrt": _sqrt, "STANDARD_GRAVITY": REGISTRY.Quantity(calc.formulas.STANDARD_GRAVITY, "m/s^2")}


def units(function: Callable[..., Any]) -> dict[str, str]:
    """The unit of each parameter, by its docstring.

    >>> units(boom.head_height)["radius"]
    'm'
    """
    text = function.__doc__ or ""
    others = (getattr(inspect.getmodule(function), name) for name in _AS_IN.findall(text))
    found = {name: unit for other in others for name, unit in units(other).items()}
    return found | {name: unit for names, unit in _PARAMETERS.findall(text) for name in names.split(", ")}


def _magnitude(value: Any) -> Any:
    """A result as `calc` gives it: a float in SI."""
    if isinstance(value, capacity.Reading):
        return capacity.Reading(*map(_magnitude, value))
    if isinstance(value, drum.Layer):
        return drum.Layer(*(_magnitude(getattr(value, field.name)) for field in fields(value)))
    if isinstance(value, tuple):
        return tuple(map(_magnitude, value))
    return value.to_base_units().magnitude if hasattr(value, "magnitude") else value


def carrying(function: FunctionType) -> Callable[..., Any] | None:
    """The same formula on quantities; None where it takes more than numbers."""
    given = inspect.signature(function, eval_str=True).parameters.values()
    unit_of = units(function)
    if function is not capacity.read and not all(one.annotation in (float, int) for one in given):
        return None
    formula = FunctionType(function.__code__, {**function.__globals__, **KNOWN})
    names = [one.name for one in given]

    def call(*values: Any) -> Any:
        return _magnitude(formula(*map(quantity, names, values)))

    def quantity(name: str, value: Any) -> Any:
        if name == "rows":
            return [(REGISTRY.Quantity(at, "m"), REGISTRY.Quantity(most, "kg")) for at, most in value]
        unit = unit_of.get(name, _NO_UNIT)
        return value if unit == _NO_UNIT or isinstance(value, int) else REGISTRY.Quantity(value, unit)

    return call


def formulas() -> Iterator[tuple[ModuleType, str, Callable[..., Any]]]:
    """Every formula that a plan is computed by: module, name, the same with units."""
    for module in (*MODULES, capacity):
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if name.startswith("_") or function.__module__ != module.__name__:
                continue
            if (module is not capacity or function is capacity.read) and (found := carrying(function)):
                yield module, name, found


@contextmanager
def with_units() -> Iterator[int]:
    """While this lasts, `calc` computes with units; how many formulas do."""
    patches = [patch.object(module, name, function) for module, name, function in formulas()]
    for one in patches:
        one.start()
    try:
        yield len(patches)
    finally:
        for one in patches:
            one.stop()
