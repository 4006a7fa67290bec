"""Quantities in the data files: text "number space unit" to one SI float, once, at the border.

pint converts, but never reads text: it takes "24,5 m" for 245 m and "ton" for 907 kg.  The number and the unit are
read here, from a closed list of units; a table of factors is all that comes from pint.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from functools import cache

import pint

_LENGTH = {"m": "meter", "mm": "millimeter", "ft": "foot", "in": "inch"}
_MASS = {"kg": "kilogram", "t": "tonne", "lb": "pound"}
_FORCE = {"N": "newton", "kN": "kilonewton", "lbf": "force_pound"}
_WEIGHT = {unit: f"{name} * standard_gravity" for unit, name in _MASS.items()}

# kind: (SI unit, units as written in the files -> pint's name); the order is the order shown in messages.
_KINDS: dict[str, tuple[str, dict[str, str]]] = {
    "length": ("meter", _LENGTH),
    "mass": ("kilogram", _MASS),
    "force": ("newton", _FORCE | _WEIGHT),  # a line pull given as a mass is that mass times g
    "mass per length": ("kilogram / meter", {"kg/m": "kilogram / meter", "lb/ft": "pound / foot"}),
    "speed": (
        "meter / second",
        {"m/s": "meter / second", "m/min": "meter / minute", "ft/min": "foot / minute"},
    ),
    "power": ("watt", {"kW": "kilowatt", "hp": "horsepower"}),
    "angle": ("radian", {"deg": "degree"}),
    "time": ("second", {"s": "second", "min": "minute", "h": "hour"}),
    "area": ("meter ** 2", {"mm2": "millimeter ** 2"}),
    "stress": ("pascal", {"N/mm2": "newton / millimeter ** 2"}),
    "share": ("dimensionless", {"%": "percent"}),
}


def _table() -> dict[str, dict[str, Decimal]]:
    registry: pint.UnitRegistry[Decimal] = pint.UnitRegistry(non_int_type=Decimal)
    return {
        kind: {unit: registry.Quantity(Decimal(1), name).to(si).magnitude for unit, name in names.items()}
        for kind, (si, names) in _KINDS.items()
    }


# kind -> unit as written -> what one of it is in SI; decimal, so that "22.9 mm" is 0.0229 and nothing else
FACTORS = _table()

MOST_DIGITS = 40  # spreadsheets print up to 17; beyond the range of a float a number would count as endless

_NUMBER = r"(?:0|[1-9][0-9]*)(?:\.[0-9]+)?"
_BARE = re.compile(_NUMBER)
_QUANTITY = re.compile(rf"({_NUMBER}) (\S+)")


def pattern(kind: str) -> str:
    """The text of a quantity of one `kind` as a regular expression, for the schemas that editors read.

    >>> pattern("time")
    '^(0|[1-9][0-9]*)(\\\\.[0-9]+)? (s|min|h)$'
    """
    units = "|".join(re.escape(unit) for unit in FACTORS[kind])
    return rf"^(0|[1-9][0-9]*)(\.[0-9]+)? ({units})$"


def how(kind: str) -> str:
    """How to write a quantity of this kind, for messages."""
    first, *others = FACTORS[kind]
    return f"a number, a space and one of: {' '.join(FACTORS[kind])}" if others else f"a number, a space and {first}"


@cache
def read(text: str, kind: str) -> float:
    """SI value of a quantity of one kind: "290 m" as length is 290.0, "10 %" as share is 0.1.

    Errors: ValueError saying what is wrong with the text and how to write it.

    >>> read("22.9 mm", "length"), read("8.8 t", "force")
    (0.0229, 86298.52)
    """
    units = FACTORS[kind]
    number, unit = split(text, how(kind))
    if unit not in units:
        raise ValueError(f"'{text}' has the unit '{unit}', not used here; write {how(kind)}")
    return float(number * units[unit])


def kind_of(text: str) -> str:
    """The kind a quantity written as `text` must be by its unit alone; a mass is a mass, never a force.

    Errors: ValueError for an unknown unit and for what is no quantity, as `split`.

    >>> kind_of("3 m/min")
    'speed'
    """
    how_to = "a number, a space and a unit such as: " + " ".join(next(iter(units)) for units in FACTORS.values())
    _, unit = split(text, how_to)
    for kind, units in FACTORS.items():
        if unit in units:
            return kind
    raise ValueError(f"'{text}' has the unit '{unit}', not used here; write {how_to}")


def plain(text: str) -> bool:
    """Whether a `text` is a number as the data files write it, without a unit.

    >>> plain("24.5"), plain("24,5"), plain("1e3"), plain("")
    (True, False, False, False)
    """
    return _BARE.fullmatch(text) is not None


def split(text: str, how_to: str = "a number, a space and a unit") -> tuple[Decimal, str]:
    """Number and unit of a `text` as written, the number exact.

    Errors: ValueError for what is no quantity, ending with `how_to`: how to write one.

    >>> split("24.5 m")
    (Decimal('24.5'), 'm')
    """
    if plain(text):
        raise ValueError(f"'{text}' has no unit; write {how_to}")
    match = _QUANTITY.fullmatch(text)
    if not match:
        how_to = how_to.replace("a number", "a plain number like 24.5", 1)
        raise ValueError(f"'{text}'{_foreign(text)} is not a quantity; write {how_to}")
    if len(match[1]) > MOST_DIGITS:
        raise ValueError(f"'{text[:MOST_DIGITS]}…' has more digits than anything is measured with; write {how_to}")
    return Decimal(match[1]), match[2]


def _foreign(text: str) -> str:
    """The first character no keyboard key of a quantity gives, by name: it may look like one that does.

    >>> _foreign("3\u00a0m"), _foreign("3 m")
    (' with U+00A0 (no-break space)', '')
    """
    odd = next((character for character in text if not character.isascii()), None)
    return f" with U+{ord(odd):04X} ({unicodedata.name(odd, 'no name').lower()})" if odd else ""
