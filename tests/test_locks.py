"""What is pinned: one lock for running, one for the tests, each with every package for every Python from the oldest on,
each file of it by its hash; and an unusable Python is told before anything is made."""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
import tomllib
from importlib import metadata
from pathlib import Path

import pytest
from conftest import ROOT
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
EXTRAS = PROJECT["optional-dependencies"]
RUNS = [Requirement(text) for text in [*PROJECT["dependencies"], *EXTRAS["build"]]]
TESTS = [Requirement(text) for text in EXTRAS["test"]]
OLDEST = PROJECT["requires-python"].removeprefix(">=")
PYTHONS = [OLDEST, "3.12.0", "3.13.0", "3.14.0"]
FILES = ("requirements.txt", "requirements-test.txt")


def read(file: str) -> str:
    return (ROOT / file).read_text(encoding="utf-8")


def locked(file: str) -> dict[str, Requirement]:
    """What a lock pins, by its name."""
    found = [Requirement(line) for line in re.findall(r"(?m)^([A-Za-z0-9][^\\\n]*?) \\$", read(file))]
    assert len({one.name for one in found}) == len(found)
    return {one.name: one for one in found}


RUN, TEST = map(locked, FILES)


def holds(requirement: Requirement, python: str = "", extra: str = "") -> bool:
    """Whether it counts for this Python, or here for another version of it."""
    other = {"python_version": ".".join(python.split(".")[:2]), "python_full_version": python} if python else {}
    return requirement.marker is None or requirement.marker.evaluate({"extra": extra, **other})


def pulled_in(direct: list[Requirement], python: str) -> dict[str, list[str]]:
    """Everything these need on that Python, as what is installed here says of itself: name -> asked for by what."""
    found: dict[str, list[str]] = {}
    waiting = [(one, extra, "pyproject.toml") for one in direct for extra in ("", *one.extras)]
    seen = set()
    while waiting:
        one, extra, by = waiting.pop()
        if not holds(one, python):
            continue
        name = canonicalize_name(one.name)
        found.setdefault(name, []).append(f"{one} by {by}")
        if (name, extra) in seen:
            continue
        seen.add((name, extra))
        try:
            texts = metadata.requires(name) or []
        except metadata.PackageNotFoundError:  # for another Python than this one: what it needs cannot be asked
            continue
        for needed in map(Requirement, texts):
            if holds(needed, python, extra):
                needed.marker = None
                waiting += [(needed, further, name) for further in ("", *needed.extras)]
    return found


@pytest.mark.parametrize("file", FILES)
def test_every_package_is_pinned_with_its_hashes(file: str) -> None:
    """pip's hash-checking mode installs nothing else."""
    blocks = re.split(r"(?m)^(?=[A-Za-z])", re.sub(r"(?m)^#.*\n", "", read(file)))[1:]
    assert len(blocks) == len(locked(file)) > 30
    for block in blocks:
        pattern = r"[\w.-]+==[^\s;]+( ; [^\\\n]+)? \\\n(    --hash=sha256:[0-9a-f]{64}( \\)?\n)+"
        assert re.fullmatch(pattern, block), block.split()[0]
    assert f"--require-hashes --requirement {file}\n" in read("Makefile")


@pytest.mark.parametrize("file", FILES)
def test_a_lock_names_no_place_to_fetch_from(file: str) -> None:
    """Each site has its own; the hashes say that the files are the same."""
    assert not re.search(r"://|index-url|find-links|trusted-host", read(file))


def test_the_tests_run_with_what_the_site_is_built_with() -> None:
    """Installing the second lock over the first changes nothing of it."""
    both = set(re.split(r"(?m)^(?=[A-Za-z])", read("requirements-test.txt"))[1:])
    assert set(re.split(r"(?m)^(?=[A-Za-z])", read("requirements.txt"))[1:]) < both


def test_pins_are_those_of_the_project() -> None:
    requires = tomllib.loads(read("pyproject.toml"))["build-system"]["requires"]
    assert requires == EXTRAS["build"]
    for direct, lock in ((RUNS, RUN), (TESTS, TEST)):
        for one in direct:
            pin = lock[canonicalize_name(one.name)]
            assert pin.specifier == one.specifier and pin.marker is None, str(one)
            assert one.specifier.contains(metadata.version(one.name)), str(one)


@pytest.mark.parametrize("python", PYTHONS)
@pytest.mark.parametrize(("direct", "lock"), [(RUNS, RUN), (RUNS + TESTS, TEST)], ids=FILES)
def test_a_lock_holds_for_every_python(direct: list[Requirement], lock: dict[str, Requirement], python: str) -> None:
    """Nothing is missing on any Python, as it was where a package pulls in another one on 3.13 only; and nothing is
    pinned that nobody asks for."""
    needed = pulled_in(direct, python)
    there = {name for name, pin in lock.items() if holds(pin, python)}
    assert not {name: by for name, by in needed.items() if name not in there}
    assert not there - set(needed)


@pytest.mark.parametrize("python", PYTHONS)
def test_pins_are_what_is_asked_for(python: str) -> None:
    for name, askers in pulled_in(RUNS + TESTS, python).items():
        (version,) = (one.version for one in TEST[name].specifier)
        for asker in askers:
            assert Requirement(asker.partition(" by ")[0]).specifier.contains(version, prereleases=True), asker


def test_a_package_of_one_python_stands_in_the_lock_with_its_marker() -> None:
    """libcst reads YAML by another package on Python 3.13 only: the lock of one Python would lack it on the next."""
    pin = TEST["pyyaml-ft"]
    assert [holds(pin, python) for python in (*PYTHONS, "3.13.12")] == [False, False, True, False, True]
    assert "pyyaml-ft" not in RUN


def test_what_runs_needs_nothing_of_the_tests() -> None:
    """calc and hooks import direct dependencies only, so that `make serve` works without the second lock."""
    direct = {canonicalize_name(one.name) for one in RUNS}
    packages = metadata.packages_distributions()
    found: set[str] = set()
    for path in [*(ROOT / "calc").rglob("*.py"), *(ROOT / "hooks").rglob("*.py")]:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                found.add((node.module or "").partition(".")[0])
    outside = found - {"calc", "hooks", *sys.stdlib_module_names}
    assert {"jinja2", "mkdocs", "yaml"} <= outside
    assert not {name for name in outside if not direct & {canonicalize_name(one) for one in packages[name]}}


def test_each_target_has_what_it_needs() -> None:
    """Reading and serving need the first lock only."""
    targets = dict(re.findall(r"(?m)^([a-z-]+): ?(.*)$", read("Makefile")))
    assert targets["venv"] == ".venv/ready" and targets["venv-test"] == ".venv/ready-test"
    for name in ("serve", "site"):
        assert targets[name] == "venv"
    assert targets["archive"] == "site"
    for name in ("test", "coverage", "long", "fuzz", "audit", "mutants", "bench", "check"):
        assert "venv-test" in targets[name].split(), name


def usable(*command: str) -> tuple[int, str]:
    done = subprocess.run([ROOT / ".ci/usable-python", *command], capture_output=True, text=True)
    assert not done.stdout and done.stderr.count("\n") == (done.returncode != 0)
    return done.returncode, done.stderr.strip()


def fake(path: Path, version: str, venv: bool = True) -> str:
    """A Python that says it is another one."""
    numbers = tuple(map(int, version.split(".")))
    disguise = f"import sys; sys.version_info = {numbers}\nif not {venv}: sys.modules['ensurepip'] = None\n"
    path.write_text(
        f'#!/bin/sh\nshift\ncode=$1\nshift\nexec "{sys.executable}" -c "{disguise}$code" "$@"\n', encoding="utf-8"
    )
    path.chmod(0o755)
    return str(path)


@pytest.mark.parametrize("version", [OLDEST, "3.12.0", "3.14.10", "4.0.0"])
def test_a_python_that_is_new_enough_is_taken(version: str, tmp_path: Path) -> None:
    assert usable(fake(tmp_path / "python", version)) == (0, "")


REMEDY = f"Firmwrap needs Python {OLDEST} or newer with venv. Name one, for example: make serve PYTHON=python3.13"


@pytest.mark.parametrize("version", ["2.7.18", "3.6.15", "3.9.18", "3.11.4"])
def test_an_older_python_is_told_which_one_is_needed(version: str, tmp_path: Path) -> None:
    python = fake(tmp_path / "python", version)
    assert usable(python) == (1, f"{python} is Python {version}. {REMEDY}")


def test_a_python_without_venv_is_told_what_to_install(tmp_path: Path) -> None:
    python = fake(tmp_path / "python", "3.13.5", venv=False)
    told = f"{python} is Python 3.13.5 without venv; on Debian, install python3-venv. {REMEDY}"
    assert usable(python) == (1, told)


@pytest.mark.parametrize("command", ["no-such-python", "true", "false"])
def test_what_is_no_python_is_told(command: str) -> None:
    assert usable(command) == (1, f"{command} is no Python that runs. {REMEDY}")


def test_nothing_is_made_with_an_older_python(tmp_path: Path) -> None:
    """The targets ask first; .venv is not even begun."""
    for name in ("Makefile", "pyproject.toml", *FILES):
        (tmp_path / name).write_text(read(name), encoding="utf-8")
    (tmp_path / ".ci").symlink_to(ROOT / ".ci")
    old = fake(tmp_path / "python", "3.9.18")
    # a make that runs the tests would have this one tell the folders it enters
    alone = {name: value for name, value in os.environ.items() if not name.startswith(("MAKE", "MFLAGS"))}
    for target in ("serve", "test", "lock"):
        done = subprocess.run(
            ["make", target, f"PYTHON={old}"], cwd=tmp_path, env=alone, capture_output=True, text=True
        )
        assert done.returncode and f"{old} is Python 3.9.18. {REMEDY}\n" in done.stderr
        assert not done.stdout and not (tmp_path / ".venv").exists() and not (tmp_path / "build").exists()
