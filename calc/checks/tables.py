"""What the schema of the tables cannot see: the tables there must be, no gaps in rows, bands that rise, names once."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from calc.checks.folder import Folder, misnamed, versions_in_order
from calc.data import schema, units
from calc.data.files import Document, Problem, Where

# Every table the calculation reads, and what it holds.
CONTENTS = {
    "broken-wires-single-layer": "broken_wires",
    "broken-wires-rotation-resistant": "broken_wires",
    "diameter-bands": "diameter_bands",
    "rope-constructions": "constructions",
    "criteria": "criteria",
}
NAMES = {"constructions": "construction", "criteria": "criterion"}
SEVERITIES = ("slight", "medium", "high", "very_high")
COLUMNS = ("ordinary", "lang", "any_lay", "multi_layer")

_Found = Iterator[Problem]


def problems(folder: Folder) -> _Found:
    """Everything in the tables of a `folder` that cannot be."""
    documents = folder.sound["tables"]
    yield from misnamed(documents)
    for id, document in documents.items():
        content = CONTENTS.get(id)
        if content is None:
            yield document.problem(("id",), f"no calculation reads a table '{id}'; known: {' '.join(CONTENTS)}")
            continue
        yield from versions_in_order(document)
        for i, version in enumerate(document.data["versions"]):
            here: Where = ("versions", i)
            if content not in version:
                yield document.problem(here, f"does not hold {content}; a version of {id} does")
            elif content == "broken_wires":
                for j, copy in enumerate(version[content]["copies"]):
                    yield from _rows(document, copy, (*here, content, "copies", j))
            elif content == "diameter_bands":
                yield from _bands(document, version[content]["ropes"], (*here, content, "ropes"))
            else:
                yield from _names(document, version[content], NAMES[content], (*here, content))


def _rows(document: Document, copy: dict[str, Any], here: Where) -> _Found:
    """Rows for the same outer strands follow each other without gap or overlap; counts over 30 diameters are never
    below those over 6."""
    placed = [((*here, "rows", k), row) for k, row in enumerate(copy["rows"])]
    if "above" in copy:
        placed.append(((*here, "above"), copy["above"]))
    for place, row in placed:
        if row.get("to", row["from"]) < row["from"]:
            yield document.problem((*place, "to"), f"is {row['to']}, below from {row['from']}; write the larger number")
        columns = [name for name in COLUMNS if name in row]
        if not columns:
            yield document.problem(place, f"has no counts; write at least one of: {' '.join(COLUMNS)}")
        for name in columns:
            short, long = (_number(value) for value in row[name])
            if short > long:
                text = "counts less over the long length than over the short one; write short, long"
                yield document.problem((*place, name), text)
    for (_, before), (place, row) in pairwise(placed):
        same = all(before.get(name) == row.get(name) for name in ("strands_from", "strands_to"))
        if same and before.get("to", 0) + 1 != row["from"]:
            text = f"is {row['from']}, the row before ends at {before.get('to', 'no number')}; leave no gap, no overlap"
            yield document.problem((*place, "from"), text)


def _number(value: int | str) -> float:
    return units.read(value, "share") if isinstance(value, str) else float(value)


def _bands(document: Document, ropes: list[dict[str, Any]], here: Where) -> _Found:
    for k, bands in enumerate(ropes):
        for low, high in pairwise(SEVERITIES):
            if _number(bands[low]) >= _number(bands[high]):
                yield document.problem((*here, k, high), f"is not above {low}; bands rise")
    known = [bands["rope"] for bands in ropes]
    yield from _each_once(document, known, schema_names("diameter_bands", "rope"), here)


def _names(document: Document, rows: list[dict[str, Any]], name: str, here: Where) -> _Found:
    yield from _each_once(document, [row[name] for row in rows], schema_names(here[-1], name), here)


def _each_once(document: Document, written: list[str], wanted: list[str], here: Where) -> _Found:
    for k, name in enumerate(written):
        if name in written[:k]:
            yield document.problem((*here, k), f"'{name}' stands here twice; keep one")
    for name in wanted:
        if name not in written:
            yield document.problem(here, f"'{name}' is missing; add it")


def schema_names(content: str | int, name: str) -> list[str]:
    """The names the schema knows for the rows of a `content`, where the rows are called by `name`.

    >>> schema_names("diameter_bands", "rope")
    ['fibre-core', 'steel-core', 'rotation-resistant']
    """
    version = schema.schema("table")["properties"]["versions"]["items"]["properties"]
    rows = version[content]["properties"]["ropes"] if content == "diameter_bands" else version[content]
    names: list[str] = rows["items"]["properties"][name]["enum"]
    return names
