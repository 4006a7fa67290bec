"""A rule value as its file writes it, with the other unit system beside it."""

from __future__ import annotations

from markupsafe import Markup

from calc.rounding import KILOGRAMS_PER_POUND, METRES_PER_FOOT, NEWTONS_PER_POUND_FORCE, Pair
from hooks.text.environment import both, whole

# unit as written -> (the other system's unit, its size in SI, decimals shown)
OTHER = {
    "m": ("ft", METRES_PER_FOOT, 2),
    "mm": ("in", METRES_PER_FOOT / 12, 3),
    "ft": ("m", 1.0, 2),
    "in": ("mm", 0.001, 1),
    "kg": ("lb", KILOGRAMS_PER_POUND, 0),
    "t": ("lb", KILOGRAMS_PER_POUND, 0),
    "lb": ("kg", 1.0, 0),
    "N": ("lbf", NEWTONS_PER_POUND_FORCE, 0),
    "kN": ("lbf", NEWTONS_PER_POUND_FORCE, 0),
    "lbf": ("N", 1.0, 0),
    "m/min": ("ft/min", METRES_PER_FOOT / 60, 0),
    "m/s": ("ft/min", METRES_PER_FOOT / 60, 0),
    "ft/min": ("m/min", 1 / 60, 1),
}
US = ("ft", "in", "lb", "lbf", "ft/min")


def quantity(text: str, value: float) -> Markup:
    """The text as written; where the other unit system has another unit, that as well, from the exact value.

    >>> quantity("10 %", 0.1)
    Markup('10\\xa0%')
    >>> quantity("0.5 m", 0.5)
    Markup('<x-m>0.5 m</x-m><x-u>1.64 ft</x-u>')
    """
    unit = text.partition(" ")[2]
    if unit not in OTHER:
        return whole(text)
    name, size, decimals = OTHER[unit]
    other = f"{value / size:,.{decimals}f} {name}"
    return both(Pair(other, text) if unit in US else Pair(text, other))
