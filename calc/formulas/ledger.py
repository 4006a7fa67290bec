"""The drum as a ledger: which rope lies where, with what tension it was laid, and what laid it.

A stack holds the rope on the drum from the dead end outward.  Paying out takes rope off its outer end, winding in puts
rope on, setting a load down lets the outer wraps slip.  Nothing else changes a tension: rope that stays on the drum
keeps the tension it was laid with.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from calc.formulas import drum, reeving

STRAIGHT = 1e-9  # N/m and N: two runs whose tension goes on in one straight line are one run
LENGTH = 1e-9  # m: less rope than this is none


@dataclass(frozen=True)
class Run:
    """Rope laid in one go.

    Length [m], tension at its inner and its outer end [N], in a straight line between, and what laid it.
    """

    length: float
    inner: float
    outer: float
    cause: str


Stack = tuple[Run, ...]  # from the dead end outward


@dataclass(frozen=True)
class Stretch:
    """Rope between two places on the drum.

    The places as rope from the dead end [m], least and largest tension at laying [N], and what laid it.
    """

    start: float
    end: float
    least: float
    most: float
    cause: str


def held(stack: Stack) -> float:
    """Rope on the drum.

    sum of the lengths

    Parameters
    ----------
    stack : runs from the dead end outward

    Returns: [m].  Errors: none.  Source: conservation of rope.

    >>> held((Run(30.0, 9000.0, 9000.0, "new"), Run(20.0, 900.0, 500.0, "formwork")))
    50.0
    """
    return sum(run.length for run in stack)


def pay_out(stack: Stack, length: float) -> Stack:
    """The stack after paying out.

    Parameters
    ----------
    stack : runs from the dead end outward
    length : rope paid out, [m], 0 to what is held

    Returns: the stack; a run cut in two keeps the tension at the cut.  Errors: ValueError out of range.
    Source: what is laid last comes off first.

    >>> pay_out((Run(30.0, 9000.0, 9000.0, "new"), Run(20.0, 900.0, 500.0, "formwork")), 10.0)[-1]
    Run(length=10.0, inner=900.0, outer=700.0, cause='formwork')
    """
    if not 0 <= length <= held(stack) + LENGTH:
        raise ValueError(f"length is {length}; it lies between 0 and the {held(stack)} m on the drum")
    left = length
    kept = len(stack)
    while kept and left >= stack[kept - 1].length - LENGTH:
        kept -= 1
        left -= stack[kept].length
    if not kept or left <= LENGTH:
        return stack[:kept]
    return (*stack[: kept - 1], _parted(stack[kept - 1], stack[kept - 1].length - left)[0])


def wind_in(stack: Stack, length: float, first: float, last: float, cause: str) -> Stack:
    """The stack after winding in.

    Parameters
    ----------
    stack : runs from the dead end outward
    length : rope wound in, [m], 0 or more
    first, last : drum tension when the first and the last of it runs on, [N]; changes evenly between; below 0 the
        rope comes in slack and is laid with 0
    cause : what laid it

    Returns: the stack; a run that goes on in the straight line of the one beneath, of the same cause, is joined to it.
    Errors: ValueError for a negative length.
    Source: at one radius drum tension and rope on the drum both follow the hook height in a straight line.

    >>> wind_in((Run(30.0, 9000.0, 9000.0, "new"),), 20.0, 900.0, 500.0, "formwork")[-1]
    Run(length=20.0, inner=900.0, outer=500.0, cause='formwork')
    >>> wind_in((Run(30.0, 500.0, 500.0, "new"),), 20.0, 500.0, 500.0, "new")
    (Run(length=50.0, inner=500.0, outer=500.0, cause='new'),)
    >>> wind_in((), 20.0, 100.0, -100.0, "empty hook")[-1]
    Run(length=10.0, inner=0.0, outer=0.0, cause='empty hook')
    """
    if not length >= 0:
        raise ValueError(f"length is {length}; it is 0 or more")
    if length <= LENGTH:
        return stack
    found = stack
    for run in _above(Run(length, first, last, cause), 0.0):
        found = _laid(found, run)
    return found


def set_down(stack: Stack, drum_layers: tuple[drum.Layer, ...], tension_empty: float, friction: float) -> Stack:
    """The stack after the load is set down: the outer wraps slip until friction holds them.

    T_k = min(T at laying, T_empty*e^(2*pi*mu*k)) for the wrap k from outside, k = 0, 1, 2, ...

    Parameters
    ----------
    stack : runs from the dead end outward
    drum_layers : layers of the drum, enough for the rope held
    tension_empty : T_empty, drum tension under the block alone, [N], above 0
    friction : mu of rope on rope, [-], above 0

    Returns: the stack.  Errors: ValueError out of range, and as `drum.position`.
    Rules: overlap.  Source: Euler-Eytelwein (capstan) equation; a wrap is held at what its outer end holds, the
    cautious side.  A wrap is one turn from the outer end, also where it passes from one layer to the next.

    >>> one_layer = drum.layers(0.30831, 0.010, 1.0, 20, 20, 19.9)
    >>> for run in set_down((Run(10.0, 5000.0, 5000.0, "load"),), one_layer, 1500.0, 0.10):
    ...     print(round(run.length, 2), round(run.outer))
    8.0 5000
    1.0 2812
    1.0 1500
    """
    if not tension_empty > 0:
        raise ValueError(f"tension_empty is {tension_empty}; it lies above 0")
    slipped: list[Run] = []
    rest, wrap = stack, 0
    while rest and (holds := reeving.held_tension(tension_empty, friction, wrap)) < _largest(rest):
        under = pay_out(rest, held(rest) - _one_turn_in(drum_layers, held(rest)))
        slipped += reversed([part for run in _between(rest, held(under)) for part in _below(run, holds)])
        rest, wrap = under, wrap + 1
    for run in reversed(slipped):
        rest = _laid(rest, run)
    return rest


def parted(stack: Stack, place: float) -> tuple[Stack, Stack]:
    """The stack in two.

    Parameters
    ----------
    stack : runs from the dead end outward
    place : rope from the dead end to the cut, [m], 0 to what is held

    Returns: the runs beneath the place, and those from it outward.  Errors: ValueError out of range.
    Source: read from the ledger.

    >>> parted((Run(30.0, 9000.0, 9000.0, "new"), Run(20.0, 900.0, 500.0, "formwork")), 40.0)[1]
    (Run(length=10.0, inner=700.0, outer=500.0, cause='formwork'),)
    """
    out = held(stack) - place
    if not -LENGTH <= out <= held(stack) + LENGTH:
        raise ValueError(f"place is {place}; it lies between 0 and the {held(stack):.1f} m on the drum")
    return pay_out(stack, 0.0 if abs(out) <= LENGTH else out), _between(stack, place)


def smaller(stack: Stack, other: Stack) -> Stack:
    """The stack where one of two lies and nobody knows which: at every place the smaller tension.

    Parameters
    ----------
    stack, other : runs from the same place outward

    Returns: runs; those of `stack` count where both are alike, and beyond the end of one the other.  Errors: none.
    Source: the smaller tension at laying is the cautious side.

    >>> for run in smaller((Run(20.0, 900.0, 500.0, "old"),), (Run(30.0, 700.0, 700.0, "week"),)):
    ...     print(run.length, run.inner, run.outer, run.cause)
    10.0 700.0 700.0 week
    10.0 700.0 500.0 old
    10.0 700.0 700.0 week
    """
    found: Stack = ()
    while stack and other:
        length = min(stack[0].length, other[0].length)
        (one, stack), (two, other) = _taken(stack, length), _taken(other, length)
        for here, there in _where_they_cross(one, two):
            found = _laid(found, here if here.inner + here.outer <= there.inner + there.outer else there)
    for run in stack or other:
        found = _laid(found, run)
    return found


def stretches(stack: Stack, limit: float) -> tuple[Stretch, ...]:
    """Where rope lies with less than a tension, from the dead end outward.

    Parameters
    ----------
    stack : runs from the dead end outward
    limit : tension of a firm wrap, [N], above 0

    Returns: one Stretch for each piece of one cause laid below the limit; touching pieces of one cause are one.
    Errors: ValueError for a limit not above 0.  Rules: firm-tension.  Source: compared with the ledger.

    >>> stretches((Run(30.0, 9000.0, 9000.0, "new"), Run(20.0, 2000.0, 0.0, "formwork")), 1000.0)
    (Stretch(start=40.0, end=50.0, least=0.0, most=1000.0, cause='formwork'),)
    """
    if not limit > 0:
        raise ValueError(f"limit is {limit}; it lies above 0")
    found: list[Stretch] = []
    at = 0.0
    for run in stack:
        for start, end, part in _under(run, limit):
            least, most = sorted((part.inner, part.outer))
            before = found[-1] if found else None
            if before and before.cause == part.cause and at + start - before.end <= LENGTH:
                found[-1] = replace(before, end=at + end, least=min(least, before.least), most=max(most, before.most))
            else:
                found.append(Stretch(at + start, at + end, least, most, part.cause))
        at += run.length
    return tuple(found)


def between(stack: Stack, start: float, end: float) -> tuple[Stretch, ...]:
    """The rope between two places on the drum, a Stretch for every run.

    Parameters
    ----------
    stack : runs from the dead end outward
    start, end : places as rope from the dead end, [m], 0 <= start <= end

    Returns: from the dead end outward; empty where nothing is held.  Errors: ValueError out of range.
    Source: read from the ledger.

    >>> between((Run(30.0, 9000.0, 9000.0, "new"), Run(20.0, 2000.0, 0.0, "formwork")), 20.0, 40.0)[-1]
    Stretch(start=30.0, end=40.0, least=1000.0, most=2000.0, cause='formwork')
    """
    if not 0 <= start <= end:
        raise ValueError(f"start is {start}, end is {end}; 0 <= start <= end")
    found: list[Stretch] = []
    at = 0.0
    for run in stack:
        first, last = max(start, at), min(end, at + run.length)
        if last - first > LENGTH:
            part = _parted(_parted(run, last - at)[0], first - at)[1]
            least, most = sorted((part.inner, part.outer))
            found.append(Stretch(first, last, least, most, run.cause))
        at += run.length
    return tuple(found)


def _one_turn_in(drum_layers: tuple[drum.Layer, ...], rope_on_drum: float) -> float:
    """Rope on the drum one turn further in [m]; 0 where less than a turn is left."""
    layer, wraps = drum.position(drum_layers, rope_on_drum)
    if wraps >= 1:
        return max(0.0, rope_on_drum - drum_layers[layer - 1].wrap_length)
    if layer == 1:
        return 0.0
    beneath = drum_layers[layer - 2]
    return beneath.rope_when_full - (1 - wraps) * beneath.wrap_length


def _tension(run: Run, length: float) -> float:
    return run.inner + (run.outer - run.inner) * length / run.length


def _parted(run: Run, length: float) -> tuple[Run, Run]:
    """The inner `length` [m] of a run, and the rest."""
    cut = _tension(run, length)
    return Run(length, run.inner, cut, run.cause), Run(run.length - length, cut, run.outer, run.cause)


def _taken(stack: Stack, length: float) -> tuple[Run, Stack]:
    """The innermost `length` [m] of a stack, which lies within one run, and the rest."""
    if stack[0].length - length <= LENGTH:
        return stack[0], stack[1:]
    inner, outer = _parted(stack[0], length)
    return inner, (outer, *stack[1:])


def _where_they_cross(one: Run, other: Run) -> Iterator[tuple[Run, Run]]:
    """Two runs of one length, cut where the tension of one passes that of the other."""
    inner, outer = one.inner - other.inner, one.outer - other.outer
    cut = one.length * inner / (inner - outer) if inner * outer < 0 else 0.0
    if not LENGTH < cut < one.length - LENGTH:
        yield one, other
        return
    yield from zip(_parted(one, cut), _parted(other, cut), strict=True)


def _between(stack: Stack, start: float) -> tuple[Run, ...]:
    """The runs from a place [m of rope from the dead end] to the outer end."""
    found: list[Run] = []
    at = held(stack)
    for run in reversed(stack):
        at -= run.length
        if at >= start - LENGTH:
            found.append(run)
            continue
        if at + run.length - start > LENGTH:
            found.append(_parted(run, start - at)[1])
        break
    return tuple(reversed(found))


def _crossing(run: Run, tension: float) -> float | None:
    """How far out from its inner end the tension of a run passes a value [m], or None when it does not."""
    if (run.inner - tension) * (run.outer - tension) >= 0:
        return None
    return run.length * (tension - run.inner) / (run.outer - run.inner)


def _split(run: Run, tension: float) -> tuple[Run, ...]:
    cut = _crossing(run, tension)
    if cut is None or not LENGTH < cut < run.length - LENGTH:
        return (run,)
    inner, outer = _parted(run, cut)
    return replace(inner, outer=tension), replace(outer, inner=tension)


def _above(run: Run, least: float) -> Iterator[Run]:
    """The run with no tension below `least`."""
    for part in _split(run, least):
        yield replace(part, inner=max(part.inner, least), outer=max(part.outer, least))


def _below(run: Run, most: float) -> Iterator[Run]:
    """The run with no tension above `most`."""
    for part in _split(run, most):
        yield replace(part, inner=min(part.inner, most), outer=min(part.outer, most))


def _under(run: Run, limit: float) -> Iterator[tuple[float, float, Run]]:
    """The parts of a run laid below a limit, with where they start and end in it."""
    at = 0.0
    for part in _split(run, limit):
        if min(part.inner, part.outer) < limit:
            yield at, at + part.length, part
        at += part.length


def _largest(stack: Stack) -> float:
    return max(max(run.inner, run.outer) for run in stack)


def _laid(stack: Stack, run: Run) -> Stack:
    if not stack or stack[-1].cause != run.cause:
        return (*stack, run)
    under = stack[-1]
    length = under.length + run.length
    joined = Run(length, under.inner, run.outer, run.cause)
    at_joint = _tension(joined, under.length)
    if abs(at_joint - under.outer) <= STRAIGHT * length and abs(under.outer - run.inner) <= STRAIGHT:
        return (*stack[:-1], joined)
    return (*stack, run)
