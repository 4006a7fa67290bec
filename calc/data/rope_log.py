"""What stands in log and readings, no drum computed: the rope on a day, its length, which readings count."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Final

from calc.data.entries import Entry, Inspection, NewRope, Place, PreTensioning, Shortening, Upkeep

# What one place may have been read for.
ITEMS = tuple(field.name for field in fields(Place) if field.name not in ("kind", "position"))

FULL: Final = "full"
STEP = 0.1  # m: positions this close are one place
SAME_LENGTH = 0.05  # m: what two rope lengths may differ by and be the same


@dataclass(frozen=True)
class LastRead:
    """One place of the rope on the drum with the last reading of everything that was read there: for each item the
    number of its inspection in the list of readings."""

    place: Place
    read_in: Mapping[str, int]


def fitted(log: Sequence[Entry], day: str) -> str | None:
    """Day on which the rope was fitted that is on the drum on a `day`, by its `log`; None before the first."""
    return next((e.day for e in reversed(log) if e.day <= day and isinstance(e.done, NewRope)), None)


def rope_length(log: Sequence[Entry], day: str) -> float | None:
    """Length of the rope that is on the drum on a `day`, by its `log` [m]; None before the first."""
    length: float | None = None
    for entry in log:
        if entry.day <= day and isinstance(entry.done, NewRope):
            length = entry.done.length
        elif entry.day <= day and length is not None and isinstance(entry.done, Shortening):
            length -= entry.done.length
    return length


def last_pre_tensioned(log: Sequence[Entry]) -> int | None:
    """Number of the entry of a `log` that last pre-tensioned the rope on the drum; None where none has."""
    for number, entry in reversed(list(enumerate(log))):
        if isinstance(entry.done, PreTensioning):
            return number
        if isinstance(entry.done, NewRope):
            return None
    return None


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
            known = found.get(key(now), LastRead(now, {}))
            here = items(now)
            merged = replace(known.place, **here)
            found[key(now)] = LastRead(merged, {**known.read_in, **dict.fromkeys(here, number)})
    return tuple(found.values())


def items(place: Place) -> dict[str, Any]:
    """What a `place` was read for, by name."""
    return {name: getattr(place, name) for name in ITEMS if getattr(place, name) is not None}


def key(place: Place) -> tuple[str, tuple[str, float] | None]:
    """Kind and position of a `place`, alike for readings that belong together."""
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
