"""Readings of a rope: what of them cannot be, which of them count on a day, and when the next inspection is due.

May import: files, model, tables.  Must not know: limits, rules, machines' charts, pages.
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any

from calc import tables
from calc.files import Document, Problem, Where
from calc.model import Entry, Inspection, Machine, NewRope, Place, Shortening, Upkeep

# What one place may have been read for.
ITEMS = tuple(field.name for field in fields(Place) if field.name not in ("kind", "position"))

FULL = "full"
FAR_OFF = 0.25  # of the nominal diameter: a reading further off is a slip of the pen, no worn rope
STEP = 0.1  # m: positions this close are one place

SAME_LENGTH = 0.05  # m: what two rope lengths may differ by and be the same

_Found = Iterator[Problem]


# -- what cannot be -------------------------------------------------------------------------------------------------


def problems(document: Document, upkeep: Upkeep, machine: Machine) -> _Found:
    """Everything in the readings of a rope that cannot be.

    Parameters
    ----------
    document, upkeep : log and readings, and the file they were built from
    machine : whose rope it is

    Returns: problems, located.  Errors: none.
    """
    read: set[tuple[str, tuple[str, tuple[str, float] | None], str]] = set()
    for number, inspection in enumerate(upkeep.readings):
        here: Where = ("readings", number)
        if number and inspection.day < upkeep.readings[number - 1].day:
            text = f"{inspection.day} is before {upkeep.readings[number - 1].day} above it; list oldest first"
            yield document.problem((*here, "day"), text)
        length = rope_length(upkeep.log, inspection.day)
        if length is None:
            text = f"{inspection.day} is before the first rope of the log; write a later day"
            yield document.problem((*here, "day"), text)
            continue
        if inspection.reference_diameter is not None:
            path = (*here, "reference_diameter")
            yield from _diameters(document, path, inspection.reference_diameter, machine)
        for at, place in enumerate(inspection.places):
            path = (*here, "places", at)
            yield from _place(document, path, place, machine, length)
            for item in _items(place):
                key = inspection.day, _key(place), item
                if key in read:
                    text = f"{item} is read here twice on {inspection.day}; keep one, or say where each place is"
                    yield document.problem((*path, item), text)
                read.add(key)


def _place(document: Document, here: Where, place: Place, machine: Machine, length: float) -> _Found:
    written = document.data[here[0]][here[1]][here[2]][here[3]]
    if "from_drum" in written and "from_hook" in written:
        yield document.problem((*here, "from_hook"), "the place is given from the drum already; keep one of both")
    if place.position and place.position[1] > length:
        end, _ = place.position
        text = f"is more than the rope of {_rope(length, machine)}; check the position"
        yield document.problem((*here, f"from_{end}"), text)
    counts = place.broken_wires or {}
    if place.kind != "end-fitting" and "at_end_fitting" in counts:
        text = "belongs to the place end-fitting; write it there"
        yield document.problem((*here, "broken_wires", "at_end_fitting"), text)
    for smaller, larger in _NOT_MORE:
        if counts.get(smaller, 0) > counts.get(larger, counts.get(smaller, 0)):
            text = f"is {counts[smaller]}, but {larger} is {counts[larger]}; a longer piece holds no fewer"
            yield document.problem((*here, "broken_wires", smaller), text)
    if place.diameter is not None:
        yield from _diameters(document, (*here, "diameter"), place.diameter, machine)
    if place.waviness is not None and place.waviness > machine.rope.diameter:
        text = "is more than the rope is thick; check the gap under the straight edge"
        yield document.problem((*here, "waviness"), text)


_NOT_MORE = (
    ("in_6_diameters", "in_30_diameters"),
    ("in_one_lay", "in_30_diameters"),
    ("in_one_strand", "in_one_lay"),
)


def _diameters(document: Document, here: Where, read: tuple[float, float], machine: Machine) -> _Found:
    nominal = machine.rope.diameter
    for at, diameter in enumerate(read):
        if abs(diameter / nominal - 1) > FAR_OFF:
            pair = tables.rope_diameter(nominal)
            name = pair.us if machine.units == "us" else pair.metric
            yield document.problem((*here, at), f"is far from the nominal {name}; check the reading and its unit")


def _rope(length: float, machine: Machine) -> str:
    pair = tables.rope(length, "down")
    return pair.us if machine.units == "us" else pair.metric


# -- which readings count -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class LastRead:
    """One place of the rope on the drum with the last reading of everything that was read there: for each item the
    number of its inspection in the list of readings."""

    place: Place
    read_in: Mapping[str, int]


def fitted(log: tuple[Entry, ...], day: str) -> str | None:
    """Day on which the rope was fitted that is on the drum on a `day`, by its `log`; None before the first."""
    return next((e.day for e in reversed(log) if e.day <= day and isinstance(e.done, NewRope)), None)


def rope_length(log: tuple[Entry, ...], day: str) -> float | None:
    """Length of the rope that is on the drum on a `day`, by its `log` [m]; None before the first."""
    length: float | None = None
    for entry in log:
        if entry.day <= day and isinstance(entry.done, NewRope):
            length = entry.done.length
        elif entry.day <= day and length is not None and isinstance(entry.done, Shortening):
            length -= entry.done.length
    return length


def counted(upkeep: Upkeep, day: str) -> tuple[tuple[int, Inspection], ...]:
    """The inspections of the rope that is on the drum on a `day`, by log and readings of its `upkeep`, each with its
    number in the list."""
    since = fitted(upkeep.log, day)
    return tuple((n, one) for n, one in enumerate(upkeep.readings) if since and since <= one.day <= day)


def reference(upkeep: Upkeep, day: str) -> tuple[float, float] | None:
    """The reference diameter of the rope that is on the drum on a `day`, by its `upkeep`: two readings [m]; the first
    that was taken, for a rope is run in once."""
    return next((one.reference_diameter for _, one in counted(upkeep, day) if one.reference_diameter), None)


def last_read(upkeep: Upkeep, day: str) -> tuple[LastRead, ...]:
    """Every place of the rope that is on the drum, with the last reading of everything that was read there.

    Parameters
    ----------
    upkeep : log and readings
    day : last day that counts, as ISO text

    Returns: places in the order in which they were first read.  A place that was cut off since is left out; one on the
    rest of the rope keeps its piece of rope, so that its distance from a cut end is less.  Errors: none.
    """
    found: dict[tuple[str, tuple[str, float] | None], LastRead] = {}
    for number, inspection in counted(upkeep, day):
        for place in inspection.places:
            now = _now(place, inspection.day, upkeep.log, day)
            if now is None:
                continue
            known = found.get(_key(now), LastRead(now, {}))
            items = _items(now)
            merged = replace(known.place, **items)
            found[_key(now)] = LastRead(merged, {**known.read_in, **dict.fromkeys(items, number)})
    return tuple(found.values())


def _items(place: Place) -> dict[str, Any]:
    return {name: getattr(place, name) for name in ITEMS if getattr(place, name) is not None}


def _key(place: Place) -> tuple[str, tuple[str, float] | None]:
    if place.position is None:
        return place.kind, None
    end, distance = place.position
    return place.kind, (end, round(distance / STEP))


def _now(place: Place, read_on: str, log: tuple[Entry, ...], day: str) -> Place | None:
    """The place as it stands on a day, after the cuts since it was read; None when it was cut off."""
    if place.position is None:
        return place
    end, distance = place.position
    left = rope_length(log, read_on) or 0.0
    for entry in log:
        if read_on < entry.day <= day and isinstance(entry.done, Shortening):
            left -= entry.done.length
            if entry.done.end == end:
                distance -= entry.done.length
            if not 0 <= distance <= left:
                return None
    return replace(place, position=(end, distance))


# -- when the next inspection is due --------------------------------------------------------------------------------


def months_later(day: str, months: int) -> str:
    """The same day of the month some `months` after a `day`; the last of the month where that month is shorter.

    >>> months_later("2026-11-25", 12), months_later("2027-01-31", 1)
    ('2027-11-25', '2027-02-28')
    """
    start = date.fromisoformat(day)
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1])).isoformat()
