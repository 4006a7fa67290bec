"""What the schema of a rope's log cannot see from the file alone: whose rope it is."""

from __future__ import annotations

from collections.abc import Iterator

from calc.checks.folder import Folder, misnamed
from calc.data.files import Problem


def problems(folder: Folder) -> Iterator[Problem]:
    """Everything in the logs of a `folder` that cannot be before the crane is known; then `logbook` and `readings` hold
    each against its crane."""
    documents = folder.sound["upkeep"]
    yield from misnamed(documents)
    for stem, document in documents.items():
        if stem not in folder.known["machines"]:
            yield document.problem(("id",), folder.none_called(stem, "machine", "machines"))
