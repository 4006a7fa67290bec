"""What the schema of a crane's data cannot see: yard, approval, boom, falls, overrides, names once, charts."""

from __future__ import annotations

from collections.abc import Iterator

from calc.checks import charts, jibs
from calc.checks.folder import Folder, misnamed, repeated, shared
from calc.data import schema
from calc.data.files import Document, Problem


def problems(folder: Folder) -> Iterator[Problem]:
    """Everything in the machines of a `folder` that cannot be."""
    documents = folder.sound["machines"]
    yield from misnamed(documents)
    for document in documents.values():
        yield from of_machine(document, folder)
    yield from shared(documents, "name", "give each winch a name of its own")


def of_machine(document: Document, folder: Folder) -> Iterator[Problem]:
    """Everything in the `document` of one machine, or an earlier revision of it, that cannot be beside the other files
    of the `folder`."""
    yard = document.data["yard"]
    if yard not in folder.known["yards"]:
        yield document.problem(("yard",), folder.none_called(yard, "yard", "yards"))
    yield from _approval(document)
    yield from _by_kind(document)
    yield from _falls(document)
    yield from _overrides(document, folder)
    yield from repeated(document, ("overrides",), ("rule", "value"), "keep one")
    yield from repeated(document, ("answers",), ("finding", "where"), "keep one")
    yield from repeated(document, ("blocks",), ("id",))
    yield from repeated(document, ("configurations",), ("id",))
    yield from repeated(document, ("configurations",), ("name",))
    yield from jibs.problems(document)
    yield from _reserved(document)
    out_of_order = list(charts.problems(document))
    yield from out_of_order or charts.most_cautious_first(document)


def _reserved(document: Document) -> Iterator[Problem]:
    for i, configuration in enumerate(document.data["configurations"]):
        if configuration["id"] in schema.page_names("crane", "plan"):
            text = f"'{configuration['id']}' is the address of another page; choose another id"
            yield document.problem(("configurations", i, "id"), text)


def _approval(document: Document) -> Iterator[Problem]:
    """An approved machine says who approved this very revision; another one claims nothing of the kind."""
    status, approval = document.data["status"], document.data.get("approval")
    if status == "approved" and approval is None:
        text = "is missing; an approved machine names who compared it with the manual: reviewer, date, pages"
        yield document.problem(("approval",), text)
    elif status != "approved" and approval is not None:
        text = f"stands in a machine whose status is {status}; write status: approved, or take the approval out"
        yield document.problem(("approval",), text)
    elif approval and approval["date"] < document.data["revision"]:
        text = f"is before the revision of {document.data['revision']}; review this revision and write that day"
        yield document.problem(("approval", "date"), text)


def _by_kind(document: Document) -> Iterator[Problem]:
    data = document.data
    for name in ("telescoping", "clear_radius"):
        if data["kind"] == "telescopic" and name not in data["boom"]:
            yield document.problem(("boom", name), "is missing; a telescopic boom needs it")
        if data["kind"] == "lattice" and name in data["boom"]:
            yield document.problem(("boom", name), "a lattice boom does not telescope; take it out")
    for i, configuration in enumerate(data["configurations"]):
        for j, chart in enumerate(configuration["charts"]):
            if data["kind"] == "lattice" and "telescoping" in chart:
                path = ("configurations", i, "charts", j, "telescoping")
                yield document.problem(path, "a lattice boom does not telescope; take it out")


def _falls(document: Document) -> Iterator[Problem]:
    covered = 0
    before = (0, 0)
    for i, block in enumerate(document.data["blocks"]):
        least, most = block["falls"]
        if least > most:
            yield document.problem(("blocks", i, "falls"), f"[{least}, {most}] runs backwards; write fewest, most")
        elif (least, most) < before:
            yield document.problem(("blocks", i, "falls"), "comes after a block for more falls; list by growing falls")
        elif least > covered + 1:
            gap = f"{covered + 1}" if least == covered + 2 else f"{covered + 1} to {least - 1}"
            yield document.problem(("blocks", i, "falls"), f"no block takes {gap} falls; close the gap")
        covered, before = max(covered, least, most), max(before, (least, most))
    wanted = document.data["reeving"]["most_falls"]
    if covered < wanted:
        yield document.problem(
            ("reeving", "most_falls"), f"is {wanted}, the blocks take up to {covered}; make them match"
        )


def _overrides(document: Document, folder: Folder) -> Iterator[Problem]:
    rules = folder.sound["rulebook"]
    for i, entry in enumerate(document.data.get("overrides", [])):
        here = ("overrides", i)
        if entry["rule"] not in folder.known["rulebook"]:
            yield document.problem((*here, "rule"), folder.no_rule(entry["rule"]))
        elif entry["rule"] in rules:
            versions = rules[entry["rule"]].data["versions"]
            values = list(dict.fromkeys(name for version in versions for name in version["values"]))
            if entry["value"] not in values:
                text = f"rule {entry['rule']} has no value '{entry['value']}'; it has: {' '.join(values) or 'none'}"
                yield document.problem((*here, "value"), text)
            elif wrong := schema.value_text(entry["value"], entry["quantity"]):
                yield document.problem((*here, "quantity"), wrong)
