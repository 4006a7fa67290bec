"""A record that a phone exported, checked and added to the log of its rope; the rest of the file stays as it is.

A record is JSON; YAML reads it, so its errors are located like those of every other file.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from calc.checks import logbook
from calc.data import build, days, files, folders, look_up, schema
from calc.data.entries import Entry
from calc.data.files import Document, Errors, Problem
from calc.data.model import Data
from calc.intake import duty_csv, put

CLOCK = "the clock of the phone was wrong: write the right time, and who changed it, in the note"


def add(record: Path, read: Callable[[], Data], folder: Path, today: str) -> str:
    """Add the entries of a `record`, a JSON file, to the log of its machine in a `folder`, which `read` reads once no
    other command can write there; says what was done in one line.

    Errors: files.Errors with every problem, located; then nothing is written.
    """
    document = files.read_json(record, str(record))
    _stop(document.problems or schema.problems(document, "record") or list(_times(document, today)))
    with put.turn(folder):
        return _added(document, read(), folder, today)


def _added(document: Document, data: Data, folder: Path, today: str) -> str:
    machine = document.data["plan"]["machine"]
    if machine not in data.upkeep:
        begin = folders.shown(folder / "upkeep" / f"{machine}.yaml")
        text = f"there is no log of the rope of '{machine}'; begin {begin} with new_rope"
        _stop([document.problem(("plan", "machine"), text)])
    _stop(list(_unknown(document, data)))
    entries = [{**entry, "record": document.data["started"]} for entry in document.data["log"]]
    log = Document(document.file, {"id": machine, "format": 1, "log": entries}, document.lines)
    _stop(schema.problems(log, "upkeep"))
    _stop(list(_wrong(log, data, machine, today)))
    place = folder / "upkeep" / f"{machine}.yaml"
    _write(place, folders.shown(place), entries)
    return f"{len(entries)} {'entry' if len(entries) == 1 else 'entries'} added to {place}"


def _stop(problems: list[Problem]) -> None:
    if problems:
        raise Errors(problems)


def _times(record: Document, today: str) -> Iterator[Problem]:
    """Start and end of the work, by the clock of the phone."""
    read: list[datetime] = []
    for name in ("started", "ended"):
        try:
            read.append(datetime.fromisoformat(record.data[name]))
            days.parse(read[-1].date().isoformat())
            if read[-1].tzinfo is None:
                raise ValueError("of no time zone")
        except ValueError:
            text = f"'{record.data[name]}' is no time; a phone writes it like 2026-11-26T07:10:00.000Z"
            yield record.problem((name,), text)
            return
    if read[1] < read[0]:
        text = f"{record.data['ended']} is before {record.data['started']}, when it was started; {CLOCK}"
        yield record.problem(("ended",), text)
    if read[1].date().isoformat() > _tomorrow(today):
        yield record.problem(("ended",), _in_the_future(read[1].date().isoformat(), today))


def _tomorrow(today: str) -> str:
    """The last day on which something can have been done: east of Greenwich the next day begins earlier."""
    return (date.fromisoformat(today) + timedelta(days=1)).isoformat()


def _in_the_future(day: str, today: str) -> str:
    return f"{day} is after {_tomorrow(today)}, the day after this one; {CLOCK}"


def _unknown(record: Document, data: Data) -> Iterator[Problem]:
    """What the record names that no revision of the machine has."""
    plan = record.data["plan"]
    known = data.every_revision(plan["machine"])
    same = [machine for machine in known if machine.revision == plan["revision"]]
    if not same:
        listed = " ".join(machine.revision for machine in known)
        yield record.problem(("plan", "revision"), f"there is no revision '{plan['revision']}'; known: {listed}")
    for machine in same:
        chosen = machine.configuration(plan["configuration"])
        if chosen is None:
            listed = " ".join(each.id for each in machine.configurations)
            text = f"there is no configuration '{plan['configuration']}'; known: {listed}"
            yield record.problem(("plan", "configuration"), text)
        charts = chosen.charts if chosen else [chart for each in machine.configurations for chart in each.charts]
        if plan["boom"] not in (booms := list(dict.fromkeys(chart.slug for chart in charts))):
            text = f"no chart lists the boom length '{plan['boom']}'; listed: {' '.join(booms)}"
            yield record.problem(("plan", "boom"), text)


def _wrong(log: Document, data: Data, machine: str, today: str) -> Iterator[Problem]:
    before = data.upkeep[machine].log
    added = build.upkeep(log.data)
    seen: list[Entry] = []
    for number, entry in enumerate(added.log):
        bare = replace(entry, note="", record=None)
        # notes may have been mended since; an entry that was typed by hand does not say its record
        if any(old.record in (None, entry.record) and replace(old, note="", record=None) == bare for old in before):
            yield log.problem(("log", number), "stands in the log already; a record is added once")
        elif any(old.record == entry.record for old in before):
            yield log.problem(("log", number), "is of a record that stands in the log already; mend the log by hand")
        elif bare in seen:
            text = f"says the same as log[{seen.index(bare) + 1}]; a pass is logged once, take one of them out"
            yield log.problem(("log", number), text)
        if entry.last_day > _tomorrow(today):
            name = "until" if entry.until else "day"
            yield log.problem(("log", number, name), _in_the_future(entry.last_day, today))
        seen.append(bare)
    told = data.machines[machine]
    yield from logbook.problems(log, added, told, look_up.cases(data, told, look_up.NEWEST), before)


def _write(place: Path, name: str, entries: list[dict[str, Any]]) -> None:
    """Put the entries under the last one of the log, and the file in its place only when it reads as it should."""
    before = files.read(place, name)
    lines = re.split(r"(?<=\n)", place.read_bytes().decode())
    here = before.lines[("log",)]
    later = [line for path, line in before.lines.items() if len(path) == 1 and line > here]
    at = min(later, default=len(lines) + 1) - 1
    while not lines[at - 1].strip() or (later and lines[at - 1].startswith("#")):
        at -= 1  # what stands before the next name belongs to it
    indent = lines[before.lines[("log", 0)] - 1].partition("-")[0]
    end = "\r\n" if lines[0].endswith("\r\n") else "\n"
    text = "".join(f"{indent}{line[2:]}{end}" for line in duty_csv.printed(entries).splitlines())
    last = "" if lines[at - 1].endswith("\n") else end

    def sound(made: Path) -> bool:
        after = files.read(made, name)
        return not after.problems and after.data == {**before.data, "log": before.data["log"] + entries}

    try:
        written = put.replace(place, "".join([*lines[:at], last, text, *lines[at:]]), sound)
    except OSError as error:
        raise Errors([Problem(name, 1, "", put.not_written(error))]) from None
    if not written:
        raise Errors([before.problem(("log",), "is written in a way that cannot be added to; add the entries by hand")])
