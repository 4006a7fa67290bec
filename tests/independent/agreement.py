"""Every number of one plan against its second computation.

May import: the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from independent import at_start, of_choice, of_load, of_passes
from independent.compared import Compared
from independent.context import Context, Found


def compare(plan: Mapping[str, Any]) -> Iterator[Compared]:
    """All comparisons of one plan; a refused plan is compared in what it fills."""
    name = f"{plan['machine']} {plan['boom']} {plan['configuration']}"
    for quantity, where, expected, got in _all(plan):
        yield Compared(quantity, f"{name}{where and ', '}{where}", float(expected), float(got))


def _all(plan: Mapping[str, Any]) -> Found:
    yield from at_start.of_inputs(plan)
    if plan["falls"]["used"] is None or not plan["load"] or not plan["stops"]:
        return
    context = Context(plan)
    yield from at_start.of_load(context)
    yield from at_start.of_beds(context)
    lift = context.lift
    if lift is None:
        return
    yield from at_start.of_stops(context, lift)
    yield from of_choice.refused_for_cause(context)
    walked = []
    for method in context.methods:
        found, one = of_passes.of_method(context, lift, method)
        yield from found
        walked.append(one)
    if walked:
        yield from of_load.of_tension(context, walked)
        yield from of_load.of_readings(context, lift)
        yield from of_load.of_heavier(context, lift)
        yield from of_load.of_less_room(context, lift, walked[0])
        yield from of_load.of_warnings(context, lift, walked)
        yield from of_choice.not_beaten(context)
        yield from of_choice.heavier_would_not_do(context)
        yield from of_choice.fewer_falls(context)
        yield from of_choice.telescoped_furthest(context)
