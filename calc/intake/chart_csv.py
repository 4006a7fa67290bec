"""A capacity table as CSV: read into the charts of one configuration of a machine, and written from them.

Printed capacity charts are tables: radii down, boom lengths across.  Typed off as they stand, one cell for each number,
they can be laid beside the page and compared.  Units stand in the header, once: `radius (m)`, then `54 m (t)` for the
capacities of 54 m of boom in tonnes.  What the manual does not list stays empty.  A line that begins with `telescoping`
holds the loads the boom may telescope with.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any

from calc.checks import plausible
from calc.checks.charts import problems as problems_of_charts
from calc.data import build, files, folders, look_up, schema, units
from calc.data.files import Document, Errors, Problem, Where
from calc.data.model import Boom, Chart, Configuration, Jib
from calc.data.units import FACTORS
from calc.intake import csv_table
from calc.intake.csv_table import Sheet

CORNER = "radius"
TELESCOPING = "telescoping"
BEGIN = "begin with radius (m) and a column for each boom length, like 54 m (t)"
HERE: Where = ("configurations", 0)

_HEADER = re.compile(r"(.+?) ?\((\S+)\)")
US = ("ft", "in")


@dataclass(frozen=True)
class Facts:
    """What a table is held against: the boom of its crane; id, name and jib of the configuration it is for."""

    kind: str
    boom: Boom
    configuration: str
    name: str
    jib: Jib | None = None


@dataclass
class ChartTable(Document):
    """A CSV file as a machine with one configuration; a place in it is told by its column."""

    header: list[str] = field(default_factory=list)
    columns: dict[Where, int] = field(default_factory=dict)

    def where(self, path: Where) -> str:
        if path == (*HERE, "id"):
            return "--configuration"
        while path and path not in self.columns:
            path = path[:-1]
        return place(self.columns[path], self.header) if path else ""

    def put(self, path: Where, line: int, column: int) -> None:
        """Where the value at `path` stands: `line` from 1, `column` from 0."""
        self.lines[path], self.columns[path] = line, column

    def wrong(self, line: int, column: int, text: str) -> Problem:
        """What is wrong, in `text`, with the cell at this `line` and `column`."""
        return Problem(self.file, line, place(column, self.header), text)


@dataclass(frozen=True)
class Read:
    """Charts as they stand in a machine's file, and one line for everything unusual in them."""

    configuration: dict[str, Any]
    findings: list[str]


NEEDED = ("kind", "boom")  # parts of a machine's file


def facts(folder: Path, machine_id: str, configuration_id: str | None) -> Facts:
    """What a table for a configuration of a machine is held against, from the machine's file in a data `folder`.

    The file may be unfinished: kind and boom are enough.  Without a `configuration_id`, the first-listed one.
    Errors: look_up.Unknown when there is no file for `machine_id`, no configuration to take, or no such jib at the
    boom; files.Errors for what is wrong with kind and boom.
    """
    raw, document = _file(folder, machine_id)
    wrong = [p for p in document.problems if p.where.partition(".")[0] in ("", *NEEDED)]
    wrong = wrong or [p for p in schema.problems(document, "machine") if p.where.partition(".")[0] in NEEDED]
    if wrong:
        raise Errors(wrong)
    listed = _configurations(raw)
    if configuration_id is None and not listed:
        text = f"{machine_id} lists no configuration yet; name this one by --configuration, like full-counterweight"
        raise look_up.Unknown(text)
    id = configuration_id or str(listed[0]["id"])
    own = next((one for one in listed if one["id"] == id), {})
    boom = build.made(Boom, raw["boom"])
    rigged = own.get("jib")
    jib = boom.jib(rigged)
    if rigged and jib is None:
        known = [one.id for one in boom.jibs]
        raise look_up.Unknown(f"no jib {rigged!r} at the boom of {machine_id}; known: {' '.join(known) or 'none'}")
    return Facts(raw["kind"], boom, id, str(own.get("name") or id.replace("-", " ").capitalize()), jib)


def configuration(folder: Path, machine_id: str, configuration_id: str | None) -> dict[str, Any]:
    """One configuration as it stands in the file of the machine `machine_id` in a data `folder`; without a
    `configuration_id`, the first-listed one.

    Errors: look_up.Unknown when there is none; files.Errors for what is wrong with its charts.
    """
    raw, document = _file(folder, machine_id)
    wrong = [p for p in (*document.problems, *schema.problems(document, "machine")) if _of_charts(p)]
    if wrong:
        raise Errors(wrong)
    listed = _configurations(raw)
    found = next((one for one in listed if configuration_id in (None, one["id"])), None)
    if found is None:
        known = [one["id"] for one in listed]
        text = f"no configuration {configuration_id!r} for {machine_id}; known: {' '.join(known) or 'none'}"
        raise look_up.Unknown(text, configuration_id or "", known)
    return found


def _of_charts(problem: Problem) -> bool:
    return not problem.where or problem.where.startswith("configurations")


def _file(folder: Path, machine_id: str) -> tuple[dict[str, Any], Document]:
    path = folder / "machines" / f"{machine_id}.yaml"
    if not path.exists():
        text = f"no machine {machine_id!r}; `python -m calc new machine {machine_id}` begins its file"
        raise look_up.Unknown(text, machine_id, sorted(other.stem for other in path.parent.glob("*.yaml")))
    document = files.read(path, folders.shown(path))
    return document.data if isinstance(document.data, dict) else {}, document


def _configurations(raw: dict[str, Any]) -> list[dict[str, Any]]:
    """The configurations that have an id and a name already."""
    listed = raw.get("configurations")
    each = listed if isinstance(listed, list) else []
    return [one for one in each if isinstance(one, dict) and one.get("id") and one.get("name")]


def place(column: int, header: list[str]) -> str:
    """A `column` of a table, counted from 0, as spreadsheets name it, with what stands in the `header`.

    >>> place(0, ["radius (m)"]), place(27, ["x"] * 27 + ["54 m (t)"])
    ('column A: radius (m)', 'column AB: 54 m (t)')
    """
    letters, rest = "", column + 1
    while rest:
        rest, letter = divmod(rest - 1, 26)
        letters = chr(ord("A") + letter) + letters
    return f"column {letters}" + (f": {header[column]}" if header[column] else "")


def read(path: Path, facts: Facts) -> Read:
    """The charts of one configuration from the table at `path`, checked as far as a table can be against the `facts`.

    Errors: files.Errors with every problem, each as `file:line: column: what is wrong; what to write instead`.
    """
    sheet = csv_table.read(path, BEGIN)
    table = ChartTable(sheet.file, header=sheet.header)
    titles = [_title(title) for title in sheet.header]
    wrong = [*sheet.problems, *_headers(table, sheet.header_line, titles)]
    if not wrong:
        wrong = list(_fill(table, sheet, titles, facts))
    if not wrong and not sheet.rows:
        wrong = [Problem(table.file, sheet.end, "", "holds no capacities; write a line for each radius")]
    wrong = wrong or [p for p in schema.problems(table, "machine") if p.where] or list(problems_of_charts(table))
    if not wrong:
        charts = build.made(Configuration, table.data["configurations"][0]).charts
        odd = list(plausible.chart_oddities(facts.kind, facts.boom, charts, HERE, facts.jib))
        system = "us" if titles[0][1] in US else "metric"
        wrong = [table.problem(o.path, o.text.of(system)) for o in odd if o.contradiction]
    if wrong:
        raise Errors(wrong)
    findings = [f"{table.problem(o.path, o.text.of(system))} ({o.code})" for o in odd]
    return Read(table.data["configurations"][0], [*findings, *_gaps(table, charts)])


def _title(title: str) -> tuple[str, str]:
    """Name and unit of a column."""
    match = _HEADER.fullmatch(title)
    return (match[1], match[2]) if match else (title, "")


def _headers(table: ChartTable, line: int, titles: list[tuple[str, str]]) -> Iterator[Problem]:
    for column, (name, unit) in enumerate(titles):
        if column == 0 and (name != CORNER or unit not in FACTORS["length"]):
            said = f"is not the column of the radii; write radius and one of: {_each('length')}"
            yield table.wrong(line, column, said)
        elif column and (unit not in FACTORS["mass"] or not _is_length(name)):
            said = f"is no boom length with the unit of its capacities; write it like 54 m and one of: {_each('mass')}"
            yield table.wrong(line, column, said)
    if len(titles) == 1:
        yield table.wrong(line, 0, "is the only column; add one for each boom length, like 54 m (t)")


def _each(kind: str) -> str:
    return " ".join(f"({unit})" for unit in FACTORS[kind])


def _is_length(text: str) -> bool:
    try:
        return units.read(text, "length") > 0
    except ValueError:
        return False


def _fill(table: ChartTable, sheet: Sheet, titles: list[tuple[str, str]], facts: Facts) -> Iterator[Problem]:
    """Put every cell where a machine's file has it; yields those that are no number and radii out of order."""
    charts: list[dict[str, Any]] = [{"boom_length": length, "rows": []} for length, _ in titles[1:]]
    named = {"id": facts.configuration, "name": facts.name} | ({"jib": facts.jib.id} if facts.jib else {})
    table.data = {"configurations": [named | {"charts": charts}]}
    for column in range(1, len(titles)):
        table.put((*HERE, "charts", column - 1), sheet.header_line, column)
    largest = 0.0
    for line, (first, *capacities) in sheet.rows:
        if first == TELESCOPING:
            yield from _telescoping(table, line, capacities, titles, facts)
            continue
        if not units.plain(first):
            said = f"'{first}' is no plain number" if first else "is empty"
            yield table.wrong(line, 0, f"{said}; write a radius like 24.5, its unit stands in the header")
            continue
        radius = f"{first} {titles[0][1]}"
        if (value := units.read(radius, "length")) <= largest:
            said = f"radius {radius} is not larger than the one before it; list radii rising, each once"
            yield table.wrong(line, 0, said)
        largest = max(value, largest)
        if not any(capacities):
            yield table.wrong(line, 0, f"radius {radius} has no capacity; take the line out")
        for column, cell in _numbers(capacities):
            rows = charts[column - 1]["rows"]
            table.put((*HERE, "charts", column - 1, "rows", len(rows)), line, column)
            rows.append([radius, f"{cell} {titles[column][1]}"])
            yield from _no_number(table, line, column, cell)


def _telescoping(
    table: ChartTable, line: int, loads: list[str], titles: list[tuple[str, str]], facts: Facts
) -> Iterator[Problem]:
    """The line of the loads the boom may telescope with."""
    charts = table.data["configurations"][0]["charts"]
    if facts.kind == "lattice":
        yield table.wrong(line, 0, "a lattice boom does not telescope; take the line out")
    elif any(TELESCOPING in chart for chart in charts):
        yield table.wrong(line, 0, "is a second line for telescoping; keep one")
    for column, cell in _numbers(loads):
        table.put((*HERE, "charts", column - 1, TELESCOPING), line, column)
        charts[column - 1][TELESCOPING] = f"{cell} {titles[column][1]}"
        yield from _no_number(table, line, column, cell)


def _numbers(cells: list[str]) -> Iterator[tuple[int, str]]:
    """Column and text of every cell that is not empty, the first column being that of the radii."""
    return ((column, cell) for column, cell in enumerate(cells, 1) if cell)


def _no_number(table: ChartTable, line: int, column: int, cell: str) -> Iterator[Problem]:
    if not units.plain(cell):
        yield table.wrong(line, column, f"'{cell}' is no plain number; write one like 24.5, or leave the cell empty")


def _gaps(table: ChartTable, charts: tuple[Chart, ...]) -> Iterator[str]:
    """Empty cells between two capacities of one boom length: a chart is never interpolated, so they cost radius."""
    listed = {radius for chart in charts for radius, _ in chart.rows}
    for j, chart in enumerate(charts):
        for k, ((before, _), (after, _)) in enumerate(pairwise(chart.rows)):
            if left_out := sum(before < radius < after for radius in listed):
                cells = "the cell" if left_out == 1 else f"{left_out} cells"
                said = f"{cells} above it, between two capacities, {'stands' if left_out == 1 else 'stand'} empty"
                yield f"{table.problem((*HERE, 'charts', j, 'rows', k + 1), said)} (gap)"


def printed(configuration: dict[str, Any]) -> str:
    """A `configuration` as YAML, ready to stand under `configurations:`.

    >>> rows = [["9 m", "61.5 t"], ["10 m", "55 t"]]
    >>> print(printed({"id": "full", "name": "Full", "charts": [{"boom_length": "54 m", "rows": rows}]}))
      - id: full
        name: "Full"
        charts:
          - boom_length: 54 m
            rows:
              - [9 m, 61.5 t]
              - [10 m, 55 t]
    """
    lines = [f"  - id: {configuration['id']}", f"    name: {json.dumps(configuration['name'], ensure_ascii=False)}"]
    lines += [f"    jib: {configuration['jib']}"] if "jib" in configuration else []
    lines.append("    charts:")
    for chart in configuration["charts"]:
        lines.append(f"      - boom_length: {chart['boom_length']}")
        if TELESCOPING in chart:
            lines.append(f"        telescoping: {chart[TELESCOPING]}")
        lines.append("        rows:")
        lines += [f"          - [{radius}, {capacity}]" for radius, capacity in chart["rows"]]
    return "\n".join(lines)


def table(configuration: dict[str, Any]) -> str:
    """The charts of a `configuration`, as it stands in a machine's file, as such a table.

    Errors: ValueError where radii, or capacities of one boom length, stand in two units.

    >>> rows = [["9 m", "61.5 t"], ["10 m", "55 t"]]
    >>> print(table({"charts": [{"boom_length": "54 m", "rows": rows}]}))
    radius (m),54 m (t)
    9,61.5
    10,55
    """
    charts = configuration["charts"]
    radii = {units.read(radius, "length"): radius for chart in charts for radius, _ in reversed(chart["rows"])}
    telescoping = any(TELESCOPING in chart for chart in charts)
    unit = _one_unit("the radii", radii.values())
    columns = []
    for chart in charts:
        loads = [chart[TELESCOPING]] if TELESCOPING in chart else []
        capacities = {units.read(radius, "length"): capacity for radius, capacity in chart["rows"]}
        own = _one_unit(chart["boom_length"], [*capacities.values(), *loads])
        cells = [_number(capacities.get(radius)) for radius in sorted(radii)]
        cells += [_number(chart.get(TELESCOPING))] if telescoping else []
        columns.append([f"{chart['boom_length']} ({own})", *cells])
    first = [f"{CORNER} ({unit})", *(_number(radii[radius]) for radius in sorted(radii))]
    columns.insert(0, [*first, TELESCOPING] if telescoping else first)
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(zip(*columns, strict=True))
    return out.getvalue().rstrip("\n")


def _one_unit(what: str, quantities: Any) -> str:
    found = sorted({quantity.partition(" ")[2] for quantity in quantities})
    if len(found) > 1:
        raise ValueError(f"{what}: in {' and '.join(found)}; a table has one unit for each column")
    return str(found[0])


def _number(quantity: str | None) -> str:
    return quantity.partition(" ")[0] if quantity else ""
