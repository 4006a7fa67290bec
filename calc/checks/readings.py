"""What of the readings of a rope cannot be."""

from __future__ import annotations

from collections.abc import Iterator

from calc import rounding
from calc.data import rope_log
from calc.data.entries import Place, Upkeep
from calc.data.files import Document, Problem, Where
from calc.data.model import Machine

FAR_OFF = 0.25  # of the nominal diameter: a reading further off is a slip of the pen, no worn rope

_Found = Iterator[Problem]


def problems(document: Document, upkeep: Upkeep, machine: Machine) -> _Found:
    """Everything in the readings of a rope that cannot be."""
    read: set[tuple[str, tuple[str, tuple[str, float] | None], str]] = set()
    for number, inspection in enumerate(upkeep.readings):
        here: Where = ("readings", number)
        if number and inspection.day < upkeep.readings[number - 1].day:
            text = f"{inspection.day} is before {upkeep.readings[number - 1].day} above it; list oldest first"
            yield document.problem((*here, "day"), text)
        length = rope_log.rope_length(upkeep.log, inspection.day)
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
            for item in rope_log.items(place):
                key = inspection.day, rope_log.key(place), item
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
        text = f"is more than the rope of {rounding.rope(length, 'down').of(machine.units)}; check the position"
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


_NOT_MORE = (("in_6_diameters", "in_30_diameters"), ("in_one_lay", "in_30_diameters"), ("in_one_strand", "in_one_lay"))


def _diameters(document: Document, here: Where, read: tuple[float, float], machine: Machine) -> _Found:
    nominal = machine.rope.diameter
    for at, diameter in enumerate(read):
        if abs(diameter / nominal - 1) > FAR_OFF:
            name = rounding.rope_diameter(nominal).of(machine.units)
            yield document.problem((*here, at), f"is far from the nominal {name}; check the reading and its unit")
