"""LICENCES.md names the licence of what the site ships and of every pinned package, as each says of itself."""

from __future__ import annotations

import re

import licences
from test_locks import RUN, TEST


def test_the_file_is_as_its_command_writes_it() -> None:
    assert licences.FILE.read_text(encoding="utf-8") == licences.text(), "run `make licences`, look at what is new"


def test_it_names_every_package_of_both_locks() -> None:
    """Also those that this Python does without."""
    tables = licences.FILE.read_text(encoding="utf-8").split("\n## ")[1:]
    named = [
        {name for names in re.findall(r"(?m)^\| [^|]+ \| (.+?) \|$", table) for name in names.split(", ")}
        - {"packages"}
        for table in tables
    ]
    assert named[1] == set(RUN)
    assert named[2] == set(TEST) - set(RUN)


def test_it_names_what_the_theme_brings() -> None:
    """Lunr, which searches, is MIT by its own first lines; the font has its licence beside it."""
    shipped = licences.shipped()
    assert shipped["lunr"] == "MIT" and shipped["Barlow Semi Condensed"] == "OFL-1.1"
    assert all(name in shipped for name in licences.BY_REGISTRY)
