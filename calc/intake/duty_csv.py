"""A table of work as CSV, checked as the log of a rope is, and written as entries of that log.

People keep lists of lifts in spreadsheets.  A row of such a list is one entry of kind work; what a row may not say, a
log may not say either, so the same schema and the same checks find it.  With a `radius_to` a row is the worst case of
many lifts.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from calc.checks import logbook
from calc.data import build, schema
from calc.data.entries import Entry, NewRope
from calc.data.files import Document, Errors, Problem, Where
from calc.data.look_up import CaseFor
from calc.data.model import Machine
from calc.intake import csv_table

# Column -> where it stands in an entry of the log.
COLUMNS: dict[str, Where] = {
    "day": ("day",),
    "boom_length": ("work", "boom_length"),
    "radius": ("work", "radius"),
    "falls": ("work", "falls"),
    "block": ("work", "block"),
    "load": ("work", "load"),
    "hook_from": ("work", "hook", 0),
    "hook_to": ("work", "hook", 1),
    "repeats": ("work", "repeats"),
    "note": ("note",),
}
OPTIONAL: dict[str, Where] = {  # columns that a table may leave out
    "until": ("until",),
    "configuration": ("work", "configuration"),
    "radius_to": ("work", "radius", 1),
    "line_pull": ("work", "line_pull"),
}
EVERY = COLUMNS | OPTIONAL
COUNTS = ("falls", "repeats")

Entries = list[dict[str, Any]]
_Row = tuple[int, dict[str, str]]  # line, cells by column


@dataclass
class WorkTable(Document):
    """A CSV file as a log; a place in it is told by its column."""

    def where(self, path: Where) -> str:
        names = {place: name for name, place in EVERY.items()}
        return names.get(path[2:], names.get(path[2:-1], ""))  # the first of a pair of radii has the column of one


def read(path: Path, machine: Machine, log: tuple[Entry, ...], case_for: CaseFor) -> Entries:
    """Entries of a log, as they stand in its file, from a table of work: one for each row.

    The CSV file has a comma between cells, a header with every name of `COLUMNS` and any of `OPTIONAL`, and quantities
    as in the data files.  The entries go on from the last day of the `log` of the `machine`.
    Errors: files.Errors with every problem, each as `file:line: column: what is wrong; what to write instead`.
    """
    sheet = csv_table.read(path, f"begin with the columns {','.join(COLUMNS)}")
    table, header = WorkTable(sheet.file), sheet.header
    rows = [(line, dict(zip(header, cells, strict=True))) for line, cells in sheet.rows]
    whole = _log(table, machine, rows)
    wrong = [*sheet.problems, *(_header(table, sheet.header_line, header) if header else ())]
    if not rows and not wrong:
        wrong = [Problem(table.file, sheet.end, "", "holds no work; write a line for each kind of lift")]
    if rows:
        wrong += [p for p in schema.problems(whole, "upkeep") if p.where in ("", *header)]
    lines = {problem.line for problem in wrong}
    sound = _log(table, machine, [row for row in rows if row[0] not in lines])
    if set(COLUMNS) <= set(header):
        # without a log the rope is the one of the machine's data
        before = log or (Entry("", NewRope(machine.rope.length, 0.0), ""),)
        wrong += logbook.problems(sound, build.upkeep(sound.data), machine, case_for, before)
    if wrong:
        raise Errors(wrong)
    entries: Entries = whole.data["log"]
    return entries


def _header(table: WorkTable, line: int, header: list[str]) -> Iterator[Problem]:
    for name in dict.fromkeys(header):
        if name not in EVERY:
            close = get_close_matches(name, EVERY, 1)
            advice = f"did you mean {close[0]}?" if close else f"known: {' '.join(EVERY)}"
            yield Problem(table.file, line, name, f"is no column here; {advice}")
        elif header.count(name) > 1:
            yield Problem(table.file, line, name, "is a column twice; keep one")
    for name in COLUMNS:
        if name not in header:
            yield Problem(table.file, line, name, "is missing; add the column")


def _log(table: WorkTable, machine: Machine, rows: list[_Row]) -> WorkTable:
    """Rows as a log, with the line of every cell."""
    log = WorkTable(table.file, {"id": machine.id, "format": 1, "log": [_entry(cells) for _, cells in rows]})
    for number, (line, _) in enumerate(rows):
        log.lines[("log", number)] = line
    return log


def _entry(cells: dict[str, str]) -> dict[str, Any]:
    """One row as an entry of a log; empty cells are left out, for the schema to miss."""
    work: dict[str, Any] = {}
    for name, place in EVERY.items():
        cell = cells.get(name, "")
        if place[:2] == ("work", "hook"):
            work.setdefault("hook", []).append(cell)
        elif name == "radius_to" and cell:
            work["radius"] = [work.get("radius", ""), cell]
        elif place[0] == "work" and cell:
            whole = name in COUNTS and re.fullmatch(r"0|[1-9][0-9]*", cell)
            work[str(place[1])] = int(cell) if whole else cell
    around = {name: cells[name] for name in ("until", "note") if cells.get(name)}
    return {"day": cells.get("day", ""), "work": work} | around


def printed(entries: Entries) -> str:
    """The `entries` as YAML, ready to paste under `log:`.

    >>> work = {"boom_length": "54 m", "falls": 6, "block": "five-sheave", "hook": ["3 m", "41 m"]}
    >>> print(printed([{"day": "2026-11-09", "work": work, "note": "panels, pier 4"}]))
      - day: "2026-11-09"
        work: {boom_length: 54 m, falls: 6, block: "five-sheave", hook: [3 m, 41 m]}
        note: "panels, pier 4"
    """
    lines = []
    for entry in entries:
        kind = next(name for name in entry if name not in logbook.OF_AN_ENTRY)
        done = ", ".join(f"{name}: {_flow(name, value)}" for name, value in entry[kind].items())
        lines.append(f'  - day: "{entry["day"]}"')
        if "until" in entry:
            lines.append(f'    until: "{entry["until"]}"')
        lines.append(f"    {kind}: {{{done}}}")
        if "note" in entry:
            lines.append(f"    note: {_quoted(entry['note'])}")
        if "record" in entry:
            lines.append(f"    record: {_quoted(entry['record'])}")
    return "\n".join(lines)


def _flow(name: str, value: Any) -> str:
    """A quantity or a count stands as it is; a name is quoted, it may look like something else."""
    if name in ("block", "configuration"):
        return _quoted(value)
    return f"[{', '.join(map(str, value))}]" if isinstance(value, list) else str(value)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
