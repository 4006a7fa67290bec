"""What the schema of a yard cannot see: names once, weights that a load has room for, loads that can be compared."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from calc.checks.folder import Folder, misnamed, repeated
from calc.data import build
from calc.data.files import Document, Problem
from calc.winding import makeup


def problems(folder: Folder) -> Iterator[Problem]:
    """Everything in the yards of a `folder` that cannot be."""
    documents = folder.sound["yards"]
    yield from misnamed(documents)
    for document in documents.values():
        for name, path in product(("id", "name"), ("weights", "extensions")):
            yield from repeated(document, (path,), (name,))
        yield from _loads(document)


def _loads(document: Document) -> Iterator[Problem]:
    """Weights of a yard that no load can hold, and more loads than can be compared."""
    yard, room = build.yard(document.data), document.data["load"]
    wrong = [number for number, weight in enumerate(yard.weights) if not makeup.has_room(weight, yard)]
    for number in wrong:
        written = document.data["weights"][number]
        is_, has = (f"{box['length']} x {box['width']} x {box['height']}" for box in (written, room))
        yield document.problem(("weights", number), f"is {is_}, a load has room for {has}; correct one of them")
    if not wrong and makeup.stacks(yard) > makeup.MOST_STACKS:
        text = f"the weights make more than {makeup.MOST_STACKS} loads; leave out kinds that are never used"
        yield document.problem(("weights",), text)
