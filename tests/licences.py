"""LICENCES.md: the licence of everything the site ships and of every pinned package.  `make licences` writes it.

Read from what each package says of itself; look at a new licence before you commit it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from importlib import metadata
from importlib.resources import files

from conftest import ROOT
from test_locks import RUN, TEST, holds

FILE = ROOT / "LICENCES.md"
# Trove classifiers, and first lines of licence files -> SPDX identifiers
NAMES = {
    "MIT License": "MIT",
    "BSD License": "BSD",
    "Apache Software License": "Apache-2.0",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
}
THEME = files("material") / "templates"
# What the theme's bundles hold whose sources do not name a licence: as the npm registry has it, read on 2026-11-30.
BY_REGISTRY = {
    "focus-visible": "W3C",
    "rxjs": "Apache-2.0",
    "tslib": "0BSD",
}
HEAD = """# Licences of what we use

Written by `make licences`; do not edit it. Each licence is what the package says of itself; what the theme bundles
without naming a licence is as the npm registry has it.
"""
SHIPPED = """
## What readers get from the site

Besides our own pages, figures, scripts, style sheets and icons. The licence of the font: docs/assets/fonts/OFL.txt.
"""


def text() -> str:
    """LICENCES.md as it has to be."""
    only_tests = set(TEST) - set(RUN)
    return "".join(
        [
            HEAD,
            SHIPPED,
            *_table("part", shipped().items()),
            "\n## What computes, builds and serves the site: requirements.txt\n",
            *_table("packages", pinned(RUN).items()),
            "\n## What only the tests need: requirements-test.txt\n",
            *_table("packages", ((name, licence) for name, licence in pinned(TEST).items() if name in only_tests)),
            "\naxe-playwright-python brings axe-core, MPL-2.0 by the head of its script.\n",
        ]
    )


def _table(what: str, licences: Iterable[tuple[str, str]]) -> list[str]:
    by_licence: dict[str, list[str]] = {}
    for name, licence in sorted(licences):
        by_licence.setdefault(licence, []).append(name)
    rows = [f"| {licence} | {', '.join(names)} |\n" for licence, names in sorted(by_licence.items())]
    return [f"\n| licence | {what} |\n|---|---|\n", *rows]


def shipped() -> dict[str, str]:
    """What of others stands in the files of the theme that the site serves."""
    found = {"mkdocs-material (page frame, search)": of("mkdocs-material"), "Barlow Semi Condensed": font()}
    for bundle in ("javascripts", "javascripts/workers"):
        for path in (THEME / "assets" / bundle).iterdir():
            if path.name.endswith(".map"):
                found |= _parts(json.loads(path.read_text(encoding="utf-8")))
    return found


def font() -> str:
    """The licence of the font, by the file beside it."""
    said = (ROOT / "docs/assets/fonts/OFL.txt").read_text(encoding="utf-8")
    named = re.search(r"SIL Open Font License, Version (\d\.\d)", said)
    assert named, "no licence that is known"
    return f"OFL-{named[1]}"


def _parts(bundle: dict[str, list[str]]) -> dict[str, str]:
    """The packages of npm in a bundle, by its source map."""
    found = {}
    codes = bundle.get("sourcesContent", [""] * len(bundle["sources"]))
    for source, code in zip(bundle["sources"], codes, strict=True):
        package = re.search(r"node_modules/((?:@[^/]+/)?[^/]+)/", source)
        if package:
            named = re.search(r"@license MIT|\bMIT Licensed|\bLicensed MIT", code)
            found[package[1]] = "MIT" if named else BY_REGISTRY[package[1]]
    return found


def pinned(lock: Iterable[str]) -> dict[str, str]:
    """Every package of a `lock`; one that this Python does without keeps what the file has of it."""
    return {name: of(name) if holds(TEST[name]) else _kept(name) for name in lock}


def of(package: str) -> str:
    """The licence of an installed `package`, by its metadata, else by the first line of its licence file."""
    found = metadata.metadata(package)
    classifiers = [line.split(" :: ")[-1] for line in found.get_all("Classifier") or [] if line.startswith("License")]
    named = " and ".join(NAMES[name] for name in classifiers if name in NAMES)
    (expression,), (free,) = (found.get_all(field, [""]) for field in ("License-Expression", "License"))
    return expression or named or free or next(NAMES[line] for line in _first_lines(package) if line in NAMES)


def _first_lines(package: str) -> Iterable[str]:
    for path in metadata.files(package) or ():
        if path.name.startswith(("LICENSE", "LICENCE")):
            yield path.read_text(encoding="utf-8").strip().splitlines()[0]


def _kept(package: str) -> str:
    for licence, names in re.findall(r"(?m)^\| (.+?) \| (.+?) \|$", FILE.read_text(encoding="utf-8")):
        if package in names.split(", "):
            return str(licence)
    raise SystemExit(f"{package} is for another Python than this one: run `make licences` with one that installs it")


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
