"""Data without errors in a few lines: how much there is, what no engineer has answered, ropes of another length."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from calc import rounding
from calc.data import folders
from calc.data.files import NEW
from calc.data.look_up import rope_by_log
from calc.data.model import Data


def counts(data: Data) -> str:
    """One line about data without errors.

    >>> counts(Data({}, {}, {}, {}))
    '0 machines, 0 boom lengths, 0 yards, 0 rules: no errors, 0 findings (0 unanswered)'
    """
    booms = sum(len(machine.booms) for machine in data.machines.values())
    findings = [finding for machine in data.machines.values() for finding in machine.findings]
    unanswered = sum(finding.answer is None for finding in findings)
    parts = [
        _number(len(data.machines), "machine"),
        _number(booms, "boom length"),
        _number(len(data.yards), "yard"),
        _number(len(data.rules), "rule"),
    ]
    return f"{', '.join(parts)}: no errors, {_number(len(findings), 'finding')} ({unanswered} unanswered)"


def unanswered(data: Data) -> Iterator[str]:
    """One line for every finding in the `data` that no engineer has answered: machine, place, what is odd, code."""
    for machine in data.machines.values():
        for finding in machine.findings:
            if finding.answer is None:
                yield f"{machine.id}: {finding.where}: {finding.text.of(machine.units)} ({finding.code})"


def left(folder: Path) -> Iterator[str]:
    """One line for every file in a data `folder` that an addition to a log left when it was cut short."""
    for path in sorted(folder.glob(f"*/*{NEW}")):
        name, old = folders.shown(path), path.name.removesuffix(NEW)
        yield f"{name}: was left when writing was cut short; {old} is as it was before: take this away, then add again"


def ropes_by_log(data: Data, day: str) -> Iterator[str]:
    """One line for every rope of the `data` whose log has come to another length on a `day` than the machine's data
    say: where, both lengths, which one counts."""
    for machine in data.machines.values():
        length = rope_by_log(data, machine, day)
        if length is None:
            continue
        place = next(place for on, place in reversed(data.lengths[machine.id]) if on <= day)
        logged, listed = (rounding.rope(each, "near").of(machine.units) for each in (length, machine.rope.length))
        text = f"the rope is {logged} long by this log, {listed} by the data of {machine.id}; plans count {logged}"
        yield f"{place}: {text}"


def _number(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
