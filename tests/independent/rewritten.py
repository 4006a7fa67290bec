"""The same machine written otherwise: in the other unit system, or with its keys and lists in another order.

Basis: exact definitions (yard and pound 1959, standard gravity 1901, mechanical horsepower 550 ft*lbf/s); decimal
arithmetic, so that nothing is lost on the way.  May import: numpy.  Must not know: how a plan is computed.
"""

from __future__ import annotations

import re
from decimal import Decimal, localcontext
from typing import Any

import numpy as np

Document = dict[str, Any]

_FOOT, _POUND, _GRAVITY = Decimal("0.3048"), Decimal("0.45359237"), Decimal("9.80665")
# unit -> the unit of the other system, and how many of it one is
OTHER = {
    "m": ("ft", 1 / _FOOT),
    "ft": ("m", _FOOT),
    "mm": ("in", 12 / (1000 * _FOOT)),
    "in": ("mm", 1000 * _FOOT / 12),
    "kg": ("lb", 1 / _POUND),
    "t": ("lb", 1000 / _POUND),
    "lb": ("kg", _POUND),
    "kN": ("lbf", 1000 / (_POUND * _GRAVITY)),
    "lbf": ("N", _POUND * _GRAVITY),
    "kg/m": ("lb/ft", _FOOT / _POUND),
    "lb/ft": ("kg/m", _POUND / _FOOT),
    "m/min": ("ft/min", 1 / _FOOT),
    "ft/min": ("m/min", _FOOT),
    "kW": ("hp", 1000 / (550 * _FOOT * _POUND * _GRAVITY)),
    "hp": ("kW", 550 * _FOOT * _POUND * _GRAVITY / 1000),
}
_QUANTITY = re.compile(r"^([0-9]+(?:\.[0-9]+)?) (\S+)$")
# Lists whose order says nothing; blocks, charts, rows and configurations have an order of their own.
FREE_LISTS = ("weights", "extensions", "overrides")


def in_other_units(value: Any) -> Any:
    """A document with every quantity of a unit system written in the other one, to 30 digits."""
    if isinstance(value, dict):
        made = {key: in_other_units(item) for key, item in value.items()}
        return made | {"units": {"metric": "us", "us": "metric"}[made["units"]]} if "units" in made else made
    if isinstance(value, list):
        return [in_other_units(item) for item in value]
    found = _QUANTITY.match(value) if isinstance(value, str) else None
    if not found or found[2] not in OTHER:
        return value
    unit, times = OTHER[found[2]]
    with localcontext() as context:
        context.prec = 30
        return f"{format(Decimal(found[1]) * times, 'f')} {unit}"


def shuffled(value: Any, rng: np.random.Generator) -> Any:
    """A document with the keys of every object, and the lists whose order says nothing, in another order."""
    if isinstance(value, list):
        return [shuffled(item, rng) for item in value]
    if not isinstance(value, dict):
        return value
    keys = [list(value)[i] for i in rng.permutation(len(value))]
    made = {key: shuffled(value[key], rng) for key in keys}
    for name in FREE_LISTS:
        if name in made:
            made[name] = [made[name][i] for i in rng.permutation(len(made[name]))]
    return made
