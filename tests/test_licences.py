"""What is pinned: every file of every package by its hash, every direct dependency as pyproject.toml has it, every
licence in the table of DEVELOPERS.md."""

from __future__ import annotations

import re
import tomllib
from importlib import metadata

from conftest import ROOT

PINNED = (ROOT / "requirements.txt").read_text(encoding="utf-8")
VERSIONS = dict(re.findall(r"(?m)^([A-Za-z0-9._-]+)==(\S+)", PINNED))
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
    return found.get("License-Expression") or named or found.get("License") or "none named"


def test_every_licence_stands_in_the_table() -> None:
    section = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## Licences")[2].partition("\n## ")[0]
    rows = re.findall(r"(?m)^\| (.+?) \| (.+?) \|$", section)[1:]
    listed = {package: name for name, packages in rows for package in packages.split(", ")}
    assert listed == {package: licence(package) for package in VERSIONS}


def test_every_package_is_pinned_with_its_hashes() -> None:
    """pip's hash-checking mode installs nothing else."""
    blocks = re.split(r"(?m)^(?=[A-Za-z])", re.sub(r"(?m)^#.*\n", "", PINNED))[1:]
    assert len(blocks) == len(VERSIONS) > 50
    for block in blocks:
        assert re.fullmatch(r"[\w.-]+==\S+ \\\n(    --hash=sha256:[0-9a-f]{64}( \\)?\n)+", block), block.split()[0]
    assert "--require-hashes" in (ROOT / "Makefile").read_text(encoding="utf-8")


def test_pins_are_those_of_the_project() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    extras = project["project"]["optional-dependencies"]
    direct = [*project["project"]["dependencies"], *extras["test"], *extras["build"]]
    assert project["build-system"]["requires"] == extras["build"]

    def plain(name: str) -> str:
        return re.sub(r"[-_.]+", "-", name).lower()

    pinned = {plain(name): version for name, version in VERSIONS.items()}
    for requirement in direct:
        name, _, version = requirement.partition("==")
        assert pinned[plain(name)] == version, requirement
        assert metadata.version(name) == version, requirement
