"""A record that a phone exported, checked and added to the log of its rope; the rest of the file stays as it is.

A record is JSON; YAML reads it, so its errors are located like those of every other file.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from calc.checks import logbook
from calc.data import build, files, folders, look_up, schema
from calc.data.files import Document, Errors, Problem
from calc.data.model import Data
from calc.intake import duty_csv


def add(record: Path, data: Data, folder: Path) -> str:
    """Add the entries of a `record`, a JSON file, to the log of its machine in a `folder`; says what was done in one
    line.

    Errors: files.Errors with every problem, located; then nothing is written.
    """
    document = files.read(record, str(record))
    _stop(document.problems or schema.problems(document, "record"))
    machine = document.data["plan"]["machine"]
    if machine not in data.upkeep:
        begin = folders.shown(folder / "upkeep" / f"{machine}.yaml")
        text = f"there is no log of the rope of '{machine}'; begin {begin} with new_rope"
        _stop([document.problem(("plan", "machine"), text)])
    entries = document.data["log"]
    log = Document(document.file, {"id": machine, "format": 1, "log": entries}, document.lines)
    _stop(schema.problems(log, "upkeep"))
    _stop(list(_wrong(log, data, machine)))
    place = folder / "upkeep" / f"{machine}.yaml"
    _write(place, folders.shown(place), entries)
    return f"{len(entries)} {'entry' if len(entries) == 1 else 'entries'} added to {place}"


def _stop(problems: list[Problem]) -> None:
    if problems:
        raise Errors(problems)


def _wrong(log: Document, data: Data, machine: str) -> Iterator[Problem]:
    before = data.upkeep[machine].log
    added = build.upkeep(log.data)
    for number, entry in enumerate(added.log):
        if entry in before:
            yield log.problem(("log", number), "stands in the log already; a record is added once")
    told = data.machines[machine]
    yield from logbook.problems(log, added, told, look_up.cases(data, told, look_up.NEWEST), before)


def _write(place: Path, name: str, entries: list[dict[str, Any]]) -> None:
    """Put the entries under the last one of the log, and the file in its place only when it reads as it should."""
    before = files.read(place, name)
    lines = place.read_text(encoding="utf-8").splitlines(keepends=True)
    here = before.lines[("log",)]
    later = [line for path, line in before.lines.items() if len(path) == 1 and line > here]
    at = min(later, default=len(lines) + 1) - 1
    while not lines[at - 1].strip() or (later and lines[at - 1].startswith("#")):
        at -= 1  # what stands before the next name belongs to it
    indent = lines[before.lines[("log", 0)] - 1].partition("-")[0]
    text = "".join(f"{indent}{line[2:]}\n" for line in duty_csv.printed(entries).splitlines())
    last = "" if lines[at - 1].endswith("\n") else "\n"
    made = place.with_suffix(".yaml.new")
    made.write_text("".join([*lines[:at], last, text, *lines[at:]]), encoding="utf-8")
    after = files.read(made, name)
    if after.problems or after.data != {**before.data, "log": before.data["log"] + entries}:
        made.unlink()
        raise Errors([before.problem(("log",), "is written in a way that cannot be added to; add the entries by hand")])
    made.replace(place)
