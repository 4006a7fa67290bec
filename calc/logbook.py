"""What the schema of a rope's log cannot see: names, order, and whether crane and rope can have done it.

May import: files, model, drum, tables, rig, duty.  Must not know: rules, what is due, pages.
"""

from __future__ import annotations

from collections.abc import Iterator

from calc import drum, duty, tables
from calc.files import Document, Problem, Where
from calc.model import (
    Done,
    Machine,
    NewRope,
    PreTensioning,
    ReReeving,
    Shortening,
    Unwinding,
    Upkeep,
    Work,
)
from calc.rig import ROUNDING, Rig, State

_Found = Iterator[Problem]
_Said = Iterator[tuple[Where, str]]  # place inside the entry, what is wrong


def problems(document: Document, upkeep: Upkeep, machine: Machine, case_for: duty.CaseFor) -> _Found:
    """Everything in a log that cannot be.

    Parameters
    ----------
    document, upkeep : the file of the log, and what was built from it
    machine : the machine whose rope it is
    case_for : gives a case for every listed boom length [m]

    Returns: problems, located.  Errors: none.
    """
    listed = {chart.boom_length: chart.slug for c in machine.configurations for chart in c.charts}
    rope_length = 0.0
    for number, entry in enumerate(upkeep.log):
        written = document.data["log"][number]
        kind = next(name for name in written if name not in ("day", "note"))
        here: Where = ("log", number, kind)
        before = upkeep.log[number - 1].day if number else ""
        if entry.day < before:
            text = f"{entry.day} is before {before} above it; list oldest first"
            yield document.problem(("log", number, "day"), text)
        if isinstance(entry.done, NewRope):
            rope_length = entry.done.length
        elif number == 0:
            yield document.problem(here, "comes before any rope; begin the log with new_rope")
            return
        if isinstance(entry.done, Shortening):
            rope_length -= entry.done.length
            if rope_length <= 0:
                yield document.problem((*here, "length"), "cuts off more rope than there was; check the length")
                return
        found = list(_names(entry.done, machine, listed))
        if not found and isinstance(entry.done, (Work, PreTensioning, ReReeving)):
            found = list(_possible(entry.done, machine, case_for, rope_length))
        elif isinstance(entry.done, Unwinding) and entry.done.length > rope_length:
            found = [(("length",), f"is more than the rope of {_length(rope_length, machine)}; check the length")]
        for path, text in found:
            yield document.problem((*here, *path), text)


def _names(done: Done, machine: Machine, listed: dict[float, str]) -> _Said:
    """Boom lengths that are listed, a block there is, falls it takes."""
    if isinstance(done, (Work, ReReeving, PreTensioning)):
        lengths = done.boom_length if isinstance(done, PreTensioning) else (done.boom_length, done.boom_length)
        for length, name in dict(zip(reversed(lengths), ("telescoped_to", "boom_length"), strict=True)).items():
            if length not in listed:
                yield (name,), f"no chart lists this boom length; listed: {' '.join(listed.values())}"
        block = next((block for block in machine.blocks if block.id == done.block), None)
        if block is None:
            yield ("block",), f"there is no block '{done.block}'; known: {' '.join(b.id for b in machine.blocks)}"
        elif not block.least_falls <= done.falls <= block.most_falls:
            text = f"block {block.id} takes {block.least_falls} to {block.most_falls}; write the block that was used"
            yield ("falls",), text
        if isinstance(done, PreTensioning) and lengths[1] > lengths[0]:
            yield ("telescoped_to",), "is longer than the boom was; a boom is telescoped in"


def _possible(
    done: Work | PreTensioning | ReReeving, machine: Machine, case_for: duty.CaseFor, rope_length: float
) -> _Said:
    """Heights, rope and layers there are."""
    length = done.boom_length[0] if isinstance(done, PreTensioning) else done.boom_length
    crane = duty.crane(case_for(length), rope_length)
    rig = Rig(crane, done.falls, next(block for block in machine.blocks if block.id == done.block))
    if isinstance(done, Work):
        yield from _work(done, rig)
    elif isinstance(done, PreTensioning):
        yield from _winding(done, rig)


def _work(done: Work, rig: Rig) -> _Said:
    crane = rig.crane
    rows = [row for c in crane.case.machine.configurations for chart in c.charts for row in chart.rows
            if chart.boom_length == done.boom_length]  # fmt: skip
    least, most = min(radius for radius, _ in rows), max(radius for radius, _ in rows)
    if not least - ROUNDING <= done.radius <= most + ROUNDING:
        near, far = _length(least, crane.case.machine), _length(most, crane.case.machine)
        yield ("radius",), f"the charts list {near} to {far} for this boom; write a radius between"
        return
    highest = duty.highest_hook(rig, done.radius)
    for place, hook in enumerate(done.hook):
        at = State(done.boom_length, done.radius, hook, done.falls, done.load, 0.0)
        if hook > highest + ROUNDING:
            top = _length(highest, crane.case.machine)
            yield ("hook", place), f"is above the upper stop, which at this radius is at {top}; check the hook height"
        elif rig.rope_on_drum(at) < crane.dead_rope:
            yield ("hook", place), f"with {done.falls} falls the rope does not reach so low; check falls and hook height"
    carried = max(capacity for radius, capacity in rows if radius >= done.radius - ROUNDING)
    if done.load + rig.block.mass > carried:
        listed = _mass(carried, crane.case.machine)
        yield ("load",), f"with the block is more than the {listed} the charts list there; check the load"


def _winding(done: PreTensioning, rig: Rig) -> _Said:
    layers = rig.crane.layers
    if done.load <= rig.block.mass:
        block = _mass(rig.block.mass, rig.crane.case.machine)
        text = f"is not more than the block of {block}; write all that hangs, block included"
        yield ("load",), text
    places = (("drum_before", done.drum_before), ("drum_after", done.drum_after))
    for name, (layer, wrap) in places:
        if layer > len(layers):
            yield (name, 0), f"is {layer}; the rope makes {len(layers)} layers"
            return
        if wrap > layers[layer - 1].wraps:
            yield (name, 1), f"is {wrap}; layer {layer} holds {layers[layer - 1].wraps}"
            return
    before, after = (drum.rope_at(layers, *place) for _, place in places)
    if after <= before:
        yield ("drum_after",), "holds no more rope than before; write the layer and wraps after landing"
    if before < rig.crane.dead_rope:
        yield ("drum_before",), "is below the dead wraps; check the count"


def _length(value: float, machine: Machine) -> str:
    pair = tables.length(value, "down")
    return pair.us if machine.units == "us" else pair.metric


def _mass(value: float, machine: Machine) -> str:
    pair = tables.mass(value, "down")
    return pair.us if machine.units == "us" else pair.metric
