"""Rounding for pages: once, each unit from the exact value, to the side that is stated.

Steps: mass 50 kg / 100 lb, height and radius 0.1 m / 0.5 ft, rope 1 m / 1 ft, share 1 %, force 0.1 kN / 50 lbf,
time up to the next minute, a whole method up to the next 5 minutes.  `side` is "up", "down" or "near".
"""

from __future__ import annotations

from math import ceil, floor
from typing import Any, NamedTuple, TypeVar

T = TypeVar("T")

METRES_PER_FOOT = 0.3048  # exact by definition (international yard and pound agreement, 1959)
KILOGRAMS_PER_POUND = 0.45359237  # exact, the same agreement
NEWTONS_PER_POUND_FORCE = KILOGRAMS_PER_POUND * 9.80665
GRAIN = 1e-9  # so that a value that is a whole step but for the last binary digits is not pushed a step further


class Pair(NamedTuple):
    """One number as text in both unit systems, unit included."""

    metric: str
    us: str

    def of(self, units: str) -> str:
        """The text in the `units` of a machine, metric or us."""
        return self.us if units == "us" else self.metric


def step(value: float, size: float, side: str) -> float:
    """A `value` as a whole number of steps of a `size`, to the `side` asked for.

    up: ceil(value/size)*size; down: floor(value/size)*size; near: the nearest

    Errors: ValueError for another side or a size not above 0.

    >>> step(12.01, 0.5, "up"), step(12.49, 0.5, "down"), step(12.3, 0.5, "near")
    (12.5, 12.0, 12.5)
    """
    if not size > 0:
        raise ValueError(f"size is {size}; it lies above 0")
    count = value / size
    if side == "up":
        return ceil(count - GRAIN) * size
    if side == "down":
        return floor(count + GRAIN) * size
    if side == "near":
        return floor(count + 0.5 + GRAIN) * size
    raise ValueError(f"side is {side!r}; it is 'up', 'down' or 'near'")


def length(metres: float, side: str) -> Pair:
    """A height or radius in `metres`: 0.1 m and 0.5 ft, to the `side` as in `step`.

    >>> length(12.34, "up")
    Pair(metric='12.4 m', us='40.5 ft')
    """
    return Pair(f"{step(metres, 0.1, side):,.1f} m", f"{step(metres / METRES_PER_FOOT, 0.5, side):,.1f} ft")


def boom_length(metres: float) -> Pair:
    """A listed boom length in `metres`, a whole one without its zero, as the data lists it.

    >>> boom_length(54), boom_length(42.672)
    (Pair(metric='54 m', us='177 ft'), Pair(metric='42.7 m', us='140 ft'))
    """
    return Pair(*(text.replace(".0 ", " ") for text in length(metres, "near")))


def rope(metres: float, side: str) -> Pair:
    """A length of rope in `metres`: 1 m and 1 ft, to the `side`.

    >>> rope(1340.4, "down")
    Pair(metric='1,340 m', us='4,397 ft')
    """
    return Pair(f"{step(metres, 1, side):,.0f} m", f"{step(metres / METRES_PER_FOOT, 1, side):,.0f} ft")


def cut(metres: float, side: str) -> Pair:
    """A short length of rope that is measured to be cut, in `metres`: 10 mm and half an inch, to the `side`.

    >>> cut(0.6257, "near")
    Pair(metric='0.63 m', us='24.5 in')
    """
    return Pair(f"{step(metres, 0.01, side):.2f} m", f"{step(metres / METRES_PER_FOOT * 12, 0.5, side):.1f} in")


def mass(kilograms: float, side: str) -> Pair:
    """A mass in `kilograms`: 50 kg, written in tonnes, and 100 lb, to the `side`.

    >>> mass(12330.0, "up")
    Pair(metric='12.35 t', us='27,200 lb')
    """
    tonnes = step(kilograms, 50, side) / 1000
    return Pair(f"{tonnes:.2f} t", f"{step(kilograms / KILOGRAMS_PER_POUND, 100, side):,.0f} lb")


def listed_mass(kilograms: float) -> Pair:
    """A round mass in `kilograms` that is offered to choose from, without zeros that say nothing.

    >>> listed_mass(40000.0), listed_mass(2500.0)
    (Pair(metric='40 t', us='88,200 lb'), Pair(metric='2.5 t', us='5,500 lb'))
    """
    metric, us = mass(kilograms, "near")
    return Pair(f"{float(metric.split()[0]):g} t", us)


def logged_mass(kilograms: float) -> Pair:
    """A mass in `kilograms` as a log holds it: the nearest 10 kg, written in tonnes, and 10 lb.

    >>> logged_mass(14880.0), logged_mass(6250.5)
    (Pair(metric='14.88 t', us='32,800 lb'), Pair(metric='6.25 t', us='13,780 lb'))
    """
    tonnes = step(kilograms, 10, "near") / 1000
    return Pair(f"{tonnes:.2f} t", f"{step(kilograms / KILOGRAMS_PER_POUND, 10, 'near'):,.0f} lb")


def piece(kilograms: float) -> Pair:
    """The mass of one listed weight in `kilograms` as it is spoken of: the nearest 10 kg and 10 lb, no zeros behind.

    >>> piece(10000.0), piece(250.0), piece(4535.9237)
    (Pair(metric='10 t', us='22,050 lb'), Pair(metric='0.25 t', us='550 lb'), Pair(metric='4.54 t', us='10,000 lb'))
    """
    metric, us = logged_mass(kilograms)
    return Pair(f"{metric.removesuffix(' t').rstrip('0').rstrip('.')} t", us)


def mass_per_length(kilograms_per_metre: float, side: str) -> Pair:
    """A mass of rope per length in `kilograms_per_metre`: 0.01 kg/m and 0.01 lb/ft, to the `side`.

    >>> mass_per_length(2.3, "near")
    Pair(metric='2.30 kg/m', us='1.55 lb/ft')
    """
    per_foot = kilograms_per_metre * METRES_PER_FOOT / KILOGRAMS_PER_POUND
    return Pair(f"{step(kilograms_per_metre, 0.01, side):.2f} kg/m", f"{step(per_foot, 0.01, side):.2f} lb/ft")


def force(newtons: float, side: str) -> Pair:
    """A force in `newtons`: 0.1 kN and 50 lbf, to the `side`.

    >>> force(13517.0, "down")
    Pair(metric='13.5 kN', us='3,000 lbf')
    """
    return Pair(
        f"{step(newtons / 1000, 0.1, side):.1f} kN", f"{step(newtons / NEWTONS_PER_POUND_FORCE, 50, side):,.0f} lbf"
    )


def diameter(metres: float, side: str) -> Pair:
    """A diameter in `metres`: 1 mm and 0.05 in, to the `side`.

    >>> diameter(0.646, "near")
    Pair(metric='646 mm', us='25.45 in')
    """
    return Pair(f"{step(metres * 1000, 1, side):.0f} mm", f"{step(metres / METRES_PER_FOOT * 12, 0.05, side):.2f} in")


def rope_diameter(metres: float) -> Pair:
    """A nominal rope diameter in `metres`, to the nearest 0.1 mm and 0.001 in, as ropes are ordered.

    >>> rope_diameter(0.022225), rope_diameter(0.022)
    (Pair(metric='22.2 mm', us='0.875 in'), Pair(metric='22 mm', us='0.866 in'))
    """
    return Pair(
        f"{step(metres * 1000, 0.1, 'near'):.4g} mm", f"{step(metres / METRES_PER_FOOT * 12, 0.001, 'near'):.3f} in"
    )


def measured_diameter(metres: float, side: str) -> Pair:
    """A diameter as a caliper reads it, or a gap, in `metres`: 0.1 mm and 0.001 in, to the `side`.

    >>> measured_diameter(0.02545, "up")
    Pair(metric='25.5 mm', us='1.002 in')
    """
    inches = metres / METRES_PER_FOOT * 12
    return Pair(f"{step(metres * 1000, 0.1, side):.1f} mm", f"{step(inches, 0.001, side):.3f} in")


def caliper(metres: float, side: str) -> Pair:
    """A diameter or a gap that is held against a limit, in `metres`: 0.01 mm and 0.0001 in, to the `side`.

    >>> caliper(0.02545, "up"), caliper(0.02111375, "up")
    (Pair(metric='25.45 mm', us='1.0020 in'), Pair(metric='21.12 mm', us='0.8313 in'))
    """
    return Pair(*(f"{step(value, 10.0**-digits, side):.{digits}f} {unit}" for value, digits, unit in _fine(metres)))


def against(reading: float, limit: float, side: str) -> tuple[Pair, Pair]:
    """A `reading` and the `limit` it is held against, printed so that they stand to each other as what was measured.

    Reading to the nearest, limit to its `side`, 0.01 mm and 0.0001 in [m]; where both would print the same or change
    places, with as many more digits as keep them apart.

    >>> against(0.02545, 0.02545, "up")[0].metric, against(0.021115, 0.02111375, "up")
    ('25.45 mm', (Pair(metric='21.115 mm', us='0.83130 in'), Pair(metric='21.114 mm', us='0.83125 in')))
    """
    kinds = zip(_fine(reading), _fine(limit), strict=True)
    shown = [_apart(read, of, side, digits, unit) for (read, digits, unit), (of, _, _) in kinds]
    return Pair(*(one for one, _ in shown)), Pair(*(one for _, one in shown))


def margin(metres: float, side: str) -> Pair:
    """What lies between a reading and its limit, in `metres`, to the `side`: as `caliper`, finer where that shows none.

    >>> margin(0.0001, "down"), margin(0.0000012, "down"), margin(0.0, "down").metric
    (Pair(metric='0.10 mm', us='0.0039 in'), Pair(metric='0.001 mm', us='0.00004 in'), '0.00 mm')
    """
    return Pair(*(_visible(value, side, digits, unit) for value, digits, unit in _fine(metres)))


FINEST = 6  # decimals: finer than any caliper and than what is published


def _fine(metres: float) -> tuple[tuple[float, int, str], tuple[float, int, str]]:
    """A small length by unit, with the decimals it is printed with."""
    return (metres * 1000, 2, "mm"), (metres / METRES_PER_FOOT * 12, 4, "in")


def _apart(reading: float, limit: float, side: str, digits: int, unit: str) -> tuple[str, str]:
    for more in range(digits, FINEST + 1):
        shown = step(reading, 10.0**-more, "near"), step(limit, 10.0**-more, side)
        if _order(*shown, 10.0**-more / 2) == _order(reading, limit, GRAIN):
            break
    else:
        more, shown = digits, (step(reading, 10.0**-digits, side), step(limit, 10.0**-digits, side))
    first, second = (f"{value:.{more}f} {unit}" for value in shown)
    return first, second


def _order(one: float, other: float, grain: float) -> int:
    return 0 if abs(one - other) <= grain else 1 if one > other else -1


def _visible(value: float, side: str, digits: int, unit: str) -> str:
    while digits < FINEST and value > GRAIN and step(value, 10.0**-digits, side) <= GRAIN:
        digits += 1
    return f"{step(value, 10.0**-digits, side):.{digits}f} {unit}"


def speed(metres_per_second: float, side: str) -> Pair:
    """A rope or boom speed in `metres_per_second`: 1 m/min and 1 ft/min, to the `side`.

    >>> speed(0.5, "down")
    Pair(metric='30 m/min', us='98 ft/min')
    """
    minute = metres_per_second * 60
    return Pair(f"{step(minute, 1, side):.0f} m/min", f"{step(minute / METRES_PER_FOOT, 1, side):.0f} ft/min")


def hook_speed(metres_per_second: float, side: str) -> Pair:
    """A speed of the hook in `metres_per_second`, slow on many falls: 0.1 m/min and 0.5 ft/min, to the `side`.

    >>> hook_speed(0.0727, "down")
    Pair(metric='4.3 m/min', us='14.0 ft/min')
    """
    minute = metres_per_second * 60
    return Pair(f"{step(minute, 0.1, side):.1f} m/min", f"{step(minute / METRES_PER_FOOT, 0.5, side):.1f} ft/min")


def share(fraction: float, side: str) -> str:
    """A share as a `fraction`: 1 %, to the `side`.

    >>> share(0.756, "down")
    '75 %'
    """
    return f"{step(fraction * 100, 1, side):.0f} %"


def tenth_share(fraction: float, side: str) -> str:
    """A small share as a `fraction`, of the breaking force say: 0.1 %, to the `side`.

    >>> tenth_share(0.0259, "down")
    '2.5 %'
    """
    return f"{step(fraction * 100, 0.1, side):.1f} %"


def used_up(fraction: float) -> str:
    """A reading as a `fraction` of its limit: up to the next 1 %, and short of 100 % until the limit is reached.

    >>> used_up(0.923), used_up(0.997), used_up(1.0), used_up(1.201)
    ('93 %', '99 %', '100 %', '121 %')
    """
    percent = step(fraction * 100, 1, "up")
    return f"{percent if fraction >= 1 - GRAIN else min(percent, 99):.0f} %"


def ratio(value: float, side: str) -> str:
    """A ratio of two forces, its `value` to 0.1, to the `side`.

    >>> ratio(3.273, "up")
    '3.3'
    """
    return f"{step(value, 0.1, side):.1f}"


def minutes(exact: float) -> int:
    """Time of one move in `exact` minutes: up to the next minute.

    >>> minutes(3.2)
    4
    """
    return round(step(exact, 1, "up"))


def whole_minutes(exact: float) -> int:
    """Time of a pass or a method in `exact` minutes: up to the next five.

    >>> whole_minutes(41.0)
    45
    """
    return round(step(exact, 5, "up"))


def hours(exact: float) -> tuple[int, int]:
    """Time of a whole day's work in `exact` minutes: up to the next five, as hours and minutes.

    >>> hours(146.2), hours(42.0)
    ((2, 30), (0, 45))
    """
    return divmod(whole_minutes(exact), 60)


def degrees(angle: float, side: str) -> str:
    """An `angle` in degrees between two lines on the ground: 1 degree, to the `side`.

    >>> degrees(8.2, "up")
    '9°'
    """
    return f"{step(angle, 1, side):.0f}°"


def wraps(count: float, side: str) -> str:
    """Wraps in a layer, a `count`: whole wraps, to the `side`.

    >>> wraps(23.7, "down")
    '23'
    """
    return f"{step(count, 1, side):.0f}"


DECIMALS = 6  # of every number the feed prints
LAST_DECIMAL = 10.0**-DECIMALS


def rounded(value: T) -> T:
    """The same `value`, every float in it to the decimals the feed prints.

    >>> rounded({"rope_m": [1.00000049, None]})
    {'rope_m': [1.0, None]}
    """
    found: T = _rounded(value)
    return found


def _rounded(value: Any) -> Any:
    kind = type(value)
    if kind is float:
        return round(value, DECIMALS)
    if kind is dict:
        return {key: _rounded(item) for key, item in value.items()}
    if kind is list or kind is tuple:
        return [_rounded(item) for item in value]
    return value
