"""Look-up in checked data: a machine on a day, and the case of one plan by machine, configuration, boom and day."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache
from typing import Protocol

from calc.data import rope_log, rulebook
from calc.data.model import Case, Configuration, Data, Machine

NEWEST = "9999-12-31"  # a day on which the newest version of everything and every entry counts


class Unknown(Exception):
    """A machine, boom length, configuration or day there is no data for.

    Where a name is wrong, it comes with those that are `known`: one of them may have been meant.
    """

    def __init__(self, text: str, name: str = "", known: Iterable[str] = ()) -> None:
        super().__init__(text)
        self.name, self.known = name, tuple(known)


def case(data: Data, machine_id: str, boom_slug: str, configuration_id: str | None, day: str) -> Case:
    """What one plan is computed from; without a configuration, the first-listed one that lists the boom length.

    Parameters
    ----------
    data : checked data
    machine_id, boom_slug, configuration_id : as in the address of the plan; the last may be None
    day : whose rules and revision of the machine count, YYYY-MM-DD

    Returns: the case; where the log of the rope has come to another length than the machine's data say, with that one.
    Errors: Unknown, naming what there is.
    """
    found = _as_listed(data, machine_id, boom_slug, configuration_id, day)
    machine = found.machine
    length = rope_by_log(data, machine, day)
    if length is None:
        return found
    by_log = with_machine(found, replace(machine, rope=replace(machine.rope, length=length)))
    return replace(by_log, listed_rope=machine.rope.length)


def rope_by_log(data: Data, machine: Machine, day: str) -> float | None:
    """Length of the rope of a `machine` of the `data` on a `day` by its log, where its data say another [m]."""
    upkeep = data.upkeep.get(machine.id)
    length = None if upkeep is None else rope_log.rope_length(upkeep.log, day)
    if length is None or abs(length - machine.rope.length) <= rope_log.SAME_LENGTH:
        return None
    return length


def _as_listed(data: Data, machine_id: str, boom_slug: str, configuration_id: str | None, day: str) -> Case:
    """The case with the rope of the machine's data."""
    machine = machine_of(data, machine_id, day)
    configuration = _configuration(machine, boom_slug, configuration_id)
    chart = configuration.chart(boom_slug)
    if chart is None:
        listed = [chart.slug for chart in configuration.charts]
        text = f"no boom length {boom_slug!r} for {machine_id} {configuration.id}; listed: {' '.join(listed)}"
        raise Unknown(text, boom_slug, listed)
    jib = machine.jib(configuration)
    at_head = machine if jib is None else replace(machine, reeving=jib.reeving)  # whose sheaves count
    try:
        values, rules = rulebook.resolve(data.rules.values(), at_head, chart.boom_length, day)
    except rulebook.Missing as missing:
        raise Unknown(f"no rule in force on {day} gives {missing}; choose a later day") from missing
    return Case(machine, configuration, chart, data.yards[machine.yard], values, rules, day)


def machine_of(data: Data, machine_id: str, day: str) -> Machine:
    """The machine of the `data` with this `machine_id` in its revision of the `day`.  Errors: Unknown, naming those
    there are, or the first day of this one."""
    every = data.every_revision(machine_id)
    if not every:
        known = data.at(day).machines
        raise Unknown(f"no machine {machine_id!r}; known: {' '.join(known)}", machine_id, known)
    machine = next((one for one in every if one.revision <= day), None)
    if machine is None:
        raise Unknown(f"the data of {machine_id} begins on {every[-1].revision}; choose a later day")
    return machine


class CaseFor(Protocol):
    """Gives a case of a machine by its boom length [m] and the configuration a log names, if any."""

    def __call__(self, boom_length: float, configuration: str | None = None, /) -> Case: ...


def cases(data: Data, machine: Machine, day: str) -> CaseFor:
    """Gives the case of a boom length [m] of a `machine` of the `data` on a `day`, with the rope of the machine's data:
    a log tells of more than one rope.

    It is that of the configuration named where that one is rigged with a jib, else that of the first-listed one.
    """

    @cache
    def found(boom_length: float, configuration: str | None = None) -> Case:
        return _as_listed(data, machine.id, machine.booms[boom_length], machine.on_jib(configuration), day)

    return found


def cases_by_log(data: Data, machine: Machine, day: str) -> Callable[[float], Case]:
    """As `cases` for a `machine` of the `data` on a `day`, with the rope that is on the drum by the log."""
    return cache(lambda length: case(data, machine.id, machine.booms[length], None, day))


def _configuration(machine: Machine, boom_slug: str, id: str | None) -> Configuration:
    if id is None:
        with_boom = (c for c in machine.configurations if c.chart(boom_slug))
        return next(with_boom, machine.configurations[0])
    configuration = machine.configuration(id)
    if configuration is None:
        known = [c.id for c in machine.configurations]
        raise Unknown(f"no configuration {id!r} for {machine.id}; known: {' '.join(known)}", id, known)
    return configuration


def with_machine(case: Case, machine: Machine) -> Case:
    """The `case` with another `machine`; a winch rated at a layer its rope no longer makes is rated at the last, the
    cautious side for its pull."""
    layers = rulebook.drum_layers(machine, case.values.rise_ratio)
    winch = replace(machine.winch, rated_layer=min(machine.winch.rated_layer, len(layers)))
    return replace(case, machine=replace(machine, winch=winch))
