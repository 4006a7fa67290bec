"""What the schema of a crane's earlier data cannot see: revisions named and ordered by their day, each change told."""

from __future__ import annotations

from collections.abc import Iterator

from calc.checks.folder import Folder
from calc.checks.machines import of_machine
from calc.data.files import Problem

EARLIER = "machines/earlier"


def problems(folder: Folder) -> Iterator[Problem]:
    """Everything in the earlier revisions of a `folder` that cannot be: named <id>.<revision>, before the newest
    revision of the same machine, and whatever a machine is looked at for."""
    machines, older = folder.sound["machines"], folder.sound[EARLIER]
    for stem, document in older.items():
        id, revision = document.data["id"], document.data["revision"]
        newest = machines.get(id)
        if stem != f"{id}.{revision}":
            yield document.problem(("revision",), f"makes the file name {id}.{revision}.yaml; rename the file")
        elif id not in folder.known["machines"]:
            text = f"is '{id}', but there is no such machine; take the file away"
            yield document.problem(("id",), text)
        elif newest and newest.data["revision"] <= revision:
            text = f"is not before {newest.data['revision']} of {newest.file}; give that one the later day"
            yield document.problem(("revision",), text)
        yield from of_machine(document, folder)
    for document in (*older.values(), *machines.values()):
        id, revision = document.data["id"], document.data["revision"]
        revised = any(each.data["id"] == id and each.data["revision"] < revision for each in older.values())
        if revised and "change" not in document.data:
            yield document.problem(("change",), "is missing; say in one sentence what this revision changed")
