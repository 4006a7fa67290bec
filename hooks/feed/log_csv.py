"""The log of one hoist rope as a table for a spreadsheet: a line for each entry, and for each place an inspection read.

Columns stand in hooks/schema/row.schema.json, in their order.  RFC 4180: commas, CRLF, quotes doubled.  A text that a
spreadsheet would take for a formula begins with an apostrophe, which makes it a text there; numbers never begin so.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Mapping
from typing import Any

from calc import ROOT

SCHEMA = ROOT / "hooks/schema/row.schema.json"
MARK = "\ufeff"  # says to a spreadsheet that this is UTF-8
FORMULA = ("=", "+", "-", "@", "|", "%", "＝", "＋", "－", "＠")  # what a formula or a command may begin with

Row = dict[str, Any]


def columns() -> list[str]:
    """The columns in their order."""
    return list(json.loads(SCHEMA.read_text(encoding="utf-8"))["properties"])


def table(log: Mapping[str, Any]) -> str:
    """The whole table of one `log` as the feed has it, with a head line.

    Errors: ValueError for a row with a column that the schema does not hold.
    """
    out = io.StringIO()
    writer = csv.DictWriter(out, columns(), restval="", lineterminator="\r\n")
    writer.writeheader()
    for row in rows(log):
        writer.writerow({name: _cell(value) for name, value in row.items() if value is not None})
    return MARK + out.getvalue()


def rows(log: Mapping[str, Any]) -> Iterator[Row]:
    """Every entry and every place read, by day; entries before the inspections of the same day."""
    found = [*_entries(log), *_inspections(log)]
    for row in sorted(found, key=lambda row: str(row["day"])):
        yield {"machine": log["machine"], **row}


def _cell(value: Any) -> Any:
    """A value that no spreadsheet computes with.

    >>> _cell("=1+1"), _cell(" @home"), _cell("pier 4"), _cell(-2.5)
    ("'=1+1", "' @home", 'pier 4', -2.5)
    """
    if isinstance(value, str) and value.strip().startswith(FORMULA):
        return f"'{value}"
    return value


def _entries(log: Mapping[str, Any]) -> Iterator[Row]:
    for entry in log["log"]:
        done = entry[entry["kind"].replace("-", "_")]
        row = {name: entry[name] for name in ("entry", "day", "until", "kind", "note")}
        yield row | {"rope_length_m": entry["rope_length_m"]} | _flat(done)


PAIRS = {  # pair of the log -> the columns of its two numbers
    "radius_m": ("radius_m", "radius_end_m"),
    "boom_length_m": ("boom_length_m", "boom_length_end_m"),
    "hook_height_m": ("hook_height_m", "hook_height_end_m"),
    "drum_before": ("layer_before", "wraps_before"),
    "drum_after": ("layer_after", "wraps_after"),
    "diameter_m": ("diameter_m", "diameter_other_m"),
    "reference_diameter_m": ("reference_diameter_m", "reference_diameter_other_m"),
}
RENAMED = {"length_m": "cut_or_run_off_m", "layer": "layer_moved"}


def _flat(done: Mapping[str, Any]) -> Row:
    row: Row = {}
    for name, value in done.items():
        if isinstance(value, list):
            row |= dict(zip(PAIRS[name], value, strict=True))
        else:
            row[RENAMED.get(name, name)] = value
    return row


def _inspections(log: Mapping[str, Any]) -> Iterator[Row]:
    for one in log["inspections"]:
        row = {name: one[name] for name in ("inspection", "day", "note", "by")}
        row |= {"kind": f"inspection-{one['kind']}", "rope_length_m": one["rope_length_m"]}
        if one["reference_diameter_m"]:
            row |= _flat({"reference_diameter_m": one["reference_diameter_m"]})
        for place in one["places"] or [{}]:
            read = {name: value for name, value in place.items() if name not in ("broken_wires", "seen", "diameter_m")}
            if place.get("diameter_m"):
                read |= _flat({"diameter_m": place["diameter_m"]})
            read |= {f"broken_{name}": count for name, count in (place.get("broken_wires") or {}).items()}
            if place.get("seen") is not None:
                read["seen"] = " ".join(place["seen"]) or "nothing"
            yield row | read
