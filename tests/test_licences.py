"""The licence of every pinned package stands in the table of docs/dev/decisions.md."""

from __future__ import annotations

import re
from importlib import metadata

from conftest import ROOT
from test_locks import TEST, holds

# Trove classifiers -> SPDX identifiers
NAMES = {
    "MIT License": "MIT",
    "BSD License": "BSD",
    "Apache Software License": "Apache-2.0",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
}


def licence(package: str) -> str:
    """What a package says of itself."""
    found = metadata.metadata(package)
    classifiers = [
        text.split(" :: ")[-1] for text in found.get_all("Classifier") or [] if text.startswith("License ::")
    ]
    named = " and ".join(NAMES[one] for one in classifiers if one in NAMES)
    (expression,), (free,) = (found.get_all(field, [""]) for field in ("License-Expression", "License"))
    return expression or named or free or "none named"


def test_every_licence_stands_in_the_table() -> None:
    """A package that this Python does without says nothing here; it stands in the table all the same."""
    section = (ROOT / "docs/dev/decisions.md").read_text(encoding="utf-8").partition("## Licences")[2]
    rows = re.findall(r"(?m)^\| (.+?) \| (.+?) \|$", section)[1:]
    listed = {package: name for name, packages in rows for package in packages.split(", ")}
    assert set(listed) == set(TEST)
    here = [name for name, requirement in TEST.items() if holds(requirement)]
    assert {name: listed[name] for name in here} == {name: licence(name) for name in here}
