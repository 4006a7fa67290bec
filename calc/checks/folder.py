"""The files of a data folder as every check reads them, and what the checks of several kinds share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import pairwise
from pathlib import Path
from typing import Any

from calc.data.files import Document, Problem, Where


@dataclass(frozen=True)
class Folder:
    """The files of the data folder at `path`: the `sound` ones, which match their schema, and the names of all that
    are `known`; both by kind, a file by its name without .yaml."""

    path: Path
    sound: Mapping[str, Mapping[str, Document]]
    known: Mapping[str, frozenset[str]]

    def no_rule(self, id: str) -> str:
        """What is wrong with an `id` that no rule has."""
        close = get_close_matches(id, self.known["rulebook"], 1)
        return f"there is no rule '{id}'; {f'did you mean {close[0]}?' if close else 'name one of the rulebook'}"

    def none_called(self, name: str, what: str, kind: str) -> str:
        """What is wrong with the `name` of a `what` that no file of this `kind` has."""
        return f"there is no {what} '{name}'; known: {' '.join(sorted(self.known[kind]))}"


def misnamed(documents: Mapping[str, Document]) -> Iterator[Problem]:
    """Problems of the `documents` whose id is not the name of their file."""
    for stem, document in documents.items():
        if document.data["id"] != stem:
            yield document.problem(("id",), f"is '{document.data['id']}', the file is called {stem}; make them match")


def shared(documents: Mapping[str, Document], name: str, advice: str) -> Iterator[Problem]:
    """Problems of the `documents` that have the same value under a `name`; `advice` says what to write instead."""
    first: dict[str, str] = {}
    for document in documents.values():
        value = document.data[name]
        if value in first:
            yield document.problem((name,), f"'{value}' belongs to {first[value]}; {advice}")
        first.setdefault(value, document.file)


def repeated(
    document: Document, path: Where, names: tuple[str, ...], advice: str = "give each its own"
) -> Iterator[Problem]:
    """Problems of the entries of the list at `path` in a `document` that have the same under all `names`; `advice` says
    what to do instead."""
    entries: Any = document.data
    for step in path:
        entries = entries.get(step, []) if isinstance(entries, dict) else entries[step]
    seen = set()
    for i, entry in enumerate(entries):
        key = " ".join(entry[name] for name in names)
        if key in seen:
            yield document.problem((*path, i, names[-1]), f"'{key}' stands here twice; {advice}")
        seen.add(key)


def versions_in_order(document: Document) -> Iterator[Problem]:
    """Problems of the days on which the versions of a `document` begin."""
    versions = document.data["versions"]
    for i, (above, version) in enumerate(pairwise(versions), start=1):
        if version["from"] >= above["from"]:
            text = f"is not before {above['from']} above it; write versions newest first"
            yield document.problem(("versions", i, "from"), text)
