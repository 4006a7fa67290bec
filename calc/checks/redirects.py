"""What the schema of the addresses cannot see: each leads to one page, and straight to it."""

from __future__ import annotations

from collections.abc import Iterator

from calc.checks.folder import repeated
from calc.data.files import Document, Problem


def problems(document: Document) -> Iterator[Problem]:
    """Everything in the `document` of the addresses that lead to other pages that cannot be."""
    yield from repeated(document, ("redirects",), ("from",), "an address leads to one page")
    old = {entry["from"] for entry in document.data["redirects"]}
    for number, entry in enumerate(document.data["redirects"]):
        if entry["to"] in old:
            text = f"'{entry['to']}' leads to another page itself; name the page it leads to"
            yield document.problem(("redirects", number, "to"), text)
