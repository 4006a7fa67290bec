"""Every plan of today and of each later day on which something begins: what cannot be computed, and what moves."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from calc.changes import record
from calc.changes.compare import Comparison, Moved, PlanMoved
from calc.changes.record import Line, Record
from calc.data import files, folders, look_up, rulebook
from calc.data.files import Errors, Problem
from calc.data.model import Case, Data, Machine


@dataclass(frozen=True)
class Moves:
    """What moves from one day to the next: inputs and plans that are not the same, how many plans and numbers there
    are, and how many of the numbers moved."""

    inputs: tuple[Moved, ...]
    plans: tuple[PlanMoved, ...]
    plan_count: int
    count: int
    moved: int


# Plans made so far, by machine, boom and configuration, each with the case it was made of.
Made = dict[tuple[str, str, str], list[tuple[Case, Record]]]


def known(plans: Iterable[tuple[Case, Mapping[str, Any]]]) -> Made:
    """What is made already, from `plans` as data, each with its case."""
    made: Made = {}
    for case, plan in plans:
        made.setdefault(_name(case), []).append((_rests_on(case), record.of_plan(case, plan)))
    return made


def _name(case: Case) -> tuple[str, str, str]:
    return case.machine.id, case.chart.slug, case.configuration.id


def _rests_on(case: Case) -> Case:
    """The case without what its plan does not rest on."""
    return replace(case, day="", rules=(), machine=replace(case.machine, revision="", change=None))


def moves(data: Data, day: str, made: Made) -> Moves:
    """What moves on a `day` against the day before among the plans of the `data`.

    A plan is computed once for all days on which nothing it rests on changes; `made` holds and takes the plans.  On a
    day before the rules begin there are none.
    """
    found = Comparison(_plans(data, rulebook.day_before(day), made), _plans(data, day, made))
    return Moves(found.inputs, found.plans, found.plan_count, found.count, len(found.moved))


def _plans(data: Data, day: str, made: Made) -> Record:
    """Day, inputs and plans of a day."""
    found: Record = {"day": Line(day)} | record.inputs(data, day)
    try:
        cases = list(record.cases(data, day))
    except look_up.Unknown:
        return found
    for case in cases:
        found |= _plan(case, made)
    return found


def _plan(case: Case, made: Made) -> Record:
    rests_on, before = _rests_on(case), made.setdefault(_name(case), [])
    plan = next((plan for other, plan in before if other == rests_on), None)
    if plan is None:
        plan = record.plan(case)
        before.append((rests_on, plan))
    return plan


def told(data: Data, day: str, made: Made) -> Iterator[str]:
    """A line for each day after a `day` on which something in the `data` begins: what, and how many plans move; `made`
    as in `moves`."""
    for later in record.ahead(data, day)[1:]:
        names = [rule.code for rule in data.rules.values() if any(v.from_day == later for v in rule.versions)]
        names += [machine.id for machine in record.machines(data) if machine.revision == later]
        found = moves(data, later, made)
        was_now = [tuple(map(bool, plan.refused)) for plan in found.plans if None not in plan.refused]
        refused, possible = was_now.count((False, True)), was_now.count((True, False))
        yield (
            f"from {later}: {' '.join(names) or 'tables'}; {len(found.plans)} of {found.plan_count} plans move, "
            f"{refused} newly refused, {possible} newly possible"
        )


Step = tuple[str, Data, Machine]  # a day, the data of that day, one of their machines


def problems(
    data: Data, day: str, folder: Path, made: Made, watched: Callable[[list[Step]], Iterable[Step]] = iter
) -> None:
    """Computes plans and drums of the `data` in a `folder` for a `day` and each later one on which something begins;
    `made` as in `moves`, `watched` sees each machine of each day go by.

    Errors: files.Errors, where anything cannot be computed.
    """
    found = []
    days = [(here, data.at(here)) for here in record.ahead(data, day)]
    for here, then, machine in watched([(*each, machine) for each in days for machine in each[1].machines.values()]):
        try:
            for case in record.cases(replace(then, machines={machine.id: machine}, revisions={}), here):
                _plan(case, made)
            record.of_machine(then, machine, here)
        except (ValueError, ArithmeticError, look_up.Unknown) as error:
            found.append(_problem(data, machine, here, folder, error))
    if found:
        raise Errors(found)


def _problem(data: Data, machine: Machine, day: str, folder: Path, error: Exception) -> Problem:
    """Told at what begins on that day, else at the machine."""
    text = f"from {day} on {machine.id} cannot be computed: {error}; correct what begins that day"
    for rule in data.rules.values():
        for number, version in enumerate(rule.versions):
            if version.from_day == day:
                return _document(folder, "rulebook", rule.id).problem(("versions", number), text)
    return _document(folder, "machines", machine.id).problem(("revision",), text)


def _document(folder: Path, name: str, stem: str) -> files.Document:
    path = folders.place(folder, name) / f"{stem}.yaml"
    return files.read(path, folders.shown(path))
