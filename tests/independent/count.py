"""What the count at the hanging radius says about the rope: as planned, longer, shorter, or another rope.

Basis: the rope out there is known from the rig, the rope on the drum from the count; together they are the rope.  May
import: the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from independent.rig import Rig

AS_PLANNED, LONGER, SHORTER, ANOTHER = "as-planned", "rope-longer", "rope-shorter", "not-this-rope"


@dataclass(frozen=True)
class Counted:
    """One count of whole wraps, the length of rope it means [m], what to do and the stop height then [m]."""

    wraps: int
    rope_length: float
    do: str
    stop_height: float | None


def said_by(rig: Rig, wraps: int, rope_length: float) -> str:
    """What to do when the rope turns out this long."""
    inputs, off = rig.inputs, rope_length - rig.rope_length
    wrap = float(rig.drum.wrap_length(rig.drum.counted(wraps)))
    by_height = rig.falls * inputs["hook_height_error_m"]
    if abs(off) <= max(wrap, by_height):
        return AS_PLANNED
    if 0 < off <= inputs["rope_longer_share"] * rig.rope_length:
        return LONGER
    shorter = max(inputs["rope_shorter_share"] * rig.rope_length, by_height + wrap)
    return SHORTER if -shorter <= off < 0 else ANOTHER


def table(rig: Rig, on_drum: float, stop_height: float) -> Iterator[Counted]:
    """Every whole count from the one below the stop wraps up to the first that is another rope."""
    out = rig.rope_length - on_drum
    lowest = rig.inputs["stop_wraps"]
    yield Counted(lowest - 1, out + rig.drum.counted(lowest - 1), ANOTHER, None)
    wraps = lowest
    while True:
        length = out + rig.drum.counted(wraps)
        do = said_by(rig, wraps, length)
        moved = (rig.rope_length - length) / rig.falls if do == SHORTER else 0.0
        yield Counted(wraps, length, do, None if do == ANOTHER else stop_height + moved)
        if do == ANOTHER and length > rig.rope_length:
            return
        wraps += 1
